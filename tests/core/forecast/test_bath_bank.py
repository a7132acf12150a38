"""The filters of a heat-up: their step against its own derivative and against scipy, and their manners.

Reference: scipy.integrate.solve_ivp for the three equations of `bath_bank`; the rest are laws of arithmetic.
"""

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from candlebench.core.forecast.bath_bank import BATH, CONTACT, DRIVE, HEAT, PROBE, SHIFT, BathBank, _Members
from candlebench.core.forecast.bath_crossing import Bath
from candlebench.core.forecast.crossing import Crossing
from candlebench.core.forecast.forecaster import Forecaster
from candlebench.core.forecast.room import typed_room
from candlebench.core.forecast.wax_family import beeswax_family, wax_family

Floats = NDArray[np.float64]

FAMILY = beeswax_family()
LOT = wax_family("one lot", [63.0], [2.0])
FIRST = np.zeros(1, dtype=np.intp)


def believing(bank: BathBank, states: Floats) -> BathBank:
    """A started bank whose members are at the given states, shape (members, 6), without any spread."""
    bank.start(50.0, 0.1, 0.03)
    bank._state[:] = states
    bank._cov[:] = 0.0
    bank._look_up()
    return bank


def some_states(temp_c: float, seed: int) -> Floats:
    """States about a wax temperature as a heat-up has them, one for each member."""
    rng = np.random.default_rng(seed)
    curve = BathBank(FAMILY, 100.0, 0.0)._members.curve
    count = len(curve)
    states = np.zeros((count, 6))
    states[:, SHIFT] = rng.normal(0.0, 0.5, count)
    # A little off the tables' grid, so that a small step to either side stays within one cell.
    states[:, HEAT] = FAMILY.heat_at(curve, np.full(count, temp_c + 0.02)) + states[:, SHIFT]
    states[:, CONTACT] = rng.normal(-5.3, 0.3, count)
    states[:, BATH] = temp_c + rng.normal(12.0, 2.0, count)
    states[:, DRIVE] = rng.normal(0.08, 0.02, count)
    states[:, PROBE] = temp_c - 0.5
    return states


@pytest.mark.parametrize("lag_s", [0.0, 8.0])
@pytest.mark.parametrize("temp_c", [45.0, 58.0, 63.0, 78.0])
def test_one_step_spreads_the_state_as_its_own_derivative_says(temp_c: float, lag_s: float) -> None:
    """F P F' with F from finite differences of the mean step in every state; the walks are taken off."""
    gap_s, states = 5.0, some_states(temp_c, 1)
    moves = np.zeros((len(states), 6, 6))
    for place, small in enumerate((1e-4, 1e-5, 1e-4, 1e-6, 1e-4, 1e-4)):
        sides = []
        for sign in (1.0, -1.0):
            moved = states.copy()
            moved[:, place] += sign * small
            bank = believing(BathBank(FAMILY, 100.0, lag_s), moved)
            bank.predict(gap_s)
            sides.append(bank._state.copy())
        moves[:, :, place] = (sides[0] - sides[1]) / (2.0 * small)
    before = np.diag(np.array([0.3, 0.3, 3.0, 0.03, 0.5, 0.2]) ** 2)
    unsure, sure = (believing(BathBank(FAMILY, 100.0, lag_s), states) for _ in range(2))
    unsure._cov[:] = before
    unsure.predict(gap_s)
    sure.predict(gap_s)
    found, right = unsure._cov - sure._cov, moves @ before @ moves.transpose(0, 2, 1)
    sd = np.sqrt(np.einsum("mii->mi", right))
    off = np.abs(found - right) / (sd[:, :, None] * sd[:, None, :])
    # A few members stand at the edge of a cell of the tables, where there is no derivative.
    assert np.quantile(off, 0.95, axis=0).max() < 2e-3


