"""A bank of extended Kalman filters that share the readings and compete by likelihood, as arrays.

Every member follows a body whose heat h (in kelvin of liquid) moves by

    dh/dt = -exp(r) |T(h) - e|^n sign(T - e)

with r the logarithm of its rate (a random walk, with a drift in some members) and e the temperature of what
surrounds it: the room for a melt that cools, the bath for one that warms. With n = 0 the flow does not depend
on the temperature at all. T(h) is the wax's curve.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from candlebench.core.forecast.contest import CLIP_SD, Contest, beyond_clip
from candlebench.core.forecast.crossing_times import LEAST_DIFFERENCE_K, Belief, crossing_times
from candlebench.core.forecast.mixture import pooled_quantiles
from candlebench.core.forecast.wax_family import WaxFamily

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

# "Not within two hours" is an answer; later than that is none.
HORIZON_S = 7200.0
# A vessel takes up heat from what was poured into it for the first minutes.
SETTLE_S = 300.0
# A filter step covers at most this much heat, so that the knee is not stepped over.
_STEP_K = 1.0
_MOST_STEPS = 40
# A reading beyond the clip adds this to the spread of the log rate, per standard deviation. Not sensitive.
LOOSEN_PER_SD = 0.1
# The log rate moves by at most this on one reading, and its spread has an end.
_MOST_LEAP = 0.7
_MOST_RATE_SD = 2.0
# Heat flows at least at 0.03 K/min, which is "not within two hours" for any target of use.
_LEAST_FLOW_K_PER_S = 5e-4
# Temperature moves of its own, from stirring and eddies, in kelvin squared per second.
_EDDY_VAR_PER_S = 2e-5
# Off the ends of the heat tables the temperature does not change any more.
_LEAST_SLOPE = 0.01
# Members below this share of the belief cannot move a percentile that is shown.
_LEAST_SHARE = 1e-2
_LEAST_LEVEL_VAR = 1e-6
# "The heat was changed" may halve or double the rate and more.
_HEAT_CHANGED_RATE_SD = 1.0


@dataclass(frozen=True, slots=True)
class Members:
    """What tells the members of a bank apart. Arrays of shape (members,).

    Attributes
    ----------
    exponent : array of float
        n of the law of cooling; 0 for a flow that does not know the temperature.
    walk_per_s : array of float
        Variance that the log rate gains per second.
    drift_per_s : array of float
        Slope of the log rate, per second.
    settling_sd : array of float
        Spread that the log rate gains in all while the vessel comes to the melt's temperature.
    around_c, around_sd_k : array of float
        What is known beforehand of the temperature of the surroundings.
    curve : array of int
        Which curve of the wax family.
    belief : array of float
        Weight before the first reading.
    """

    exponent: Floats
    walk_per_s: Floats
    drift_per_s: Floats
    settling_sd: Floats
    around_c: Floats
    around_sd_k: Floats
    curve: Ints
    belief: Floats


class Bank:
    """The filters. `start` first, then `predict` and `correct` in turn.

    Parameters
    ----------
    members : Members
        What tells them apart.
    family : WaxFamily
        Heat curves.
    falling : bool
        Whether the body is warmer than its surroundings.
    rate_sd : float
        Spread of the log rate at the start.
    probe_lag_s : float
        The wax crosses a temperature so much earlier than the probe shows it.
    first_log_rate : array of float, shape (members,), optional
        The log rates at the start; without it they follow from the first slope.
    """

    def __init__(
        self,
        members: Members,
        family: WaxFamily,
        falling: bool,
        rate_sd: float,
        probe_lag_s: float = 0.0,
        first_log_rate: Floats | None = None,
    ) -> None:
        self._lag_s = probe_lag_s
        self._first_log_rate = first_log_rate
        self._members = members
        self._family = family
        self._sign = -1.0 if falling else 1.0
        self._rate_sd = rate_sd
        self._heat = np.zeros(len(members.exponent))

    def start(self, temp_c: float, temp_sd_k: float, rate_c_per_s: float) -> None:
        """Begin at a temperature and a first guess of the slope's size."""
        m = self._members
        count = len(m.exponent)
        self._heat = self._family.heat_at(m.curve, np.full(count, temp_c))
        self._around = m.around_c.copy()
        temp, slope = self._family.temp_at(m.curve, self._heat)
        self._temp, self._slope = temp, slope
        flow = self._flow(temp, self._around)
        if self._first_log_rate is None:
            self._rate = np.log(max(rate_c_per_s, 1e-5) / slope / flow)
        else:
            self._rate = self._first_log_rate.copy()
        self._hh = (temp_sd_k / slope) ** 2
        self._hr, self._he, self._re = np.zeros(count), np.zeros(count), np.zeros(count)
        self._rr = np.full(count, self._rate_sd**2)
        self._ee = m.around_sd_k**2
        self._contest = Contest(m.belief)
        self._age_s = 0.0

    def _flow(self, temp: Floats, around: Floats) -> Floats:
        difference = np.maximum(-self._sign * (temp - around), LEAST_DIFFERENCE_K)
        return np.asarray(difference**self._members.exponent, dtype=np.float64)

    def predict(self, gap_s: float) -> None:
        """Let `gap_s` seconds pass."""
        if gap_s <= 0.0:
            return
        speed = self._contest.mean(np.exp(self._rate) * self._flow(self._temp, self._around))
        steps = min(max(int(np.ceil(gap_s * speed / _STEP_K)), 1), _MOST_STEPS)
        for _ in range(steps):
            self._step(gap_s / steps)
        self._contest.fade(gap_s)

    def _step(self, gap_s: float) -> None:
        m, sign = self._members, self._sign
        rate = np.exp(self._rate + 0.5 * m.drift_per_s * gap_s)
        before = self._flow(self._temp, self._around)
        half = self._heat + sign * 0.5 * gap_s * rate * before
        temp, _ = self._family.temp_at(m.curve, half)
        middle = self._flow(temp, self._around)
        self._heat = self._heat + sign * gap_s * rate * middle
        difference = np.maximum(-sign * (temp - self._around), LEAST_DIFFERENCE_K)
        self._temp, self._slope = self._family.temp_at(m.curve, self._heat)
        after = self._flow(self._temp, self._around)
        # The flow's own derivatives: exact in h and r for a law without memory, by the middle in e.
        a = after / before
        b = sign * gap_s * rate * after
        c = gap_s * rate * m.exponent * middle / difference
        h_row = a * self._hh + b * self._hr + c * self._he
        r_row = a * self._hr + b * self._rr + c * self._re
        e_row = a * self._he + b * self._re + c * self._ee
        walk = m.walk_per_s * gap_s + self._settling(gap_s)
        self._hh = a * h_row + b * r_row + c * e_row + b * b * walk / 3.0
        self._hh += _EDDY_VAR_PER_S * gap_s / np.maximum(self._slope, _LEAST_SLOPE) ** 2
        self._hr = r_row + 0.5 * b * walk
        self._he = e_row
        self._rr = self._rr + walk
        self._rate = self._rate + m.drift_per_s * gap_s

    def _settling(self, gap_s: float) -> Floats:
        """Variance that the log rate gains in a step because the vessel is still taking up heat."""
        before = np.exp(-self._age_s / SETTLE_S)
        self._age_s += gap_s
        return np.asarray(self._members.settling_sd**2 * (before - np.exp(-self._age_s / SETTLE_S)))

    def expected(self) -> tuple[float, float]:
        """Mean and standard deviation of the temperature now, all members together."""
        return self._contest.pooled(self._temp, self._slope**2 * self._hh)

    def rate_c_per_s(self) -> float:
        """Mean slope of the temperature now; negative when it falls."""
        flow = np.exp(self._rate) * self._flow(self._temp, self._around) * self._slope
        return self._sign * self._contest.mean(flow)

    def correct(self, temp_c: float, variance_k2: float) -> None:
        """Take in one reading of the given variance."""
        slope = self._slope
        gain_var = slope * slope * self._hh
        total = gain_var + variance_k2
        sd = np.sqrt(total)
        off = temp_c - self._temp
        clipped = np.clip(off, -CLIP_SD * sd, CLIP_SD * sd)
        step = slope * clipped / total
        self._heat = self._heat + self._hh * step
        # The rate is a logarithm: it neither leaps on one reading nor falls so low that it cannot come back.
        leap = np.clip(self._hr * step, -_MOST_LEAP, _MOST_LEAP)
        lowest = np.log(_LEAST_FLOW_K_PER_S / self._flow(self._temp, self._around))
        self._rate = np.maximum(self._rate + leap, lowest)
        self._around = self._around + self._he * step
        gain = slope * slope / total
        self._rr = self._rr - self._hr * self._hr * gain
        self._re = self._re - self._hr * self._he * gain
        self._ee = self._ee - self._he * self._he * gain
        # Readings that a member cannot explain loosen its rate: it was too sure of itself.
        excess = beyond_clip(off, sd)
        # What is tied to the rate shrinks with it, or the covariance would not be one any more.
        self._rr = self._rr + (LOOSEN_PER_SD * excess) ** 2
        fit = np.minimum(1.0, _MOST_RATE_SD / np.sqrt(np.maximum(self._rr, 1e-12)))
        self._rr, self._hr, self._re = self._rr * fit * fit, self._hr * fit, self._re * fit
        rest = variance_k2 / total
        self._hh, self._hr, self._he = self._hh * rest, self._hr * rest, self._he * rest
        self._contest.judge(off, sd, variance_k2)
        self._temp, self._slope = self._family.temp_at(self._members.curve, self._heat)

    def correct_around(self, temp_c: float, variance_k2: float, moved_k: float) -> None:
        """Take in one reading of what is around: of the room, while it cools.

        By `moved_k` it may be another than what was believed so far.
        """
        self._ee = self._ee + moved_k**2
        total = self._ee + variance_k2
        sd = np.sqrt(total)
        step = np.clip(temp_c - self._around, -CLIP_SD * sd, CLIP_SD * sd) / total
        self._heat = self._heat + self._he * step
        self._rate = self._rate + np.clip(self._re * step, -_MOST_LEAP, _MOST_LEAP)
        self._around = self._around + self._ee * step
        self._hh = self._hh - self._he * self._he / total
        self._hr = self._hr - self._he * self._re / total
        self._rr = self._rr - self._re * self._re / total
        rest = variance_k2 / total
        self._he, self._re, self._ee = self._he * rest, self._re * rest, self._ee * rest
        self._temp, self._slope = self._family.temp_at(self._members.curve, self._heat)

    def jump(self, by_k: float, spread_k: float) -> None:
        """Shift the temperature by a step of known spread: oil poured in, the probe moved."""
        temp = self._temp + by_k
        self._heat = self._family.heat_at(self._members.curve, temp)
        self._temp, self._slope = self._family.temp_at(self._members.curve, self._heat)
        self._hh = self._hh + (spread_k / self._slope) ** 2

    def loosen(self) -> None:
        """Let the rate go: somebody changed the heat."""
        self._rr = self._rr + _HEAT_CHANGED_RATE_SD**2

    def wax_c(self) -> float:
        """Mean temperature now."""
        return self._contest.mean(self._temp)

    def crossings(self, targets_c: Sequence[float]) -> tuple[Floats, Floats]:
        """5, 50 and 95 % points of the time to each target, and the chance within the horizon.

        Parameters
        ----------
        targets_c : sequence of float
            Temperatures ahead in the direction of the bank.

        Returns
        -------
        quantiles : array, shape (targets, 3)
            Seconds; inf beyond the horizon.
        chance : array, shape (targets,)
            Probability within the horizon.
        """
        quantiles, chance = self._quantiles(self._belief(), targets_c)
        return np.maximum(quantiles - self._lag_s, 0.0), chance

    def lasts(self, from_c: float, to_c: float) -> Floats:
        """5, 50 and 95 % points in seconds of the way between two temperatures, once it is at the first."""
        belief = self._belief()
        there = self._family.heat_at(belief.curve, np.full(len(belief.curve), from_c))
        sure = np.zeros_like(there)
        _, _, _, rr, re, ee = belief.covariance
        mean = np.stack((there, belief.mean[1], belief.mean[2]))
        covariance = np.stack((sure + _LEAST_LEVEL_VAR, sure, sure, rr, re, ee))
        begun = replace(belief, now_c=from_c, mean=mean, covariance=covariance)
        quantiles, _ = self._quantiles(begun, (to_c,))
        return np.asarray(quantiles[0], dtype=np.float64)

    def _belief(self) -> Belief:
        share = self._contest.share
        keep = np.flatnonzero(share > _LEAST_SHARE * share.max())
        m = self._members
        return Belief(
            sign=self._sign,
            now_c=self.wax_c(),
            share=share[keep],
            exponent=m.exponent[keep],
            drift_per_s=m.drift_per_s[keep],
            walk_per_s=m.walk_per_s[keep],
            curve=m.curve[keep],
            mean=np.stack((self._heat, self._rate, self._around))[:, keep],
            covariance=np.stack((self._hh, self._hr, self._he, self._rr, self._re, self._ee))[:, keep],
        )

    def _quantiles(self, belief: Belief, targets_c: Sequence[float]) -> tuple[Floats, Floats]:
        time_s, sd_log, weight = crossing_times(belief, self._family, np.asarray(targets_c, float))
        return pooled_quantiles(time_s, sd_log, np.broadcast_to(weight, time_s.shape), HORIZON_S)
