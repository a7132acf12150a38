"""Checking a probe in the window, over a real pseudo-terminal: ice, boiling water, what it comes to."""

import threading
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit, QPushButton
from pytestqt.qtbot import QtBot

from candlebench.core.trust.check import ProbeCheck
from candlebench.ui.check_course import Step
from candlebench.ui.check_page import CheckPage
from candlebench.ui.main_window import MainWindow
from candlebench.ui.theme import LIGHT, Theme

from .checking import Carried, fast_page, until
from .pressing import press, words

# IAPWS-95: water boils at 99.974 C under 101325 Pa (from memory; the steam tables have 99.97).
BOILS_C = 99.974


@pytest.fixture
def carried(window: MainWindow) -> Iterator[Carried]:
    """A thermometer in the room, chosen in the settings; no melt is running."""
    probe = Carried(21.0)
    window.change_settings(replace(window.workshop.settings, reads_by="plugged in", source=probe.address))
    yield probe
    window.workshop.stop()
    probe.unplug()


@pytest.fixture
def page(window: MainWindow, carried: Carried, qtbot: QtBot) -> Iterator[CheckPage]:
    page = fast_page(window, qtbot)
    page.probe.name.setEditText("red cable")
    page.probe._pressure.setText("1013.25")
    yield page
    page.watch(False)


@pytest.fixture
def typed_page(window: MainWindow, qtbot: QtBot) -> Iterator[CheckPage]:
    page = fast_page(window, qtbot)
    page.probe.name.setEditText("kitchen probe")
    yield page
    page.watch(False)


def shown_page(window: MainWindow) -> CheckPage:
    """The page as the window opens it."""
    window.show_page("check")
    page = window.pages.currentWidget()
    assert isinstance(page, CheckPage)
    return page


def read_by_a_melt(window: MainWindow, carried: Carried, qtbot: QtBot) -> None:
    """A melt reads the thermometer, and has heard from it."""
    window.start(carried.address)
    qtbot.waitUntil(lambda: window.melt_page.state is not None and window.melt_page.state.temp_c is not None)


def page_beside_a_melt(window: MainWindow, carried: Carried, qtbot: QtBot) -> CheckPage:
    """The page for a probe that a melt reads meanwhile."""
    read_by_a_melt(window, carried, qtbot)
    page = shown_page(window)
    page.probe.name.setEditText("red cable")
    return page


def offered(page: CheckPage) -> list[str]:
    return [b.text() for b in (page.foot.main, *page.foot.others) if b.isVisibleTo(page)]


def space(page: CheckPage, qtbot: QtBot) -> None:
    qtbot.keyClick(page, Qt.Key.Key_Space)


def test_ice_and_boiling_water_by_wire_give_the_correction_without_typing(
    page: CheckPage, carried: Carried, window: MainWindow, qtbot: QtBot
) -> None:
    space(page, qtbot)
    assert page.step is Step.ICE
    carried.put_into(0.5)
    until(qtbot, lambda: page.course.taken(Step.ICE) is not None)
    assert "0.5 °C too high" in words(page)
    space(page, qtbot)
    carried.put_into(99.2)
    until(qtbot, lambda: page.course.taken(Step.BOILING) is not None)
    page.go_to(Step.RESULT)
    space(page, qtbot)
    correction = window.workshop.probes.correction("red cable")
    assert correction is not None
    # The straight line through (0.5, 0) and (99.2, 99.974), by hand.
    gain = BOILS_C / (99.2 - 0.5)
    assert correction.true_c(70.0) == pytest.approx(gain * (70.0 - 0.5), abs=0.05)
    assert correction.true_c(85.0) == pytest.approx(gain * (85.0 - 0.5), abs=0.05)
    assert "are corrected by it from now on" in words(page)


def test_nothing_is_taken_while_the_probe_lies_steady_in_the_room(
    page: CheckPage, carried: Carried, qtbot: QtBot
) -> None:
    page.go_to(Step.ICE)
    until(
        qtbot, lambda: len(page._watch.times_s) > 1 and page._watch.times_s[-1] - page._watch.times_s[0] > 45
    )
    assert page.course.taken(Step.ICE) is None
    assert "not in the ice yet" in words(page)


def test_a_probe_that_stands_too_far_off_is_not_taken_and_it_is_said_why(
    page: CheckPage, carried: Carried, qtbot: QtBot
) -> None:
    page.go_to(Step.ICE)
    carried.put_into(7.0)
    until(qtbot, lambda: "too far from 0 °C" in words(page))
    assert page.course.taken(Step.ICE) is None


