"""What it has learned: shown, corrected and forgotten."""

from dataclasses import dataclass, field, replace
from pathlib import Path
from uuid import UUID, uuid4

import pytest
from PySide6.QtWidgets import QLabel, QPushButton
from pytestqt.qtbot import QtBot

from candlebench.core.errors import FixableError
from candlebench.core.learning.drift import Drift
from candlebench.core.learning.lesson import JugLesson, WaxLesson
from candlebench.core.learning.pooling import known_jug, known_wax
from candlebench.core.track_record import KeptForecast, Outcome, Score, score_of
from candlebench.core.units import Shown
from candlebench.records.lesson_rows import KeptLesson, Learned
from candlebench.ui.learned_page import LearnedPage, ThingCard
from candlebench.ui.record_strip import RecordStrip
from candlebench.ui.theme import LIGHT, Theme
from candlebench.workshop import Workshop

WALL_S = 1_795_600_000.0


def one(knee_c: float, forgotten: bool = False) -> KeptLesson:
    lesson = WaxLesson(knee_c, 0.3, 2.0, 0.3, "cooling")
    return KeptLesson(uuid4(), WALL_S, "beeswax", lesson, "", forgotten)


def lot(*lessons: KeptLesson, said: float | None = None) -> Learned:
    used = [x.lesson for x in lessons if isinstance(x.lesson, WaxLesson) and not x.forgotten]
    return Learned("lot", "hive 3", "live", lessons, said, known_wax("beeswax", used))


def test_a_lot_whose_last_melt_lay_off_says_that_the_probe_may_have_drifted(qtbot: QtBot) -> None:
    sound = lot(one(63.0), one(63.1), one(62.9))
    drifted = replace(sound, name="hive 4", drift=Drift(-2.1, 0.5, 3))
    page = LearnedPage(Shop((sound, drifted)), Shown(), Theme(LIGHT), lambda: None)
    qtbot.addWidget(page)
    said = {
        card.accessibleName(): [each.text() for each in card.findChildren(QLabel)]
        for card in page.findChildren(ThingCard)
    }
    assert any("2.1 °C lower than in 3 earlier melts" in text for text in said["hive 4"])
    assert not any("earlier melts" in text for text in said["hive 3"])


def forecasts(inside: int, late: int) -> list[KeptForecast]:
    made = [(Outcome.INSIDE, 314.0)] * inside + [(Outcome.LATE, 400.0)] * late
    return [KeptForecast("melted", 68.0, 300.0, 0.0, 250.0, 300.0, 360.0, 1.0, o, t) for o, t in made]


@dataclass
class Shop:
    """A workshop that remembers what it was asked."""

    things: tuple[Learned, ...] = ()
    kept: list[KeptForecast] = field(default_factory=list)
    asked: list[tuple[object, ...]] = field(default_factory=list)
    trouble: str = ""

    def learned(self) -> tuple[Learned, ...]:
        return self.things

    def score(self) -> Score:
        return score_of(self.kept)

    def say(self, kind: str, name: str, origin: str, value: float) -> None:
        if self.trouble:
            raise FixableError(self.trouble)
        self.asked.append(("say", kind, name, origin, value))

    def forget(self, kind: str, name: str, origin: str) -> None:
        self.asked.append(("forget", kind, name, origin))

    def leave_out(self, kind: str, name: str, melt: UUID, left_out: bool) -> None:
        self.asked.append(("leave out", kind, name, melt, left_out))


def make(qtbot: QtBot, shop: Shop, unit: str = "C") -> LearnedPage:
    page = LearnedPage(shop, Shown(unit), Theme(LIGHT), lambda: None)
    qtbot.addWidget(page)
    page.resize(900, 620)
    page.show()
    return page


def words(page: LearnedPage) -> str:
    return "\n".join(label.text() for label in page.findChildren(QLabel) if label.isVisibleTo(page))


def button(page: LearnedPage, text: str) -> QPushButton:
    return next(b for b in page.findChildren(QPushButton) if b.text() == text)


def test_before_anything_is_learned_it_says_how_to_begin(qtbot: QtBot) -> None:
    page = make(qtbot, Shop())
    assert "Give the lot of wax, the jug and the probe a name" in words(page)
    assert "No forecast has been compared" in words(page)
    assert not page.findChild(RecordStrip).isVisibleTo(page)


def test_each_thing_has_its_sentence_and_the_melts_it_came_from(qtbot: QtBot) -> None:
    jug = JugLesson(0.84, 0.1, 700.0)
    steel = Learned(
        "jug",
        "steel",
        "live",
        (KeptLesson(uuid4(), WALL_S, "beeswax", jug, "", False),),
        None,
        known_jug([jug], None),
    )
    nothing = KeptLesson(uuid4(), WALL_S, "beeswax", None, "The melt was not watched.", False)
    page = make(qtbot, Shop((lot(one(62.6), one(63.0), nothing), steel)))
    said = words(page)
    assert "This lot sets at 62.8 °C, give or take" in said and "(two melts)" in said
    assert "62.6 °C, give or take 0.3, seen while it set" in said
    assert "The melt was not watched." in said
    assert "With 700 g in it this jug loses" in said
    assert [part.accessibleName() for part in page.findChildren(ThingCard)] == ["hive 3", "steel"]


