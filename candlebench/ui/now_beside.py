"""The second probe on the card of now: one small line, with a piece of its curve before it."""

from PySide6.QtCore import QLineF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget

from candlebench.core.place import Place
from candlebench.core.state import BesideState
from candlebench.core.units import Shown, clock_face
from candlebench.thermometers.place_words import place_words
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

# Shares of the usual size that a line is tried at when it has no room.
WORD_SIZES = (1.0, 0.92, 0.84, 0.76, 0.68)
AT_100, STOPS_AT = 15.0, 1.7


def beside_sentence(beside: BesideState, now_s: float, shown: Shown) -> str:
    """'Bath 88.4 °C, rising 2.1 °C/min', or for how long it has not answered."""
    words, rate = beside_short(beside, now_s, shown), _slope_c_per_min(beside)
    if rate is None or _is_steady(rate):
        return words
    return tr("{words} {degrees}/min").format(words=words, degrees=shown.drop(abs(rate)))


def beside_short(beside: BesideState, now_s: float, shown: Shown) -> str:
    """'Bath 88.4 °C, rising': the same without how fast."""
    name = place_words(beside.place)
    if beside.temp_c is None or beside.reading_s is None:
        return tr("{place}: no reading yet").format(place=name)
    if not beside.fresh:
        age = clock_face(max(0.0, now_s - beside.reading_s))
        return tr("{place}: no answer for {age}").format(place=name, age=age)
    temp, rate = f"{shown.number(beside.temp_c):.1f} {shown.sign}", _slope_c_per_min(beside)
    if rate is None:
        words = tr("{place} {temp}")
    elif _is_steady(rate):
        words = tr("{place} {temp}, steady")
    else:
        words = tr("{place} {temp}, rising") if rate > 0 else tr("{place} {temp}, falling")
    return words.format(place=name, temp=temp)


def _is_steady(c_per_min: float) -> bool:
    # Loaded with the first melt, not with the window.
    from candlebench.core.alarms import FALLING_C_PER_MIN

    return abs(c_per_min) < -FALLING_C_PER_MIN


def _slope_c_per_min(beside: BesideState) -> float | None:
    """How fast it moves, where that is worth saying: a room moves by a degree or two in an hour."""
    return beside.rate_c_per_min if beside.fresh and beside.place is Place.BATH else None


class DashSample(QWidget):
    """A piece of the second probe's line, as on the curve."""

    def __init__(self) -> None:
        super().__init__()
        self._theme = Theme(LIGHT)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.setFixedSize(theme.px(20, 1.4), theme.px(12, 1.4))
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        theme = self._theme
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        width = 2.5 if theme.scale >= 1.8 else 1.5
        painter.setPen(QPen(theme.color("muted"), width, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
        middle, dash = self.height() / 2.0, self.width() * 0.4
        for left in (0.0, self.width() - dash):
            painter.drawLine(QLineF(left, middle, left + dash, middle))
        painter.end()


class BesideLine(QWidget):
    """Shows a second probe; hidden by whoever owns it while there is none."""

    def __init__(self) -> None:
        super().__init__()
        self._theme = Theme(LIGHT)
        self._sample = DashSample()
        self._words, self._sentence = QLabel(""), ""
        box = QHBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(8)
        box.addWidget(self._sample)
        box.addWidget(self._words, 1)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self._sample.use(theme)

    @property
    def text(self) -> str:
        """What it says, in full."""
        return self._sentence

    def clear(self) -> None:
        """There is no second probe."""
        self._sentence = ""
        self._words.setText("")

    def show_beside(self, beside: BesideState, now_s: float, shown: Shown, room_px: int) -> None:
        """Bring it up to date, written smaller where it has no room."""
        theme = self._theme
        self._sentence = beside_sentence(beside, now_s, shown)
        short = beside_short(beside, now_s, shown)
        room = room_px - self._sample.width() - 8 - 2
        for text, share in ((self._sentence, 1.0), *((short, share) for share in WORD_SIZES)):
            font = theme.font(AT_100 * share, 400, STOPS_AT)
            if QFontMetricsF(font).horizontalAdvance(text) <= room:
                break
        color = theme.palette.text if beside.fresh else theme.palette.muted
        style = f"font-size: {font.pixelSize()}px; color: {color};"
        if text != self._words.text() or style != self._words.styleSheet():
            self._words.setText(text)
            self._words.setStyleSheet(style)
        # What is wrong with it, in a sentence with what to do, has no room here.
        trouble = "" if beside.probe.good else beside.probe.text
        if trouble != self.toolTip():
            self.setToolTip(trouble)
        self._words.setAccessibleName(self._sentence)
        self._words.setAccessibleDescription(trouble)