@pytest.mark.parametrize("lag_s", [0.0, 10.0])
def test_the_spread_stays_symmetric_and_positive_through_a_whole_heat_up(lag_s: float) -> None:
    rng = np.random.default_rng(2)
    bank = BathBank(FAMILY, 98.0, lag_s)
    bank.start(30.0, 0.3, 0.05)
    for i in range(300):
        bank.predict(float(rng.choice([1.0, 5.0, 30.0])))
        bank.correct(min(30.0 + 0.3 * i, 92.0) + float(rng.normal(0.0, 0.2)), 0.04)
        cov = bank._cov
        sd = np.sqrt(np.einsum("mii->mi", cov))
        assert np.abs(cov - cov.transpose(0, 2, 1)).max() < 1e-9
        tied = cov / (sd[:, :, None] * sd[:, None, :])
        assert np.linalg.eigvalsh(tied).min() > -1e-6


def single(kappa: float, solid: float, lag_s: float, boiling_c: float = 100.0) -> BathBank:
    """A bank of one member, which knows its lot."""
    bank = BathBank(LOT, boiling_c, lag_s)
    bank._members = _Members(FIRST, np.array([1e-9]), np.array([solid]), np.array([kappa]))
    return bank


@pytest.mark.parametrize(
    ("start_c", "bath_c", "drive", "kappa", "solid", "lag_s"),
    [
        (40.0, 55.0, 0.08, 0.5, 0.35, 6.0),
        (58.0, 70.0, 0.06, 1.2, 1.0, 12.0),
        (70.0, 85.0, 0.03, 0.3, 1.0, 4.0),
    ],
)
@pytest.mark.parametrize("gap_s", [60.0, 400.0])
def test_wax_bath_and_probe_move_as_scipy_solves_their_equations(
    start_c: float, bath_c: float, drive: float, kappa: float, solid: float, lag_s: float, gap_s: float
) -> None:
    contact = np.exp(-5.3)
    heat = float(LOT.heat_at(FIRST, np.array([start_c]))[0])
    bank = believing(single(kappa, solid, lag_s), np.array([[heat, -5.3, bath_c, drive, 0.0, start_c - 0.4]]))
    bank.predict(gap_s)
    water = Bath(100.0)

    def moves(_t: float, y: Floats) -> list[float]:
        temp = float(LOT.temp_at(FIRST, y[:1])[0][0])
        liquid = float(LOT.liquid_at(FIRST, np.array([temp]))[0])
        flow = contact * (solid + (1.0 - solid) * liquid) * (y[1] - temp)
        return [flow, drive - kappa * flow - float(water.loss(y[1:2])[0]), (temp - y[2]) / lag_s]

    solved = solve_ivp(moves, (0.0, gap_s), [heat, bath_c, start_c - 0.4], rtol=1e-6, max_step=5.0)
    wax_c = float(LOT.temp_at(FIRST, solved.y[0, -1:])[0][0])
    assert bank.wax_c() == pytest.approx(wax_c, abs=0.05)
    assert bank._state[0, BATH] == pytest.approx(solved.y[1, -1], abs=0.05)
    assert bank.expected()[0] == pytest.approx(solved.y[2, -1], abs=0.05)


