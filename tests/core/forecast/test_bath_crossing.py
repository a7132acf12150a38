"""The way from a bath and its wax to a time: the single step, the whole way, and what cannot change it.

Reference: numpy.roots for a step, scipy.integrate.solve_ivp for the way.
"""

import math
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.integrate import solve_ivp
from simulated import SimulatedMelt, heating_melts

from candlebench.core.forecast.bath_crossing import Bath, BathBelief, _step_s, bath_crossing_times
from candlebench.core.forecast.crossing import Crossing
from candlebench.core.forecast.forecaster import Forecaster
from candlebench.core.forecast.mixture import pooled_quantiles
from candlebench.core.forecast.room import typed_room
from candlebench.core.forecast.wax_family import beeswax_family, wax_family

Floats = NDArray[np.float64]

LOT = wax_family("one lot", [63.0], [2.0])
FIRST = np.zeros(1, dtype=np.intp)


@settings(max_examples=200, deadline=None)
@given(
    needed=st.floats(0.1, 120.0),
    flow=st.floats(-0.2, 0.5),
    pull=st.floats(1e-4, 0.03),
    rise=st.floats(-0.3, 0.6),
)
def test_a_step_ends_when_its_heat_is_in(needed: float, flow: float, pull: float, rise: float) -> None:
    """The least positive root of flow t + pull rise t^2 / 2 = needed, by numpy.roots; never without one."""
    found = float(_step_s(*(np.array(x) for x in (needed, flow, pull, rise))))
    bend = 0.5 * pull * rise
    # Where the two roots meet, or the parabola is all but straight, rounding decides.
    assume(abs(flow * flow + 4.0 * bend * needed) > 1e-9 and abs(bend) > 1e-9)
    roots = [root.real for root in np.roots([bend, flow, -needed]) if abs(root.imag) < 1e-12]
    ahead = [root for root in roots if root > 0.0]
    if ahead:
        assert found == pytest.approx(min(ahead), rel=1e-5)
    else:
        assert math.isinf(found)


def belief_of(
    start_c: float,
    log_contact: float,
    bath_c: float,
    drive: float,
    shift_k: float,
    solid: float,
    kappa: float,
    spread: Floats | None = None,
) -> BathBelief:
    """What one member believes; sure of it unless standard deviations are given."""
    heat = float(LOT.heat_at(FIRST, np.array([start_c - shift_k]))[0]) + shift_k
    sd = np.full(5, 1e-6) if spread is None else spread
    return BathBelief(
        now_c=start_c,
        share=np.ones(1),
        drive_walk=np.zeros(1),
        solid_contact=np.array([solid]),
        kappa=np.array([kappa]),
        curve=FIRST,
        mean=np.array([[heat, log_contact, bath_c, drive, shift_k]]),
        covariance=np.diag(sd**2)[None],
    )


Case = tuple[float, float, float, float, float, float, float]


def solved_s(case: Case, target_c: float, boiling_c: float) -> float:
    """When wax in a bath with a constant drive is at a temperature, by scipy; inf when not in two hours."""
    start_c, log_contact, bath_c, drive, shift_k, solid, kappa = case
    water = Bath(boiling_c)

    def temp_of(heat: float) -> float:
        return float(LOT.temp_at(FIRST, np.array([heat - shift_k]))[0][0]) + shift_k

    def moves(_t: float, y: Floats) -> list[float]:
        temp = temp_of(y[0])
        liquid = float(LOT.liquid_at(FIRST, np.array([temp - shift_k]))[0])
        flow = math.exp(log_contact) * (solid + (1.0 - solid) * liquid) * (y[1] - temp)
        warms = drive - kappa * flow - float(water.loss(y[1:2])[0])
        return [flow, min(warms, 0.0) if y[1] >= boiling_c else warms]

    def there(_t: float, y: Floats) -> float:
        return temp_of(y[0]) - target_c

    there.terminal = True  # type: ignore[attr-defined]
    heat = float(LOT.heat_at(FIRST, np.array([start_c - shift_k]))[0]) + shift_k
    found = solve_ivp(moves, (0.0, 7200.0), [heat, bath_c], events=there, rtol=1e-5, max_step=20.0)
    return float(found.t_events[0][0]) if len(found.t_events[0]) else math.inf


CASES: list[Case] = [
    (25.0, -5.5, 40.0, 0.08, 0.0, 0.35, 0.5),
    (50.0, -5.2, 65.0, 0.06, 0.5, 1.0, 1.2),
    (66.0, -5.2, 75.0, 0.1, -1.0, 0.35, 0.3),
    (70.0, -5.5, 99.0, 0.1, 0.0, 1.0, 0.3),
]


@pytest.mark.parametrize("case", CASES)
def test_a_sure_bath_with_a_constant_drive_gets_there_when_scipy_says(case: Case) -> None:
    targets = [target for target in (45.0, 60.0, 68.0, 75.0, 80.0, 85.0, 92.0) if target > case[0]]
    time_s, _, weight = bath_crossing_times(belief_of(*case), LOT, Bath(100.0), np.array(targets))
    assert weight.sum() == pytest.approx(1.0)
    right = np.array([solved_s(case, target, 100.0) for target in targets])
    assert time_s.max(axis=1) == pytest.approx(right, rel=0.02)
    assert time_s.min(axis=1) == pytest.approx(right, rel=0.02)


@pytest.mark.parametrize(("drive", "target_c"), [(0.0, 80.0), (0.01, 80.0), (0.02, 85.0)])
def test_where_hob_and_losses_balance_below_a_target_it_is_not_promised(
    drive: float, target_c: float
) -> None:
    case: Case = (70.0, -5.0, 80.0, drive, 0.0, 1.0, 0.3)
    assert math.isinf(solved_s(case, target_c, 100.0))
    time_s, _, _ = bath_crossing_times(belief_of(*case), LOT, Bath(100.0), np.array([target_c]))
    assert np.isinf(time_s).all()


