"""The last readings of a probe that has left its path: how fast they move, how long they have stood."""

import math
from collections import deque

from candlebench.core.probe_path import ProbePath

# The rate of now is that of these; whether a level has settled is told over longer.
RATE_OVER_S, RATE_READINGS = 6.0, 4
SETTLED_OVER_S = 10.0
# Standing: no more than noise and 4 K/min from one reference to the next, which vessels stay under.
STEADY_K, STEADY_SD, STEADY_K_PER_S, REFERENCE_S = 0.4, 3.0, 0.07, 10.0


class Recent:
    """A few seconds of readings.

    Attributes
    ----------
    readings : deque of (float, float)
        Times and temperatures, the newest last.
    """

    def __init__(self) -> None:
        self.readings: deque[tuple[float, float]] = deque()
        self._steady_from_s = 0.0
        self._reference: tuple[float, float] | None = None

    def add(self, at_s: float, temp_c: float, path: ProbePath) -> None:
        """Take one more; `path` tells how much such a probe scatters."""
        readings = self.readings
        readings.append((at_s, temp_c))
        while len(readings) > RATE_READINGS and at_s - readings[0][0] > SETTLED_OVER_S:
            readings.popleft()
        if self._reference is None:
            self._steady_from_s, self._reference = at_s, (at_s, temp_c)
            return
        ref_s, ref_c = self._reference
        allowed_k = STEADY_K + STEADY_SD * path.reading_sd_k + path.step_k
        if abs(temp_c - ref_c) > allowed_k + STEADY_K_PER_S * (at_s - ref_s):
            self._steady_from_s, self._reference = at_s, (at_s, temp_c)
        elif at_s - ref_s >= REFERENCE_S:
            self._reference = (at_s, temp_c)

    def steady_anew(self) -> None:
        """Count from now how long it stands."""
        self._steady_from_s = self.readings[-1][0]

    @property
    def steady_s(self) -> float:
        """For how long it has moved no faster than a vessel can."""
        return self.readings[-1][0] - self._steady_from_s if self.readings else 0.0

    def rate_c_per_s(self, path: ProbePath) -> float:
        """K/s over the last seconds; of a single reading, from where the path ended."""
        return self.rate_and_sd(RATE_OVER_S, 0.0, path)[0]

    def rate_and_sd(self, over_s: float, reading_sd_k: float, path: ProbePath) -> tuple[float, float]:
        """K/s of the straight line through the readings of the last `over_s`, and its standard deviation."""
        if not self.readings:
            return 0.0, 0.0
        now_s = self.readings[-1][0]
        recent = [one for one in self.readings if now_s - one[0] <= over_s]
        if len(recent) < RATE_READINGS:
            recent = list(self.readings)[-RATE_READINGS:]
        if len(recent) < 2:
            return _since(path, recent[0]), 0.0
        t_mean = sum(t for t, _ in recent) / len(recent)
        c_mean = sum(c for _, c in recent) / len(recent)
        tt = sum((t - t_mean) ** 2 for t, _ in recent)
        if tt <= 0.0:
            return 0.0, 0.0
        rate = sum((t - t_mean) * (c - c_mean) for t, c in recent) / tt
        return rate, reading_sd_k / math.sqrt(tt)


def _since(path: ProbePath, reading: tuple[float, float]) -> float:
    """K/s from where a path ended."""
    if path.last_s is None or reading[0] <= path.last_s:
        return 0.0
    return (reading[1] - path.expected_c(path.last_s)) / (reading[0] - path.last_s)
