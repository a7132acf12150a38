"""Leftovers of a plan: how many grams of what was left earlier are melted in with the fresh wax."""

from collections.abc import Iterator
from dataclasses import replace

from PySide6.QtWidgets import QWidget

from candlebench.core.plan.reasoned import Fault, number
from candlebench.core.plan.request import Leftover, PlanRequest
from candlebench.ui.plan_more import Folded
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr


class LeftoversCard(Folded):
    """A field for each leftover of the cupboard, and of the plan; hidden while there are none."""

    def __init__(self) -> None:
        super().__init__(tr("Leftovers to melt in"))
        self._theme = Theme(LIGHT)
        self._stock: dict[str, Leftover] = {}
        self._known: dict[str, Leftover] = {}
        self.say_usual(tr("Their oil counts in the dose, the flash point and the label."))
        self.hide()

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        super().use(theme)

    def order(self) -> Iterator[QWidget]:
        """The fields in the order of the Tab key."""
        yield self.head
        yield from self.fields.values()

    def offer(self, leftovers: tuple[Leftover, ...]) -> None:
        """Offer the leftovers of the cupboard."""
        self._stock = {leftover.name: leftover for leftover in leftovers}

    def show_request(self, request: PlanRequest) -> None:
        """Show how much of each a request takes; one that the cupboard no longer has stays in its plan."""
        used = {leftover.name: leftover for leftover in request.leftovers}
        known = {**used, **self._stock}
        if known != self._known:
            self._known = known
            self.clear()
            for name, leftover in known.items():
                there = tr("{grams} g there").format(grams=number(round(leftover.mass_g)))
                self.number(name, name, name, "g", there if name in self._stock else tr("used up"))
            self.use(self._theme)
        for name, field in self.fields.items():
            field.show_number(round(used[name].mass_g, 1) if name in used else None)
        self.setVisible(bool(known))
        if used:
            self.head.setChecked(True)

    def read_into(self, request: PlanRequest) -> tuple[PlanRequest, list[Fault]]:
        """Return the request with these leftovers, and what could not be read."""
        faults = [Fault("leftovers", fault.text) for fault in self.problems()]
        used = []
        for name, field in self.fields.items():
            grams = field.number()
            if grams is not None and grams > 0.0:
                used.append(self._known[name].part(grams))
            elif grams is not None and grams < 0.0:
                text = tr("{name}: type how many grams of it are used.").format(name=name)
                faults.append(Fault("leftovers", text))
        return replace(request, leftovers=tuple(used)), faults

    def mark(self, faults: dict[str, str]) -> None:
        """Mark what is taken of leftovers; a fault speaks of them together."""
        fault = faults.get("leftovers", "")
        super().mark({name: fault for name, field in self.fields.items() if fault and field.text().strip()})
