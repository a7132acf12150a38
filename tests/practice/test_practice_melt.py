"""The practice melt behaves like a jug on a water bath."""

import time
from dataclasses import replace

import pytest
from first_jug import FIRST_JUG, heated_to, lifted_off_at, run_until_above, run_until_below

from candlebench.practice.melt import PracticeMelt
from candlebench.practice.scenario import Charge, Jug, Room, Scenario


def test_left_alone_it_melts_in_about_twenty_minutes_and_then_overheats() -> None:
    melt = PracticeMelt(FIRST_JUG, seed=1)
    assert melt.wax_c == pytest.approx(21.0)
    melted_s = run_until_above(melt, 68.0)
    assert 20 * 60 <= melted_s <= 25 * 60
    assert melt.liquid_share == 1.0
    assert run_until_above(melt, 80.0) - melted_s < 5 * 60
    assert run_until_above(melt, 85.0) - melted_s < 8 * 60


def test_it_lingers_while_it_melts_and_then_races() -> None:
    melt = PracticeMelt(FIRST_JUG, seed=1)
    times = {temp: run_until_above(melt, temp) for temp in (50.0, 58.0, 66.0, 70.0, 78.0)}
    melting_k_per_s = 8.0 / (times[66.0] - times[58.0])
    assert 8.0 / (times[58.0] - times[50.0]) > 2.0 * melting_k_per_s
    assert 8.0 / (times[78.0] - times[70.0]) > 4.0 * melting_k_per_s


def test_off_the_heat_it_cools_about_a_degree_a_minute() -> None:
    melt = lifted_off_at(84.0)
    at_80_s, at_75_s = run_until_below(melt, 80.0), run_until_below(melt, 75.0)
    assert 0.8 <= 5.0 / ((at_75_s - at_80_s) / 60.0) <= 1.2


def test_the_hot_wall_lets_it_rise_a_little_further_when_it_is_lifted_off() -> None:
    melt = lifted_off_at(84.0)
    highest_c = 0.0
    for _ in range(60):
        melt.step_to(melt.elapsed_s + 1.0)
        highest_c = max(highest_c, melt.wax_c)
    assert 84.05 < highest_c < 85.5


def test_cold_oil_takes_off_two_to_three_degrees_and_stirring_makes_it_quick() -> None:
    stirred, left, plain = (lifted_off_at(84.0) for _ in range(3))
    for melt in (stirred, left, plain):
        run_until_below(melt, 73.5)
    for melt in (stirred, left):
        melt.add_oil(43.0)
    stirred.stir()
    for melt in (stirred, left, plain):
        melt.step_to(melt.elapsed_s + 30.0)
    chill_k = plain.wax_c - stirred.wax_c
    assert 2.0 <= chill_k <= 3.0
    assert left.wax_c > stirred.wax_c + 0.5


def test_the_bath_boils_at_the_local_boiling_point_and_no_higher() -> None:
    high = replace(FIRST_JUG, room=Room(temp_c=21.0, altitude_m=2000.0))
    melt = PracticeMelt(high, seed=1)
    highest_c = 0.0
    for minute in range(1, 46):
        melt.step_to(minute * 60.0)
        highest_c = max(highest_c, melt.bath_c)
    # heat.md: 93.32 degC at 2000 m.
    assert highest_c == pytest.approx(93.32, abs=0.03)
    assert melt.wax_c < highest_c


def test_a_bath_boiled_dry_lets_the_wax_pass_the_boiling_point() -> None:
    melt = PracticeMelt(FIRST_JUG, seed=1)
    melt.step_to(40 * 60.0)
    assert 100.0 < melt.water_g < 900.0
    assert melt.wax_c < melt.boiling_c
    melt.step_to(75 * 60.0)
    assert melt.water_g >= 0.0
    assert melt.bath_c > 120.0
    assert melt.wax_c > melt.boiling_c + 3.0
    assert abs(melt.ledger.gap_j) < 1.0


def test_turned_down_it_stays_far_cooler_than_left_alone() -> None:
    down, alone = heated_to(74.0), heated_to(74.0)
    down.set_heat(FIRST_JUG.hob.low_fraction)
    for melt in (down, alone):
        melt.step_to(melt.elapsed_s + 20 * 60.0)
    assert down.bath_c < alone.bath_c - 5.0
    assert down.wax_c < alone.wax_c - 3.0


def test_with_the_heat_off_everything_ends_at_room_temperature() -> None:
    melt = PracticeMelt(FIRST_JUG, seed=1, step_s=5.0)
    melt.step_to(600.0)
    melt.set_heat(0.0)
    melt.step_to(24 * 3600.0)
    # The bath stays a little below the room, as evaporation cools it.
    assert 15.0 < melt.bath_c < 21.0
    assert melt.wax_c == pytest.approx(21.0, abs=4.0)


def test_put_back_on_the_bath_it_warms_again() -> None:
    melt = lifted_off_at(84.0)
    run_until_below(melt, 66.0)
    melt.put_back()
    run_until_above(melt, 75.0)


