"""Where things are on the curve: the range that is shown and the way from degrees and seconds to pixels."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QPointF, QRectF

from candlebench.core.place import Place
from candlebench.core.state import MeltState
from candlebench.core.track import FloatArray
from candlebench.core.units import Shown
from candlebench.ui.theme import Theme

if TYPE_CHECKING:
    from candlebench.core.guesses import Guess

# What is shown: the last hour, and ten minutes ahead, at least a quarter of an hour in all. Design decision.
RECENT_S = 3000.0
AHEAD_S = 600.0
LEAST_S = 1200.0
# The calm range, widened to the stop limit while it is hot and on the heat, and down while it is cold.
CALM_LOW_C, CALM_HIGH_C, HOT_HIGH_C = 50.0, 88.0, 98.0
# While it is on the heat a bath is in view, up to the last of these; steps, so that the range does not creep.
BATH_HIGHS_C = (CALM_HIGH_C, HOT_HIGH_C, 104.0, 112.0, 130.0)
BATH_MARGIN_C = 2.0


@dataclass(frozen=True, slots=True)
class Frame:
    """The plot's rectangle in pixels and the range it stands for."""

    rect: QRectF
    low_s: float
    high_s: float
    low_c: float
    high_c: float

    def x(self, elapsed_s: float) -> float:
        return self.rect.left() + (elapsed_s - self.low_s) / (self.high_s - self.low_s) * self.rect.width()

    def y(self, temp_c: float) -> float:
        return self.rect.bottom() - (temp_c - self.low_c) / (self.high_c - self.low_c) * self.rect.height()

    def point(self, elapsed_s: float, temp_c: float) -> QPointF:
        return QPointF(self.x(elapsed_s), self.y(temp_c))

    def shows(self, temp_c: float) -> bool:
        return self.low_c <= temp_c <= self.high_c


@dataclass(frozen=True, slots=True)
class CurveScene:
    """All that the painters need."""

    state: MeltState
    frame: Frame
    theme: Theme
    shown: Shown
    width: float
    guess: "Guess | None" = None
    paused: bool = False

    @property
    def hot(self) -> bool:
        """Whether the upper limits are shown: on the heat, melted or nearly; not for a bath."""
        return _melt_high_c(self.state, self.frame.low_s) >= HOT_HIGH_C


def visible_range(state: MeltState, whole: bool) -> tuple[float, float, float, float]:
    """Return the seconds and degrees to show: (from, to, lowest, highest)."""
    now_s = state.now_s
    recent = state.step.crossing
    ahead_s = AHEAD_S
    if recent is not None and np.isfinite(recent.high_s):
        ahead_s = min(1800.0, max(AHEAD_S, recent.high_s * 1.2))
    high_s = max(LEAST_S, now_s + ahead_s)
    # The left edge moves in steps of a minute, so that the curve does not creep.
    low_s = 0.0 if whole or now_s <= RECENT_S else 60.0 * np.floor((now_s - RECENT_S) / 60.0)
    low_c, high_c = _low_c(state, whole), _melt_high_c(state, low_s)
    return float(low_s), float(high_s), low_c, max(high_c, _bath_high_c(state, low_s))


def _low_c(state: MeltState, whole: bool) -> float:
    temps = state.temps_c[-600:]
    temp_c = state.temp_c if state.temp_c is not None else CALM_LOW_C
    coldest = min(temp_c, float(temps.min())) if len(temps) and not whole else temp_c
    if whole and len(state.temps_c):
        coldest = float(state.temps_c.min())
    low_c = CALM_LOW_C if coldest >= CALM_LOW_C + 1.0 else 10.0 * np.floor((coldest - 3.0) / 10.0)
    limits = state.setup.limits
    if low_c > limits.pour_low_c - 10.0:
        low_c = 10.0 * np.floor((limits.pour_low_c - 10.0) / 10.0)
    return float(low_c)


def _melt_high_c(state: MeltState, low_s: float) -> float:
    temp_c = state.temp_c if state.temp_c is not None else CALM_LOW_C
    hottest = _hottest_c(state.times_s, state.temps_c, low_s)
    limits = state.setup.limits
    hot = (state.on_heat and temp_c >= limits.oil_high_c) or temp_c >= limits.strong_c
    high_c = HOT_HIGH_C if hot else max(CALM_HIGH_C, hottest + 2.0)
    return max(high_c, limits.strong_c + 3.0, min(hottest + 3.0, 130.0) if hot else 0.0)


def _bath_high_c(state: MeltState, low_s: float) -> float:
    """What a bath needs while it heats the melt. A room never moves the range: it would flatten the melt."""
    beside = state.beside
    if beside is None or beside.place is not Place.BATH or not state.on_heat:
        return 0.0
    hottest = _hottest_c(beside.times_s, beside.temps_c, low_s)
    return next((c for c in BATH_HIGHS_C if c >= hottest + BATH_MARGIN_C), BATH_HIGHS_C[-1])


def _hottest_c(times_s: FloatArray, temps_c: FloatArray, low_s: float) -> float:
    seen = temps_c[int(np.searchsorted(times_s, low_s)) :]
    return float(seen.max()) if len(seen) else 0.0
