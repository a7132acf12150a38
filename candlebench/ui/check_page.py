"""The page on which she checks a probe, one step after another, with wet hands and a clock running."""

from collections.abc import Callable

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from candlebench.core.clock import Clock, LiveClock
from candlebench.core.errors import FixableError
from candlebench.core.units import Shown
from candlebench.ui.check_course import POINTS, Course, Step, step_words
from candlebench.ui.check_curve import SHOWN_WITHIN_K, CurvePicture
from candlebench.ui.check_feed import Opener, ProbeFeed, Way
from candlebench.ui.check_notes import CheckNotes
from candlebench.ui.check_offer import CheckFoot, Foot, Offer
from candlebench.ui.check_parts import LivePanel
from candlebench.ui.check_plunge_step import LagStep
from candlebench.ui.check_plunge_watch import Phase
from candlebench.ui.check_point_step import PointStep, known_words
from candlebench.ui.check_probe_step import ProbeStep
from candlebench.ui.check_result_step import ResultStep
from candlebench.ui.check_shop import CheckShop
from candlebench.ui.check_trail import StepTrail
from candlebench.ui.check_watch import Look, Watch
from candlebench.ui.page_frame import framed_page
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

LOOK_MS = 200
# In a window narrower than this, at 100 % text, the number stands above the card.
NARROW_PX = 860
# Beside the card it is so wide, in a window narrower than the last.
LIVE_PX, SLIM_PX, SLIM_BELOW_PX = 320, 270, 1100
_CURVE_S, _FILLS_S = 120.0, 45.0


