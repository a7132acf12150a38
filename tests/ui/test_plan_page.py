"""The plan page: typed with the keyboard alone, worked out as she types, marked where it cannot be."""

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QScrollArea, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from candlebench.core.materials.oil import find_oil
from candlebench.core.plan.planning import make_plan
from candlebench.core.plan.request import OilPart, PlanRequest
from candlebench.core.plan.tables import load_tables
from candlebench.core.plan.to_melt import melt_setup
from candlebench.core.setup import MeltSetup
from candlebench.core.units import Shown
from candlebench.records.plans import KeptPlan, Plans
from candlebench.ui.plan_page import PlanPage
from candlebench.ui.theme import DARK, LIGHT, Theme, style_sheet

TABLES = load_tables()
TODAY = date(2026, 11, 25)
USUAL = PlanRequest(
    diameter_mm=75.0,
    fill_mm=80.0,
    height_mm=92.0,
    count=6,
    oils=(OilPart(find_oil("lavender")),),
    load_pct=6.0,
    room_c=21.0,
)
OpenPlan = Callable[..., PlanPage]


@pytest.fixture
def open_plan(qtbot: QtBot) -> Iterator[OpenPlan]:
    """Opens the page in a window of a size, dressed as the program dresses it."""
    windows: list[QWidget] = []

    def opened(
        request: PlanRequest | None = None, size: tuple[int, int] = (1280, 752), **given: Any
    ) -> PlanPage:
        theme = given.pop("theme", Theme(LIGHT))
        window = QWidget()
        window.setStyleSheet(style_sheet(theme))
        page = PlanPage(TABLES, given.pop("shown", Shown()), theme, room_c=21.0, **given)
        box = QVBoxLayout(window)
        box.setContentsMargins(0, 0, 0, 0)
        box.addWidget(page)
        windows.append(window)
        window.resize(*size)
        window.show()
        qtbot.waitExposed(window)
        if request is not None:
            page.take_up(KeptPlan(uuid4(), "", "", 1.76e9, request))
        QApplication.processEvents()
        return page

    yield opened
    for window in windows:
        window.close()
        window.deleteLater()


