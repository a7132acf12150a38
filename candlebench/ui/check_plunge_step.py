"""How late a probe is: it is plunged and read, or she takes the time with a stopwatch."""

import math

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QGridLayout, QVBoxLayout, QWidget

from candlebench.core.clock import Clock
from candlebench.core.errors import FixableError
from candlebench.core.trust.guides import guide_to_plunge
from candlebench.core.trust.lag import wax_lag_text, with_plunge
from candlebench.core.trust.plunge import (
    STOPWATCH_S,
    Plunge,
    nine_tenths_c,
    not_by_typing,
    plunge_by_stopwatch,
    plunge_text,
)
from candlebench.core.units import clock_face
from candlebench.ui.check_course import Course
from candlebench.ui.check_curve import CheckCurve, CurvePicture, Mark
from candlebench.ui.check_parts import GuideList, TypedRow, announce, set_words
from candlebench.ui.check_plunge_watch import Phase, PlungeLook, PlungeWatch
from candlebench.ui.check_shop import CheckShop
from candlebench.ui.fields import NumberField
from candlebench.ui.page_frame import role_label
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

# What is shown of the time at rest, and at least of the way.
BEFORE_S, LEAST_SHOWN_S = 8.0, 30.0
_FIT_POINTS = 80


class LagStep(QFrame):
    """The plunge test. `changed` says that the foot has to be looked at again."""

    changed = Signal()

    def __init__(self, course: Course, shop: CheckShop, clock: Clock) -> None:
        super().__init__()
        self.setObjectName("card")
        self._course, self._shop, self._clock = course, shop, clock
        self._theme = Theme(LIGHT)
        self.watch = PlungeWatch()
        self._look = PlungeLook(Phase.WAITING, "")
        self._typed: Plunge | None = None
        self._kept: Plunge | None = None
        self._began_s: float | None = None
        self._live = False
        self._heading = role_label("", "question")
        self._lead, self._wax = role_label("", "lead"), role_label("", "muted")
        guide = guide_to_plunge(course.shown)
        self.guide = GuideList(guide.steps, guide.cautions)
        self.curve = CheckCurve(220, grows=True)
        self._problem = role_label("", "problem")
        self._said = role_label("", "lead")
        for label in (self._wax, self._problem, self._said):
            label.hide()
        self.typed = TypedRow(tr("Or type the seconds until nine tenths of the way"), tr("s"), tr("Take it"))
        self.typed.given.connect(self._take_typed)
        self._by_hand = self._stopwatch()
        box = QVBoxLayout(self)
        box.setContentsMargins(24, 18, 24, 18)
        box.setSpacing(10)
        for part in (
            self._heading,
            self._said,
            self._lead,
            self.curve,
            self._wax,
            self.guide,
            self._by_hand,
            self.typed,
            self._problem,
        ):
            box.addWidget(part, 1000 if part is self.curve else 0)
        box.addStretch(1)
        self.refresh()

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.guide.use(theme)
        self.typed.use(theme)
        self.curve.use(theme, self._course.shown)

    # --- the stopwatch ------------------------------------------------------------------------------------

    def _stopwatch(self) -> QWidget:
        shown = self._course.shown
        self._why_by_hand = role_label(not_by_typing(), "muted")
        low, high = shown.number(-40.0), shown.number(120.0)
        self.from_c = NumberField(tr("It shows before"), shown.sign, low, high)
        self.to_c = NumberField(tr("The hot water"), shown.sign, low, high)
        grid = QGridLayout()
        grid.setHorizontalSpacing(24)
        grid.setVerticalSpacing(6)
        for column, (words, field) in enumerate(
            (
                (tr("It shows before, {unit}"), self.from_c),
                (tr("The hot water, {unit}"), self.to_c),
            )
        ):
            label = role_label(words.format(unit=shown.sign), "lead", wrap=False)
            label.setBuddy(field)
            grid.addWidget(label, 0, column)
            grid.addWidget(field, 1, column)
            field.textChanged.connect(self._show_nine_tenths)
        grid.setColumnStretch(2, 1)
        self._stop_at = role_label("", "lead")
        whole = QWidget()
        box = QVBoxLayout(whole)
        box.setContentsMargins(0, 8, 0, 0)
        box.setSpacing(10)
        box.addWidget(self._why_by_hand)
        box.addLayout(grid)
        box.addWidget(self._stop_at)
        self._show_nine_tenths()
        return whole

    def _show_nine_tenths(self) -> None:
        shown = self._course.shown
        before, after = self.from_c.number(), self.to_c.number()
        text = tr("Stop the watch when it has gone nine tenths of the way.")
        if before is not None and after is not None:
            at_c = nine_tenths_c(shown.back(before), shown.back(after))
            text = tr("Stop the watch when it shows {temp}: nine tenths of the way.")
            text = text.format(temp=f"{shown.number(at_c):.1f} {shown.sign}")
        self._stop_at.setText(text)

    def press_watch(self) -> None:
        """Start the stopwatch as the probe goes in, or stop it."""
        if self._began_s is None:
            self._began_s = self._clock.elapsed_s()
        else:
            passed_s = self._clock.elapsed_s() - self._began_s
            self._began_s = None
            self._take_seconds(passed_s)
        self.refresh()
        self.changed.emit()

    @property
    def is_timing(self) -> bool:
        """Whether the stopwatch runs."""
        return self._began_s is not None

    def _take_typed(self, text: str) -> None:
        try:
            seconds = float(text.replace(",", "."))
        except ValueError:
            low, high = STOPWATCH_S
            words = tr("“{text}” is no number of seconds: write one from {low:g} to {high:g}.")
            set_words(self._problem, words.format(text=text, low=low, high=high))
            return
        self._take_seconds(seconds)
        self.refresh()
        self.changed.emit()

    def _take_seconds(self, seconds: float) -> None:
        try:
            self._typed = plunge_by_stopwatch(seconds, self._shop.today.isoformat())
        except FixableError as error:
            set_words(self._problem, str(error))
            return
        self.typed.clear()
        announce(self, plunge_text(self._typed))

    def start_typing(self, text: str) -> None:
        """Go on from a digit that was pressed on the page."""
        if self.plunge is None:
            self.typed.start_typing(text)

    # --- by wire ------------------------------------------------------------------------------------------

    @property
    def plunge(self) -> Plunge | None:
        """The result."""
        return self._typed or self._look.plunge

    @property
    def is_kept(self) -> bool:
        """Whether the result is in the records."""
        return self.plunge is not None and self.plunge == self._kept

    @property
    def phase(self) -> Phase:
        """How far the plunge has come."""
        return Phase.DONE if self._typed is not None else self._look.phase

    def look(self, live: bool) -> None:
        """Bring it up to date with the readings; `live` when there is a thermometer to read.

        Also called while the stopwatch runs.
        """
        before = self.phase
        if live and self._typed is None:
            self._look = self.watch.look(self._shop.today.isoformat(), self._course.shown)
        if live != self._live or self.phase is not before or self.phase is Phase.GOING or self.is_timing:
            self._live = live
            self.refresh()
        if self.phase is not before:
            announce(self, self._heading.text())
            self.changed.emit()

    def again(self) -> None:
        """Forget the result, for another plunge."""
        self._typed, self._kept, self._began_s = None, None, None
        self._look = PlungeLook(Phase.WAITING, "")
        self.watch.begin()
        set_words(self._said, "")
        set_words(self._problem, "")
        self.refresh()
        self.changed.emit()

    def keep(self) -> None:
        """Keep the result: melts with this probe reckon with it."""
        plunge = self.plunge
        if plunge is None or self.is_kept:
            return
        try:
            self._shop.keep(self._course.name, plunge, True)
        except FixableError as error:
            set_words(self._problem, str(error))
            return
        self._kept = plunge
        text = tr("Kept. Forecasts of melts with “{probe}” reckon with it from now on.")
        set_words(self._said, text.format(probe=self._course.name))
        announce(self, self._said.text())
        self.changed.emit()

    # --- showing ------------------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show how it stands."""
        plunge, phase = self.plunge, self.phase
        self.setAccessibleName(tr("How late it is"))
        going = self._live and phase is Phase.GOING
        busy = going or self.is_timing
        self.guide.setVisible(plunge is None and not busy)
        self._by_hand.setVisible(plunge is None and not self._live and not self.is_timing)
        self.typed.setVisible(plunge is None and not busy)
        has_curve = going if plunge is None else plunge is self._look.plunge
        self.curve.setVisible(has_curve)
        if self._look.problem and plunge is None:
            set_words(self._problem, self._look.problem)
        if plunge is None:
            self._heading.setText(self._ask(phase))
            self._lead.setText(self._what_now(phase))
            set_words(self._wax, "")
        else:
            set_words(self._problem, "")
            self._show_result(plunge)
        if has_curve:
            self.curve.show_picture(self._picture(plunge))

    def words_of_phase(self) -> str:
        """What stands beside the number: how it is doing."""
        if self.plunge is not None:
            return tr("It has come to rest.")
        if self._look.phase is Phase.READY:
            return tr("It lies still.")
        if self._look.phase is Phase.GOING and self._look.began_s is not None and self.watch.times_s:
            passed_s = self.watch.times_s[-1] - self._look.began_s
            return tr("In the water for {time}.").format(time=clock_face(passed_s))
        return self._look.text

    def _ask(self, phase: Phase) -> str:
        if self._began_s is not None:
            return tr("{seconds:.1f} s in the water").format(seconds=self._clock.elapsed_s() - self._began_s)
        if self._live and phase is Phase.READY:
            return tr("Put it into the hot water now")
        if self._live and phase is Phase.GOING:
            return tr("Keep it in and stir")
        if self._live:
            return tr("Let the probe lie in the room")
        return tr("Take the time of a plunge")

    def _what_now(self, phase: Phase) -> str:
        if self.is_timing:
            return self._stop_at.text()
        if self._live and phase is Phase.READY:
            return tr("In one go, and as deep as it goes; then stir steadily.")
        if self._live and phase is Phase.GOING:
            return self._look.text
        return tr(
            "A probe follows the wax some seconds late. How late, it shows by itself when it goes from the "
            "room into hot water."
        )

    def _show_result(self, plunge: Plunge) -> None:
        known = with_plunge(self._shop.known_probe(self._course.name), plunge)
        text = tr("In a melt the wax is there about {lag:.0f} s before the probe shows it")
        self._heading.setText(text.format(lag=known.lag_s))
        words = plunge_text(plunge)
        if plunge.t90_s is not None:
            words += " " + tr("Nine tenths of the way took {seconds:.1f} s.").format(seconds=plunge.t90_s)
        self._lead.setText(words)
        set_words(self._wax, wax_lag_text(known))

    def _picture(self, plunge: Plunge | None) -> CurvePicture:
        points = tuple(zip(self.watch.times_s, self.watch.temps_c, strict=True))
        zero_s = self._look.began_s if self._look.began_s is not None else points[-1][0]
        to_s = max(points[-1][0], zero_s + LEAST_SHOWN_S)
        fit: tuple[tuple[float, float], ...] = ()
        marks: tuple[Mark, ...] = ()
        if plunge is not None and plunge.t90_s is not None:
            to_s = min(to_s, zero_s + max(LEAST_SHOWN_S, 3.0 * plunge.t90_s))
            fit = fitted(plunge, to_s)
            marks = _marks(plunge)
        from_s = zero_s - BEFORE_S
        # One reading beyond each end, so that the curve goes on to the edge.
        shown = [point for point in points if from_s - 2.0 <= point[0] <= to_s + 2.0]
        return CurvePicture(shown, from_s, to_s, zero_s, fit=fit, marks=marks)