class CheckPage(QWidget):
    """Guides through a check; keeps what she wants kept.

    `thermometer_wanted` asks for the page on which one is chosen; `took` says that a reading was taken by
    itself, so that it can be heard.

    Parameters
    ----------
    shop : CheckShop
        Names, records, the running melt.
    opener : callable
        Opens the source of an address on a clock.
    back : callable
        The way back.
    new_clock : callable
        A clock that begins now, for the thermometer and for the stopwatch.
    """

    thermometer_wanted = Signal()
    took = Signal()

    def __init__(
        self,
        shop: CheckShop,
        opener: Opener,
        back: Callable[[], None],
        new_clock: Callable[[], Clock] = LiveClock,
    ) -> None:
        super().__init__()
        self._shop, self._theme = shop, Theme(LIGHT)
        self._shown: Shown = shop.shown
        self.course = Course(self._shown)
        self.feed = ProbeFeed(self, opener, new_clock)
        self._watch, self._look = Watch(), Look("")
        self.step = Step.PROBE
        try:
            names, problem = shop.names(), ""
        except FixableError as error:
            names, problem = (), str(error)
        self.probe = ProbeStep(self.course, shop, names)
        self.points = {step: PointStep(step, self.course) for step in POINTS}
        self.result = ResultStep(self.course, shop)
        self.lag = LagStep(self.course, shop, new_clock())
        self._lay_out(back)
        self.notes.say_problem(problem)
        for point in self.points.values():
            point.changed.connect(self._point_changed)
            point.taken_by_itself.connect(self.took)
        for part in (self.result, self.lag):
            part.changed.connect(self._show_foot)
        self.trail.wanted.connect(self.go_to)
        self._timer = QTimer(self)
        self._timer.setInterval(LOOK_MS)
        self._timer.timeout.connect(self._tick)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._show_step()

    # --- layout -------------------------------------------------------------------------------------------

    def _lay_out(self, back: Callable[[], None]) -> None:
        self.trail = StepTrail()
        self.live = LivePanel()
        self.card = QWidget()
        cards = QVBoxLayout(self.card)
        cards.setContentsMargins(0, 0, 0, 0)
        for part in self._parts().values():
            part.hide()
            cards.addWidget(part)
        self.notes = CheckNotes()
        self.notes.finish_wanted.connect(self._finish_melt)
        self.notes.thermometer_wanted.connect(self.thermometer_wanted)
        self._middle = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._middle.setSpacing(16)
        self._middle.addWidget(self.live)
        self._middle.addWidget(self.card, 1)
        body = QWidget()
        box = QVBoxLayout(body)
        box.setContentsMargins(24, 4, 24, 16)
        box.setSpacing(10)
        box.addWidget(self.notes)
        box.addLayout(self._middle, 1)
        framed_page(self, tr("Check a probe"), body, back)
        scroll = self.findChild(QScrollArea)
        assert scroll is not None
        self._scroll = scroll
        outer = self.layout()
        assert isinstance(outer, QVBoxLayout)
        outer.insertWidget(1, self.trail)
        self.foot = CheckFoot()
        outer.addWidget(self.foot)

    def _parts(self) -> dict[Step, QWidget]:
        return {
            Step.PROBE: self.probe,
            **self.points,
            Step.RESULT: self.result,
            Step.LAG: self.lag,
        }

    def use(self, theme: Theme) -> None:
        """Take other colours or another size of text."""
        self._theme = theme
        self.trail.use(theme)
        self.live.use(theme, self._shown)
        for point in self.points.values():
            point.use(theme)
        self.result.use(theme)
        self.lag.use(theme)
        self.foot.use(theme)
        self._fit()
        self._show_live()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        scale = min(self._theme.scale, 1.5)
        flat = self.width() < NARROW_PX * scale
        wanted = QBoxLayout.Direction.TopToBottom if flat else QBoxLayout.Direction.LeftToRight
        self._middle.setDirection(wanted)
        slim = self.width() < SLIM_BELOW_PX * scale
        self.live.lie_flat(flat, self._theme.px(SLIM_PX if slim else LIVE_PX, 1.3))
        self.result.lie_flat(flat)
        self.trail.fit()
        self._show_foot()

    # --- coming and going ---------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        # Not before: a page that is replaced may still hold the port while this one is made.
        super().showEvent(event)
        if not event.spontaneous():
            self.watch(True)

    def watch(self, watching: bool) -> None:
        """Read the probe while the page is shown."""
        if watching:
            self.feed.use(self._shop.way())
            self._timer.start()
            self._tick()
            return
        self._timer.stop()
        self.feed.stop()

    def name_probe(self, name: str) -> None:
        """Begin with this probe; a check of another one that is under way is dropped."""
        if name.casefold() != self.course.name.casefold():
            self._another()
            self.probe.name.setEditText(name)

    def go_on_from(self, earlier: "CheckPage") -> None:
        """Take over a check that is under way: she only looked at another page meanwhile."""
        if earlier._shown != self._shown or earlier.result.is_kept or earlier.course.check("") is None:
            return
        self.probe.fill(earlier.course)
        self.course.go_on_from(earlier.course)
        self.step = earlier.step
        self._show_step()

    def take_focus(self) -> None:
        """The keyboard begins with what is to be done next."""
        if self.step is Step.PROBE and not self.probe.probe_name:
            self.probe.name.setFocus()
        else:
            self.setFocus()

    # --- readings -----------------------------------------------------------------------------------------

    def _tick(self) -> None:
        way = self._shop.way()
        if way != self.feed.way:
            self.feed.use(way)
            self._begin_watching()
        taken = self.feed.take()
        for at_s, temp_c in taken:
            self._watch.read(at_s, temp_c)
            if self.step is Step.LAG:
                self.lag.watch.read(at_s, temp_c)
        self._judge()
        self._show_live()

    def _begin_watching(self) -> None:
        """The probe goes somewhere else: what it showed before does not count."""
        self._watch.begin()
        self._look = Look("")
        self.lag.watch.begin()

    def _judge(self) -> None:
        if self.step is Step.LAG:
            self._look = self._watch.look(None, self._shown)
            self.lag.look(self.is_live and not self._by_melt)
            return
        if self.step not in self.points:
            return
        point = self.points[self.step]
        point.use_live(self.is_live)
        self._look = self._watch.look(point.known_point(), self._shown)
        if self._look.reading is not None and self.feed.is_fresh and self.step is not Step.BESIDE:
            point.take_by_itself(self._look.reading)
        if self.step is Step.BESIDE:
            self._show_foot()

    @property
    def is_live(self) -> bool:
        """Whether there is a thermometer with a cable."""
        return self.feed.way is not None and bool(self.feed.way.address)

    @property
    def _by_melt(self) -> bool:
        return self.feed.way is not None and self.feed.way.by_melt

    def _show_live(self) -> None:
        reading = self.step in self.points or self.step is Step.LAG
        self.live.setVisible(reading and self.is_live)
        self.notes.show_way(self.feed.way or Way(), reading, self.step is Step.LAG)
        if not self.live.isVisibleTo(self):
            return
        words = self._look.text if self.step in self.points else self.lag.words_of_phase()
        if self.course.taken(self.step) is not None:
            words = tr("It is taken: the probe may come out.")
        trouble = self.feed.words()
        words = trouble or words or tr("No reading yet.")
        doubtful = bool(trouble) or self._look.doubtful
        self.live.show_now(self.feed.last_c, self.feed.is_fresh, self._look.slope, words, doubtful)
        self.live.show_curve(self._picture() if self.step is not Step.LAG else None)

    def _picture(self) -> CurvePicture:
        points = tuple(zip(self._watch.times_s, self._watch.temps_c, strict=True))
        now_s = points[-1][0] if points else 0.0
        point = self.points[self.step].known_point()
        near = point is not None and bool(points) and abs(points[-1][1] - point.true_c) <= SHOWN_WITHIN_K
        return CurvePicture(
            [each for each in points if each[0] >= now_s - _CURVE_S - 2.0],
            now_s - _CURVE_S,
            now_s,
            now_s,
            None if point is None or not near else point.true_c,
            known_words(self.step),
            fills_from_s=now_s - _FILLS_S,
        )

    def _finish_melt(self) -> None:
        self._shop.finish_melt()
        self._tick()

    # --- steps --------------------------------------------------------------------------------------------

    def go_to(self, step: Step) -> None:
        """Show a step; the first one has to be filled in before."""
        if self.step is Step.PROBE and step is not Step.PROBE and not self.probe.ready():
            return
        self.step = step
        self._show_step()
        self.take_focus()

    def _show_step(self) -> None:
        self._begin_watching()
        if self.step is Step.LAG and not self.lag.is_kept and self.lag.plunge is None:
            self.lag.again()
        if self.step is Step.PROBE:
            self.probe.refresh()
        elif self.step in self.points:
            self.points[self.step].refresh()
        elif self.step is Step.RESULT:
            self.result.refresh()
        # Not a stack of pages, which is as high as the highest of them.
        for step, part in self._parts().items():
            part.setVisible(step is self.step)
        self._scroll.verticalScrollBar().setValue(0)
        self._show_foot()
        self._show_live()

    def _point_changed(self) -> None:
        if self.step in self.points and self.course.taken(self.step) is None:
            self._begin_watching()
        self._show_foot()
        self.setFocus()

    def _values(self) -> dict[Step, str]:
        """What was found at each step, in few signs."""
        values = {}
        if self.step is not Step.PROBE and self.course.name:
            values[Step.PROBE] = self.course.name
        for step in POINTS:
            taken = self.course.taken(step)
            if taken is not None:
                values[step] = f"{self._shown.difference(taken.error_k):+.1f}".replace("-", "−")
        if self.result.is_kept:
            values[Step.RESULT] = tr("kept")
        if self.lag.is_kept:
            values[Step.LAG] = tr("kept")
        return values

    # --- the foot -----------------------------------------------------------------------------------------

    def offers(self) -> Foot:
        """What can be done now."""
        if self.step is Step.PROBE:
            return Foot(
                Offer(tr("Begin with ice"), lambda: self.go_to(Step.ICE)),
                (Offer(tr("Only how late it is"), lambda: self.go_to(Step.LAG)),),
            )
        if self.step in self.points:
            return self._point_foot(self.points[self.step])
        return self._result_foot() if self.step is Step.RESULT else self._lag_foot()

    def _point_foot(self, point: PointStep) -> Foot:
        following = list(Step)[list(Step).index(self.step) + 1]
        words = tr("Next: {step}").format(step=step_words(following))
        go_on = Offer(words, lambda: self.go_to(following))
        if self.course.taken(self.step) is not None:
            return Foot(go_on, (Offer(tr("Take it again"), point.drop),))
        skip = Offer(tr("Skip this step"), lambda: self.go_to(following))
        reading = self._look.reading
        if self.step is Step.BESIDE and self.is_live and reading is not None:
            return Foot(Offer(tr("Take both now"), lambda: point.take_live(reading)), (skip,))
        return Foot(None, (skip,))

    def _result_foot(self) -> Foot:
        late = Offer(tr("Next: how late it is"), lambda: self.go_to(Step.LAG))
        if self.result.check is None:
            return Foot(Offer(tr("Back to the ice"), lambda: self.go_to(Step.ICE)), (late,))
        if self.result.is_kept:
            return Foot(late, (Offer(tr("Another probe"), self._another),))
        return Foot(
            Offer(
                tr("Use this correction from now on"),
                lambda: self.result.keep(True),
                tr("Use it from now on"),
            ),
            (
                Offer(
                    tr("Keep the check, correct nothing"),
                    lambda: self.result.keep(False),
                    tr("Correct nothing"),
                ),
            ),
        )

    def _lag_foot(self) -> Foot:
        if self.lag.is_kept:
            return Foot(Offer(tr("Another probe"), self._another))
        again = Offer(tr("Begin again"), self.lag.again)
        if self.lag.plunge is not None:
            return Foot(Offer(tr("Use this from now on"), self.lag.keep), (again,))
        if self.is_live and not self._by_melt:
            return Foot(None, (again,) if self.lag.phase is Phase.GOING else ())
        words = tr("Stop: nine tenths") if self.lag.is_timing else tr("It goes in now")
        return Foot(Offer(words, self.lag.press_watch))

    def _another(self) -> None:
        for step in POINTS:
            self.course.drop(step)
            self.points[step].refresh()
        self.lag.again()
        self.go_to(Step.PROBE)
        self.probe.name.setFocus()

    def _show_foot(self) -> None:
        self.trail.show_state(self.step, self._values())
        self.foot.show_foot(self.offers(), self.width())

    # --- keys ---------------------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        plain = event.modifiers() in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier)
        text = event.text()
        if plain and event.key() == Qt.Key.Key_Space:
            if not event.isAutoRepeat():
                self.foot.press_main()
        elif plain and text and (text.isdigit() or text in "-+") and self.step in self.points:
            self.points[self.step].start_typing(text)
        elif plain and text.isdigit() and self.step is Step.LAG:
            self.lag.start_typing(text)
        elif event.key() == Qt.Key.Key_Z and event.modifiers() == Qt.KeyboardModifier.ControlModifier:
            if self.step in self.points:
                self.points[self.step].drop()
        else:
            super().keyPressEvent(event)