@settings(max_examples=25, deadline=None)
@example(readings=[(174.0, 15.0, 1.0), (324.0, 15.0, 1.0)], start_c=27.0, jump_k=0.0, rate=1.0, lag_s=0.0)
@given(
    readings=st.lists(
        st.tuples(st.just(0.0) | st.floats(1e-3, 600.0), st.floats(-20.0, 130.0), st.floats(1e-3, 25.0)),
        min_size=1,
        max_size=12,
    ),
    start_c=st.floats(-10.0, 89.0),
    jump_k=st.floats(-5.0, 5.0),
    rate=st.floats(-1.0, 1.0),
    lag_s=st.sampled_from([0.0, 6.0, 30.0]),
)
def test_no_readings_however_wild_make_it_say_nonsense(
    readings: list[tuple[float, float, float]], start_c: float, jump_k: float, rate: float, lag_s: float
) -> None:
    boiling_c = 90.0
    bank = BathBank(FAMILY, boiling_c, lag_s)
    bank.start(start_c, 0.2, rate)
    bank.jump(jump_k, 0.5)
    bank.loosen()
    for gap_s, temp_c, variance in readings:
        bank.predict(gap_s)
        assert bank._state[:, BATH].max() <= boiling_c
        bank.correct(temp_c, variance)
        assert np.isfinite(bank._state).all() and np.isfinite(bank._cov).all()
        assert (np.einsum("mii->mi", bank._cov) > 0.0).all()
        assert bank._state[:, BATH].max() <= boiling_c
        assert np.isfinite(bank.expected()).all() and np.isfinite(bank.rate_c_per_s())
        assert bank._contest.share.sum() == pytest.approx(1.0)
        now_c = bank.wax_c()
        ahead = [now_c + rise for rise in (0.5, 5.0, 30.0)]
        quantiles, chance = bank.crossings(ahead)
        assert not np.isnan(quantiles).any()
        assert (quantiles[:, 0] <= quantiles[:, 1]).all() and (quantiles[:, 1] <= quantiles[:, 2]).all()
        assert (quantiles > 0.0).all() and (chance >= 0.0).all() and (chance <= 1.0).all()


def test_cold_wax_put_into_a_warm_jug_does_not_make_the_bath_impossibly_cold() -> None:
    """Two readings of 15 C, three and eight minutes after one of 27 C."""
    bank = BathBank(FAMILY, 90.0, 0.0)
    bank.start(27.0, 0.2, 1.0)
    bank.loosen()
    for gap_s in (174.0, 324.0):
        bank.predict(gap_s)
        assert bank._state[:, BATH].min() >= -20.0
        bank.correct(15.0, 1.0)
    assert np.isfinite(bank._state).all() and np.isfinite(bank._cov).all()


def test_wax_in_a_bath_without_heat_is_not_promised_to_get_hotter_than_the_bath() -> None:
    heat = float(LOT.heat_at(FIRST, np.array([70.0]))[0])
    bank = believing(single(0.3, 1.0, 0.0), np.array([[heat, -5.0, 80.0, 0.0, 0.0, 70.0]]))
    quantiles, chance = bank.crossings([71.0, 81.0, 90.0])
    assert np.isfinite(quantiles[0]).all() and chance[0] == pytest.approx(1.0)
    assert np.isinf(quantiles[1:]).all()
    assert (chance[1:] == 0.0).all()


def test_the_wax_is_ahead_of_a_slow_probe_by_its_lag() -> None:
    """A body that warms evenly shows on a first-order probe later by one time constant."""
    lag_s, rate = 20.0, 3.0 / 60.0
    rng = np.random.default_rng(4)
    slow, quick = BathBank(FAMILY, 100.0, lag_s), BathBank(FAMILY, 100.0, 0.0)
    for bank in (slow, quick):
        bank.start(66.0, 0.2, rate)
    for i in range(1, 55):
        reading = 66.0 + rate * 5.0 * i + float(rng.normal(0.0, 0.05))
        for bank in (slow, quick):
            bank.predict(5.0)
            bank.correct(reading, 0.01)
    assert slow.wax_c() - slow.expected()[0] == pytest.approx(lag_s * rate, abs=0.15)
    assert quick.wax_c() == pytest.approx(quick.expected()[0], abs=1e-9)
    (of_slow,), _ = slow.crossings([82.0])
    (of_quick,), _ = quick.crossings([82.0])
    assert of_quick[1] - of_slow[1] == pytest.approx(lag_s, abs=6.0)


