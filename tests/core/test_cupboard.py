"""What a batch takes out of the cupboard, and what is left over."""

from dataclasses import replace

import pytest

from candlebench.core.cupboard import (
    Cupboard,
    JarStock,
    LabelStock,
    OilBottle,
    Price,
    WaxLot,
    WickStock,
)
from candlebench.core.errors import FixableError
from candlebench.core.plan.planning import Plan, make_plan
from candlebench.core.plan.request import Leftover, OilPart, PlanRequest, Prices
from candlebench.core.plan.tables import load_tables
from candlebench.core.setup import Limits
from candlebench.core.stock_taking import (
    Chosen,
    after_batch,
    leftover_of,
    mixed,
    prices_of,
    what_it_takes,
    with_jar,
    with_lot,
)

TABLES = load_tables()
BOTTLE = OilBottle("lavender, spring", "lavender", 200.0, Price(35.0, 100.0), flash_c=72.0)
LOT = WaxLot("Meadow 7", "beeswax", 3400.0, True, "yellow", 62.4, Price(66.0, 3000.0), None, 5.0, 0.58)
JARS = JarStock("round", 8, 75.0, 80.0, height_mm=90.0, price=Price(9.5, 10.0))
SHELVES = Cupboard(
    waxes=(LOT, WaxLot("blocks", "soy-container", 500.0)),
    oils=(BOTTLE,),
    jars=(JARS,),
    wicks=(WickStock("braid #2", "square-braid", "#2", 25, Price(3.0, 25.0)),),
    labels=(LabelStock("small", 4),),
    leftovers=(Leftover("jug of May", (("beeswax", 95.0),), ((BOTTLE.essential_oil(), 5.0),)),),
)
CHOSEN = Chosen("Meadow 7", "round", "braid #2", "small")


def batch(**changes: object) -> Plan:
    request = with_jar(with_lot(PlanRequest(1.0, count=6), LOT), JARS)
    request = replace(
        request,
        oils=(OilPart(BOTTLE.essential_oil()),),
        load_pct=5.0,
        leftovers=SHELVES.leftovers,
        prices=prices_of(SHELVES, request.prices, CHOSEN, ["lavender, spring"]),
    )
    return make_plan(replace(request, **changes), TABLES)  # type: ignore[arg-type]


def test_a_batch_takes_wax_oil_jars_wicks_labels_and_leftovers() -> None:
    plan = batch()
    assert plan.oil is not None
    taken = {each.shelf: each for each in what_it_takes(plan, SHELVES, CHOSEN)}
    assert list(taken) == ["waxes", "oils", "jars", "wicks", "labels", "leftovers"]
    assert taken["waxes"].amount == plan.wax.weigh_g.value
    assert taken["oils"].amount == plan.oil.volume_ml.value
    assert (taken["jars"].left, taken["wicks"].left, taken["leftovers"].left) == (2.0, 19.0, 0.0)
    assert taken["labels"].short and "2 too little" in taken["labels"].text
    assert [each.shelf for each in taken.values() if each.short] == ["labels"]


def test_stock_falls_by_what_was_taken_and_not_below_nothing() -> None:
    plan = batch()
    after = after_batch(SHELVES, what_it_takes(plan, SHELVES, CHOSEN))
    assert after.waxes[0].stock_g == pytest.approx(3400.0 - plan.wax.weigh_g.value)
    assert after.waxes[1] == SHELVES.waxes[1]
    assert plan.oil is not None and after.oils[0].stock_ml == pytest.approx(200.0 - plan.oil.volume_ml.value)
    assert (after.jars[0].count, after.wicks[0].count, after.labels[0].count) == (2, 19, 0)
    assert after.leftovers == ()


def test_what_is_not_kept_is_not_taken() -> None:
    taken = what_it_takes(batch(leftovers=()), SHELVES, Chosen(wax="Meadow 7"))
    assert [each.shelf for each in taken] == ["waxes", "oils"]


