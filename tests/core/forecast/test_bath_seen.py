"""What a filter follows once a probe reads the bath: open top, boost after melting, the bath felt later.

Reference: scipy.integrate.solve_ivp for the equations; T25 of thermometry.md for a lag on a ramp.
"""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from candlebench.core.forecast.bath_bank import (
    BATH,
    BOOST,
    CONTACT,
    DRIVE,
    HEAT,
    OFF,
    PROBE,
    SHIFT,
    BathBank,
    _Members,
)
from candlebench.core.forecast.bath_crossing import Bath, BathBelief, bath_crossing_times
from candlebench.core.forecast.bath_seen import BEHIND_S, BOOST_FADES_S, OPEN_TOP_PER_S, bath_shown
from candlebench.core.forecast.wax_family import beeswax_family, wax_family

Floats = NDArray[np.float64]

FAMILY = beeswax_family()
LOT = wax_family("one lot", [63.0], [2.0])
FIRST = np.zeros(1, dtype=np.intp)
ROOM_C = Bath(100.0).room_c


def reading(bank: BathBank, states: Floats) -> BathBank:
    """A bank that reads the bath, at the given states, shape (members, 8), without any spread."""
    bank.start(50.0, 0.1, 0.03)
    bank.correct_bath(60.0, 1.0)
    bank._state[:] = states
    bank._cov[:] = 0.0
    bank._look_up()
    return bank


def some_states(temp_c: float) -> Floats:
    """States about a wax temperature as a heat-up has them, one for each member."""
    rng = np.random.default_rng(1)
    curve = BathBank(FAMILY, 100.0, 0.0)._members.curve
    count = len(curve)
    states = np.zeros((count, 8))
    states[:, SHIFT] = rng.normal(0.0, 0.5, count)
    states[:, HEAT] = FAMILY.heat_at(curve, np.full(count, temp_c + 0.02)) + states[:, SHIFT]
    states[:, CONTACT] = rng.normal(-5.3, 0.3, count)
    states[:, BATH] = temp_c + rng.normal(12.0, 2.0, count)
    states[:, DRIVE] = rng.normal(0.08, 0.02, count)
    states[:, PROBE] = temp_c - 0.5
    states[:, OFF] = rng.normal(0.0, 2.0, count)
    states[:, BOOST] = rng.normal(0.0, 0.4, count)
    return states


@pytest.mark.parametrize("lag_s", [0.0, 8.0])
@pytest.mark.parametrize("temp_c", [45.0, 78.0])
def test_with_the_bath_read_a_step_spreads_the_state_as_its_own_derivative_says(
    temp_c: float, lag_s: float
) -> None:
    """F P F' with F from finite differences of the mean step in every state; the walks are taken off."""
    gap_s, states = 5.0, some_states(temp_c)
    moves = np.zeros((len(states), 8, 8))
    for place, small in enumerate((1e-4, 1e-5, 1e-4, 1e-6, 1e-4, 1e-4, 1e-4, 1e-5)):
        sides = []
        for sign in (1.0, -1.0):
            moved = states.copy()
            moved[:, place] += sign * small
            bank = reading(BathBank(FAMILY, 100.0, lag_s), moved)
            bank.predict(gap_s)
            sides.append(bank._state.copy())
        moves[:, :, place] = (sides[0] - sides[1]) / (2.0 * small)
    before = np.diag(np.array([0.3, 0.3, 3.0, 0.03, 0.5, 0.2, 2.0, 0.4]) ** 2)
    unsure, sure = (reading(BathBank(FAMILY, 100.0, lag_s), states) for _ in range(2))
    unsure._cov[:] = before
    unsure.predict(gap_s)
    sure.predict(gap_s)
    found, right = unsure._cov - sure._cov, moves @ before @ moves.transpose(0, 2, 1)
    sd = np.sqrt(np.einsum("mii->mi", right))
    off = np.abs(found - right) / (sd[:, :, None] * sd[:, None, :])
    # A few members stand at the edge of a cell of the tables, where there is no derivative.
    assert np.quantile(off, 0.95, axis=0).max() < 4e-3


def moves(y: Floats, kappa: float, drive: float, log_contact: float) -> list[float]:
    """Heat, bath and boost a second, as the module says them."""
    temp = float(LOT.temp_at(FIRST, y[:1])[0][0])
    flow = np.exp(log_contact + y[2]) * (y[1] - temp)
    warms = drive - kappa * flow - float(Bath(100.0).loss(y[1:2])[0])
    return [flow - OPEN_TOP_PER_S * (temp - ROOM_C), warms, -y[2] / BOOST_FADES_S]


