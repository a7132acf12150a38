"""Hobs, vessels, probes, pieces of wax and what happens meanwhile, each against the plain first jug."""

from dataclasses import replace

import pytest
from first_jug import FIRST_JUG, lifted_off_at, moment_above, run_until_above, run_until_below

from candlebench.practice.melt import PracticeMelt
from candlebench.practice.scenario import HOBS, Happening


def test_an_induction_hob_answers_at_once_and_a_plate_in_a_minute() -> None:
    share_after_10_s = {}
    for kind, hob in HOBS.items():
        melt = PracticeMelt(replace(FIRST_JUG, hob=hob))
        melt.step_to(10.0)
        share_after_10_s[kind] = melt.hob_w / (hob.power_w * hob.efficiency)
    assert share_after_10_s["induction"] > 0.99 and share_after_10_s["gas"] > 0.8
    assert share_after_10_s["plate"] < 0.3


def test_a_hob_that_pulses_gives_its_share_on_average() -> None:
    hob = replace(HOBS["induction"], pulses_below=0.5, pulse_s=20.0)
    melt = PracticeMelt(replace(FIRST_JUG, hob=hob))
    melt.set_heat(0.2)
    seen = []
    for second in range(1, 401):
        melt.step_to(second)
        seen.append(melt.hob_w)
    full_w = hob.power_w * hob.efficiency
    assert max(seen) == pytest.approx(0.5 * full_w, rel=0.05)
    assert min(seen) < 0.01 * full_w
    assert melt.ledger.hob_j / 400.0 == pytest.approx(0.2 * full_w, rel=0.05)
    melt.set_heat(0.7)
    melt.step_to(430.0)
    assert melt.hob_w == pytest.approx(0.7 * full_w, rel=0.01)


def test_an_induction_hob_cuts_out_before_a_dry_pan_glows_and_a_flame_does_not() -> None:
    hottest_c = {}
    for kind, hob in HOBS.items():
        dry = replace(FIRST_JUG, hob=hob, bath=replace(FIRST_JUG.bath, water_g=100.0))
        melt = PracticeMelt(dry)
        melt.lift_off()
        melt.step_to(3600.0)
        hottest_c[kind] = melt.bath_c
    assert hottest_c["induction"] < 280.0 < hottest_c["plate"] < 500.0 < 600.0
    assert 280.0 < hottest_c["gas"] < 600.0


def test_a_probe_that_touches_the_wall_shows_too_much_on_the_heat_and_less_off_it() -> None:
    leaning = replace(FIRST_JUG, probe=replace(FIRST_JUG.probe, wall_share=0.5, noise_c=0.0))
    melt = PracticeMelt(leaning, seed=1)
    melt.restore(moment_above(60.0))
    melt.step_to(melt.elapsed_s + 60.0)
    assert melt.probe_c == pytest.approx(0.5 * (melt.wax_c + melt.jug_c), abs=0.5)
    assert melt.probe_c > melt.wax_c + 8.0
    melt.lift_off()
    melt.step_to(melt.elapsed_s + 600.0)
    assert melt.probe_c < melt.wax_c


def test_a_probe_that_dips_in_too_little_shows_some_of_the_room() -> None:
    shallow = replace(FIRST_JUG, probe=replace(FIRST_JUG.probe, air_share=0.1, noise_c=0.0))
    melt = PracticeMelt(shallow, seed=1)
    melt.restore(moment_above(60.0))
    melt.step_to(melt.elapsed_s + 120.0)
    assert melt.wax_c - melt.probe_c == pytest.approx(0.1 * (melt.wax_c - 21.0), abs=0.5)


def test_a_thick_sheath_makes_the_probe_later_still() -> None:
    behind_k = []
    for sheath_lag_s in (0.0, 20.0):
        late = replace(FIRST_JUG, probe=replace(FIRST_JUG.probe, sheath_lag_s=sheath_lag_s, noise_c=0.0))
        melt = PracticeMelt(late, seed=1)
        run_until_above(melt, 76.0)
        behind_k.append(melt.wax_c - melt.probe_c)
    # T25: the lags add up on a ramp, some 4 K/min here.
    assert behind_k[1] - behind_k[0] == pytest.approx(20.0 * 4.0 / 60.0, abs=0.5)


def test_a_probe_lifted_out_falls_slowly_and_comes_back() -> None:
    lifted = Happening(text="The lid is wiped.", at_min=15.0, lasts_min=2.0, probe="lifted out")
    melt = PracticeMelt(replace(FIRST_JUG, happenings=(lifted,)), seed=1)
    melt.step_to(15 * 60.0)
    before_c = melt.probe_c
    melt.step_to(15 * 60.0 + 20.0)
    # In air some 50 s of lag (T22, T23) instead of 8 s: a third of the way after 20 s.
    assert before_c - 20.0 < melt.probe_c < before_c - 8.0
    melt.step_to(17 * 60.0 + 60.0)
    assert melt.probe_c == pytest.approx(melt.wax_c, abs=0.5)


