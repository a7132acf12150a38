"""The window from the first start to the next one."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QLineEdit, QMessageBox, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from candlebench.core.errors import FixableError
from candlebench.core.events import Gap, MeltBegan, Reading
from candlebench.records.settings import load
from candlebench.ui.main_window import MainWindow

from .conftest import OpenWindow


def answer(window: MainWindow, qtbot: QtBot, role: QMessageBox.ButtonRole) -> None:
    box = window.questions.open_box
    assert box is not None
    button = next(b for b in box.buttons() if box.buttonRole(b) is role)
    button.click()
    qtbot.waitUntil(lambda: window.questions.open_box is None)


YES, NO = QMessageBox.ButtonRole.AcceptRole, QMessageBox.ButtonRole.RejectRole


def read(window: MainWindow, qtbot: QtBot, text: str, temp_c: float) -> None:
    window.hob.typed(text)
    qtbot.waitUntil(lambda: shown_temp(window) == pytest.approx(temp_c))


def shown_temp(window: MainWindow) -> float | None:
    state = window.melt_page.state
    return None if state is None else state.temp_c


def test_the_first_start_asks_only_how_she_reads(window: MainWindow) -> None:
    assert window.present_page == "first"
    asked = [b.text() for b in window.first_page.findChildren(QPushButton) if b.isVisible()]
    assert sorted(asked) == ["I type the numbers", "It is plugged in", "Practise first"]
    assert not window.first_page.findChildren(QLineEdit)
    assert window.questions.open_box is None
    assert window.workshop.runner is None


def test_the_first_start_shows_safety_in_short(window: MainWindow) -> None:
    words = " ".join(
        label.text() for label in window.first_page.findChildren(QWidget) if hasattr(label, "text")
    )
    for caution in ("Never leave melting wax alone", "never water", "cool running", "F1"):
        assert caution in words


@pytest.mark.parametrize(
    ("way", "page"), [("typed", "melt"), ("practise", "practice"), ("plugged in", "thermometer")]
)
def test_each_way_leads_on_and_is_remembered(window: MainWindow, way: str, page: str) -> None:
    window.first_page.buttons[way].click()
    assert window.present_page == page
    assert window.workshop.settings.reads_by == way
    kept, faults = load(window.workshop._settings_file, "2026-01-01")
    assert kept.reads_by == way and not faults


def test_practise_shows_the_practice_melts_and_runs_nothing_yet(window: MainWindow) -> None:
    window.first_page.buttons["practise"].click()
    assert window.workshop.runner is None and not window.strip.isVisible()
    focused = window.focusWidget()
    assert isinstance(focused, QPushButton) and focused.text().startswith("Begin")
    window.doorway.new_melt()
    assert window.present_page == "practice" and window.workshop.runner is None


def test_the_first_answer_has_the_focus(window: MainWindow) -> None:
    assert window.focusWidget() is window.first_page.buttons["practise"]


def test_before_a_thermometer_is_chosen_the_bar_says_so(window: MainWindow) -> None:
    assert "No thermometer chosen yet" in window.bar.probe._words()


def test_escape_leads_back_the_way_she_came(typed_melt: MainWindow, qtbot: QtBot) -> None:
    for name in ("plan", "labels", "safety"):
        typed_melt.show_page(name)
    for name in ("labels", "plan", "melt"):
        qtbot.keyClick(typed_melt, Qt.Key.Key_Escape)
        qtbot.waitUntil(lambda wanted=name: typed_melt.present_page == wanted)


def test_a_page_without_anything_to_show_says_why_and_stays_where_she_was(window: MainWindow) -> None:
    window.show_page("settings")
    for name in ("details", "debrief"):
        window.messages.clear()
        window.show_page(name)
        assert window.present_page == "settings"
        assert "practise" in window.messages.text
    window.go_back()
    assert window.present_page == "first"


@pytest.mark.parametrize("page", ["melt", "settings"])
def test_a_notice_moves_nothing(typed_melt: MainWindow, qtbot: QtBot, page: str) -> None:
    typed_melt.show_page(page)
    shown = typed_melt.pages.currentWidget()
    qtbot.wait(1)
    before = shown.mapTo(typed_melt, shown.rect().topLeft()), shown.size()
    typed_melt.messages.say("The batch sheet is saved.")
    qtbot.waitUntil(lambda: typed_melt.messages.height() > 20)
    assert (shown.mapTo(typed_melt, shown.rect().topLeft()), shown.size()) == before
    place = typed_melt.messages.geometry()
    holder = typed_melt.messages.parentWidget()
    assert place.width() == holder.width()
    assert (place.bottom() == holder.height() - 1) if page == "melt" else (place.top() == 0)


def test_a_standing_trouble_covers_no_page(typed_melt: MainWindow, qtbot: QtBot) -> None:
    page, messages = typed_melt.melt_page, typed_melt.messages
    whole = page.height()
    messages.stand("The disk is full.")
    qtbot.waitUntil(lambda: page.height() == whole - messages.height())
    messages.say("Saved.")
    qtbot.waitUntil(lambda: messages.height() > whole - page.height())
    assert page.height() == whole - messages.standing_height_at(messages.width())
    messages.stand("")
    qtbot.waitUntil(lambda: page.height() == whole)


@pytest.mark.parametrize("page", ["safety", "settings", "thermometer", "details", "about"])
def test_every_page_opens_and_escape_goes_back(typed_melt: MainWindow, qtbot: QtBot, page: str) -> None:
    typed_melt.show_page(page)
    assert typed_melt.present_page == page
    shown = typed_melt.pages.currentWidget()
    assert shown.accessibleName()
    qtbot.keyClick(typed_melt, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: typed_melt.present_page == "melt")


@pytest.mark.parametrize(
    ("key", "modifier", "page"),
    [
        (Qt.Key.Key_F1, Qt.KeyboardModifier.NoModifier, "safety"),
        (Qt.Key.Key_T, Qt.KeyboardModifier.ControlModifier, "thermometer"),
        (Qt.Key.Key_D, Qt.KeyboardModifier.ControlModifier, "details"),
        (Qt.Key.Key_Comma, Qt.KeyboardModifier.ControlModifier, "settings"),
    ],
)
def test_pages_are_one_key_away(
    typed_melt: MainWindow, qtbot: QtBot, key: Qt.Key, modifier: Qt.KeyboardModifier, page: str
) -> None:
    qtbot.keyClick(typed_melt.melt_page, key, modifier)
    qtbot.waitUntil(lambda: typed_melt.present_page == page)


def test_escape_before_any_melt_goes_to_the_first_question(window: MainWindow, qtbot: QtBot) -> None:
    window.show_page("safety")
    qtbot.keyClick(window, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: window.present_page == "first")


def test_every_button_and_field_has_a_name_for_the_screen_reader(typed_melt: MainWindow) -> None:
    for name in ("melt", "safety", "settings", "thermometer", "details", "about"):
        typed_melt.show_page(name)
        page = typed_melt.pages.currentWidget()
        for button in page.findChildren(QAbstractButton):
            if button.isVisible() and button.metaObject().className() == "QPushButton":
                assert button.text() or button.accessibleName(), (name, button)
        for field in page.findChildren(QLineEdit):
            assert field.accessibleName() or field.parent().metaObject().className() != "Form", (name, field)


def test_the_main_parts_of_the_melt_page_have_names(typed_melt: MainWindow, qtbot: QtBot) -> None:
    read(typed_melt, qtbot, "72.5", 72.5)
    page = typed_melt.melt_page
    assert page.now.accessibleName() and "72.5 °C" in page.now.accessibleDescription()
    assert page.next.accessibleName() == "Next step"
    step = page.next.step
    assert step is not None and step.headline in page.next.accessibleDescription()
    assert page.curve.accessibleName() and page.steps.accessibleName()
    assert "Thermometer" in typed_melt.bar.probe.accessibleName()


def test_closing_during_a_real_melt_asks_and_no_goes_on(typed_melt: MainWindow, qtbot: QtBot) -> None:
    read(typed_melt, qtbot, "71", 71.0)
    typed_melt.close()
    assert typed_melt.isVisible()
    answer(typed_melt, qtbot, NO)
    assert typed_melt.isVisible() and typed_melt.workshop.runner is not None
    read(typed_melt, qtbot, "70.5", 70.5)


def test_a_closed_melt_is_taken_up_with_the_gap_marked(
    typed_melt: MainWindow, open_window: OpenWindow, qtbot: QtBot
) -> None:
    read(typed_melt, qtbot, "71", 71.0)
    assert typed_melt.workshop.runner is not None
    melt_id = typed_melt.workshop.runner.session.melt_id
    typed_melt.close()
    answer(typed_melt, qtbot, YES)
    qtbot.waitUntil(lambda: not typed_melt.isVisible())

    second = open_window()
    second.begin(demo=False)
    answer(second, qtbot, YES)
    assert second.present_page == "melt"
    runner = second.workshop.runner
    assert runner is not None and runner.session.melt_id == melt_id
    state = runner.session.melt.state
    assert list(state.temps_c) == [71.0]
    assert [gap.why for gap in state.gaps] == ["closed"]
    read(second, qtbot, "69.5", 69.5)
    second._quiet_close = True
    second.close()

    third = open_window()
    events = [r.event for r in third.workshop.journal.events(melt_id)]
    assert [type(e) for e in events if isinstance(e, MeltBegan | Gap)] == [MeltBegan, Gap]
    assert [e.temp_c for e in events if isinstance(e, Reading)] == [71.0, 69.5]


def test_a_melt_left_at_the_next_start_stays_in_the_records(
    typed_melt: MainWindow, open_window: OpenWindow, qtbot: QtBot
) -> None:
    read(typed_melt, qtbot, "71", 71.0)
    typed_melt._quiet_close = True
    typed_melt.close()
    second = open_window()
    second.begin(demo=False)
    answer(second, qtbot, NO)
    assert second.present_page == "melt"
    assert shown_temp(second) is None
    assert len(second.workshop.journal.melts()) == 2


def test_a_finished_melt_is_not_offered_again(
    typed_melt: MainWindow, open_window: OpenWindow, qtbot: QtBot
) -> None:
    read(typed_melt, qtbot, "71", 71.0)
    typed_melt.doorway.finish_melt()
    answer(typed_melt, qtbot, YES)
    qtbot.waitUntil(lambda: bool(typed_melt.melt_page.state and typed_melt.melt_page.state.finished))
    typed_melt.close()
    assert not typed_melt.isVisible(), "nothing is lost, so nothing is asked"
    second = open_window()
    second.begin(demo=False)
    assert second.questions.open_box is None


def test_a_practice_melt_closes_without_asking(
    window: MainWindow, open_window: OpenWindow, qtbot: QtBot
) -> None:
    window.first_page.buttons["practise"].click()
    qtbot.keyClick(window.focusWidget(), Qt.Key.Key_Return)
    assert window.strip.isVisible()
    qtbot.waitUntil(lambda: shown_temp(window) is not None)
    window.close()
    assert not window.isVisible() and window.questions.open_box is None
    second = open_window()
    second.begin(demo=False)
    assert second.questions.open_box is None, "practice melts are not taken up again"


def test_the_demo_begins_a_practice_melt(open_window: OpenWindow) -> None:
    window = open_window()
    window.begin(demo=True)
    assert window.present_page == "melt" and window.strip.isVisible()


def test_a_new_melt_asks_before_it_ends_a_real_one(typed_melt: MainWindow, qtbot: QtBot) -> None:
    read(typed_melt, qtbot, "71", 71.0)
    before = typed_melt.workshop.runner
    typed_melt.doorway.new_melt()
    answer(typed_melt, qtbot, NO)
    assert typed_melt.workshop.runner is before
    typed_melt.doorway.new_melt()
    answer(typed_melt, qtbot, YES)
    assert typed_melt.workshop.runner is not before
    assert [m.finished for m in typed_melt.workshop.journal.melts()].count(True) == 1


def test_the_window_keeps_its_size(window: MainWindow, open_window: OpenWindow) -> None:
    # The offscreen screen is 800 pixels wide, less than the window needs: only its height is free there.
    window.resize(900, 701)
    window.close()
    second = open_window()
    assert (second.width(), second.height()) == (900, 701)


def test_damaged_geometry_falls_back_to_the_usual_size(open_window: OpenWindow) -> None:
    first = open_window()
    first.close()
    path = first.workshop._settings_file
    lines = [line for line in path.read_text(encoding="utf-8").splitlines() if not line.startswith("window")]
    path.write_text("\n".join(['window = "no geometry"', *lines]), encoding="utf-8")
    second = open_window()
    assert (second.width(), second.height()) == (1280, 800)


def test_a_second_window_on_the_same_records_is_refused(window: MainWindow, open_window: OpenWindow) -> None:
    with pytest.raises(FixableError, match="open"):
        open_window()


def test_a_melt_of_typed_numbers_needs_no_terminal(typed_melt: MainWindow, qtbot: QtBot) -> None:
    read(typed_melt, qtbot, "71", 71.0)
    state = typed_melt.melt_page.state
    assert state is not None
    assert state.probe.good, state.probe.text
    assert not any("ended" in alarm.headline + alarm.reason for alarm in state.alarms)


def test_a_port_that_cannot_be_is_said_in_a_sentence(window: MainWindow) -> None:
    window.start("serial:/dev/ttyUSB0?baud=fast")
    assert window.present_page == "thermometer"
    assert "baud=fast" in window.messages.text and "baud=9600" in window.messages.text


def test_ctrl_plus_makes_the_text_larger_up_to_double(typed_melt: MainWindow, qtbot: QtBot) -> None:
    for _ in range(10):
        qtbot.keyClick(typed_melt, Qt.Key.Key_Plus, Qt.KeyboardModifier.ControlModifier)
    assert typed_melt.workshop.settings.text_percent == 200
    assert typed_melt.theme.scale == 2.0
    qtbot.keyClick(typed_melt, Qt.Key.Key_0, Qt.KeyboardModifier.ControlModifier)
    assert typed_melt.workshop.settings.text_percent == 100


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_double_text_fits_the_usual_window(typed_melt: MainWindow, qtbot: QtBot, theme: str) -> None:
    from dataclasses import replace

    typed_melt.resize(1280, 800)
    typed_melt.change_settings(replace(typed_melt.workshop.settings, text_percent=200, theme=theme))
    read(typed_melt, qtbot, "72.5", 72.5)
    assert typed_melt.theme.palette.name == theme
    assert (typed_melt.width(), typed_melt.height()) == (1280, 800)
    for part in (typed_melt.melt_page.now, typed_melt.melt_page.next, typed_melt.melt_page.curve):
        corner = part.mapTo(typed_melt, part.rect().bottomRight())
        assert corner.x() <= 1280 and corner.y() <= 800, part
    assert typed_melt.melt_page.curve.height() > 150
