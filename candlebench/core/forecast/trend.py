"""Where the temperature is and which way it goes, without any idea of what is being warmed or cooled."""

import math

# How fast the slope itself may change: about 0.6 K/min within a minute, as when a jug leaves the bath.
_SLOPE_WALK_VAR_PER_S = (0.6 / 60.0) ** 2 / 60.0
# The slope of a melt stays within a few K/min, so its walk over a long gap does not go on growing.
_WALK_SETTLES_S = 60.0
_FIRST_SLOPE_SD_C_PER_S = 0.05
# When the readings stay this many standard deviations to one side on average, the slope has changed for good.
_ONE_SIDED_SD = 1.6
_ONE_SIDED_MEMORY = 6.0


class Trend:
    """A straight line that follows the readings: a Kalman filter over temperature and slope."""

    def __init__(self) -> None:
        self.count = 0
        self._last_s = 0.0
        self._temp = 0.0
        self._slope = 0.0
        self._one_sided = 0.0
        self._tt, self._ts, self._ss = 0.0, 0.0, _FIRST_SLOPE_SD_C_PER_S**2

    @property
    def temp_c(self) -> float:
        """Smoothed temperature at the last reading."""
        return self._temp

    @property
    def slope_c_per_s(self) -> float:
        """Smoothed slope at the last reading."""
        return self._slope

    @property
    def temp_sd_k(self) -> float:
        """Standard deviation of the smoothed temperature."""
        return math.sqrt(self._tt)

    def loosen(self) -> None:
        """Let the slope go: somebody changed the heat."""
        self._ss += _FIRST_SLOPE_SD_C_PER_S**2 / 4.0

    def shift(self, by_k: float) -> None:
        """A known step."""
        self._temp += by_k

    def add(self, elapsed_s: float, temp_c: float, variance_k2: float) -> None:
        """Follow one more reading."""
        if self.count == 0:
            self._temp, self._tt = temp_c, variance_k2
        else:
            self._move(max(elapsed_s - self._last_s, 0.0))
            total = self._tt + variance_k2
            off = temp_c - self._temp
            self._watch(off / math.sqrt(total))
            to_temp, to_slope = self._tt / total, self._ts / total
            self._temp += to_temp * off
            self._slope += to_slope * off
            self._ss -= to_slope * self._ts
            self._tt, self._ts = self._tt * (1.0 - to_temp), self._ts * (1.0 - to_temp)
        self._last_s = max(elapsed_s, self._last_s)
        self.count += 1

    def _watch(self, score: float) -> None:
        self._one_sided += (max(-4.0, min(score, 4.0)) - self._one_sided) / _ONE_SIDED_MEMORY
        if abs(self._one_sided) > _ONE_SIDED_SD:
            self.loosen()
            self._one_sided = 0.0

    def _move(self, gap_s: float) -> None:
        self._temp += self._slope * gap_s
        walk = _SLOPE_WALK_VAR_PER_S * gap_s / (1.0 + (gap_s / _WALK_SETTLES_S) ** 2)
        self._tt += 2.0 * gap_s * self._ts + gap_s**2 * self._ss + walk * gap_s**2 / 3.0
        self._ts += gap_s * self._ss + walk * gap_s / 2.0
        self._ss += walk
