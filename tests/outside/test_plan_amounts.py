"""Doses, volumes, densities, shrinkage and burn rate against the worked examples of the reference tables.

"Published" answers were printed by others; "computed" ones follow from the named arithmetic: they guard the
code and do not prove the model (codes R, S, M, C in DEVELOPERS.md).
"""

import pytest

from candlebench.core.materials.figure import Figure
from candlebench.core.materials.handling import load_handling
from candlebench.core.materials.jar import JarShape
from candlebench.core.materials.oil import find_oil
from candlebench.core.materials.wax import load_waxes
from candlebench.core.materials.wick import burn_rate_g_per_h, load_wicks
from candlebench.core.plan.amounts import dose, volume_ml
from candlebench.core.plan.faults import share_of_whole
from candlebench.core.plan.planning import make_plan
from candlebench.core.plan.request import Basis, PlanRequest
from candlebench.core.plan.tables import load_tables

TABLES = load_tables()
BEESWAX = load_waxes()["beeswax"]
JAR = JarShape(75.0, 75.0, 80.0)


def test_a_burn_of_forty_hours_gives_the_published_rate() -> None:
    # E9: 540 g to 350 g in 40 h is 4.75 g/h; published, common practice, no source.
    assert burn_rate_g_per_h(540.0, 350.0, 40.0) == 4.75


@pytest.mark.parametrize(
    ("basis", "wax_g", "oil_g"), [(Basis.WHOLE, 276.0, 24.0), (Basis.WAX, 277.78, 22.22)]
)
def test_a_fill_of_300_g_at_eight_percent(basis: Basis, wax_g: float, oil_g: float) -> None:
    # E18, rows O79 and O80: plain arithmetic, C.
    assert dose(300.0, share_of_whole(8.0, basis)) == pytest.approx((wax_g, oil_g), abs=0.005)


def test_eight_percent_of_the_wax_is_less_of_the_whole() -> None:
    # O81: 7.41 %.
    assert 100.0 * share_of_whole(8.0, Basis.WAX) == pytest.approx(7.41, abs=0.005)


@pytest.mark.parametrize(("g_per_ml", "ml"), [(0.883, 20.39), (0.845, 21.30), (1.049, 17.16), (0.902, 19.96)])
def test_eighteen_grams_of_oil_by_volume(g_per_ml: float, ml: float) -> None:
    # E19: lavender, orange, clove, peppermint; C.
    assert volume_ml(18.0, g_per_ml) == pytest.approx(ml, abs=0.01)


@pytest.mark.parametrize(
    ("oil", "ml"), [("lavender", 20.4), ("orange", 21.3), ("clove", 17.2), ("peppermint", 20.0)]
)
def test_eighteen_grams_of_the_tables_oils(oil: str, ml: float) -> None:
    # O82: with the default densities of oils.md.
    assert volume_ml(18.0, find_oil(oil).density_g_per_ml()) == pytest.approx(ml, abs=0.05)


def test_a_jar_of_75_by_80_mm() -> None:
    # E23: 353.43 mL; 293.3 g at 0.83 g/mL; 296.9 g on the density line at 70 degC; C.
    ml = JAR.volume_ml(80.0)
    assert ml == pytest.approx(353.43, abs=0.005)
    assert 0.83 * ml == pytest.approx(293.3, abs=0.1)
    assert BEESWAX.liquid_g_per_ml(70.0) * ml == pytest.approx(296.9, abs=0.1)


@pytest.mark.parametrize(("pour_c", "grams"), [(70.0, 297.0), (75.0, 296.0)])
def test_a_plan_for_that_jar_takes_as_much(pour_c: float, grams: float) -> None:
    # B7: 297 g poured at 70 degC, 296 g at 75 degC; a thin wick takes a fifth of a gram.
    plan = make_plan(PlanRequest(75.0, 80.0, pour_c=pour_c, wick_mm=0.5), TABLES)
    assert plan.wax.each_g.value == pytest.approx(grams, abs=0.5)


def packings() -> tuple[Figure, Figure]:
    handling = load_handling()
    return handling.packing_loose, handling.packing_tapped


def test_pellets_weigh_as_their_packing_says() -> None:
    # B5: 0.53 to 0.61 g/mL.
    plan = make_plan(PlanRequest(75.0, 80.0), TABLES)
    pellets = plan.wax.pellets_ml
    assert pellets is not None and pellets.low is not None and pellets.high is not None
    assert plan.wax.weigh_g.value / pellets.high == pytest.approx(0.53, abs=0.005)
    assert plan.wax.weigh_g.value / pellets.low == pytest.approx(0.61, abs=0.005)


