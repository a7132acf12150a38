"""A danger on the hob shows on every page."""

from dataclasses import replace

import pytest
from pytestqt.qtbot import QtBot

from candlebench.core.events import Action, ActionKind
from candlebench.core.state import Level, MeltState
from candlebench.core.units import Shown
from candlebench.ui.danger_strip import DEAF_MS, danger_of, danger_words
from candlebench.ui.main_window import MainWindow


@pytest.fixture
def hot(typed_melt: MainWindow, qtbot: QtBot) -> MainWindow:
    """A real melt on the heat, 88 °C typed."""
    typed_melt.hob.typed("88")
    qtbot.waitUntil(lambda: danger_of(typed_melt.melt_page.state) is not None)
    return typed_melt


def state(window: MainWindow) -> MeltState:
    found = window.melt_page.state
    assert found is not None
    return found


def actions(window: MainWindow) -> list[ActionKind]:
    runner = window.workshop.runner
    assert runner is not None
    recorded = window.workshop.journal.events(runner.session.melt_id)
    return [each.event.kind for each in recorded if isinstance(each.event, Action)]


@pytest.mark.parametrize("page", ["plan", "practice", "cupboard", "labels", "settings", "safety", "learned"])
def test_every_page_says_what_is_dangerous_and_what_to_do(hot: MainWindow, page: str) -> None:
    hot.show_page(page)
    assert hot.danger.isVisible()
    assert hot.danger.text.startswith("Danger: 88.0 °C. Take it off the heat")
    assert hot.danger.accessibleName() == hot.danger.text
    assert hot.danger.off.isVisible()
    assert "danger" in hot.bar.tabs.tabs["melt"].accessibleName()


def test_on_the_melt_its_card_says_it_and_the_tab_keeps_the_sign(hot: MainWindow) -> None:
    assert hot.present_page == "melt" and not hot.danger.isVisible()
    assert state(hot).step.level is Level.DANGER
    assert "danger" in hot.bar.tabs.tabs["melt"].accessibleName()


def test_a_danger_that_was_seen_still_shows_on_the_other_pages(hot: MainWindow, qtbot: QtBot) -> None:
    hot.hob.act((ActionKind.ACKNOWLEDGE, ""))
    qtbot.waitUntil(lambda: all(alarm.acknowledged for alarm in state(hot).alarms))
    hot.show_page("plan")
    assert hot.danger.isVisible()


def test_off_the_heat_is_done_from_there(hot: MainWindow, qtbot: QtBot) -> None:
    hot.show_page("plan")
    qtbot.wait(DEAF_MS + 50)
    hot.danger.off.click()
    qtbot.waitUntil(lambda: not state(hot).on_heat)
    assert ActionKind.OFF_HEAT in actions(hot)
    assert hot.present_page == "plan"
    qtbot.waitUntil(lambda: not hot.danger.off.isVisible())


def test_a_press_meant_for_what_stood_there_before_does_nothing(hot: MainWindow) -> None:
    hot.show_page("plan")
    hot.danger.off.click()
    hot.danger.go.click()
    assert hot.present_page == "plan"
    assert ActionKind.OFF_HEAT not in actions(hot)


def test_it_leads_to_the_melt(hot: MainWindow, qtbot: QtBot) -> None:
    hot.show_page("cupboard")
    qtbot.wait(DEAF_MS + 50)
    hot.danger.go.click()
    assert hot.present_page == "melt"


def test_it_goes_with_the_danger(hot: MainWindow) -> None:
    hot.show_page("plan")
    hot.danger.show_state(replace(state(hot), alarms=()), "plan")
    assert not hot.danger.isVisible() and hot.danger.text == ""
    hot.danger.show_state(state(hot), "plan")
    assert hot.danger.isVisible()
    hot.danger.show_state(replace(state(hot), finished=True), "plan")
    assert not hot.danger.isVisible()


def test_a_warning_is_left_to_the_melt_page(hot: MainWindow) -> None:
    milder = tuple(replace(alarm, level=Level.WARNING) for alarm in state(hot).alarms)
    assert danger_of(replace(state(hot), alarms=milder)) is None


def test_an_old_reading_is_said_with_its_age(hot: MainWindow) -> None:
    now = state(hot)
    assert now.reading_s is not None
    alarm = danger_of(now)
    assert alarm is not None
    words = danger_words(replace(now, now_s=now.reading_s + 282.0), alarm, Shown())
    assert words.startswith("Danger: 88.0 °C, read 4:42 ago.")


def test_a_practice_melt_is_not_taken_for_the_hob(hot: MainWindow) -> None:
    now = state(hot)
    alarm = danger_of(now)
    assert alarm is not None
    practised = replace(now, setup=replace(now.setup, source="practice:first-jug"))
    assert danger_words(practised, alarm, Shown()).startswith("Danger in practice: ")


def test_its_parts_are_made_at_the_first_danger_only(typed_melt: MainWindow) -> None:
    assert not typed_melt.danger.children()
