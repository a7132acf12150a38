"""The two axes of the curve: temperature in the shown unit, elapsed time as minutes and seconds."""

import pyqtgraph as pg
from PySide6.QtGui import QPen

from candlebench.core.units import Shown, clock_face
from candlebench.ui.theme import Theme

# Steps between ticks that people count in, in seconds.
TIME_STEPS_S = (10, 30, 60, 120, 300, 600, 1200, 1800, 3600, 7200, 14400, 28800)


class TempAxis(pg.AxisItem):
    """Ticks at round degrees of the shown unit. The plot itself is in Celsius."""

    def __init__(self) -> None:
        super().__init__("left")
        self.shown = Shown()

    def tickValues(self, minVal: float, maxVal: float, size: float) -> list[tuple[float, list[float]]]:
        low, high = self.shown.number(minVal), self.shown.number(maxVal)
        step = 20.0 if self.shown.unit == "F" else 10.0
        while size and (high - low) / step * 26 > size:
            step *= 2
        first = int(-(-low // step))
        return [(step, [self.shown.back(step * i) for i in range(first, int(high // step) + 1)])]

    def tickStrings(self, values: list[float], scale: float, spacing: float) -> list[str]:
        return [f"{self.shown.number(v):.0f}" for v in values]


class TimeAxis(pg.AxisItem):
    """Ticks at round minutes since the melt began."""

    def __init__(self) -> None:
        super().__init__("bottom")
        self.label_px = 60.0

    def tickValues(self, minVal: float, maxVal: float, size: float) -> list[tuple[float, list[float]]]:
        most = max(1.0, size / (self.label_px * 1.6))
        span = maxVal - minVal
        step = next((s for s in TIME_STEPS_S if span / s <= most), TIME_STEPS_S[-1])
        first = int(-(-max(0.0, minVal) // step))
        return [(step, [float(step * i) for i in range(first, int(maxVal // step) + 1)])]

    def tickStrings(self, values: list[float], scale: float, spacing: float) -> list[str]:
        return [clock_face(v) for v in values]


def style_axis(axis: pg.AxisItem, theme: Theme) -> None:
    """Give an axis the theme's line, words and size."""
    font = theme.font(14, 400, 1.85)
    axis.setPen(QPen(theme.color("strong_line"), 1))
    axis.setTextPen(QPen(theme.color("muted")))
    axis.setStyle(tickFont=font, tickLength=5, tickTextOffset=6, hideOverlappingLabels=False)