def test_a_pot_full_of_pellets_melts_to_about_two_thirds() -> None:
    # B6: 0.63 to 0.73 of its volume as liquid at 75 degC. So one and a half jarfuls, not two, fill a jar.
    loose, tapped = packings()
    solid = BEESWAX.solid_g_per_ml()
    assert solid is not None
    liquid = BEESWAX.liquid_g_per_ml(75.0)
    assert loose.value * solid / liquid == pytest.approx(0.63, abs=0.005)
    assert tapped.value * solid / liquid == pytest.approx(0.73, abs=0.005)
    plan = make_plan(PlanRequest(75.0, 80.0, pour_c=75.0, jug_left_g=0.0, spoon_left_g=0.0), TABLES)
    fills = plan.wax.pellet_fills
    assert fills is not None and fills.low is not None and fills.high is not None
    assert (fills.low, fills.high) == pytest.approx((1.0 / 0.734, 1.0 / 0.631), rel=0.005)


def test_beeswax_shrinks_by_an_eighth() -> None:
    # W20, H42: 12.8 % by volume from 75 degC; 12.7 to 13.7 % over the solid's 0.958 to 0.970; C.
    assert BEESWAX.shrinkage(75.0) == pytest.approx(0.128, abs=0.0005)
    solid = BEESWAX.figures["solid_kg_per_m3"]
    liquid = 1000.0 * BEESWAX.liquid_g_per_ml(75.0)
    assert solid.low is not None and solid.high is not None
    assert (1.0 - liquid / solid.low, 1.0 - liquid / solid.high) == pytest.approx((0.127, 0.137), abs=0.0006)


def test_the_level_sinks_and_the_top_up_is_what_shrinkage_took() -> None:
    # B8: about 13 % by volume for a flush solid. A straight jar sinks from 80 mm by 12.8 %.
    wax = make_plan(PlanRequest(75.0, 80.0, pour_c=75.0), TABLES).wax
    assert wax.set_level_mm is not None and wax.top_up_g is not None
    assert wax.set_level_mm.value == pytest.approx(80.0 * (1.0 - 0.128), abs=0.05)
    assert wax.top_up_g.value == pytest.approx(0.13 * 296.0, rel=0.02)


def test_paraffin_shrinks_as_its_row_says() -> None:
    # W51: 10 to 15 %, from memory; 13.6 % computed from 880 and 760 kg/m3.
    assert load_waxes()["paraffin"].shrinkage(72.0) == pytest.approx(0.136, abs=0.002)


@pytest.mark.parametrize(("rate", "flame_mm", "pool_mm"), [(1.7, 12.0, 40.0), (6.2, 39.0, 52.0)])
def test_the_laws_of_flame_and_pool_give_the_ends_of_the_chart(
    rate: float, flame_mm: float, pool_mm: float
) -> None:
    # B17, B18: regression on a size chart; printed to the millimetre.
    wicks = load_wicks()
    assert wicks.flame_law.at(rate) == pytest.approx(flame_mm, abs=0.6)
    assert wicks.pool_law.at(rate) == pytest.approx(pool_mm, abs=0.6)
    assert wicks.pool_law.g_per_h(wicks.pool_law.at(rate)) == pytest.approx(rate)


def test_a_tenth_more_pool_takes_half_as_much_again_and_more() -> None:
    # B19: 1.1^(1/0.21), about 57 % more consumption.
    law = load_wicks().pool_law
    assert law.g_per_h(1.1 * 45.0) / law.g_per_h(45.0) == pytest.approx(1.57, abs=0.01)


def test_heating_the_melt_takes_what_the_worked_rows_say() -> None:
    # E21: 0.5 kg of beeswax, 20 to 75 degC, 141.4 kJ +- 0.3. Twice the wax adds just that to the hob's part.
    from candlebench.core.plan.cost_part import energy_kwh

    request = PlanRequest(75.0, 80.0)
    more, less = (energy_kwh(request, TABLES, grams, 75.0).value for grams in (1000.0, 500.0))
    assert (more - less) * 3600.0 * 0.74 == pytest.approx(141.4, abs=0.3)


def test_heating_the_bath_takes_what_the_worked_rows_say() -> None:
    # E22: a litre (998 g) from 20 to 95 degC takes 313.5 kJ +- 0.5 % (CoolProp 8.0.0).
    from candlebench.core.plan.cost_part import WATER_J_PER_G_K

    coolprop = pytest.importorskip("CoolProp.CoolProp", reason="CoolProp has no wheel for this Python")
    kj = 998.0 * WATER_J_PER_G_K * 75.0 / 1000.0
    assert kj == pytest.approx(313.5, rel=0.005)
    heat = [coolprop.PropsSI("H", "T", 273.15 + temp_c, "P", 101325.0, "Water") for temp_c in (20.0, 95.0)]
    assert kj == pytest.approx(0.998 * (heat[1] - heat[0]) / 1000.0, rel=0.005)
