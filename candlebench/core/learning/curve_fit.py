"""Which heat curve, and which rate, explains a stretch of one melt best.

Every candidate curve gets a filter of its own over the whole stretch, without forgetting: heat, the logarithm
of the rate, and a draught (or a flame) that comes and goes. How well each foresaw the readings is its
likelihood; knee, width and rate are read off as means and standard deviations.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from candlebench.core.forecast.wax_family import WaxFamily
from candlebench.core.learning.smoothing import Binned

Floats = NDArray[np.float64]

# Free convection on all faces: the film grows with the fourth root of the difference (H12, H13).
EXPONENT = 1.25
# Below this distance from the room the law says nothing any more.
LEAST_ABOVE_ROOM_K = 2.0
# A residual beyond so many standard deviations counts as just that: a slip is not evidence for a curve.
CLIP_SD = 3.0
# One wild reading must not spoil the verdict on the whole.
MOST_SQUARE = 25.0
LONGEST_STEP_S = 60.0
FIRST_RATE_SD = 1.0


@dataclass(frozen=True, slots=True)
class Drive:
    """What moves the heat, and how unsteadily.

    Attributes
    ----------
    room_c : float or None
        Room that the melt cools towards; None when it stands on the heat.
    gust_sds : tuple of float
        Candidate standard deviations of the logarithm of what comes and goes.
    gust_s : float
        How long a gust lasts, seconds.
    walk_per_root_h : float
        Walk of the logarithm of the rate, per square root of an hour.
    """

    room_c: float | None
    gust_sds: tuple[float, ...]
    gust_s: float
    walk_per_root_h: float


@dataclass(frozen=True, slots=True)
class Fit:
    """Result over all candidates.

    Attributes
    ----------
    knee_c, knee_sd_k, width_k, width_sd_k : float
        Curve, with standard deviations.
    log_rate, log_rate_sd : float
        Logarithm of kelvin of liquid wax per second, and per K**1.25 when cooling.
    misfit : float
        Mean square of the residuals in their own standard deviations: about 1 when the law fits.
    """

    knee_c: float
    knee_sd_k: float
    width_k: float
    width_sd_k: float
    log_rate: float
    log_rate_sd: float
    misfit: float


def fit_curve(stretches: list[Binned], family: WaxFamily, drive: Drive) -> Fit:
    """Weigh every curve of a family by a melt's stretches.

    Parameters
    ----------
    stretches : list of Binned
        Parts of the melt between steps and gaps; the rate carries over from one to the next, the heat does
        not.
    family : WaxFamily
        Candidate curves with their belief.
    drive : Drive
        Cooling in a room, or heating.

    Returns
    -------
    Fit
        Means and standard deviations under the weights.
    """
    curves = len(family.belief)
    bank = _Bank(family, drive, stretches[0])
    for i, stretch in enumerate(stretches):
        bank.take(stretch, anew=i > 0)
    log_weight = bank.log_likelihood + np.tile(np.log(family.belief), len(drive.gust_sds))
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    knee = np.tile(family.knee_c, len(drive.gust_sds)) if curves > 1 else np.zeros_like(weight)
    width = np.tile(family.width_k, len(drive.gust_sds)) if curves > 1 else np.zeros_like(weight)
    knee_c, knee_sd_k = _moments(weight, knee)
    width_k, width_sd_k = _moments(weight, width)
    log_rate, between = _moments(weight, bank.rate)
    within = float(weight @ bank.rate_var)
    misfit = float(weight @ bank.squares) / max(1, bank.bins)
    return Fit(knee_c, knee_sd_k, width_k, width_sd_k, log_rate, math.sqrt(between**2 + within), misfit)


def _moments(weight: Floats, value: Floats) -> tuple[float, float]:
    mean = float(weight @ value)
    return mean, math.sqrt(max(0.0, float(weight @ (value - mean) ** 2)))


class _Bank:
    """All filters side by side; member = (gust, curve), state (heat, log rate, gust)."""

    def __init__(self, family: WaxFamily, drive: Drive, first: Binned) -> None:
        self._family, self._drive = family, drive
        curves = len(family.belief)
        self._curve = np.tile(np.arange(curves), len(drive.gust_sds))
        self._gust_sd = np.repeat(np.asarray(drive.gust_sds, float), curves)
        members = len(self._curve)
        self.log_likelihood = np.zeros(members)
        self.squares = np.zeros(members)
        self.bins = 0
        self._mean = np.zeros((members, 3))
        self._cov = np.zeros((members, 3, 3))
        self._begin(first)
        self._mean[:, 1] = self._first_log_rate(first)
        self._cov[:, 1, 1] = FIRST_RATE_SD**2

    @property
    def rate(self) -> Floats:
        return self._mean[:, 1]

    @property
    def rate_var(self) -> Floats:
        return self._cov[:, 1, 1]

    def take(self, stretch: Binned, anew: bool) -> None:
        """Run over one stretch; `anew` starts the heat afresh from its first bin."""
        if anew:
            self._begin(stretch)
        for i in range(1, len(stretch.times_s)):
            left_s = float(stretch.times_s[i] - stretch.times_s[i - 1])
            steps = max(1, math.ceil(left_s / LONGEST_STEP_S))
            for _ in range(steps):
                self._predict(left_s / steps)
            self._correct(float(stretch.temps_c[i]), float(stretch.sds_k[i]))

    def _begin(self, stretch: Binned) -> None:
        temp = np.full(len(self._curve), float(stretch.temps_c[0]))
        heat = self._family.heat_at(self._curve, temp)
        _, slope = self._family.temp_at(self._curve, heat)
        self._mean[:, 0], self._mean[:, 2] = heat, 0.0
        self._cov[:, 0, :] = self._cov[:, :, 0] = self._cov[:, 2, :] = self._cov[:, :, 2] = 0.0
        self._cov[:, 0, 0] = (float(stretch.sds_k[0]) / np.maximum(slope, 0.02)) ** 2
        self._cov[:, 2, 2] = self._gust_sd**2

    def _first_log_rate(self, first: Binned) -> Floats:
        """From the heat lost or gained over the whole first stretch, for each curve."""
        last = np.full(len(self._curve), float(first.temps_c[-1]))
        passed_s = max(1.0, float(first.times_s[-1] - first.times_s[0]))
        moved = np.abs(self._family.heat_at(self._curve, last) - self._mean[:, 0])
        force = self._force(np.full(len(self._curve), float(first.temps_c.mean())))
        return np.asarray(np.log(np.maximum(moved, 0.1) / passed_s / force), dtype=np.float64)

    def _force(self, temp: Floats) -> Floats:
        if self._drive.room_c is None:
            return np.ones_like(temp)
        return np.asarray(np.maximum(temp - self._drive.room_c, LEAST_ABOVE_ROOM_K) ** EXPONENT)

    def _predict(self, gap_s: float) -> None:
        mean, cov, drive = self._mean, self._cov, self._drive
        temp, slope = self._family.temp_at(self._curve, mean[:, 0])
        flow = np.exp(mean[:, 1] + mean[:, 2]) * self._force(temp)
        sign = 1.0
        back = np.zeros_like(flow)
        if drive.room_c is not None:
            sign = -1.0
            back = -EXPONENT * flow / np.maximum(temp - drive.room_c, LEAST_ABOVE_ROOM_K) * slope
        keep = math.exp(-gap_s / drive.gust_s)
        step = np.zeros_like(cov)
        step[:, 0, 0] = np.exp(back * gap_s)
        step[:, 0, 1] = sign * flow * gap_s
        step[:, 0, 2] = sign * flow * gap_s
        step[:, 1, 1] = 1.0
        step[:, 2, 2] = keep
        mean[:, 0] += sign * flow * gap_s
        mean[:, 2] *= keep
        cov[:] = step @ cov @ step.transpose(0, 2, 1)
        cov[:, 1, 1] += drive.walk_per_root_h**2 * gap_s / 3600.0
        cov[:, 2, 2] += self._gust_sd**2 * (1.0 - keep**2)

    def _correct(self, temp_c: float, sd_k: float) -> None:
        temp, slope = self._family.temp_at(self._curve, self._mean[:, 0])
        off = temp_c - temp
        column = self._cov[:, :, 0] * slope[:, None]
        spread = column[:, 0] * slope + sd_k**2
        self.squares += np.minimum(off**2 / spread, MOST_SQUARE)
        self.bins += 1
        score = np.clip(off / np.sqrt(spread), -CLIP_SD, CLIP_SD)
        self.log_likelihood -= 0.5 * (np.log(spread) + score**2)
        gain = column / spread[:, None]
        self._mean += gain * (score * np.sqrt(spread))[:, None]
        self._cov -= gain[:, :, None] * column[:, None, :]
