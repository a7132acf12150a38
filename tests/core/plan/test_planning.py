"""A plan as a whole: reasons, faults, and what goes along to the melt."""

import dataclasses
import math
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from workbench import SCENTED, SIX, TABLES, blend, faults_of, fields_of, planned

from candlebench.core.errors import FixableError
from candlebench.core.materials.wax import oil_window_open
from candlebench.core.plan.planning import make_plan
from candlebench.core.plan.reasoned import Caution, Check, ImpossiblePlan, Reasoned
from candlebench.core.plan.request import Basis, OilPart, Prices
from candlebench.core.plan.to_melt import melt_setup, plan_title
from candlebench.core.setup import Limits
from candlebench.core.units import Shown


def results_in(thing: Any) -> Iterator[Any]:
    """Every result, check and caution in a plan, however deep."""
    if isinstance(thing, Reasoned | Check | Caution):
        yield thing
    elif isinstance(thing, tuple):
        for each in thing:
            yield from results_in(each)
    elif dataclasses.is_dataclass(thing) and not isinstance(thing, type):
        for field in dataclasses.fields(thing):
            if field.name not in ("request", "wax") or not hasattr(thing, "limits"):
                yield from results_in(getattr(thing, field.name))


def test_every_result_says_why_and_where_it_comes_from() -> None:
    plan = planned(
        SCENTED,
        prices=Prices("EUR", 22.0, (("lavender", 0.35),), 0.12, 0.95, 0.2, 0.35, 15.0, 60.0, "gas", 40.0),
    )
    found = [*results_in(plan), *results_in(plan.wax)]
    assert len(found) > 30
    for result in found:
        assert result.why.strip().endswith((".", ")")) or isinstance(result, Check | Reasoned)
        assert result.why.strip() and result.source.strip(), result
        assert "{" not in result.why + result.source


@given(
    st.floats(30.0, 150.0),
    st.floats(20.0, 150.0),
    st.integers(1, 40),
    st.floats(0.1, 6.0),
    st.sampled_from(list(TABLES.waxes)),
    st.sampled_from([name for name in TABLES.oils if name != "palmarosa"]),
    st.sampled_from(list(Basis)),
)
@settings(max_examples=60, deadline=None)
def test_wax_and_oil_are_the_batch_and_the_oil_is_its_share(
    diameter_mm: float, fill_mm: float, count: int, load_pct: float, wax: str, oil: str, basis: Basis
) -> None:
    plan = planned(
        diameter_mm=diameter_mm,
        fill_mm=fill_mm,
        height_mm=None,
        count=count,
        wax=wax,
        oils=blend(oil),
        load_pct=load_pct,
        basis=basis,
        wax_step_g=0.001,
        oil_step_g=0.001,
    )
    assert plan.oil is not None
    weighed_g = plan.wax.weigh_g.value + plan.oil.weigh_g.value
    assert weighed_g == pytest.approx(plan.wax.batch_g.value, abs=0.01)
    share = plan.oil.of_whole_pct if basis is Basis.WHOLE else plan.oil.of_wax_pct
    assert share.value == pytest.approx(load_pct, abs=0.02)
    assert plan.wax.batch_g.value == pytest.approx(
        count * plan.wax.each_g.value + plan.wax.left_g.value, rel=1e-9
    )
    # What is weighed fills the jars: wax and oil at their own densities make the volume that is poured.
    ml = plan.amounts.wax_g / plan.wax.wax.liquid_g_per_ml(plan.pour_c)
    ml += plan.oil.weigh_g.value / TABLES.oils[oil].density_g_per_ml(plan.pour_c)
    poured_ml = plan.wax.batch_g.value / plan.amounts.g_per_ml
    assert ml == pytest.approx(poured_ml, rel=1e-4)


def test_the_pour_is_planned_for_the_middle_of_its_window() -> None:
    assert planned().pour_c == 69.5
    assert planned(pour_c=71.0).pour_c == 71.0


def test_a_hotter_pour_takes_less_wax() -> None:
    assert planned(pour_c=75.0).amounts.each_g < planned(pour_c=69.0).amounts.each_g


def test_all_faults_are_found_at_once_each_at_its_field() -> None:
    fields = fields_of(diameter_mm=-3.0, fill_mm=math.nan, count=0, wax="tallow wax", jar_kind="paper")
    assert fields == ["diameter_mm", "fill_mm", "count", "jar_kind", "wax"]


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"fill_mm": None}, "fill_mm"),
        ({"fill_mm": 95.0}, "fill_mm"),
        ({"water_brim_g": 400.0, "height_mm": None}, "height_mm"),
        ({"water_fill_g": 400.0, "water_brim_g": 350.0}, "water_fill_g"),
        ({"fill_mm": None, "water_fill_g": 500.0}, "water_fill_g"),
        ({"oils": (), "load_pct": 3.0}, "oils"),
        ({"oils": (OilPart(TABLES.oils["clove"], 0.0),), "load_pct": 3.0}, "oils[0]"),
        ({"oils": blend("clove"), "load_pct": 6.5}, "load_pct"),
        ({"oils": blend("clove"), "load_pct": 40.0}, "load_pct"),
        ({"wax_step_g": 0.0}, "wax_step_g"),
        ({"altitude_m": 20000.0}, "altitude_m"),
        ({"prices": Prices(wick_each=-1.0)}, "prices.wick_each"),
        ({"prices": Prices(margin_pct=100.0)}, "prices.margin_pct"),
        ({"prices": Prices(hob="wood")}, "prices.hob"),
        ({"diameter_mm": 10.0, "wick_mm": 12.0}, "wick_mm"),
    ],
)
def test_impossible_input_is_refused_at_its_field(changes: dict[str, Any], field: str) -> None:
    (fault,) = faults_of(**changes)
    assert fault.field == field
    assert fault.text.endswith(".")


