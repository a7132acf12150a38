"""The debrief's page and its curve."""

from dataclasses import replace
from itertools import pairwise
from uuid import UUID

import numpy as np
import pytest
from core.debrief.recording import PLAIN, SETUP, Recording, melt
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QLabel, QPushButton, QScrollArea
from pytestqt.qtbot import QtBot

from candlebench.core.debrief.attempt import attempt_of
from candlebench.core.debrief.curve import Curve
from candlebench.core.debrief.judge import Debrief, debrief_of
from candlebench.core.debrief.story import story_of
from candlebench.core.events import ActionKind, Reading, Stage
from candlebench.core.guesses import outcomes
from candlebench.core.place import Place
from candlebench.core.setup import Beside, Oil
from candlebench.core.units import Shown
from candlebench.ui.debrief_beside import beside_of
from candlebench.ui.debrief_cards import LevelMark
from candlebench.ui.debrief_curve import paint_debrief
from candlebench.ui.debrief_page import DebriefPage
from candlebench.ui.debrief_scene import picture_of
from candlebench.ui.debrief_words import places_of
from candlebench.ui.plot_parts import spread
from candlebench.ui.theme import DARK, LIGHT, Theme, style_sheet

WRONG = debrief_of(melt(off_c=92.0, oil_c=84.0, pour_c=74.0).events)
RIGHT = debrief_of(melt().events)


def make(qtbot: QtBot, debrief: Debrief, theme: Theme | None = None, unit: str = "C") -> DebriefPage:
    theme = theme or Theme(LIGHT)
    page = DebriefPage(debrief, (attempt_of(UUID(int=1), WRONG),), Shown(unit), lambda: None, lambda: None)
    qtbot.addWidget(page)
    page.setStyleSheet(style_sheet(theme))
    page.use(theme)
    page.resize(1280, 752)
    page.show()
    return page


def words(page: DebriefPage) -> str:
    return "\n".join(label.text() for label in page.findChildren(QLabel))


def test_the_page_says_what_to_do_better_and_what_happened(qtbot: QtBot) -> None:
    said = words(make(qtbot, WRONG))
    assert "Debrief: six jars" in said
    assert "84 °C, 9.0 °C too hot" in said
    assert "estimate" in said and "Scent kept" in said


def test_better_than_last_time_is_said_and_attempts_are_listed(qtbot: QtBot) -> None:
    said = words(make(qtbot, RIGHT))
    assert "Better than last time" in said and "9.0 too hot" in said and "inside" in said


def test_a_first_attempt_says_that_it_is_the_first(qtbot: QtBot) -> None:
    page = DebriefPage(RIGHT, (), Shown(), lambda: None, None)
    qtbot.addWidget(page)
    assert "The first one" in words(page) and "last time" not in words(page)


def test_save_and_back_do_what_they_were_given(qtbot: QtBot) -> None:
    done: list[str] = []
    page = DebriefPage(RIGHT, (), Shown(), lambda: done.append("back"), lambda: done.append("save"))
    qtbot.addWidget(page)
    for button in page.findChildren(QPushButton):
        button.click()
    assert sorted(done) == ["back", "save"]


def test_without_a_way_to_save_there_is_no_button_for_it(qtbot: QtBot) -> None:
    page = DebriefPage(RIGHT, (), Shown(), lambda: None, None)
    qtbot.addWidget(page)
    assert len(page.findChildren(QPushButton)) == 1


def test_again_and_next_are_there_when_there_is_a_way(qtbot: QtBot) -> None:
    done: list[str] = []
    page = DebriefPage(
        RIGHT,
        (),
        Shown(),
        lambda: None,
        None,
        again=lambda: done.append("again"),
        next_one=lambda: done.append("next"),
    )
    qtbot.addWidget(page)
    by_text = {button.text(): button for button in page.findChildren(QPushButton)}
    by_text["Practise again"].click()
    by_text["Next scenario"].click()
    assert done == ["again", "next"]


def test_the_forecast_beside_a_guess_comes_later_and_is_kept(qtbot: QtBot) -> None:
    recording = Recording().ramp(60.0, 84.0, 4.0).do(ActionKind.OFF_HEAT).ramp(84.0, 80.0, 1.0)
    recording.do(ActionKind.GUESS, "75.0 240").ramp(80.0, 73.0, 1.0)
    debrief = debrief_of(recording.events)
    page = DebriefPage(
        debrief, (), Shown(), lambda: None, None, later_guesses=lambda: outcomes(recording.events)
    )
    qtbot.addWidget(page)
    assert "1:01 too early" in words(page)
    qtbot.waitUntil(lambda: "the forecast" in words(page), timeout=20_000)
    assert page.debrief.guesses[0].forecast is not None


