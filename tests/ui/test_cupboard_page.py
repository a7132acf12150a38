"""The cupboard's page: putting in, changing, using, taking away, finding, and undoing it."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest
from full_cupboard import CUPBOARD, STOCK
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QAccessible, QKeySequence, QShortcut
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QMainWindow, QScrollArea
from pytestqt.qtbot import QtBot

from candlebench.core.plan.tables import load_tables
from candlebench.core.units import Shown
from candlebench.records.cupboard import CupboardStore, read_cupboard
from candlebench.records.cupboard_stock import Stock, amount_of
from candlebench.ui.cupboard_amount import CupboardAmount
from candlebench.ui.cupboard_form import CupboardForm
from candlebench.ui.cupboard_mix import CupboardMix
from candlebench.ui.cupboard_page import CupboardPage
from candlebench.ui.theme import DARK, LIGHT, Theme, style_sheet

from .pressing import words

TABLES = load_tables()
NOW = datetime(2026, 11, 25, 14, 0).astimezone()

Make = Callable[..., CupboardPage]


@pytest.fixture
def make(qtbot: QtBot, tmp_path: Path) -> Make:
    """Opens a page, as large as its window, on a cupboard in the test's folder."""

    def opened(
        stock: Stock = STOCK,
        unit: str = "C",
        size: tuple[int, int] = (1280, 752),
        scale: float = 1.0,
        back: Callable[[], None] = lambda: None,
    ) -> CupboardPage:
        store = CupboardStore(tmp_path, lambda: NOW)
        if stock.count:
            store.change(stock, "all of it")
            store = CupboardStore(tmp_path, lambda: NOW)
        theme = Theme(LIGHT, scale)
        page = CupboardPage(store, TABLES, Shown(unit), theme, back, NOW.date, currency="EUR")
        qtbot.addWidget(page)
        page.setFont(theme.font(16))
        page.setStyleSheet(style_sheet(theme))
        page.resize(*size)
        with qtbot.waitActive(page):
            page.show()
            page.activateWindow()
        page.take_focus()
        return page

    return opened


def row(page: CupboardPage, name: str) -> None:
    """Go to the row of that name with the keyboard."""
    QTest.keyClick(page.table, Qt.Key.Key_Home, Qt.KeyboardModifier.ControlModifier)
    for _ in range(30):
        if page.table.present and page.table.present.name == name:
            return
        QTest.keyClick(page.table, Qt.Key.Key_Down)
    raise AssertionError(name)


def form(page: CupboardPage) -> CupboardForm:
    assert isinstance(page.panel, CupboardForm)
    return page.panel


def fill(page: CupboardPage, **typed: str) -> None:
    for key, text in typed.items():
        editor = form(page).entries[key].editor
        assert isinstance(editor, QLineEdit)
        editor.clear()
        QTest.keyClicks(editor, text)


# --- an empty cupboard --------------------------------------------------------------------------------------


def test_an_empty_cupboard_says_how_to_begin_and_enter_begins(make: Make, tmp_path: Path) -> None:
    page = make(Stock())
    assert "still empty" in words(page) and not page.table.isVisibleTo(page)
    assert page.empty.buttons["waxes"].hasFocus()
    QTest.keyClick(page.empty.buttons["waxes"], Qt.Key.Key_Space)
    assert form(page).entries["name"].editor.hasFocus()
    fill(page, name="Meadow 7", left="3,4 kg", paid="66", paid_for="3000")
    QTest.keyClick(form(page).entries["paid_for"].editor, Qt.Key.Key_Return)
    assert page.panel is None and page.said == "“Meadow 7” was put in."
    (lot,) = read_cupboard(tmp_path).cupboard.waxes
    assert (lot.name, lot.wax, lot.stock_g) == ("Meadow 7", "beeswax", 3400.0)
    assert lot.price is not None and lot.price.each == pytest.approx(0.022)
    assert read_cupboard(tmp_path).mark("waxes", "Meadow 7").since == NOW.date()
    assert page.table.hasFocus() and page.table.present is not None
    assert page.table.present.price == "22.00 EUR a kg"


