"""Doses on the step of a scale, leftovers, blends."""

import pytest
from workbench import SCENTED, SIX, TABLES, blend, caution, codes_of, fields_of, planned

from candlebench.core.materials.oil import find_oil
from candlebench.core.plan.amounts import on_step, step_digits
from candlebench.core.plan.request import Leftover, OilPart
from candlebench.core.state import Level

LAVENDER = find_oil("lavender")
CLOVE = find_oil("clove")


@pytest.mark.parametrize(
    ("mass_g", "step_g", "weighed_g"),
    [(42.04, 0.1, 42.0), (42.06, 0.1, 42.1), (42.4, 1.0, 42.0), (42.4, 0.5, 42.5), (42.4, 5.0, 40.0)],
)
def test_a_mass_goes_to_the_nearest_step(mass_g: float, step_g: float, weighed_g: float) -> None:
    assert on_step(mass_g, step_g) == weighed_g


@pytest.mark.parametrize(("step_g", "digits"), [(1.0, 0), (5.0, 0), (0.1, 1), (0.5, 1), (0.01, 2)])
def test_a_scale_shows_as_many_digits_as_its_step(step_g: float, digits: int) -> None:
    assert step_digits(step_g) == digits


def test_rounding_never_lifts_the_oil_above_the_waxs_limit() -> None:
    for count in range(1, 30):
        plan = planned(SCENTED, count=count, oil_step_g=1.0)
        assert plan.oil is not None
        assert plan.oil.weigh_g.value <= 0.06 * plan.wax.batch_g.value
        assert plan.oil.weigh_g.value == round(plan.oil.weigh_g.value)


def test_the_error_of_the_step_is_told_and_a_coarse_scale_is_cautioned() -> None:
    plan = planned(SCENTED, count=1, load_pct=0.5, oil_step_g=1.0)
    assert plan.oil is not None
    asked_g = 0.005 * plan.wax.batch_g.value
    (line,) = plan.oil.lines
    assert line.weigh_g.value == 2.0 and line.error_pct == pytest.approx(100.0 * (2.0 / asked_g - 1.0))
    assert "coarse_scale" in codes_of(plan)
    assert "coarse_scale" not in codes_of(planned(SCENTED, count=1, load_pct=0.5, oil_step_g=0.01))


def test_a_blend_is_weighed_by_its_parts() -> None:
    parts = (OilPart(LAVENDER, 70.0), OilPart(CLOVE, 30.0))
    plan = planned(oils=parts, load_pct=5.0, oil_step_g=0.001)
    assert plan.oil is not None
    lavender, clove = plan.oil.lines
    assert lavender.weigh_g.value == pytest.approx(0.7 * plan.oil.weigh_g.value, abs=0.002)
    assert (lavender.blend_pct, clove.blend_pct) == pytest.approx((70.0, 30.0))
    same = planned(oils=(OilPart(LAVENDER, 7.0), OilPart(CLOVE, 3.0)), load_pct=5.0, oil_step_g=0.001)
    assert same.oil is not None and same.oil.lines[1].weigh_g.value == clove.weigh_g.value


def test_an_oil_named_twice_is_weighed_once() -> None:
    plan = planned(oils=(OilPart(LAVENDER), OilPart(CLOVE), OilPart(LAVENDER)), load_pct=3.0)
    assert plan.oil is not None
    assert [(line.oil.name, round(line.blend_pct, 1)) for line in plan.oil.lines] == [
        ("lavender", 66.7),
        ("clove", 33.3),
    ]


def test_leftovers_take_their_wax_and_oil_off_what_is_weighed() -> None:
    leftover = Leftover("blue jug", (("beeswax", 190.0),), ((LAVENDER, 10.0),))
    fresh, mixed = planned(SCENTED), planned(SCENTED, leftovers=(leftover,))
    assert fresh.oil is not None and mixed.oil is not None
    assert mixed.wax.weigh_g.value == pytest.approx(fresh.wax.weigh_g.value - 190.0, abs=1.0)
    assert mixed.oil.weigh_g.value == pytest.approx(fresh.oil.weigh_g.value - 10.0, abs=0.11)
    assert mixed.oil.of_whole_pct.value == pytest.approx(6.0, abs=0.01)
    assert mixed.oil.lines[0].carried_g == 10.0
    assert "mixed_wax" not in codes_of(mixed) and "mixed_scent" not in codes_of(mixed)


def test_oil_in_the_leftovers_is_not_counted_twice_in_the_volume() -> None:
    # Clove is a fifth denser than wax: what is weighed and carried fills just the volume that is poured.
    leftover = Leftover("clove", (("beeswax", 190.0),), ((CLOVE, 50.0),))
    plan = planned(oils=blend("clove"), load_pct=6.0, leftovers=(leftover,), oil_step_g=0.001)
    wax_ml = plan.amounts.all_wax_g / plan.wax.wax.liquid_g_per_ml(plan.pour_c)
    oil_ml = plan.amounts.oil_g / CLOVE.density_g_per_ml(plan.pour_c)
    assert wax_ml + oil_ml == pytest.approx(plan.amounts.batch_g / plan.amounts.g_per_ml, rel=1e-6)