def test_a_melt_with_nothing_foreseen_is_one_screen_of_1280_by_800(qtbot: QtBot) -> None:
    page = make(qtbot, WRONG)
    qtbot.waitExposed(page)
    scroll = page.findChild(QScrollArea)
    assert isinstance(scroll, QScrollArea)
    assert scroll.verticalScrollBar().maximum() == 0


@pytest.mark.parametrize("size", [(1280, 752), (900, 560)])
@pytest.mark.parametrize("theme", [Theme(LIGHT), Theme(DARK, 2.0)], ids=["light", "dark 200 %"])
def test_nothing_is_cut_off_at_the_side(qtbot: QtBot, size: tuple[int, int], theme: Theme) -> None:
    page = make(qtbot, WRONG, theme)
    page.resize(*size)
    qtbot.waitExposed(page)
    scroll = page.findChild(QScrollArea)
    assert isinstance(scroll, QScrollArea) and scroll.widget() is not None
    qtbot.waitUntil(lambda: scroll.widget().width() <= scroll.viewport().width(), timeout=2000)
    for label in page.findChildren(QLabel):
        if label.isVisible() and not label.wordWrap():
            assert label.width() >= label.sizeHint().width() - 1, label.text()


def test_with_little_room_the_why_stands_below_its_value(qtbot: QtBot) -> None:
    page = make(qtbot, WRONG, Theme(LIGHT, 2.0))

    def below() -> bool:
        labels = {label.text(): label for label in page._happened.findChildren(QLabel)}
        value = labels["92 °C"]
        why = next(label for text, label in labels.items() if "darkens from 85 °C, stop" in text)
        return bool(why.y() >= value.geometry().bottom())

    qtbot.waitUntil(lambda: not below(), timeout=2000)
    page.resize(900, 560)
    qtbot.waitUntil(below, timeout=2000)


def test_temperatures_are_shown_in_the_persons_unit(qtbot: QtBot) -> None:
    said = words(make(qtbot, WRONG, unit="F"))
    assert "183.2 °F, 16.2 °F too hot" in said and "°C" not in said


def test_every_mark_has_a_word_for_those_who_do_not_see_it(qtbot: QtBot) -> None:
    page = make(qtbot, WRONG)
    names = {mark.accessibleName() for mark in page.findChildren(LevelMark)}
    assert {"as it should be", "could be better"} <= names and "" not in names


def test_the_curve_is_described_in_words(qtbot: QtBot) -> None:
    assert "84 °C" in make(qtbot, WRONG).curve.accessibleDescription()


def painted(debrief: Debrief, theme: Theme, width: int = 900, height: int = 320) -> QImage:
    image = QImage(width, height, QImage.Format.Format_RGB32)
    image.fill(theme.color("surface"))
    painter = QPainter(image)
    paint_debrief(painter, QRectF(image.rect()), debrief, theme, Shown())
    painter.end()
    return image


EVERY_KIND = {
    "right": melt(),
    "wrong": melt(off_c=97.0, oil_c=84.0),
    "plain": melt(setup=PLAIN),
    "only begun": Recording(),
    "one reading": Recording().read(60.0),
    "never poured": Recording().ramp(60.0, 78.0, 4.0).do(ActionKind.OFF_HEAT).ramp(78.0, 72.0, 1.0),
    "with a sleep": Recording().ramp(60.0, 78.0, 4.0).sleep(900.0).ramp(78.0, 72.0, 1.0),
    "no safe window": melt(
        setup=replace(SETUP, limits=replace(SETUP.limits, oil_high_c=66.0), oil=Oil("orange", 60.0))
    ),
    "knob and guess": Recording()
    .ramp(60.0, 80.0, 4.0)
    .do(ActionKind.HEAT_SET, "0.4")
    .do(ActionKind.OFF_HEAT)
    .do(ActionKind.GUESS, "75.0 240")
    .ramp(80.0, 72.0, 1.0),
}


@pytest.mark.parametrize("kind", EVERY_KIND)
def test_every_kind_of_melt_can_be_drawn(qapp: object, kind: str) -> None:
    theme = Theme(LIGHT)
    image = painted(debrief_of(EVERY_KIND[kind].events), theme)
    ground = theme.color("surface").rgb()
    drawn = [y for y in range(320) if any(image.pixel(x, y) != ground for x in range(0, 900, 3))]
    assert drawn[-1] > 260, "the lanes under the plot"
    assert len(drawn) > 80, "bands, limits and names"


def test_the_mark_of_the_oil_lies_on_the_curve_at_its_moment(qapp: object) -> None:
    theme = Theme(LIGHT)
    picture = picture_of(QRectF(0, 0, 900, 320), RIGHT, theme, Shown())
    mark = RIGHT.story.mark(Stage.OIL_IN)
    assert mark is not None
    at = picture.frame.point(mark.at_s, 73.0)
    assert painted(RIGHT, theme).pixelColor(round(at.x()), round(at.y())) == theme.color("text")


