"""The plan page with a store cupboard: lots, jars and bottles are offered and bring their own figures."""

from dataclasses import replace

import pytest
from PySide6.QtWidgets import QApplication

from candlebench.core.cupboard import Cupboard, JarStock, OilBottle, Price, WaxLot
from candlebench.core.materials.oil import find_oil
from candlebench.core.plan.request import Leftover
from candlebench.core.stock_taking import Chosen
from candlebench.ui.plan_page import PlanPage

from .test_plan_page import USUAL, OpenPlan, open_plan, type_into

__all__ = ["open_plan"]

CUPBOARD = Cupboard(
    waxes=(WaxLot("Meadow 7", "beeswax", 3400.0, price=Price(44.0, 2000.0), oil_limit_pct=4.0),),
    oils=(OilBottle("Field lavender", "lavender", 90.0, Price(27.0, 60.0), 0.88, 72.0),),
    jars=(JarStock("Squat", 24, 90.0, 60.0, height_mm=72.0, price=Price(24.0, 20.0)),),
)


@pytest.fixture
def page(open_plan: OpenPlan) -> PlanPage:
    """A page that knows the cupboard."""
    return open_plan(cupboard=CUPBOARD)


def choose(page: PlanPage, box: object, words: str) -> None:
    index = next(n for n in range(box.count()) if box.itemText(n).startswith(words))  # type: ignore[attr-defined]
    box.setCurrentIndex(index)  # type: ignore[attr-defined]
    page.work_out()
    QApplication.processEvents()


def test_a_jar_of_the_cupboard_brings_its_sizes_and_price(page: PlanPage) -> None:
    choose(page, page.form.jar.stock, "Squat")
    assert page.form.jar.fields["diameter_mm"].text() == "90"
    assert page.plan is not None and page.plan.request.height_mm == 72.0
    assert page.plan.request.prices.jar_each == pytest.approx(1.2)
    assert page.chosen == Chosen(jar="Squat")


def test_another_size_is_no_jar_of_the_cupboard_any_more(page: PlanPage) -> None:
    choose(page, page.form.jar.stock, "Squat")
    type_into(page, page.form.jar.fields["diameter_mm"], "91")
    assert page.chosen == Chosen()
    assert page.plan is not None and page.plan.request.diameter_mm == 91.0


def test_a_lot_brings_its_own_limit_and_price_and_another_wax_drops_them(page: PlanPage) -> None:
    choose(page, page.form.mix.rows[0].oil, "Field lavender")
    type_into(page, page.form.mix.count, "7")
    choose(page, page.form.mix.wax, "Meadow 7")
    assert "4 %" in page.form.mix.load.fault, "6 % is more than this lot holds"
    type_into(page, page.form.mix.load, "4")
    assert page.plan is not None
    request = page.plan.request
    assert (request.lot, request.count, request.prices.wax_per_kg) == ("Meadow 7", 7, 22.0)
    assert page.chosen.wax == "Meadow 7"
    choose(page, page.form.mix.wax, "Beeswax")
    assert page.plan is not None and page.plan.request.lot == "" and page.plan.request.oil_limit_pct is None
    assert page.chosen.wax == ""


def test_a_bottle_goes_in_under_its_own_name_with_its_own_data_sheet(page: PlanPage) -> None:
    choose(page, page.form.mix.rows[0].oil, "Field lavender")
    plan = page.plan
    assert plan is not None and plan.oil is not None
    (line,) = plan.oil.lines
    assert line.oil.name == "Field lavender" and line.oil.density_g_per_ml() == pytest.approx(0.88)
    assert line.oil.flash_c is not None and line.oil.flash_c.value == 72.0
    assert dict(plan.request.prices.oil_per_ml) == {"Field lavender": pytest.approx(0.45)}
    assert line.volume_ml.value == pytest.approx(line.weigh_g.value / 0.88)


def test_a_bottle_that_is_used_up_stays_in_its_plan(open_plan: OpenPlan) -> None:
    bottle = CUPBOARD.oils[0].essential_oil()
    request = replace(USUAL, oils=(replace(USUAL.oils[0], oil=bottle),))
    page = open_plan(request)
    assert page.plan is not None and page.plan.request.oils[0].oil == bottle


SCENTED = Leftover("Autumn", (("beeswax", 376.0),), ((find_oil("lavender"), 24.0),))


def test_leftovers_bring_their_wax_and_their_oil_into_the_plan(open_plan: OpenPlan) -> None:
    page = open_plan(USUAL, cupboard=Cupboard(leftovers=(SCENTED,)))
    fresh = page.plan
    assert fresh is not None and fresh.oil is not None
    assert page.form.leftovers.isVisibleTo(page)
    page.form.leftovers.head.setChecked(True)
    type_into(page, page.form.leftovers.fields["Autumn"], "200")
    plan = page.plan
    assert plan is not None and plan.oil is not None
    # Half of it: 188 g of wax and 12 g of oil that need not be weighed again; the share stays.
    assert fresh.wax.weigh_g.value - plan.wax.weigh_g.value == pytest.approx(188.0, abs=1.0)
    assert fresh.oil.weigh_g.value - plan.oil.weigh_g.value == pytest.approx(12.0, abs=0.15)
    type_into(page, page.form.leftovers.fields["Autumn"], "9000")
    assert page.plan is None and "leftovers" in page.form.leftovers.fields["Autumn"].fault
    assert page.form.leftovers.note.property("role") == "problem"
    type_into(page, page.form.leftovers.fields["Autumn"], "")
    assert page.plan == fresh


def test_without_leftovers_there_is_no_card_for_them(open_plan: OpenPlan) -> None:
    assert not open_plan(USUAL).form.leftovers.isVisible()


def test_a_plan_that_used_a_leftover_opens_when_that_is_gone(open_plan: OpenPlan) -> None:
    request = replace(USUAL, leftovers=(SCENTED.part(100.0),))
    page = open_plan(request)
    assert page.plan is not None
    (used,) = page.plan.request.leftovers
    assert used.mass_g == pytest.approx(100.0)


def test_what_the_cupboard_has_too_little_of_is_to_be_minded(page: PlanPage) -> None:
    choose(page, page.form.mix.rows[0].oil, "Field lavender")
    texts = [row.text.text() for row in page.results.cautions if row.isVisibleTo(page)]
    (short,) = [text for text in texts if text.startswith("Field lavender")]
    assert page.plan is not None and page.plan.oil is not None
    missing = page.plan.oil.volume_ml.value - 90.0
    assert f"{missing:.1f}" in short
