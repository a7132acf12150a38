"""When wax in a water bath will reach a temperature, from what the filters of `bath_bank` believe.

The way from now to the target is cut into steps of temperature. Over each the bath moves evenly, so that
the time it takes is the root of a quadratic. A handful of points stands for the spread of contact, bath,
drive and knee; the spread of the level and the walks on the way are added by the delta method.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from candlebench.core.forecast.bath_seen import BOOST_FADES_S
from candlebench.core.forecast.crossing_times import nodes_through
from candlebench.core.forecast.wax_family import WaxFamily

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

# Places in `BathBelief.mean`: heat, then what the points stand for.
_HEAT = 0
_CONTACT, _BATH, _DRIVE, _SHIFT, _BOOST = range(5)
_NODE_K = 2.0
_SOONEST_S, _LONG_S = 1e-3, 3600.0
_LEAST_FLOW_K_PER_S = 1e-4
_MOST_LOG_CONTACT_OFF = 2.0
# The contact walks by about this much in five minutes.
_CONTACT_WALK_AHEAD = 0.1
_MOST_VAR_LOG = 1.5


@dataclass(frozen=True, slots=True)
class Bath:
    """The water and its pan, per kelvin that they hold.

    An open ring of water of 0.014 m2 loses 28 W at 60 C (H19, H20 of heat.md), growing e-fold every 20 K, and
    the pan about 1.5 W/K; shared out over a litre of water and a pan (4.6 kJ/K). Typical figures.
    """

    boiling_c: float
    steam_at_60_k_per_s: float = 0.3 / 60.0
    steam_fold_k: float = 20.0
    pan_per_s: float = 0.02 / 60.0
    room_c: float = 21.0

    def loss(self, bath_c: Floats) -> Floats:
        """Kelvin lost each second at a bath temperature."""
        steam = self.steam_at_60_k_per_s * np.exp((bath_c - 60.0) / self.steam_fold_k)
        return np.asarray(steam + self.pan_per_s * (bath_c - self.room_c), dtype=np.float64)

    def loss_slope(self, bath_c: Floats) -> Floats:
        """Its derivative by the bath's temperature, per second."""
        steam = self.steam_at_60_k_per_s * np.exp((bath_c - 60.0) / self.steam_fold_k)
        return np.asarray(steam / self.steam_fold_k + self.pan_per_s, dtype=np.float64)


@dataclass(frozen=True, slots=True)
class BathBelief:
    """What the members believe. Arrays of shape (members,) unless said otherwise.

    Attributes
    ----------
    now_c : float
        Temperature of the wax now, all members together.
    share, drive_walk, solid_contact, kappa, curve : arrays
        Weight and what tells the members apart.
    mean : array, shape (members, 5) or (members, 6)
        Heat, log contact, bath, drive, shift of the knee; and with a probe in the bath by how much the log of
        the contact is higher for now.
    covariance : array, shape (members, 5, 5) or (members, 6, 6)
        Of those.
    open_top_per_s : float
        By so much a kelvin over the room the wax cools through its open top.
    """

    now_c: float
    share: Floats
    drive_walk: Floats
    solid_contact: Floats
    kappa: Floats
    curve: Ints
    mean: Floats
    covariance: Floats
    open_top_per_s: float = 0.0


def _turned_stars(members: int, dimensions: int) -> Floats:
    """Points of a unit normal for each member, shape (members, 2 dimensions, dimensions).

    The points on the axes at the root of the dimensions have its mean and covariance; each member has them
    turned another way, so that those of like members do not coincide.
    """
    turns = np.random.default_rng(3).normal(size=(members, dimensions, dimensions))
    star = np.sqrt(dimensions) * np.concatenate([np.eye(dimensions), -np.eye(dimensions)])
    return np.asarray(np.einsum("kj,mij->mki", star, np.linalg.qr(turns)[0]), dtype=np.float64)


_STARS = {dimensions: _turned_stars(64, dimensions) for dimensions in (4, 5)}


def bath_crossing_times(
    belief: BathBelief, family: WaxFamily, bath: Bath, targets_c: Floats
) -> tuple[Floats, Floats, Floats]:
    """Median time and spread of each component, a member at one point of its uncertainty.

    Parameters
    ----------
    belief : BathBelief
    family : WaxFamily
    bath : Bath
    targets_c : array, shape (targets,)
        Temperatures ahead, above `belief.now_c`.

    Returns
    -------
    time_s : array, shape (targets, components)
        Median of each component; inf when it never gets there.
    sd_log : array, same shape
        Standard deviation of the logarithm.
    weight : array, shape (1, components)
        Weight of each component.
    """
    heat_var = np.maximum(belief.covariance[:, _HEAT, _HEAT], 1e-9)
    points = _points(belief, heat_var)
    nodes, ends = nodes_through(belief.now_c, targets_c, _NODE_K)
    time, first_flow = _march(belief, family, bath, points, nodes)
    time_s = np.maximum(time[ends].reshape(len(targets_c), -1), _SOONEST_S)
    reached = np.isfinite(time_s)
    known_s = np.where(reached, time_s, 300.0)
    level_s = (np.sqrt(heat_var)[:, None] / first_flow).reshape(-1)
    each = points[0].shape[1]
    var = np.log1p((level_s / np.where(reached, time_s, np.inf)) ** 2)
    var += _CONTACT_WALK_AHEAD**2 * known_s / 300.0 / 3.0
    # The drive's walk moves the bath, and the wax as far as it follows within the time.
    walk = np.repeat(belief.drive_walk, each) / np.sqrt(300.0)
    follows = np.minimum(1.0, np.repeat(np.exp(belief.mean[:, 1 + _CONTACT]), each) * known_s / 2.5)
    rise = np.maximum(targets_c - belief.now_c, 0.3)[:, None]
    var += (walk * known_s**1.5 / np.sqrt(3.0) * follows / rise) ** 2
    weight = np.repeat(belief.share / each, each)[None, :]
    return np.where(reached, time_s, np.inf), np.sqrt(np.minimum(var, _MOST_VAR_LOG)), weight


