"""Notices that a cooling melt's readings went on lower, or higher, though nobody did anything.

A jug that cools bends slowly (H29 to H32), so the line through the last minute says within a few hundredths
of a kelvin where it is half a minute later. A probe that slips onto the wall, which is about a kelvin colder
than the wax, goes there within some lags (T24) and then cools on as before: too slowly for a jump, too fast
for a jug, and over when a draught would only begin to show.

The constants were tried on practice melts off the heat, sound and with the probe at the wall, on three
displays, and on the open series read at least every three seconds.
"""

import math
from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

# Readings of a second are taken together.
TOGETHER_S = 1.0
# The line is drawn over a minute, now is the last seconds, and between them lies the way.
BEFORE_S, LEAST_BEFORE_S, LEAST_BEFORE = 60.0, 40.0, 8
WAY_S = 20.0
NOW_S, LEAST_NOW = 8.0, 4
# Readings further apart than this show no way, only two ends: a draught has the same ones.
LONGEST_GAP_S = 5.0
# So far off the line: more than an eddy, noise, what a coarse display hides, or a bent curve makes.
STEP_K, STEP_SD, STEP_DIGITS, STEP_OF_FALL = 0.3, 3.0, 0.75, 0.15
# A slip nears its level with the probe's lag in wax (T24); a draught bends the line and goes on. The way must
# be so much more like the first: the squares that either leaves, with what noise leaves anyhow.
LAGS_S = (3.0, 5.0, 8.0, 12.0, 17.0)
BEGINS_EVERY_S, LEAST_WAY_S = 2.0, 6.0
LIKELIER = 2.0
IN_A_ROW = 3
# On its way perhaps: the last seconds lie off the line by more than noise and half a digit.
LEAVES_S, LEAVES_K, LEAVES_SD, LEAVES_DIGITS = 3.0, 0.05, 3.5, 0.5
# So much of that is unknown then: the forecast keeps its pace within a half-width, tried on practice melts.
UNSURE = 0.5


@dataclass(frozen=True, slots=True)
class Step:
    """The readings go on elsewhere.

    Attributes
    ----------
    after_s : float
        Elapsed time of the last reading that lay on the line of before.
    by_k : float
        How far they lie off that line now, in kelvin; below 0 for lower.
    before : sequence of (float, float)
        Times and temperatures on the line, the last one at `after_s`.
    """

    after_s: float
    by_k: float
    before: Sequence[tuple[float, float]]