def type_into(page: PlanPage, field: QWidget, text: str) -> None:
    """As she types it: the field taken whole, then the keys."""
    field.setFocus()
    QTest.keyClick(field, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    if text:
        QTest.keyClicks(field, text)
    else:
        QTest.keyClick(field, Qt.Key.Key_Delete)
    page.work_out()
    QApplication.processEvents()


def oil(page: PlanPage, name: str, row: int = 0) -> None:
    box = page.form.mix.rows[row].oil
    index = next(n for n in range(box.count()) if box.itemText(n) == name)
    box.setCurrentIndex(index)
    page.work_out()
    QApplication.processEvents()


def places(page: PlanPage) -> dict[str, tuple[int, int, int, int]]:
    """Where every field, row and button lies."""
    parts: dict[str, QWidget] = {
        **page.form.jar.fields,
        "load": page.form.mix.load,
        "count": page.form.mix.count,
    }
    parts |= {f"{name} {n}": row for name, rows in page.results.rows.items() for n, row in enumerate(rows)}
    parts |= {"start": page.foot.start, "words": page.foot.words, "drawing": page.form.jar.drawing}
    parts |= {f"check {code}": row for code, row in page.results.checks.items()}
    found = {}
    for name, part in parts.items():
        at = part.mapTo(page, QPoint(0, 0))
        found[name] = (at.x(), at.y(), part.width(), part.height())
    return found


# --- with the keyboard alone -----------------------------------------------------------------------------

# Keystroke-Level Model, Card, Moran and Newell, Communications of the ACM 23 (1980) 396-410: a key of an
# average non-secretary typist, and the thought before each unit. From memory.
KEY_S, THOUGHT_S = 0.28, 1.35


class Hands:
    """Presses keys where the focus is, and counts them."""

    def __init__(self) -> None:
        self.keys = 0
        self.thoughts = 0

    def _focus(self) -> QWidget:
        widget = QApplication.focusWidget()
        assert widget is not None
        return widget

    def type(self, text: str) -> None:
        self.thoughts += 1
        self.keys += len(text)
        QTest.keyClicks(self._focus(), text)

    def press(self, key: Qt.Key, modifier: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        self.keys += 1 if modifier == Qt.KeyboardModifier.NoModifier else 2
        QTest.keyClick(self._focus(), key, modifier)

    @property
    def seconds(self) -> float:
        return self.keys * KEY_S + self.thoughts * THOUGHT_S


def test_six_jars_are_planned_from_nothing_with_the_keyboard_in_under_two_minutes(
    open_plan: OpenPlan, qtbot: QtBot
) -> None:
    page, hands = open_plan(), Hands()
    page.take_focus()
    tab = Qt.Key.Key_Tab
    # 90 mm at the top, 70 at the bottom, poured to 65 of 80: every size is another than what stood there.
    for size in ("90", "70", "65", "80"):
        hands.type(size)
        hands.press(tab)
    for _ in range(3):
        # Past the weights of water and the wax, beeswax, to the candles.
        hands.press(tab)
    hands.type("6")
    hands.press(tab)
    hands.type("Lav")
    while page.form.mix.rows[0].oil.currentText() != "Lavender":
        hands.press(Qt.Key.Key_Down)
        assert hands.keys < 60
    while QApplication.focusWidget() is not page.form.mix.load:
        hands.press(tab)
        assert hands.keys < 60
    hands.type("5")
    with qtbot.waitSignal(page.melt_wanted) as asked:
        hands.press(Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert hands.seconds < 120.0
    plan = page.plan
    assert plan is not None and plan.request.count == 6
    # Frustum of a cone, V = pi h / 12 (D² + D d + d²), as in any table of solids; the wall is straight, so
    # it is 70 + 20 · 65 / 80 = 86.25 mm wide at the fill line.
    each_ml = math.pi * 65.0 / 12.0 * (86.25**2 + 86.25 * 70.0 + 70.0**2) / 1000.0
    assert plan.jar.volume_ml.value == pytest.approx(each_ml)
    (setup,) = asked.args
    assert isinstance(setup, MeltSetup)
    assert setup.oil is not None and setup.wax_g is not None and setup.oil.mass_g is not None
    share = setup.oil.mass_g / (setup.oil.mass_g + setup.wax_g)
    assert share == pytest.approx(0.05, abs=0.0005)


def test_every_field_and_source_is_reached_with_the_tab_key(open_plan: OpenPlan) -> None:
    page = open_plan(USUAL)
    page.take_focus()
    met: list[QWidget] = []
    for _ in range(300):
        widget = QApplication.focusWidget()
        assert widget is not None
        if met and widget is met[0]:
            break
        met.append(widget)
        QTest.keyClick(widget, Qt.Key.Key_Tab)
    wanted = [*page.form.jar.fields.values(), page.form.mix.wax, page.form.mix.count, page.form.mix.load]
    wanted += [page.form.own.head, page.form.prices.head, page.foot.start, page.foot.batch, page.foot.labels]
    wanted += [link for link in page.results.links() if link.isVisibleTo(page) and link.isEnabled()]
    assert [part.accessibleName() for part in wanted if part not in met] == []
    assert met.index(page.form.mix.count) < met.index(page.form.mix.load) < met.index(page.foot.start)


def test_enter_goes_on_to_the_next_field_and_the_arrows_step(open_plan: OpenPlan) -> None:
    page = open_plan(USUAL)
    diameter, bottom = page.form.jar.fields["diameter_mm"], page.form.jar.fields["bottom_mm"]
    diameter.setFocus()
    QTest.keyClick(diameter, Qt.Key.Key_Up)
    assert diameter.text() == "76"
    QTest.keyClick(diameter, Qt.Key.Key_Return)
    assert bottom.hasFocus()
    load = page.form.mix.load
    load.setText("6.3")
    QTest.keyClick(load, Qt.Key.Key_Up)
    assert load.text() == "6.5"
    QTest.keyClick(load, Qt.Key.Key_Down)
    assert load.text() == "6"


def test_the_source_of_a_number_is_behind_a_key(open_plan: OpenPlan) -> None:
    page = open_plan(USUAL)
    link = page.results.flash.source
    assert not link.label.isVisible()
    link.setFocus()
    QTest.keyClick(link, Qt.Key.Key_Space)
    assert link.label.isVisible() and "Vidal" in link.label.text()
    QTest.keyClick(link, Qt.Key.Key_Space)
    assert not link.label.isVisible()


def test_every_number_of_a_plan_has_a_reason_and_a_source(open_plan: OpenPlan) -> None:
    prices = replace(USUAL.prices, currency="€", wax_per_kg=22.0)
    page = open_plan(replace(USUAL, prices=prices, water_fill_g=350.0))
    assert page.plan is not None
    rows = [row for group in page.results.rows.values() for row in group]
    assert [row.name.text() for row in rows if not row.why.text()] == []
    assert [row.name.text() for row in rows if not row.source.label.text()] == []
    reasons = [*page.results.checks.values(), *page.results.cautions]
    shown = [row for row in reasons if row.isVisibleTo(page)]
    assert [row.text.text() for row in shown if not (row.why.text() and row.source.label.text())] == []


# --- while she types -------------------------------------------------------------------------------------


def test_results_follow_what_is_typed_by_themselves(open_plan: OpenPlan, qtbot: QtBot) -> None:
    page = open_plan(USUAL)
    assert "1682" in page.results.wax.amount.text()
    field = page.form.mix.count
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, "8")
    eight = make_plan(replace(USUAL, count=8), TABLES).wax.weigh_g.number
    assert eight != "1682"
    qtbot.waitUntil(lambda: eight in page.results.wax.amount.text())


def test_a_decimal_comma_is_as_good_as_a_point(open_plan: OpenPlan) -> None:
    page = open_plan(USUAL)
    type_into(page, page.form.mix.load, "4,5")
    assert page.plan is not None and page.plan.request.load_pct == 4.5


WRONG = [
    ("diameter_mm", "8o", "no number"),
    ("diameter_mm", "", "type a number"),
    ("diameter_mm", "7.5", "from 10 to 300"),
    ("fill_mm", "120", "92 mm high"),
    ("fill_mm", "", "how high"),
    ("water_fill_g", "99999", "from 1 to 20000"),
    ("count", "2.5", "whole number"),
    ("load", "9", "6 %"),
    ("load", "-1", "from 0 to 30"),
]


@pytest.mark.parametrize(("name", "text", "says"), WRONG)
def test_impossible_input_is_marked_at_its_field_and_nothing_moves(
    open_plan: OpenPlan, name: str, text: str, says: str
) -> None:
    page = open_plan(USUAL)
    fields = {**page.form.jar.fields, "count": page.form.mix.count, "load": page.form.mix.load}
    note = page.form.jar.note if name in page.form.jar.fields else page.form.mix.note
    fields[name].setFocus()
    QApplication.processEvents()
    before = places(page)
    good = fields[name].text()
    type_into(page, fields[name], text)
    assert page.plan is None
    assert says in fields[name].fault and note.property("role") == "problem"
    assert says in note.text().replace("\N{NO-BREAK SPACE}", " ")
    assert [key for key, field in fields.items() if field.fault] == [name]
    assert not page.foot.start.isEnabled() and not page.foot.batch.isEnabled()
    assert "–" in page.results.wax.amount.text(), "no number of an earlier input stands there"
    assert places(page) == before
    type_into(page, fields[name], good)
    assert page.plan is not None and page.foot.start.isEnabled()
    assert [key for key, field in fields.items() if field.fault] == []
    assert places(page) == before


def test_nothing_moves_while_numbers_and_reasons_change(open_plan: OpenPlan) -> None:
    page = open_plan(USUAL)
    page.form.mix.load.setFocus()
    QApplication.processEvents()
    before = places(page)
    for field, texts in (
        (page.form.mix.count, ("1", "48", "999", "6")),
        (page.form.mix.load, ("0.5", "3,25", "6")),
        (page.form.jar.fields["diameter_mm"], ("50", "120", "200", "75")),
        (page.form.jar.fields["fill_mm"], ("20", "91.5", "80")),
        (page.form.jar.fields["height_mm"], ("", "240", "92")),
        (page.form.jar.fields["bottom_mm"], ("60", "")),
        (page.form.jar.fields["water_fill_g"], ("350", "")),
    ):
        for text in texts:
            type_into(page, field, text)
            assert page.plan is not None
            assert places(page) == before, f"{field.name}: {text}"
    for name in ("Sweet orange", "Eucalyptus (70 to 75 % cineole)", "Bitter orange petitgrain", "Lavender"):
        oil(page, name)
        assert places(page) == before, name


def test_all_wrong_fields_are_marked_at_once(open_plan: OpenPlan) -> None:
    page = open_plan(USUAL)
    type_into(page, page.form.jar.fields["diameter_mm"], "wide")
    type_into(page, page.form.mix.load, "9")
    assert page.form.jar.fields["diameter_mm"].fault and page.form.mix.load.fault


def test_what_only_shows_while_it_is_worked_out_is_marked_too(open_plan: OpenPlan) -> None:
    # Twenty wicks 15 mm thick take more room than a jar of 60 mm has: 20 · 15² > 60².
    page = open_plan(replace(USUAL, diameter_mm=60.0, wick_count=20, wick_mm=15.0))
    assert page.plan is None
    assert "no room" in page.form.own.fields["wick_mm"].fault
    assert "look here" in page.form.own.head.text(), "the folded card tells where to look"
    assert "no room" in page.foot.words.text()


def test_a_room_that_no_plan_can_be_made_in_is_told_where_the_room_stands(open_plan: OpenPlan) -> None:
    page = open_plan(USUAL)
    page.use_place(58.0, 0.0)
    assert page.plan is None
    assert "Room" in page.form._place.text() and page.form._place.property("role") == "problem"
    assert "Room" in page.foot.words.text()
    page.use_place(23.0, 0.0)
    assert page.plan is not None and page.form._place.property("role") == "muted"


def test_a_part_of_nothing_is_marked_at_its_own_oil(open_plan: OpenPlan) -> None:
    parts = (OilPart(find_oil("lavender"), 70.0), OilPart(find_oil("peppermint"), 30.0))
    page = open_plan(replace(USUAL, oils=parts))
    rows = page.form.mix.rows
    assert page.plan is not None and len(rows) == 2
    type_into(page, rows[1].parts, "0")
    assert page.plan is None
    assert not rows[0].parts.fault and "Peppermint" in rows[1].parts.fault


# --- oils ------------------------------------------------------------------------------------------------


def test_without_an_oil_it_is_a_plain_candle(open_plan: OpenPlan) -> None:
    page = open_plan()
    assert page.plan is not None and page.plan.oil is None
    assert page.foot.start.isEnabled()
    assert "plain candle" in page.form.mix.note.text()


def test_each_oil_of_a_blend_shows_what_to_weigh(open_plan: OpenPlan) -> None:
    page = open_plan(USUAL)
    page.form.mix.add.click()
    QApplication.processEvents()
    assert QApplication.focusWidget() is page.form.mix.rows[1].oil
    oil(page, "Peppermint", row=1)
    type_into(page, page.form.mix.rows[0].parts, "3")
    plan = page.plan
    assert plan is not None and plan.oil is not None
    for row, line in zip(page.form.mix.rows, plan.oil.lines, strict=True):
        assert line.weigh_g.number in row.weigh.text()
    weighed = [line.weigh_g.value for line in plan.oil.lines]
    assert weighed[0] == pytest.approx(3.0 * weighed[1], abs=0.21), "3 parts to 1, on steps of 0.1 g"
    page.form.mix.rows[0].remove.click()
    page.work_out()
    assert page.plan is not None and [part.oil.name for part in page.plan.request.oils] == ["peppermint"]


def test_an_oil_known_by_its_data_sheet_only_is_asked_for_what_is_missing(open_plan: OpenPlan) -> None:
    page = open_plan(USUAL)
    row = page.form.mix.rows[0]
    oil(page, "another, by its data sheet")
    assert page.plan is None and "density" in row.density.fault
    type_into(page, row.density, "0.9")
    assert page.plan is not None and not page.foot.start.isEnabled()
    assert "flash point" in page.foot.words.text()
    type_into(page, row.flash, "90")
    assert page.plan is not None and page.foot.start.isEnabled()


def test_no_melt_is_offered_while_something_stands_against_it(open_plan: OpenPlan) -> None:
    page = open_plan(USUAL)
    asked: list[object] = []
    page.melt_wanted.connect(asked.append)
    # Sweet orange at 6 % in beeswax brings the flash point under 80 °C: no window is left.
    oil(page, "Sweet orange")
    assert page.plan is not None and page.plan.stops
    assert not page.foot.start.isEnabled()
    assert "no window" in page.results.oil_in.amount.text()
    assert "No safe window" in page.foot.words.text()
    page.take_focus()
    focus = QApplication.focusWidget()
    assert focus is not None
    QTest.keyClick(focus, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert asked == []


# --- leading on ------------------------------------------------------------------------------------------


def test_the_melt_takes_oil_windows_limits_and_the_title_along(open_plan: OpenPlan, qtbot: QtBot) -> None:
    page = open_plan(USUAL, altitude_m=1500.0)
    type_into(page, page.head.title, "For the market")
    with qtbot.waitSignal(page.melt_wanted) as asked:
        page.foot.start.click()
    assert page.plan is not None and page.plan.request.altitude_m == 1500.0
    assert asked.args == [melt_setup(page.plan, "For the market")]


def test_ctrl_enter_takes_what_was_typed_a_moment_ago(open_plan: OpenPlan, qtbot: QtBot) -> None:
    page = open_plan(USUAL)
    field = page.form.mix.count
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, "12")
    with qtbot.waitSignal(page.melt_wanted) as asked:
        QTest.keyClick(field, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert asked.args == [melt_setup(make_plan(replace(USUAL, count=12), TABLES))]


def test_ctrl_enter_on_a_number_that_cannot_be_starts_nothing(open_plan: OpenPlan) -> None:
    page = open_plan(USUAL)
    asked: list[object] = []
    page.melt_wanted.connect(asked.append)
    field = page.form.mix.count
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, "0")
    assert page.foot.start.isEnabled(), "it has not been worked out yet"
    QTest.keyClick(field, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert asked == [] and field.fault


@pytest.mark.parametrize(
    ("modifier", "paper"),
    [
        (Qt.KeyboardModifier.ControlModifier, "batch"),
        (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier, "labels"),
    ],
)
def test_the_papers_are_asked_for_by_key(
    open_plan: OpenPlan, qtbot: QtBot, modifier: Qt.KeyboardModifier, paper: str
) -> None:
    page = open_plan(USUAL)
    page.take_focus()
    focus = QApplication.focusWidget()
    assert focus is not None
    with qtbot.waitSignal(page.paper_wanted) as asked:
        QTest.keyClick(focus, Qt.Key.Key_P, modifier)
    assert asked.args == [paper]


def test_melts_begun_from_the_plan_are_shown_with_it(open_plan: OpenPlan) -> None:
    asked: list[UUID] = []

    def melts_of(plan: UUID) -> list[str]:
        asked.append(plan)
        return ["2026-11-20: oil in at 73.1 °C, poured at 69.4 °C"]

    page = open_plan(USUAL, melts_of=melts_of)
    assert asked[-1] == page.plan_id
    assert page.form._melts_card.isVisibleTo(page) and "73.1 °C" in page.form._melts.text()


# --- keeping ---------------------------------------------------------------------------------------------


def test_a_plan_is_there_again_at_the_next_start(open_plan: OpenPlan, tmp_path: Path) -> None:
    page = open_plan(store=Plans(tmp_path, TODAY))
    oil(page, "Lavender")
    type_into(page, page.form.mix.count, "9")
    type_into(page, page.form.own.fields["oil_step_g"], "0.01")
    type_into(page, page.form.prices.fields["prices.jar_each"], "0.95")
    page.hide()
    again = open_plan(store=Plans(tmp_path, TODAY))
    assert again.plan is not None and page.plan is not None
    assert again.plan.request == page.plan.request
    assert again.plan_id == page.plan_id
    assert again.form.mix.count.text() == "9" and again.form.mix.rows[0].oil.currentText() == "Lavender"


def test_a_plan_is_kept_before_the_page_is_made_anew(open_plan: OpenPlan, tmp_path: Path) -> None:
    store = Plans(tmp_path, TODAY)
    page = open_plan(store=store)
    page.form.mix.count.setFocus()
    page.form.mix.count.selectAll()
    QTest.keyClicks(page.form.mix.count, "11")
    page.watch(False)
    assert open_plan(store=store).form.mix.count.text() == "11"


def test_a_page_that_was_only_looked_at_keeps_nothing(open_plan: OpenPlan, tmp_path: Path) -> None:
    store = Plans(tmp_path, TODAY)
    open_plan(store=store).hide()
    assert store.all() == () and list(tmp_path.iterdir()) == []


def test_a_new_plan_leaves_the_earlier_one_and_keeps_the_shops_prices(
    open_plan: OpenPlan, tmp_path: Path
) -> None:
    store = Plans(tmp_path, TODAY)
    page = open_plan(store=store)
    type_into(page, page.form.mix.count, "9")
    type_into(page, page.form.prices.fields["prices.wax_per_kg"], "22")
    first = page.plan_id
    page.head.new.click()
    assert page.plan_id != first and page.form.mix.count.text() == "6"
    assert page.plan is not None and page.plan.request.prices.wax_per_kg == 22.0
    kept = store.find(first)
    assert kept is not None and kept.request.count == 9
    page.head.fill_menu()
    page.head.menu.actions()[0].trigger()
    assert page.plan_id == first and page.form.mix.count.text() == "9"


def kept_three(tmp_path: Path) -> Plans:
    """Three plans, of 3, 4 and 5 jars; the last was changed last."""
    store = Plans(tmp_path, TODAY)
    for count in (3, 4, 5):
        request = replace(USUAL, count=count)
        store.keep(KeptPlan(uuid4(), f"batch of {count} & more", "", 1.76e9 + count, request))
    return store


def test_a_plan_made_anew_has_all_of_the_old_one_and_leaves_it_as_it_is(
    open_plan: OpenPlan, tmp_path: Path
) -> None:
    store = kept_three(tmp_path)
    page = open_plan(store=store)
    old = page.plan_id
    page.head.anew.click()
    assert page.plan_id != old and page.own_title == ""
    assert page.plan is not None and page.plan.request.count == 5 and page.plan.request.oils == USUAL.oils
    type_into(page, page.form.mix.count, "12")
    page.keep()
    kept, before = store.find(page.plan_id), store.find(old)
    assert kept is not None and kept.request.count == 12
    assert before is not None and before.request.count == 5 and before.title == "batch of 5 & more"


def throw_away(page: PlanPage, place: int) -> None:
    """By the menu, as she does it."""
    page.head.fill_menu()
    (away,) = [entry.menu() for entry in page.head.menu.actions() if entry.menu() is not None]
    away.actions()[place].trigger()  # type: ignore[attr-defined]


def test_an_earlier_plan_is_thrown_away_and_can_be_brought_back(open_plan: OpenPlan, tmp_path: Path) -> None:
    store = kept_three(tmp_path)
    page = open_plan(store=store)
    present = page.plan_id
    assert not page.head.undo.isVisible()
    throw_away(page, 1)
    assert [kept.request.count for kept in Plans(tmp_path, TODAY).all()] == [5, 3]
    assert page.plan_id == present and page.head.undo.isVisible()
    assert "batch of 4" in page.head.undo.toolTip()
    page.head.undo.click()
    assert {kept.request.count for kept in Plans(tmp_path, TODAY).all()} == {3, 4, 5}
    assert page.plan is not None and page.plan.request.count == 4 and not page.head.undo.isVisible()


def test_throwing_the_present_plan_away_shows_the_latest_of_the_rest(
    open_plan: OpenPlan, tmp_path: Path
) -> None:
    page = open_plan(store=kept_three(tmp_path))
    type_into(page, page.form.mix.count, "50")
    for left in ([4, 3], [3], []):
        throw_away(page, 0)
        page.hide()
        assert [kept.request.count for kept in Plans(tmp_path, TODAY).all()] == left
        page.show()
    assert page.plan is not None and page.plan.request.oils == ()


def test_the_tab_key_comes_to_another_oil_before_the_rows_below_it(open_plan: OpenPlan) -> None:
    page = open_plan(USUAL)
    mix = page.form.mix
    mix.count.setFocus()
    QTest.keyClick(mix.count, Qt.Key.Key_Tab)
    assert QApplication.focusWidget() is mix.add
    QTest.keyClick(mix.add, Qt.Key.Key_Tab)
    assert QApplication.focusWidget() is mix.rows[0].oil


def test_a_plan_that_cannot_be_kept_is_said_and_still_starts_its_melt(
    open_plan: OpenPlan, tmp_path: Path, qtbot: QtBot
) -> None:
    page = open_plan(USUAL, store=Plans(tmp_path / "shop", TODAY))
    (tmp_path / "shop").write_text("no folder", encoding="utf-8")
    with qtbot.waitSignals([page.trouble, page.melt_wanted]):
        page.start()


# --- looks -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "theme", [Theme(LIGHT), Theme(DARK, 1.3), Theme(LIGHT, 2.0)], ids=["100", "130", "200"]
)
@pytest.mark.parametrize("size", [(1280, 752), (900, 572)])
def test_nothing_is_wider_than_its_column(open_plan: OpenPlan, theme: Theme, size: tuple[int, int]) -> None:
    parts = tuple(OilPart(find_oil(name), 1.0) for name in ("eucalyptus", "petitgrain", "cedarwood-atlas"))
    page = open_plan(replace(USUAL, oils=parts), size, theme=theme)
    for head in (page.form.own.head, page.form.prices.head):
        head.setChecked(True)
    for row in page.form.mix.rows:
        row.sheet.setChecked(True)
    for _ in range(3):
        QApplication.processEvents()
    for scroll in page.findChildren(QScrollArea):
        body = scroll.widget()
        if body is not None and scroll.isVisible():
            assert body.width() <= scroll.viewport().width()


def test_the_jar_is_drawn_to_scale(open_plan: OpenPlan) -> None:
    page = open_plan(replace(USUAL, diameter_mm=80.0, fill_mm=40.0, height_mm=60.0))
    image = page.form.jar.drawing.grab().toImage()
    # The wax is the largest area of one colour beside the card's own ground.
    ground, counts = image.pixelColor(1, 1).name(), dict[str, int]()
    colors = [[image.pixelColor(x, y) for x in range(image.width())] for y in range(image.height())]
    for line in colors:
        for color in line:
            counts[color.name()] = counts.get(color.name(), 0) + 1
    wax = QColor(max((name for name in counts if name != ground), key=lambda name: counts[name]))
    found = [(x, y) for y, line in enumerate(colors) for x, color in enumerate(line) if color == wax]
    wide = max(x for x, _ in found) - min(x for x, _ in found) + 1
    high = max(y for _, y in found) - min(y for _, y in found) + 1
    # 80 mm wide and 40 mm high; the line on top and the edges take a pixel or two.
    assert wide / high == pytest.approx(2.0, rel=0.08)


def test_several_wicks_stand_where_the_plan_puts_them(open_plan: OpenPlan) -> None:
    page = open_plan(replace(USUAL, diameter_mm=120.0, fill_mm=70.0))
    plan = page.plan
    assert plan is not None and len(plan.wick.positions_mm) == 3
    drawing = page.results.wicks
    image = drawing.grab().toImage()
    ink = QColor(LIGHT.text)
    dots = sum(
        image.pixelColor(x, y) == ink for x in range(image.width()) for y in range(image.height() - 24)
    )
    page = open_plan(USUAL)
    image = page.results.wicks.grab().toImage()
    one = sum(image.pixelColor(x, y) == ink for x in range(image.width()) for y in range(image.height() - 24))
    assert dots == pytest.approx(3 * one, rel=0.2) and one > 10
    assert "from the middle" in drawing.accessibleDescription()


def test_temperatures_are_shown_and_typed_in_fahrenheit(open_plan: OpenPlan) -> None:
    page = open_plan(USUAL, shown=Shown("F"))
    # 68 to 71 °C are 154.4 to 159.8 °F.
    assert "154.4" in page.results.pour.amount.text() and "159.8" in page.results.pour.amount.text()
    type_into(page, page.form.own.fields["pour_c"], "158")
    assert page.plan is not None and page.plan.pour_c == pytest.approx(70.0)
    shown = [row.amount.text() + row.why.text() for row in page.results.rows["limits"]]
    assert "°C" not in "".join(shown)


def test_a_low_page_of_large_letters_leaves_most_of_its_height_to_the_plan(open_plan: OpenPlan) -> None:
    # 620 px less the window's bar with large letters.
    page = open_plan(replace(USUAL, jar_c=15.0), (900, 572), theme=Theme(LIGHT, 2.0))
    for _ in range(3):
        QApplication.processEvents()
    assert page._columns.height() >= 0.7 * page.height()
    caution = page.foot.words.toolTip()
    assert caution.startswith("Warm the jars") and page.foot.words.accessibleName() == caution
    assert page.foot.words.text().endswith("…")
    assert page.head.isVisible() and page._columns.isAncestorOf(page.head)
    type_into(page, page.form.mix.count, "0")
    page.work_out()
    assert page.foot.words.text() == "Candles: type a number from 1 to 1000."
    page.window().resize(1900, 752)
    for _ in range(3):
        QApplication.processEvents()
    assert not page._columns.isAncestorOf(page.head) and page.head.isVisible() and page.head.y() == 0
