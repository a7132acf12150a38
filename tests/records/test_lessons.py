"""What was learned is kept beside the events, can be forgotten, and loses nothing."""

import math
import sqlite3
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from uuid import UUID

import pytest

from candlebench.core.errors import FixableError
from candlebench.core.known import KnownWax
from candlebench.core.learning.lesson import JugLesson, Lesson, ProbeLesson, WaxLesson
from candlebench.core.setup import MeltSetup
from candlebench.core.track_record import KeptForecast, Outcome
from candlebench.records.database import Database
from candlebench.records.lessons import Lessons, carry_words
from candlebench.records.rows import MeltSummary

from .shop import BEGAN_WALL_S, LIMITS

SETUP = MeltSetup("six jars", "beeswax", LIMITS, wax_g=700.0, lot="hive 3", jug="steel", probe="kitchen")
NOTHING = Lesson(None, "Not watched.", None, "Not long enough.", None, "Not put in.")


def summary(number: int, events: int = 100) -> MeltSummary:
    return MeltSummary(UUID(int=number), "", BEGAN_WALL_S + 86400.0 * number, 3600.0, events, True)


def lesson(knee_c: float = 62.5) -> Lesson:
    return Lesson(
        WaxLesson(knee_c, 0.3, 2.0, 0.3, "cooling"),
        "",
        JugLesson(0.85, 0.12, 700.0),
        "",
        ProbeLesson(8.0, 0.3),
        "",
    )


def forecast(made_s: float, outcome: Outcome, took_s: float | None, high_s: float = 360.0) -> KeptForecast:
    return KeptForecast("melted", 68.0, 300.0, made_s, 250.0, 300.0, high_s, 1.0, outcome, took_s)


@pytest.fixture
def lessons(tmp_path: Path) -> Iterator[Lessons]:
    path = tmp_path / "candlebench.db"
    database = Database(path)
    yield Lessons(lambda: path)
    database.close()


def knee_c(lessons: Lessons, setup: MeltSetup = SETUP, origin: str = "live") -> float | None:
    wax = lessons.known(setup, origin).wax
    return None if wax is None else wax.knee_c


def test_what_a_melt_taught_is_known_to_the_next_with_the_same_names(lessons: Lessons) -> None:
    assert lessons.known(SETUP, "live").wax is None
    lessons.keep(summary(1), "live", SETUP, lesson(), ())
    known = lessons.known(SETUP, "live")
    assert known.wax is not None and 62.3 < known.wax.knee_c < 62.9 and known.wax.melts == 1
    assert known.jug is not None and known.jug.fill_g == 700.0
    assert known.probe is not None and known.probe.melts == 1
    other = lessons.known(replace(SETUP, lot="hive 4", jug="glass", probe="new"), "live")
    assert (other.wax, other.jug, other.probe) == (None, None, None)


def test_a_lot_of_another_wax_with_the_same_name_is_another_lot(lessons: Lessons) -> None:
    lessons.keep(summary(1), "live", SETUP, lesson(), ())
    assert knee_c(lessons, replace(SETUP, wax="soy-container")) is None


def test_practice_teaches_nothing_about_real_wax(lessons: Lessons) -> None:
    lessons.keep(summary(1), "practice", SETUP, lesson(), ())
    assert knee_c(lessons) is None
    assert knee_c(lessons, origin="practice") is not None
    assert lessons.names("lot", "live") == () and lessons.names("lot", "practice") == ("hive 3",)


def test_without_a_name_nothing_is_learned(lessons: Lessons) -> None:
    lessons.keep(summary(1), "live", replace(SETUP, lot="", jug=""), lesson(), ())
    assert [(x.kind, x.name) for x in lessons.learned()] == [("probe", "kitchen")]


def test_a_lesson_drawn_again_takes_the_place_of_the_first(lessons: Lessons) -> None:
    lessons.keep(summary(1), "live", SETUP, lesson(60.5), ())
    lessons.keep(summary(1), "live", SETUP, lesson(62.5), ())
    known = lessons.known(SETUP, "live").wax
    assert known is not None and known.melts == 1 and known.knee_c > 62.0


