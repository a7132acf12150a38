"""The column of a plan's results: what it takes, windows and limits, wick, jar, cost, and what to mind."""

import math

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QVBoxLayout, QWidget

from candlebench.core.materials.wax import oil_window_open, warn_after_oil_c
from candlebench.core.plan.planning import Plan
from candlebench.core.plan.reasoned import Caution, Check, Reasoned, number
from candlebench.core.state import Level
from candlebench.core.units import Shown
from candlebench.ui.plan_cards import rule, ruled, titled_card
from candlebench.ui.plan_rows import ReasonRow, ResultRow
from candlebench.ui.plan_wick_drawing import WickDrawing
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr, tr_count

# The reason stands beside its value from this width of the column on, in pixels at 100 % text.
WIDE_PX = 640
CHECKS = ("heat_proof", "step", "opening", "headspace", "weighed")
SIGNS = {Level.CALM: "note", Level.WARNING: "warning", Level.DANGER: "danger"}
_NO_PLAN = "–"


class PlanResults(QWidget):
    """Shows a `Plan`; every place stays where it is while she types. Only the cautions, last, come and go."""

    def __init__(self, shown: Shown) -> None:
        super().__init__()
        self._shown, self._theme = shown, Theme(LIGHT)
        self._plan: Plan | None = None
        self._mind: tuple[Caution, ...] = ()
        self._make_rows()
        self.wicks = WickDrawing()
        self.checks = {code: ReasonRow() for code in CHECKS}
        self.cautions: list[ReasonRow] = []
        self._caution_box = QVBoxLayout()
        self._caution_box.setSpacing(0)
        self._lay_out()

    def _make_rows(self) -> None:
        self.wax, self.pellets = ResultRow(tr("Wax"), 3), ResultRow(tr("Pellets"), 3)
        self.oil, self.top_up = ResultRow(tr("Oil"), 3), ResultRow(tr("Top-up"), 3)
        self.oil_in, self.pour = ResultRow(tr("Oil in")), ResultRow(tr("Pour at"))
        self.flash, self.warnings = ResultRow(tr("Flash")), ResultRow(tr("Warnings"))
        self.wick, self.first_burn = ResultRow(tr("Wick")), ResultRow(tr("First burn"))
        self.each, self.sets = ResultRow(tr("Each jar")), ResultRow(tr("Sets at"), 3)
        self.candle, self.price = ResultRow(tr("A candle")), ResultRow(tr("Sell at"))
        self.batch, self.energy = ResultRow(tr("All of it")), ResultRow(tr("Energy"))
        self.rows = {
            "what": (self.wax, self.pellets, self.oil, self.top_up),
            "limits": (self.oil_in, self.pour, self.flash, self.warnings),
            "wick": (self.wick, self.first_burn),
            "jar": (self.each, self.sets),
            "cost": (self.candle, self.price, self.batch, self.energy),
        }

    def _lay_out(self) -> None:
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(14)
        box.addWidget(titled_card(tr("What it takes"), ruled(self.rows["what"])))
        box.addWidget(titled_card(tr("Windows and limits this gives"), ruled(self.rows["limits"])))
        wick = QWidget()
        self._wick_box = QBoxLayout(QBoxLayout.Direction.LeftToRight, wick)
        self._wick_box.setContentsMargins(0, 4, 0, 0)
        self._wick_box.setSpacing(18)
        self._wick_box.addWidget(self.wicks, 0, Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignHCenter)
        self._wick_box.addWidget(ruled(self.rows["wick"]), 1)
        box.addWidget(titled_card(tr("Wick, a first guess"), wick))
        jar = QWidget()
        jar_box = QVBoxLayout(jar)
        jar_box.setContentsMargins(0, 0, 0, 0)
        jar_box.setSpacing(0)
        jar_box.addWidget(ruled(self.rows["jar"]))
        jar_box.addWidget(rule())
        for check in self.checks.values():
            jar_box.addWidget(check)
        box.addWidget(titled_card(tr("Is the jar fit?"), jar))
        box.addWidget(titled_card(tr("Cost and price"), ruled(self.rows["cost"])))
        mind = QWidget()
        mind.setLayout(self._caution_box)
        self._caution_box.setContentsMargins(0, 0, 0, 0)
        self.mind_card = titled_card(tr("Watch out for"), mind)
        box.addWidget(self.mind_card)
        box.addStretch(1)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.wicks.use(theme)
        for row in (*self.checks.values(), *self.cautions):
            row.use(theme)
        self._fit()
        self._show_all()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        compact = self.width() < self._theme.px(WIDE_PX)
        directions = QBoxLayout.Direction
        self._wick_box.setDirection(directions.TopToBottom if compact else directions.LeftToRight)
        for name, rows in self.rows.items():
            for row in rows:
                # The drawing takes the room beside the wick.
                row.use(self._theme, compact or name == "wick")

    def links(self) -> list[QWidget]:
        """The source links in the order of the Tab key."""
        rows = [row for group in self.rows.values() for row in group]
        jar = self.rows["jar"][-1]
        found: list[QWidget] = []
        for row in rows:
            found.append(row.source)
            if row is jar:
                found += [check.source for check in self.checks.values()]
        return found + [row.source for row in self.cautions]

    def show_plan(self, plan: Plan | None, cautions: tuple[Caution, ...] = ()) -> None:
        """Show a plan and what is to be minded; None keeps every place and says where to look."""
        self._plan, self._mind = plan, cautions
        self._show_all()

    def _show_all(self) -> None:
        plan = self._plan
        self.wicks.show_plan(plan)
        if plan is None:
            for rows in self.rows.values():
                for row in rows:
                    row.show_nothing(tr("See the field that is marked."))
            for check in self.checks.values():
                check.show_reason("", _NO_PLAN, "", "")
            self._show_cautions(())
            return
        self._show_what(plan)
        self._show_limits(plan)
        self._show_wick(plan)
        self._show_jar(plan)
        self._show_cost(plan)
        self._show_cautions(self._mind)

    # --- what it takes ------------------------------------------------------------------------------------

    def _show_what(self, plan: Plan) -> None:
        wax = plan.wax
        _show(self.wax, wax.weigh_g)
        if wax.pellets_ml is None or wax.doubled_g is None:
            self.pellets.show_nothing(tr("No figure of its pellets is at hand: weigh."))
        else:
            band = f"{wax.pellets_ml.band}. " if wax.pellets_ml.band else ""
            self.pellets.show_result(
                [(wax.pellets_ml.number, wax.pellets_ml.unit)],
                f"{band}{wax.doubled_g.why}",
                f"{wax.pellets_ml.why} {wax.doubled_g.source}",
            )
        self._show_oil(plan)
        if wax.top_up_g is None:
            self.top_up.show_nothing(tr("How far this wax shrinks is not known."))
        else:
            _show(self.top_up, wax.top_up_g)

    def _show_oil(self, plan: Plan) -> None:
        oil = plan.oil
        if oil is None:
            self.oil.show_result([("0", "g")], tr("A plain candle."), "")
            return
        why = oil.weigh_g.why
        if abs(oil.error_pct) >= 0.01:
            why += " " + tr("The scale's step takes it {percent} % off.").format(
                percent=number(abs(oil.error_pct))
            )
        self.oil.show_result(
            [(oil.weigh_g.number, oil.weigh_g.unit), (oil.volume_ml.number, oil.volume_ml.unit)],
            why,
            f"{oil.weigh_g.source}; {oil.volume_ml.source}",
        )

    # --- windows and limits -------------------------------------------------------------------------------

    def _show_limits(self, plan: Plan) -> None:
        limits, shown, oil = plan.limits, self._shown, plan.oil
        figures = plan.wax.wax.figures
        window_source = figures["oil_low_c"].spoken_source() if "oil_low_c" in figures else ""
        pour_source = figures["pour_low_c"].spoken_source() if "pour_low_c" in figures else ""
        warn_source = figures["warn_c"].spoken_source() if "warn_c" in figures else ""
        if oil is None:
            self.oil_in.show_nothing(tr("No oil goes in."))
        elif oil.flash_c is None:
            why = tr("Without the oil's flash point no window is known: type it from its data sheet.")
            self.oil_in.show_result([(tr("unknown"), "")], why, window_source, Level.DANGER)
        elif not oil_window_open(limits):
            stops = [caution for caution in plan.stops if caution.code == "no_window"]
            why = stops[0].text if stops else ""
            self.oil_in.show_result([(tr("no window"), "")], why, window_source, Level.DANGER)
        else:
            self.oil_in.show_result(
                [self._span(limits.oil_low_c, math.floor(limits.oil_high_c))],
                tr("Off the heat, then stir."),
                window_source,
            )
        self.pour.show_result(
            [self._span(limits.pour_low_c, limits.pour_high_c)],
            tr("The plan reckons with {pour}.").format(pour=shown.temp(plan.pour_c)),
            pour_source,
        )
        if oil is not None and oil.flash_c is not None:
            bare = shown.bare(round(oil.flash_c.value))
            self.flash.show_result(
                [(bare, tr("{sign}, estimated").format(sign=shown.sign))], oil.flash_c.why, oil.flash_c.source
            )
        else:
            self.flash.show_nothing(tr("Only estimated for a melt with oil."))
        self._show_warnings(plan, warn_source)

    def _show_warnings(self, plan: Plan, source: str) -> None:
        limits, shown = plan.limits, self._shown
        values = [(shown.bare(limits.warn_c), ""), (shown.bare(limits.strong_c), shown.sign)]
        stop = shown.temp(limits.stop_c)
        why = tr("First warning; then the wax darkens. Heating stops at {stop}.").format(stop=stop)
        after_c = warn_after_oil_c(limits, plan.melt_oil)
        level = Level.CALM
        if after_c < limits.warn_c:
            level = Level.WARNING
            why += " " + tr("With the oil in, it warns at {warn}.").format(warn=shown.temp(round(after_c)))
        joined = [(tr("{warn}, {strong}").format(warn=values[0][0], strong=values[1][0]), shown.sign)]
        self.warnings.show_result(joined, why, source, level)

    def _span(self, low_c: float, high_c: float) -> tuple[str, str]:
        span, _, sign = self._shown.span(low_c, high_c).rpartition(" ")
        return span, sign

    # --- wick, jar, cost ----------------------------------------------------------------------------------

    def _show_wick(self, plan: Plan) -> None:
        wick, count = plan.wick, int(plan.wick.count.value)
        words = tr_count("wick", "wicks", count)
        if wick.size:
            words = f"{words}, {wick.series} {wick.size}".replace("  ", " ")
        beside = [size for size in (wick.thinner, wick.thicker) if size]
        if not wick.size:
            why = tr("No start size is known here: burn-test what its supplier names.")
        elif beside:
            why = tr("Burn-test it, and {sizes} beside it.").format(sizes=tr(" and ").join(beside))
        else:
            why = tr("Burn-test it.")
        self.wick.show_result([(str(count), words)], f"{why} {wick.count.why}", f"{wick.why} {wick.source}")
        _show(self.first_burn, wick.first_burn_h)

    def _show_jar(self, plan: Plan) -> None:
        _show(self.each, plan.wax.each_g)
        if plan.wax.set_level_mm is None:
            self.sets.show_nothing(tr("How far this wax shrinks is not known."))
        else:
            _show(self.sets, plan.wax.set_level_mm)
        found = {check.code: check for check in plan.jar.checks}
        for code, row in self.checks.items():
            check = found.get(code)
            if check is None:
                row.show_reason(
                    "ask",
                    tr("Not weighed with water."),
                    tr("Filled with water up to the line and weighed, the jar says what its sizes cannot."),
                    "",
                )
            else:
                row.show_reason(_sign_of(check), check.text, check.why, check.source)

    def _show_cost(self, plan: Plan) -> None:
        cost = plan.cost
        none = tr("Type prices at the left to see it.")
        for row, result in (
            (self.candle, cost.each),
            (self.price, cost.price_each),
            (self.batch, cost.batch),
        ):
            if result is None:
                row.show_nothing(none)
            else:
                _show(row, result)
        if cost.each is not None and cost.missing:
            why = tr("Without {names}, which have no price.").format(names=", ".join(cost.missing))
            self.candle.show_result(
                [(cost.each.number, cost.each.unit)], f"{cost.each.why} {why}", cost.each.source
            )
        energy = cost.energy_kwh
        self.energy.show_result([(energy.number, energy.unit)], f"{energy.band}. {energy.why}", energy.source)

    # --- cautions -----------------------------------------------------------------------------------------

    def _show_cautions(self, cautions: tuple[Caution, ...]) -> None:
        while len(self.cautions) < len(cautions):
            row = ReasonRow()
            row.use(self._theme)
            self.cautions.append(row)
            self._caution_box.addWidget(row)
        for row, caution in zip(self.cautions, cautions, strict=False):
            row.forget_height()
            row.show_reason(SIGNS[caution.level], caution.text, caution.why, caution.source)
        for index, row in enumerate(self.cautions):
            row.setVisible(index < len(cautions))
        self.mind_card.setVisible(bool(cautions))


def _show(row: ResultRow, result: Reasoned) -> None:
    row.show_result([(result.number, result.unit)], result.why, result.source)


def _sign_of(check: Check) -> str:
    if check.good is None:
        return "ask"
    if check.good:
        return "good"
    return "danger" if check.code == "heat_proof" else "warning"
