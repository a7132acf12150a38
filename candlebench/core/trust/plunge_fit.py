"""Where in a series of readings a probe was plunged, and the curve of its approach."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from candlebench.core.trust.approach import LONGEST_S, SHORTEST_S, fit_approach
from candlebench.core.trust.settling import display_step_k

Floats = NDArray[np.float64]

# A plunge shows as a change of this much within this time; a 2 kW hob on 500 g makes 1.7 K/s at the most (see
# `core/belief.py`), a probe in the hand less.
LEAST_CHANGE_K = 8.0
WITHIN_S = 20.0
# A hand that marks the moment is no later than this. From memory.
MARKED_EARLY_S = 3.0
# Before the plunge it must lie still for so many readings and so long at least; at most this is looked at.
LEAST_BEFORE, LEAST_REST_S = 3, 3.0
BEFORE_S = 30.0
# It has left its place when it moved by more of the step than this, and by more than it scattered there.
LEFT_SHARE = 0.005
LEFT_SCATTERS = 4.0
# At rest it scatters and drifts by less than this share of the step.
RESTLESS_SHARE = 0.2
# So long before and after the plunge, in seconds or in time constants, and so many readings, are fitted.
_BEFORE_FITTED_S, _LEAST_FITTED_S, _FITTED_TAUS, _MOST_FITTED = 10.0, 60.0, 12.0, 800


@dataclass(frozen=True, slots=True)
class Found:
    """Where the plunge is.

    Attributes
    ----------
    at_rest : int
        Index of the last reading at rest.
    marked_s : float or None
        The moment that she marked.
    from_c, rise_k : float
        Where it was at rest, and by how much it went away from there until the end.
    display_step_k, noise_k, pace_s : float
        Step of the display, scatter at rest, and usual time between readings near the plunge.
    on_the_way : int
        Readings between 5 and 95 % of the way.
    """

    at_rest: int
    marked_s: float | None
    from_c: float
    rise_k: float
    display_step_k: float
    noise_k: float
    pace_s: float
    on_the_way: int


@dataclass(frozen=True, slots=True)
class Step:
    """The curve of the approach; see `plunge.Plunge`.

    Attributes
    ----------
    moment_s : float
        When the probe went in.
    tau_s, dead_s, sd_log : float
        Time constant, what hangs back besides, spread of the logarithm of their sum.
    t50_s, t90_s : float or None
        Seconds from `moment_s` until so much of the way.
    from_c, to_c : float
        Where it was, and where it would have ended at that moment.
    scatter_k : float
        What is left unexplained, in kelvin.
    readings : int
        Readings on the way.
    at_the_edge : bool
        The time constant is the shortest or longest that was tried.
    """

    moment_s: float
    tau_s: float
    dead_s: float
    sd_log: float
    t50_s: float | None
    t90_s: float | None
    from_c: float
    to_c: float
    scatter_k: float
    readings: int
    at_the_edge: bool


def find_plunge(times_s: Floats, temps_c: Floats, marked_s: float | None) -> Found | None:
    """Return where the probe was plunged; None when nothing looks like it.

    Parameters
    ----------
    times_s, temps_c : array of float, shape (n,)
        In the order of time.
    marked_s : float or None
        The moment when she said that it went in; it is looked for from there on.
    """
    if len(times_s) < LEAST_BEFORE + 2:
        return None
    ahead = np.searchsorted(times_s, times_s + WITHIN_S, side="right") - 1
    change = temps_c[ahead] - temps_c
    if marked_s is not None:
        change = np.where(times_s >= marked_s - MARKED_EARLY_S, change, 0.0)
    steepest = int(np.argmax(np.abs(change)))
    if abs(change[steepest]) < LEAST_CHANGE_K:
        return None
    sign = math.copysign(1.0, change[steepest])
    step_k = display_step_k(temps_c)
    rest = _at_rest(times_s, sign * temps_c, steepest, abs(float(change[steepest])), step_k)
    if rest is None:
        return None
    at_rest, from_c, noise_k = rest[0], sign * rest[1], rest[2]
    rise_k = float(np.median(temps_c[-max(3, (len(temps_c) - at_rest) // 10) :])) - from_c
    share = (temps_c[at_rest:] - from_c) / rise_k if rise_k else np.zeros(1)
    on_the_way = int(np.sum(share[: _first(share > 0.95, len(share))] > 0.05))
    near = np.diff(times_s[max(0, at_rest - 3) : at_rest + 12])
    pace_s = float(np.median(near[near > 0.0])) if np.any(near > 0.0) else 0.0
    return Found(at_rest, marked_s, from_c, rise_k, step_k, noise_k, pace_s, on_the_way)


def _at_rest(
    times_s: Floats, temps_c: Floats, steepest: int, change_k: float, step_k: float
) -> tuple[int, float, float] | None:
    """Return the last reading before it rises, the level there and its scatter; None when it did not rest."""
    well_up = steepest + _first(temps_c[steepest:] > temps_c[steepest] + 0.5 * change_k, 1)
    near = np.flatnonzero((times_s >= times_s[steepest] - BEFORE_S) & (np.arange(len(times_s)) <= steepest))
    # The lower quarter, because a slow probe may have begun to rise before its steepest stretch.
    level_c = float(np.quantile(temps_c[near], 0.25))
    noise_k, last = 0.0, steepest
    for _ in range(3):
        left_k = max(LEFT_SHARE * change_k, LEFT_SCATTERS * noise_k, 1.5 * step_k)
        low = np.flatnonzero(temps_c[:well_up] <= level_c + left_k)
        if not len(low):
            return None
        last = int(low[-1])
        # Since it came to rest there; before that it may have been elsewhere.
        away = np.flatnonzero(np.abs(temps_c[: last + 1] - level_c) > RESTLESS_SHARE * change_k)
        since_s = max(times_s[last] - BEFORE_S, times_s[min(last, away[-1] + 1)] if len(away) else -math.inf)
        rest_c = temps_c[: last + 1][times_s[: last + 1] >= since_s]
        if len(rest_c) < LEAST_BEFORE or times_s[last] - max(since_s, times_s[0]) < LEAST_REST_S:
            return None
        level_c = float(np.median(rest_c))
        noise_k = float(1.4826 * np.median(np.abs(rest_c - level_c)))
    return last, level_c, noise_k


def _first(where: NDArray[np.bool_], otherwise: int) -> int:
    """Index of the first that holds."""
    return int(np.argmax(where)) if where.any() else otherwise


def _crossed(since_s: Floats, share: Floats, level: float) -> float | None:
    """Seconds until the share of the way passes a level, between two readings by a straight line."""
    after = _first(share >= level, 0)
    if after == 0:
        return None
    before_share, after_share = float(share[after - 1]), float(share[after])
    part = (level - before_share) / (after_share - before_share)
    return float(since_s[after - 1] + part * (since_s[after] - since_s[after - 1]))


def fit_step(times_s: Floats, temps_c: Floats, found: Found) -> Step:
    """Fit the approach: one time constant, or two in series where one does not describe it.

    Parameters
    ----------
    times_s, temps_c : array of float, shape (n,)
        In the order of time.
    found : Found
        From `find_plunge`.
    """
    times, temps = _worth_fitting(times_s, temps_c, found)
    rest_s = float(times_s[found.at_rest])
    since = times - rest_s
    floor_k = max(found.noise_k, found.display_step_k / math.sqrt(12.0), 1e-3)
    fit = fit_approach(since, temps - found.from_c, floor_k)
    moment_s, doubt_s = _moment(found, rest_s, float(since[since > 0.0][0]), fit.start_s)
    # Where the curve itself tells the moment, how well it does is no doubt about the lag.
    by_start = moment_s != rest_s + fit.start_s
    late_s = rest_s + fit.start_s - moment_s if by_start else 0.0
    lag_s = max(fit.tau_s, fit.tau_s + fit.second_s + late_s)
    sd_s = math.hypot(fit.lag_sd_s(by_start), doubt_s)
    # Of water that drifts the probe shows what it was a lag ago.
    end = fit.rise_k + fit.drift * (since - fit.start_s - fit.tau_s - fit.second_s)
    t50_s, t90_s = (_crossed(times - moment_s, (temps - found.from_c) / end, level) for level in (0.5, 0.9))
    return Step(
        moment_s,
        fit.tau_s,
        lag_s - fit.tau_s,
        sd_s / lag_s,
        t50_s,
        t90_s,
        found.from_c,
        found.from_c + fit.rise_k,
        fit.scatter_k,
        found.on_the_way,
        not 1.05 * SHORTEST_S < fit.tau_s < LONGEST_S / 1.05,
    )


def _worth_fitting(times_s: Floats, temps_c: Floats, found: Found) -> tuple[Floats, Floats]:
    """Leave out what comes long before or after the step, and thin out what came faster than can be used."""
    rest, rest_s = found.at_rest, float(times_s[found.at_rest])
    share = (temps_c[rest:] - found.from_c) / found.rise_k
    # A probe of first order has gone this share of the way after one time constant.
    gone_s = float(times_s[rest + _first(share > 1.0 - math.exp(-1.0), len(share) - 1)]) - rest_s
    kept = times_s <= rest_s + max(_LEAST_FITTED_S, _FITTED_TAUS * gone_s)
    kept &= times_s >= rest_s - _BEFORE_FITTED_S
    stride = math.ceil(int(kept.sum()) / _MOST_FITTED)
    number = np.arange(len(times_s))
    # Those about the moment of the plunge are all kept.
    kept &= ((number - rest) % stride == 0) | (abs(number - rest) <= 1)
    return times_s[kept], temps_c[kept]


def _moment(found: Found, rest_s: float, first_moved_s: float, start_s: float) -> tuple[float, float]:
    """When the probe went in, and the standard uncertainty of that, in seconds.

    It went in between the last reading at rest and the first that had moved, or a little before when it moves
    slowly at first. The curve tells when, if it begins there too; else the probe hung back, and the middle of
    the two is the best guess.
    """
    if found.marked_s is not None:
        return found.marked_s, 0.0
    if start_s <= first_moved_s:
        return rest_s + start_s, 0.0
    return rest_s + 0.5 * first_moved_s, first_moved_s / math.sqrt(12.0)