@pytest.mark.parametrize(
    ("shelf", "typed"),
    [
        ("waxes", {"name": "a", "left": "1"}),
        ("oils", {"name": "a", "left": "1"}),
        ("jars", {"name": "a", "left": "1", "diameter_mm": "75", "fill_mm": "80"}),
        ("wicks", {"name": "a", "left": "1", "size": "#2"}),
        ("labels", {"name": "a", "left": "1"}),
        ("leftovers", {"name": "a", "left": "1"}),
    ],
)
def test_little_is_enough_for_a_thing(make: Make, tmp_path: Path, shelf: str, typed: dict[str, str]) -> None:
    page = make(Stock())
    page.add_to(shelf)
    fill(page, **typed)
    form(page).save.click()
    assert page.panel is None
    (thing,) = read_cupboard(tmp_path).shelf(shelf)
    assert (thing.name, amount_of(thing)) == ("a", 1.0)


# --- the form -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("shelf", "typed", "field", "said"),
    [
        ("waxes", {"left": "1"}, "name", "Name: type it here"),
        ("waxes", {"name": "a"}, "left", "In stock: type it here"),
        ("waxes", {"name": "a", "left": "much"}, "left", "“much” is no number"),
        ("waxes", {"name": "a", "left": "-1"}, "left", "from 0 to"),
        ("waxes", {"name": "a", "left": "1e400"}, "left", "is no number"),
        ("waxes", {"name": "a", "left": "5 mL"}, "left", "is no number"),
        ("waxes", {"name": "a", "left": "1", "paid": "5"}, "paid_for", "both what was paid and for how much"),
        ("waxes", {"name": "a", "left": "1", "paid": "5", "paid_for": "0"}, "paid_for", "more than 0"),
        ("waxes", {"name": "a", "left": "1", "since": "autumn"}, "since", "like 2026-11-25"),
        ("waxes", {"name": "a", "left": "1", "oil_limit_pct": "60"}, "oil_limit_pct", "from 0 to 30 %"),
        ("waxes", {"name": "a", "left": "1", "warn_c": "80"}, "melted_c", "all eight temperatures"),
        ("labels", {"name": "a", "left": "2,5"}, "left", "whole number"),
        ("labels", {"name": "Wide", "left": "2"}, "name", "already one called “Wide”"),
        ("jars", {"name": "a", "left": "1", "diameter_mm": "75"}, "fill_mm", "how high the jar is poured"),
        (
            "jars",
            {"name": "a", "left": "1", "diameter_mm": "75", "fill_mm": "90", "height_mm": "80"},
            "fill_mm",
            "80 mm high inside",
        ),
        ("leftovers", {"name": "a", "left": "9", "share": "5"}, "oil", "which oil is in it"),
    ],
)
def test_what_cannot_be_is_marked_at_the_field(
    make: Make, tmp_path: Path, shelf: str, typed: dict[str, str], field: str, said: str
) -> None:
    page = make()
    page.add_to(shelf)
    fill(page, **typed)
    form(page).save.click()
    marked = {key: entry.said for key, entry in form(page).entries.items() if entry.said}
    assert list(marked) == [field] and said in marked[field]
    assert form(page).entries[field].editor.hasFocus()
    assert form(page).entries[field].isVisibleTo(page)
    assert form(page).entries[field].editor.accessibleDescription() == marked[field]
    assert read_cupboard(tmp_path) == STOCK


def test_a_mark_goes_when_the_field_is_right(make: Make) -> None:
    page = make()
    page.add_to("labels")
    fill(page, left="some")
    form(page).save.click()
    entry = form(page).entries["left"]
    assert entry.said
    fill(page, left="12")
    assert entry.said == ""


def test_changing_nothing_changes_nothing(make: Make, tmp_path: Path) -> None:
    page = make()
    for line in page.table.lines:
        row(page, line.name)
        QTest.keyClick(page.table, Qt.Key.Key_Return)
        form(page).save.click()
        assert page.panel is None, line.name
    assert read_cupboard(tmp_path) == STOCK


