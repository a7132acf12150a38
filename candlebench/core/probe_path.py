"""Where a probe's readings have been lately, and where the next one should lie: a straight line, no wax."""

import math
from collections import deque
from collections.abc import Sequence

from candlebench.core.forecast.noise import Noise

# So long that noise of a tenth gives no slope to speak of, and short enough to follow a hob: as in `slope`.
WINDOW_S = 45.0
LEAST_POINTS = 5
# Readings closer than this are taken together: a melt does nothing within a second.
TOGETHER_S = 1.0
# 3 K/min: a brisk melt in its bath.
USUAL_C_PER_S = 0.05
# A slope says less the longer nothing is read: a melt on the hob bends within minutes (H29 to H32, W24).
SLOPE_FADES_S = 300.0


class ProbePath:
    """The believed readings of the last while and the line through them."""

    def __init__(self) -> None:
        self._noise = Noise()
        self.restart()

    def restart(self) -> None:
        """Nothing is known of the melt any more; what was learned of the probe stays."""
        self._begun_s: float | None = None
        self._last: tuple[float, float] | None = None
        self.go_on_elsewhere()

    def go_on_elsewhere(self) -> None:
        """What comes does not lie on the line of before."""
        self._points: deque[tuple[float, float, int]] = deque()
        self._line: tuple[float, float] | None = None

    def go_back(self, points: Sequence[tuple[float, float]]) -> None:
        """What came after these times and temperatures was not the melt."""
        last_s = points[-1][0]
        self._points = deque((s, c, 1) for s, c in points if last_s - s <= WINDOW_S)
        self._last, self._line = points[-1], None

    def go_back_by(self, for_s: float) -> float | None:
        """Forget the last readings; return the time of the one before, None when too few are known."""
        kept = [one for one in self._points if self._last is not None and self._last[0] - one[0] >= for_s]
        if len(kept) < LEAST_POINTS:
            return None
        self._points, self._line = deque(kept), None
        self._last = kept[-1][:2]
        return kept[-1][0]

    def add(self, at_s: float, temp_c: float) -> None:
        """Take one more believed reading; times do not run back."""
        self._noise.add(at_s, temp_c)
        if self._begun_s is None:
            self._begun_s = at_s
        self._last = (at_s, temp_c)
        self._line = None
        points = self._points
        if points and at_s - points[-1][0] < TOGETHER_S:
            first_s, mean_c, count = points[-1]
            points[-1] = (first_s, mean_c + (temp_c - mean_c) / (count + 1), count + 1)
            return
        points.append((at_s, temp_c, 1))
        while len(points) > LEAST_POINTS and at_s - points[0][0] > WINDOW_S:
            points.popleft()

    @property
    def last_s(self) -> float | None:
        """Time of the last believed reading."""
        return None if self._last is None else self._last[0]

    @property
    def last_c(self) -> float:
        """The last believed reading itself; not a number before it."""
        return math.nan if self._last is None else self._last[1]

    @property
    def known_for_s(self) -> float:
        """How long it has been followed without a restart."""
        return self._last[0] - self._begun_s if self._last and self._begun_s is not None else 0.0

    @property
    def slope_c_per_s(self) -> float:
        """Slope of the line; 0 before three points."""
        return self._fit()[1]

    @property
    def reading_sd_k(self) -> float:
        """Scatter of one reading about the line, rounding included."""
        return self._noise.reading_sd_k

    @property
    def step_k(self) -> float:
        """The last digit of the display, in kelvin."""
        return self._noise.step_k

    def expected_c(self, at_s: float) -> float:
        """Where a reading should lie at that time; the slope fades out.

        Raises
        ------
        ValueError
            Nothing was read yet.
        """
        if self._last is None:
            raise ValueError("no reading yet")
        level_c, slope = self._fit()
        ahead_s = at_s - self._last[0]
        return level_c + slope * SLOPE_FADES_S * (1.0 - math.exp(-ahead_s / SLOPE_FADES_S))

    def slope_at(self, at_s: float) -> float:
        """What is left of the slope then, in K/s."""
        if self._last is None:
            return 0.0
        return self._fit()[1] * math.exp(-max(at_s - self._last[0], 0.0) / SLOPE_FADES_S)

    def _fit(self) -> tuple[float, float]:
        """Level at the last reading, and slope."""
        if self._line is None:
            self._line = self._straight()
        return self._line

    def _straight(self) -> tuple[float, float]:
        if self._last is None:
            return 0.0, 0.0
        if len(self._points) < 3:
            return self._last[1], 0.0
        last_s = self._last[0]
        n = t_sum = c_sum = 0.0
        for at_s, temp_c, _ in self._points:
            n += 1.0
            t_sum += at_s - last_s
            c_sum += temp_c
        t_mean, c_mean = t_sum / n, c_sum / n
        tt = tc = 0.0
        for at_s, temp_c, _ in self._points:
            off_s = at_s - last_s - t_mean
            tt += off_s * off_s
            tc += off_s * (temp_c - c_mean)
        # Few readings close together would tell any slope: begin with the belief that it is a melt's.
        slope = tc / (tt + (self._noise.reading_sd_k / USUAL_C_PER_S) ** 2)
        return c_mean - slope * t_mean, slope
