"""From what the filters believe now to the times at which a temperature will be crossed.

Times are found by adding up heat over flow between two temperatures, which is exact however sharp the knee of
the wax; their spread by the delta method from the spread of level and rate, plus the walk of the rate on the
way. The temperature of the surroundings enters too crookedly for that, so three points stand for it.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from candlebench.core.forecast.wax_family import WaxFamily

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

# No closer to the surroundings than this, where the law of cooling loses its meaning.
LEAST_DIFFERENCE_K = 0.05
# The walk of the rate does not go on for ever: its spread stops growing beyond about half an hour.
_WALK_SETTLES_S = 1800.0
# Three points that stand for the normal spread of e: Gauss-Hermite, exact to the fifth power.
_AROUND_POINTS: Floats = np.array([-np.sqrt(3.0), 0.0, np.sqrt(3.0)])
_AROUND_SHARES: Floats = np.array([1.0, 4.0, 1.0]) / 6.0
_LEAST_AROUND_VAR = 1e-12
# Nodes of the sum over temperature are at most this far apart.
_NODE_K = 2.0
_SOONEST_S = 1e-3


@dataclass(frozen=True, slots=True)
class Belief:
    """What the members of a bank believe. Arrays of shape (members,) unless said otherwise.

    Attributes
    ----------
    sign : float
        -1 for a body that cools, +1 for one that warms.
    now_c : float
        Temperature now, all members together.
    share : array of float
        Weight of each member.
    exponent, drift_per_s, walk_per_s, curve : arrays
        As in `bank.Members`.
    mean : array, shape (3, members)
        Heat, log rate, temperature of the surroundings.
    covariance : array, shape (6, members)
        hh, hr, he, rr, re, ee of those.
    """

    sign: float
    now_c: float
    share: Floats
    exponent: Floats
    drift_per_s: Floats
    walk_per_s: Floats
    curve: Ints
    mean: Floats
    covariance: Floats


def crossing_times(belief: Belief, family: WaxFamily, targets_c: Floats) -> tuple[Floats, Floats, Floats]:
    """Median time and spread of each component, a member at one point of its surroundings.

    Parameters
    ----------
    belief : Belief
        The filters now.
    family : WaxFamily
        Heat curves.
    targets_c : array, shape (targets,)
        Temperatures ahead.

    Returns
    -------
    time_s : array, shape (targets, components)
        Median of each component; inf when it never gets there.
    sd_log : array, same shape
        Standard deviation of the logarithm.
    weight : array, shape (1, components)
        Weight of each component.
    """
    heat, rate, around, (hh, hr, rr) = _given_surroundings(belief)
    sign, n = belief.sign, belief.exponent
    nodes, rows = nodes_through(belief.now_c, targets_c, _NODE_K)
    at_nodes = family.heat_at(belief.curve[:, None], np.broadcast_to(nodes, (len(belief.share), len(nodes))))
    difference = -sign * (0.5 * (nodes[1:] + nodes[:-1]) - around[:, :, None])
    first = np.maximum(-sign * (belief.now_c - around), LEAST_DIFFERENCE_K) ** n
    speed = np.exp(rate)[:, :, None]
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        flow = np.where(difference > 0.0, difference, 0.0) ** n[:, None]
        path = np.cumsum(np.abs(np.diff(at_nodes)) / flow, axis=2)[:, :, rows]
        lead = sign * (at_nodes[:, 0] - heat) / first
        steady_s = np.maximum((path + lead[:, :, None]) / speed, _SOONEST_S)
        time, stretch = _bent_by_drift(steady_s, belief.drift_per_s[:, None])
        # The level's error adds to the time, so it must not blow up when the target is at hand: a log-normal
        # of the same mean and variance keeps later targets later.
        level_var = np.log1p(hh[:, None] / (first[:, :, None] * speed) ** 2 / steady_s**2)
        tie = (hr / np.sqrt(hh))[:, None] * np.sqrt(level_var)
        var = np.maximum(rr[:, None] + level_var + 2.0 * sign * tie, 0.0) * stretch**2
        walked = belief.walk_per_s[:, None] * time / 3.0 / (1.0 + time / _WALK_SETTLES_S)
        sd_log = np.sqrt(np.where(np.isfinite(time), var + walked, 1.0))
        time = time * np.exp(-0.5 * np.where(np.isfinite(time), level_var, 0.0))
    weight = (_AROUND_SHARES[:, None] * belief.share).reshape(1, -1)
    components = weight.shape[1]
    return time.reshape(components, -1).T, sd_log.reshape(components, -1).T, weight


def _given_surroundings(belief: Belief) -> tuple[Floats, Floats, Floats, tuple[Floats, Floats, Floats]]:
    """Heat, rate and surroundings at three points of the latter, and hh, hr, rr with it fixed."""
    hh, hr, he, rr, re, ee = belief.covariance
    known = ee <= _LEAST_AROUND_VAR
    by_e = np.where(known, 0.0, 1.0 / np.maximum(ee, _LEAST_AROUND_VAR))
    off = _AROUND_POINTS[:, None] * np.sqrt(ee)
    heat = belief.mean[0] + off * by_e * he
    rate = belief.mean[1] + off * by_e * re
    left = np.maximum(hh - he * he * by_e, 1e-9)
    return heat, rate, belief.mean[2] + off, (left, hr - he * re * by_e, rr - re * re * by_e)


def _bent_by_drift(steady_s: Floats, drift_per_s: Floats) -> tuple[Floats, Floats]:
    """Time when the rate drifts, from s = (exp(drift t) - 1) / drift, and how its logarithm stretches."""
    still = drift_per_s == 0.0
    bent = np.where(still, 0.0, drift_per_s * steady_s)
    drifted = np.log1p(np.maximum(bent, -1.0)) / np.where(still, 1.0, drift_per_s)
    time = np.where(np.abs(bent) < 1e-9, steady_s, drifted)
    return time, np.where(np.isfinite(time), steady_s / (time * (1.0 + bent)), 1.0)


def nodes_through(now_c: float, targets_c: Floats, most_apart_k: float) -> tuple[Floats, Ints]:
    """Temperatures from now through all targets on one side, and which step ends at each target.

    Parameters
    ----------
    now_c : float
    targets_c : array, shape (targets,)
    most_apart_k : float
        Neighbours are at most this far apart.

    Returns
    -------
    nodes_c : array, shape (nodes,)
    ends : array of int, shape (targets,)
        The step from node k to node k + 1 that ends at each target.
    """
    stops = np.unique(targets_c)
    if stops[0] < now_c:
        stops = stops[::-1]
    nodes: list[float] = [now_c]
    ends: dict[float, int] = {}
    for stop in stops.tolist():
        parts = max(int(np.ceil(abs(stop - nodes[-1]) / most_apart_k)), 1)
        nodes.extend(np.linspace(nodes[-1], stop, parts + 1)[1:].tolist())
        ends[stop] = len(nodes) - 2
    return np.array(nodes), np.array([ends[t] for t in targets_c.tolist()], dtype=np.intp)
