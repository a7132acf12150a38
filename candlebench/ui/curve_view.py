"""The curve: what was measured, what is to come, and the windows and limits it moves between.

pyqtgraph draws the measured curve and the axes; everything that must sit on exact pixels is painted behind it
(`curve_ground`) or over it (`curve_marks`).
"""

import numpy as np
import pyqtgraph as pg
import PySide6.QtGui as _qt  # noqa: F401  (pyqtgraph takes the binding that is already imported)
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from candlebench.core.guesses import Guess
from candlebench.core.state import MeltState
from candlebench.core.units import Shown
from candlebench.ui.curve_axes import TempAxis, TimeAxis, style_axis
from candlebench.ui.curve_ground import paint_ground
from candlebench.ui.curve_marks import paint_marks
from candlebench.ui.curve_scene import CurveScene, Frame, visible_range
from candlebench.ui.theme import LIGHT, Theme
from candlebench.ui.thinning import thinned
from candlebench.words import tr

POINTS_A_PIXEL = 2


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
        self._curve = pg.PlotCurveItem(connect="finite", skipFiniteCheck=False, antialias=True)
        self._curve.setSegmentedLineMode("on")
        item.addItem(self._curve)
        self._drawn: tuple[int, int, int] | None = None

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
        left, top = theme.px(10), theme.px(10 if theme.large else 24, 1.0)
        self.getPlotItem().layout.setContentsMargins(left, top, self.gutter_px(), theme.px(4))
        self._drawn = None
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

    def show_guess(self, guess: Guess | None) -> None:
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
        key = (len(state.times_s), state.track_version, int(low_s) * 10000 + self.width())
        if key != self._drawn:
            self._drawn = key
            start = max(0, int(np.searchsorted(state.times_s, low_s)) - 1)
            times, temps = thinned(
                state.times_s[start:], state.temps_c[start:], POINTS_A_PIXEL * max(200, self.width())
            )
            for gap in state.gaps:
                place = int(np.searchsorted(times, gap.elapsed_s - gap.length_s / 2))
                if 0 < place < len(times):
                    times = np.insert(times, place, times[place - 1])
                    temps = np.insert(temps, place, np.nan)
            self._curve.setData(times, temps)
        self.viewport().update()

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
