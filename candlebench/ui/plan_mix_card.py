"""Wax and oil of a plan: which wax, how many candles, the oils and how much of them."""

from collections.abc import Iterator
from dataclasses import replace

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from candlebench.core.cupboard import OilBottle, WaxLot
from candlebench.core.errors import FixableError
from candlebench.core.plan.planning import Plan
from candlebench.core.plan.reasoned import Fault, number
from candlebench.core.plan.request import Basis, OilPart, PlanRequest
from candlebench.core.plan.tables import Tables
from candlebench.core.stock_taking import with_lot
from candlebench.core.units import Shown
from candlebench.ui.page_frame import role_label
from candlebench.ui.plan_choice import PlanChoice
from candlebench.ui.plan_field import PlanField, SteadyLabel, cell
from candlebench.ui.plan_oil_row import BY_SHEET, NO_OIL, Choice, OilRow
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

# What a lot has of its own and a wax of the table has not.
_OWN_FIGURES = {
    "lot": "",
    "limits": None,
    "oil_limit_pct": None,
    "pellets_g_per_ml": None,
    "liquid_g_per_ml": None,
    "shrinkage_pct": None,
}


class MixCard(QFrame):
    """Emits `edited`, `replaced` with a request when the wax is changed, `rows_changed` for the Tab order."""

    edited = Signal()
    replaced = Signal(object)
    rows_changed = Signal()

    def __init__(self, tables: Tables, shown: Shown) -> None:
        super().__init__()
        self.setObjectName("card")
        self._tables, self._shown, self._theme = tables, shown, Theme(LIGHT)
        self._lots: dict[str, WaxLot] = {}
        self._bottles: dict[str, OilBottle] = {}
        self._request: PlanRequest | None = None
        self.wax = PlanChoice(tr("Wax"))
        self.count = PlanField(tr("Candles"), "")
        self.load = PlanField(tr("Oil in all"), "%", 0.5)
        self.basis = PlanChoice(tr("Of wax and oil together, or of the wax"))
        self.basis.offer([(Basis.WHOLE, tr("of wax and oil together")), (Basis.WAX, tr("of the wax"))])
        self.rows: list[OilRow] = []
        self.add = QPushButton(tr("Another oil"))
        self.add.setProperty("role", "link")
        self.note = SteadyLabel("muted", lines=2)
        self._lay_out()
        self.offer((), ())
        self._add_row()
        self.wax.currentIndexChanged.connect(self._wax_chosen)
        self.basis.currentIndexChanged.connect(self.edited)
        for field in (self.count, self.load):
            field.textEdited.connect(self.edited)
        self.add.clicked.connect(self._another)

    def _lay_out(self) -> None:
        first = QHBoxLayout()
        first.setSpacing(10)
        first.addWidget(cell(tr("Wax"), self.wax), 3)
        first.addWidget(cell(tr("Candles"), self.count), 1)
        self._rows_box = QVBoxLayout()
        self._rows_box.setSpacing(6)
        last = QHBoxLayout()
        last.setSpacing(10)
        last.addWidget(cell(tr("Oil in all"), self.load), 1)
        last.addWidget(cell(tr("Counted"), self.basis), 3)
        box = QVBoxLayout(self)
        box.setContentsMargins(20, 14, 20, 10)
        box.setSpacing(6)
        box.addWidget(role_label(tr("Wax and oil"), "section"))
        box.addLayout(first)
        oil_head = QHBoxLayout()
        oil_head.addWidget(role_label(tr("Oil"), "label", wrap=False))
        oil_head.addStretch(1)
        oil_head.addWidget(self.add, 0, Qt.AlignmentFlag.AlignBottom)
        oils = QVBoxLayout()
        oils.setSpacing(2)
        oils.addLayout(oil_head)
        oils.addLayout(self._rows_box)
        box.addLayout(oils)
        box.addLayout(last)
        box.addWidget(self.note)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        for part in (self.count, self.load, self.note, *self.rows):
            part.use(theme)

    def order(self) -> Iterator[QWidget]:
        """The fields in the order of the Tab key."""
        # The button stands above the rows.
        yield from (self.wax, self.count, self.add)
        for row in self.rows:
            yield from row.order()
        yield from (self.load, self.basis)

    # --- the cupboard -------------------------------------------------------------------------------------

    def offer(self, lots: tuple[WaxLot, ...], bottles: tuple[OilBottle, ...]) -> None:
        """Offer the lots and bottles of the cupboard before what the tables know."""
        self._lots = {lot.name: lot for lot in lots}
        self._bottles = {bottle.name: bottle for bottle in bottles}
        in_stock = tr("{name}, {grams} g left")
        waxes: list[tuple[object, str]] = [
            (("lot", lot.name), in_stock.format(name=lot.name, grams=number(round(lot.stock_g))))
            for lot in lots
        ]
        waxes += [(("wax", wax.name), wax.shown_name) for wax in self._tables.waxes.values()]
        self.wax.offer(waxes)
        for row in self.rows:
            row.offer(self._oil_choices(), self._bottles)

    def _oil_choices(self) -> list[tuple[Choice, str]]:
        in_stock = tr("{name}, {volume} mL left")
        bottles = [
            (
                Choice("bottle", name),
                in_stock.format(name=name, volume=number(round(bottle.stock_ml))),
            )
            for name, bottle in self._bottles.items()
        ]
        table = [(Choice("table", oil.name), oil.shown_name) for oil in self._tables.oils.values()]
        return [
            (NO_OIL, tr("no oil")),
            *bottles,
            *sorted(table, key=lambda each: each[1]),
            (BY_SHEET, tr("another, by its data sheet")),
        ]

    def lot(self) -> str:
        """Name of the lot in the cupboard, '' for a wax of the table."""
        kind, name = self.wax.value() or ("", "")  # type: ignore[misc]
        return str(name) if kind == "lot" else ""

    def bottles(self) -> list[str]:
        """Names of the bottles the blend is made of."""
        return [row.choice.name for row in self.rows if row.choice.kind == "bottle"]

    def _wax_chosen(self) -> None:
        if self._request is None:
            return
        lot = self._lots.get(self.lot())
        if lot is not None:
            self.replaced.emit(with_lot(self._request, lot))
        else:
            _, name = self.wax.value()  # type: ignore[misc]
            self.replaced.emit(replace(self._request, wax=str(name), **_OWN_FIGURES))

    # --- rows ---------------------------------------------------------------------------------------------

    def _add_row(self) -> OilRow:
        row = OilRow(self._oil_choices(), self._bottles, self._shown)
        row.use(self._theme)
        row.edited.connect(self._row_edited)
        row.unwanted.connect(lambda: self._remove(row))
        self.rows.append(row)
        self._rows_box.addWidget(row)
        self._show_parts()
        return row

    def _row_edited(self) -> None:
        self._show_parts()
        self.edited.emit()

    def _another(self) -> None:
        row = self._add_row()
        self.rows_changed.emit()
        row.oil.setFocus(Qt.FocusReason.TabFocusReason)
        self.edited.emit()

    def _remove(self, row: OilRow) -> None:
        place = self.rows.index(row)
        self._drop(row)
        if not self.rows:
            self._add_row()
        self._show_parts()
        self.rows_changed.emit()
        self.rows[min(place, len(self.rows) - 1)].oil.setFocus(Qt.FocusReason.TabFocusReason)
        self.edited.emit()

    def _drop(self, row: OilRow) -> None:
        self.rows.remove(row)
        self._rows_box.removeWidget(row)
        row.hide()
        row.deleteLater()

    def _show_parts(self) -> None:
        """A single oil is all of the blend; a single empty row cannot be removed."""
        for row in self.rows:
            row.parts.setVisible(len(self.rows) > 1)
            row.remove.setVisible(len(self.rows) > 1 or row.choice != NO_OIL)
            row.sheet.setVisible(row.choice != NO_OIL)

    # --- request and plan ---------------------------------------------------------------------------------

    def show_request(self, request: PlanRequest) -> None:
        """Show what a request says of wax and oil."""
        self._request = request
        blocked = self.wax.blockSignals(True)
        if not (request.lot and self.wax.choose(("lot", request.lot))):
            self.wax.choose(("wax", request.wax))
        self.wax.blockSignals(blocked)
        self.count.show_number(request.count)
        if request.oils:
            self.load.show_number(request.load_pct)
        elif self.load.number() is None:
            self.load.show_number(self._usual_load_pct(request))
        self.basis.choose(request.basis)
        prices = dict(request.prices.oil_per_ml)
        while len(self.rows) < max(1, len(request.oils)):
            self._add_row()
        while len(self.rows) > max(1, len(request.oils)):
            self._drop(self.rows[-1])
        for row, part in zip(self.rows, request.oils, strict=False):
            row.show_part(part, prices.get(part.oil.name))
        if not request.oils:
            blocked = self.rows[0].blockSignals(True)
            self.rows[0].oil.choose(NO_OIL)
            self.rows[0].blockSignals(blocked)
        self._show_parts()
        self.rows_changed.emit()

    def _usual_load_pct(self, request: PlanRequest) -> float:
        """Where a new plan begins: what the wax holds, but no more than is usual in beeswax."""
        usual = self._tables.waxes["beeswax"].oil_limit_pct
        wax = self._tables.waxes.get(request.wax)
        return usual if wax is None else min(usual, wax.oil_limit_pct)

    def read_into(self, request: PlanRequest) -> tuple[PlanRequest, list[Fault]]:
        """Return the request with this wax and these oils, and what could not be read."""
        faults = [
            Fault(name, field.problem())
            for name, field in (("count", self.count), ("load_pct", self.load))
            if field.problem()
        ]
        oils, prices = [], []
        for row in self._rows_with_oil():
            place = f"oils[{len(oils)}]"
            faults += [Fault(place, problem) for problem in row.problems()]
            try:
                oil = row.essential_oil()
            except FixableError as error:
                faults.append(Fault(place, str(error)))
                oil = None
            # The row keeps its number even when it cannot be read.
            oil = oil or next(iter(self._tables.oils.values()))
            parts = row.parts.number() if len(self.rows) > 1 else 1.0
            oils.append(OilPart(oil, 0.0 if parts is None else parts))
            price = row.price.number()
            if price is not None:
                prices.append((oil.name, price))
        count = self.count.number()
        if count is not None and count != int(count):
            faults.append(Fault("count", tr("Candles: type a whole number.")))
        self._request = replace(
            request,
            count=request.count if count is None else int(count),
            oils=tuple(oils),
            load_pct=(self.load.number() or 0.0) if oils else 0.0,
            basis=self.basis.value() or Basis.WHOLE,  # type: ignore[arg-type]
            prices=replace(request.prices, oil_per_ml=tuple(prices)),
        )
        return self._request, faults

    def _rows_with_oil(self) -> list[OilRow]:
        return [row for row in self.rows if row.choice != NO_OIL]

    def mark(self, faults: dict[str, str]) -> None:
        """Mark the fields of these faults."""
        self.count.mark(faults.get("count", ""))
        self.load.mark(faults.get("load_pct", ""))
        self.wax.mark(faults.get("wax", ""))
        with_oil = self._rows_with_oil()
        for row in self.rows:
            place = f"oils[{with_oil.index(row)}]" if row in with_oil else "oils"
            row.mark(faults.get(place, ""))

    def show_plan(self, plan: Plan | None) -> None:
        """Show what to weigh in, and the share in both conventions."""
        lines = {} if plan is None or plan.oil is None else {line.oil.name: line for line in plan.oil.lines}
        parts = () if plan is None else plan.request.oils
        for row in self.rows:
            row.show_line(None)
        for row, part in zip(self._rows_with_oil(), parts, strict=False):
            row.show_line(lines.get(part.oil.name))
        if plan is None:
            self.note.say("", "muted")
        elif plan.oil is None:
            self.note.say(tr("No oil: a plain candle."), "muted")
        else:
            words = tr("{whole} % of wax and oil together, which is {wax} % of the wax.").format(
                whole=number(plan.oil.of_whole_pct.value), wax=number(plan.oil.of_wax_pct.value)
            )
            self.note.say(words, "muted")