def test_a_melt_that_taught_nothing_is_listed_with_the_reason(lessons: Lessons) -> None:
    lessons.keep(summary(1), "live", SETUP, NOTHING, ())
    lot = next(x for x in lessons.learned() if x.kind == "lot")
    assert lot.known is None
    assert lot.lessons[0].lesson is None and lot.lessons[0].why == "Not watched."


def test_forgetting_uses_nothing_any_more_and_keeps_everything(lessons: Lessons) -> None:
    lessons.keep(summary(1), "live", SETUP, lesson(), ())
    lessons.forget("lot", "hive 3", "live", BEGAN_WALL_S + 2 * 86400.0)
    assert knee_c(lessons) is None
    lot = next(x for x in lessons.learned() if x.kind == "lot")
    assert [kept.forgotten for kept in lot.lessons] == [True] and lot.lessons[0].lesson is not None
    lessons.keep(summary(3), "live", SETUP, lesson(64.0), ())
    known = lessons.known(SETUP, "live").wax
    assert known is not None and known.melts == 1 and known.knee_c > 63.4


def test_a_melt_is_left_out_and_used_again(lessons: Lessons) -> None:
    lessons.keep(summary(1), "live", SETUP, lesson(62.5), ())
    lessons.keep(summary(2), "live", SETUP, lesson(66.5), ())
    torn = knee_c(lessons)
    lessons.forget_melt("lot", "hive 3", summary(2).uuid)
    clean = knee_c(lessons)
    # Drawing the lesson again does not bring it back.
    lessons.keep(summary(2), "live", SETUP, lesson(66.5), ())
    assert torn is not None and clean is not None and torn > clean == knee_c(lessons)
    lessons.forget_melt("lot", "hive 3", summary(2).uuid, forgotten=False)
    assert knee_c(lessons) == torn


def test_what_she_says_counts_instead_of_the_melts_before_it(lessons: Lessons) -> None:
    lessons.keep(summary(1), "live", SETUP, lesson(62.0), ())
    lessons.say("lot", "hive 3", "live", 64.0, BEGAN_WALL_S + 2 * 86400.0)
    assert knee_c(lessons) == pytest.approx(64.0, abs=0.01)
    lessons.keep(summary(3), "live", SETUP, lesson(63.4), ())
    moved = knee_c(lessons)
    assert moved is not None and 63.4 < moved < 64.0
    lessons.forget("lot", "hive 3", "live", BEGAN_WALL_S + 4 * 86400.0)
    assert knee_c(lessons) is None


def test_her_word_alone_is_enough(lessons: Lessons) -> None:
    lessons.say("lot", "new lot", "live", 63.0, BEGAN_WALL_S)
    (lot,) = lessons.learned()
    assert isinstance(lot.known, KnownWax) and lot.known.melts == 0 and lot.said == 63.0


@pytest.mark.parametrize(("kind", "value"), [("lot", 5.0), ("lot", math.nan), ("jug", 0.0), ("probe", 900.0)])
def test_what_cannot_be_is_refused_with_what_to_write(lessons: Lessons, kind: str, value: float) -> None:
    with pytest.raises(FixableError, match="write"):
        lessons.say(kind, "x", "live", value, BEGAN_WALL_S)
    assert lessons.learned() == ()


def test_forgetting_what_was_never_learned_is_said(lessons: Lessons) -> None:
    with pytest.raises(FixableError, match="“hive 9”"):
        lessons.forget("lot", "hive 9", "live", BEGAN_WALL_S)


def test_forecasts_come_back_as_the_track_record(lessons: Lessons) -> None:
    kept = tuple(forecast(60.0 * i, Outcome.INSIDE, 310.0) for i in range(30))
    lessons.keep(summary(1), "live", SETUP, None, kept)
    late = (forecast(0.0, Outcome.LATE, 400.0), forecast(9.0, Outcome.OVERTAKEN, None))
    lessons.keep(summary(2), "live", SETUP, None, late)
    score = lessons.score("live")
    assert (len(score.last), score.held, score.miss_s) == (20, 19, 10.0)
    assert score.last[-1].outcome is Outcome.LATE
    assert lessons.score("practice").last == ()