def test_changing_nothing_changes_nothing_in_fahrenheit_either(make: Make, tmp_path: Path) -> None:
    page = make(unit="F")
    row(page, "Meadow 7")
    QTest.keyClick(page.table, Qt.Key.Key_Return)
    editor = form(page).entries["warn_c"].editor
    assert isinstance(editor, QLineEdit) and editor.text() == "172.4"
    form(page).save.click()
    assert read_cupboard(tmp_path) == STOCK


def test_a_change_is_kept_with_comma_or_point(make: Make, tmp_path: Path) -> None:
    page = make()
    row(page, "Pale blocks")
    QTest.keyClick(page.table, Qt.Key.Key_Return)
    assert form(page).entries["left"].editor.hasFocus()
    fill(page, name="Paler blocks", left="812,5")
    form(page).keep()
    stock = read_cupboard(tmp_path)
    expected = replace(CUPBOARD.waxes[1], name="Paler blocks", stock_g=812.5)
    assert stock.cupboard.waxes[1] == expected
    assert page.table.present is not None and page.table.present.name == "Paler blocks"


def test_more_fields_open_when_they_are_wanted(make: Make) -> None:
    page = make()
    page.add_to("waxes")
    assert not form(page).entries["shrinkage_pct"].isVisibleTo(page)
    form(page)._more.click()
    assert form(page).entries["shrinkage_pct"].isVisibleTo(page)
    assert form(page).entries["set_c"].editor.hasFocus()


def test_windows_of_a_lot_have_to_make_sense(make: Make) -> None:
    page = make()
    row(page, "Meadow 7")
    QTest.keyClick(page.table, Qt.Key.Key_F2)
    fill(page, pour_high_c="60")
    form(page).keep()
    assert "pour window must end above" in form(page).entries["pour_high_c"].said


def test_an_oil_outside_the_table_needs_its_density(make: Make) -> None:
    page = make()
    page.add_to("oils")
    fill(page, name="garden", left="10")
    form(page).entries["oil"].show_value("")
    form(page).keep()
    assert "density" in form(page).entries["density_g_per_ml"].said


def test_the_oil_of_a_leftover_is_that_of_the_bottle(make: Make, tmp_path: Path) -> None:
    page = make()
    page.add_to("leftovers")
    fill(page, name="jug", left="200", share="5")
    form(page).entries["oil"].show_value("Garden blend")
    form(page).keep()
    jug = read_cupboard(tmp_path).cupboard.leftovers[-1]
    ((oil, grams),) = jug.oils
    assert grams == pytest.approx(10.0) and jug.mass_g == pytest.approx(200.0)
    assert oil.name == "Garden blend" and oil.density_g_per_ml() == pytest.approx(0.91)


def test_what_is_in_a_mixed_leftover_stays_when_less_is_left(make: Make, tmp_path: Path) -> None:
    page = make()
    row(page, "Pot of ends")
    QTest.keyClick(page.table, Qt.Key.Key_Return)
    assert "Mixed waxes" in words(page) and "wax" not in form(page).entries
    fill(page, left="154")
    form(page).keep()
    left = read_cupboard(tmp_path).cupboard.leftovers[1]
    assert left.mass_g == pytest.approx(154.0) and left.oil_g == pytest.approx(4.0)


# --- using, taking away, undoing ----------------------------------------------------------------------------


def test_some_is_used_with_the_keyboard_alone(make: Make, tmp_path: Path) -> None:
    page = make()
    row(page, "Soy flakes")
    QTest.keyClick(page.table, Qt.Key.Key_U)
    assert isinstance(page.panel, CupboardAmount)
    editor = page.panel.entry.editor
    QTest.keyClicks(editor, "1,2 kg")
    assert page.panel.after == "If it was used, 3800 g are left; if it was added, there are 6200 g."
    QTest.keyClick(editor, Qt.Key.Key_Return)
    assert read_cupboard(tmp_path).cupboard.waxes[2].stock_g == pytest.approx(3800.0)
    assert page.said == "Some of “Soy flakes” was used."