def _points(belief: BathBelief, heat_var: Floats) -> tuple[Floats, ...]:
    """Log contact, bath, drive, shift and boost at each point, the heat fixed; of shape (members, points)."""
    to_heat = belief.covariance[:, 1:, _HEAT]
    rest = belief.covariance[:, 1:, 1:] - to_heat[:, :, None] * to_heat[:, None, :] / heat_var[:, None, None]
    size, axes = np.linalg.eigh(rest)
    spread = axes * np.sqrt(np.maximum(size, 0.0))[:, None, :]
    stars = _STARS[rest.shape[1]][np.arange(len(belief.share)) % 64]
    off = np.einsum("mij,mkj->mki", spread, stars)
    middle = belief.mean[:, None, 1:]
    for place in (_CONTACT, _BOOST)[: rest.shape[1] - 3]:
        off[:, :, place] = np.clip(off[:, :, place], -_MOST_LOG_CONTACT_OFF, _MOST_LOG_CONTACT_OFF)
    return tuple((middle + off).transpose(2, 0, 1))


def _march(
    belief: BathBelief,
    family: WaxFamily,
    bath: Bath,
    points: tuple[Floats, ...],
    nodes: Floats,
) -> tuple[Floats, Floats]:
    """Time at each node after the first, shape (nodes - 1, members, points), and the first flow."""
    log_contact, bath_c, drive, shift, *boosts = points
    bath_c = np.minimum(bath_c, bath.boiling_c)
    curve = np.broadcast_to(belief.curve[:, None, None], (*shift.shape, 1))
    off = shift[:, :, None]
    heat = family.heat_at(curve, nodes - off) + off
    middle = 0.5 * (nodes[1:] + nodes[:-1])
    solid = belief.solid_contact[:, None, None]
    at = np.concatenate(([nodes[0]], middle))
    contact = np.exp(log_contact)[:, :, None] * (solid + (1.0 - solid) * family.liquid_at(curve, at - off))
    kappa = belief.kappa[:, None]
    first_flow = contact[:, :, 0] * (bath_c - nodes[0])
    for boost in boosts:
        first_flow = first_flow * np.exp(boost)
    lost = belief.open_top_per_s * (at - bath.room_c)
    first_flow = np.maximum(first_flow - lost[0], _LEAST_FLOW_K_PER_S)
    time = (heat[:, :, 0] - belief.mean[:, None, _HEAT]) / first_flow
    times = []
    for step, temp_c in enumerate(middle):
        needed, pull = heat[:, :, step + 1] - heat[:, :, step], contact[:, :, step + 1]
        for boost in boosts:
            pull = pull * _boosted(boost, time, needed / np.maximum(pull * (bath_c - temp_c), 1e-9))
        flow = pull * (bath_c - temp_c)
        rise = drive - kappa * np.maximum(flow, 0.0) - bath.loss(bath_c)
        flow = flow - lost[step + 1]
        settle = kappa * pull + bath.loss_slope(bath_c)
        takes = _step_s(needed, flow, pull, rise)
        # The bath's rise tires as it nears its balance with hob, wax and room.
        tired = settle * np.minimum(takes, _LONG_S)
        rise = rise * -np.expm1(-tired) / np.maximum(tired, 1e-9)
        takes = _step_s(needed, flow, pull, rise)
        boiling = needed / np.maximum(pull * (bath.boiling_c - temp_c) - lost[step + 1], 1e-9)
        takes = np.maximum(takes, boiling)
        time = time + takes
        bath_c = np.minimum(bath_c + rise * np.minimum(takes, _LONG_S), bath.boiling_c)
        times.append(time)
    return np.array(times), first_flow


def _boosted(boost: Floats, time_s: Floats, takes_s: Floats) -> Floats:
    """Factor of the contact in a step that begins at a time and takes about so long: the boost fades."""
    early_s = np.maximum(time_s, 0.0) + 0.5 * np.minimum(takes_s, _LONG_S)
    return np.asarray(np.exp(boost * np.exp(-early_s / BOOST_FADES_S)), dtype=np.float64)


def _step_s(needed: Floats, flow: Floats, pull: Floats, rise: Floats) -> Floats:
    """Time in which `flow`, growing by `pull` times `rise` a second, brings `needed`; inf when never."""
    bend = 0.5 * pull * rise
    under = flow * flow + 4.0 * bend * needed
    down = flow + np.sqrt(np.maximum(under, 0.0))
    possible = (under >= 0.0) & (down > 1e-12)
    return np.where(possible, 2.0 * needed / np.where(possible, down, 1.0), np.inf)