def fitted(plunge: Plunge, to_s: float) -> tuple[tuple[float, float], ...]:
    """Return the curve of a plunge: two time constants in series, as `core.trust.approach` has it."""
    if plunge.from_c is None or plunge.to_c is None or plunge.moment_s is None:
        return ()
    rise_k = plunge.to_c - plunge.from_c
    found = []
    for number in range(_FIT_POINTS + 1):
        since_s = (to_s - plunge.moment_s) * number / _FIT_POINTS
        found.append((plunge.moment_s + since_s, plunge.from_c + rise_k * share_gone(plunge, since_s)))
    return tuple(found)


def share_gone(plunge: Plunge, since_s: float) -> float:
    """Return the share of the way after so many seconds."""
    a, b = plunge.tau_s, plunge.dead_s
    if b < 0.02 * a:
        return 1.0 - math.exp(-since_s / a)
    if abs(a - b) < 0.02 * a:
        b = 0.98 * a
    return 1.0 - (a * math.exp(-since_s / a) - b * math.exp(-since_s / b)) / (a - b)


def _marks(plunge: Plunge) -> tuple[Mark, ...]:
    if plunge.moment_s is None or plunge.from_c is None or plunge.to_c is None or plunge.t90_s is None:
        return ()
    words = tr("nine tenths after {seconds:.1f} s").format(seconds=plunge.t90_s)
    return (Mark(plunge.moment_s + plunge.t90_s, nine_tenths_c(plunge.from_c, plunge.to_c), words),)