def test_a_band_without_an_end_comes_back_without_one(lessons: Lessons) -> None:
    lessons.keep(summary(1), "live", SETUP, None, (forecast(0.0, Outcome.INSIDE, 310.0, math.inf),))
    assert lessons.score("live").last[0].high_s == math.inf


def test_too_few_bands_that_held_widen_those_of_the_next_melt(lessons: Lessons) -> None:
    lessons.keep(summary(1), "live", SETUP, None, tuple(forecast(i, Outcome.LATE, 390.0) for i in range(12)))
    assert 1.2 < lessons.known(SETUP, "live").widen < 2.0


def test_melts_without_a_lesson_are_found_and_those_that_went_on(lessons: Lessons) -> None:
    lessons.keep(summary(1), "live", SETUP, NOTHING, ())
    lessons.keep(summary(2), "live", SETUP, None, ())
    assert lessons.undrawn([summary(1), summary(2), summary(3)]) == [summary(3)]
    assert lessons.undrawn([summary(1, events=120)]) == [summary(1, events=120)]


def test_a_database_of_the_first_version_gains_the_tables(tmp_path: Path) -> None:
    path = tmp_path / "candlebench.db"
    Database(path).close()
    with sqlite3.connect(path) as connection:
        for table in ("lessons", "forgotten", "said", "forecasts", "drawn"):
            connection.execute(f"DROP TABLE {table}")
        connection.execute("PRAGMA user_version = 1")
    connection.close()
    lessons = Lessons(lambda: path)
    with pytest.raises(FixableError, match="start candlebench once"):
        lessons.learned()
    Database(path).close()
    assert lessons.learned() == ()


def test_a_file_that_cannot_be_read_is_said(tmp_path: Path) -> None:
    with pytest.raises(FixableError):
        Lessons(lambda: tmp_path / "nothing.db").learned()


def test_a_lesson_that_a_later_version_wrote_differently_counts_as_none(
    lessons: Lessons, tmp_path: Path
) -> None:
    lessons.keep(summary(1), "live", SETUP, lesson(), ())
    with sqlite3.connect(tmp_path / "candlebench.db") as connection:
        connection.execute("UPDATE lessons SET body = '{\"wax\": 1}' WHERE kind = 'lot'")
    connection.close()
    assert knee_c(lessons) is None
    assert "version" in next(x for x in lessons.learned() if x.kind == "lot").lessons[0].why


def test_what_she_said_is_carried_over_from_another_database_once(lessons: Lessons, tmp_path: Path) -> None:
    lessons.keep(summary(1), "live", SETUP, lesson(), ())
    lessons.forget_melt("lot", "hive 3", summary(1).uuid)
    lessons.say("lot", "hive 4", "live", 63.0, BEGAN_WALL_S)
    lessons.say("jug", "steel", "live", 0.9, BEGAN_WALL_S)
    lessons.forget("jug", "steel", "live", BEGAN_WALL_S + 1.0)
    fresh_path = tmp_path / "fresh.db"
    fresh = Database(fresh_path)
    for _ in range(2):
        carry_words(tmp_path / "candlebench.db", fresh)
    new = Lessons(lambda: fresh_path)
    assert [(x.kind, x.name, x.said) for x in new.learned() if x.said] == [("lot", "hive 4", 63.0)]
    assert fresh.connection.execute("SELECT count(*) FROM said").fetchone()[0] == 3
    new.keep(summary(1), "live", SETUP, lesson(), ())
    assert knee_c(new) is None
    fresh.close()


def test_a_database_that_holds_no_words_is_passed_over(tmp_path: Path) -> None:
    old = tmp_path / "old.db"
    old.write_bytes(b"no database at all" * 100)
    fresh = Database(tmp_path / "fresh.db")
    carry_words(old, fresh)
    assert fresh.connection.execute("SELECT count(*) FROM said").fetchone()[0] == 0
    fresh.close()
