"""The curve: what was measured, what is to come, and the windows and limits it moves between.

pyqtgraph draws the measured curve and the axes; everything that must sit on exact pixels is painted behind it
(`curve_ground`) or over it (`curve_marks`).
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
import pyqtgraph as pg
import PySide6.QtGui as _qt  # noqa: F401  (pyqtgraph takes the binding that is already imported)
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from candlebench.core.events import Gap
from candlebench.core.state import BesideState, MeltState
from candlebench.core.track import FloatArray
from candlebench.core.units import Shown
from candlebench.ui.curve_axes import TempAxis, TimeAxis, style_axis
from candlebench.ui.curve_beside import dash_s, dashed
from candlebench.ui.curve_ground import paint_ground
from candlebench.ui.curve_marks import paint_marks
from candlebench.ui.curve_scene import CurveScene, Frame, visible_range
from candlebench.ui.theme import LIGHT, Theme
from candlebench.ui.thinning import thinned
from candlebench.words import tr

if TYPE_CHECKING:
    from candlebench.core.guesses import Guess

POINTS_A_PIXEL = 2
# The second probe's line is thin and calm.
BESIDE_POINTS_A_PIXEL = 1


class CurveView(pg.PlotWidget):
    """Shows a state; holds no truth."""

    def __init__(self, parent: QWidget | None = None) -> None:
        self._theme = Theme(LIGHT)
        self._state: MeltState | None = None
        self._shown = Shown()
        self._guess: Guess | None = None
        self._whole = self._paused = False
        self._temp_axis, self._time_axis = TempAxis(), TimeAxis()
        super().__init__(
            parent, background=None, axisItems={"left": self._temp_axis, "bottom": self._time_axis}
        )
        self.setFrameShape(self.Shape.NoFrame)
        # The ground moves with the range: a cached one would show the windows where they were.
        self.setCacheMode(self.CacheModeFlag.CacheNone)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName(tr("Curve of the melt"))
        item = self.getPlotItem()
        item.setMenuEnabled(False)
        item.hideButtons()
        self._box = item.getViewBox()
        self._box.setMouseEnabled(False, False)
        self._box.setDefaultPadding(0.0)
        self._beside_curve, self._curve = _measured_line(), _measured_line()
        for curve in (self._beside_curve, self._curve):
            item.addItem(curve)
        self._drawn: tuple[float, ...] | None = None
        self._beside_drawn: tuple[float, ...] | None = None

    def use(self, theme: Theme, shown: Shown) -> None:
        """Take a theme and a unit."""
        self._theme, self._shown = theme, shown
        self._temp_axis.shown = shown
        for axis in (self._temp_axis, self._time_axis):
            style_axis(axis, theme)
        self._time_axis.label_px = theme.px(44, 1.85)
        self._temp_axis.setWidth(theme.px(42, 1.85))
        self._time_axis.setHeight(theme.px(28, 1.7))
        self._curve.setPen(pg.mkPen(theme.color("text"), width=4 if theme.scale >= 1.8 else 2.5))
        self._beside_curve.setPen(pg.mkPen(theme.color("muted"), width=2.5 if theme.scale >= 1.8 else 1.5))
        left, top = theme.px(10), theme.px(10 if theme.large else 24, 1.0)
        self.getPlotItem().layout.setContentsMargins(left, top, self.gutter_px(), theme.px(4))
        self._drawn = self._beside_drawn = None
        self._show()

    def gutter_px(self) -> int:
        """Room to the right of the plot for the names of bands and lines."""
        return self._theme.px(196, 1.52)

    def toggle_whole(self) -> None:
        """Between the whole melt and its last hour."""
        self._whole = not self._whole
        self._show()

    def show_state(self, state: MeltState) -> None:
        """Bring the curve up to date."""
        self._state = state
        self._show()

    def show_guess(self, guess: "Guess | None") -> None:
        """Mark what the person guessed, or nothing."""
        self._guess = guess
        self.viewport().update()

    def show_paused(self, paused: bool) -> None:
        """Say beside the line of now that the melt's time stands still."""
        if paused != self._paused:
            self._paused = paused
            self.viewport().update()

    def _show(self) -> None:
        state = self._state
        if state is None:
            return
        low_s, high_s, low_c, high_c = visible_range(state, self._whole)
        self._box.setRange(xRange=(low_s, high_s), yRange=(low_c, high_c), padding=0, update=True)
        self._show_melt(state, low_s)
        self._show_beside(state.beside, state.gaps, low_s, high_s)
        self.viewport().update()

    def _show_melt(self, state: MeltState, low_s: float) -> None:
        key = (*_end_of(state.times_s, state.temps_c), state.track_version, low_s, self.width())
        if key == self._drawn:
            return
        self._drawn = key
        seen = self._seen(state.times_s, state.temps_c, low_s, POINTS_A_PIXEL)
        self._curve.setData(*_broken(*seen, state.gaps))

    def _show_beside(
        self, beside: BesideState | None, gaps: Sequence[Gap], low_s: float, high_s: float
    ) -> None:
        if beside is None or not len(beside.times_s):
            if self._beside_drawn is not None:
                self._beside_drawn = None
                self._beside_curve.setData([], [])
            return
        every_s = dash_s((high_s - low_s) / max(1.0, self._box.width()), self._theme.px(10, 1.4) / 10.0)
        end = _end_of(beside.times_s, beside.temps_c)
        key = (*end, beside.track_version, low_s, self.width(), every_s)
        if key == self._beside_drawn:
            return
        self._beside_drawn = key
        seen = self._seen(beside.times_s, beside.temps_c, low_s, BESIDE_POINTS_A_PIXEL)
        times, temps = dashed(*_broken(*seen, gaps), every_s)
        self._beside_curve.setData(times, temps)

    def _seen(
        self, times_s: FloatArray, temps_c: FloatArray, low_s: float, points_a_pixel: int
    ) -> tuple[FloatArray, FloatArray]:
        """What is in view, in no more points than can be seen."""
        start = max(0, int(np.searchsorted(times_s, low_s)) - 1)
        return thinned(times_s[start:], temps_c[start:], points_a_pixel * max(200, self.width()))

    def _frame(self) -> Frame:
        (low_s, high_s), (low_c, high_c) = self._box.viewRange()
        return Frame(self._box.sceneBoundingRect(), low_s, high_s, low_c, high_c)

    def drawBackground(self, painter: QPainter, rect: QRectF) -> None:
        painter.fillRect(rect, self._theme.color("surface"))
        if self._state is not None:
            paint_ground(painter, self._scene())

    def drawForeground(self, painter: QPainter, rect: QRectF) -> None:
        if self._state is not None:
            paint_marks(painter, self._scene())

    def _scene(self) -> CurveScene:
        assert self._state is not None
        return CurveScene(
            self._state,
            self._frame(),
            self._theme,
            self._shown,
            float(self.width()),
            self._guess,
            self._paused,
        )


def _measured_line() -> pg.PlotCurveItem:
    line = pg.PlotCurveItem(connect="finite", skipFiniteCheck=False, antialias=True)
    line.setSegmentedLineMode("on")
    return line


def _end_of(times_s: FloatArray, temps_c: FloatArray) -> tuple[int, float]:
    """What tells a curve from another one that is drawn: another melt may have as many readings."""
    return len(times_s), float(temps_c[-1]) if len(temps_c) else 0.0


def _broken(times_s: FloatArray, temps_c: FloatArray, gaps: Sequence[Gap]) -> tuple[FloatArray, FloatArray]:
    """The curve with a NaN in each gap, where its line breaks."""
    for gap in gaps:
        place = int(np.searchsorted(times_s, gap.elapsed_s - gap.length_s / 2))
        if 0 < place < len(times_s):
            times_s = np.insert(times_s, place, times_s[place - 1])
            temps_c = np.insert(temps_c, place, np.nan)
    return times_s, temps_c
