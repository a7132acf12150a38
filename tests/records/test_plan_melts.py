"""The melts begun from a plan, told from a real journal."""

from collections.abc import Iterator
from dataclasses import replace
from uuid import UUID, uuid4

import pytest
from core.debrief.recording import SETUP, Recording, melt

from candlebench.core.events import Recorded
from candlebench.core.setup import MeltSetup
from candlebench.core.units import Shown
from candlebench.records.journal import Journal
from candlebench.records.plan_melts import PlanMelts, melts_from

from .shop import Shop

PLAN = uuid4()
DAY_S = 86_400.0


@pytest.fixture
def journal(shop: Shop) -> Iterator[Journal]:
    yield shop.journal()


def keep(journal: Journal, recording: Recording, day: int = 0) -> UUID:
    name = uuid4()
    for number, event in enumerate(recording.events):
        journal.append(Recorded(name, number, replace(event, wall_s=event.wall_s + day * DAY_S)))
    assert journal.flush(10.0)
    return name


def plan_of(setup: MeltSetup) -> str:
    # The lot stands in for the place where a setup keeps its plan.
    return setup.lot


FROM_PLAN = replace(SETUP, lot=str(PLAN))


def test_a_melt_tells_how_warm_it_was_at_the_oil_and_at_the_pour(journal: Journal) -> None:
    # Straight lines: up to 82, oil in at 73, poured at 69.5 °C.
    keep(journal, melt(off_c=82.0, oil_c=73.0, pour_c=69.5, setup=FROM_PLAN))
    (told,) = melts_from(journal, PLAN, plan_of, Shown())
    assert "oil in at 73 °C" in told and "poured at 69.5 °C" in told and "82 °C at most" in told
    (told,) = melts_from(journal, PLAN, plan_of, Shown("F"))
    assert "poured at 157.1 °F" in told and "°C" not in told


def test_only_the_plans_own_melts_are_told_the_latest_first(journal: Journal) -> None:
    keep(journal, melt(off_c=81.0, setup=FROM_PLAN), day=0)
    keep(journal, melt(setup=replace(SETUP, lot=str(uuid4()))), day=1)
    keep(journal, melt(setup=SETUP), day=2)
    keep(journal, melt(off_c=84.0, setup=FROM_PLAN), day=3)
    told = melts_from(journal, PLAN, plan_of, Shown())
    assert [("84 °C at most" in each, "81 °C at most" in each) for each in told] == [
        (True, False),
        (False, True),
    ]


def test_a_melt_that_was_given_up_says_so(journal: Journal) -> None:
    keep(journal, Recording(FROM_PLAN).ramp(50.0, 66.0, 5.0))
    (told,) = melts_from(journal, PLAN, plan_of, Shown())
    assert "not poured" in told and "oil in" not in told


def test_a_melt_without_a_reading_is_told_too(journal: Journal) -> None:
    keep(journal, Recording(FROM_PLAN))
    (told,) = melts_from(journal, PLAN, plan_of, Shown())
    assert told.endswith("not poured.")


class CountedReads:
    """A journal that counts how often a melt's events are asked for."""

    def __init__(self, journal: Journal) -> None:
        self._journal, self.reads = journal, 0
        self.melts = journal.melts

    def events(self, name: UUID) -> Iterator[Recorded]:
        self.reads += 1
        return self._journal.events(name)


def test_what_was_read_of_a_melt_is_not_read_again_until_it_goes_on(journal: Journal) -> None:
    recording = melt(off_c=82.0, setup=FROM_PLAN)
    name = uuid4()
    for number, event in enumerate(recording.events[:200]):
        journal.append(Recorded(name, number, event))
    keep(journal, melt(setup=replace(SETUP, lot=str(uuid4()))), day=1)
    counted = CountedReads(journal)
    melts = PlanMelts(counted, plan_of, Shown())
    (before,) = melts.of(PLAN)
    reads = counted.reads
    assert melts.of(PLAN) == (before,) and melts.of(uuid4()) == () and counted.reads == reads
    for number, event in enumerate(recording.events[200:], start=200):
        journal.append(Recorded(name, number, event))
    assert journal.flush(10.0)
    (after,) = melts.of(PLAN)
    assert after != before and "82 °C at most" in after and counted.reads == reads + 1
