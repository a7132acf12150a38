"""Lessons are drawn from melts that ended, in the background, and reach the next melt."""

import os
import sys
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from uuid import UUID, uuid4

import numpy as np
import pytest

from candlebench.core.events import Action, ActionKind, Event, MeltBegan, Reading, Recorded
from candlebench.core.forecast.wax_family import wax_family
from candlebench.core.materials.wax import limits_for, load_waxes
from candlebench.core.setup import MeltSetup
from candlebench.records.journal import Journal, open_journal
from candlebench.records.lessons import Lessons
from candlebench.records.settings import LastMelt
from candlebench.runner import Moment
from candlebench.teacher import Teacher, origin_of
from candlebench.workshop import Workshop

WALL_S = 1_795_600_000.0
KNEE_C = 62.0


def _ignore(_: object) -> None:
    return


def _listen(_: Moment) -> None:
    return


@pytest.fixture
def quiet_stdin(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A terminal at which nobody types."""
    read, write = os.pipe()
    with os.fdopen(read) as stream:
        monkeypatch.setattr(sys, "stdin", stream)
        yield
    os.close(write)


def setup(source: str = "serial:/dev/ttyUSB0", **names: str) -> MeltSetup:
    limits = limits_for(load_waxes()["beeswax"])
    return replace(MeltSetup("jug", "beeswax", limits, 20.0, source=source), **names)


def a_melt_that_sets(of: MeltSetup) -> list[Event]:
    """An hour of cooling by the law over one curve of the family, a reading every five seconds."""
    family = wax_family("beeswax", [KNEE_C], [2.0])
    one = np.zeros(1, dtype=np.intp)
    heat = family.heat_at(one, np.array([82.0]))
    events: list[Event] = [
        MeltBegan(0.0, WALL_S, of),
        Action(0.0, WALL_S, ActionKind.OFF_HEAT),
    ]
    rng = np.random.default_rng(5)
    for i in range(1, 1200):
        temp = float(family.temp_at(one, heat)[0][0])
        heat -= 1.4e-4 * (temp - 20.0) ** 1.25 * 5.0
        at_s = 5.0 * i
        events.append(Reading(at_s, WALL_S + at_s, round(temp + rng.normal(0.0, 0.1), 1)))
    return events


def record(journal: Journal, events: list[Event]) -> UUID:
    melt = uuid4()
    for number, event in enumerate(events):
        journal.append(Recorded(melt, number, event))
    assert journal.flush(10.0)
    return melt


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    journal = open_journal(tmp_path, (), _ignore, _ignore)
    yield journal
    journal.close()


def test_a_melt_that_ended_is_learned_from(journal: Journal) -> None:
    lessons = Lessons(lambda: journal.path)
    teacher = Teacher(journal, lessons)
    named = setup(lot="hive 3", jug="steel")
    melt = record(journal, a_melt_that_sets(named))
    teacher.teach(melt, ())
    assert teacher.wait(20.0)
    teacher.stop(1.0)
    known = lessons.known(named, "live")
    assert known.wax is not None and abs(known.wax.knee_c - KNEE_C) < 0.5
    assert known.jug is not None
    assert lessons.undrawn(journal.melts()) == []


def test_a_melt_during_which_the_program_ended_is_caught_up_with(journal: Journal) -> None:
    lessons = Lessons(lambda: journal.path)
    record(journal, a_melt_that_sets(setup(lot="hive 3")))
    running = record(journal, [MeltBegan(0.0, WALL_S, setup(lot="hive 4"))])
    teacher = Teacher(journal, lessons)
    teacher.catch_up(running)
    deadline = time.monotonic() + 30.0
    while len(lessons.undrawn(journal.melts())) > 1 and time.monotonic() < deadline:
        teacher.wait(0.05)
    teacher.stop(1.0)
    assert lessons.names("lot", "live") == ("hive 3",)
    # Its forecasts were found by folding its events once more.
    assert lessons.score("live").last


def test_a_melt_that_just_ended_comes_before_old_ones(journal: Journal) -> None:
    lessons = Lessons(lambda: journal.path)
    for _ in range(3):
        record(journal, a_melt_that_sets(setup(lot="old")))
    teacher = Teacher(journal, lessons)
    teacher.catch_up(uuid4())
    fresh = record(journal, a_melt_that_sets(setup(lot="fresh")))
    teacher.teach(fresh, ())
    assert teacher.wait(20.0)
    assert lessons.names("lot", "live") == ("fresh",)
    teacher.stop(1.0)


def test_a_replayed_file_teaches_nothing_and_practice_only_itself(journal: Journal) -> None:
    lessons = Lessons(lambda: journal.path)
    teacher = Teacher(journal, lessons)
    for source in ("replay:melt.csv?speed=60", "practice:first-jug?speed=20"):
        teacher.teach(record(journal, a_melt_that_sets(setup(source, lot="x"))), ())
    assert teacher.wait(20.0)
    teacher.stop(1.0)
    assert lessons.names("lot", "live") == () and lessons.names("lot", "practice") == ("x",)
    assert lessons.names("lot", "replay") == ()
    assert origin_of("typed:") == origin_of("serial:/dev/ttyS0") == "live"


def test_a_melt_whose_lesson_cannot_be_kept_stops_nothing(journal: Journal, tmp_path: Path) -> None:
    teacher = Teacher(journal, Lessons(lambda: tmp_path / "gone.db"))
    teacher.teach(record(journal, a_melt_that_sets(setup(lot="x"))), ())
    teacher.teach(uuid4(), ())
    assert teacher.wait(20.0)
    teacher.stop(1.0)


def test_a_new_melt_begins_with_what_the_last_one_taught(tmp_path: Path, quiet_stdin: None) -> None:
    shop = Workshop(tmp_path, _ignore, _ignore)
    shop.change_settings(replace(shop.settings, last_melt=LastMelt(lot="hive 3", jug="steel", probe="wire")))
    first = shop.begin("typed:", _listen)
    begun = first.session.melt.setup
    assert (begun.lot, begun.jug, begun.probe) == ("hive 3", "steel", "wire")
    assert begun.known.wax is None
    for event in a_melt_that_sets(begun)[1:]:
        first.session.record(event)
    second = shop.begin("typed:", _listen)
    wax = second.session.melt.setup.known.wax
    assert wax is not None and abs(wax.knee_c - KNEE_C) < 0.5
    assert shop.score().last
    shop.forget("lot", "hive 3", "live")
    deadline = time.monotonic() + 5.0
    while second.session.melt.setup.known.wax is not None and time.monotonic() < deadline:
        second.source_ended.wait(0.02)
    assert second.session.melt.setup.known.wax is None
    shop.close()


def test_another_lot_during_a_melt_brings_what_is_known_of_it(tmp_path: Path, quiet_stdin: None) -> None:
    shop = Workshop(tmp_path, _ignore, _ignore)
    shop.say("lot", "hive 7", "live", 64.2)
    setup_now = shop.begin("typed:", _listen).session.melt.setup
    assert setup_now.known.wax is None
    known = shop.with_known(replace(setup_now, lot="hive 7")).known
    assert known.wax is not None and known.wax.knee_c == pytest.approx(64.2, abs=0.01)
    assert shop.known_names("live")["lot"] == ("hive 7",)
    shop.close()


def test_a_practice_melt_learns_under_its_scenarios_name(tmp_path: Path) -> None:
    shop = Workshop(tmp_path, _ignore, _ignore)
    runner = shop.begin("practice:first-jug?speed=60", _listen)
    begun = runner.session.melt.setup
    assert (begun.lot, begun.jug, begun.probe) == ("first-jug",) * 3
    shop.stop()
    assert {thing.origin for thing in shop.learned()} == {"practice"}
    shop.close()


def test_the_choice_of_names_is_remembered_but_not_that_of_a_practice_melt(tmp_path: Path) -> None:
    shop = Workshop(tmp_path, _ignore, _ignore)
    chosen = shop.last_melt_of(setup(lot="hive 3", jug="steel", probe="wire"))
    assert (chosen.lot, chosen.jug, chosen.probe) == ("hive 3", "steel", "wire")
    shop.change_settings(replace(shop.settings, last_melt=chosen))
    practised = shop.last_melt_of(replace(setup("practice:first-jug", lot="first-jug"), title="practice"))
    assert (practised.title, practised.lot, practised.jug) == ("practice", "hive 3", "steel")
    shop.close()