def test_the_track_record_is_said_drawn_and_read_aloud(qtbot: QtBot) -> None:
    page = make(qtbot, Shop(kept=forecasts(18, 2)))
    assert "Of your last 20 forecasts 18 were inside the band, typical miss 14 s." in words(page)
    strip = page.findChild(RecordStrip)
    assert strip.accessibleDescription() == "0 came earlier, 18 inside the band, 2 came later"
    inside_only = make(qtbot, Shop(kept=forecasts(20, 0)))
    assert strip.grab().toImage() != inside_only.findChild(RecordStrip).grab().toImage()


def test_widened_bands_are_said_with_the_reason(qtbot: QtBot) -> None:
    assert "times as wide" not in words(make(qtbot, Shop(kept=forecasts(18, 2))))
    assert "times as wide until enough hold again" in words(make(qtbot, Shop(kept=forecasts(5, 10))))


def test_forgetting_asks_the_shop_and_shows_what_is_left(qtbot: QtBot) -> None:
    shop = Shop((lot(one(62.6)),))
    page = make(qtbot, shop)
    shop.things = (lot(one(62.6, forgotten=True)),)
    button(page, "Forget").click()
    assert shop.asked == [("forget", "lot", "hive 3", "live")]
    qtbot.waitUntil(lambda: "Nothing of it is used" in words(page) and "left out" in words(page))
    (card,) = [part for part in page.findChildren(ThingCard) if part.isVisibleTo(page)]
    assert not card.forget.isEnabled()
    # Hands on the keyboard stay where they were.
    assert card.edit.hasFocus()


def test_one_melt_is_left_out_or_used_again(qtbot: QtBot) -> None:
    used, not_used = one(62.6), one(66.0, forgotten=True)
    shop = Shop((lot(used, not_used),))
    page = make(qtbot, shop)
    button(page, "Leave out").click()
    button(page, "Use again").click()
    assert shop.asked == [
        ("leave out", "lot", "hive 3", used.melt, True),
        ("leave out", "lot", "hive 3", not_used.melt, False),
    ]


@pytest.mark.parametrize(("unit", "typed"), [("C", "63,5"), ("F", "146.3")])
def test_her_own_value_is_read_in_her_unit(qtbot: QtBot, unit: str, typed: str) -> None:
    shop = Shop((lot(one(62.6)),))
    page = make(qtbot, shop, unit)
    card = page.findChild(ThingCard)
    assert not card._field.isVisibleTo(page)
    card.edit.click()
    assert card._field.isVisibleTo(page)
    card._field.setText(typed)
    card._use.click()
    ((*what, value),) = shop.asked
    assert what == ["say", "lot", "hive 3", "live"] and value == pytest.approx(63.5)


def test_a_value_that_cannot_be_is_refused_beside_the_field(qtbot: QtBot) -> None:
    shop = Shop((lot(one(62.6)),))
    page = make(qtbot, shop)
    card = page.findChild(ThingCard)
    card.edit.click()
    for wrong in ("", "warm", "500"):
        card._field.setText(wrong)
        card._use.click()
        assert card._problem.isVisibleTo(page)
    assert shop.asked == []


def test_what_the_records_cannot_do_is_said(qtbot: QtBot) -> None:
    shop = Shop((lot(one(62.6)),), trouble="The disk is full: free some space.")
    page = make(qtbot, shop)
    card = page.findChild(ThingCard)
    card.edit.click()
    card._field.setText("63")
    card._use.click()
    assert "The disk is full" in words(page)


def test_every_button_and_field_has_a_name_for_the_screen_reader(qtbot: QtBot) -> None:
    page = make(qtbot, Shop((lot(one(62.6)),)))
    card = page.findChild(ThingCard)
    assert card._field.accessibleName()
    for part in (card.edit, card.forget):
        assert part.text() and part.accessibleDescription() == "hive 3"


def test_it_works_on_a_real_workshop(qtbot: QtBot, tmp_path: Path) -> None:
    shop = Workshop(tmp_path, lambda _: None, lambda _: None)
    shop.say("probe", "kitchen", "live", 8.0)
    page = LearnedPage(shop, Shown(), Theme(LIGHT), lambda: None)
    qtbot.addWidget(page)
    page.show()
    assert "This probe follows 8 s behind the wax" in words(page)
    button(page, "Forget").click()
    qtbot.waitUntil(lambda: "Give the lot of wax, the jug and the probe a name" in words(page))
    shop.close()
