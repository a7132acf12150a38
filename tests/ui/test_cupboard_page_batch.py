"""'A batch was made': what it takes from the cupboard, what is short, what is left over."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from full_cupboard import CUPBOARD, ORANGE, SPRING, STOCK
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from candlebench.core.cupboard import Cupboard, WickStock
from candlebench.core.materials.oil import described_oil
from candlebench.core.plan.planning import Plan, make_plan
from candlebench.core.plan.request import OilPart, PlanRequest, Prices
from candlebench.core.plan.tables import load_tables
from candlebench.core.stock_taking import Chosen, with_jar, with_lot
from candlebench.core.units import Shown
from candlebench.records.cupboard import CupboardStore, read_cupboard
from candlebench.records.cupboard_stock import Stock
from candlebench.ui.cupboard_batch import CupboardBatch, guessed
from candlebench.ui.cupboard_page import CupboardPage
from candlebench.ui.theme import LIGHT, Theme

TABLES = load_tables()
NOW = datetime(2026, 11, 25, 14, 0).astimezone()

Open = Callable[..., CupboardBatch]


def plan_of(count: int = 6, **changes: object) -> Plan:
    request = with_jar(with_lot(PlanRequest(1.0, count=count), CUPBOARD.waxes[0]), CUPBOARD.jars[0])
    request = replace(request, oils=(OilPart(SPRING.essential_oil()),), load_pct=4.0)
    return make_plan(replace(request, **changes), TABLES)  # type: ignore[arg-type]


@pytest.fixture
def page(qtbot: QtBot, tmp_path: Path) -> CupboardPage:
    CupboardStore(tmp_path, lambda: NOW).change(STOCK, "x")
    store = CupboardStore(tmp_path, lambda: NOW)
    page = CupboardPage(
        store,
        TABLES,
        Shown(),
        Theme(LIGHT),
        lambda: None,
        NOW.date,
        plan=lambda: plan_of(),
        now=lambda: NOW,
    )
    qtbot.addWidget(page)
    page.resize(1280, 752)
    with qtbot.waitActive(page):
        page.show()
        page.activateWindow()
    return page


@pytest.fixture
def batch(page: CupboardPage) -> Open:
    def opened(plan: Plan | None = None, chosen: Chosen | None = None) -> CupboardBatch:
        page.batch_was_made(plan or plan_of(), chosen)
        assert isinstance(page.panel, CupboardBatch)
        return page.panel

    return opened


def choose(panel: CupboardBatch, key: str, name: str) -> None:
    box = panel.choices[key]
    assert box.findData(name) >= 0
    box.setCurrentIndex(box.findData(name))


def fill(entry: object, text: str) -> None:
    editor = entry.editor  # type: ignore[attr-defined]
    assert isinstance(editor, QLineEdit)
    editor.setText(text)


def test_the_button_opens_it_for_the_present_plan(page: CupboardPage) -> None:
    page.tools.batch.click()
    assert isinstance(page.panel, CupboardBatch)


def test_without_a_plan_the_button_says_what_is_missing(qtbot: QtBot, tmp_path: Path) -> None:
    store = CupboardStore(tmp_path, lambda: NOW)
    store.change(STOCK, "x")
    page = CupboardPage(store, TABLES, Shown(), Theme(LIGHT), lambda: None, NOW.date, plan=lambda: None)
    qtbot.addWidget(page)
    assert not page.tools.batch.isEnabled() and "Make a plan first" in page.tools.batch.toolTip()
    bare = CupboardPage(store, TABLES, Shown(), Theme(LIGHT), lambda: None, NOW.date)
    qtbot.addWidget(bare)
    bare.show()
    assert not bare.tools.batch.isVisibleTo(bare)


def test_it_guesses_the_lot_the_jar_and_the_wick_of_the_plan() -> None:
    plan = plan_of()
    wick = WickStock("the same", plan.wick.series, plan.wick.size, 40)
    cupboard = replace(CUPBOARD, wicks=(*CUPBOARD.wicks, wick), labels=CUPBOARD.labels[:1])
    assert guessed(plan, cupboard) == Chosen("Meadow 7", "Round", "the same", "Small round")
    assert guessed(plan, CUPBOARD).label == ""
    assert guessed(plan, Cupboard()) == Chosen()


def test_the_stock_falls_by_what_the_batch_took(page: CupboardPage, batch: Open, tmp_path: Path) -> None:
    plan = plan_of()
    panel = batch(plan, Chosen("Meadow 7", "Round", "Braid no. 2", "Small round"))
    assert plan.oil is not None
    assert f"Meadow 7: {plan.wax.weigh_g.value:.0f} g" in panel.words
    assert "Round: 6, 16 left" in panel.words and "Small round: 6, 78 left" in panel.words
    assert panel.confirm.text() == "Take it out"
    panel.confirm.click()
    after = read_cupboard(tmp_path).cupboard
    assert after.waxes[0].stock_g == pytest.approx(3400.0 - plan.wax.weigh_g.value)
    assert after.oils[0].stock_ml == pytest.approx(128.0 - plan.oil.volume_ml.value)
    assert (after.jars[0].count, after.labels[0].count) == (16, 78)
    assert after.wicks[0].count == 140 - 6 * int(plan.wick.count.value)
    assert page.panel is None and "6 jars" in page.said
    page.take_back()
    assert read_cupboard(tmp_path) == STOCK


def test_what_is_short_is_said_and_then_stands_at_nothing(batch: Open, tmp_path: Path) -> None:
    panel = batch(plan_of(14))
    short = [line for line in panel.words.splitlines() if "too little in stock" in line]
    assert [line.split(":")[0] for line in short] == ["⚠ Meadow 7", "⚠ Lavender, spring"]
    assert panel.confirm.text() == "Take what there is"
    panel.confirm.click()
    after = read_cupboard(tmp_path).cupboard
    assert (after.waxes[0].stock_g, after.oils[0].stock_ml, after.jars[0].count) == (0.0, 0.0, 8)


def test_another_lot_of_the_same_wax_can_be_chosen_but_no_other_wax(batch: Open) -> None:
    panel = batch()
    names = [panel.choices["wax"].itemText(n) for n in range(panel.choices["wax"].count())]
    assert names == ["none of these", "Meadow 7", "Pale blocks"]
    choose(panel, "wax", "Pale blocks")
    assert "Pale blocks" in panel.words and "Meadow 7" not in panel.words
    choose(panel, "wax", "")
    assert "g" not in [part.unit for part in panel.taken]


def test_an_oil_of_the_table_is_taken_from_a_bottle_of_its_kind(batch: Open, tmp_path: Path) -> None:
    plan = plan_of(2, oils=(OilPart(described_oil("orange", "orange")),), load_pct=3.0)
    panel = batch(plan)
    assert panel.choices["oil orange"].currentData() == "Orange"
    assert plan.oil is not None
    panel.confirm.click()
    after = read_cupboard(tmp_path).cupboard
    assert after.oils[1].stock_ml == pytest.approx(60.0 - plan.oil.volume_ml.value)


def test_two_oils_out_of_one_bottle_add_up(batch: Open) -> None:
    oils = (OilPart(described_oil("orange", "orange")), OilPart(ORANGE.essential_oil()))
    plan = plan_of(2, oils=oils, load_pct=3.0)
    panel = batch(plan)
    (taken,) = [part for part in panel.taken if part.shelf == "oils"]
    assert plan.oil is not None
    assert taken.amount == pytest.approx(sum(line.volume_ml.value for line in plan.oil.lines))
    assert taken.left == pytest.approx(60.0 - taken.amount)


def test_nothing_chosen_takes_nothing(batch: Open) -> None:
    panel = batch(plan_of(oils=(), load_pct=0.0))
    for key in panel.choices:
        choose(panel, key, "")
    assert panel.taken == () and not panel.confirm.isEnabled()
    assert "choose" in panel.words


def test_what_stays_in_the_jug_becomes_a_leftover_with_its_oil(batch: Open, tmp_path: Path) -> None:
    panel = batch()
    fill(panel.left_over, "85,5")
    fill(panel.left_name, "jug of today")
    panel.confirm.click()
    left = read_cupboard(tmp_path).cupboard.leftovers[-1]
    assert left.name == "jug of today" and left.mass_g == pytest.approx(85.5)
    assert 100.0 * left.oil_g / left.mass_g == pytest.approx(4.0, abs=0.02)
    assert read_cupboard(tmp_path).mark("leftovers", "jug of today").since == NOW.date()


@pytest.mark.parametrize(
    ("left", "name", "said"),
    [("much", "jug", "no number"), ("99999", "jug", "at most"), ("80", "Pot of ends", "already a leftover")],
)
def test_a_leftover_that_cannot_be_is_said_at_its_field(
    batch: Open, tmp_path: Path, left: str, name: str, said: str
) -> None:
    panel = batch()
    fill(panel.left_over, left)
    fill(panel.left_name, name)
    panel.confirm.click()
    assert said in panel.left_over.said + panel.left_name.said
    assert read_cupboard(tmp_path) == STOCK


def test_leftovers_of_the_plan_are_used_up(batch: Open, tmp_path: Path) -> None:
    panel = batch(plan_of(leftovers=CUPBOARD.leftovers[:1]))
    assert "Jug of May: 240 g, 0 g left" in panel.words
    panel.confirm.click()
    assert [x.name for x in read_cupboard(tmp_path).cupboard.leftovers] == ["Pot of ends"]


def test_with_an_empty_cupboard_there_is_nothing_to_choose(qtbot: QtBot) -> None:
    panel = CupboardBatch(plan_of(), Stock(), None, NOW)
    qtbot.addWidget(panel)
    assert panel.choices == {} and not panel.confirm.isEnabled()


def test_a_batch_that_was_taken_out_is_asked_about_before_it_is_taken_again(
    page: CupboardPage, batch: Open, tmp_path: Path
) -> None:
    first = batch()
    assert "already" not in first.words and first.confirm.text() == "Take it out"
    first.confirm.click()
    again = batch()
    assert "This batch was already taken out at 14:00. Take another one?" in again.words
    assert again.confirm.text() == "Take another one"
    again.confirm.click()
    assert len(read_cupboard(tmp_path).batches) == 2
    # Another batch is another one, and one of other prices is the same.
    assert "already" not in batch(plan_of(5)).words
    assert "already" in batch(plan_of(prices=Prices(wax_per_kg=12.0))).words


def test_a_batch_is_remembered_on_another_day_until_it_is_taken_back(
    page: CupboardPage, batch: Open, tmp_path: Path, qtbot: QtBot
) -> None:
    batch().confirm.click()
    later = CupboardBatch(plan_of(), read_cupboard(tmp_path), None, NOW + timedelta(days=2))
    qtbot.addWidget(later)
    assert "already taken out on 2026-11-25 at 14:00" in later.words
    page.take_back()
    assert "already" not in batch().words


def test_what_the_cupboard_does_not_hold_is_listed(batch: Open) -> None:
    plan = plan_of(oils=(OilPart(described_oil("lemon", "lemon")),), load_pct=3.0)
    panel = batch(plan, Chosen("Meadow 7", "Round", "", ""))
    assert plan.oil is not None
    wicks = 6 * int(plan.wick.count.value)
    volume = plan.oil.volume_ml.shown
    assert f"Not from the cupboard: {volume} of lemon, {wicks} wicks, 6 labels." in panel.words
    choose(panel, "oil lemon", "Orange")
    choose(panel, "wax", "")
    assert (
        f"Not from the cupboard: {plan.wax.weigh_g.shown} of beeswax, {wicks} wicks, 6 labels." in panel.words
    )
