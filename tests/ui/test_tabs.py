"""The tabs: which page is shown, by mouse and by key, and what happens where they have no room."""

from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from candlebench.ui.main_window import MainWindow
from candlebench.ui.tabs import TABS, TabRow
from candlebench.ui.theme import LIGHT, Theme

MANY = (("plan", "Plan"), ("melt", "Melt"), ("log", "Log book"))


def row(qtbot: QtBot, scale: float = 1.0) -> TabRow:
    tabs = TabRow(MANY)
    qtbot.addWidget(tabs)
    tabs.use(Theme(LIGHT, scale))
    return tabs


def test_the_tab_of_the_shown_page_is_marked(qtbot: QtBot) -> None:
    tabs = row(qtbot)
    tabs.show_present("log")
    assert [name for name, tab in tabs.tabs.items() if tab.isChecked()] == ["log"]
    tabs.show_present("settings")
    assert not any(tab.isChecked() for tab in tabs.tabs.values())


def test_a_click_asks_for_the_page_and_marks_nothing_by_itself(qtbot: QtBot) -> None:
    tabs = row(qtbot)
    tabs.show_present("melt")
    with qtbot.waitSignal(tabs.wanted) as asked:
        tabs.tabs["plan"].click()
    assert asked.args == ["plan"]
    assert tabs.tabs["melt"].isChecked() and not tabs.tabs["plan"].isChecked()


def test_tabs_without_room_become_one_button_that_names_the_page(qtbot: QtBot) -> None:
    tabs = row(qtbot, 2.0)
    tabs.show_present("log")
    tabs.fit(2000)
    assert tabs.folded.isHidden() and not any(tab.isHidden() for tab in tabs.tabs.values())
    tabs.fit(200)
    assert not tabs.folded.isHidden() and all(tab.isHidden() for tab in tabs.tabs.values())
    assert "Log book" in tabs.folded.text()
    actions = tabs.folded.menu().actions()
    assert [action.text() for action in actions] == ["Plan", "Melt", "Log book"]
    with qtbot.waitSignal(tabs.wanted) as asked:
        actions[1].trigger()
    assert asked.args == ["melt"]


def test_the_next_tab_goes_around_the_end(qtbot: QtBot) -> None:
    tabs = row(qtbot)
    assert [tabs.beside(name, 1) for name in ("plan", "melt", "log", "settings")] == [
        "melt", "log", "plan", "plan",
    ]  # fmt: skip
    assert tabs.beside("plan", -1) == "log"


def test_the_sign_of_danger_stands_on_its_tab_and_moves_none(qtbot: QtBot) -> None:
    tabs = row(qtbot)
    tabs.show_present("plan")
    tabs.fit(2000)
    before, width = tabs.tabs["melt"].grab().toImage(), tabs.tabs["melt"].sizeHint()
    tabs.show_danger("melt", True)
    assert tabs.tabs["melt"].grab().toImage() != before
    assert tabs.tabs["melt"].sizeHint() == width
    assert "danger" in tabs.tabs["melt"].accessibleName()
    assert not tabs.folded.icon().isNull() and "danger" in tabs.folded.accessibleName()
    tabs.show_danger("melt", False)
    assert tabs.tabs["melt"].grab().toImage() == before
    assert tabs.folded.icon().isNull() and "danger" not in tabs.folded.accessibleName()


def test_enter_presses_a_tab(typed_melt: MainWindow, qtbot: QtBot) -> None:
    qtbot.keyClick(typed_melt.bar.tabs.tabs["plan"], Qt.Key.Key_Return)
    assert typed_melt.present_page == "plan"


def test_every_tab_leads_to_its_page(typed_melt: MainWindow) -> None:
    for name, _ in TABS:
        typed_melt.bar.tabs.tabs[name].click()
        assert typed_melt.present_page == name
        assert typed_melt.bar.tabs.tabs[name].isChecked()


def test_page_down_with_ctrl_turns_the_pages(typed_melt: MainWindow, qtbot: QtBot) -> None:
    names = [name for name, _ in TABS]
    for name in (*names[names.index("melt") + 1 :], *names[: names.index("melt") + 1]):
        qtbot.keyClick(typed_melt, Qt.Key.Key_PageDown, Qt.KeyboardModifier.ControlModifier)
        qtbot.waitUntil(lambda wanted=name: typed_melt.present_page == wanted)


def test_the_melt_tab_leads_to_the_first_question_while_there_is_no_melt(window: MainWindow) -> None:
    window.show_page("practice")
    window.bar.tabs.tabs["melt"].click()
    assert window.present_page == "first"