def test_what_it_took_by_itself_can_be_taken_again(page: CheckPage, carried: Carried, qtbot: QtBot) -> None:
    page.go_to(Step.ICE)
    carried.put_into(1.5)
    until(qtbot, lambda: page.course.taken(Step.ICE) is not None)
    press(page, "Take it again")
    assert page.course.taken(Step.ICE) is None
    carried.put_into(0.2)
    until(qtbot, lambda: page.course.taken(Step.ICE) is not None)
    taken = page.course.taken(Step.ICE)
    assert taken is not None and taken.reading.read_c == pytest.approx(0.2, abs=0.1)


def test_it_is_heard_when_a_reading_is_taken(page: CheckPage, carried: Carried, qtbot: QtBot) -> None:
    page.go_to(Step.ICE)
    carried.put_into(0.0)
    with qtbot.waitSignal(page.took, timeout=20_000):
        pass


def test_unplugging_in_the_middle_is_said_and_plugging_in_again_goes_on(
    window: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    first = Carried(0.4)
    link = tmp_path / "thermometer"
    link.symlink_to(first.device.path)
    source = f"serial:{link}?baud=9600"
    window.change_settings(replace(window.workshop.settings, reads_by="plugged in", source=source))
    page = fast_page(window, qtbot)
    page.probe.name.setEditText("red cable")
    page.go_to(Step.ICE)
    until(qtbot, lambda: page.feed.last_c is not None)
    first.unplug()
    link.unlink()
    until(qtbot, lambda: "plug it in again" in words(page))
    assert not page.feed.is_fresh or page.feed.trouble
    second = Carried(0.4)
    link.symlink_to(second.device.path)
    until(qtbot, lambda: page.course.taken(Step.ICE) is not None)
    assert "plug it in again" not in words(page)
    page.watch(False)
    second.unplug()


def test_a_thermometer_that_cannot_be_opened_is_said_and_numbers_can_be_typed(
    window: MainWindow, qtbot: QtBot
) -> None:
    source = "serial:/dev/nothing-there?baud=9600"
    window.change_settings(replace(window.workshop.settings, reads_by="plugged in", source=source))
    page = fast_page(window, qtbot)
    page.probe.name.setEditText("red cable")
    page.go_to(Step.ICE)
    until(qtbot, lambda: "/dev/nothing-there" in words(page))
    qtbot.keyClicks(page, "0")
    qtbot.keyClick(page.points[Step.ICE].typed.field, Qt.Key.Key_Return)
    assert page.course.taken(Step.ICE) is not None
    page.watch(False)


def test_leaving_the_page_leaves_no_thread_and_the_port_free(
    window: MainWindow, carried: Carried, qtbot: QtBot
) -> None:
    page = shown_page(window)
    qtbot.waitUntil(lambda: page.feed.last_c is not None, timeout=20_000)
    assert any(thread.name == "probe check" for thread in threading.enumerate())
    window.show_page("safety")
    assert not any(thread.name == "probe check" for thread in threading.enumerate())
    # Nobody else could open it while it is held for one program alone.
    read_by_a_melt(window, carried, qtbot)


def test_closing_the_window_on_the_page_leaves_no_thread(
    window: MainWindow, carried: Carried, qtbot: QtBot
) -> None:
    page = shown_page(window)
    qtbot.waitUntil(lambda: page.feed.last_c is not None, timeout=20_000)
    window.close()
    assert not any(thread.name == "probe check" for thread in threading.enumerate())


def test_showing_the_page_anew_goes_on_with_the_check_and_opens_the_port_once(
    window: MainWindow, carried: Carried, qtbot: QtBot
) -> None:
    page = shown_page(window)
    page.probe.name.setEditText("red cable")
    page.go_to(Step.ICE)
    page.points[Step.ICE]._take_typed("0.4")
    window.show_page("safety")
    window.go_back()
    again = window.pages.currentWidget()
    assert isinstance(again, CheckPage) and again is not page
    taken = again.course.taken(Step.ICE)
    assert taken is not None and taken.reading.read_c == pytest.approx(0.4)
    assert (again.step, again.course.name) == (Step.ICE, "red cable")
    qtbot.waitUntil(lambda: again.feed.last_c is not None, timeout=20_000)
    assert sum(thread.name == "probe check" for thread in threading.enumerate()) == 1


# --- while a melt reads the probe -----------------------------------------------------------------------


def test_a_melt_that_reads_the_probe_is_asked_for_its_readings_and_keeps_the_port(
    window: MainWindow, carried: Carried, qtbot: QtBot
) -> None:
    page = page_beside_a_melt(window, carried, qtbot)
    page.go_to(Step.ICE)
    qtbot.waitUntil(lambda: page.feed.last_c == pytest.approx(21.0, abs=0.06), timeout=20_000)
    assert not any(thread.name == "probe check" for thread in threading.enumerate())
    assert "A melt is reading this probe" in words(page)


def test_a_correction_that_is_used_reaches_the_running_melt(
    window: MainWindow, carried: Carried, qtbot: QtBot
) -> None:
    page = page_beside_a_melt(window, carried, qtbot)
    page.go_to(Step.ICE)
    page.points[Step.ICE]._take_typed("1.0")
    page.go_to(Step.RESULT)
    page.result.keep(True)
    assert "the running one too" in words(page)
    # The room's 21.0 as it is believed now; the page still compares what the probe itself shows.
    qtbot.waitUntil(lambda: window.melt_page.state.temp_c == pytest.approx(20.0, abs=0.06), timeout=20_000)
    assert page.feed.last_c == pytest.approx(21.0, abs=0.06)


def test_finishing_that_melt_reads_the_probe_itself(
    window: MainWindow, carried: Carried, qtbot: QtBot
) -> None:
    page = page_beside_a_melt(window, carried, qtbot)
    page.go_to(Step.LAG)
    assert "finish that melt" in words(page)
    press(page, "Finish that melt first")
    assert window.workshop.runner is None
    qtbot.waitUntil(lambda: page.feed.last_c is not None, timeout=20_000)
    assert any(thread.name == "probe check" for thread in threading.enumerate())
    assert not page.notes.isVisibleTo(page)


# --- typed ----------------------------------------------------------------------------------------------


def test_a_kitchen_probe_without_a_cable_is_checked_with_the_keyboard_alone(
    typed_page: CheckPage, window: MainWindow, qtbot: QtBot
) -> None:
    page = typed_page
    page.setFocus()
    space(page, qtbot)
    assert "type what the probe shows" in words(page)
    for shown, step in (("1.2", Step.ICE), ("100.6", Step.BOILING)):
        assert page.step is step
        qtbot.keyClicks(page, shown[0])
        field = page.points[step].typed.field
        qtbot.keyClicks(field, shown[1:])
        qtbot.keyClick(field, Qt.Key.Key_Return)
        space(page, qtbot)
    assert page.step is Step.BESIDE
    press(page, "Skip this step")
    space(page, qtbot)
    kept = window.workshop.probes.check("kitchen probe")
    assert isinstance(kept, ProbeCheck)
    assert [each.reading.read_c for each in kept.points] == pytest.approx([1.2, 100.6])


def test_a_number_that_cannot_be_is_answered_with_one_sentence_and_not_taken(typed_page: CheckPage) -> None:
    typed_page.go_to(Step.ICE)
    typed_page.points[Step.ICE]._take_typed("32")
    assert "°F" in words(typed_page)
    assert typed_page.course.taken(Step.ICE) is None
    typed_page.points[Step.ICE]._take_typed("warm")
    assert "no temperature" in words(typed_page)


def test_without_a_name_the_check_does_not_begin(window: MainWindow, qtbot: QtBot) -> None:
    page = fast_page(window, qtbot)
    page.go_to(Step.ICE)
    assert page.step is Step.PROBE
    assert "Give the probe a name" in words(page)
    page.watch(False)


def test_keeping_a_check_without_using_it_leaves_the_correction_before_in_force(
    typed_page: CheckPage, window: MainWindow
) -> None:
    for shown, used in (("0.5", True), ("2.0", False)):
        typed_page.go_to(Step.ICE)
        typed_page.points[Step.ICE].drop()
        typed_page.points[Step.ICE]._take_typed(shown)
        typed_page.go_to(Step.RESULT)
        typed_page.result.keep(used)
    correction = window.workshop.probes.correction("kitchen probe")
    assert correction is not None and correction.true_c(70.0) == pytest.approx(69.5)
    assert [kept.forgotten for kept in window.workshop.probes.history("kitchen probe")] == [False, True]
    assert "nothing is corrected by it" in words(typed_page)


def test_the_drift_is_told_from_the_check_before_not_from_the_one_just_kept(
    typed_page: CheckPage, window: MainWindow
) -> None:
    for shown in ("0.0", "4.0"):
        typed_page.go_to(Step.ICE)
        typed_page.points[Step.ICE].drop()
        typed_page.points[Step.ICE]._take_typed(shown)
        typed_page.go_to(Step.RESULT)
        typed_page.result.keep(True)
    assert "it has come to show 4.0 °C more" in words(typed_page)
    typed_page.use(typed_page._theme)
    assert "it has come to show 4.0 °C more" in words(typed_page)


def test_another_thermometer_is_compared_with_what_is_typed_for_both(typed_page: CheckPage) -> None:
    page = typed_page
    page.go_to(Step.BESIDE)
    beside = page.points[Step.BESIDE]
    beside._take_typed("71.3")
    assert "The other one shows" in words(page) and page.course.taken(Step.BESIDE) is None
    beside.true.setText("70.5")
    beside._take_typed("71.3")
    taken = page.course.taken(Step.BESIDE)
    assert taken is not None and taken.error_k == pytest.approx(0.8)


def test_both_are_taken_together_when_the_probe_is_read_by_wire(
    page: CheckPage, carried: Carried, qtbot: QtBot
) -> None:
    page.go_to(Step.BESIDE)
    carried.put_into(72.0)
    page.points[Step.BESIDE].true.setText("71.2")
    until(qtbot, lambda: "Take both now" in offered(page))
    page.setFocus()
    space(page, qtbot)
    taken = page.course.taken(Step.BESIDE)
    assert taken is not None and taken.error_k == pytest.approx(0.8, abs=0.1)


def test_a_pressure_of_another_height_is_refused_with_what_to_do(typed_page: CheckPage) -> None:
    typed_page.probe._altitude.setText("1500")
    typed_page.probe._pressure.setText("1013")
    typed_page.go_to(Step.BOILING)
    assert typed_page.step is Step.PROBE
    assert "give it as the pressure at sea level" in words(typed_page)


def test_the_altitude_is_kept_for_melts_too(typed_page: CheckPage, window: MainWindow) -> None:
    typed_page.probe._altitude.setText("520")
    typed_page.go_to(Step.BOILING)
    assert window.workshop.settings.altitude_m == 520.0
    # Standard atmosphere at 520 m: 952 hPa; steam tables: 98.3 C (from memory, to the tenth).
    point = typed_page.course.known_point(Step.BOILING)
    assert point is not None and point.true_c == pytest.approx(98.3, abs=0.1)


def test_a_check_can_be_left_out_again(typed_page: CheckPage, window: MainWindow, qtbot: QtBot) -> None:
    typed_page.go_to(Step.ICE)
    typed_page.points[Step.ICE]._take_typed("1.0")
    typed_page.go_to(Step.RESULT)
    typed_page.result.keep(True)
    typed_page.go_to(Step.PROBE)
    assert "When it shows 70 °C it is 69.0 °C" in words(typed_page)
    press(typed_page, "Leave out")
    assert window.workshop.probes.correction("kitchen probe") is None
    # Rows that are new appear with the next round of events.
    until(qtbot, lambda: "It has not been checked" in words(typed_page) and "Not used." in words(typed_page))


def test_every_field_and_button_has_a_name_for_the_screen_reader(typed_page: CheckPage) -> None:
    for step in Step:
        typed_page.go_to(step)
        for field in typed_page.findChildren(QLineEdit):
            if field.isVisibleTo(typed_page) and field.parent().objectName() != "qt_spinbox_lineedit":
                name = field.accessibleName() or field.parent().accessibleName()
                assert name, (step, field)
        for button in typed_page.findChildren(QPushButton):
            if button.isVisibleTo(typed_page):
                assert button.text() or button.accessibleName(), (step, button)


def test_everything_is_said_in_the_unit_she_reads(window: MainWindow, qtbot: QtBot) -> None:
    window.change_settings(replace(window.workshop.settings, unit="F"))
    page = fast_page(window, qtbot)
    page.probe.name.setEditText("kitchen probe")
    page.go_to(Step.ICE)
    assert "It should show 32 °F" in words(page)
    page.points[Step.ICE]._take_typed("32.9")
    taken = page.course.taken(Step.ICE)
    assert taken is not None and taken.error_k == pytest.approx(0.5)
    assert "That is 0.9 °F too high." in words(page)
    page.go_to(Step.BESIDE)
    page.points[Step.BESIDE].true.setText("160")
    page.points[Step.BESIDE]._take_typed("161.8")
    beside = page.course.taken(Step.BESIDE)
    assert beside is not None and beside.error_k == pytest.approx(1.0)
    page.go_to(Step.RESULT)
    assert " °C" not in words(page)
    page.watch(False)


def test_the_page_fits_a_small_window_with_large_text_and_keeps_number_and_button_in_view(
    page: CheckPage, carried: Carried, qtbot: QtBot
) -> None:
    page.use(Theme(LIGHT, 2.0))
    page.resize(900, 500)
    page.go_to(Step.ICE)
    carried.put_into(0.3)
    until(qtbot, lambda: page.course.taken(Step.ICE) is not None)
    qtbot.waitUntil(lambda: page.foot.main.isVisible())
    view = page.rect()
    for part in (page.foot.main, page.live):
        corner = part.mapTo(page, part.rect().topLeft())
        assert view.contains(corner)
    main = page.foot.main
    assert view.contains(main.mapTo(page, main.rect().bottomRight()))
    # Nothing is wider than the page, as it scrolls up and down only.
    assert page._scroll.widget().width() <= page._scroll.viewport().width()