def test_more_is_added_and_all_is_used_up(make: Make, tmp_path: Path) -> None:
    page = make()
    row(page, "Braid no. 3")
    QTest.keyClick(page.table, Qt.Key.Key_U)
    assert isinstance(page.panel, CupboardAmount)
    QTest.keyClicks(page.panel.entry.editor, "25")
    page.panel.put_in.click()
    assert read_cupboard(tmp_path).cupboard.wicks[1].count == 37
    QTest.keyClick(page.table, Qt.Key.Key_U)
    assert isinstance(page.panel, CupboardAmount)
    page.panel.use_up.click()
    assert read_cupboard(tmp_path).cupboard.wicks[1].count == 0
    assert page.table.present is not None and page.table.present.state == "used up"


def test_more_than_there_is_cannot_be_used(make: Make, tmp_path: Path) -> None:
    page = make()
    row(page, "Orange")
    QTest.keyClick(page.table, Qt.Key.Key_U)
    assert isinstance(page.panel, CupboardAmount)
    QTest.keyClicks(page.panel.entry.editor, "61")
    page.panel.use_it.click()
    assert "Only 60 mL are left" in page.panel.entry.said
    assert read_cupboard(tmp_path) == STOCK


def test_taking_away_is_undone(make: Make, tmp_path: Path) -> None:
    page = make()
    assert not page.below.buttons["undo"].isEnabled()
    row(page, "Orange")
    QTest.keyClick(page.table, Qt.Key.Key_Delete)
    assert "Orange" not in [oil.name for oil in read_cupboard(tmp_path).cupboard.oils]
    assert page.said == "“Orange” was taken away." and page.table.hasFocus()
    page.below.buttons["undo"].click()
    assert read_cupboard(tmp_path) == STOCK
    assert page.said == "Taken back: “Orange” was taken away."
    assert not page.below.buttons["undo"].isEnabled()


def test_the_last_thing_taken_away_comes_back_into_the_empty_cupboard(make: Make, tmp_path: Path) -> None:
    page = make(Stock())
    page.add_to("labels")
    fill(page, name="a", left="3")
    form(page).keep()
    QTest.keyClick(page.table, Qt.Key.Key_Delete)
    assert "still empty" in words(page) and page.below.buttons["undo"].isVisibleTo(page)
    QTest.keySequence(page.empty.buttons["waxes"], QKeySequence("Ctrl+Z"))
    assert [line.name for line in page.table.lines] == ["a"]
    assert [label.name for label in read_cupboard(tmp_path).cupboard.labels] == ["a"]


def test_what_the_disk_refuses_is_said_and_the_form_stays(make: Make, tmp_path: Path) -> None:
    page = make()
    file = tmp_path / "cupboard.toml"
    file.unlink()
    file.mkdir()
    row(page, "Orange")
    QTest.keyClick(page.table, Qt.Key.Key_Delete)
    assert "not saved" in page.said and page.table.lines[6].name == "Orange"
    page.add_to("labels")
    fill(page, name="a", left="3")
    form(page).keep()
    assert "not saved" in form(page).problem


# --- finding ------------------------------------------------------------------------------------------------


def test_the_list_narrows_as_she_types(make: Make) -> None:
    page = make()
    QTest.keyClicks(page.tools.search, "beesw")
    assert [x.name for x in page.table.lines] == ["Meadow 7", "Pale blocks", "Jug of May", "Pot of ends"]
    QTest.keyClicks(page.tools.search, "zzz")
    assert page.table.lines == () and "Nothing in the cupboard is like that" in words(page)
    assert not page.below.buttons["change"].isEnabled()


def test_only_what_runs_low_is_shown(make: Make) -> None:
    page = make()
    assert page.tools.only_low.text() == "Running low: 4"
    page.tools.only_low.click()
    assert [x.name for x in page.table.lines] == ["Pale blocks", "Old ends", "Clove, small", "Cone"]