def test_a_happening_turns_the_knob_opens_the_door_and_is_over_in_time() -> None:
    door = Happening(text="Gust.", at_min=2.0, lasts_min=1.0, air_times=3.0, probe="on the wall", knob=0.4)
    melt = PracticeMelt(replace(FIRST_JUG, happenings=(door,)), seed=1)
    melt.step_to(119.0)
    assert melt.happenings == () == melt.begun and melt.heat_fraction == 1.0
    melt.step_to(121.0)
    assert melt.happenings == (door,) and melt.heat_fraction == 0.4
    melt.set_heat(0.9)
    melt.step_to(182.0)
    assert melt.happenings == () and melt.begun == (door,) and melt.heat_fraction == 0.9


def test_going_back_to_before_a_happening_lets_it_happen_again() -> None:
    bell = Happening(text="Bell.", at_min=1.0, lasts_min=1.0)
    melt = PracticeMelt(replace(FIRST_JUG, happenings=(bell,)), seed=1)
    melt.step_to(50.0)
    moment = melt.snapshot()
    melt.step_to(70.0)
    melt.restore(moment)
    assert melt.begun == ()
    melt.step_to(70.0)
    assert melt.begun == (bell,)


def test_moving_air_cools_the_jug_faster() -> None:
    rates = []
    for air_times in (1.0, 2.0):
        windy = replace(FIRST_JUG, room=replace(FIRST_JUG.room, air_times=air_times))
        melt = PracticeMelt(windy, seed=1)
        melt.restore(moment_above(84.0))
        melt.lift_off()
        melt.step_to(melt.elapsed_s + 120.0)
        before_c = melt.wax_c
        melt.step_to(melt.elapsed_s + 60.0)
        rates.append(before_c - melt.wax_c)
    assert rates[1] == pytest.approx(2.0 * rates[0], rel=0.25)


def test_a_bare_bench_takes_heat_through_the_base_and_a_board_does_not() -> None:
    ends = []
    for base_w_per_k in (0.0, 1.0):
        bench = replace(FIRST_JUG, jug=replace(FIRST_JUG.jug, base_w_per_k=base_w_per_k))
        melt = PracticeMelt(bench, seed=1)
        melt.restore(moment_above(84.0))
        melt.lift_off()
        melt.step_to(melt.elapsed_s + 300.0)
        ends.append(melt.wax_c)
    assert ends[1] < ends[0] - 3.0


def test_pieces_in_the_middle_stay_cold_and_melt_last() -> None:
    lumpy = replace(FIRST_JUG, wax=replace(FIRST_JUG.wax, pieces_share=0.4, pieces_w_per_kg_k=4.0))
    melt = PracticeMelt(lumpy, seed=1)
    run_until_above(melt, 66.0)
    assert melt.pieces_c is not None and melt.pieces_c < melt.wax_c - 3.0
    assert 0.4 < melt.liquid_share < 0.9
    melt.step_to(melt.elapsed_s + 1200.0)
    assert melt.liquid_share == 1.0
    assert melt.pieces_c == pytest.approx(melt.wax_c, abs=2.0)


def test_water_below_the_wax_warms_it_less() -> None:
    gains = []
    for water_g in (1200.0, 200.0):
        bath = replace(FIRST_JUG.bath, water_g=water_g, start_c=95.0)
        melt = PracticeMelt(replace(FIRST_JUG, bath=bath, hob=replace(FIRST_JUG.hob, lag_s=2.0)), seed=1)
        melt.step_to(240.0)
        gains.append(melt.jug_c - 21.0)
    assert gains[1] < 0.9 * gains[0]


def test_poured_jars_go_on_cooling_beside_the_empty_jug() -> None:
    melt = lifted_off_at(76.0)
    assert melt.jars is None and melt.truth.jar_c is None
    run_until_below(melt, 70.0)
    melt.pour()
    assert melt.truth.jar_c == pytest.approx(70.0, abs=0.1) and melt.truth.jar_set_share == 0.0
    melt.step_to(melt.elapsed_s + 3600.0)
    truth = melt.truth
    assert truth.jar_c is not None and truth.jar_c < 60.0
    assert truth.jar_set_share is not None and truth.jar_set_share > 0.5
    melt.put_back()
    assert not melt.on_bath