@pytest.mark.parametrize("boost", [-0.5, 0.0, 0.7])
def test_liquid_wax_under_an_open_top_moves_as_scipy_solves_it(boost: float) -> None:
    heat = float(LOT.heat_at(FIRST, np.array([72.0]))[0])
    bank = BathBank(LOT, 100.0, 0.0)
    bank._members = _Members(FIRST, np.array([1e-9]), np.array([1.0]), np.array([0.6]))
    reading(bank, np.array([[heat, -5.3, 85.0, 0.06, 0.0, 72.0, 0.0, boost]]))
    bank.predict(240.0)
    solved = solve_ivp(lambda _t, y: moves(y, 0.6, 0.06, -5.3), (0.0, 240.0), [heat, 85.0, boost], rtol=1e-7)
    wax_c = float(LOT.temp_at(FIRST, solved.y[0, -1:])[0][0])
    assert bank.wax_c() == pytest.approx(wax_c, abs=0.05)
    assert bank._state[0, BATH] == pytest.approx(solved.y[1, -1], abs=0.05)
    assert bank._state[0, BOOST] == pytest.approx(solved.y[2, -1], abs=1e-3)


@pytest.mark.parametrize("boost", [-0.5, 0.0, 0.7])
@pytest.mark.parametrize("target_c", [75.0, 80.0, 85.0])
def test_the_way_ahead_knows_of_the_boost_and_the_open_top_as_scipy_does(
    boost: float, target_c: float
) -> None:
    heat = float(LOT.heat_at(FIRST, np.array([68.0]))[0])
    belief = BathBelief(
        now_c=68.0,
        share=np.ones(1),
        drive_walk=np.zeros(1),
        solid_contact=np.ones(1),
        kappa=np.array([0.6]),
        curve=FIRST,
        mean=np.array([[heat, -5.3, 84.0, 0.1, 0.0, boost]]),
        covariance=np.diag(np.full(6, 1e-12))[None],
        open_top_per_s=OPEN_TOP_PER_S,
    )
    time_s, _, weight = bath_crossing_times(belief, LOT, Bath(100.0), np.array([target_c]))
    assert weight.sum() == pytest.approx(1.0)

    def there(_t: float, y: Floats) -> float:
        return float(LOT.temp_at(FIRST, y[:1])[0][0]) - target_c

    solved = solve_ivp(
        lambda _t, y: moves(y, 0.6, 0.1, -5.3),
        (0.0, 3600.0),
        np.array([heat, 84.0, boost]),
        events=there,
        rtol=1e-6,
        max_step=5.0,
    )
    right_s = float(solved.t_events[0][0])
    assert time_s.min() == pytest.approx(right_s, rel=0.04)
    assert time_s.max() == pytest.approx(right_s, rel=0.04)


def test_what_is_felt_later_lags_a_ramp_by_its_rate_times_the_lag_and_stays_at_boiling() -> None:
    """T25: a first-order lag of tau follows a ramp r by r tau behind."""
    felt_c, rate = np.array([70.0, 99.5, 100.0]), np.array([4.0 / 60.0, 4.0 / 60.0, 0.3])
    shown_c, ahead_s = bath_shown(felt_c, rate, 100.0)
    assert shown_c == pytest.approx([70.0 + 4.0 / 60.0 * BEHIND_S, 100.0, 100.0])
    assert ahead_s == pytest.approx([BEHIND_S, BEHIND_S, 0.0])


def test_the_boost_comes_with_the_melting_and_is_gone_minutes_later() -> None:
    """Nobody reads the melt here: the knee passes, and what the wall gave evens out."""
    heat = float(LOT.heat_at(FIRST, np.array([55.0]))[0])
    bank = BathBank(LOT, 100.0, 0.0)
    bank._members = _Members(FIRST, np.array([1e-9]), np.array([1.0]), np.array([0.1]))
    reading(bank, np.array([[heat, -4.5, 98.0, 0.1, 0.0, 55.0, 0.0, 0.0]]))
    boosts, temps = [], []
    for _ in range(240):
        bank.predict(5.0)
        boosts.append(float(bank._state[0, BOOST]))
        temps.append(bank.wax_c())
    melted = int(np.argmax(np.array(temps) > 66.0))
    assert melted > 0 and boosts[melted] > 0.1
    assert boosts[0] < 0.02
    later = melted + int(5.0 * BOOST_FADES_S / 5.0)
    assert abs(boosts[later]) < 0.05 * boosts[melted]