def test_leftovers_with_enough_oil_need_no_more() -> None:
    leftover = Leftover("strong", (("beeswax", 900.0),), ((LAVENDER, 60.0),))
    plan = planned(SCENTED, load_pct=2.0, leftovers=(leftover,))
    assert plan.oil is not None and plan.oil.weigh_g.value == 0.0
    assert plan.oil.of_whole_pct.value == pytest.approx(100.0 * 60.0 / plan.wax.batch_g.value, abs=0.01)
    assert "leftover_oil" in codes_of(plan)


def test_another_scent_and_another_wax_in_the_leftovers_are_told() -> None:
    leftover = Leftover("odd", (("soy-container", 95.0),), ((CLOVE, 5.0),))
    plan = planned(SCENTED, leftovers=(leftover,))
    assert caution(plan, "mixed_wax").level is Level.WARNING
    assert "clove" in caution(plan, "mixed_scent").text
    assert plan.oil is not None
    # Clove's eugenol, up to 85 % of 5 g, counts for the label.
    eugenol = next(each for each in plan.oil.findings if each.compound.name == "eugenol")
    assert eugenol.pct == pytest.approx(85.0 * 5.0 / plan.wax.batch_g.value, rel=1e-3)


def test_scented_leftovers_scent_a_plain_batch() -> None:
    plan = planned(SIX, leftovers=(Leftover("old", (("beeswax", 188.0),), ((LAVENDER, 12.0),)),))
    assert plan.oil is not None and plan.melt_oil is not None
    assert plan.melt_oil.mass_g == 0.0
    assert plan.oil.flash_c is not None and plan.oil.flash_c.value < TABLES.waxes["beeswax"].flash_c  # type: ignore[operator]


def test_more_leftovers_than_the_batch_takes_are_refused() -> None:
    assert fields_of(leftovers=(Leftover("all of it", (("beeswax", 5000.0),)),)) == ["leftovers"]


def test_leftovers_that_bring_too_much_oil_are_refused() -> None:
    strong = Leftover("strong", (("soy-container", 800.0),), ((LAVENDER, 200.0),))
    assert fields_of(leftovers=(strong,)) == ["leftovers"]


def test_part_of_a_leftover_keeps_its_proportions() -> None:
    half = Leftover("jug", (("beeswax", 90.0), ("paraffin", 4.0)), ((LAVENDER, 6.0),)).part(50.0)
    assert half.waxes == (("beeswax", 45.0), ("paraffin", 2.0)) and half.oils == ((LAVENDER, 3.0),)
    assert half.mass_g == 50.0


def test_her_own_densities_go_before_the_tables() -> None:
    own = planned(liquid_g_per_ml=0.80)
    assert own.amounts.g_per_ml == pytest.approx(0.80)
    assert planned(pellets_g_per_ml=0.58).wax.pellets_ml is not None
    pellets = planned(pellets_g_per_ml=0.58).wax
    assert pellets.pellets_ml is not None
    assert pellets.pellets_ml.value == pytest.approx(pellets.weigh_g.value / 0.58)


def test_what_stays_behind_is_weighed_too() -> None:
    plan = planned(jug_left_g=20.0, spoon_left_g=5.0)
    assert plan.wax.left_g.value == 25.0
    assert plan.amounts.batch_g == pytest.approx(6 * plan.amounts.each_g + 25.0)


def test_a_thick_wick_takes_its_room() -> None:
    thin, thick = planned(wick_mm=2.0), planned(wick_mm=6.0)
    # pi/4 (6² - 2²) mm² x 80 mm = 2.01 mL.
    assert thin.amounts.each_ml - thick.amounts.each_ml == pytest.approx(2.01, abs=0.01)


def test_pellets_are_not_told_where_no_density_is_known() -> None:
    wax = planned(wax="rapeseed").wax
    assert (wax.pellets_ml, wax.pellet_fills, wax.doubled_g, wax.set_level_mm, wax.top_up_g) == (None,) * 5
    typed = planned(wax="rapeseed", pellets_g_per_ml=0.55, shrinkage_pct=10.0).wax
    assert typed.pellets_ml is not None and typed.set_level_mm is not None
    assert typed.set_level_mm.value == pytest.approx(72.0, abs=0.05)


def test_the_doubling_rule_is_right_when_two_jarfuls_weigh_what_one_jar_takes() -> None:
    # 0.42 g/mL of pellets twice is 0.84 g/mL of wax.
    doubled = planned(pellets_g_per_ml=0.42, jug_left_g=0.0, spoon_left_g=0.0).wax
    assert doubled.doubled_g is not None and "about right" in doubled.doubled_g.why
    assert doubled.doubled_g.value == pytest.approx(doubled.weigh_g.value, rel=0.005)
    too_little = planned(pellets_g_per_ml=0.35).wax.doubled_g
    assert too_little is not None and "too little" in too_little.why


def test_a_blend_of_nothing_is_a_plain_candle() -> None:
    assert planned(oils=blend("lavender"), load_pct=0.0).oil is None
