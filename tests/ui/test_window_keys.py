"""The menu, the keys of the pages, and Enter on a button."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from candlebench.ui.main_window import MainWindow
from candlebench.ui.tabs import TABS


@pytest.mark.parametrize("place", range(len(TABS)))
def test_ctrl_and_a_digit_shows_a_tabs_page(typed_melt: MainWindow, qtbot: QtBot, place: int) -> None:
    typed_melt.show_page("safety")
    key = Qt.Key(Qt.Key.Key_1.value + place)
    qtbot.keyClick(typed_melt, key, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: typed_melt.present_page == TABS[place][0])
    words = f"{TABS[place][1]}\tCtrl+{place + 1}"
    assert words in [action.text() for action in typed_melt.menu.actions()]


def test_what_is_about_a_melt_waits_for_one(window: MainWindow) -> None:
    window.menu.aboutToShow.emit()
    waiting = [action.text().split("\t")[0] for action in window.menu.actions() if not action.isEnabled()]
    assert [words.split(":")[0] for words in waiting] == [
        "This melt",
        "Debrief of this melt",
        "Save this melt as CSV…",
    ]
    window.first_page.buttons["typed"].click()
    window.menu.aboutToShow.emit()
    assert all(action.isEnabled() for action in window.menu.actions())


def test_enter_presses_the_button_that_has_the_focus(window: MainWindow, qtbot: QtBot) -> None:
    button = window.first_page.buttons["typed"]
    button.setFocus()
    qtbot.keyClick(button, Qt.Key.Key_Return)
    assert window.present_page == "melt"


def test_enter_on_the_way_back_goes_back_where_the_page_itself_begins_with_enter(
    window: MainWindow, qtbot: QtBot
) -> None:
    window.show_page("practice")
    page = window.pages.currentWidget()
    back = next(b for b in page.findChildren(QPushButton) if b.text() == "Back  Esc")
    back.setFocus()
    qtbot.keyClick(back, Qt.Key.Key_Enter)
    assert window.present_page == "first" and window.workshop.runner is None


def test_enter_after_a_choice_is_left_to_the_page(window: MainWindow, qtbot: QtBot) -> None:
    window.show_page("practice")
    page = window.pages.currentWidget()
    speed = next(b for b in page.findChildren(QPushButton) if b.isCheckable() and b.isEnabled())
    speed.setFocus()
    qtbot.keyClick(speed, Qt.Key.Key_Return)
    assert window.present_page == "melt" and window.practice.source is not None


def test_a_held_enter_presses_once(typed_melt: MainWindow, qtbot: QtBot) -> None:
    from PySide6.QtCore import QCoreApplication, QEvent
    from PySide6.QtGui import QKeyEvent

    button, pressed = QPushButton("Add", typed_melt.melt_page), []
    button.clicked.connect(lambda: pressed.append(1))
    button.show()
    button.setFocus()
    for repeated in (False, True, True):
        event = QKeyEvent(
            QEvent.Type.KeyPress, Qt.Key.Key_Return, Qt.KeyboardModifier.NoModifier, "\r", repeated
        )
        QCoreApplication.sendEvent(button, event)
    assert pressed == [1]
