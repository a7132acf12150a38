"""Earlier attempts at the same thing, from a real journal."""

from collections.abc import Iterator
from dataclasses import replace
from uuid import UUID, uuid4

import pytest
from core.debrief.recording import BEGAN_WALL_S, SETUP, Recording, melt

from candlebench.core.events import MeltBegan, Recorded, Refused
from candlebench.core.setup import MeltSetup
from candlebench.records.attempts import earlier_attempts, same_thing
from candlebench.records.journal import Journal

from .shop import Shop

PRACTICE = replace(SETUP, source="practice:first-jug?speed=20")
DAY_S = 86_400.0


@pytest.fixture
def journal(shop: Shop) -> Iterator[Journal]:
    yield shop.journal()


def keep(journal: Journal, recording: Recording, day: int) -> UUID:
    """Record a melt as one that was made on that day."""
    name = uuid4()
    for number, event in enumerate(recording.events):
        moved = replace(event, wall_s=event.wall_s + day * DAY_S)
        journal.append(Recorded(name, number, moved))
    assert journal.flush(10.0)
    return name


def attempt(setup: MeltSetup, oil_c: float) -> Recording:
    return melt(off_c=84.0, oil_c=oil_c, pour_c=66.0, setup=setup)


def test_attempts_at_a_scenario_come_with_the_latest_first(journal: Journal) -> None:
    first = keep(journal, attempt(PRACTICE, 81.0), 0)
    second = keep(journal, attempt(replace(PRACTICE, source="practice:first-jug"), 77.0), 1)
    present = keep(journal, attempt(PRACTICE, 73.0), 2)
    found = earlier_attempts(journal, present, PRACTICE)
    assert [each.melt for each in found] == [second, first]
    assert [each.oil_off_c for each in found] == pytest.approx([2.0, 6.0])
    assert found[0].began_wall_s == BEGAN_WALL_S + DAY_S


def test_what_came_later_is_not_earlier(journal: Journal) -> None:
    present = keep(journal, attempt(PRACTICE, 73.0), 0)
    keep(journal, attempt(PRACTICE, 81.0), 1)
    assert earlier_attempts(journal, present, PRACTICE) == ()


def test_another_scenario_and_a_real_melt_of_that_title_are_not_compared(journal: Journal) -> None:
    keep(journal, attempt(replace(PRACTICE, source="practice:big-pail"), 73.0), 0)
    keep(journal, attempt(SETUP, 73.0), 1)
    present = keep(journal, attempt(PRACTICE, 73.0), 2)
    assert earlier_attempts(journal, present, PRACTICE) == ()


def test_real_melts_are_compared_by_title_and_lot(journal: Journal) -> None:
    keep(journal, attempt(replace(SETUP, title="eight jars"), 73.0), 0)
    keep(journal, attempt(replace(SETUP, lot="meadow 8"), 73.0), 1)
    same = keep(journal, attempt(replace(SETUP, source="serial:/dev/ttyUSB0?baud=9600"), 73.0), 2)
    present = keep(journal, attempt(SETUP, 73.0), 3)
    assert [each.melt for each in earlier_attempts(journal, present, SETUP)] == [same]


def test_a_melt_left_before_the_oil_is_no_attempt(journal: Journal) -> None:
    keep(journal, Recording(PRACTICE).ramp(50.0, 70.0, 5.0), 0)
    assert earlier_attempts(journal, UUID(int=0), PRACTICE) == ()


def test_a_melt_that_cannot_be_understood_is_passed_over(journal: Journal) -> None:
    broken = Recording(PRACTICE)
    broken.events[0] = Refused(0.0, BEGAN_WALL_S, "?", "damaged")
    keep(journal, broken.ramp(50.0, 70.0, 5.0), 0)
    good = keep(journal, attempt(PRACTICE, 73.0), 1)
    assert [each.melt for each in earlier_attempts(journal, UUID(int=0), PRACTICE)] == [good]


def test_no_more_are_read_than_asked_for(journal: Journal) -> None:
    names = [keep(journal, attempt(PRACTICE, 73.0), day) for day in range(4)]
    assert [each.melt for each in earlier_attempts(journal, UUID(int=0), PRACTICE, 2)] == names[:1:-1]


def test_nothing_is_written_by_looking(journal: Journal) -> None:
    present = keep(journal, attempt(PRACTICE, 73.0), 0)
    before = list(journal.events(present))
    earlier_attempts(journal, present, PRACTICE)
    assert list(journal.events(present)) == before
    assert isinstance(before[0].event, MeltBegan)


def test_a_scenario_and_a_real_melt_are_never_the_same_thing() -> None:
    assert not same_thing(PRACTICE, SETUP)
    assert same_thing(PRACTICE, replace(PRACTICE, title="renamed"))
