"""The card of now: a second probe, and a probe whose own display says another number."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from candlebench.console.setup import console_setup
from candlebench.core.correction import Correction
from candlebench.core.events import MeltBegan, ProbeTrouble, Reading
from candlebench.core.melt import Melt
from candlebench.core.place import Place
from candlebench.core.setup import Beside
from candlebench.core.state import BesideState, MeltState, ProbeStatus
from candlebench.core.units import Shown
from candlebench.ui.melt_page import MeltPage
from candlebench.ui.now_beside import beside_sentence
from candlebench.ui.now_card import NowCard
from candlebench.ui.theme import DARK, LIGHT, Theme, style_sheet

Make = Callable[..., NowCard]


def begun(beside: Beside | None = None, correction: Correction | None = None) -> Melt:
    melt = Melt()
    setup = replace(
        console_setup("A jug", "beeswax", 21.0, "serial:/dev/ttyX"), beside=beside, correction=correction
    )
    melt.apply(MeltBegan(0.0, 0.0, setup))
    return melt


def read(melt: Melt, bath_c: Callable[[float], float], until_s: int, from_s: int = 0) -> None:
    for second in range(from_s, until_s):
        melt.apply(Reading(float(second), 0.0, bath_c(second), place=Place.BATH))
        melt.apply(Reading(float(second), 0.0, 63.0 + 0.01 * second))


@pytest.fixture
def make(qtbot: QtBot) -> Make:
    """Makes a card as it stands on the page, at a text size."""

    def made(scale: float = 1.0, dark: bool = False) -> NowCard:
        theme = Theme(DARK if dark else LIGHT, scale)
        page = MeltPage()
        qtbot.addWidget(page)
        page.setFont(theme.font(16))
        page.setStyleSheet(style_sheet(theme))
        page.use(theme, Shown())
        page.resize(1280, 752)
        page.show()
        return page.now

    return made


def test_the_bath_is_said_with_its_slope(make: Make) -> None:
    melt, card = begun(Beside(Place.BATH)), make()
    read(melt, lambda s: 80.0 + 0.035 * s, 120)
    card.show_state(melt.state, Shown())
    # 0.035 K/s are 2.1 K/min; 80 + 0.035 * 119 = 84.2.
    assert card.beside.isVisible() and card.beside.text == "Bath 84.2 °C, rising 2.1 °C/min"
    assert "Bath 84.2 °C, rising 2.1 °C/min" in card.accessibleDescription()
    card.show_state(melt.state, Shown("F"))
    assert card.beside.text == "Bath 183.5 °F, rising 3.8 °F/min"


def test_without_a_second_probe_nothing_is_said_of_one(make: Make) -> None:
    melt, card = begun(), make()
    melt.apply(Reading(0.0, 0.0, 63.0))
    card.show_state(melt.state, Shown())
    assert not card.beside.isVisible() and "Bath" not in card.accessibleDescription()


def test_a_bath_that_answers_no_more_shows_no_number(make: Make) -> None:
    melt, card = begun(Beside(Place.BATH)), make()
    read(melt, lambda s: 90.0, 60)
    for second in range(60, 72):
        melt.apply(Reading(float(second), 0.0, 64.0))
    card.show_state(melt.state, Shown())
    assert card.beside.text == "Bath: no answer for 0:12"
    assert "90" not in card.accessibleDescription()
    assert LIGHT.muted.lower() in card.beside.findChildren(QLabel)[-1].styleSheet().lower()
    read(melt, lambda s: 91.0, 76, 72)
    card.show_state(melt.state, Shown())
    assert card.beside.text.startswith("Bath 91.0 °C")


def test_what_is_wrong_with_it_is_told_beside_the_line(make: Make) -> None:
    melt, card = begun(Beside(Place.BATH, "serial:/dev/ttyY")), make()
    melt.apply(ProbeTrouble(1.0, 0.0, "unplugged", "The bath's plug is out: push it in.", Place.BATH))
    card.show_state(melt.state, Shown())
    assert card.beside.text == "Bath: no reading yet"
    assert card.beside.toolTip() == "The bath's plug is out: push it in."


def test_where_there_is_little_room_the_slope_is_said_without_its_amount(make: Make) -> None:
    melt, card = begun(Beside(Place.BATH)), make(2.0)
    page = card.parentWidget()
    assert page is not None
    page.resize(860, 560)
    read(melt, lambda s: 80.0 + 0.035 * s, 120)
    card.show_state(melt.state, Shown())
    label = card.beside.findChildren(QLabel)[-1]
    assert label.text() == "Bath 84.2 °C, rising"
    assert label.accessibleName() == card.beside.text == "Bath 84.2 °C, rising 2.1 °C/min"


def test_a_room_has_no_slope() -> None:
    room = BesideState(
        Place.ROOM, 20.96, 10.0, True, 1.3, ProbeStatus(True, ""), np.array([10.0]), np.array([20.96]), 0
    )
    assert beside_sentence(room, 10.0, Shown()) == "Room 21.0 °C"
    assert beside_sentence(replace(room, fresh=False), 85.0, Shown()) == "Room: no answer for 1:15"


def test_a_measured_room_is_not_told_twice(make: Make) -> None:
    melt, page = begun(Beside(Place.ROOM)), make().parentWidget()
    assert isinstance(page, MeltPage)
    melt.apply(Reading(0.0, 0.0, 63.0))
    page.show_state(melt.state)
    assert "room" not in page._about.text()
    page.show_state(replace(melt.state, beside=None))
    assert "room 21 °C" in page._about.text()


def test_a_corrected_number_is_shown_with_what_the_probe_shows(make: Make) -> None:
    melt, card = begun(correction=Correction(1.0, 0.8, 0.3, "2026-02-01")), make()
    melt.apply(Reading(0.0, 0.0, 70.6))
    melt.apply(Reading(1.0, 0.0, 70.6))
    card.show_state(melt.state, Shown())
    assert "71.4" in card._temp.text() and card._shows.text() == "probe shows 70.6"
    assert "probe shows 70.6" in card.accessibleDescription()
    card.show_state(replace(melt.state, fresh=False), Shown())
    assert card._shows.text() == "", "not as if it showed that now"


def test_a_probe_that_is_right_is_not_spoken_of(make: Make) -> None:
    melt, card = begun(), make()
    melt.apply(Reading(0.0, 0.0, 70.6))
    card.show_state(melt.state, Shown())
    assert melt.state.read_c == 70.6 and card._shows.text() == ""


def test_typing_and_what_is_wrong_with_it_take_its_place(make: Make, qtbot: QtBot) -> None:
    melt, card = begun(Beside(Place.BATH)), make()
    read(melt, lambda s: 90.0, 60)
    card.show_state(melt.state, Shown())
    card.start_typing("7")
    assert not card.beside.isVisible()
    card.show_state(melt.state, Shown())
    assert not card.beside.isVisible() and card._entry.isVisible()
    card.close_entry()
    assert card.beside.isVisible()
    card.say_problem("“7000” is no temperature of wax: write one like 70.5.")
    card.show_state(melt.state, Shown())
    assert not card.beside.isVisible()
    card.clear_problem()
    assert card.beside.isVisible()


def state_of(scale_words: str) -> MeltState:
    melt = begun(Beside(Place.BATH), Correction(1.0, -1.2, 0.3, "2026-02-01"))
    slope = 0.2 if scale_words == "long" else 0.0
    read(melt, lambda s: 76.0 + slope * s, 120)
    return melt.state


@pytest.mark.parametrize("words", ["short", "long"])
@pytest.mark.parametrize("scale", [1.0, 1.4, 2.0])
def test_nothing_is_cut_off_at_any_size(make: Make, qtbot: QtBot, scale: float, words: str) -> None:
    card = make(scale, dark=True)
    card.show_state(state_of(words), Shown("F"))
    qtbot.waitUntil(lambda: card.beside.height() > 0)
    for label in card.findChildren(QLabel):
        if label.isVisible() and label is not card._temp and not label.wordWrap():
            width = QFontMetricsF(label.font()).horizontalAdvance(label.text())
            assert width <= label.width() + 1, label.text()
            assert label.sizeHint().height() <= label.height() + 1, label.text()
    bottom = card.mapFromGlobal(card._bottom.mapToGlobal(card._bottom.rect().bottomLeft())).y()
    assert bottom <= card.height()
