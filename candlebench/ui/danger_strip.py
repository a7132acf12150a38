"""A danger on the hob, over every other page: what, what to do, and the two ways to do it."""

from PySide6.QtCore import QElapsedTimer, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QSizePolicy, QWidget

from candlebench.addresses import is_live
from candlebench.core.events import ActionKind
from candlebench.core.state import Alarm, Level, MeltState
from candlebench.core.units import Shown, clock_face
from candlebench.ui import shapes
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

# The strip pushes the page down: a press meant for what was there before does nothing. Design decision.
DEAF_MS = 800
# A reading as old as this is said with its age. Design decision.
OLD_S = 30.0
# Alarms that lifting the jug answers.
ANSWERED_BY_LIFTING = ("too_hot", "above_boiling")


def danger_of(state: MeltState | None) -> Alarm | None:
    """Return the most pressing danger that stands, seen or not; None when there is none."""
    if state is None or state.finished:
        return None
    return next((alarm for alarm in state.alarms if alarm.level is Level.DANGER), None)


def danger_words(state: MeltState, alarm: Alarm, shown: Shown) -> str:
    """Return 'Danger: 88.0 °C. Take it off the heat now.'; a practice melt and an old reading are named."""
    heading = tr("Danger") if is_live(state.setup.source) else tr("Danger in practice")
    if state.temp_c is None:
        return tr("{danger}. {do}.").format(danger=heading, do=alarm.headline)
    # A reading keeps its tenths: “88 °C” would look like a limit.
    temp = f"{shown.number(state.temp_c):.1f} {shown.sign}"
    if state.age_s is not None and state.age_s > OLD_S:
        temp = tr("{temp}, read {age} ago").format(temp=temp, age=clock_face(state.age_s))
    return tr("{danger}: {temp}. {do}.").format(danger=heading, temp=temp, do=alarm.headline)


class StopSign(QWidget):
    """The octagon before the words."""

    def __init__(self) -> None:
        super().__init__()
        self._theme = Theme(LIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(self._theme.px(28, 1.5), self._theme.px(28, 1.5))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = QRectF(self.rect()).adjusted(1, 1, -1, -1)
        shapes.stop_sign(painter, box, self._theme.color("surface"), self._theme.color("danger"))
        painter.end()


class DangerStrip(QWidget):
    """Hidden while nothing is dangerous, and on the melt page, whose card says it.

    Emits `acted` with (ActionKind, detail), as the melt page does, and `melt_wanted`.
    """

    acted = Signal(object)
    melt_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme, self._shown = Theme(LIGHT), Shown()
        self._alarm: Alarm | None = None
        self._shown_for = QElapsedTimer()
        self._made = False
        self.setObjectName("danger")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.hide()

    def _make(self) -> None:
        """Make the parts at the first danger: a start need not wait for them."""
        self._made = True
        self._sign = StopSign()
        self._words = QLabel("")
        self._words.setWordWrap(True)
        self._words.setTextFormat(Qt.TextFormat.PlainText)
        self.off = QPushButton(tr("Off the heat"))
        self.off.clicked.connect(self._lift)
        self.go = QPushButton(tr("Go to the melt"))
        self.go.clicked.connect(self._leave)
        box = QHBoxLayout(self)
        box.setContentsMargins(24, 8, 16, 8)
        box.setSpacing(12)
        box.addWidget(self._sign)
        box.addWidget(self._words, 1)
        for button in (self.off, self.go):
            button.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
            box.addWidget(button)
        self.use(self._theme, self._shown)

    def use(self, theme: Theme, shown: Shown) -> None:
        """Take a theme and a unit."""
        self._theme, self._shown = theme, shown
        if not self._made:
            return
        p = theme.palette
        self.setStyleSheet(
            f"QWidget#danger {{ background: {p.danger}; }}"
            f"QLabel {{ background: transparent; color: {p.surface}; font-weight: 700;"
            f" font-size: {theme.px(19, 1.5)}px; }}"
            f"QPushButton {{ background: {p.surface}; color: {p.danger_text}; font-weight: 700;"
            f" border: 2px solid {p.surface}; font-size: {theme.px(17, 1.5)}px;"
            f" padding: {theme.px(4, 1.2)}px {theme.px(14, 1.2)}px; }}"
            f"QPushButton:hover {{ background: {p.danger_soft}; }}"
            f"QPushButton:focus {{ border-color: {p.accent}; }}"
        )
        self._sign.use(theme)

    def show_state(self, state: MeltState | None, page: str) -> None:
        """Follow the melt; `page` is the page that is shown, None the state while there is no melt."""
        alarm = danger_of(state)
        self._alarm = alarm
        if state is None or alarm is None or page == "melt":
            self.hide()
            return
        if not self._made:
            self._make()
        words = danger_words(state, alarm, self._shown)
        if words != self._words.text():
            self._words.setText(words)
            self.setAccessibleName(words)
        self.off.setVisible(state.on_heat and alarm.code in ANSWERED_BY_LIFTING)
        if self.isHidden():
            self._shown_for.start()
            self.show()

    @property
    def text(self) -> str:
        """What is shown; '' while it is hidden."""
        return self._words.text() if not self.isHidden() else ""

    def _heard(self) -> bool:
        return self._alarm is not None and self._shown_for.elapsed() >= DEAF_MS

    def _lift(self) -> None:
        if self._heard() and self._alarm is not None:
            self.acted.emit((ActionKind.ACKNOWLEDGE, self._alarm.code))
            self.acted.emit((ActionKind.OFF_HEAT, ""))

    def _leave(self) -> None:
        if self._heard():
            self.melt_wanted.emit()
