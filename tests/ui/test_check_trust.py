"""How far each probe can be trusted, as the page of what was learned and the history show it."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtWidgets import QLabel, QPushButton
from pytestqt.qtbot import QtBot

from candlebench.core.trust.check import ProbeCheck, checked
from candlebench.core.trust.plunge import plunge_by_stopwatch
from candlebench.core.trust.points import boiling_at_pressure, ice_point
from candlebench.core.trust.readings import typed_reading
from candlebench.core.units import Shown
from candlebench.records.probes import Probes
from candlebench.ui.check_history import HistoryCard, trust_words
from candlebench.ui.check_page import CheckPage
from candlebench.ui.main_window import MainWindow

from .pressing import words

TODAY = date(2026, 11, 27)
SHOWN = Shown()


def one(day: str, ice: str, boiling: str = "") -> ProbeCheck:
    points = [checked(ice_point(), typed_reading([ice], SHOWN), SHOWN)]
    if boiling:
        points.append(checked(boiling_at_pressure(1013.25), typed_reading([boiling], SHOWN), SHOWN))
    return ProbeCheck(day, tuple(points))


@pytest.fixture
def probes(tmp_path: Path) -> Probes:
    return Probes(lambda: tmp_path)


def test_the_history_tells_the_drift_from_check_to_check(probes: Probes, qtbot: QtBot) -> None:
    for check in (
        one("2026-01-05", "0.0", "100.0"),
        one("2026-06-05", "0.1", "100.1"),
        one("2026-11-05", "0.1", "103.5"),
    ):
        probes.keep("red cable", check, 1.7e9)
    card = HistoryCard(SHOWN, lambda uuid: None, lambda uuid: None)
    qtbot.addWidget(card)
    card.show_probe("red cable", [], [], probes.history("red cable"))
    card.show()
    qtbot.waitUntil(lambda: "2026-11-05" in words(card))
    lines = [label.text() for label in card.findChildren(QLabel)]
    last = next(line for line in lines if "Since 2026-06-05" in line)
    # By hand, where it shows 85: 84.9 x 99.974 / 100.0 = 84.88 before, 84.9 x 99.974 / 103.4 = 82.09 now.
    assert "it has come to show 2.8 °C more at 85 °C" in last
    assert any("Since 2026-01-05 it has not drifted" in line for line in lines)


def test_a_check_that_was_left_out_is_nothing_to_tell_a_drift_by(probes: Probes, qtbot: QtBot) -> None:
    probes.keep("red cable", one("2026-01-05", "0.0", "100.0"), 1.7e9)
    wrong = probes.keep("red cable", one("2026-06-05", "0.0", "96.0"), 1.7e9)
    probes.forget_one(wrong.uuid, 1.7e9)
    probes.keep("red cable", one("2026-11-05", "0.1", "100.1"), 1.7e9)
    card = HistoryCard(SHOWN, lambda uuid: None, lambda uuid: None)
    qtbot.addWidget(card)
    card.show_probe("red cable", [], [], probes.history("red cable"))
    lines = [label.text() for label in card.findChildren(QLabel)]
    assert any("Since 2026-01-05 it has not drifted" in line for line in lines)
    assert not any("Since 2026-06-05" in line for line in lines)


def test_only_the_latest_checks_are_shown_and_the_rest_counted(probes: Probes, qtbot: QtBot) -> None:
    for month in range(1, 10):
        probes.keep("red cable", one(f"2026-0{month}-01", "0.2"), 1.7e9)
    card = HistoryCard(SHOWN, lambda uuid: None, lambda uuid: None)
    qtbot.addWidget(card)
    card.show_probe("red cable", [], [], probes.history("red cable"))
    card.show()
    qtbot.waitUntil(lambda: "2026-09-01" in words(card))
    days = [label.text() for label in card.findChildren(QLabel) if label.text().startswith("2026")]
    assert sorted(days) == [f"2026-0{month}-01" for month in range(4, 10)]
    assert "and 3 earlier" in words(card)


def test_a_check_that_was_left_out_is_used_again_and_the_melt_follows(
    window: MainWindow, qtbot: QtBot
) -> None:
    probes = window.workshop.probes
    probes.keep("red cable", one("2026-11-20", "0.5", "100.4"), 1.7e9)
    window.show_page("check")
    page = window.pages.currentWidget()
    assert isinstance(page, CheckPage)
    page.name_probe("red cable")

    def press(text: str) -> None:
        next(b for b in page.probe.history.findChildren(QPushButton) if b.text() == text).click()

    press("Leave out")
    assert probes.correction("red cable") is None
    qtbot.waitUntil(lambda: "Not used." in words(page.probe.history))
    press("Use again")
    assert probes.correction("red cable") is not None
    qtbot.waitUntil(lambda: "2026-11-20" in words(page.probe.history))
    assert "Not used." not in words(page.probe.history)
    window.workshop.begin("typed:", lambda moment: None, replace(
        window.workshop.usual_setup("typed:"), probe="red cable"
    ))  # fmt: skip
    assert window.workshop.runner is not None
    melt = window.workshop.runner.session.melt
    assert melt.setup.correction is not None
    press("Leave out")
    qtbot.waitUntil(lambda: melt.setup.correction is None)
    press("Use again")
    qtbot.waitUntil(lambda: melt.setup.correction is not None)


def test_an_old_check_is_said_to_be_old(probes: Probes) -> None:
    probes.keep("red cable", one("2025-05-01", "0.2"), 1.7e9)
    _, cautions = trust_words(probes.correction("red cable"), None, None, TODAY, SHOWN)
    assert ["over a year ago" in caution for caution in cautions] == [True]


def test_what_it_has_learned_shows_a_probe_that_was_checked_and_leads_to_its_check(
    window: MainWindow, qtbot: QtBot
) -> None:
    window.workshop.probes.keep("red cable", one("2026-11-20", "0.5", "100.4"), 1.7e9)
    window.workshop.probes.keep("red cable", plunge_by_stopwatch(11.5, "2026-11-21"), 1.7e9)
    window.show_page("learned")
    learned = window.pages.currentWidget()
    qtbot.waitUntil(lambda: "red cable" in words(learned))
    assert "Checked 2026-11-20" in words(learned)
    # 11.5 s / ln 10 (thermometry.md, below T23).
    assert "It follows stirred water 5.0 s late" in words(learned)
    next(b for b in learned.findChildren(QPushButton) if b.text() == "Check it again").click()
    page = window.pages.currentWidget()
    assert isinstance(page, CheckPage) and page.probe.probe_name == "red cable"


def test_checks_that_cannot_be_read_are_said_on_the_page_of_what_was_learned(
    window: MainWindow, qtbot: QtBot
) -> None:
    # A folder in place of the file cannot be read.
    window.workshop.probes.path.mkdir(parents=True)
    window.show_page("learned")
    assert "cannot be read" in words(window.pages.currentWidget())
    window.show_page("check")
    assert "cannot be read" in words(window.pages.currentWidget())


def test_the_thermometer_page_leads_to_the_check(window: MainWindow) -> None:
    window.show_page("thermometer")
    page = window.pages.currentWidget()
    next(b for b in page.findChildren(QPushButton) if b.text() == "Check the probe…").click()
    assert isinstance(window.pages.currentWidget(), CheckPage)
