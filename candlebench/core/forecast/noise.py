"""How far one reading may be trusted: its resolution and its scatter, both learned from the readings."""

import math

# Steps of common displays in kelvin, coarse to fine: 1 C, 1 F, 0.5, 0.25, 0.2 C, 0.2 F, 0.1, 1/16 (digital
# sensors of 12 bits), 0.05 and 0.01 C. A reading that is no multiple of a step rules the step out.
_STEPS: tuple[tuple[float, float, float], ...] = (
    (1.0, 1.0, 0.0),
    (1.0 / 1.8, 1.8, 32.0),
    (0.5, 1.0, 0.0),
    (0.25, 1.0, 0.0),
    (0.2, 1.0, 0.0),
    (0.2 / 1.8, 1.8, 32.0),
    (0.1, 1.0, 0.0),
    (0.0625, 1.0, 0.0),
    (0.05, 1.0, 0.0),
    (0.01, 1.0, 0.0),
)
# Files carry Fahrenheit converted to four decimals and 1/16 K cut to two.
_ROUNDING_K = 0.006

# Before anything is known: a kitchen probe in stirred water scatters by about this much.
# Tuned on water_vessel1, water_vessel3 and water80ml_fan of the open series.
_FIRST_SCATTER_K = 0.2
_LEAST_SCATTER_K = 0.03
# Readings closer in time than this may show the same eddy or the same digit, which is not new evidence. How
# far they do is learned from the means of blocks this long, beginning with the belief that they wholly do.
# The length has the same tuning.
_EDDY_S = 8.0
_MEMORY_BLOCKS = 40.0
# So many blocks is that first belief worth.
_FIRST_BLOCKS = 5.0
# Readings further apart than this bend too much for their scatter to be seen.
_DENSE_S = 20.0
_MEMORY_READINGS = 40.0


class Noise:
    """Learns step and scatter of one thermometer. Feed every accepted reading once."""

    def __init__(self) -> None:
        self._step = 0
        self._scatter_var = _FIRST_SCATTER_K**2
        self._before: tuple[float, float] | None = None
        self._middle: tuple[float, float] | None = None
        self._blocks = _Blocks()

    @property
    def step_k(self) -> float:
        """Resolution of the display in kelvin; 0 when finer than 0.01 K."""
        return _STEPS[self._step][0] if self._step < len(_STEPS) else 0.0

    @property
    def scatter_k(self) -> float:
        """Standard deviation of the readings about the smooth curve, without the rounding."""
        return math.sqrt(self._scatter_var)

    @property
    def reading_sd_k(self) -> float:
        """Standard deviation of one reading, scatter and rounding together."""
        return math.sqrt(self._scatter_var + self.step_k**2 / 12.0)

    def add(self, elapsed_s: float, temp_c: float) -> None:
        """Learn from one more reading."""
        while self._step < len(_STEPS):
            step, scale, zero = _STEPS[self._step]
            size = step * scale
            value = temp_c * scale + zero
            if abs(value - round(value / size) * size) <= min(_ROUNDING_K, 0.1 * size):
                break
            self._step += 1
        self._learn_scatter(elapsed_s, temp_c)
        self._blocks.add(elapsed_s, temp_c, self._scatter_var + self.step_k**2 / 12.0)

    def _learn_scatter(self, elapsed_s: float, temp_c: float) -> None:
        before, middle = self._before, self._middle
        if middle is not None and elapsed_s <= middle[0]:
            return
        self._before, self._middle = middle, (elapsed_s, temp_c)
        if before is None or middle is None or elapsed_s - before[0] > 2.0 * _DENSE_S:
            return
        share = (middle[0] - before[0]) / (elapsed_s - before[0])
        off = middle[1] - (before[1] + share * (temp_c - before[1]))
        var = off * off / (1.0 + share * share + (1.0 - share) ** 2)
        # Clipped, so that one spike does not make the thermometer look bad for minutes.
        var = min(var, 9.0 * (self._scatter_var + self.step_k**2 / 12.0))
        self._scatter_var += (var - self._scatter_var) / _MEMORY_READINGS
        self._scatter_var = max(self._scatter_var, _LEAST_SCATTER_K**2)

    def variance(self, since_last_s: float, rate_c_per_s: float) -> float:
        """Variance to give the next reading, so that many readings a second are not believed many times.

        Parameters
        ----------
        since_last_s : float
            Time since the reading before; 0 for readings with the same time stamp.
        rate_c_per_s : float
            Present slope of the curve: a coarse display repeats itself until the melt has moved one step.
        """
        gap_s = max(since_last_s, 0.02)
        step = self.step_k
        repeats = max(1.0, min(step / max(abs(rate_c_per_s) * gap_s, 1e-6), 300.0 / gap_s)) if step else 1.0
        dithered = self._scatter_var / (self._scatter_var + (0.5 * step) ** 2)
        rounding = step**2 / 12.0 * (1.0 + (repeats - 1.0) * (1.0 - dithered))
        return self._scatter_var * max(1.0, self._blocks.eddy_s / gap_s) + rounding


class _Blocks:
    """Learns from the scatter of block means how long an eddy keeps the readings to one side."""

    def __init__(self) -> None:
        self.eddy_s = _EDDY_S
        self._count = _FIRST_BLOCKS
        self._means: list[tuple[float, float]] = []
        self._begun_s = 0.0
        self._readings: list[float] = []

    def add(self, elapsed_s: float, temp_c: float, reading_var_k2: float) -> None:
        """Take one more reading; `reading_var_k2` is the variance of a single one."""
        if self._readings and elapsed_s - self._begun_s >= _EDDY_S:
            self._close(elapsed_s, reading_var_k2)
        if not self._readings:
            self._begun_s = elapsed_s
        self._readings.append(temp_c)

    def _close(self, elapsed_s: float, reading_var_k2: float) -> None:
        length_s, count = elapsed_s - self._begun_s, len(self._readings)
        mean = (self._begun_s + 0.5 * length_s, sum(self._readings) / count)
        self._readings = []
        if length_s > 2.0 * _EDDY_S or count < 2:
            self._means.clear()
            return
        self._means.append(mean)
        if len(self._means) < 3:
            return
        (t0, c0), (t1, c1), (t2, c2) = self._means
        del self._means[0]
        share = (t1 - t0) / (t2 - t0)
        off = c1 - (c0 + share * (c2 - c0))
        mean_var = off * off / (1.0 + share * share + (1.0 - share) ** 2)
        # The mean of n readings without eddies has an n-th of the variance of one.
        eddy_s = min(mean_var / reading_var_k2, 3.0) * length_s
        self._count = min(self._count + 1.0, _MEMORY_BLOCKS)
        self.eddy_s += (eddy_s - self.eddy_s) / self._count
