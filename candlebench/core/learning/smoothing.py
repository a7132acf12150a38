"""Readings brought together in short bins, each with how far it can be trusted."""

import math
from dataclasses import dataclass

import numpy as np

from candlebench.core.forecast.noise import Noise
from candlebench.core.track import FloatArray

# A jug falls 0.6 to 1.5 K/min (H29-H32), so that within 15 s the curve is straight to 0.01 K.
BIN_S = 15.0
# What is left however many readings are averaged: eddies and the probe's place. Tuned on seeds 1 to 3 of the
# simulated melts; from memory a kitchen probe in stirred wax does not do better.
LEAST_SD_K = 0.04


@dataclass(frozen=True, slots=True)
class Binned:
    """Mean time, mean temperature and standard deviation of each bin; arrays of shape (bins,)."""

    times_s: FloatArray
    temps_c: FloatArray
    sds_k: FloatArray


def binned(times_s: FloatArray, temps_c: FloatArray, bin_s: float = BIN_S) -> Binned:
    """Average readings in bins.

    Parameters
    ----------
    times_s, temps_c : array of float, shape (n,)
        Readings in order of their time, at least one.
    bin_s : float
        Length of a bin in seconds.

    Returns
    -------
    Binned
        Empty bins are left out.
    """
    scatter_k, step_k = _scatter(times_s, temps_c)
    cell = np.floor((times_s - times_s[0]) / bin_s).astype(np.intp)
    _, first, count = np.unique(cell, return_index=True, return_counts=True)
    times = np.add.reduceat(times_s, first) / count
    temps = np.add.reduceat(temps_c, first) / count
    sds = np.sqrt(scatter_k**2 / count + _rounding_var(scatter_k, step_k) + LEAST_SD_K**2)
    return Binned(times, temps, sds)


def _scatter(times_s: FloatArray, temps_c: FloatArray) -> tuple[float, float]:
    """Scatter without rounding, and the step of the display, both in kelvin."""
    noise = Noise()
    # The last thousand readings say as much about a thermometer as all of a long melt.
    for at_s, temp_c in zip(times_s[-1000:].tolist(), temps_c[-1000:].tolist(), strict=True):
        noise.add(at_s, temp_c)
    return noise.scatter_k, noise.step_k


def _rounding_var(scatter_k: float, step_k: float) -> float:
    """What averaging leaves of rounding.

    Scatter washes rounding out; the first harmonic of what is left has the amplitude
    (step / pi) exp(-2 pi^2 scatter^2 / step^2), as follows from the Fourier series of the sawtooth.
    """
    if step_k <= 0.0:
        return 0.0
    return step_k**2 / 12.0 * math.exp(-4.0 * math.pi**2 * (scatter_k / step_k) ** 2)
