"""The forecaster as a whole: what it says, what it keeps silent about, and what must not disturb it."""

import math
import sys
from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from simulated import cooling_melts, heating_melts

from candlebench.core.forecast.bank import Bank
from candlebench.core.forecast.cooling import cooling_bank
from candlebench.core.forecast.crossing import Crossing
from candlebench.core.forecast.forecaster import Forecaster
from candlebench.core.forecast.room import Room, typed_room
from candlebench.core.forecast.wax_family import beeswax_family, family_for

ROOM = Room(21.0, 1.0)


def newton(elapsed_s: float, start_c: float = 85.0, room_c: float = 21.0, tau_s: float = 2400.0) -> float:
    """Closed form of a lumped body with a constant film."""
    return room_c + (start_c - room_c) * math.exp(-elapsed_s / tau_s)


def cooled(
    until_s: float,
    every_s: float = 5.0,
    curve: Callable[[float], float] = newton,
    sd_k: float = 0.1,
    step_k: float = 0.1,
    shift_s: float = 0.0,
    room: Room = ROOM,
) -> Forecaster:
    """A forecaster that has seen a cooling body up to a time."""
    rng = np.random.default_rng(1)
    forecaster = Forecaster(None, room, 100.0)
    for elapsed_s in np.arange(0.0, until_s + 1e-9, every_s):
        reading = round((curve(float(elapsed_s)) + rng.normal(0.0, sd_k)) / step_k) * step_k
        forecaster.update(float(elapsed_s) + shift_s, reading)
    return forecaster


def only(forecaster: Forecaster, target_c: float) -> Crossing:
    (crossing,) = forecaster.crossings([target_c])
    assert crossing is not None
    return crossing


def half_width_s(crossing: Crossing) -> float:
    return (crossing.high_s - crossing.low_s) / 2.0


def test_a_newton_body_is_foreseen_within_a_few_per_cent_and_inside_the_band() -> None:
    forecaster = cooled(900.0)
    # The bank expects the law to bend (1.1 to 2), so that a strictly linear body comes a little early.
    for target in (60.0, 57.0, 50.0):
        truth = 2400.0 * math.log(64.0 / (target - 21.0)) - 900.0
        crossing = only(forecaster, target)
        assert crossing.in_s == pytest.approx(truth, rel=0.1)
        assert crossing.low_s < truth < crossing.high_s
        assert crossing.chance > 0.95
        assert crossing.made_at_s == 900.0


def test_temperature_and_rate_are_there_from_the_third_reading_and_right() -> None:
    forecaster = Forecaster(None, ROOM, 100.0)
    for i in range(3):
        assert forecaster.temp_c is None and forecaster.rate_c_per_min is None
        forecaster.update(30.0 * i, newton(30.0 * i))
    assert forecaster.temp_c == pytest.approx(newton(60.0), abs=0.3)
    forecaster = cooled(600.0)
    rate = -(newton(600.0) - 21.0) / 2400.0 * 60.0
    assert forecaster.rate_c_per_min == pytest.approx(rate, abs=0.35)
    assert forecaster.temp_c == pytest.approx(newton(600.0), abs=0.25)


def test_nothing_is_said_about_the_past_the_wrong_side_or_below_the_room() -> None:
    forecaster = cooled(900.0)
    assert forecaster.crossings([75.0, 90.0, 15.0]) == (None, None, None)


def test_nothing_is_said_before_a_direction_is_known() -> None:
    forecaster = Forecaster(None, ROOM, 100.0)
    assert forecaster.crossings([50.0]) == (None,)
    forecaster.update(0.0, 80.0)
    assert forecaster.crossings([50.0, 90.0]) == (None, None)
    assert len(forecaster.path(600.0).ahead_s) == 0


def test_a_melt_kept_at_one_temperature_promises_no_crossing_soon() -> None:
    rng = np.random.default_rng(3)
    forecaster = Forecaster(beeswax_family(), ROOM, 100.0)
    for i in range(240):
        climbing = min(60.0 + 0.03 * 5.0 * i, 74.0)
        forecaster.update(5.0 * i, round(climbing + rng.normal(0.0, 0.1), 1))
    (crossing,) = forecaster.crossings([85.0])
    assert crossing is None or crossing.in_s > 1200.0