def test_what_was_put_in_is_seen_whatever_was_searched_for(make: Make) -> None:
    page = make()
    page.tools.search.setText("orange")
    page.add_to("labels")
    fill(page, name="Tall", left="3")
    form(page).keep()
    assert page.table.present is not None and page.table.present.name == "Tall"


def test_ctrl_f_finds_and_enter_goes_to_the_list(make: Make) -> None:
    page = make()
    QTest.keySequence(page.table, QKeySequence("Ctrl+F"))
    assert page.tools.search.hasFocus()
    QTest.keyClicks(page.tools.search, "cedar")
    QTest.keyClick(page.tools.search, Qt.Key.Key_Return)
    assert page.table.hasFocus() and page.table.present is not None and page.table.present.name == "Cedar"


def test_esc_closes_the_form_then_clears_the_search_then_leaves(qtbot: QtBot, make: Make) -> None:
    left: list[str] = []
    page = make()
    window = QMainWindow()
    qtbot.addWidget(window)
    window.setCentralWidget(page)
    QShortcut(QKeySequence("Escape"), window).activated.connect(lambda: left.append("left"))
    with qtbot.waitActive(window):
        window.show()
        window.activateWindow()
    page.tools.search.setText("cedar")
    page.add_to("oils")
    QTest.keyClick(form(page).entries["name"].editor, Qt.Key.Key_Escape)
    assert page.panel is None and page.tools.search.text() == "cedar" and page.table.hasFocus()
    QTest.keyClick(page.table, Qt.Key.Key_Escape)
    assert page.tools.search.text() == "" and left == []
    QTest.keyClick(page.table, Qt.Key.Key_Escape)
    assert left == ["left"]


# --- leftovers ----------------------------------------------------------------------------------------------


def test_leftovers_are_thrown_together_after_a_warning(make: Make, tmp_path: Path) -> None:
    page = make()
    row(page, "Orange")
    QTest.keyClick(page.table, Qt.Key.Key_T)
    assert page.panel is None
    row(page, "Jug of May")
    QTest.keyClick(page.table, Qt.Key.Key_T)
    assert isinstance(page.panel, CupboardMix)
    assert "Mixed waxes" in page.panel.words and "79.9 % Beeswax (438 g)" in page.panel.words
    page.panel.confirm.click()
    (together,) = read_cupboard(tmp_path).cupboard.leftovers
    assert together.name == "Jug of May" and together.mass_g == pytest.approx(548.0)


def test_one_leftover_alone_cannot_be_thrown_together(make: Make) -> None:
    page = make(replace(STOCK, cupboard=replace(CUPBOARD, leftovers=CUPBOARD.leftovers[:1])))
    row(page, "Jug of May")
    QTest.keyClick(page.table, Qt.Key.Key_T)
    assert page.panel is None and not page.below.buttons["mix"].isVisibleTo(page)


# --- looks and ears -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("scale", [1.0, 2.0])
@pytest.mark.parametrize("size", [(900, 572), (1280, 752)])
@pytest.mark.parametrize("asked", ["nothing", "form", "amount"])
def test_nothing_reaches_over_the_window(make: Make, scale: float, size: tuple[int, int], asked: str) -> None:
    page = make(size=size, scale=scale)
    row(page, "Meadow 7")
    QTest.keyClick(
        page.table, {"nothing": Qt.Key.Key_Down, "form": Qt.Key.Key_F2, "amount": Qt.Key.Key_U}[asked]
    )
    page._say("“Meadow 7” was changed.")
    QTest.qWait(0)
    area = page.findChild(QScrollArea)
    assert isinstance(area, QScrollArea)
    assert area.verticalScrollBar().maximum() == 0
    body = area.widget()
    assert body.minimumSizeHint().width() <= size[0]
    for part in (page.table, page.tools, page.below, page.panel):
        if part is not None and part.isVisibleTo(page):
            right = part.mapTo(page, part.rect().topRight()).x()
            assert right < size[0] and part.mapTo(page, part.rect().bottomLeft()).y() < size[1]


