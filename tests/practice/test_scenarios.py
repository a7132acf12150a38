"""Every scenario that comes along shows what it says it teaches, in a time that one can play."""

import math
from functools import cache

import pytest

from candlebench.core.events import ActionKind
from candlebench.practice.curves import practice_curve
from candlebench.practice.hands import Hands
from candlebench.practice.melt import PracticeMelt
from candlebench.practice.recipe import setup_of
from candlebench.practice.scenario_file import list_scenarios, load_scenario, scenario_names
from candlebench.practice.whole_melt import PracticeRow, Turn, whole_melt


@cache
def rows(name: str) -> tuple[PracticeRow, ...]:
    return tuple(whole_melt(load_scenario(name), seed=1))


def done(name: str) -> dict[str, PracticeRow]:
    return {row.did: row for row in rows(name) if row.did}


def rate_k_per_min(name: str, did: str, after_s: float = 180.0) -> float:
    """How fast the wax cools, from a while after a step on, over a minute."""
    begin_s = done(name)[did].elapsed_s + after_s
    one, other = (next(row for row in rows(name) if row.elapsed_s >= begin_s + s) for s in (0.0, 60.0))
    return one.wax_c - other.wax_c


def test_there_are_eleven_at_least_and_the_first_is_the_first_jug() -> None:
    found = list_scenarios()
    assert len(found) >= 11
    assert found[0].name == "first-jug"
    assert len({one.title for one in found}) == len({one.order for one in found}) == len(found)


@pytest.mark.parametrize("name", scenario_names())
def test_it_says_what_is_there_and_what_it_teaches(name: str) -> None:
    scenario = load_scenario(name)
    for words in (scenario.brief, scenario.teaches):
        assert 40 <= len(words) <= 330
        assert words.endswith(".")
    assert len(scenario.title) <= 45


@pytest.mark.parametrize("name", scenario_names())
def test_a_maker_by_herself_plays_it_to_its_end_within_the_hour_and_a_half(name: str) -> None:
    assert list(done(name)) == ["off the heat", "oil in", "stirred", "poured", "finished"]
    assert 30 * 60 <= rows(name)[-1].elapsed_s <= 90 * 60
    limits = setup_of(load_scenario(name)).limits
    assert limits.oil_low_c - 0.5 <= done(name)["oil in"].wax_c <= limits.oil_high_c + 0.5
    assert limits.pour_low_c <= done(name)["poured"].wax_c <= limits.pour_high_c


@pytest.mark.parametrize("name", scenario_names())
def test_the_oil_is_the_share_of_the_candle_that_the_file_says(name: str) -> None:
    scenario = load_scenario(name)
    assert scenario.oil is not None and scenario.oil.volume_ml is not None
    assert 0.03 < scenario.oil.mass_g / (scenario.oil.mass_g + scenario.wax.mass_g) < 0.085
    # O1 to O30: essential oils weigh 0.84 to 1.05 g/mL.
    assert 0.83 < scenario.oil.mass_g / scenario.oil.volume_ml < 1.06


def test_without_a_cable_the_display_still_shows_the_melt() -> None:
    scenario = load_scenario("no-cable")
    assert not scenario.cable
    assert all(one.cable for one in list_scenarios() if one.name != "no-cable")


def test_cold_oil_takes_off_twice_as_much_as_usual() -> None:
    chill_k = {
        name: done(name)["oil in"].wax_c - done(name)["stirred"].wax_c for name in ("first-jug", "cold-oil")
    }
    assert chill_k["cold-oil"] > 1.4 * chill_k["first-jug"]
    # Oil in at the bottom of its window lands below the pour window.
    assert 70.0 - chill_k["cold-oil"] < 68.0


def test_in_the_big_pail_pieces_float_while_the_melt_is_in_the_oil_window() -> None:
    assert any(70.0 <= row.temp_c <= 75.0 and row.liquid_share < 0.9 for row in rows("big-pail"))
    assert not any(70.0 <= row.temp_c <= 75.0 and row.liquid_share < 0.99 for row in rows("first-jug"))
    assert done("big-pail")["oil in"].elapsed_s - done("big-pail")["off the heat"].elapsed_s > 20 * 60


def test_in_the_mountains_the_bath_stays_at_93_degrees_and_melting_takes_longer() -> None:
    # heat.md: 93.32 degC at 2000 m.
    assert max(row.bath_c for row in rows("mountain-kitchen")) == pytest.approx(93.32, abs=0.03)
    assert setup_of(load_scenario("mountain-kitchen")).limits.stop_c == pytest.approx(93.32, abs=0.03)
    assert (
        done("mountain-kitchen")["off the heat"].elapsed_s > done("first-jug")["off the heat"].elapsed_s + 240
    )


def test_in_the_draughty_shed_the_melt_falls_twice_as_fast() -> None:
    assert rate_k_per_min("draughty-shed", "off the heat", 60.0) > 1.7 * rate_k_per_min(
        "first-jug", "off the heat", 60.0
    )
    shed = done("draughty-shed")
    assert shed["poured"].elapsed_s - shed["oil in"].elapsed_s < 120.0