anything = st.one_of(st.none(), st.floats(-10.0, 700.0), st.just(math.nan), st.just(math.inf))
TYPED = (
    *("fill_mm", "bottom_mm", "height_mm", "water_fill_g", "water_brim_g", "jar_c", "pour_c"),
    *("liquid_g_per_ml", "shrinkage_pct", "pellets_g_per_ml", "oil_limit_pct", "pool_mm", "wick_mm"),
)


@given(
    st.dictionaries(st.sampled_from(TYPED), anything, max_size=3),
    st.floats(5.0, 320.0),
    st.floats(-1.0, 9.0),
    st.integers(0, 30),
)
@settings(max_examples=300, deadline=None)
def test_whatever_is_typed_there_is_a_plan_or_a_fault(
    changes: dict[str, Any], diameter_mm: float, load_pct: float, count: int
) -> None:
    try:
        plan = planned(SCENTED, **changes, diameter_mm=diameter_mm, load_pct=load_pct, count=count)
    except ImpossiblePlan as impossible:
        names = {field.name for field in dataclasses.fields(SIX)}
        assert impossible.faults and {fault.field for fault in impossible.faults} <= names
    else:
        for result in (plan.jar.volume_ml, plan.wax.weigh_g, plan.wax.each_g, plan.wick.count):
            assert math.isfinite(result.value) and result.value > 0.0


def test_an_impossible_plan_is_something_to_put_right() -> None:
    with pytest.raises(FixableError) as caught:
        planned(count=0)
    assert isinstance(caught.value, ImpossiblePlan) and str(caught.value) == caught.value.faults[0].text


def test_the_lots_own_limit_for_oil_goes_before_the_waxs() -> None:
    assert fields_of(oils=blend("clove"), load_pct=8.0, oil_limit_pct=8.0) == []
    assert fields_of(oils=blend("clove"), load_pct=4.0, oil_limit_pct=3.0) == ["load_pct"]


def test_the_limit_counts_on_the_whole() -> None:
    # 6.3 % of the wax is 5.93 % of the whole (row O81).
    assert fields_of(oils=blend("clove"), load_pct=6.3, basis=Basis.WAX) == []
    assert fields_of(oils=blend("clove"), load_pct=6.4, basis=Basis.WAX) == ["load_pct"]


def test_a_plan_starts_a_melt_with_its_oil_windows_and_limits() -> None:
    plan = planned(SCENTED, lot="Meadow 7", room_c=21.0, altitude_m=2000.0)
    setup = melt_setup(plan, source="typed:", jug="steel")
    assert setup.title == plan_title(plan) == "6 jars of 297 g, Lavender"
    assert (setup.wax, setup.lot, setup.jug, setup.source) == ("beeswax", "Meadow 7", "steel", "typed:")
    assert (setup.room_c, setup.altitude_m) == (21.0, 2000.0)
    assert setup.wax_g == pytest.approx(plan.wax.weigh_g.value, abs=0.5)
    assert plan.oil is not None and plan.oil.flash_c is not None and setup.oil is not None
    assert (setup.oil.mass_g, setup.oil.volume_ml) == (plan.oil.weigh_g.value, plan.oil.volume_ml.value)
    assert setup.oil.scented_flash_c == plan.oil.flash_c.value
    assert setup.limits == plan.limits and setup.limits.stop_c < 95.0
    assert oil_window_open(setup.limits)


def test_a_plain_candle_has_no_oil() -> None:
    plan = planned()
    assert plan.oil is None and plan.melt_oil is None and melt_setup(plan).oil is None
    assert melt_setup(plan, title="plain").title == "plain"
    assert plan.wax.weigh_g.value == pytest.approx(plan.wax.batch_g.value, abs=0.5)


def test_the_lots_own_windows_go_into_the_plan() -> None:
    own = Limits(64.0, 66.0, 72.0, 64.0, 66.0, 78.0, 84.0, 92.0)
    plan = planned(SCENTED, limits=own)
    assert plan.limits == own and plan.pour_c == 65.0


def test_temperatures_are_spoken_in_the_persons_degrees() -> None:
    plan = make_plan(dataclasses.replace(SIX, jar_c=20.0), TABLES, Shown("F"))
    spoken = " ".join(each.text + each.why for each in (*plan.jar.checks, *plan.cautions))
    assert "°F" in spoken and "°C" not in spoken


def test_the_bounds_of_a_temperature_are_told_in_her_own_degrees() -> None:
    # 30 and 120 degC are 86 and 248 degF, exact by definition.
    with pytest.raises(ImpossiblePlan) as raised:
        make_plan(dataclasses.replace(SIX, pour_c=300.0, count=0), TABLES, Shown("F"))
    told = {fault.field: fault.text for fault in raised.value.faults}
    assert told["pour_c"] == "Pour at: type °F from 86 to 248."
    assert told["count"] == "Candles: type a number from 1 to 1000."
    with pytest.raises(ImpossiblePlan, match="type °C from 30 to 120"):
        make_plan(dataclasses.replace(SIX, pour_c=300.0), TABLES)
