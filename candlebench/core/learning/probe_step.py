"""A probe's time constant, from the moment it goes into hot wax."""

import math

import numpy as np
from numpy.typing import NDArray

from candlebench.core.track import FloatArray

Floats = NDArray[np.float64]

# A step is a rise of this much within this time: twice what a 2 kW hob can do to 500 g (1.7 K/s, see
# `core/belief.py`) would be needed to do it by heating.
LEAST_STEP_K = 12.0
WITHIN_S = 20.0
# How long the approach is looked at, and how many readings it must hold before it is two thirds done.
LOOK_S = 150.0
LEAST_READINGS = 8
LEAST_ON_THE_WAY = 3
# The first readings after the plunge are left out: the probe was still on its way into the wax.
UNDER_WAY_SHARE = 0.1
# How well an exponential must describe it, as the share of the step left unexplained.
MOST_UNEXPLAINED = 0.03
# Time constants tried, seconds: from a bare bead to a thick sheath (T15 to T24 of thermometry.md).
_TRIED_S: Floats = np.exp(np.linspace(math.log(0.7), math.log(60.0), 120))
# The same probe elsewhere in the jug, or in stirred wax, differs by this much. From memory.
PLACE_SD_LOG = 0.25


def probe_lag(times_s: FloatArray, temps_c: FloatArray, liquid_c: float) -> tuple[float, float] | None:
    """Measure the time constant from the steepest step into liquid wax.

    Parameters
    ----------
    times_s, temps_c : array of float, shape (n,)
        Readings as they came, also those that were not believed.
    liquid_c : float
        The step must end near or above this: solid wax at the probe tells another story.

    Returns
    -------
    tuple of float or None
        Seconds, and the standard deviation of the logarithm; None when there was no step, or it was no
        exponential approach.
    """
    order = np.argsort(times_s, kind="stable")
    times_s, temps_c = times_s[order], temps_c[order]
    best: tuple[float, float] | None = None
    for start in _steps(times_s, temps_c):
        in_reach = (times_s >= times_s[start]) & (times_s <= times_s[start] + LOOK_S)
        found = _fitted(times_s[in_reach] - times_s[start], temps_c[in_reach], liquid_c)
        if found is not None and (best is None or found[1] < best[1]):
            best = found
    return best


def _steps(times_s: FloatArray, temps_c: FloatArray) -> list[int]:
    """Where a sharp rise is well under way."""
    ahead = np.searchsorted(times_s, times_s + WITHIN_S, side="right") - 1
    rise = temps_c[ahead] - temps_c
    found: list[int] = []
    sharp = np.flatnonzero(rise > LEAST_STEP_K)
    for run in np.split(sharp, np.flatnonzero(np.diff(sharp) > 1) + 1):
        if not len(run):
            continue
        # Looking ahead as far as this, the rise is greatest from the moment the probe went in.
        into = int(run[np.argmax(rise[run])])
        well_in = np.flatnonzero(temps_c[into:] > temps_c[into] + UNDER_WAY_SHARE * rise[into])
        found.append(into + int(well_in[0]))
    return found


def _fitted(since_s: Floats, temps_c: Floats, liquid_c: float) -> tuple[float, float] | None:
    """Fit a + b t - c exp(-t / lag) over all lags tried; c takes up when exactly the probe went in."""
    if len(since_s) < LEAST_READINGS:
        return None
    errors = np.empty(len(_TRIED_S))
    shapes = np.empty((len(_TRIED_S), 3))
    for k, lag_s in enumerate(_TRIED_S):
        columns = np.stack([np.ones_like(since_s), since_s, -np.exp(-since_s / lag_s)], axis=1)
        shape, *_ = np.linalg.lstsq(columns, temps_c, rcond=None)
        shapes[k] = shape
        errors[k] = float(np.sum((columns @ shape - temps_c) ** 2))
    at = int(np.argmin(errors))
    lag_s, (end_c, _, step_k) = float(_TRIED_S[at]), shapes[at]
    scatter = math.sqrt(errors[at] / max(1, len(since_s) - 4))
    on_the_way = int(np.sum(since_s - since_s[0] < 1.1 * lag_s))
    inside = 0 < at < len(_TRIED_S) - 1
    if not inside or step_k < LEAST_STEP_K / 2.0 or end_c < liquid_c or on_the_way < LEAST_ON_THE_WAY:
        return None
    if scatter > MOST_UNEXPLAINED * step_k or since_s[-1] < 2.5 * lag_s:
        return None
    weight = np.exp(-0.5 * (errors - errors[at]) / max(scatter, 0.02) ** 2)
    weight /= weight.sum()
    logs = np.log(_TRIED_S)
    mean = float(weight @ logs)
    sd = math.sqrt(float(weight @ (logs - mean) ** 2))
    return math.exp(mean), math.hypot(sd, PLACE_SD_LOG)