def test_turned_low_the_pulsing_hob_makes_the_number_rise_in_steps() -> None:
    melt = PracticeMelt(load_scenario("pulsing-hob"), 1)
    shown, baths, powers = [], [], []
    for second in range(840, 1440):
        melt.step_to(second)
        if second == 840:
            melt.set_heat(0.25)
        if second >= 1140:
            shown.append(melt.probe_c)
            baths.append(melt.bath_c)
            powers.append(melt.hob_w)
    assert min(powers) < 1.0 and max(powers) > 700.0
    assert max(baths) - min(baths) > 3.0
    rises = [later - now for now, later in zip(shown, shown[20:], strict=False)]
    assert max(rises) > 3.0 * max(0.1, min(rises))


def test_while_the_phone_is_answered_nobody_does_a_step_and_the_wax_passes_85() -> None:
    assert max(row.wax_c for row in rows("phone-rings")) > 86.0
    assert max(row.wax_c for row in rows("first-jug")) < 86.0


def test_whoever_turns_the_heat_low_before_the_phone_rings_stays_under_80() -> None:
    low = list(whole_melt(load_scenario("phone-rings"), 1, turns=[Turn(20.0 * 60.0, 0.1)], longest_s=2100.0))
    assert max(row.wax_c for row in low) > 68.5
    assert max(row.wax_c for row in low) < 82.0


def test_the_bath_runs_dry_and_the_wax_left_on_it_passes_the_boiling_point() -> None:
    melt = PracticeMelt(load_scenario("dry-bath"), 1)
    melt.step_to(12 * 60.0)
    assert not melt.truth.bath_dry
    melt.step_to(20 * 60.0)
    assert melt.truth.bath_dry
    melt.step_to(30 * 60.0)
    # 2.5 K over boiling is where the alarm stands.
    assert melt.wax_c > melt.boiling_c + 2.5


def test_a_low_bath_warms_the_jug_more_slowly_than_a_full_one() -> None:
    full, low = PracticeMelt(load_scenario("first-jug"), 1), PracticeMelt(load_scenario("dry-bath"), 1)
    for melt, boiling_s in ((full, 12 * 60.0), (low, 5 * 60.0)):
        melt.step_to(boiling_s)
        assert melt.bath_c == pytest.approx(melt.boiling_c, abs=0.5)
    into_w = []
    curve = practice_curve(full.scenario)
    for melt in (full, low):
        before_j = 677.0 * float(curve.heat_j_per_g(melt.wax_c))
        melt.step_to(melt.elapsed_s + 60.0)
        gained_w = (677.0 * float(curve.heat_j_per_g(melt.wax_c)) - before_j) / 60.0
        into_w.append(gained_w / (melt.bath_c - melt.wax_c))
    assert into_w[1] < 0.85 * into_w[0]


def test_on_the_glass_the_probe_shows_the_oil_window_while_much_is_solid() -> None:
    name = "probe-on-the-glass"
    assert any(row.temp_c > 72.0 and row.liquid_share < 0.4 for row in rows(name))
    off = done(name)["off the heat"]
    assert off.temp_c - off.wax_c > 4.0
    later = next(row for row in rows(name) if row.elapsed_s >= off.elapsed_s + 120.0)
    assert later.temp_c < off.temp_c - 2.0 and later.wax_c > off.wax_c


def test_orange_leaves_a_window_of_two_degrees() -> None:
    limits = setup_of(load_scenario("orange-narrow")).limits
    assert limits.oil_high_c - limits.oil_low_c == pytest.approx(2.0, abs=0.5)


def test_orange_at_four_percent_has_the_flash_point_of_the_mixture_rule() -> None:
    # Rule above O50 (Vidal et al. 2006) with O42, written out here: x p(T) = p(43 degC), wax of 550 g/mol.
    scenario = load_scenario("orange-narrow")
    assert scenario.oil is not None
    # Limonene, C10H16: 136.23 g/mol.
    oil_mol, wax_mol = scenario.oil.mass_g / 136.23, scenario.wax.mass_g / 550.0
    share = oil_mol / (oil_mol + wax_mol)
    flash_k = 1.0 / (1.0 / (43.0 + 273.15) + math.log(share) / 5523.1)
    assert scenario.oil.scented_flash_c == pytest.approx(flash_k - 273.15, abs=0.6)


def test_wax_that_sets_early_lingers_above_the_pour_window_and_thickens_in_it() -> None:
    poured = done("sets-early")["poured"]
    assert poured.liquid_share < 0.96
    assert done("first-jug")["poured"].liquid_share == 1.0
    # Two minutes above the pour window's middle in which an ordinary lot falls by more than two degrees.
    lingering = [row for row in rows("sets-early") if row.did == "" and 69.5 < row.wax_c < 71.2]
    assert lingering[-1].elapsed_s - lingering[0].elapsed_s > 300.0


def test_the_same_seed_gives_the_same_melt_and_another_seed_another() -> None:
    scenario = load_scenario("draughty-shed")
    one, again, other = (tuple(whole_melt(scenario, seed, every_s=5.0)) for seed in (4, 4, 5))
    assert one == again != other


def test_a_step_pressed_while_away_is_done_all_the_same() -> None:
    melt = PracticeMelt(load_scenario("phone-rings"), 1)
    while not melt.happenings:
        melt.step_to(melt.elapsed_s + 1.0)
    assert melt.happenings[0].away
    Hands(melt).do(ActionKind.OFF_HEAT)
    assert not melt.on_bath
    melt.step_to(melt.elapsed_s + 361.0)
    assert not melt.happenings and len(melt.begun) == 1