def test_part_of_a_leftover_stays() -> None:
    plan = batch(leftovers=(SHELVES.leftovers[0].part(40.0),))
    (left,) = after_batch(SHELVES, what_it_takes(plan, SHELVES, CHOSEN)).leftovers
    assert left.mass_g == pytest.approx(60.0) and left.oil_g == pytest.approx(3.0)


def test_a_lot_brings_its_own_figures_limits_and_price() -> None:
    own = Limits(64.0, 66.0, 72.0, 64.0, 66.0, 78.0, 84.0, 92.0)
    request = with_lot(PlanRequest(75.0, 80.0), replace(LOT, limits=own))
    assert (request.wax, request.lot, request.limits) == ("beeswax", "Meadow 7", own)
    assert (request.oil_limit_pct, request.pellets_g_per_ml) == (5.0, 0.58)
    assert request.prices.wax_per_kg == pytest.approx(22.0)


def test_a_bottle_goes_by_its_own_name_and_flash_point() -> None:
    oil = BOTTLE.essential_oil()
    assert (oil.name, oil.table_name) == ("lavender, spring", "lavender")
    assert oil.flash_c is not None and oil.flash_c.value == 72.0
    assert OilBottle("garden", "", 10.0, density_g_per_ml=0.95).essential_oil().flash_c is None
    with pytest.raises(FixableError, match="density"):
        OilBottle("garden", "", 10.0).essential_oil()


def test_prices_come_from_the_cupboard_and_typed_ones_stay() -> None:
    prices = prices_of(SHELVES, Prices("EUR", label_each=0.2, work_per_h=15.0), CHOSEN, ["lavender, spring"])
    assert prices.wax_per_kg == pytest.approx(22.0)
    assert dict(prices.oil_per_ml) == pytest.approx({"lavender, spring": 0.35})
    assert (prices.jar_each, prices.wick_each) == pytest.approx((0.95, 0.12))
    assert (prices.label_each, prices.work_per_h, prices.currency) == (0.2, 15.0, "EUR")


@pytest.mark.parametrize(("paid", "amount"), [(-1.0, 1.0), (1.0, 0.0), (float("nan"), 1.0)])
def test_an_impossible_price_is_refused(paid: float, amount: float) -> None:
    with pytest.raises(FixableError, match="what was paid"):
        Price(paid, amount)


def test_what_stays_in_the_jug_holds_the_melts_own_share_of_oil() -> None:
    plan = batch()
    left = leftover_of(plan, "jug of June", 120.0)
    assert left.mass_g == pytest.approx(120.0)
    assert 100.0 * left.oil_g / left.mass_g == pytest.approx(5.0, abs=0.01)
    assert [oil.name for oil, _ in left.oils] == ["lavender, spring"]
    assert [name for name, _ in left.waxes] == ["beeswax"]
    for wrong_g in (0.0, 1e6):
        with pytest.raises(FixableError, match="how many grams"):
            leftover_of(plan, "jug", wrong_g)


def test_carried_oil_goes_from_leftover_to_leftover_without_loss() -> None:
    first = leftover_of(batch(leftovers=()), "one", 200.0)
    plan = batch(leftovers=(first,), load_pct=0.0, oils=())
    assert plan.oil is not None
    whole = leftover_of(plan, "two", plan.wax.batch_g.value * 0.999)
    assert whole.oil_g / whole.mass_g == pytest.approx(first.oil_g / plan.wax.batch_g.value, rel=1e-3)


def test_leftovers_thrown_together_add_up() -> None:
    lavender = BOTTLE.essential_oil()
    one = Leftover("one", (("beeswax", 90.0),), ((lavender, 5.0),))
    two = Leftover("two", (("beeswax", 10.0), ("paraffin", 20.0)), ((lavender, 1.0),))
    both = mixed("both", (one, two))
    assert dict(both.waxes) == {"beeswax": 100.0, "paraffin": 20.0}
    assert both.oils == ((lavender, 6.0),) and both.mass_g == 126.0
