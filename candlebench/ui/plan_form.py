"""The column of a plan's fields: from what is typed to a `PlanRequest`, and its faults back to the fields."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QVBoxLayout, QWidget

from candlebench.core.cupboard import Cupboard
from candlebench.core.plan.faults import find_faults
from candlebench.core.plan.planning import Plan
from candlebench.core.plan.reasoned import Fault, number
from candlebench.core.plan.request import PlanRequest
from candlebench.core.plan.tables import Tables
from candlebench.core.stock_taking import Chosen
from candlebench.core.units import Shown
from candlebench.ui.page_frame import role_label
from candlebench.ui.plan_field import SteadyLabel
from candlebench.ui.plan_jar_card import JarCard
from candlebench.ui.plan_leftovers import LeftoversCard
from candlebench.ui.plan_mix_card import MixCard
from candlebench.ui.plan_more import OwnFigures, PricesCard
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

# What has no field here: the settings give it.
_FROM_SETTINGS = frozenset({"room_c", "altitude_m"})


class PlanForm(QWidget):
    """Emits `edited` whenever what is typed may have changed.

    Parameters
    ----------
    tables : Tables
    shown : Shown
    """

    edited = Signal()

    def __init__(self, tables: Tables, shown: Shown) -> None:
        super().__init__()
        self._tables, self._shown, self._theme = tables, shown, Theme(LIGHT)
        self._base = PlanRequest(diameter_mm=75.0, fill_mm=80.0)
        self._place_words = ""
        self.jar, self.mix = JarCard(tables), MixCard(tables, shown)
        self.leftovers = LeftoversCard()
        self.own, self.prices = OwnFigures(tables, shown), PricesCard(tables)
        self._place = SteadyLabel("muted")
        self._melts = role_label("", "muted")
        self._melts_card = QFrame()
        self._lay_out()
        for card in self._cards():
            card.edited.connect(self.edited)
        for card in (self.jar, self.mix):
            card.replaced.connect(self._replaced)
        self.mix.rows_changed.connect(self._chain)
        self._chain()

    def _lay_out(self) -> None:
        self._melts_card.setObjectName("card")
        melts = QVBoxLayout(self._melts_card)
        melts.setContentsMargins(20, 14, 20, 14)
        melts.addWidget(role_label(tr("Melts from this plan"), "section"))
        melts.addWidget(self._melts)
        self._melts_card.hide()
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(14)
        for part in (*self._cards(), self._melts_card, self._place):
            box.addWidget(part)
        # Not down onto the bar below.
        box.addSpacing(16)
        box.addStretch(1)

    def _cards(self) -> tuple[JarCard | MixCard | LeftoversCard | OwnFigures | PricesCard, ...]:
        return (self.jar, self.mix, self.leftovers, self.own, self.prices)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        for part in (*self._cards(), self._place):
            part.use(theme)
        self.jar.fit(self.width(), theme)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.jar.fit(self.width(), self._theme)

    def _chain(self) -> None:
        """The Tab key goes down the column, through rows that were added later too."""
        order = [widget for card in self._cards() for widget in card.order()]
        for before, after in pairwise(order):
            QWidget.setTabOrder(before, after)

    def last_field(self) -> QWidget:
        """The one the Tab key leaves last."""
        return list(self.prices.order())[-1]

    def take_focus(self) -> None:
        """Begin at the jar's size."""
        field = self.jar.fields["diameter_mm"]
        field.setFocus()
        field.selectAll()

    # --- cupboard and settings ----------------------------------------------------------------------------

    def offer(self, cupboard: Cupboard | None) -> None:
        """Offer what the cupboard holds."""
        cupboard = cupboard or Cupboard()
        self.jar.offer(cupboard.jars)
        self.mix.offer(cupboard.waxes, cupboard.oils)
        self.leftovers.offer(cupboard.leftovers)
        self.show_request(self._base)

    def chosen(self) -> Chosen:
        """What of the cupboard the plan is made from."""
        return Chosen(wax=self.mix.lot(), jar=self.jar.taken())

    def show_place(self, room_c: float | None, altitude_m: float) -> None:
        """Say which room and altitude the settings give."""
        room = tr("Room: 20 °C is taken, as the settings do not say.")
        if room_c is not None:
            room = tr("Room {room}, from the settings.").format(room=self._shown.temp(room_c))
        height = tr("Height above the sea {height} m.").format(height=number(round(altitude_m)))
        self._place_words = f"{room} {height}"
        self._place.say(self._place_words)

    def show_melts(self, sentences: Iterable[str]) -> None:
        """Show what became of the melts begun from this plan."""
        lines = "\n".join(sentences)
        self._melts.setText(lines)
        self._melts_card.setVisible(bool(lines))

    # --- request and faults -------------------------------------------------------------------------------

    def show_request(self, request: PlanRequest) -> None:
        """Fill the fields; what has no field is kept for `read`."""
        self._base = request
        blocked = self.blockSignals(True)
        for card in self._cards():
            card.show_request(request)
        self.blockSignals(blocked)
        self._chain()
        self.mark(())
        for card in (self.own, self.prices):
            _, faults = card.read_into(request)
            if faults:
                card.head.setChecked(True)

    def _replaced(self, request: PlanRequest) -> None:
        """A lot or a jar brings its own figures; what is typed elsewhere stays."""
        self._base, _ = self._typed(request)
        own = {
            name: getattr(request, name)
            for name in (
                *("wax", "lot", "limits", "oil_limit_pct", "pellets_g_per_ml", "liquid_g_per_ml"),
                *("shrinkage_pct", "diameter_mm", "fill_mm", "bottom_mm", "height_mm", "water_fill_g"),
                *("water_brim_g", "jar_kind"),
            )
        }
        prices = replace(
            self._base.prices, wax_per_kg=request.prices.wax_per_kg, jar_each=request.prices.jar_each
        )
        self._base = replace(self._base, **own, prices=prices)
        self.show_request(self._base)
        self.edited.emit()

    def _typed(self, request: PlanRequest) -> tuple[PlanRequest, list[Fault]]:
        faults: list[Fault] = []
        for card in self._cards():
            request, found = card.read_into(request)
            faults += found
        return request, faults

    def read(self) -> tuple[PlanRequest, tuple[Fault, ...]]:
        """Return what is typed, and everything that is wrong with it, field by field.

        A field that holds no number keeps what was there before, so that the others are looked at all the
        same; with faults the request is not to be planned.
        """
        request, typed = self._typed(self._base)
        unread = {fault.field for fault in typed}
        every = find_faults(request, self._tables, self._shown)
        found = [fault for fault in every if fault.field not in unread]
        if not typed:
            self._base = request
        return request, (*typed, *found)

    def mark(self, faults: Sequence[Fault]) -> None:
        """Mark the fields that are wrong and say below them what to do."""
        by_field: dict[str, str] = {}
        for fault in faults:
            by_field.setdefault(fault.field, fault.text)
        for name, field in self.jar.fields.items():
            field.mark(by_field.get(name, ""))
        self.jar.kind.mark(by_field.get("jar_kind", ""))
        self.mix.mark(by_field)
        self.leftovers.mark(by_field)
        self.own.mark(by_field)
        self.prices.mark(by_field)
        mixed = [f for f in faults if f.field in {"count", "load_pct", "wax"} or f.field.startswith("oils")]
        mixed += [fault for fault in faults if fault.field == "prices.oil_per_ml"]
        _say_fault(self.jar.note, [f for f in faults if f.field in self.jar.fields or f.field == "jar_kind"])
        _say_fault(self.mix.note, mixed)
        _say_fault(
            self._place, [fault for fault in faults if fault.field in _FROM_SETTINGS], self._place_words
        )
        left = [fault for fault in faults if fault.field == "leftovers"]
        _say_fault(self.leftovers.note, left, self.leftovers.usual)
        for card in (self.own, self.prices):
            _say_fault(card.note, [f for f in faults if f.field in card.fields], card.usual)

    def show_plan(self, plan: Plan | None) -> None:
        """Show what the fields lead to, beside them; where there are faults their sentences stay."""
        if plan is not None:
            self.jar.show_plan(plan)
            self.mix.show_plan(plan)
        else:
            self.jar.drawing.show_plan(None)
            for row in self.mix.rows:
                row.show_line(None)


def _say_fault(note: SteadyLabel, faults: Sequence[Fault], usual: str = "") -> None:
    if not faults:
        note.say(usual, "muted")
        return
    text = faults[0].text
    if len(faults) > 1:
        text = tr("{fault} And {count} more.").format(fault=text, count=len(faults) - 1)
    note.say(text, "problem")
