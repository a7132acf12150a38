"""Requests and cupboards through JSON and TOML and back."""

import json
import tomllib
from dataclasses import replace
from typing import Any

import pytest
import tomli_w
from workbench import SCENTED, SIX, blend, planned

from candlebench.core.cupboard import Cupboard, JarStock, LabelStock, OilBottle, Price, WaxLot, WickStock
from candlebench.core.errors import BadDataError, FixableError
from candlebench.core.materials.oil import described_oil, typed_oil
from candlebench.core.plan.request import (
    Basis,
    Leftover,
    OilPart,
    OwnBurn,
    PlanRequest,
    Prices,
    Verdict,
)
from candlebench.core.plan.rows import from_row, to_row
from candlebench.core.setup import Limits

OWN = described_oil("lavender, spring", "lavender", 0.881, 72.0)
FULL = replace(
    SCENTED,
    limits=Limits(64.0, 66.0, 72.0, 64.0, 66.0, 78.0, 84.0, 92.0),
    basis=Basis.WAX,
    oils=(*blend("orange"), OilPart(OWN, 3.0), OilPart(typed_oil("garden", 0.95, None), 1.0)),
    leftovers=(Leftover("jug", (("beeswax", 90.0),), ((OWN, 4.5),)),),
    own_burns=(OwnBurn("beeswax", 75.0, 1, "square-braid", "#3", Verdict.TOO_SMALL),),
    prices=Prices("EUR", 22.0, (("lavender", 0.35),), margin_pct=40.0),
)
SHELVES = Cupboard(
    waxes=(WaxLot("Meadow 7", "beeswax", 3400.0, True, "yellow", 62.4, Price(66.0, 3000.0), FULL.limits),),
    oils=(OilBottle("spring", "lavender", 30.0, Price(9.0, 30.0), 0.881, 72.0),),
    jars=(JarStock("round", 8, 75.0, 80.0),),
    wicks=(WickStock("braid", "square-braid", "#2", 25),),
    labels=(LabelStock("small", 4, Price(2.0, 40.0)),),
    leftovers=FULL.leftovers,
)


@pytest.mark.parametrize("request_", [SIX, SCENTED, FULL], ids=["plain", "scented", "full"])
def test_a_request_comes_back_the_same(request_: PlanRequest) -> None:
    row = to_row(request_)
    assert from_row(PlanRequest, json.loads(json.dumps(row, allow_nan=False))) == request_
    assert from_row(PlanRequest, tomllib.loads(tomli_w.dumps(row))) == request_


def test_a_cupboard_comes_back_the_same() -> None:
    assert from_row(Cupboard, json.loads(json.dumps(to_row(SHELVES)))) == SHELVES
    assert from_row(Cupboard, {}) == Cupboard()


def test_a_plan_from_a_kept_request_is_the_same_plan() -> None:
    again = from_row(PlanRequest, json.loads(json.dumps(to_row(SCENTED))))
    assert planned(again) == planned(SCENTED)


def test_only_what_was_typed_of_an_oil_is_kept() -> None:
    orange, spring, garden = to_row(FULL)["oils"]
    assert orange["oil"] == {"name": "orange", "table_name": "orange"}
    assert spring["oil"] == {
        "name": "lavender, spring",
        "table_name": "lavender",
        "density_g_per_ml": 0.881,
        "flash_c": 72.0,
    }
    assert garden["oil"] == {"name": "garden", "table_name": "", "density_g_per_ml": 0.95}


def test_fields_of_a_later_version_are_passed_over() -> None:
    assert from_row(PlanRequest, {**to_row(SIX), "moon": "full"}) == SIX


@pytest.mark.parametrize(
    ("change", "place"),
    [
        ({"count": "six"}, "count"),
        ({"count": 6.5}, "count"),
        ({"fill_mm": True}, "fill_mm"),
        ({"fill_mm": float("nan")}, "fill_mm"),
        ({"basis": "half"}, "basis: one of whole, wax"),
        ({"oils": [{"oil": 3}]}, r"oils\[0\]\.oil"),
        ({"oils": {"lavender": 6}}, "oils: a list"),
        ({"leftovers": [{"name": "x", "waxes": [["beeswax"]]}]}, r"leftovers\[0\]\.waxes\[0\]: 2 values"),
        ({"prices": {"currency": 5}}, r"prices\.currency"),
    ],
)
def test_a_damaged_row_is_refused_at_its_place(change: dict[str, Any], place: str) -> None:
    with pytest.raises(BadDataError, match=place):
        from_row(PlanRequest, {**to_row(SIX), **change})


def test_a_row_without_what_it_needs_is_refused() -> None:
    with pytest.raises(BadDataError, match="diameter_mm"):
        from_row(PlanRequest, {"count": 6})
    with pytest.raises(BadDataError, match="PlanRequest"):
        from_row(PlanRequest, [1, 2])


def test_an_oil_that_left_the_table_asks_for_its_density() -> None:
    row = to_row(SCENTED)
    row["oils"][0]["oil"] = {"name": "moss", "table_name": "moss"}
    with pytest.raises(FixableError, match="density"):
        from_row(PlanRequest, row)
