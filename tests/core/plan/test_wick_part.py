"""The wick of a plan: a first guess that own burn tests override."""

import math

import pytest
from workbench import SIX, caution, codes_of, planned

from candlebench.core.plan.request import OwnBurn, Verdict


def burn(size: str, verdict: Verdict, width_mm: float = 75.0, count: int = 1) -> OwnBurn:
    return OwnBurn("beeswax", width_mm, count, "square-braid", size, verdict)


def test_the_guess_is_never_a_verdict() -> None:
    plan = planned()
    assert plan.wick.size == "#2" and not plan.wick.own
    assert (plan.wick.thinner, plan.wick.thicker) == ("#1", "#3")
    assert "first guess, burn-test it" in plan.wick.text
    assert "burn_test" in codes_of(plan)


@pytest.mark.parametrize(
    ("verdict", "size"), [(Verdict.GOOD, "#4"), (Verdict.TOO_SMALL, "#5"), (Verdict.TOO_BIG, "#3")]
)
def test_an_own_burn_test_goes_before_the_table(verdict: Verdict, size: str) -> None:
    wick = planned(own_burns=(burn("#4", verdict),)).wick
    assert wick.size == size and wick.own and "own burn test" in wick.source


def test_a_good_burn_goes_before_a_later_bad_one_and_the_latest_before_earlier() -> None:
    both = (burn("#3", Verdict.GOOD), burn("#5", Verdict.TOO_BIG))
    assert planned(own_burns=both).wick.size == "#3"
    assert planned(own_burns=(burn("#3", Verdict.GOOD), burn("#4", Verdict.GOOD))).wick.size == "#4"


def test_burns_in_another_wax_or_a_jar_of_another_width_do_not_count() -> None:
    other = OwnBurn("paraffin", 75.0, 1, "square-braid", "#9", Verdict.GOOD)
    assert planned(own_burns=(other, burn("#9", Verdict.GOOD, 79.0))).wick.size == "#2"
    assert planned(own_burns=(burn("#9", Verdict.GOOD, 77.0),)).wick.size == "#9"


def test_past_the_end_of_a_series_there_is_no_size() -> None:
    wick = planned(own_burns=(burn("#10", Verdict.TOO_SMALL),)).wick
    assert wick.size == "" and "#10 was too small" in wick.why


def test_what_is_typed_goes_before_everything() -> None:
    wick = planned(wick_size="#7", wick_count=2, own_burns=(burn("#4", Verdict.GOOD),)).wick
    assert (wick.size, wick.count.value, wick.series) == ("#7", 2, "Square braid")
    assert planned(wick_size="my cotton").wick.text.startswith("1 wick, my cotton:")


def test_a_wide_jar_gets_several_wicks_on_its_bottom() -> None:
    plan = planned(diameter_mm=110.0, bottom_mm=90.0)
    assert plan.wick.count.value == 3 and len(plan.wick.positions_mm) == 3
    assert plan.wick.pool_mm.value == pytest.approx(plan.jar.width_mm.value / math.sqrt(3.0))
    assert all(math.hypot(x, y) < 45.0 for x, y in plan.wick.positions_mm)
    # Each takes its room: 3 x pi/4 x 2² mm² x 80 mm.
    taken_ml = plan.jar.volume_ml.value - plan.amounts.each_ml
    assert taken_ml == pytest.approx(3 * math.pi * 80.0 / 1000.0)


def test_a_smaller_aim_takes_a_thinner_wick() -> None:
    wick = planned(pool_mm=45.0).wick
    assert wick.size == "1/0" and wick.pool_mm.value == 45.0


def test_a_wax_without_rows_gets_no_size() -> None:
    wick = planned(wax="soy-container").wick
    assert wick.size == "" and "no start size is known" in wick.text


def test_the_pool_law_is_not_drawn_beyond_its_chart() -> None:
    # B16, B18: pools of 41 to 53 mm.
    assert planned().wick.burn_g_per_h is None
    rate = planned(diameter_mm=48.0).wick.burn_g_per_h
    assert rate is not None and 1.7 < rate.value < 6.2


def test_the_first_burn_is_an_hour_for_each_inch_and_four_at_most() -> None:
    # B25, common practice, no source.
    assert planned(SIX, diameter_mm=50.0).wick.first_burn_h.value == 2.0
    assert planned(SIX, diameter_mm=140.0).wick.first_burn_h.value == 4.0


def test_many_wicks_are_cautioned() -> None:
    assert "many_wicks" in codes_of(planned(diameter_mm=200.0))
    assert caution(planned(diameter_mm=200.0), "many_wicks").text