def test_after_pouring_the_film_left_in_the_jug_cools_fast() -> None:
    melt, kept = lifted_off_at(76.0), lifted_off_at(76.0)
    for one in (melt, kept):
        run_until_below(one, 70.0)
    melt.pour()
    assert melt.wax_c == pytest.approx(kept.wax_c, abs=0.01)
    melt.pour()
    for one in (melt, kept):
        one.step_to(one.elapsed_s + 300.0)
    assert melt.wax_c < kept.wax_c - 5.0


def test_a_lot_that_melts_higher_takes_longer_to_reach_its_knee() -> None:
    usual, higher = (
        PracticeMelt(replace(FIRST_JUG, wax=replace(FIRST_JUG.wax, knee_shift_k=shift)), seed=1)
        for shift in (0.0, 2.0)
    )
    for melt in (usual, higher):
        melt.step_to(18 * 60.0)
    assert 0.1 < higher.liquid_share < usual.liquid_share < 1.0
    assert higher.wax_c > usual.wax_c + 0.5


def test_the_same_seed_gives_the_same_melt_however_often_one_looks() -> None:
    one, other = PracticeMelt(FIRST_JUG, seed=7), PracticeMelt(FIRST_JUG, seed=7)
    for second in range(0, 1201):
        one.step_to(second)
        if second % 3 == 0:
            assert one.probe_c == one.probe_c
    other.step_to(1200.0)
    assert (one.probe_c, one.wax_c, one.bath_c) == (other.probe_c, other.wax_c, other.bath_c)


def test_another_seed_gives_other_noise_and_another_draught() -> None:
    one, other = lifted_off_at(84.0), PracticeMelt(FIRST_JUG, seed=2)
    run_until_above(other, 84.0)
    other.lift_off()
    for melt in (one, other):
        melt.step_to(2000.0)
    assert one.wax_c != other.wax_c
    assert one.wax_c == pytest.approx(other.wax_c, abs=1.0)


def test_the_probe_lags_behind_the_wax_and_shows_tenths() -> None:
    melt = heated_to(74.0)
    behind_k = []
    for _ in range(60):
        melt.step_to(melt.elapsed_s + 1.0)
        behind_k.append(melt.wax_c - melt.probe_c)
        assert melt.probe_c == round(melt.probe_c, 1)
    # T25: rate times lag, 4 K/min and 8 s.
    assert sum(behind_k) / len(behind_k) == pytest.approx(0.5, abs=0.15)


def test_going_back_to_a_moment_gives_the_same_future() -> None:
    melt = PracticeMelt(FIRST_JUG, seed=3)
    melt.step_to(1500.0)
    moment = melt.snapshot()
    melt.step_to(1600.0)
    expected = (melt.probe_c, melt.wax_c)
    melt.restore(moment)
    melt.lift_off()
    melt.add_oil(43.0)
    melt.step_to(1600.0)
    assert (melt.probe_c, melt.wax_c) != expected
    melt.restore(moment)
    assert melt.elapsed_s == 1500.0 and melt.on_bath and melt.oil_g == 0.0
    melt.step_to(1600.0)
    assert (melt.probe_c, melt.wax_c) == expected


def test_a_time_that_has_passed_changes_nothing() -> None:
    melt = PracticeMelt(FIRST_JUG, seed=1)
    melt.step_to(100.0)
    before_c = melt.wax_c
    melt.step_to(50.0)
    assert (melt.elapsed_s, melt.wax_c) == (100.0, before_c)


def test_finer_steps_give_the_same_melt() -> None:
    calm = replace(FIRST_JUG, jug=replace(Jug(), draught=0.0))
    coarse, fine = PracticeMelt(calm), PracticeMelt(calm, step_s=0.1)
    for melt in (coarse, fine):
        melt.step_to(900.0)
    assert coarse.wax_c == pytest.approx(fine.wax_c, abs=0.01)
    assert coarse.bath_c == pytest.approx(fine.bath_c, abs=0.01)


def test_every_wax_can_be_practised() -> None:
    for name, end_of_melting_c in (("soy-container", 54.0), ("rapeseed", 56.0), ("paraffin", 68.0)):
        scenario = Scenario(name="one", title="one", wax=Charge(mass_g=400.0, name=name))
        melt = PracticeMelt(scenario)
        run_until_above(melt, end_of_melting_c - 0.5)
        assert melt.liquid_share < 1.0
        run_until_above(melt, end_of_melting_c + 0.5)
        assert melt.liquid_share == 1.0


def test_heat_and_oil_outside_their_bounds_are_bugs() -> None:
    melt = PracticeMelt(FIRST_JUG)
    with pytest.raises(ValueError, match="fraction"):
        melt.set_heat(1.5)
    with pytest.raises(ValueError, match="mass"):
        melt.add_oil(0.0)


def test_a_whole_melt_takes_a_moment() -> None:
    melt = PracticeMelt(FIRST_JUG, seed=1)
    began_s = time.process_time()
    melt.step_to(1000.0)
    # 2000 times real time is asked for; the machine that this was written on does about 8000.
    assert time.process_time() - began_s < 0.5