def test_the_list_stays_beside_the_form_only_where_there_is_room(make: Make) -> None:
    page = make()
    page.add_to("labels")
    assert page.table.isVisibleTo(page)
    small = make(size=(900, 572), scale=2.0)
    small.add_to("labels")
    assert not small.table.isVisibleTo(small) and form(small).isVisibleTo(small)
    small.close_panel()
    assert small.table.isVisibleTo(small)


def test_the_field_that_is_typed_in_is_seen(qtbot: QtBot, make: Make) -> None:
    page = make(size=(900, 572), scale=2.0)
    row(page, "Orange")
    QTest.keyClick(page.table, Qt.Key.Key_Return)
    editor = form(page).entries["left"].editor
    assert editor.hasFocus()
    qtbot.waitUntil(lambda: editor.visibleRegion().boundingRect() == editor.rect())


@pytest.mark.parametrize("name", ["Meadow 7", "Cone", "Pot of ends"])
def test_the_row_that_is_changed_stays_in_sight(make: Make, name: str) -> None:
    page = make()
    row(page, name)
    QTest.keyClick(page.table, Qt.Key.Key_Return)
    QTest.qWait(0)
    shown = page.table.visualRect(page.table.currentIndex())
    assert page.table.viewport().rect().contains(shown)


def test_where_buttons_have_no_room_one_menu_has_them_all(make: Make) -> None:
    page = make(size=(900, 572), scale=2.0)
    assert not page.below.buttons["change"].isVisibleTo(page) and page.tools.folded.isVisibleTo(page)
    row(page, "Cedar")
    page.tools.entries["change"].trigger()
    assert form(page).thing == CUPBOARD.oils[3]
    page.close_panel()
    page.tools.entries["low"].trigger()
    assert len(page.table.lines) == 4
    page.tools.entries["low"].trigger()
    page.tools.entries["take away"].trigger()
    page.tools.entries["undo"].trigger()
    assert len(page.table.lines) == 20


def test_a_row_is_read_aloud_in_whole(make: Make) -> None:
    page = make()
    model = page.table.model()
    said = [model.index(n, 0).data(Qt.ItemDataRole.AccessibleTextRole) for n in range(model.rowCount())]
    assert said[0] == "Wax lots"
    assert said[2].startswith("Pale blocks, Beeswax, pale, 900 g of 5000 g left, running low, 24.00 EUR a kg")
    assert QAccessible.queryAccessibleInterface(page.table).text(QAccessible.Text.Name)


def test_low_and_full_differ_by_more_than_colour(make: Make) -> None:
    page = make()
    page.use(Theme(DARK))
    full = replace(STOCK, cupboard=replace(CUPBOARD, waxes=(replace(CUPBOARD.waxes[0], stock_g=6000.0),)))
    low = replace(STOCK, cupboard=replace(CUPBOARD, waxes=(replace(CUPBOARD.waxes[0], stock_g=600.0),)))
    pictures = []
    for stock in (full, low):
        page._store.change(stock, "x")
        page.refresh()
        picture = page.table.viewport().grab().toImage().convertToFormat(_grey())
        pictures.append(picture)
    assert pictures[0] != pictures[1]


def _grey() -> "object":
    from PySide6.QtGui import QImage

    return QImage.Format.Format_Grayscale8


def test_the_wheel_over_a_choice_changes_nothing(make: Make) -> None:
    from PySide6.QtCore import QPoint, QPointF
    from PySide6.QtGui import QWheelEvent
    from PySide6.QtWidgets import QApplication

    page = make()
    page.add_to("oils")
    entry = form(page).entries["oil"]
    before = entry.value()
    down = QPoint(0, -120)
    none = Qt.KeyboardModifier.NoModifier
    event = QWheelEvent(
        QPointF(5, 5),
        QPointF(5, 5),
        down,
        down,
        Qt.MouseButton.NoButton,
        none,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(entry.editor, event)
    assert entry.value() == before and event.type() == QEvent.Type.Wheel