@pytest.mark.parametrize(
    ("every_s", "step_k", "sd_k"),
    [(0.1, 0.1, 0.1), (1.0, 1.0, 0.05), (1.0, 0.5, 0.2), (60.0, 1.0, 0.05), (600.0, 0.1, 0.05)],
)
def test_any_pace_and_resolution_of_readings_gives_an_honest_band(
    every_s: float, step_k: float, sd_k: float
) -> None:
    until = 1800.0 if every_s > 60.0 else 600.0
    forecaster = cooled(until, every_s, step_k=step_k, sd_k=sd_k)
    target = newton(until) - 5.0
    truth = 2400.0 * math.log(64.0 / (target - 21.0)) - until
    crossing = only(forecaster, target)
    assert crossing.low_s < truth < crossing.high_s
    assert crossing.in_s == pytest.approx(truth, rel=0.2)


def test_the_turn_from_heating_to_cooling_is_noticed_by_itself_and_so_is_reheating() -> None:
    rng = np.random.default_rng(5)
    forecaster = Forecaster(None, ROOM, 100.0)
    now_s, temp = 0.0, 70.0
    heard: dict[str, bool] = {}
    for name, slope in (("rising", 2.0), ("falling", -1.2), ("again", 1.5)):
        for _ in range(40):
            now_s += 5.0
            temp += slope * 5.0 / 60.0
            forecaster.update(now_s, round(temp + rng.normal(0.0, 0.08), 1))
        below, above = forecaster.crossings([temp - 3.0, temp + 3.0])
        heard[name] = below is not None
        assert (below is None) == (slope > 0.0)
        assert (above is None) == (slope < 0.0)
    assert heard == {"rising": False, "falling": True, "again": False}


def test_the_turn_is_noticed_within_a_minute_or_so() -> None:
    forecaster = Forecaster(None, ROOM, 100.0)
    for i in range(120):
        forecaster.update(5.0 * i, round(60.0 + 2.0 * 5.0 * i / 60.0, 1))
    noticed = None
    for i in range(1, 40):
        temp = 80.0 - 1.2 * 5.0 * i / 60.0
        forecaster.update(600.0 + 5.0 * i, round(temp, 1))
        if forecaster.crossings([temp - 4.0])[0] is not None:
            noticed = 5.0 * i
            break
    assert noticed is not None and noticed <= 90.0


def test_reheating_is_judged_from_the_trough_and_not_from_the_first_warming() -> None:
    forecaster = Forecaster(None, ROOM, 100.0)
    now_s, temp = 0.0, 30.0
    for slope, minutes in ((6.0, 8), (-4.0, 6), (3.0, 3)):
        for _ in range(minutes * 12):
            now_s, temp = now_s + 5.0, temp + slope * 5.0 / 60.0
            forecaster.update(now_s, round(temp, 1))
    assert forecaster.temp_c == pytest.approx(temp, abs=0.5)
    assert forecaster.rate_c_per_min == pytest.approx(3.0, abs=0.6)
    assert only(forecaster, temp + 5.0).in_s == pytest.approx(100.0, rel=0.2)


def test_a_target_at_hand_is_no_later_than_one_further_down() -> None:
    """A coarse, slow display leaves the level unsure by more than the way to the nearest target."""
    forecaster = cooled(
        300.0, 2.0, lambda s: newton(s, 70.0, 15.0, 4288.0), step_k=1.0, room=typed_room(15.0)
    )
    shown = forecaster.temp_c
    assert shown is not None
    found = [only(forecaster, shown - drop) for drop in (0.3, 0.5, 1.0, 2.0, 4.0)]
    for upper, lower in pairwise(found):
        assert upper.low_s <= lower.low_s and upper.in_s <= lower.in_s and upper.high_s <= lower.high_s


def test_saying_that_the_heat_was_changed_widens_the_band() -> None:
    told, untold = cooled(900.0), cooled(900.0)
    told.heat_changed(900.0)
    assert half_width_s(only(told, 60.0)) > 1.5 * half_width_s(only(untold, 60.0))


def test_a_change_of_heat_that_the_curve_has_shown_already_changes_nothing() -> None:
    told, untold = cooled(900.0), cooled(900.0)
    told.heat_changed(0.0)
    assert only(told, 60.0) == only(untold, 60.0)


def test_the_lag_of_the_probe_brings_every_crossing_nearer_by_itself() -> None:
    plain, lagging = cooled(900.0), Forecaster(None, ROOM, 100.0, probe_lag_s=12.0)
    rng = np.random.default_rng(1)
    for elapsed_s in np.arange(0.0, 901.0, 5.0):
        reading = newton(float(elapsed_s)) + rng.normal(0.0, 0.1)
        lagging.update(float(elapsed_s), round(reading / 0.1) * 0.1)
    assert only(plain, 60.0).in_s - only(lagging, 60.0).in_s == pytest.approx(12.0)