def test_near_the_boiling_point_of_a_mountain_kitchen_it_takes_as_long_as_scipy_says() -> None:
    case: Case = (70.0, -5.5, 88.0, 0.2, 0.0, 1.0, 0.3)
    targets = np.array([75.0, 80.0, 85.0])
    time_s, _, _ = bath_crossing_times(belief_of(*case), LOT, Bath(90.0), targets)
    right = [solved_s(case, float(target), 90.0) for target in targets]
    assert time_s.mean(axis=1) == pytest.approx(right, rel=0.02)


def test_a_level_known_to_half_a_kelvin_spreads_the_time_by_as_much_as_it_takes_to_warm_through_it() -> None:
    """Far ahead, where the log-normal is nearly normal: spread of time = spread of heat over flow now."""
    case: Case = (70.0, -5.5, 99.9, 0.3, 0.0, 1.0, 0.1)
    spread = np.array([0.5, 1e-6, 1e-6, 1e-6, 1e-6])
    time_s, sd_log, _ = bath_crossing_times(
        belief_of(*case, spread=spread), LOT, Bath(100.0), np.array([90.0])
    )
    flow = math.exp(-5.5) * 29.9
    assert time_s[0, 0] * math.sqrt(sd_log[0, 0] ** 2 - _walk_var(time_s[0, 0])) == pytest.approx(
        0.5 / flow, rel=0.03
    )


def _walk_var(time_s: float) -> float:
    """What the walk of the contact adds: 0.1 over five minutes, a third of it on the way."""
    return 0.1**2 * time_s / 300.0 / 3.0


@settings(max_examples=40, deadline=None)
@given(
    start_c=st.floats(25.0, 80.0),
    log_contact=st.floats(-7.0, -4.0),
    over_k=st.floats(0.5, 40.0),
    drive=st.floats(0.0, 0.3),
    solid=st.sampled_from([0.35, 1.0]),
    kappa=st.floats(0.1, 1.5),
    spread=st.tuples(
        st.floats(0.01, 2.0), st.floats(0.0, 0.6), st.floats(0.0, 8.0), st.floats(0.0, 0.05), st.floats(0, 1)
    ),
)
def test_hotter_targets_come_later_and_bands_hold_their_median(
    start_c: float,
    log_contact: float,
    over_k: float,
    drive: float,
    solid: float,
    kappa: float,
    spread: tuple[float, ...],
) -> None:
    bath_c = min(start_c + over_k, 100.0)
    belief = belief_of(start_c, log_contact, bath_c, drive, 0.0, solid, kappa, np.array(spread))
    targets = start_c + np.array([1.0, 3.0, 6.0, 10.0, 15.0, 19.0])
    time_s, sd_log, weight = bath_crossing_times(belief, LOT, Bath(100.0), targets)
    assert (np.diff(np.where(np.isfinite(time_s), time_s, 1e12), axis=0) >= -1e-6).all()
    quantiles, chance = pooled_quantiles(time_s, sd_log, np.broadcast_to(weight, time_s.shape), 7200.0)
    assert (quantiles[:, 0] <= quantiles[:, 1]).all() and (quantiles[:, 1] <= quantiles[:, 2]).all()
    assert (np.diff(np.where(np.isfinite(quantiles[:, 1]), quantiles[:, 1], 7200.0)) >= -1e-6).all()
    assert (np.diff(chance) <= 0.02).all()


@cache
def one_heat_up() -> SimulatedMelt:
    return next(melt for melt in heating_melts(21, 6, hours=1.5) if melt.crossing_s(80.0, False))


def warmed(shift_s: float = 0.0, fahrenheit: bool = False) -> Forecaster:
    """A forecaster that has seen the heat-up until a minute before 72 C."""
    melt = one_heat_up()
    until_s = melt.crossing_s(72.0, False)
    assert until_s is not None
    forecaster = Forecaster(beeswax_family(), typed_room(melt.room_c), 100.0, melt.lag_s)
    keep = melt.times_s <= until_s - 60.0
    # Displays of a hundredth: rounding is the same to the forecaster in either unit.
    rng = np.random.default_rng(7)
    for now_s, temp_c in zip(melt.times_s[keep][::3], melt.readings_c[keep][::3], strict=True):
        reading = float(temp_c) + float(rng.normal(0.0, 0.05))
        if fahrenheit:
            reading = (round(reading * 1.8 + 32.0, 4) - 32.0) / 1.8
        forecaster.update(float(now_s) + shift_s, reading)
    return forecaster


def found(forecaster: Forecaster) -> list[Crossing]:
    crossings = forecaster.crossings([75.0, 80.0, 85.0])
    return [crossing for crossing in crossings if crossing is not None]


def test_when_the_clock_starts_and_in_which_unit_it_is_read_change_no_heat_up() -> None:
    plain = found(warmed())
    assert len(plain) == 3
    for other, loose in ((found(warmed(shift_s=86400.0)), 1e-6), (found(warmed(fahrenheit=True)), 1e-2)):
        for one, two in zip(plain, other, strict=True):
            assert (two.low_s, two.in_s) == pytest.approx((one.low_s, one.in_s), rel=loose)
            assert two.chance == pytest.approx(one.chance, abs=0.01)
            # The late end lies where few members are, and a ten-thousandth of a degree moves it a little.
            assert two.high_s == pytest.approx(one.high_s, rel=10.0 * loose)
    for cooler, hotter in pairwise(plain):
        assert cooler.low_s < hotter.low_s and cooler.in_s < hotter.in_s and cooler.high_s <= hotter.high_s