def in_bath(temp_c: float, place: Place = Place.BATH) -> Debrief:
    """A second probe that shows one temperature all the time."""
    times_s = RIGHT.story.curve.times_s
    beside = (place, Curve(times_s, np.full(len(times_s), temp_c)))
    return replace(RIGHT, story=replace(RIGHT.story, beside=beside))


@pytest.mark.parametrize("theme", [Theme(LIGHT), Theme(DARK, 2.0)], ids=["light", "dark, large"])
def test_a_second_probe_is_drawn_lightly_under_the_melt(qapp: object, theme: Theme) -> None:
    beside = in_bath(90.0)
    image, frame = (
        painted(beside, theme),
        picture_of(QRectF(0, 0, 900, 320), beside, theme, Shown()).frame,
    )
    y = round(frame.y(90.0))
    muted = theme.color("muted")
    columns = range(round(frame.rect.left()) + 2, round(frame.rect.right()) - 2)
    near = [
        x
        for x in columns
        if any(abs(image.pixelColor(x, y + dy).lightness() - muted.lightness()) < 40 for dy in (-1, 0, 1))
    ]
    assert 0.35 * len(columns) < len(near) < 0.85 * len(columns), "dashes with gaps"


def test_a_bath_is_brought_into_view_and_a_room_flattens_nothing() -> None:
    whole = QRectF(0, 0, 900, 320)
    alone = picture_of(whole, RIGHT, Theme(LIGHT), Shown()).frame
    assert picture_of(whole, in_bath(99.0), Theme(LIGHT), Shown()).frame.shows(99.0)
    assert picture_of(whole, in_bath(99.0, Place.ROOM), Theme(LIGHT), Shown()).frame == alone
    assert not picture_of(whole, in_bath(160.0), Theme(LIGHT), Shown()).frame.shows(110.0)


def test_a_second_probe_that_said_nothing_is_no_curve() -> None:
    recording = melt(setup=replace(SETUP, beside=Beside(Place.BATH)))
    assert beside_of(story_of(recording.events)) is None
    bath = Reading(recording.events[-1].elapsed_s + 1.0, 0.0, 91.0, place=Place.BATH)
    found = beside_of(story_of([*recording.events, bath]))
    assert found is not None and found.place is Place.BATH and list(found.curve.temps_c) == [91.0]


def test_what_lay_too_hot_is_filled(qapp: object) -> None:
    theme = Theme(LIGHT)
    picture = picture_of(QRectF(0, 0, 900, 320), WRONG, theme, Shown())
    off_s = WRONG.story.at(Stage.OFF_HEAT)
    assert off_s is not None
    at = picture.frame.point(off_s + 30.0, 86.5)
    color = painted(WRONG, theme).pixelColor(round(at.x()), round(at.y()))
    assert color != theme.color("surface") and color.red() > color.blue()


@pytest.mark.parametrize("kind", ["right", "wrong", "late", "long stirred"])
@pytest.mark.parametrize("width", [700, 900, 1300])
def test_words_on_the_curve_cover_neither_the_curve_nor_each_other(
    qapp: object, kind: str, width: int
) -> None:
    recording = {
        "right": melt(),
        "wrong": melt(off_c=92.0, oil_c=84.0, pour_c=74.0),
        "late": melt(oil_c=70.6, pour_c=67.0),
        "long stirred": melt(oil_c=73.0, pour_c=66.0, stir_s=240.0),
    }[kind]
    debrief = debrief_of(recording.events)
    picture = picture_of(QRectF(0, 0, width, 320), debrief, Theme(LIGHT), Shown())
    places = places_of(picture, [])
    for stage in (Stage.OFF_HEAT, Stage.OIL_IN, Stage.POURED):
        mark = debrief.story.mark(stage)
        assert mark is not None
        temp_c = debrief.judged.at(mark.at_s)
        assert temp_c is not None
        at = picture.frame.point(mark.at_s, temp_c)
        box = places.find(at, 150.0, 17.0, stage is Stage.POURED, stage is not Stage.OIL_IN)
        assert places.covered(box) == 0
        assert picture.whole.contains(box)
    first, second, third = places.taken
    assert not (first.intersects(second) or second.intersects(third) or first.intersects(third))


def test_the_pour_has_room_for_its_words_to_the_right(qapp: object) -> None:
    picture = picture_of(QRectF(0, 0, 700, 320), RIGHT, Theme(LIGHT), Shown())
    poured_s = RIGHT.story.at(Stage.POURED)
    assert poured_s is not None
    assert picture.frame.rect.right() - picture.frame.x(poured_s) > 120.0


def test_names_are_spread_in_their_order_and_stay_inside() -> None:
    places = spread([50.0, 52.0, 10.0, 99.0, 98.0], 10.0, 0.0, 100.0)
    ordered = [places[i] for i in (2, 0, 1, 4, 3)]
    assert all(b - a >= 10.0 - 1e-9 for a, b in pairwise(ordered))
    assert min(places) >= 5.0 and max(places) <= 95.0
