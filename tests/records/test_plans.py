"""Plans kept in their file: written whole, read back, never lost because of one bad row."""

import json
from dataclasses import replace
from datetime import date
from pathlib import Path
from uuid import UUID, uuid4

import pytest

from candlebench.core.errors import FixableError
from candlebench.core.materials.oil import find_oil, typed_oil
from candlebench.core.plan.request import Basis, OilPart, PlanRequest, Prices
from candlebench.records.plans import FILE_NAME, KeptPlan, Plans

TODAY = date(2026, 11, 25)
REQUEST = PlanRequest(
    diameter_mm=75.0,
    fill_mm=80.0,
    height_mm=92.0,
    count=6,
    oils=(OilPart(find_oil("lavender"), 70.0), OilPart(typed_oil("Garden", 0.9, 71.0), 30.0)),
    load_pct=6.0,
    basis=Basis.WAX,
    prices=Prices(currency="€", wax_per_kg=22.0, oil_per_ml=(("lavender", 0.45),)),
)


def kept(wall_s: float = 1.76e9, title: str = "", uuid: UUID | None = None) -> KeptPlan:
    return KeptPlan(uuid or uuid4(), title, "6 jars of 297 g, Lavender", wall_s, REQUEST)


def test_a_plan_comes_back_as_it_was_asked(tmp_path: Path) -> None:
    plan = kept(title="For the market")
    Plans(tmp_path, TODAY).keep(plan)
    again = Plans(tmp_path, TODAY)
    assert again.faults == ()
    assert again.find(plan.uuid) == plan
    assert again.all() == (plan,)


def test_the_plan_changed_last_comes_first(tmp_path: Path) -> None:
    plans = Plans(tmp_path, TODAY)
    old, new = kept(1.0), kept(2.0)
    plans.keep(new)
    plans.keep(old)
    assert plans.all() == (new, old)
    plans.keep(replace(old, changed_wall_s=3.0))
    assert [plan.uuid for plan in Plans(tmp_path, TODAY).all()] == [old.uuid, new.uuid]


def test_a_plan_is_called_by_its_title_or_else_by_what_it_makes() -> None:
    assert kept(title="Market").name == "Market"
    assert kept().name == "6 jars of 297 g, Lavender"


def test_a_dropped_plan_is_gone_after_a_restart(tmp_path: Path) -> None:
    plans = Plans(tmp_path, TODAY)
    stays, goes = kept(), kept()
    plans.keep(stays)
    plans.keep(goes)
    plans.drop(goes.uuid)
    plans.drop(uuid4())
    assert Plans(tmp_path, TODAY).all() == (stays,)


def test_what_a_later_version_wrote_stays_in_the_file(tmp_path: Path) -> None:
    plan = kept()
    Plans(tmp_path, TODAY).keep(plan)
    file = tmp_path / FILE_NAME
    data = json.loads(file.read_text(encoding="utf-8"))
    data["shop"] = "kitchen"
    data["plans"][0]["moon"] = "waxing"
    data["plans"].append({"uuid": "from another world"})
    file.write_text(json.dumps(data), encoding="utf-8")
    again = Plans(tmp_path, TODAY)
    assert len(again.faults) == 1 and "uuid" in again.faults[0]
    again.keep(kept())
    now = json.loads(file.read_text(encoding="utf-8"))
    assert now["shop"] == "kitchen"
    assert now["plans"][0]["moon"] == "waxing"
    assert {"uuid": "from another world"} in now["plans"]


@pytest.mark.parametrize("wrong", ["{", "[]", '{"plans": 3}', "\udcff", '"' + "[" * 5])
def test_a_damaged_file_is_set_aside_and_never_written_over(tmp_path: Path, wrong: str) -> None:
    file = tmp_path / FILE_NAME
    file.write_bytes(wrong.encode("utf-8", "surrogateescape"))
    before = file.read_bytes()
    plans = Plans(tmp_path, TODAY)
    assert len(plans.faults) == 1 and plans.all() == ()
    plan = kept()
    plans.keep(plan)
    aside = [path for path in tmp_path.iterdir() if "damaged" in path.name]
    assert [path.read_bytes() for path in aside] == [before]
    assert Plans(tmp_path, TODAY).all() == (plan,)


@pytest.mark.parametrize(
    ("key", "value"),
    [("uuid", 3), ("changed_wall_s", "noon"), ("changed_wall_s", True), ("request", {"count": 6.5})],
)
def test_one_bad_plan_does_not_take_the_others_along(tmp_path: Path, key: str, value: object) -> None:
    plans = Plans(tmp_path, TODAY)
    good, bad = kept(), kept()
    plans.keep(good)
    plans.keep(bad)
    file = tmp_path / FILE_NAME
    data = json.loads(file.read_text(encoding="utf-8"))
    data["plans"][1][key] = value
    file.write_text(json.dumps(data), encoding="utf-8")
    again = Plans(tmp_path, TODAY)
    assert again.all() == (good,)
    assert len(again.faults) == 1


def test_a_folder_that_cannot_be_written_is_said_and_the_plan_stays_known(tmp_path: Path) -> None:
    plans = Plans(tmp_path / "shop", TODAY)
    (tmp_path / "shop").write_text("a file where the folder should be", encoding="utf-8")
    plan = kept()
    with pytest.raises(FixableError, match="allow writing"):
        plans.keep(plan)
    assert plans.find(plan.uuid) == plan


def test_a_file_that_cannot_be_read_is_not_written_over(tmp_path: Path) -> None:
    # A folder in its place: reading fails with an OSError, whoever runs the test.
    (tmp_path / FILE_NAME).mkdir()
    plans = Plans(tmp_path, TODAY)
    assert len(plans.faults) == 1
    with pytest.raises(FixableError, match="move that file away"):
        plans.keep(kept())
    assert (tmp_path / FILE_NAME).is_dir()
