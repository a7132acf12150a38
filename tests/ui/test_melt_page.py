"""The melt page by keyboard alone."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QMenu
from pytestqt.qtbot import QtBot

from candlebench.core.events import Action, ActionKind, Reading, Stage
from candlebench.core.state import Choice, MeltState, NextStep
from candlebench.ui.main_window import MainWindow
from candlebench.ui.next_card import NextCard
from candlebench.ui.theme import LIGHT, Theme


def state(window: MainWindow) -> MeltState:
    found = window.melt_page.state
    assert found is not None
    return found


def type_reading(window: MainWindow, qtbot: QtBot, digits: str) -> None:
    """Press the digits and Enter as the person does, each where the focus is."""
    window.activateWindow()
    window.melt_page.setFocus()
    qtbot.keyClick(window.melt_page, digits[0])
    entry = QApplication.focusWidget() or window.melt_page.now._entry
    for digit in digits[1:]:
        qtbot.keyClick(entry, digit)
    qtbot.keyClick(entry, Qt.Key.Key_Return)


def recorded(window: MainWindow) -> list[object]:
    runner = window.workshop.runner
    assert runner is not None
    return [r.event for r in window.workshop.journal.events(runner.session.melt_id)]


def test_digits_and_enter_are_a_reading(typed_melt: MainWindow, qtbot: QtBot) -> None:
    type_reading(typed_melt, qtbot, "73.4")
    qtbot.waitUntil(lambda: state(typed_melt).temp_c == 73.4)
    qtbot.waitUntil(lambda: any(isinstance(e, Reading) for e in recorded(typed_melt)))
    readings = [e for e in recorded(typed_melt) if isinstance(e, Reading)]
    assert [(r.temp_c, r.by_hand) for r in readings] == [(73.4, True)]
    assert "73.4" in typed_melt.melt_page.now._temp.text()
    assert typed_melt.melt_page.now._foot.currentWidget() is typed_melt.melt_page.now._hint


def test_7000_is_refused_with_a_sentence_and_nothing_is_recorded(
    typed_melt: MainWindow, qtbot: QtBot
) -> None:
    before = len(recorded(typed_melt))
    type_reading(typed_melt, qtbot, "7000")
    said = typed_melt.melt_page.now._hint.text()
    assert "7000" in said and "no temperature of wax" in said and "70.5" in said
    type_reading(typed_melt, qtbot, "70")
    qtbot.waitUntil(lambda: state(typed_melt).temp_c == 70.0)
    assert "7000" not in typed_melt.melt_page.now._hint.text()
    qtbot.waitUntil(lambda: len(recorded(typed_melt)) > before)
    assert [e.temp_c for e in recorded(typed_melt)[before:]] == [70.0]


def test_escape_drops_what_was_typed(typed_melt: MainWindow, qtbot: QtBot) -> None:
    before = len(recorded(typed_melt))
    typed_melt.melt_page.setFocus()
    qtbot.keyClick(typed_melt.melt_page, "7")
    entry = typed_melt.melt_page.now._entry
    assert typed_melt.melt_page.now._foot.currentWidget() is entry
    qtbot.keyClick(entry, Qt.Key.Key_Escape)
    assert entry.text() == ""
    assert typed_melt.melt_page.now._foot.currentWidget() is not entry
    assert typed_melt.present_page == "melt"
    assert len(recorded(typed_melt)) == before


def test_space_does_the_next_step(typed_melt: MainWindow, qtbot: QtBot) -> None:
    type_reading(typed_melt, qtbot, "70")
    qtbot.waitUntil(lambda: state(typed_melt).temp_c == 70.0)
    main = state(typed_melt).step.main
    assert main is not None and main.kind is ActionKind.MELTED
    qtbot.keyClick(typed_melt.melt_page, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: state(typed_melt).stage is Stage.MELTED)


@pytest.mark.parametrize(
    ("key", "stage"),
    [
        ("m", Stage.MELTED),
        ("o", Stage.OFF_HEAT),
        ("i", Stage.OIL_IN),
        ("s", Stage.STIRRED),
        ("p", Stage.POURED),
    ],
)
def test_one_letter_sets_a_stage_and_u_takes_it_back(
    typed_melt: MainWindow, qtbot: QtBot, key: str, stage: Stage
) -> None:
    qtbot.keyClick(typed_melt.melt_page, key)
    qtbot.waitUntil(lambda: state(typed_melt).stage is stage)
    qtbot.keyClick(typed_melt.melt_page, "u")
    qtbot.waitUntil(lambda: state(typed_melt).stage is Stage.WARMING)
    qtbot.waitUntil(lambda: len(recorded(typed_melt)) == 3)
    kinds = [e.kind for e in recorded(typed_melt) if isinstance(e, Action)]
    assert kinds[-1] is ActionKind.UNDO, "an undo is one more event, nothing is rewritten"


def test_ctrl_z_undoes_too(typed_melt: MainWindow, qtbot: QtBot) -> None:
    qtbot.keyClick(typed_melt.melt_page, "m")
    qtbot.waitUntil(lambda: state(typed_melt).stage is Stage.MELTED)
    qtbot.keyClick(typed_melt.melt_page, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: state(typed_melt).stage is Stage.WARMING)


def test_b_puts_it_back_on_the_heat(typed_melt: MainWindow, qtbot: QtBot) -> None:
    qtbot.keyClick(typed_melt.melt_page, "o")
    qtbot.waitUntil(lambda: not state(typed_melt).on_heat)
    qtbot.keyClick(typed_melt.melt_page, "b")
    qtbot.waitUntil(lambda: state(typed_melt).on_heat)


def test_an_overheat_is_shown_and_seen_with_one_key(typed_melt: MainWindow, qtbot: QtBot) -> None:
    type_reading(typed_melt, qtbot, "88")
    qtbot.waitUntil(lambda: any(a.code == "too_hot" for a in state(typed_melt).alarms))
    assert typed_melt.melt_page.next.property("level") == "danger"
    assert typed_melt.melt_page.next._sign.isVisible(), "a shape, never colour alone"
    qtbot.keyClick(typed_melt.melt_page, "a")
    qtbot.waitUntil(lambda: all(a.acknowledged for a in state(typed_melt).alarms))


def test_every_stage_tells_one_next_thing(typed_melt: MainWindow, qtbot: QtBot) -> None:
    said = []
    for key, stage in zip("moisp", list(Stage)[1:], strict=True):
        qtbot.keyClick(typed_melt.melt_page, key)
        qtbot.waitUntil(lambda wanted=stage: state(typed_melt).stage is wanted)
        said.append(typed_melt.melt_page.next._headline.text())
    assert all(said)
    assert typed_melt.melt_page.steps.accessibleDescription() or typed_melt.melt_page.steps.accessibleName()


def test_an_old_reading_is_greyed(typed_melt: MainWindow, qtbot: QtBot) -> None:
    from dataclasses import replace

    from candlebench.core.units import Shown

    type_reading(typed_melt, qtbot, "73.4")
    qtbot.waitUntil(lambda: state(typed_melt).temp_c == 73.4)
    now, palette = typed_melt.melt_page.now, typed_melt.theme.palette
    assert palette.text in now._temp.text()
    now.show_state(replace(state(typed_melt), fresh=False), Shown())
    assert palette.text not in now._temp.text() and palette.muted in now._temp.text()


def test_a_button_that_had_no_room_comes_back_when_the_window_widens(qtbot: QtBot) -> None:
    card = NextCard(QMenu())
    qtbot.addWidget(card)
    card.use(Theme(LIGHT))
    choices = (Choice(ActionKind.OFF_HEAT, "Off the heat"), Choice(ActionKind.ACKNOWLEDGE, "I have seen it"))
    main = Choice(ActionKind.HEAT_DOWN, "Heat is down")
    card.show_step(NextStep("Next", "Turn the heat down", "", "why", "", main, True, choices), "")
    card.setFixedWidth(400)
    card.show()
    assert all(button.isHidden() for button in card._others)
    card.setFixedWidth(1000)
    assert not any(button.isHidden() for button in card._others)


def card_with_undo(qtbot: QtBot, width: int = 1000) -> NextCard:
    card = NextCard(QMenu())
    qtbot.addWidget(card)
    card.use(Theme(LIGHT))
    main = Choice(ActionKind.OFF_HEAT, "It is off the heat")
    card.show_step(NextStep("Next", "Take it off", "now", "why", "", main, True), "melted")
    card.resize(width, 240)
    card.show()
    return card


def test_nothing_moves_when_undo_goes_or_the_step_changes(qtbot: QtBot) -> None:
    card = card_with_undo(qtbot)
    qtbot.waitUntil(lambda: card._undo.isVisible() and card._something.x() > 700)
    before = (card._main.geometry(), card._something.geometry())
    assert card._undo.geometry().right() < card._something.x() and "melted" in card._undo.text()
    assert card._step is not None
    card.show_step(card._step, "")
    QApplication.processEvents()
    assert card._undo.isHidden()
    assert (card._main.geometry(), card._something.geometry()) == before
    poured = NextStep("Next", "Pour", "now", "why", "", Choice(ActionKind.POURED, "Poured"), True)
    card.show_step(poured, "")
    QApplication.processEvents()
    assert card._something.geometry() == before[1]


def test_space_presses_the_big_button_whatever_button_has_the_focus(qtbot: QtBot) -> None:
    card = card_with_undo(qtbot)
    chosen: list[object] = []
    card.chosen.connect(chosen.append)
    qtbot.waitUntil(card._undo.isVisible)
    qtbot.keyClick(card._something, Qt.Key.Key_Space)
    assert chosen == [(ActionKind.OFF_HEAT, "")]
    qtbot.keyClick(card._undo, Qt.Key.Key_Return)
    assert chosen[1:] == [(ActionKind.UNDO, "")], "Enter presses the one with the focus"


@pytest.mark.qt_log_ignore("This plugin does not support")
def test_the_keys_come_back_to_the_page_when_its_menu_closes(typed_melt: MainWindow, qtbot: QtBot) -> None:
    typed_melt.activateWindow()
    page = typed_melt.melt_page
    page.next._something.setFocus()
    page.menu.popup(page.mapToGlobal(page.rect().center()))
    qtbot.waitUntil(page.menu.isVisible)
    qtbot.keyClick(page.menu, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: typed_melt.focusWidget() is page)
    assert typed_melt.present_page == "melt"


def test_the_caution_stays_at_200_per_cent(qtbot: QtBot) -> None:
    card = NextCard(QMenu())
    qtbot.addWidget(card)
    card.use(Theme(LIGHT, 2.0))
    main = Choice(ActionKind.MELTED, "All melted")
    caution = "Keep water in the bath and off the wax. Never leave melting wax alone."
    card.show_step(
        NextStep("Next", "Let it melt on low heat", "", "It takes a while.", caution, main, False), ""
    )
    card.setFixedSize(834, 342)
    card.show()
    assert card._more.isVisible() and card._more.text() == caution


def test_an_old_reading_says_how_long_ago_it_was_read(typed_melt: MainWindow, qtbot: QtBot) -> None:
    from dataclasses import replace

    from candlebench.core.units import Shown

    type_reading(typed_melt, qtbot, "73.4")
    qtbot.waitUntil(lambda: state(typed_melt).temp_c == 73.4)
    shown, now = state(typed_melt), typed_melt.melt_page.now
    assert shown.reading_s is not None
    now.show_state(replace(shown, fresh=False, now_s=shown.reading_s + 244.0), Shown())
    assert now._rate.text() == "read 4:04 ago"
    assert now._arrow.isHidden(), "no hole where the arrow would be"


@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_no_line_beside_the_reading_is_cut_off(typed_melt: MainWindow, qtbot: QtBot, scale: float) -> None:
    from dataclasses import replace

    window = typed_melt
    window.resize(900, 620)
    window.change_settings(replace(window.workshop.settings, text_percent=round(100 * scale)), to_melt=False)
    now = window.melt_page.now
    room = now.width() - now._box.contentsMargins().left() - now._box.contentsMargins().right()
    for label in (now._rate, now._heat, now._hint):
        label.ensurePolished()
        assert label.fontMetrics().horizontalAdvance(label.text()) <= room, label.text()
    assert "e.g. 73.4 Enter" in now._hint.text()
