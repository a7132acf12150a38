"""The folded parts of a plan: scales and own figures, prices. Empty fields take what the tables say."""

from collections.abc import Iterator
from dataclasses import replace

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QGridLayout, QLineEdit, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from candlebench.core.plan.reasoned import Fault
from candlebench.core.plan.request import PlanRequest
from candlebench.core.plan.tables import Tables
from candlebench.core.units import Shown
from candlebench.ui.plan_choice import PlanChoice
from candlebench.ui.plan_field import PlanField, SteadyLabel, cell
from candlebench.ui.theme import Theme
from candlebench.words import tr

COLUMNS = 2
# Shown in the person's own degrees.
_TEMPERATURES = frozenset({"jar_c", "pour_c"})
# Without a number in these the request keeps what it had; none of them may be None.
_NEEDED = frozenset({"wax_step_g", "oil_step_g"})
_WHOLE = frozenset({"wick_count"})


class Folded(QFrame):
    """A card whose fields are shown when its heading is pressed."""

    edited = Signal()

    def __init__(self, words: str) -> None:
        super().__init__()
        self.setObjectName("card")
        self._words = words
        self.usual = ""
        self.fields: dict[str, PlanField] = {}
        self.head = QPushButton()
        self.head.setProperty("role", "fold")
        self.head.setCheckable(True)
        self.head.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.note = SteadyLabel("muted", lines=2)
        self.body = QWidget()
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(10)
        self._grid.setVerticalSpacing(8)
        for column in range(COLUMNS):
            self._grid.setColumnStretch(column, 1)
        inner = QVBoxLayout(self.body)
        inner.setContentsMargins(0, 0, 0, 6)
        inner.addLayout(self._grid)
        inner.addWidget(self.note)
        box = QVBoxLayout(self)
        box.setContentsMargins(12, 6, 12, 6)
        box.setSpacing(4)
        box.addWidget(self.head)
        box.addWidget(self.body)
        inner.setContentsMargins(8, 0, 8, 6)
        self.head.toggled.connect(self._unfold)
        self._unfold(False)

    def _unfold(self, wanted: bool) -> None:
        self.body.setVisible(wanted)
        self._say_head("")

    def _say_head(self, fault: str) -> None:
        open_now = self.head.isChecked()
        words = self._words if open_now or not fault else tr("{part}: look here").format(part=self._words)
        self.head.setText(tr("▾  {part}").format(part=words) if open_now else f"▸  {words}")

    def add(self, words: str, field: QWidget) -> None:
        """Put a field into the next place."""
        at = self._grid.count()
        self._grid.addWidget(cell(words, field), at // COLUMNS, at % COLUMNS)

    def clear(self) -> None:
        """Take all fields away."""
        self.fields.clear()
        while (item := self._grid.takeAt(0)) is not None:
            old = item.widget()
            if old is not None:
                old.hide()
                old.deleteLater()

    def number(self, key: str, words: str, name: str, unit: str, empty: str = "", step: float = 1.0) -> None:
        """Put a field for a number into the next place."""
        field = PlanField(name, unit, step, empty)
        field.textEdited.connect(self.edited)
        self.fields[key] = field
        self.add(words, field)

    def say_usual(self, words: str) -> None:
        """What stands below the fields while nothing is wrong with them."""
        self.usual = words
        self.note.say(words, "muted")

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        for part in (*self.fields.values(), self.note):
            part.use(theme)

    def problems(self) -> list[Fault]:
        """What could not be read."""
        return [Fault(key, field.problem()) for key, field in self.fields.items() if field.problem()]

    def mark(self, faults: dict[str, str]) -> None:
        """Mark the fields of these faults; the heading tells of them while it is folded."""
        for key, field in self.fields.items():
            field.mark(faults.get(key, ""))
        mine = [text for key, text in faults.items() if key in self.fields]
        self._say_head(mine[0] if mine else "")


class OwnFigures(Folded):
    """Scales, the pour, the wick, and the lot's own figures."""

    def __init__(self, tables: Tables, shown: Shown) -> None:
        super().__init__(tr("Own figures"))
        self._tables, self._shown = tables, shown
        guess, table = tr("a guess"), tr("table")
        self.number("wax_step_g", tr("Scale for wax"), tr("Step of the scale for wax"), "g")
        self.number("oil_step_g", tr("Scale for oil"), tr("Step of the scale for oil"), "g", step=0.1)
        self.number("wick_count", tr("Wicks in a jar"), tr("Wicks"), "", guess)
        self.size = QLineEdit()
        self.size.setPlaceholderText(guess)
        self.size.setAccessibleName(tr("Size of the wick"))
        self.size.textEdited.connect(self.edited)
        self.size.returnPressed.connect(self.size.focusNextChild)
        self.add(tr("Size of the wick"), self.size)
        self.number("pool_mm", tr("Melt pool"), tr("Melt pool"), "mm", tr("to the wall"))
        self.number("wick_mm", tr("Wick thickness"), tr("Diameter of the wick"), "mm", table, 0.1)
        self.number("pour_c", tr("Pour at"), tr("Pour at"), shown.sign, tr("middle"))
        self.number("jar_c", tr("Jars warmed to"), tr("The jar's temperature"), shown.sign, tr("room"))
        self.number("oil_limit_pct", tr("Lot's oil limit"), tr("The lot's limit for oil"), "%", table, 0.5)
        self.number("shrinkage_pct", tr("Shrinkage"), tr("Shrinkage"), "%", table, 0.5)
        self.number(
            "liquid_g_per_ml", tr("Density, melted"), tr("Density of the melted wax"), "g/mL", table, 0.01
        )
        self.number(
            "pellets_g_per_ml", tr("Pellets, loose"), tr("Pellets, loosely filled"), "g/mL", table, 0.01
        )
        self.number("jug_left_g", tr("Left in jug"), tr("Left in the jug"), "g", table)
        self.number("spoon_left_g", tr("Left on spoon"), tr("Left on the spoon"), "g", table, 0.5)
        self.say_usual(tr("An empty field takes the figure of the tables; results name their source."))

    def order(self) -> Iterator[QWidget]:
        """The fields in the order of the Tab key."""
        yield self.head
        for key, field in self.fields.items():
            yield field
            if key == "wick_count":
                yield self.size

    def show_request(self, request: PlanRequest) -> None:
        """Show what a request says of them."""
        for key, field in self.fields.items():
            value = getattr(request, key)
            shows_degrees = key in _TEMPERATURES and value is not None
            field.show_number(self._shown.number(value) if shows_degrees else value)
        if self.size.text().strip() != request.wick_size:
            self.size.setText(request.wick_size)

    def read_into(self, request: PlanRequest) -> tuple[PlanRequest, list[Fault]]:
        """Return the request with these figures, and what could not be read."""
        faults = self.problems()
        values: dict[str, object] = {"wick_size": self.size.text().strip()}
        for key, field in self.fields.items():
            value = field.number()
            if field.problem() or (value is None and key in _NEEDED):
                continue
            if value is not None and key in _WHOLE:
                if value != int(value):
                    text = tr("{name}: type a whole number.").format(name=field.name)
                    faults.append(Fault(key, text))
                    continue
                value = int(value)
            if value is not None and key in _TEMPERATURES:
                value = self._shown.back(value)
            values[key] = value
        return replace(request, **values), faults  # type: ignore[arg-type]


class PricesCard(Folded):
    """What things cost; the price of an oil stands with the oil."""

    def __init__(self, tables: Tables) -> None:
        super().__init__(tr("Prices"))
        none = tr("–")
        self.currency = QLineEdit()
        self.currency.setAccessibleName(tr("Currency"))
        self.currency.setPlaceholderText(tr("any"))
        self.currency.textEdited.connect(self.edited)
        self.currency.returnPressed.connect(self.currency.focusNextChild)
        self.add(tr("Currency"), self.currency)
        self.number("prices.wax_per_kg", tr("1 kg of wax"), tr("Price of a kilogram of wax"), "", none)
        self.number("prices.jar_each", tr("A jar"), tr("Price of a jar"), "", none, 0.1)
        self.number("prices.wick_each", tr("A wick"), tr("Price of a wick"), "", none, 0.01)
        self.number("prices.label_each", tr("A label"), tr("Price of a label"), "", none, 0.01)
        self.number("prices.energy_per_kwh", tr("1 kWh"), tr("Price of a kilowatt hour"), "", none, 0.01)
        self.hob = PlanChoice(tr("Hob"))
        self.hob.offer([(hob.name, hob.shown_name) for hob in tables.handling.hobs.values()])
        self.hob.currentIndexChanged.connect(self.edited)
        self.add(tr("Hob"), self.hob)
        self.number("prices.work_per_h", tr("1 h of work"), tr("Price of an hour of work"), "", none)
        self.number("prices.work_min", tr("Your time"), tr("Hands-on time of the batch"), "min", none, 5.0)
        self.number("prices.margin_pct", tr("Margin"), tr("Margin"), "%", "0", 5.0)
        self.say_usual(tr("What has no price is not counted. The price of an oil stands with the oil."))

    def order(self) -> Iterator[QWidget]:
        """The fields in the order of the Tab key."""
        yield from (self.head, self.currency)
        for key, field in self.fields.items():
            if key == "prices.work_per_h":
                yield self.hob
            yield field

    def show_request(self, request: PlanRequest) -> None:
        """Show a request's prices."""
        prices = request.prices
        for key, field in self.fields.items():
            value = getattr(prices, key.removeprefix("prices."))
            field.show_number(None if key == "prices.margin_pct" and value == 0.0 else value)
        if self.currency.text().strip() != prices.currency:
            self.currency.setText(prices.currency)
        self.hob.choose(prices.hob)

    def read_into(self, request: PlanRequest) -> tuple[PlanRequest, list[Fault]]:
        """Return the request with these prices, and what could not be read."""
        values: dict[str, object] = {
            key.removeprefix("prices."): field.number()
            for key, field in self.fields.items()
            if not field.problem()
        }
        if values.get("margin_pct", 0.0) is None:
            values["margin_pct"] = 0.0
        prices = replace(
            request.prices,
            currency=self.currency.text().strip(),
            hob=str(self.hob.value()),
            **values,  # type: ignore[arg-type]
        )
        return replace(request, prices=prices), self.problems()
