"""The readings of a check as a curve: the last two minutes at a step, or a whole plunge with its fit."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from candlebench.core.units import Shown, clock_face
from candlebench.ui import shapes
from candlebench.ui.plot_parts import rim
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

# So that the last digit of a display does not fill the plot.
LEAST_SPAN_K = 2.0
# A known temperature is shown when the readings are this near to it.
SHOWN_WITHIN_K = 12.0
_STEPS_K = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0)
_STEPS_S = (5.0, 10.0, 20.0, 30.0, 60.0, 120.0, 300.0)

Points = Sequence[tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Mark:
    """A moment on the curve with its words."""

    at_s: float
    temp_c: float
    words: str


@dataclass(frozen=True, slots=True)
class CurvePicture:
    """What is drawn.

    Attributes
    ----------
    points : sequence of (s, C)
        What was read.
    from_s, to_s : float
        Ends of the time axis.
    zero_s : float
        The moment that is called 0:00; moments before it have a minus.
    known_c : float or None
        Where it should come to, `known_words` beside it.
    fit : sequence of (s, C)
        The curve that was found.
    marks : sequence of Mark
    fills_from_s : float
        Readings since then fill the plot; what lies before may be cut off, so that a probe that comes to
        rest is seen to do so.
    """

    points: Points = ()
    from_s: float = 0.0
    to_s: float = 120.0
    zero_s: float = 0.0
    known_c: float | None = None
    known_words: str = ""
    fit: Points = ()
    marks: Sequence[Mark] = ()
    fills_from_s: float = -math.inf


class CheckCurve(QWidget):
    """Draws a picture; `high_px` is its height at 100 % text, at least so much when it `grows`."""

    def __init__(self, high_px: int, grows: bool = False) -> None:
        super().__init__()
        self._theme, self._shown = Theme(LIGHT), Shown()
        self._picture = CurvePicture()
        self._high_px = high_px
        vertical = QSizePolicy.Policy.MinimumExpanding if grows else QSizePolicy.Policy.Fixed
        self.setSizePolicy(QSizePolicy.Policy.Expanding, vertical)
        self.setAccessibleName(tr("Curve of the readings"))

    def use(self, theme: Theme, shown: Shown) -> None:
        """Take a theme and a unit."""
        self._theme, self._shown = theme, shown
        self.updateGeometry()
        self.update()

    def show_picture(self, picture: CurvePicture) -> None:
        """Draw other readings."""
        self._picture = picture
        self.setAccessibleDescription("; ".join(mark.words for mark in picture.marks))
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(self._theme.px(240, 1.4), self._theme.px(self._high_px, 1.4))

    def minimumSizeHint(self) -> QSize:
        return QSize(160, self._theme.px(self._high_px, 1.4))

    # --- drawing ------------------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        theme, picture = self._theme, self._picture
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(theme.font(14, stops_at=1.6))
        metrics = QFontMetricsF(painter.font())
        low_c, high_c = self._temps()
        plot = QRectF(self.rect()).adjusted(0, metrics.height() / 2 + 2, -8, -metrics.height() - 6)
        most = max(2, int(plot.height() / (3.0 * metrics.height())))
        ticks = self._temp_ticks(low_c, high_c, most)
        widths = [metrics.horizontalAdvance(self._tick_words(temp_c)) for temp_c in ticks]
        plot.setLeft(max(widths, default=0.0) + 10.0)
        scale = _Scale(plot, picture.from_s, picture.to_s, low_c, high_c)
        self._paint_temps(painter, scale, metrics, ticks)
        self._paint_times(painter, scale, metrics)
        self._paint_known(painter, scale, metrics)
        painter.save()
        painter.setClipRect(plot.adjusted(-2, -2, 8, 2))
        ink = QPen(theme.color("text"), theme.px(2, 1.6))
        if picture.fit:
            # What was read lies on the curve that was found: as dots, so that both are seen.
            self._paint_line(painter, scale, picture.fit, QPen(theme.color("accent"), theme.px(3, 1.6)))
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(theme.color("text"))
            for at_s, temp_c in picture.points:
                painter.drawEllipse(scale.at(at_s, temp_c), theme.px(2, 1.5), theme.px(2, 1.5))
        else:
            self._paint_line(painter, scale, picture.points, ink)
        painter.restore()
        self._paint_now(painter, scale)
        self._paint_marks(painter, scale, metrics)
        painter.end()

    def _paint_temps(
        self, painter: QPainter, scale: "_Scale", metrics: QFontMetricsF, ticks: list[float]
    ) -> None:
        theme, plot = self._theme, scale.plot
        for temp_c in ticks:
            y = scale.y(temp_c)
            painter.setPen(QPen(theme.color("grid"), 1))
            painter.drawLine(QPointF(plot.left(), y), QPointF(plot.right(), y))
            painter.setPen(theme.color("muted"))
            box = QRectF(0, y - metrics.height() / 2, plot.left() - 6, metrics.height())
            right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
            painter.drawText(box, right, self._tick_words(temp_c))

    def _paint_times(self, painter: QPainter, scale: "_Scale", metrics: QFontMetricsF) -> None:
        theme, plot = self._theme, scale.plot
        painter.setPen(QPen(theme.color("strong_line"), 1))
        painter.drawLine(plot.bottomLeft(), plot.bottomRight())
        most = max(1, int(plot.width() / (2.6 * metrics.horizontalAdvance("-0:00"))))
        span_s = scale.to_s - scale.from_s
        step_s = next((step for step in _STEPS_S if span_s / step <= most), _STEPS_S[-1])
        zero_s = self._picture.zero_s
        first = math.ceil((scale.from_s - zero_s) / step_s - 1e-9)
        for number in range(first, math.floor((scale.to_s - zero_s) / step_s + 1e-9) + 1):
            at_s = number * step_s
            x = scale.x(zero_s + at_s)
            painter.setPen(QPen(theme.color("strong_line"), 1))
            painter.drawLine(QPointF(x, plot.bottom()), QPointF(x, plot.bottom() + 4))
            painter.setPen(theme.color("muted"))
            words = ("−" if number < 0 else "") + clock_face(abs(at_s))
            wide = metrics.horizontalAdvance(words)
            x = min(max(x - wide / 2, 0.0), self.width() - wide)
            painter.drawText(QPointF(x, plot.bottom() + 6 + metrics.ascent()), words)

    def _paint_known(self, painter: QPainter, scale: "_Scale", metrics: QFontMetricsF) -> None:
        known_c = self._picture.known_c
        if known_c is None or not scale.low_c <= known_c <= scale.high_c:
            return
        theme, y = self._theme, scale.y(known_c)
        painter.setPen(QPen(theme.color("accent"), 1.5, Qt.PenStyle.DashLine))
        painter.drawLine(QPointF(scale.plot.left(), y), QPointF(scale.plot.right(), y))
        # Above the line unless there is no room: readings come to it from either side, the words stay apart.
        above = y - metrics.height() > scale.plot.top()
        at = QPointF(scale.plot.left() + 6, y - 5 if above else y + metrics.ascent() + 3)
        rim(painter, at, self._picture.known_words, theme.color("surface"), 4)
        painter.setPen(theme.color("accent"))
        painter.drawText(at, self._picture.known_words)

    def _paint_line(self, painter: QPainter, scale: "_Scale", points: Points, pen: QPen) -> None:
        if len(points) < 2:
            return
        path = QPainterPath(scale.at(*points[0]))
        for at_s, temp_c in points[1:]:
            path.lineTo(scale.at(at_s, temp_c))
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(path)

    def _paint_now(self, painter: QPainter, scale: "_Scale") -> None:
        if self._picture.points and not self._picture.fit:
            theme = self._theme
            at = scale.at(*self._picture.points[-1])
            shapes.ring(painter, at, theme.px(5, 1.4), theme.color("surface"), theme.color("text"), 1.5)

    def _paint_marks(self, painter: QPainter, scale: "_Scale", metrics: QFontMetricsF) -> None:
        theme = self._theme
        for mark in self._picture.marks:
            at = scale.at(mark.at_s, mark.temp_c)
            painter.setPen(QPen(theme.color("accent"), 1))
            painter.drawLine(at, QPointF(at.x(), scale.plot.bottom()))
            shapes.ring(painter, at, theme.px(5, 1.4), theme.color("surface"), theme.color("accent"), 1.5)
            wide = metrics.horizontalAdvance(mark.words)
            x = min(at.x() + 10, scale.plot.right() - wide)
            baseline = QPointF(x, min(at.y() + metrics.height(), scale.plot.bottom() - 6))
            rim(painter, baseline, mark.words, theme.color("surface"), 5)
            painter.setPen(theme.color("text"))
            painter.drawText(baseline, mark.words)

    # --- scales -------------------------------------------------------------------------------------------

    def _temps(self) -> tuple[float, float]:
        """Ends of the temperature axis: the readings, and where they should come to when that is near."""
        picture = self._picture
        temps = [temp for at_s, temp in (*picture.points, *picture.fit) if at_s >= picture.fills_from_s]
        known_c = picture.known_c
        if known_c is not None and (not temps or abs(temps[-1] - known_c) <= SHOWN_WITHIN_K):
            temps.append(known_c)
        if not temps:
            temps = [20.0]
        low_c, high_c = min(temps), max(temps)
        more = max(0.08 * (high_c - low_c), 0.5 * (LEAST_SPAN_K - (high_c - low_c)), 0.25)
        return low_c - more, high_c + more

    def _temp_ticks(self, low_c: float, high_c: float, most: int) -> list[float]:
        """Round numbers of the shown unit, in Celsius."""
        low, high = self._shown.number(low_c), self._shown.number(high_c)
        step = next((step for step in _STEPS_K if (high - low) / step <= most), _STEPS_K[-1])
        first, last = math.ceil(low / step), math.floor(high / step)
        return [self._shown.back(step * number) for number in range(first, last + 1)]

    def _tick_words(self, temp_c: float) -> str:
        number = self._shown.number(temp_c)
        return f"{number:.0f}" if abs(number - round(number)) < 1e-6 else f"{number:.1f}"


@dataclass(frozen=True, slots=True)
class _Scale:
    """From seconds and degrees to pixels."""

    plot: QRectF
    from_s: float
    to_s: float
    low_c: float
    high_c: float

    def x(self, at_s: float) -> float:
        return self.plot.left() + self.plot.width() * (at_s - self.from_s) / max(
            self.to_s - self.from_s, 1e-9
        )

    def y(self, temp_c: float) -> float:
        share = (temp_c - self.low_c) / max(self.high_c - self.low_c, 1e-9)
        return self.plot.bottom() - self.plot.height() * share

    def at(self, at_s: float, temp_c: float) -> QPointF:
        return QPointF(self.x(at_s), self.y(temp_c))
