"""A maker who works by herself brings the melt to its jars, inside the windows."""

from dataclasses import replace

import pytest

from candlebench.core.events import ActionKind
from candlebench.practice.maker import Maker
from candlebench.practice.recipe import maker_for, setup_of
from candlebench.practice.scenario_file import load_scenario
from candlebench.practice.whole_melt import Turn, whole_melt

FIRST_JUG = load_scenario("first-jug")


@pytest.mark.parametrize("seed", [1, 2])
def test_she_does_every_step_in_its_window(seed: int) -> None:
    rows = list(whole_melt(FIRST_JUG, seed))
    done = {row.did: row for row in rows if row.did}
    assert list(done) == ["off the heat", "oil in", "stirred", "poured", "finished"]
    limits = setup_of(FIRST_JUG).limits
    assert limits.warn_c < done["off the heat"].wax_c < limits.strong_c
    assert limits.oil_low_c < done["oil in"].wax_c < limits.oil_high_c
    assert limits.pour_low_c < done["poured"].wax_c < limits.pour_high_c
    assert done["stirred"].elapsed_s - done["oil in"].elapsed_s == 60.0
    assert max(row.wax_c for row in rows) < 86.5
    assert rows[-1] is done["finished"]


def test_the_rows_are_evenly_spaced_and_hold_the_truth_beside_the_reading() -> None:
    rows = list(whole_melt(FIRST_JUG, 1, every_s=5.0))
    assert [row.elapsed_s for row in rows[:4]] == [0.0, 5.0, 10.0, 15.0]
    assert rows[0].bath_c == pytest.approx(21.0) and rows[0].liquid_share == 0.0
    assert max(row.bath_c for row in rows) == pytest.approx(99.97, abs=0.03)
    assert all(abs(row.temp_c - row.wax_c) < 1.5 for row in rows)
    assert any(row.temp_c != row.wax_c for row in rows)


def test_it_ends_by_itself_when_it_never_gets_hot() -> None:
    cold = replace(FIRST_JUG, hob=replace(FIRST_JUG.hob, power_w=50.0))
    rows = list(whole_melt(cold, 1, every_s=10.0, longest_s=1800.0))
    assert len(rows) == 181
    assert not any(row.did for row in rows)


def test_the_knob_is_turned_when_and_where_one_says() -> None:
    turns = [Turn(600.0, 0.2), Turn(300.0, 0.5)]
    rows = list(whole_melt(FIRST_JUG, 1, every_s=60.0, longest_s=900.0, turns=turns))
    assert [row.heat_fraction for row in rows[4:6]] == [1.0, 0.5]
    assert [row.heat_fraction for row in rows[9:11]] == [0.5, 0.2]
    full = list(whole_melt(FIRST_JUG, 1, every_s=60.0, longest_s=900.0))
    assert full[:6] == [replace(row, heat_fraction=1.0) for row in rows[:6]]
    assert rows[-1].bath_c < full[-1].bath_c - 5.0


def test_once_poured_the_rows_show_a_jar_as_well() -> None:
    rows = list(whole_melt(FIRST_JUG, 1, every_s=5.0))
    poured = next(place for place, row in enumerate(rows) if row.did == "poured")
    assert all(row.jar_c is None and row.jar_set_share is None for row in rows[: poured + 1])
    assert rows[poured + 1].jar_c == pytest.approx(rows[poured].wax_c, abs=3.0)
    assert rows[-1].jar_set_share is not None and rows[-1].jar_set_share > 0.05


def test_the_setup_says_what_is_in_the_jug() -> None:
    setup = setup_of(FIRST_JUG)
    assert (setup.wax, setup.wax_g, setup.room_c, setup.source) == (
        "beeswax",
        677.0,
        21.0,
        "practice:first-jug",
    )
    assert setup.oil is not None
    assert (setup.oil.name, setup.oil.mass_g, setup.oil.volume_ml) == ("lavender", 43.0, 49.0)
    assert (setup.limits.oil_low_c, setup.limits.oil_high_c) == (70.0, 75.0)


def test_without_a_safe_window_she_leaves_the_oil_out() -> None:
    assert FIRST_JUG.oil is not None
    # O51: limonene of the lower neat flash, 6 %: 75 degC, so no window is left over 70 degC.
    citrus = replace(FIRST_JUG, oil=replace(FIRST_JUG.oil, name="orange", scented_flash_c=75.0))
    maker = maker_for(citrus)
    assert maker.at(0.0, 84.5) is ActionKind.OFF_HEAT
    assert maker.at(600.0, 72.0) is None
    assert maker.at(900.0, 69.0) is ActionKind.POURED


def test_she_goes_on_from_what_somebody_else_did() -> None:
    limits = setup_of(FIRST_JUG).limits
    maker = Maker(limits, 71.5)
    maker.saw(ActionKind.OFF_HEAT, 100.0)
    maker.saw(ActionKind.NOTE, 110.0)
    assert maker.at(120.0, 84.9) is None
    assert maker.at(800.0, 73.0) is ActionKind.OIL_IN
    maker.saw(ActionKind.ON_HEAT, 810.0)
    assert maker.at(820.0, 84.2) is ActionKind.OFF_HEAT