def heat_up(turned_at_c: float = np.inf, drive_then: float = 0.0) -> tuple[Floats, int]:
    """Wax each second over a bath driven at 6 K/min, until the knob is turned; and when that was."""
    water, drive, turned_s = Bath(100.0), 0.1, 0
    heat, bath_c, temp = float(LOT.heat_at(FIRST, np.array([24.0]))[0]), 30.0, 24.0
    temps = [temp]
    for second in range(2400):
        if not turned_s and temp >= turned_at_c:
            turned_s, drive = second, drive_then
        liquid = float(LOT.liquid_at(FIRST, np.array([temp]))[0])
        flow = np.exp(-5.3) * (0.6 + 0.4 * liquid) * (bath_c - temp)
        heat += flow
        bath_c = min(bath_c + drive - 0.6 * flow - float(water.loss(np.array([bath_c]))[0]), 100.0)
        temp = float(LOT.temp_at(FIRST, np.array([heat]))[0][0])
        temps.append(temp)
        if turned_s and second - turned_s > 300:
            break
    return np.array(temps), turned_s


def asked_after_the_turn(
    drive_then: float, told: bool, sd_k: float, seed: int
) -> tuple[Crossing, list[tuple[float, Crossing | None]]]:
    """The forecast of 85 C at the turn of the knob, and those after it with how far the melt fell behind.

    The lag behind the same melt with the knob left alone is in standard deviations of one reading.
    """
    wax, turned_s = heat_up(74.0, drive_then)
    alone, _ = heat_up()
    rng = np.random.default_rng(seed)
    forecaster = Forecaster(FAMILY, typed_room(20.0), 100.0)
    before: Crossing | None = None
    after = []
    for now_s in range(0, len(wax), 5):
        if told and now_s > turned_s >= now_s - 5:
            forecaster.heat_changed(float(turned_s))
        forecaster.update(float(now_s), round(float(wax[now_s] + rng.normal(0.0, sd_k)), 2))
        if now_s < turned_s - 5:
            continue
        (crossing,) = forecaster.crossings([85.0])
        if now_s <= turned_s:
            before = crossing
        else:
            after.append((float(alone[now_s] - wax[now_s]) / sd_k, crossing))
    assert before is not None
    return before, after


def behind_when_doubled(before: Crossing, after: list[tuple[float, Crossing | None]]) -> float:
    """How far behind it was when the forecast first was twice as late, or none was given."""
    return next(behind for behind, found in after if found is None or found.in_s >= 2.0 * before.in_s)


def width_s(crossing: Crossing) -> float:
    return crossing.high_s - crossing.low_s


@pytest.mark.parametrize("drive_then", [0.0, 0.01])
def test_a_knob_that_was_said_to_be_turned_widens_the_band_at_once(drive_then: float) -> None:
    for seed in range(2):
        before, after = asked_after_the_turn(drive_then, True, 0.3, seed)
        _, next_one = after[0]
        assert next_one is None or width_s(next_one) > 2.0 * width_s(before)


@pytest.mark.parametrize("drive_then", [0.0, 0.01])
def test_a_turn_that_was_said_doubles_the_time_left_sooner_than_one_in_silence(drive_then: float) -> None:
    for seed in range(2):
        told = behind_when_doubled(*asked_after_the_turn(drive_then, True, 0.3, seed))
        silent = behind_when_doubled(*asked_after_the_turn(drive_then, False, 0.3, seed))
        assert told < silent


@pytest.mark.parametrize("scatter_k", [0.1, 0.3])
def test_a_knob_turned_off_in_silence_widens_the_band_within_three_readings_worth_of_evidence(
    scatter_k: float,
) -> None:
    """Once it lies three times the scatter of a reading behind (and at the next reading, five seconds on)."""
    for seed in range(3):
        before, after = asked_after_the_turn(0.0, False, scatter_k, seed)
        wider = (behind for behind, found in after if found is None or width_s(found) > 1.5 * width_s(before))
        assert next(wider) <= 3.5


def test_a_knob_turned_off_in_silence_is_noticed_in_the_end() -> None:
    """The wax never gets to 85 C: five minutes after the turn nobody is told so any more."""
    for seed in range(3):
        _, after = asked_after_the_turn(0.0, False, 0.1, seed)
        _, last = after[-1]
        assert last is None or last.chance < 0.5
