"""A practice melt in the window: chosen, driven from the strip, skipped ahead, finished into its debrief."""

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog, QPushButton
from pytestqt.qtbot import QtBot

from candlebench.core.events import Action, ActionKind, Reading, Stage
from candlebench.core.state import MeltState
from candlebench.thermometers.practice import PracticeSource
from candlebench.ui.main_window import MainWindow
from candlebench.ui.practice_wish import PracticeWish

# A cup of wax in a little hot water: melted in minutes, so that a test can wait for it.
QUICK = """
title = "A cup of wax"
teaches = "Nothing."
brief = "A test."
{more}
[wax]
mass_g = 120
[oil]
mass_g = 7
[bath]
water_g = 300
start_c = 80
"""
CALLED_AWAY = """
[[happening]]
when_wax_c = 45
lasts_min = 4
away = true
text = "Somebody knocks: you are away for four minutes."
"""
PATIENT_MS = 30_000
Practise = Callable[..., PracticeSource]


@pytest.fixture
def practise(window: MainWindow, qtbot: QtBot) -> Practise:
    """Begins the quick melt from the practice page's wish, and gives its source."""

    def begun(speed: int = 20, guess_first: bool = False, more: str = "", after: str = "") -> PracticeSource:
        folder = window.practice.own_folder
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "quick.toml").write_text(QUICK.format(more=more) + after, encoding="utf-8")
        window.doorway.practise_as(PracticeWish("quick", speed, guess_first))
        source = window.practice.source
        assert source is not None
        return source

    return begun


def state(window: MainWindow) -> MeltState:
    found = window.melt_page.state
    assert found is not None
    return found


def events(window: MainWindow) -> list[object]:
    runner = window.workshop.runner
    assert runner is not None
    return [r.event for r in window.workshop.journal.events(runner.session.melt_id)]


def test_the_practice_page_lists_her_own_melts_and_begins_them(
    window: MainWindow, practise: Practise, qtbot: QtBot
) -> None:
    practise()
    window.show_page("practice")
    page = window.pages.currentWidget()
    titles = [page.list.item(i).text() for i in range(page.list.count())]
    assert "A cup of wax" in titles and len(titles) > 10
    before = window.workshop.runner
    page.list.look_at("quick")
    qtbot.keyClick(page.list, Qt.Key.Key_Return)
    assert window.present_page == "melt" and window.workshop.runner is not before
    assert state(window).setup.title == "A cup of wax"


def test_the_strip_stands_over_the_melt_only(window: MainWindow, practise: Practise) -> None:
    practise()
    assert window.strip.isVisible()
    window.show_page("practice")
    assert not window.strip.isVisible()
    window.go_back()
    assert window.strip.isVisible()
    window.doorway.choose_way("typed")
    assert not window.strip.isVisible()


def test_a_pause_stands_still_and_goes_on(window: MainWindow, practise: Practise, qtbot: QtBot) -> None:
    source = practise(speed=120)
    qtbot.waitUntil(lambda: state(window).temp_c is not None)
    qtbot.keyClick(window.melt_page, Qt.Key.Key_R)
    assert source.paused
    stands_s = source.clock.elapsed_s()
    qtbot.waitUntil(lambda: window.strip.pause.text() == "Go on")
    assert source.clock.elapsed_s() == stands_s
    window.strip.pause.click()
    qtbot.waitUntil(lambda: source.clock.elapsed_s() > stands_s)


def test_the_arrow_keys_change_the_speed(window: MainWindow, practise: Practise, qtbot: QtBot) -> None:
    source = practise(speed=20)
    qtbot.keyClick(window.melt_page, Qt.Key.Key_Right)
    assert source.clock.speed == 60.0  # type: ignore[attr-defined]


def test_the_knob_turns_the_hob_and_is_recorded(window: MainWindow, practise: Practise, qtbot: QtBot) -> None:
    source = practise()
    qtbot.waitUntil(lambda: state(window).temp_c is not None)
    qtbot.keyClick(window.melt_page, Qt.Key.Key_Down)
    qtbot.waitUntil(lambda: source.heat_fraction == pytest.approx(0.9))

    def turned() -> list[str]:
        return [e.detail for e in events(window) if isinstance(e, Action) and e.kind is ActionKind.HEAT_SET]

    qtbot.waitUntil(lambda: turned() == ["0.90"])
    qtbot.waitUntil(lambda: window.strip.knob.value() == 90)


def test_a_skip_reads_every_second_and_stops_at_the_first_thing_to_do(
    window: MainWindow, practise: Practise, qtbot: QtBot
) -> None:
    source = practise(speed=1)
    qtbot.waitUntil(lambda: state(window).temp_c is not None)
    source.skip(3600.0)
    qtbot.waitUntil(lambda: not source.skipping, timeout=PATIENT_MS)
    stopped_s = source.clock.elapsed_s()
    assert stopped_s < 3500.0, "it stopped by itself"
    qtbot.waitUntil(lambda: state(window).now_s >= stopped_s - 2.0)
    assert state(window).step.now, "there is something to do"
    assert source.clock.elapsed_s() - stopped_s < 60.0, "and the melt does not run on"
    times_s = [e.elapsed_s for e in events(window) if isinstance(e, Reading)]
    assert max(b - a for a, b in pairwise(times_s)) == pytest.approx(1.0)


