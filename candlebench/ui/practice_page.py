"""Practice: choose a melt to spoil for free, how fast it runs, and whether to guess before the forecast."""

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QButtonGroup,
    QCheckBox,
    QFrame,
    QHBoxLayout,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from candlebench.core.units import about, clock_face
from candlebench.practice.scenario import Scenario
from candlebench.ui.melt_lengths import MeltLengths
from candlebench.ui.page_frame import framed_page, role_label
from candlebench.ui.practice_strip import FASTEST_TYPED, SPEEDS
from candlebench.ui.practice_wish import PracticeWish
from candlebench.ui.scenario_list import ScenarioList
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

# Side by side from this width on, in pixels at 100 % text.
WIDE_PX = 820
# Where the list stands above: so many rows, the last one cut, so that one sees that there are more.
ROWS_ABOVE = 2.6
NO_LIMIT_PX = 16777215


class PracticePage(QWidget):
    """Emits `begun` with a `PracticeWish`.

    Parameters
    ----------
    scenarios : tuple of Scenario
        In the order shown.
    wish : PracticeWish
        What was chosen last.
    lengths_s : dict
        Lengths that are known already, by the scenario's name; filled.
    earlier : callable
        Gives a sentence about earlier attempts at a scenario, '' when there are none.
    back : callable or None
        The way back to the melt; None while there is none.
    """

    begun = Signal(object)

    def __init__(
        self,
        scenarios: tuple[Scenario, ...],
        wish: PracticeWish,
        lengths_s: dict[str, float],
        earlier: Callable[[Scenario], str],
        back: Callable[[], None] | None,
    ) -> None:
        super().__init__()
        self._theme = Theme(LIGHT)
        self._scenarios = {scenario.name: scenario for scenario in scenarios}
        self._wish, self._lengths_s, self._earlier = wish, lengths_s, earlier
        self.list = ScenarioList(scenarios)
        self.list.looked_at.connect(self._look_at)
        self.list.begun.connect(self._begin)
        self._title = role_label("", "title")
        self._brief, self._teaches = role_label("", "lead"), role_label("", "lead")
        self._length, self._attempts = role_label("", "muted"), role_label("", "muted")
        self._typed = role_label(
            tr("No cable: read the drawn thermometer, type the number, press Enter. Let it run slowly."),
            "lead",
        )
        self._make_choices()
        self._lay_out(back)
        self._lengths = MeltLengths(lengths_s, self)
        self._lengths.found.connect(self._length_found)
        self._note_lengths()
        self.list.look_at(wish.scenario)
        self.watch(True)

    # --- parts --------------------------------------------------------------------------------------------

    def _make_choices(self) -> None:
        self._speeds = QButtonGroup(self)
        self._speed_row = QWidget()
        row = QHBoxLayout(self._speed_row)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        for speed in SPEEDS:
            button = QPushButton(tr("{speed}×").format(speed=speed))
            button.setCheckable(True)
            button.setAccessibleName(tr("{speed} times as fast as life").format(speed=speed))
            button.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
            button.clicked.connect(lambda _=False, s=speed: self._choose_speed(s))
            self._speeds.addButton(button, speed)
            row.addWidget(button)
        row.addStretch(1)
        self.guess_first = QCheckBox(tr("Guess first"))
        self.guess_first.setChecked(self._wish.guess_first)
        self.guess_first.toggled.connect(self._choose_guess)
        self.bath_probe = QCheckBox(tr("A second probe in the bath"))
        self.bath_probe.setChecked(self._wish.bath_probe)
        self.bath_probe.toggled.connect(self._choose_bath_probe)
        self._bath_about = role_label(
            tr("You see the water lead the wax, and the forecast while heating is surer."), "muted"
        )
        self.start = QPushButton(tr("Begin   Enter"))
        self.start.setProperty("role", "main")
        self.start.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.start.clicked.connect(self._begin)

    def _lay_out(self, back: Callable[[], None] | None) -> None:
        self._details = QScrollArea()
        self._details.setWidgetResizable(True)
        self._details.setFrameShape(QScrollArea.Shape.NoFrame)
        self._details.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._details.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._details.setWidget(self._details_body())
        foot = QHBoxLayout()
        foot.setContentsMargins(24, 0, 24, 0)
        foot.addWidget(self.start)
        foot.addStretch(1)
        frame = QFrame()
        frame.setObjectName("card")
        frame_box = QVBoxLayout(frame)
        frame_box.setContentsMargins(1, 16, 1, 20)
        frame_box.setSpacing(12)
        frame_box.addWidget(self._details, 1)
        frame_box.addLayout(foot)
        body = QWidget()
        self._box = QBoxLayout(QBoxLayout.Direction.LeftToRight, body)
        self._box.setContentsMargins(24, 6, 24, 20)
        self._box.setSpacing(16)
        self._box.addWidget(self.list, 2)
        self._box.addWidget(frame, 3)
        framed_page(self, tr("Practice: melts you can spoil for free"), body, back)

    def _details_body(self) -> QWidget:
        """What the chosen melt is, and the choices."""
        groups: tuple[tuple[QWidget, ...], ...] = (
            (self._title, self._brief),
            (role_label(tr("You learn"), "label"), self._teaches, self._typed),
            (self._length, self._attempts),
            (role_label(tr("Speed"), "label"), self._speed_row),
            (
                self.guess_first,
                role_label(
                    tr("You say when a window opens before the forecast is shown, and see how both did."),
                    "muted",
                ),
            ),
            (self.bath_probe, self._bath_about),
        )
        body = QWidget()
        box = QVBoxLayout(body)
        box.setContentsMargins(23, 0, 23, 0)
        box.setSpacing(6)
        for group in groups:
            for part in group:
                box.addWidget(part)
            box.addSpacing(14)
        box.addStretch(1)
        return body

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.list.use(theme)
        p = theme.palette
        self._speed_row.setStyleSheet(
            f"QPushButton:checked {{ background: {p.text}; color: {p.surface}; }}"
            f"QPushButton:disabled {{ color: {p.line}; }}"
        )
        self.start.setStyleSheet(f"font-size: {theme.px(22, 1.9)}px;")
        self.start.setFixedHeight(theme.px(64, 1.375))
        self._turn()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._turn()

    def _turn(self) -> None:
        """The list beside the melt that is looked at, or above it where there is no room."""
        wide = self.width() >= self._theme.px(WIDE_PX)
        directions = QBoxLayout.Direction
        self.list.setMaximumHeight(NO_LIMIT_PX if wide else round(ROWS_ABOVE * self.list.row_px()))
        self._box.setDirection(directions.LeftToRight if wide else directions.TopToBottom)

    # --- choosing -----------------------------------------------------------------------------------------

    def take_focus(self) -> None:
        """The arrow keys choose, Enter begins."""
        self.list.setFocus()

    def watch(self, wanted: bool) -> None:
        """Work out the lengths while the page is shown."""
        if wanted:
            self._lengths.look(self._scenarios.values())
        else:
            self._lengths.stop()

    @property
    def wish(self) -> PracticeWish:
        """What would begin now: without a cable there is no second one either."""
        wish = self._wish
        if self._scenarios[wish.scenario].cable:
            return wish
        return replace(wish, speed=min(wish.speed, FASTEST_TYPED), bath_probe=False)

    def _look_at(self, name: str) -> None:
        scenario = self._scenarios[name]
        self._wish = replace(self._wish, scenario=name)
        self._title.setText(scenario.title)
        self._brief.setText(scenario.brief)
        self._teaches.setText(scenario.teaches)
        self._typed.setVisible(not scenario.cable)
        for part in (self.bath_probe, self._bath_about):
            part.setVisible(scenario.cable)
        earlier = self._earlier(scenario)
        self._attempts.setText(earlier)
        self._attempts.setVisible(bool(earlier))
        self._show_choices()

    def _show_choices(self) -> None:
        wish = self.wish
        cable = self._scenarios[wish.scenario].cable
        for speed in SPEEDS:
            self._speeds.button(speed).setEnabled(cable or speed <= FASTEST_TYPED)
        self._speeds.button(wish.speed).setChecked(True)
        seconds = self._lengths_s.get(wish.scenario)
        words = ""
        if seconds is not None:
            words = tr("About {length} until the jars are poured: {real} at {speed}×.").format(
                length=about(seconds), real=clock_face(seconds / wish.speed), speed=wish.speed
            )
        self._length.setText(words or tr("How long it takes is being worked out."))

    def _length_found(self, name: str, seconds: float) -> None:
        self._note_lengths()
        if name == self._wish.scenario:
            self._show_choices()

    def _note_lengths(self) -> None:
        """Note the lengths in the list once all are known, so that it changes once and not row by row."""
        if all(name in self._lengths_s for name in self._scenarios):
            for name in self._scenarios:
                self.list.note(name, _length_words(self._lengths_s[name]))

    def _choose_speed(self, speed: int) -> None:
        self._wish = replace(self._wish, speed=speed)
        self._show_choices()

    def _choose_guess(self, wanted: bool) -> None:
        self._wish = replace(self._wish, guess_first=wanted)

    def _choose_bath_probe(self, wanted: bool) -> None:
        self._wish = replace(self._wish, bath_probe=wanted)

    def _begin(self) -> None:
        self.begun.emit(self.wish)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._begin()
        else:
            super().keyPressEvent(event)


def _length_words(seconds: float) -> str:
    return tr("about {length}").format(length=about(seconds))
