"""What a batch costs and sells for."""

import pytest
from workbench import SCENTED, SIX, planned

from candlebench.core.plan.request import Prices

ALL = Prices(
    currency="kr",
    wax_per_kg=200.0,
    oil_per_ml=(("lavender", 3.0),),
    wick_each=1.0,
    jar_each=8.0,
    label_each=0.5,
    energy_per_kwh=2.0,
    work_per_h=150.0,
    work_min=90.0,
    margin_pct=40.0,
)


def test_a_batch_costs_the_sum_of_its_parts() -> None:
    plan = planned(SCENTED, prices=ALL)
    cost, oil = plan.cost, plan.oil
    assert oil is not None and cost.batch is not None and cost.each is not None and cost.price_each
    expected = {
        "wax": 0.2 * plan.wax.weigh_g.value,
        "oil": 3.0 * oil.volume_ml.value,
        "wick": 6.0,
        "jar": 48.0,
        "label": 3.0,
        "energy": 2.0 * cost.energy_kwh.value,
        "work": 225.0,
    }
    assert {line.code: line.batch.value for line in cost.lines} == pytest.approx(expected)
    assert cost.batch.value == pytest.approx(sum(expected.values()))
    assert cost.each.value == pytest.approx(cost.batch.value / 6.0)
    # Forty per cent of the price are left over the cost.
    assert cost.price_each.value * 0.6 == pytest.approx(cost.each.value)
    assert cost.missing == ()
    assert cost.each.shown == f"{cost.each.value:.2f} kr"


def test_what_has_no_price_is_named_and_not_counted() -> None:
    cost = planned(SCENTED, prices=Prices(jar_each=1.0)).cost
    assert [line.code for line in cost.lines] == ["jar"]
    assert cost.missing == ("Wax", "Lavender", "Wick", "Label", "Energy")
    assert cost.each is not None and cost.each.value == 1.0


def test_without_any_price_nothing_is_summed() -> None:
    cost = planned(SIX).cost
    assert (cost.batch, cost.each, cost.price_each, cost.lines) == (None, None, None, ())


def test_each_wick_of_a_wide_jar_is_paid() -> None:
    cost = planned(SIX, diameter_mm=110.0, prices=Prices(wick_each=1.0)).cost
    assert cost.batch is not None and cost.batch.value == 18.0


def test_a_poor_hob_takes_more() -> None:
    # H5, H6: gas 32 %, electric 74 %, induction 84 %.
    gas, electric, induction = (
        planned(SIX, prices=Prices(hob=hob)).cost.energy_kwh.value for hob in ("gas", "electric", "induction")
    )
    assert gas * 0.32 == pytest.approx(electric * 0.74) == pytest.approx(induction * 0.84)
