"""Ice, boiling water, or another thermometer: how to make it, what to type, and what was taken."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from candlebench.core.errors import FixableError
from candlebench.core.trust.check import CheckedPoint
from candlebench.core.trust.finding import spread_words
from candlebench.core.trust.guides import guide_to
from candlebench.core.trust.points import COVERAGE, USUAL_TRUST_K, CheckPoint, beside_point
from candlebench.core.trust.readings import PointReading, typed_reading
from candlebench.core.units import Shown
from candlebench.ui.check_course import KIND_OF, Course, Step
from candlebench.ui.check_parts import GuideList, TypedRow, announce, set_words
from candlebench.ui.fields import NumberField
from candlebench.ui.page_frame import role_label
from candlebench.ui.plan_rows import Sign
from candlebench.ui.theme import Theme
from candlebench.words import tr

# As far as another thermometer may be trusted or not; `beside_point` refuses the rest.
TRUST_K = (0.1, 10.0)


class PointStep(QFrame):
    """One check point. `changed` says that a reading was taken or dropped.

    `taken_by_itself` says that one was taken because the probe stood still.
    """

    changed = Signal()
    taken_by_itself = Signal()

    def __init__(self, step: Step, course: Course) -> None:
        super().__init__()
        self.setObjectName("card")
        self.step = step
        self._course, self._shown = course, course.shown
        self._heading = role_label("", "question")
        self._sign = Sign("good")
        self._sign.show_kind("good")
        self._lead = role_label("", "lead")
        self._how_taken = role_label("", "muted")
        guide = guide_to(KIND_OF[step], self._shown)
        self.guide = GuideList(guide.steps, guide.cautions)
        self._problem = role_label("", "problem")
        self._problem.hide()
        self.typed = self._typed_row()
        self.typed.given.connect(self._take_typed)
        self._other = self._other_fields()
        top = QHBoxLayout()
        top.setSpacing(12)
        top.addWidget(self._sign, 0, Qt.AlignmentFlag.AlignVCenter)
        top.addWidget(self._heading, 1)
        box = QVBoxLayout(self)
        box.setContentsMargins(24, 18, 24, 18)
        box.setSpacing(10)
        box.addLayout(top)
        for part in (self._lead, self._how_taken, self.guide, self._other, self.typed, self._problem):
            box.addWidget(part)
        box.addStretch(1)
        self._live = False
        self.refresh()

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self.guide.use(theme)
        self.typed.use(theme)
        self._sign.use(theme)

    def use_live(self, live: bool) -> None:
        """There is a thermometer to read, or there is none."""
        if live != self._live:
            self._live = live
            self.refresh()

    # --- fields -------------------------------------------------------------------------------------------

    def _typed_row(self) -> TypedRow:
        if self.step is Step.BESIDE:
            return TypedRow(tr("This probe shows"), self._shown.sign, tr("Take both"))
        return TypedRow(
            tr("Or type what it shows"),
            self._shown.sign,
            tr("Take it"),
            tr("Several readings, with spaces between, make it surer."),
        )

    def _other_fields(self) -> QWidget:
        """What the other thermometer shows and how far it is trusted; for that step only."""
        shown = self._shown
        low, high = shown.number(-40.0), shown.number(200.0)
        self.true = NumberField(tr("The other one shows"), shown.sign, low, high)
        low, high = (shown.difference(trust_k) for trust_k in TRUST_K)
        self.trust = NumberField(tr("It is right within"), shown.sign, low, high)
        self.trust.show_number(shown.difference(USUAL_TRUST_K))
        row = QWidget()
        box = QHBoxLayout(row)
        box.setContentsMargins(0, 4, 0, 0)
        box.setSpacing(24)
        for words, field in (
            (tr("The other one shows, {unit}"), self.true),
            (tr("It is right within, {unit}"), self.trust),
        ):
            column = QVBoxLayout()
            column.setSpacing(6)
            label = role_label(words.format(unit=shown.sign), "lead", wrap=False)
            label.setBuddy(field)
            column.addWidget(label)
            column.addWidget(field)
            box.addLayout(column)
        box.addStretch(1)
        self.true.returnPressed.connect(self._after_true)
        self.trust.returnPressed.connect(self._after_true)
        return row

    def _after_true(self) -> None:
        self.typed.field.setFocus()

    def true_point(self) -> CheckPoint:
        """What the other thermometer shows.

        Raises
        ------
        FixableError
            A field is empty, or cannot be.
        """
        for field in (self.true, self.trust):
            if field.problem():
                raise FixableError(field.problem())
        true, trust = self.true.number(), self.trust.number()
        assert true is not None and trust is not None
        return beside_point(self._shown.back(true), trust / self._shown.difference(1.0))

    # --- taking -------------------------------------------------------------------------------------------

    def known_point(self) -> CheckPoint | None:
        """Where the probe should come to; None when that is not known yet."""
        if self.step is not Step.BESIDE:
            return self._course.known_point(self.step)
        try:
            return self.true_point()
        except FixableError:
            return None

    def take_by_itself(self, reading: PointReading) -> None:
        """The probe stands still where it should: take that."""
        point = self.known_point()
        if point is not None and self._course.taken(self.step) is None and self._take(point, reading):
            announce(self, self._heading.text())
            self.taken_by_itself.emit()

    def _take_typed(self, text: str) -> None:
        try:
            reading = typed_reading(text.replace(";", " ").split(), self._shown)
            point = self.known_point() or self.true_point()
        except FixableError as error:
            set_words(self._problem, str(error))
            return
        self._take(point, reading)

    def take_live(self, reading: PointReading) -> None:
        """Compare what the probe shows now with what was typed for the other thermometer."""
        try:
            self._take(self.true_point(), reading)
        except FixableError as error:
            set_words(self._problem, str(error))
            self.true.setFocus()

    def _take(self, point: CheckPoint, reading: PointReading) -> bool:
        try:
            self._course.take(self.step, point, reading)
        except FixableError as error:
            set_words(self._problem, str(error))
            return False
        self.typed.clear()
        self.refresh()
        self.changed.emit()
        return True

    def drop(self) -> None:
        """Take it again."""
        self._course.drop(self.step)
        self.refresh()
        self.changed.emit()

    def start_typing(self, text: str) -> None:
        """Go on from a digit that was pressed on the page."""
        if self._course.taken(self.step) is None:
            first_empty = self.step is Step.BESIDE and not self.true.text()
            if first_empty:
                self.true.setFocus()
                self.true.setText(text)
            else:
                self.typed.start_typing(text)

    # --- showing ------------------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show what was taken, or how to take it."""
        taken = self._course.taken(self.step)
        set_words(self._problem, "")
        self._sign.setVisible(taken is not None)
        self.guide.setVisible(taken is None)
        self.typed.setVisible(taken is None)
        self._other.setVisible(taken is None and self.step is Step.BESIDE)
        if taken is None:
            self._heading.setText(self._ask())
            set_words(self._lead, self._why())
            set_words(self._how_taken, "")
        else:
            self._heading.setText(self._found(taken))
            set_words(self._lead, error_words(taken, self._shown))
            set_words(self._how_taken, _how_words(taken.reading, self._shown))
        self.setAccessibleName(self._heading.text())

    def _ask(self) -> str:
        if self.step is Step.ICE:
            return tr("Hold the probe in melting ice")
        if self.step is Step.BOILING:
            return tr("Hold the probe in boiling water")
        return tr("Hold both thermometers in one jug")

    def _why(self) -> str:
        shown = self._shown
        if self.step is Step.ICE:
            text = tr("It should show {temp}.")
            if self._live:
                text = tr("It should show {temp}; it is taken by itself once it stands.")
            return text.format(temp=shown.temp(0.0))
        if self.step is Step.BESIDE:
            return tr("This step may be skipped. It shows how the two differ where a melt needs it.")
        point = self._course.air.boiling()
        assert point.pressure_hpa is not None
        text = tr(
            "It boils at {temp} here, give or take {spread}: the air presses with {pressure:.0f} hPa at "
            "{height:.0f} m."
        )
        if self._course.air.pressure_hpa is None:
            text = tr(
                "At {height:.0f} m it boils at {temp}, give or take {spread} with the weather: the thinner "
                "the air, the sooner it boils."
            )
        return text.format(
            temp=_tenths(point.true_c, shown),
            spread=spread_words(COVERAGE * point.sd_k, shown),
            pressure=point.pressure_hpa,
            height=self._course.air.altitude_m,
        )

    def _found(self, taken: CheckedPoint) -> str:
        text = tr("It shows {temp} in melting ice")
        if self.step is Step.BOILING:
            text = tr("It shows {temp} in boiling water")
        elif self.step is Step.BESIDE:
            text = tr("It shows {temp} beside the other one's {true}")
        return text.format(
            temp=_tenths(taken.reading.read_c, self._shown), true=_tenths(taken.point.true_c, self._shown)
        )


def known_words(step: Step) -> str:
    """What the line of the known temperature is called in the curve."""
    return {Step.ICE: tr("melting ice"), Step.BOILING: tr("boiling water")}.get(step, tr("the other one"))


def error_words(taken: CheckedPoint, shown: Shown) -> str:
    """'That is 0.4 °C too high.'"""
    error = shown.difference(taken.error_k)
    if abs(error) < 0.05:
        return tr("That is right, to the tenth.")
    text = tr("That is {error} too high.") if error > 0.0 else tr("That is {error} too low.")
    return text.format(error=shown.drop(abs(taken.error_k)))


def _how_words(reading: PointReading, shown: Shown) -> str:
    if reading.scatter_k is None:
        return tr("Read once.")
    text = tr("From {count} readings; their mean is sure to {spread}.")
    return text.format(count=reading.count, spread=spread_words(COVERAGE * reading.scatter_k, shown))


def _tenths(temp_c: float, shown: Shown) -> str:
    return f"{shown.number(temp_c):.1f} {shown.sign}"
