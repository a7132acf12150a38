"""A thermometer as it is: late, a little noisy, and rounded to its last digit."""

import math
import random
from collections.abc import Sequence


class Probe:
    """One or more first-order lags in series, then noise and rounding.

    Parameters
    ----------
    lags_s : sequence of float
        Time constants of the lags, in seconds: one for a bare probe, two for one in a thick sheath (rows T11
        to T24; thick insulated probes are not first order). Empty for a probe without lag.
    at_c : float
        Where all of it begins.
    noise_c : float
        Standard deviation of the noise of one reading.
    resolution_c : float
        The step of its last digit; 0 for none.
    """

    def __init__(
        self, lags_s: Sequence[float], at_c: float, noise_c: float = 0.0, resolution_c: float = 0.0
    ) -> None:
        if any(lag <= 0.0 for lag in lags_s):
            raise ValueError("a lag is longer than no time at all")
        self.lags_s = tuple(lags_s)
        self.noise_c = noise_c
        self.resolution_c = resolution_c
        self._around_c = at_c
        self._stages_c = [at_c] * len(self.lags_s)

    @property
    def settled_c(self) -> float:
        """What the sensing tip has come to, without noise and rounding."""
        return self._stages_c[-1] if self._stages_c else self._around_c

    def follow(self, around_c: float, step_s: float, slower: float = 1.0) -> None:
        """Let `step_s` seconds pass in which the surroundings go in a straight line to `around_c`.

        In air, say, all lags are `slower` times as long.
        """
        before_c, after_c = self._around_c, around_c
        for index, own_lag_s in enumerate(self.lags_s):
            lag_s = own_lag_s * slower
            stage_c = self._stages_c[index]
            # Exact answer of a first-order lag to a ramp; on a ramp r it stays r * lag behind (row T25).
            behind_k = (after_c - before_c) / step_s * lag_s
            moved_c = after_c - behind_k + (stage_c - before_c + behind_k) * math.exp(-step_s / lag_s)
            self._stages_c[index] = moved_c
            before_c, after_c = stage_c, moved_c
        self._around_c = around_c

    def read_c(self, dice: random.Random) -> float:
        """Return one reading, with noise from `dice`, rounded to the probe's last digit."""
        value_c = self.settled_c + (dice.gauss(0.0, self.noise_c) if self.noise_c > 0.0 else 0.0)
        if self.resolution_c <= 0.0:
            return value_c
        # The outer rounding takes off the tail that the multiplication leaves (70.10000000000001).
        return round(round(value_c / self.resolution_c) * self.resolution_c, 6)