def test_oil_is_a_known_drop_that_brings_the_crossing_nearer() -> None:
    forecaster = cooled(900.0)
    before = only(forecaster, 55.0)
    forecaster.oil_added(900.0, 2.5, 0.5)
    after = only(forecaster, 55.0)
    rate = (newton(900.0) - 21.0) / 2400.0
    assert before.in_s - after.in_s == pytest.approx(2.5 / rate, rel=0.25)
    for i in range(1, 30):
        forecaster.update(900.0 + 5.0 * i, round(newton(900.0 + 5.0 * i) - 2.5, 1))
    settled = only(forecaster, 55.0)
    truth = 2400.0 * math.log((newton(1045.0) - 2.5 - 21.0) / (55.0 - 21.0))
    assert settled.low_s < truth < settled.high_s


def _lifted_out(at_s: float, temp_c: float, start_s: float) -> float:
    """A probe in air for 30 s with a lag of 30 s, then back in the wax with a lag of 6 s."""
    out_s = at_s - start_s
    if out_s < 0.0:
        return temp_c
    if out_s <= 30.0:
        return 21.0 + (temp_c - 21.0) * math.exp(-out_s / 30.0)
    lowest = 21.0 + (temp_c - 21.0) * math.exp(-1.0)
    return temp_c + (lowest - temp_c) * math.exp(-(out_s - 30.0) / 6.0)


@pytest.mark.parametrize("every_s", [1.0, 5.0, 10.0])
@pytest.mark.parametrize("fault", ["lifted out", "spike", "85.00", "gap", "burst"])
def test_a_fault_moves_the_forecast_by_less_than_its_own_half_width(fault: str, every_s: float) -> None:
    rng = np.random.default_rng(11)
    sound, hurt = Forecaster(None, ROOM, 100.0), Forecaster(None, ROOM, 100.0)
    worst = 0.0
    for elapsed_s in np.arange(0.0, 1200.0, every_s):
        now_s = float(elapsed_s)
        reading = round(newton(now_s) + float(rng.normal(0.0, 0.1)), 1)
        sound.update(now_s, reading)
        bad = reading
        near = abs(now_s - 900.0) < 0.5 * every_s
        if fault == "lifted out":
            bad = round(_lifted_out(now_s, newton(now_s), 900.0), 1) if now_s >= 900.0 else reading
        elif fault == "spike" and near:
            bad = reading + 4.0
        elif fault == "85.00" and near:
            bad = 85.0
        if not (fault == "gap" and 700.0 < now_s < 1000.0):
            hurt.update(now_s, bad)
        if fault == "burst" and near:
            for _ in range(50):
                hurt.update(now_s, round(newton(now_s) + float(rng.normal(0.0, 0.1)), 1))
        if now_s > 895.0 and not (fault == "gap" and now_s < 1000.0):
            plain, moved = only(sound, 52.0), only(hurt, 52.0)
            worst = max(worst, abs(moved.in_s - plain.in_s) / half_width_s(plain))
    assert worst < 1.0


def test_a_night_of_suspend_starts_the_forecast_afresh() -> None:
    forecaster = cooled(600.0)
    forecaster.update(600.0 + 8 * 3600.0, 22.0)
    assert forecaster.crossings([50.0, 20.0]) == (None, None)


def test_a_new_level_that_stays_is_believed_in_the_end() -> None:
    forecaster = cooled(900.0)
    for i in range(1, 40):
        forecaster.update(900.0 + 5.0 * i, round(newton(900.0 + 5.0 * i) - 6.0, 1))
    assert forecaster.temp_c == pytest.approx(newton(1095.0) - 6.0, abs=0.5)


@settings(max_examples=25, deadline=None)
@given(
    tau=st.floats(900.0, 5000.0),
    start=st.floats(70.0, 95.0),
    room=st.floats(15.0, 28.0),
    every=st.sampled_from([2.0, 10.0, 60.0]),
    step=st.sampled_from([0.1, 0.5, 1.0]),
)
def test_lower_targets_come_later_and_bands_hold_their_median(
    tau: float, start: float, room: float, every: float, step: float
) -> None:
    forecaster = cooled(
        300.0, every, lambda s: newton(s, start, room, tau), step_k=step, room=typed_room(room)
    )
    targets = [start - drop for drop in range(1, 40, 3)]
    found = [c for c in forecaster.crossings(targets) if c is not None]
    for crossing in found:
        assert 0.0 < crossing.low_s <= crossing.in_s <= crossing.high_s
        assert 0.0 <= crossing.chance <= 1.0
    for upper, lower in pairwise(found):
        assert upper.target_c > lower.target_c
        assert upper.low_s <= lower.low_s and upper.in_s <= lower.in_s and upper.high_s <= lower.high_s
        assert upper.chance >= lower.chance - 1e-9


