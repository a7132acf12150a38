"""The forecast as a curve to draw: low, middle and high temperature against time ahead."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Fan:
    """Temperatures ahead. Arrays of one length; empty when nothing is foreseen.

    Attributes
    ----------
    ahead_s : array of float
        Seconds from the reading that the forecast was made at.
    low_c, median_c, high_c : array of float
        5, 50 and 95 % points of the temperature at that time.
    made_at_s : float
        Elapsed time of that reading.
    """

    ahead_s: Floats
    low_c: Floats
    median_c: Floats
    high_c: Floats
    made_at_s: float


def empty_fan(made_at_s: float) -> Fan:
    """A fan with nothing in it."""
    none = np.zeros(0)
    return Fan(none, none, none, none, made_at_s)


def fan_from_crossings(
    now_c: float, targets_c: Floats, quantiles_s: Floats, horizon_s: float, points: int, made_at_s: float
) -> Fan:
    """Turn crossing times of many temperatures into temperatures at many times.

    A temperature is passed before time t with probability p exactly when the p point of its crossing time
    is t, so that the fan and the crossings can never contradict each other.

    Parameters
    ----------
    now_c : float
        Temperature now.
    targets_c : array, shape (targets,)
        In the order in which they are crossed.
    quantiles_s : array, shape (targets, 3)
        5, 50 and 95 % points of each crossing time; inf beyond the forecast's horizon.
    horizon_s : float
        Length of the fan.
    points : int
        Number of points, the first at zero.
    made_at_s : float
        Passed on.

    Returns
    -------
    Fan
    """
    ahead = np.linspace(0.0, horizon_s, points)
    lines = []
    for column in quantiles_s.T:
        reached = np.isfinite(column)
        times = np.concatenate(([0.0], np.maximum.accumulate(column[reached])))
        temps = np.concatenate(([now_c], targets_c[reached]))
        lines.append(np.interp(ahead, times, temps))
    early, median, late = lines
    return Fan(ahead, np.minimum(early, late), median, np.maximum(early, late), made_at_s)
