"""A bank of extended Kalman filters for wax that warms in a water bath on a hob.

Every member follows the wax's heat h (in kelvin of liquid), the bath it stands in and the hob under it:

    dh/dt = exp(r) c(T) (b - T)              heat passes from the bath to the wax, to solid wax poorly
    db/dt = p - kappa dh/dt - loss(b)        the hob drives the bath, the wax draws on it, water steams
    dy/dt = (T - y) / lag                    the probe follows the wax

with T(h) the wax's curve, its knee shifted by d. h, r, b, p, d and y are estimated. The bath stays at or
below the local boiling point. r and p walk; what the melting of the last solid does to the contact is not
known. From the first reading of a probe in the bath on there are two states more: by how much it is off, and
by how much r is higher while heat from the wall evens out after the melting (`bath_seen.py`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from candlebench.core.forecast.bank import HORIZON_S, LOOSEN_PER_SD
from candlebench.core.forecast.bath_crossing import Bath, BathBelief, bath_crossing_times
from candlebench.core.forecast.bath_seen import (
    BOOST_FADES_S,
    BOOST_OF_MELTING,
    BOOST_SD,
    CONTACT_WALK,
    FIRST_BOOST_SD,
    MOST_BOOST,
    OFF_SD_K,
    OFF_WALK_K,
    OPEN_TOP_PER_S,
    bath_shown,
)
from candlebench.core.forecast.contest import CLIP_SD, Contest, beyond_clip
from candlebench.core.forecast.mixture import pooled_quantiles
from candlebench.core.forecast.wax_family import WaxFamily

Floats = NDArray[np.float64]

# Places in a member's state: heat, log of the contact, bath, drive of the hob, shift of the knee, probe; with
# a probe in the bath, by how much that is off, and by how much the log of the contact is higher for now.
HEAT, CONTACT, BATH, DRIVE, SHIFT, PROBE, OFF, BOOST = range(8)
# Those that matter to what lies ahead.
_AHEAD = np.array([HEAT, CONTACT, BATH, DRIVE, SHIFT])
_AHEAD_AND_BOOST = np.array([HEAT, CONTACT, BATH, DRIVE, SHIFT, BOOST])

# Before the first reading: a bath some 10 K warmer than the wax, driven at 5 K/min by a hob (1 kW warms
# 1.3 kg of water and a pan at 10 K/min, H8 to H9 of heat.md), and wax that follows it within about 4 minutes.
# The spreads are wide on purpose; ways and walks below were tried on simulated heat-ups of seeds 2 and 7.
_FIRST_BATH_OVER_K, _FIRST_BATH_SD_K = 10.0, 8.0
_FIRST_DRIVE_K_PER_S, _FIRST_DRIVE_SD_K_PER_S = 5.0 / 60.0, 5.0 / 60.0
_FIRST_LOG_CONTACT, _FIRST_LOG_CONTACT_SD = -5.5, 0.6
# Bounds of the state, wide of any melt; the fastest contact keeps a step of the filter stable.
_SLOWEST_LOG_CONTACT, _FASTEST_LOG_CONTACT = -9.0, -3.5
_COLDEST_WAX_C, _COLDEST_BATH_C, _MOST_DRIVE_K_PER_S, _MOST_SHIFT_K = -25.0, -20.0, 0.6, 6.0
# Growth of the spread over five minutes: the drive of a hob left alone and of one that is fiddled with.
_DRIVE_WALKS_K_PER_S = (0.3 / 60.0, 1.2 / 60.0)
_CONTACT_WALK = 0.05
_BATH_WALK_K = 0.1
# While all of the wax melts, its contact gains this much spread.
_MELTING_CONTACT_SD = 0.3
# Heat that wax of a jug holds against that of the bath around it, from a litre of water to a wall alone.
_KAPPAS = (0.3, 1.2)
# Contact of solid wax as a share of that of liquid wax.
_SOLID_CONTACTS = (1.0, 0.35)
# Readings tell one member from another less sharply than their scatter says: none is right. Tried 0.2 to 1.
_TEMPER = 0.4
_EDDY_VAR_PER_S = 2e-5
_STEP_S = 15.0
# Longer steps swing out of control: enough for the longest silence that a forecaster bridges (40 min).
_MOST_STEPS = 160
_MOST_LEAP = 0.7
# A reading beyond the clip loosens the drive by this much per standard deviation: somebody turned the knob.
_DRIVE_LOOSEN_PER_SD = 1.0 / 60.0
# "The heat was changed" may take away or double the drive of the hob.
_HEAT_CHANGED_DRIVE_SD = 3.0 / 60.0
# When the readings stay more than this many standard deviations to one side on average over so many, somebody
# turned the knob.
_ONE_SIDED_SD, _ONE_SIDED_MEMORY = 1.2, 4.0
_LEAST_VAR = 1e-9
# The least likely members that together hold less than this cannot move a percentile that is shown.
_LEFT_OUT = 0.04


@dataclass(frozen=True, slots=True)
class _Members:
    """What tells the members apart; arrays of shape (members,)."""

    curve: NDArray[np.intp]
    drive_walk: Floats
    solid_contact: Floats
    kappa: Floats


class BathBank:
    """The filters. `start` first, then `predict` and `correct` in turn.

    Parameters
    ----------
    family : WaxFamily
        Heat curves of the wax.
    boiling_c : float
        Local boiling point of water.
    probe_lag_s : float
        Time constant of the probe; 0 when it is not known, and then the probe's temperature is foreseen.
    """

    def __init__(self, family: WaxFamily, boiling_c: float, probe_lag_s: float) -> None:
        self._family, self._boiling_c, self._lag_s = family, boiling_c, probe_lag_s
        rows = product(range(len(family.belief)), _DRIVE_WALKS_K_PER_S, _SOLID_CONTACTS, _KAPPAS)
        curve, walk, contact, kappa = (np.array(column) for column in zip(*rows, strict=True))
        self._members = _Members(curve.astype(np.intp), walk, contact, kappa)
        self._bath = Bath(boiling_c)
        self._knee_sd_k = family.knee_spacing_k / 2.0
        self._one_sided = 0.0
        self._contact_walk, self._open_top_per_s = _CONTACT_WALK, 0.0

    def start(self, temp_c: float, temp_sd_k: float, rate_c_per_s: float) -> None:
        """Begin at a temperature and a first guess of the slope."""
        m, count = self._members, len(self._members.curve)
        state = np.zeros((count, OFF))
        state[:, HEAT] = self._family.heat_at(m.curve, np.full(count, temp_c))
        state[:, BATH] = min(temp_c + _FIRST_BATH_OVER_K, self._boiling_c - 0.5)
        state[:, DRIVE] = _FIRST_DRIVE_K_PER_S
        state[:, PROBE] = temp_c
        self._state = state
        self._look_up()
        over = np.maximum(state[:, BATH] - temp_c, 1.0)
        seen = np.log(max(rate_c_per_s, 1e-4) / self._slope / self._share(self._temp) / over)
        # Half of the belief is in the slope seen, half in what is usual.
        state[:, CONTACT] = 0.5 * np.clip(seen, -8.0, -3.0) + 0.5 * _FIRST_LOG_CONTACT
        self._cov = np.zeros((count, OFF, OFF))
        self._cov[:, HEAT, HEAT] = (temp_sd_k / self._slope) ** 2
        self._cov[:, CONTACT, CONTACT] = _FIRST_LOG_CONTACT_SD**2
        self._cov[:, BATH, BATH] = _FIRST_BATH_SD_K**2
        self._cov[:, DRIVE, DRIVE] = _FIRST_DRIVE_SD_K_PER_S**2
        self._cov[:, SHIFT, SHIFT] = self._knee_sd_k**2
        self._cov[:, PROBE, PROBE] = temp_sd_k**2
        self._contest = Contest(self._family.belief[m.curve], _TEMPER)

    def _look_up(self) -> None:
        """Temperature and slope of the wax from its heat."""
        shift, curve = self._state[:, SHIFT], self._members.curve
        coldest = self._family.heat_at(curve, np.full(len(curve), _COLDEST_WAX_C))
        heat = np.maximum(self._state[:, HEAT] - shift, coldest)
        self._state[:, HEAT] = heat + shift
        temp, self._slope = self._family.temp_at(curve, heat)
        self._temp = temp + shift

    @property
    def _reads_bath(self) -> bool:
        """Whether the bath's own probe was read, so that the states have OFF and BOOST."""
        return self._state.shape[1] > OFF

    def _contact(self, temp: Floats) -> Floats:
        """Contact per second of wax at a temperature."""
        log_contact = self._state[:, CONTACT]
        if self._reads_bath:
            log_contact = log_contact + self._state[:, BOOST]
        return np.asarray(np.exp(log_contact) * self._share(temp), dtype=np.float64)

    def _lost(self, temp: Floats) -> Floats:
        """What the open top takes from the wax, in kelvin of liquid a second."""
        return self._open_top_per_s * (temp - self._bath.room_c)

    def _share(self, temp: Floats) -> Floats:
        """Contact as a share of that of liquid wax."""
        solid = self._members.solid_contact
        return solid + (1.0 - solid) * self._liquid(temp)

    def _liquid(self, temp: Floats) -> Floats:
        return self._family.liquid_at(self._members.curve, temp - self._state[:, SHIFT])

    def predict(self, gap_s: float) -> None:
        """Let `gap_s` seconds pass."""
        if gap_s <= 0.0:
            return
        steps = min(max(int(np.ceil(gap_s / _STEP_S)), 1), _MOST_STEPS)
        for _ in range(steps):
            self._step(gap_s / steps)
        self._contest.fade(gap_s)

    def _step(self, gap_s: float) -> None:
        m, x, bath = self._members, self._state, self._bath
        temp0, slope0, liquid0 = self._temp, self._slope, self._liquid(self._temp)
        flow0 = self._contact(temp0) * (x[:, BATH] - temp0)
        half = 0.5 * gap_s
        temp, slope = self._family.temp_at(
            m.curve, x[:, HEAT] + half * (flow0 - self._lost(temp0)) - x[:, SHIFT]
        )
        temp = temp + x[:, SHIFT]
        warm = x[:, BATH] + half * (x[:, DRIVE] - m.kappa * flow0 - bath.loss(x[:, BATH]))
        middle = np.minimum(warm, self._boiling_c)
        fades = np.exp(-half / BOOST_FADES_S)
        if self._reads_bath:
            x[:, BOOST] *= fades
        contact = self._contact(temp)
        flow = contact * (middle - temp)
        move = self._moves(gap_s, contact, flow, slope, middle)
        x[:, HEAT] += gap_s * (flow - self._lost(temp))
        warm = x[:, BATH] + gap_s * (x[:, DRIVE] - m.kappa * flow - bath.loss(middle))
        x[:, BATH] = np.clip(warm, _COLDEST_BATH_C, self._boiling_c)
        self._look_up()
        to_now, to_before, stays = self._probe_follows(gap_s)
        x[:, PROBE] = to_now * self._temp + to_before * temp0 + stays * x[:, PROBE]
        move[:, PROBE] = to_now * (
            self._slope[:, None] * move[:, HEAT] + (1.0 - self._slope)[:, None] * move[:, SHIFT]
        )
        move[:, PROBE, HEAT] += to_before * slope0
        move[:, PROBE, SHIFT] += to_before * (1.0 - slope0)
        move[:, PROBE, PROBE] += stays
        cov = move @ self._cov @ move.transpose(0, 2, 1)
        melted = np.abs(self._liquid(self._temp) - liquid0)
        cov[:, CONTACT, CONTACT] += self._contact_walk**2 / 300.0 * gap_s + _MELTING_CONTACT_SD**2 * melted
        cov[:, BATH, BATH] += _BATH_WALK_K**2 / 300.0 * gap_s
        cov[:, DRIVE, DRIVE] += m.drive_walk**2 / 300.0 * gap_s
        if self._reads_bath:
            x[:, BOOST] = fades * x[:, BOOST] + BOOST_OF_MELTING * melted
            cov[:, OFF, OFF] += OFF_WALK_K**2 / 300.0 * gap_s
            cov[:, BOOST, BOOST] += BOOST_SD**2 * melted
        eddy = _EDDY_VAR_PER_S * gap_s
        cov[:, HEAT, HEAT] += eddy / self._slope**2
        cov[:, PROBE, PROBE] += to_now**2 * eddy
        cov[:, HEAT, PROBE] += to_now * eddy / self._slope
        cov[:, PROBE, HEAT] = cov[:, HEAT, PROBE]
        self._cov = cov

    def _moves(self, gap_s: float, contact: Floats, flow: Floats, slope: Floats, bath_c: Floats) -> Floats:
        """The step's derivative by the state, all but the probe's row. Shape (members, states, states)."""
        kappa = self._members.kappa
        change = np.zeros_like(self._cov)
        change[:, HEAT, HEAT] = -contact * slope
        change[:, HEAT, CONTACT] = flow
        change[:, HEAT, BATH] = contact
        change[:, HEAT, SHIFT] = -contact * (1.0 - slope)
        if self._reads_bath:
            change[:, HEAT, BOOST] = flow
        change[:, BATH] = -kappa[:, None] * change[:, HEAT]
        change[:, HEAT, HEAT] -= self._open_top_per_s * slope
        change[:, HEAT, SHIFT] -= self._open_top_per_s * (1.0 - slope)
        change[:, BATH, BATH] -= self._bath.loss_slope(bath_c)
        change[:, BATH, DRIVE] = 1.0
        if self._reads_bath:
            change[:, BOOST, BOOST] = -1.0 / BOOST_FADES_S
        change *= gap_s
        return np.asarray(np.eye(self._state.shape[1]) + change + 0.5 * change @ change, dtype=np.float64)

    def _probe_follows(self, gap_s: float) -> tuple[float, float, float]:
        """How much of the wax now, of the wax before and of itself the probe shows, the wax moving evenly."""
        if self._lag_s <= 0.0:
            return 1.0, 0.0, 0.0
        stays = float(np.exp(-gap_s / self._lag_s))
        even = self._lag_s / gap_s * (1.0 - stays)
        return 1.0 - even, even - stays, stays

    def expected(self) -> tuple[float, float]:
        """Mean and standard deviation of what the probe should show now, all members together."""
        return self._contest.pooled(self._state[:, PROBE], self._cov[:, PROBE, PROBE])

    def wax_c(self) -> float:
        """Mean temperature of the wax now."""
        return self._contest.mean(self._temp)

    def rate_c_per_s(self) -> float:
        """Mean slope of the wax's temperature now."""
        flow = self._contact(self._temp) * (self._state[:, BATH] - self._temp)
        return self._contest.mean((flow - self._lost(self._temp)) * self._slope)

    def correct_bath(self, temp_c: float, variance_k2: float) -> None:
        """Take in one reading of the bath's own probe.

        It does not judge the members: what a member cannot explain of it is as often the probe's place.
        """
        if not self._reads_bath:
            self._state = np.pad(self._state, ((0, 0), (0, 2)))
            self._cov = np.pad(self._cov, ((0, 0), (0, 2), (0, 2)))
            self._cov[:, BOOST, BOOST] = FIRST_BOOST_SD**2
            self._cov[:, OFF, OFF] = OFF_SD_K**2
            self._contact_walk, self._open_top_per_s = CONTACT_WALK, OPEN_TOP_PER_S
        x, m = self._state, self._members
        draws = m.kappa * self._contact(self._temp)
        rise = x[:, DRIVE] - draws * (x[:, BATH] - self._temp) - self._bath.loss(x[:, BATH])
        shown, ahead_s = bath_shown(x[:, BATH], rise, self._boiling_c)
        # What the rise owes to wax and contact matters little.
        by_bath = 1.0 - ahead_s * (draws + self._bath.loss_slope(x[:, BATH]))
        by_state = np.zeros_like(x)
        by_state[:, BATH], by_state[:, DRIVE], by_state[:, OFF] = by_bath, ahead_s, 1.0
        row = np.einsum("mij,mj->mi", self._cov, by_state)
        total = np.einsum("mi,mi->m", row, by_state) + variance_k2
        self._take(temp_c - shown - x[:, OFF], row, total)
        self._look_up()

    def bath_leapt(self, spread_k: float) -> None:
        """The bath's own probe shows another level for good: water was added, or it hangs elsewhere now."""
        self._cov[:, BATH, BATH] += spread_k**2
        if self._reads_bath:
            self._cov[:, OFF, OFF] += OFF_SD_K**2

    def correct(self, temp_c: float, variance_k2: float) -> None:
        """Take in one reading of the given variance."""
        row = self._cov[:, :, PROBE]
        off, total = temp_c - self._state[:, PROBE], row[:, PROBE] + variance_k2
        self._take(off, row, total)
        self._contest.judge(off, np.sqrt(total), variance_k2)
        self._look_up()

    def _take(self, off: Floats, row: Floats, total: Floats) -> None:
        """Correct all members by a reading.

        Parameters
        ----------
        off, total : array, shape (members,)
            How far it is from what each expected, and the variance of that.
        row : array, shape (members, states)
            Covariance of each state with what was read.
        """
        x, sd = self._state, np.sqrt(total)
        gain = row / total[:, None]
        leap = gain * np.clip(off, -CLIP_SD * sd, CLIP_SD * sd)[:, None]
        leap[:, CONTACT] = np.clip(leap[:, CONTACT], -_MOST_LEAP, _MOST_LEAP)
        x += leap
        if self._reads_bath:
            x[:, BOOST] = np.clip(x[:, BOOST], -MOST_BOOST, MOST_BOOST)
        x[:, CONTACT] = np.clip(x[:, CONTACT], _SLOWEST_LOG_CONTACT, _FASTEST_LOG_CONTACT)
        x[:, BATH] = np.clip(x[:, BATH], _COLDEST_BATH_C, self._boiling_c)
        x[:, DRIVE] = np.clip(x[:, DRIVE], -_MOST_DRIVE_K_PER_S, _MOST_DRIVE_K_PER_S)
        x[:, SHIFT] = np.clip(x[:, SHIFT], -_MOST_SHIFT_K, _MOST_SHIFT_K)
        self._cov = self._cov - gain[:, :, None] * row[:, None, :]
        self._watch_the_knob(self._contest.mean(np.clip(off / sd, -CLIP_SD, CLIP_SD)))
        excess = beyond_clip(off, sd)
        self._cov[:, DRIVE, DRIVE] += (_DRIVE_LOOSEN_PER_SD * excess) ** 2
        self._cov[:, CONTACT, CONTACT] += (LOOSEN_PER_SD * excess) ** 2
        each = np.arange(x.shape[1])
        self._cov[:, each, each] = np.maximum(self._cov[:, each, each], _LEAST_VAR)

    def _watch_the_knob(self, score: float) -> None:
        self._one_sided += (score - self._one_sided) / _ONE_SIDED_MEMORY
        beyond = max(abs(self._one_sided) - _ONE_SIDED_SD, 0.0)
        self._cov[:, DRIVE, DRIVE] += (_HEAT_CHANGED_DRIVE_SD * beyond) ** 2

    def jump(self, by_k: float, spread_k: float) -> None:
        """Shift the temperature by a step of known spread: oil poured in, the probe moved."""
        x = self._state
        temp = self._temp + by_k - x[:, SHIFT]
        x[:, HEAT] = self._family.heat_at(self._members.curve, temp) + x[:, SHIFT]
        x[:, PROBE] += by_k
        self._look_up()
        self._cov[:, HEAT, HEAT] += (spread_k / self._slope) ** 2
        self._cov[:, PROBE, PROBE] += spread_k**2

    def loosen(self) -> None:
        """The person changed the heat: the drive of the hob may be another."""
        self._cov[:, DRIVE, DRIVE] += _HEAT_CHANGED_DRIVE_SD**2
        self._cov[:, CONTACT, CONTACT] += LOOSEN_PER_SD**2

    def _worth_asking(self) -> NDArray[np.intp]:
        share = self._contest.share
        order = np.argsort(share)
        return np.sort(order[np.cumsum(share[order]) > _LEFT_OUT])

    def crossings(self, targets_c: Sequence[float]) -> tuple[Floats, Floats]:
        """5, 50 and 95 % points in seconds, shape (targets, 3), and the chance within the horizon."""
        keep = self._worth_asking()
        m = self._members
        states = _AHEAD_AND_BOOST if self._reads_bath else _AHEAD
        belief = BathBelief(
            now_c=self.wax_c(),
            share=self._contest.share[keep],
            drive_walk=m.drive_walk[keep],
            solid_contact=m.solid_contact[keep],
            kappa=m.kappa[keep],
            curve=m.curve[keep],
            mean=self._state[keep][:, states],
            covariance=self._cov[keep][:, states[:, None], states],
            open_top_per_s=self._open_top_per_s,
        )
        time_s, sd_log, weight = bath_crossing_times(
            belief, self._family, self._bath, np.asarray(targets_c, float)
        )
        return pooled_quantiles(time_s, sd_log, np.broadcast_to(weight, time_s.shape), HORIZON_S)