@settings(max_examples=10, deadline=None)
@given(shift=st.integers(0, 10**6).map(float), every=st.sampled_from([1.0, 8.0, 60.0]))
def test_when_the_clock_starts_changes_nothing(shift: float, every: float) -> None:
    here, there = cooled(480.0, every), cooled(480.0, every, shift_s=shift)
    one, other = only(here, 60.0), only(there, 60.0)
    assert other.in_s == pytest.approx(one.in_s, rel=1e-5)
    assert other.high_s == pytest.approx(one.high_s, rel=1e-5)


def test_the_fan_and_the_crossings_agree() -> None:
    forecaster = cooled(900.0)
    fan = forecaster.path(1500.0)
    assert len(fan.ahead_s) == 24 and fan.ahead_s[0] == 0.0
    assert (fan.low_c <= fan.median_c + 1e-9).all() and (fan.median_c <= fan.high_c + 1e-9).all()
    for i in (8, 16, 23):
        crossing = only(forecaster, float(fan.median_c[i]))
        assert crossing.in_s == pytest.approx(float(fan.ahead_s[i]), rel=0.05)


def test_a_target_at_or_above_the_boiling_point_of_the_bath_is_never_promised() -> None:
    melt = heating_melts(3, 1)[0]
    forecaster = Forecaster(beeswax_family(), typed_room(melt.room_c), 96.0)
    for now_s, temp_c in zip(melt.times_s[:600], melt.readings_c[:600], strict=True):
        forecaster.update(float(now_s), float(temp_c))
    assert forecaster.crossings([96.0, 99.0]) == (None, None)


def test_a_day_of_readings_does_not_make_it_grow() -> None:
    melt = cooling_melts(4, 1, hours=2.0)[0]
    forecaster = Forecaster(beeswax_family(), typed_room(melt.room_c), 100.0)
    sizes = []
    for lap in range(6):
        for now_s, temp_c in zip(melt.times_s[:700], melt.readings_c[:700], strict=True):
            forecaster.update(lap * 7200.0 + float(now_s), float(temp_c))
        sizes.append(_size(vars(forecaster)))
    assert sizes[-1] <= 1.1 * sizes[1]


def _size(things: dict[str, object]) -> int:
    total = 0
    for thing in things.values():
        inner = getattr(thing, "__dict__", None)
        total += _size(inner) if inner else sys.getsizeof(thing)
        total += thing.nbytes if isinstance(thing, np.ndarray) else 0
    return total


@pytest.mark.parametrize("wax", ["beeswax", "soy", "rapeseed", "paraffin", "coconut blend", "my neighbour's"])
def test_every_wax_name_gives_a_family_that_forecasts(wax: str) -> None:
    family = family_for(wax)
    assert family is not None and family.belief.sum() == pytest.approx(1.0)
    forecaster = Forecaster(family, ROOM, 100.0)
    for i in range(60):
        forecaster.update(10.0 * i, round(newton(10.0 * i, 90.0), 1))
    assert only(forecaster, newton(590.0, 90.0) - 2.0).in_s > 0.0


def test_none_is_a_body_without_latent_heat() -> None:
    assert family_for("none") is None


# --- how long a window will last --------------------------------------------------------------------------


@pytest.mark.parametrize(("from_c", "to_c"), [(70.0, 66.0), (64.0, 58.0), (60.0, 50.0)])
def test_a_window_lasts_from_one_crossing_to_the_other(from_c: float, to_c: float) -> None:
    """A body that is well known by now: the difference of the two medians, and the closed form."""
    forecaster = cooled(600.0, sd_k=0.05)
    lasting = forecaster.lasts(from_c, to_c)
    assert lasting is not None
    between_s = only(forecaster, to_c).in_s - only(forecaster, from_c).in_s
    assert lasting.in_s == pytest.approx(between_s, rel=0.03)
    truth_s = 2400.0 * math.log((from_c - 21.0) / (to_c - 21.0))
    assert lasting.low_s < truth_s < lasting.high_s
    assert (lasting.target_c, lasting.made_at_s) == (to_c, 600.0)
    # What the way to the first temperature leaves open is not in it.
    assert half_width_s(lasting) < half_width_s(only(forecaster, to_c))