class LevelWatch:
    """Remembers the believed readings of the last minute and a half of a melt that cools by itself.

    Attributes
    ----------
    unsure_k : float
        How far the melt may be from what the last reading says, in kelvin, told once a second: the last
        seconds lie off the line of before by more than noise, and it is not known yet why. 0 else.
    """

    def __init__(self) -> None:
        self._quiet_from_s = -math.inf
        self.restart()

    def restart(self) -> None:
        """What was before says nothing of what comes."""
        self._bins: deque[tuple[float, float, int]] = deque()
        self._ends_s: deque[float] = deque()
        self._in_a_row = 0
        self.unsure_k = 0.0

    def announce(self, at_s: float, for_s: float) -> None:
        """Something was done that moves the readings for so long."""
        self._quiet_from_s = max(self._quiet_from_s, at_s + for_s)
        self.restart()

    def add(self, at_s: float, temp_c: float, reading_sd_k: float, digit_k: float) -> Step | None:
        """Take one believed reading; return the step once it is seen.

        Parameters
        ----------
        at_s, temp_c : float
            Elapsed time, not before the last one's, and temperature.
        reading_sd_k, digit_k : float
            Scatter of one reading, and the last digit of the display, in kelvin.
        """
        if at_s < self._quiet_from_s:
            return None
        if self._bins and at_s - self._ends_s[-1] > LONGEST_GAP_S:
            self.restart()
        if self._bins and at_s - self._bins[-1][0] < TOGETHER_S:
            first_s, mean_c, count = self._bins[-1]
            self._bins[-1] = (first_s, mean_c + (temp_c - mean_c) / (count + 1), count + 1)
            self._ends_s[-1] = at_s
            self.unsure_k = 0.0
            return None
        self._bins.append((at_s, temp_c, 1))
        self._ends_s.append(at_s)
        while at_s - self._bins[0][0] > BEFORE_S + WAY_S + NOW_S:
            self._bins.popleft()
            self._ends_s.popleft()
        return self._seen(reading_sd_k, digit_k)

    def _seen(self, reading_sd_k: float, digit_k: float) -> Step | None:
        bins = list(self._bins)
        now = [one for one in bins if bins[-1][0] - one[0] < NOW_S]
        if len(now) < LEAST_NOW:
            now = bins[-LEAST_NOW:]
        before = [one for one in bins if now[0][0] - one[0] > WAY_S] if now else []
        self.unsure_k = 0.0
        if len(before) < LEAST_BEFORE or before[-1][0] - before[0][0] < LEAST_BEFORE_S:
            return None
        line, lately = _Line(before), _Line(now)
        self.unsure_k = UNSURE * self._leaves_k(line, now, digit_k, reading_sd_k)
        # What rose and only stops has not fallen: what moved the probe before is over.
        expected_c = line.at(lately.mean_s if line.slope <= 0.0 else before[-1][0])
        off_k = lately.mean_c - expected_c
        sd_k = max(reading_sd_k, line.scatter_k)
        off_sd_k = sd_k * math.sqrt(1.0 / len(now) + line.variance_at(lately.mean_s))
        least_k = STEP_K + STEP_SD * off_sd_k + STEP_DIGITS * digit_k
        least_k += STEP_OF_FALL * abs(line.slope) * (WAY_S + NOW_S)
        slipped = abs(off_k) > least_k and self._is_a_slip(line, bins[len(before) :], sd_k)
        self._in_a_row = self._in_a_row + 1 if slipped else 0
        if self._in_a_row < IN_A_ROW:
            return None
        after_s = list(self._ends_s)[len(before) - 1]
        return Step(after_s, off_k, [(s, c) for s, c, _ in before])

    def _is_a_slip(self, line: "_Line", way: Sequence[tuple[float, float, int]], sd_k: float) -> bool:
        """Whether the readings since the line went to another level rather than on another slope."""
        times_s = np.array([s for s, _, _ in way])
        off_k = np.array([c - line.at(s) for s, c, _ in way])
        begins_s = np.arange(times_s[0], times_s[-1] - LEAST_WAY_S, BEGINS_EVERY_S)
        if len(begins_s) == 0:
            return False
        since_s = np.maximum(times_s[None, :] - begins_s[:, None], 0.0)
        nears = [1.0 - np.exp(-since_s / lag_s) for lag_s in LAGS_S]
        noise = len(way) * sd_k**2
        return _squares_left(since_s, off_k) + noise > LIKELIER * (
            _squares_left(np.vstack(nears), off_k) + noise
        )

    def _leaves_k(
        self, line: "_Line", now: Sequence[tuple[float, float, int]], digit_k: float, reading_sd_k: float
    ) -> float:
        last = _Line([one for one in now if now[-1][0] - one[0] < LEAVES_S])
        # Only a fall may be a slip: a jug that is put back on the heat has to be foreseen at once.
        off_k = line.at(last.mean_s) - last.mean_c
        off_sd_k = max(reading_sd_k, line.scatter_k) * math.sqrt(
            1.0 / last.count + line.variance_at(last.mean_s)
        )
        least_k = LEAVES_K + LEAVES_SD * off_sd_k + LEAVES_DIGITS * digit_k
        least_k += STEP_OF_FALL * abs(line.slope) * WAY_S
        return off_k if off_k > least_k else 0.0


def _squares_left(shapes: NDArray[np.float64], off_k: NDArray[np.float64]) -> float:
    """Sum of squares that the best of some shapes, one a row and of any size, leaves."""
    size = np.maximum((shapes**2).sum(axis=1), 1e-12)
    return float((off_k**2).sum() - ((shapes @ off_k) ** 2 / size).max())


class _Line:
    """The straight line through some means."""

    def __init__(self, points: Sequence[tuple[float, float, int]]) -> None:
        self.count = len(points)
        self.mean_s = sum(s for s, _, _ in points) / self.count
        self.mean_c = sum(c for _, c, _ in points) / self.count
        self.spread_s2 = max(sum((s - self.mean_s) ** 2 for s, _, _ in points), 1e-9)
        both = sum((s - self.mean_s) * (c - self.mean_c) for s, c, _ in points)
        self.slope = both / self.spread_s2
        rest = sum((c - self.at(s)) ** 2 for s, c, _ in points)
        self.scatter_k = math.sqrt(rest / max(self.count - 2, 1))

    def at(self, at_s: float) -> float:
        return self.mean_c + self.slope * (at_s - self.mean_s)

    def variance_at(self, at_s: float) -> float:
        """Variance of the line there, for a scatter of 1."""
        return 1.0 / self.count + (at_s - self.mean_s) ** 2 / self.spread_s2