def test_after_a_skip_that_was_ended_there_is_time_to_act(
    window: MainWindow, practise: Practise, qtbot: QtBot
) -> None:
    source = practise(speed=120)
    qtbot.waitUntil(lambda: state(window).temp_c is not None)
    source.skip(3600.0)
    qtbot.waitUntil(lambda: not source.skipping, timeout=PATIENT_MS)
    qtbot.waitUntil(lambda: window.strip._group.checkedId() == 20)
    assert source.clock.speed == 20.0  # type: ignore[attr-defined]


def test_the_melt_is_told_how_far_the_window_has_come(
    window: MainWindow, practise: Practise, qtbot: QtBot
) -> None:
    # So that a busy machine is waited for, instead of an alarm about a silent thermometer.
    source = practise(speed=20)
    qtbot.waitUntil(lambda: source._applied_s >= 1.0)


def test_a_skip_never_passes_an_alarm(window: MainWindow, practise: Practise, qtbot: QtBot) -> None:
    source = practise(speed=1)
    qtbot.waitUntil(lambda: state(window).temp_c is not None)
    heard: list[tuple[float, str]] = []
    window.bridge.noticed.connect(
        lambda notices: heard.extend((source.clock.elapsed_s(), n.kind) for n in notices)
    )
    for _ in range(12):
        source.skip(3600.0)
        qtbot.waitUntil(lambda: not source.skipping, timeout=PATIENT_MS)
        if any(kind == "alarm" for _, kind in heard):
            break
    qtbot.waitUntil(lambda: bool(state(window).alarms))
    alarm = state(window).alarms[0]
    assert source.clock.elapsed_s() - alarm.since_s < 30.0, "the melt waits where the alarm was raised"


def test_without_a_cable_she_types_what_the_drawn_thermometer_shows(
    window: MainWindow, practise: Practise, qtbot: QtBot
) -> None:
    source = practise(speed=5, more="cable = false")
    assert window.strip.display.isVisible()
    qtbot.waitUntil(lambda: window.strip.display.text == f"{source.probe_shows_c:.1f} °C")
    assert state(window).temp_c is None, "nothing comes by itself"
    shown = window.strip.display.text.removesuffix(" °C")
    window.hob.typed(shown)
    qtbot.waitUntil(lambda: state(window).temp_c == float(shown))


def test_what_happens_around_the_melt_is_said_and_keeps_her_from_the_hob(
    window: MainWindow, practise: Practise, qtbot: QtBot
) -> None:
    source = practise(speed=1, after=CALLED_AWAY)
    qtbot.waitUntil(lambda: state(window).temp_c is not None)
    source.skip(3600.0)
    qtbot.waitUntil(lambda: not source.skipping, timeout=PATIENT_MS)
    assert source.away, "the skip ends where it begins"
    qtbot.waitUntil(lambda: "Somebody knocks" in window.messages.text)
    window.messages.clear()
    heat = source.heat_fraction
    qtbot.keyClick(window.melt_page, Qt.Key.Key_O)
    qtbot.keyClick(window.melt_page, Qt.Key.Key_Down)
    assert "Somebody knocks" in window.messages.text
    assert source.heat_fraction == heat and window.strip.knob.value() == round(100 * heat)
    for _ in range(12):
        # Cues and alarms stop it on the way.
        if source.away:
            source.skip(60.0)
            qtbot.waitUntil(lambda: not source.skipping, timeout=PATIENT_MS)
    assert not source.away
    kinds = {e.kind for e in events(window) if isinstance(e, Action)}
    assert not kinds & {ActionKind.OFF_HEAT, ActionKind.HEAT_SET}, "nothing was done meanwhile"
    qtbot.keyClick(window.melt_page, Qt.Key.Key_O)
    qtbot.waitUntil(lambda: not state(window).on_heat)


def test_a_question_lets_the_melt_wait(window: MainWindow, practise: Practise) -> None:
    source = practise()
    window.practice.hold(True)
    assert source.paused and not window.strip.isEnabled()
    window.practice.hold(False)
    assert not source.paused and window.strip.isEnabled()
    source.pause()
    window.practice.hold(True)
    window.practice.hold(False)
    assert source.paused, "a pause of her own stays"