def test_two_windows_one_after_the_other_last_as_long_as_both_together() -> None:
    forecaster = cooled(600.0)
    upper, lower, both = (forecaster.lasts(*window) for window in ((68.0, 63.0), (63.0, 58.0), (68.0, 58.0)))
    assert upper is not None and lower is not None and both is not None
    assert upper.in_s + lower.in_s == pytest.approx(both.in_s, rel=0.02)


def test_how_long_a_window_lasts_is_said_of_a_melt_that_cools_only() -> None:
    forecaster = Forecaster(beeswax_family(), ROOM, 100.0)
    assert forecaster.lasts(75.0, 70.0) is None
    for i in range(60):
        forecaster.update(5.0 * i, round(66.0 + 0.03 * 5.0 * i, 1))
    assert forecaster.crossings([80.0])[0] is not None
    assert forecaster.lasts(75.0, 70.0) is None
    heated_water = Forecaster(None, ROOM, 100.0)
    for i in range(60):
        heated_water.update(5.0 * i, round(40.0 + 0.05 * 5.0 * i, 1))
    assert heated_water.crossings([70.0])[0] is not None
    assert heated_water.lasts(75.0, 70.0) is None


def test_no_window_lasts_upwards_nowhere_or_to_below_the_room() -> None:
    forecaster = cooled(600.0)
    assert forecaster.lasts(60.0, 60.0) is None
    assert forecaster.lasts(60.0, 65.0) is None
    assert forecaster.lasts(60.0, 15.0) is None


@settings(max_examples=10, deadline=None)
@given(tau=st.floats(1600.0, 4000.0), every=st.sampled_from([2.0, 10.0, 30.0]))
def test_readings_in_fahrenheit_give_the_same_times(tau: float, every: float) -> None:
    """A display of a hundredth of a degree Fahrenheit beside the same readings in Celsius."""
    rng = np.random.default_rng(2)
    celsius, fahrenheit = Forecaster(None, ROOM, 100.0), Forecaster(None, ROOM, 100.0)
    for now_s in np.arange(0.0, 601.0, every):
        reading = newton(float(now_s), tau_s=tau) + float(rng.normal(0.0, 0.1))
        celsius.update(float(now_s), round(reading, 3))
        fahrenheit.update(float(now_s), (round(reading * 1.8 + 32.0, 3) - 32.0) / 1.8)
    for target_c in (60.0, 50.0):
        one, other = only(celsius, target_c), only(fahrenheit, target_c)
        assert other.in_s == pytest.approx(one.in_s, rel=0.01)
        assert (other.low_s, other.high_s) == pytest.approx((one.low_s, one.high_s), rel=0.01)


# --- the filters of a cooling, whatever they are told -----------------------------------------------------


def _least_eigenvalue(bank: Bank) -> float:
    """Of the members' correlations; below zero there is no such spread."""
    spread = np.array(
        [[bank._hh, bank._hr, bank._he], [bank._hr, bank._rr, bank._re], [bank._he, bank._re, bank._ee]]
    ).transpose(2, 0, 1)
    sd = np.sqrt(np.abs(np.einsum("mii->mi", spread)))
    return float(np.linalg.eigvalsh(spread / (sd[:, :, None] * sd[:, None, :])).min())


def test_telling_again_and_again_that_the_heat_was_changed_leaves_a_spread_that_can_be() -> None:
    bank = cooling_bank(beeswax_family(), ROOM)
    bank.start(80.0, 0.2, 0.02)
    for i in range(1, 9):
        for _ in range(8):
            bank.loosen()
        bank.predict(30.0)
        # A coarse display: the reading itself says little.
        bank.correct(80.0 - 0.5 * i, 4.0)
        assert _least_eigenvalue(bank) > -1e-6


def test_a_probe_laid_into_the_freezer_does_not_break_the_filters() -> None:
    """A new level far below the wax is believed in the end; the members stay where their curves reach."""
    bank = cooling_bank(beeswax_family(), ROOM)
    bank.start(80.0, 0.2, 0.02)
    for _ in range(3):
        bank.predict(60.0)
        bank.jump(-45.0, 1.0)
        bank.predict(60.0)
        bank.correct(-18.0, 0.04)
    assert np.isfinite(bank.expected()).all()
