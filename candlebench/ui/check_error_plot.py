"""How far a probe is off, over temperature: the points checked, the line through them, what its kind may."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from candlebench.core.trust.check import ProbeCheck
from candlebench.core.trust.classes import load_classes
from candlebench.core.trust.finding import SHOWN_AT_C, Finding
from candlebench.core.trust.line import MELT_C, reading_sd_k, uncertainty_k
from candlebench.core.trust.points import COVERAGE
from candlebench.core.units import Shown
from candlebench.ui import shapes
from candlebench.ui.plot_parts import rim
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

_FROM_C, _TO_C, _EVERY_C = -4.0, 106.0, 5.0
_LEAST_K = 1.0
_STEPS_K = (0.5, 1.0, 2.0, 5.0)


@dataclass(frozen=True, slots=True)
class ErrorPicture:
    """What is drawn; temperatures as shown by the probe, in C, errors in kelvin.

    Attributes
    ----------
    points : sequence of (C, K, K)
        What was checked: where, how much too high it reads, half-width of that.
    line : sequence of (C, K, K)
        The line to be used, with its half-width.
    allowed : sequence of (C, K)
        What its kind may be off; empty when that is not known.
    kind : str
        Name of the kind.
    """

    points: Sequence[tuple[float, float, float]] = ()
    line: Sequence[tuple[float, float, float]] = ()
    allowed: Sequence[tuple[float, float]] = ()
    kind: str = ""


def error_picture(check: ProbeCheck, found: Finding) -> ErrorPicture:
    """Return what there is to draw of a check."""
    points = tuple(
        (
            each.reading.read_c,
            each.error_k,
            COVERAGE * math.hypot(each.point.sd_k, reading_sd_k(each, check.step_k)),
        )
        for each in check.points
    )
    count = round((_TO_C - _FROM_C) / _EVERY_C)
    temps = [_FROM_C + _EVERY_C * number for number in range(count + 1)]
    line = tuple(
        (read_c, read_c - found.correction.true_c(read_c), uncertainty_k(check, read_c)) for read_c in temps
    )
    known = load_classes().get(check.class_name)
    if known is None:
        return ErrorPicture(points, line)
    allowed = tuple((temp_c, known.tolerance_k(temp_c)) for temp_c in temps)
    return ErrorPicture(points, line, allowed, known.shown_name)


class ErrorPlot(QWidget):
    """Draws a picture of a check."""

    def __init__(self) -> None:
        super().__init__()
        self._theme, self._shown = Theme(LIGHT), Shown()
        self._picture = ErrorPicture()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("How far the probe is off, over temperature"))

    def use(self, theme: Theme, shown: Shown) -> None:
        """Take a theme and a unit."""
        self._theme, self._shown = theme, shown
        self.updateGeometry()
        self.update()

    def show_picture(self, picture: ErrorPicture) -> None:
        """Draw another check."""
        self._picture = picture
        shown = self._shown
        self.setAccessibleDescription(
            "; ".join(
                tr("at {temp} off by {error}").format(temp=shown.temp(at_c), error=shown.drop(error_k))
                for at_c, error_k, _ in picture.points
            )
        )
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(self._theme.px(420, 1.4), self._theme.px(270, 1.4))

    def minimumSizeHint(self) -> QSize:
        return QSize(260, self.sizeHint().height())

    # --- drawing ------------------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        picture, theme = self._picture, self._theme
        if not picture.line:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(theme.font(14, stops_at=1.6))
        metrics = QFontMetricsF(painter.font())
        line_px = metrics.height()
        left = metrics.horizontalAdvance("−0.0") + 12
        self._plot = QRectF(left, 1.6 * line_px, self.width() - left - 8, self.height() - 4.2 * line_px)
        self._most_k = self._reach_k()
        self._paint_ground(painter, metrics)
        painter.save()
        painter.setClipRect(self._plot)
        self._paint_line(painter)
        self._paint_allowed(painter)
        painter.restore()
        self._paint_points(painter)
        self._paint_words(painter, metrics)
        painter.end()

    def _reach_k(self) -> float:
        """How far the axis goes up and down."""
        picture = self._picture
        reach = [abs(error) + more for _, error, more in (*picture.points, *picture.line[1:-1])]
        # A wide class would squeeze the rest; its lines are then beyond the edge.
        allowed = max((k for _, k in picture.allowed), default=0.0)
        most = max(reach)
        return max(_LEAST_K, 1.15 * most, min(1.15 * allowed, 3.0 * most))

    def _x(self, temp_c: float) -> float:
        return self._plot.left() + self._plot.width() * (temp_c - _FROM_C) / (_TO_C - _FROM_C)

    def _y(self, error_k: float) -> float:
        return self._plot.center().y() - 0.5 * self._plot.height() * error_k / self._most_k

    def _paint_ground(self, painter: QPainter, metrics: QFontMetricsF) -> None:
        theme, shown, plot = self._theme, self._shown, self._plot
        melt = QRectF(QPointF(self._x(MELT_C[0]), plot.top()), QPointF(self._x(MELT_C[1]), plot.bottom()))
        painter.fillRect(melt, theme.color("sunk", 0.6))
        most = shown.difference(self._most_k)
        step = next((step for step in _STEPS_K if most / step <= 3.0), _STEPS_K[-1])
        for number in range(-int(most / step), int(most / step) + 1):
            y = self._y(number * step / shown.difference(1.0))
            painter.setPen(QPen(theme.color("strong_line" if number == 0 else "grid"), 1))
            painter.drawLine(QPointF(plot.left(), y), QPointF(plot.right(), y))
            painter.setPen(theme.color("muted"))
            words = f"{abs(number) * step:.1f}" if number == 0 else f"{number * step:+.1f}".replace("-", "−")
            box = QRectF(0, y - metrics.height() / 2, plot.left() - 6, metrics.height())
            painter.drawText(box, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, words)
        for temp_c in (0.0, 25.0, 50.0, *SHOWN_AT_C, 100.0):
            x = self._x(temp_c)
            painter.setPen(QPen(theme.color("strong_line"), 1))
            painter.drawLine(QPointF(x, plot.bottom()), QPointF(x, plot.bottom() + 4))
            words = shown.bare(temp_c)
            painter.setPen(theme.color("muted"))
            wide = metrics.horizontalAdvance(words)
            painter.drawText(QPointF(x - wide / 2, plot.bottom() + 6 + metrics.ascent()), words)
        painter.setPen(QPen(theme.color("strong_line"), 1))
        painter.drawLine(plot.bottomLeft(), plot.bottomRight())

    def _paint_line(self, painter: QPainter) -> None:
        theme, line = self._theme, self._picture.line
        upper = [QPointF(self._x(at), self._y(error + more)) for at, error, more in line]
        lower = [QPointF(self._x(at), self._y(error - more)) for at, error, more in line]
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(theme.color("accent", theme.palette.fan_alpha))
        painter.drawPolygon(QPolygonF(upper + lower[::-1]))
        pen = QPen(theme.color("accent"), theme.px(2, 1.6))
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolyline(QPolygonF([QPointF(self._x(at), self._y(error)) for at, error, _ in line]))

    def _paint_allowed(self, painter: QPainter) -> None:
        theme = self._theme
        pen = QPen(theme.color("warning"), 1.5, Qt.PenStyle.CustomDashLine)
        pen.setDashPattern([6, 4])
        painter.setPen(pen)
        for side in (1.0, -1.0):
            painter.drawPolyline(
                QPolygonF([QPointF(self._x(at), self._y(side * k)) for at, k in self._picture.allowed])
            )

    def _paint_points(self, painter: QPainter) -> None:
        theme = self._theme
        cap = theme.px(6, 1.4)
        for at_c, error_k, more_k in self._picture.points:
            x, high, low = self._x(at_c), self._y(error_k + more_k), self._y(error_k - more_k)
            painter.setPen(QPen(theme.color("text"), 2))
            painter.drawLine(QPointF(x, high), QPointF(x, low))
            for y in (high, low):
                painter.drawLine(QPointF(x - cap, y), QPointF(x + cap, y))
            shapes.ring(
                painter,
                QPointF(x, self._y(error_k)),
                theme.px(5, 1.4),
                theme.color("surface"),
                theme.color("text"),
                1.5,
            )

    def _paint_words(self, painter: QPainter, metrics: QFontMetricsF) -> None:
        theme, plot = self._theme, self._plot
        painter.setPen(theme.color("muted"))
        top = QPointF(0.0, metrics.ascent())
        painter.drawText(top, tr("reads too high by, {unit}").format(unit=self._shown.sign))
        words = tr("in a melt")
        middle = self._x(0.5 * (MELT_C[0] + MELT_C[1])) - metrics.horizontalAdvance(words) / 2
        painter.drawText(QPointF(middle, metrics.ascent()), words)
        shows = tr("it shows, {unit}").format(unit=self._shown.sign)
        at = QPointF(plot.right() - metrics.horizontalAdvance(shows), self.height() - metrics.descent() - 1)
        painter.drawText(at, shows)
        if self._picture.allowed:
            allowed_k = self._picture.allowed[len(self._picture.allowed) // 3][1]
            y = self._y(allowed_k)
            if y - metrics.height() > plot.top() - 4:
                words = tr("allowed: {kind}").format(kind=self._picture.kind)
                baseline = QPointF(plot.left() + 8, y - 5)
                rim(painter, baseline, words, theme.color("surface"), 4)
                painter.setPen(theme.color("warning_text"))
                painter.drawText(baseline, words)