def test_a_melt_is_played_from_the_page_to_its_debrief(
    window: MainWindow, practise: Practise, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    source = practise(speed=60)
    qtbot.waitUntil(lambda: state(window).temp_c is not None)
    for key, stage in zip("moisp", list(Stage)[1:], strict=True):
        if not (state(window).step.now and state(window).step.main):
            source.skip(3600.0)
            qtbot.waitUntil(lambda: not source.skipping, timeout=PATIENT_MS)
        qtbot.keyClick(window.melt_page, key)
        qtbot.waitUntil(lambda wanted=stage: state(window).stage is wanted)
    qtbot.keyClick(window.melt_page, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: window.present_page == "debrief", timeout=PATIENT_MS)
    qtbot.waitUntil(lambda: state(window).finished)
    paper = tmp_path / "debrief.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(paper), ""))
    button = next(b for b in window.pages.currentWidget().findChildren(QPushButton) if "PDF" in b.text())
    button.click()
    assert paper.read_bytes().startswith(b"%PDF") and str(paper) in window.messages.text
    window.show_page("practice")
    page = window.pages.currentWidget()
    page.list.look_at("quick")
    assert "Last time" in page._attempts.text()


def test_a_second_probe_in_the_bath_is_seen_beside_the_first(
    window: MainWindow, practise: Practise, qtbot: QtBot
) -> None:
    practise()
    window.doorway.practise_as(PracticeWish("quick", 60, bath_probe=True))
    qtbot.waitUntil(lambda: window.melt_page.now.beside.text.startswith("Bath 8"), timeout=PATIENT_MS)
    beside = state(window).beside
    # The cup stands in water of 80 °C.
    assert beside is not None and beside.temps_c[0] == pytest.approx(80.0, abs=2.0)
    assert window.practice.wish.bath_probe, "kept for the next one"
    window.doorway.practise_as(replace(window.practice.wish, bath_probe=False))
    qtbot.waitUntil(lambda: not window.melt_page.now.beside.isVisible(), timeout=PATIENT_MS)


def test_a_broken_melt_of_her_own_is_said_and_the_page_stays(window: MainWindow, practise: Practise) -> None:
    practise()
    (window.practice.own_folder / "quick.toml").write_text('title = "x"\n', encoding="utf-8")
    window.doorway.practise_as(PracticeWish("quick"))
    assert window.present_page == "practice"
    assert "quick.toml" in window.messages.text and "wax" in window.messages.text


def test_a_pause_is_said_beside_the_clocks_and_choosing_a_speed_goes_on(
    window: MainWindow, practise: Practise, qtbot: QtBot
) -> None:
    source = practise(speed=20)
    qtbot.waitUntil(lambda: state(window).temp_c is not None)
    qtbot.keyClick(window.melt_page, Qt.Key.Key_R)
    assert window.melt_page.steps._paused and window.melt_page.curve._paused
    window.strip._group.button(60).click()
    assert not source.paused and source.clock.speed == 60.0  # type: ignore[attr-defined]
    assert not window.melt_page.steps._paused and not window.melt_page.curve._paused


def test_while_a_question_is_open_a_speed_does_not_go_on(window: MainWindow, practise: Practise) -> None:
    source = practise()
    window.practice.hold(True)
    window.practice.run_at(60.0)
    assert source.paused
    window.practice.hold(False)
    assert not source.paused


def test_lifting_off_in_a_pause_shows_the_knob_turned_off(
    window: MainWindow, practise: Practise, qtbot: QtBot
) -> None:
    source = practise()
    qtbot.waitUntil(lambda: state(window).temp_c is not None)
    qtbot.keyClick(window.melt_page, Qt.Key.Key_R)
    assert window.strip.knob.value() > 0
    qtbot.keyClick(window.melt_page, Qt.Key.Key_O)
    qtbot.waitUntil(lambda: not state(window).on_heat)
    qtbot.waitUntil(lambda: window.strip.knob.value() == 0)
    qtbot.keyClick(window.melt_page, Qt.Key.Key_R)
    qtbot.waitUntil(lambda: source.heat_fraction == 0.0)
    assert window.strip.knob.value() == 0, "and it stays so when the melt goes on"


def test_without_a_cable_a_faster_melt_is_slowed_to_what_one_can_type(
    window: MainWindow, practise: Practise
) -> None:
    source = practise(speed=60, more="cable = false")
    assert source.clock.speed == 5.0  # type: ignore[attr-defined]
    assert window.strip._group.checkedId() == 5


def test_the_strip_shows_what_is_in_the_jug(window: MainWindow, practise: Practise, qtbot: QtBot) -> None:
    from candlebench.ui.jug_glance import Look

    source = practise(speed=120)
    qtbot.waitUntil(lambda: state(window).temp_c is not None)
    assert window.strip.jug.look is Look.LUMPS
    for _ in range(12):
        if window.strip.jug.look is Look.CLEAR:
            break
        source.skip(600.0)
        qtbot.waitUntil(lambda: not source.skipping, timeout=PATIENT_MS)
        window.practice.follow()
    assert source.truth_curve()[-1].liquid_share > 0.99
    assert window.strip.jug.look is Look.CLEAR
