"""Earlier attempts at the same melt, from the records: the same practice scenario, or the same candle."""

from collections.abc import Iterable, Iterator
from typing import Protocol
from uuid import UUID

from candlebench.core.debrief.attempt import Attempt, attempt_of, scenario_of
from candlebench.core.debrief.judge import debrief_of
from candlebench.core.events import Event, MeltBegan, Recorded
from candlebench.core.setup import MeltSetup
from candlebench.records.rows import MeltSummary

# How many are shown, and how far back they are looked for.
MOST = 5
LOOKED_AT = 200


class RecordedMelts(Protocol):
    """What is read: a `Journal` or the console's `Records`."""

    def melts(self) -> list[MeltSummary]:
        """Every melt."""
        ...

    def events(self, melt: UUID) -> Iterator[Recorded]:
        """The events of one melt in their order."""
        ...


def earlier_attempts(
    records: RecordedMelts, melt: UUID, setup: MeltSetup, at_most: int = MOST
) -> tuple[Attempt, ...]:
    """Return the attempts before a melt at the same thing, the latest first.

    A practice melt is compared with the same scenario, a real one with real melts of the same title and lot.
    A melt that never came to the oil or the pour is no attempt.

    Parameters
    ----------
    records : RecordedMelts
        Only read. Nothing is changed, and a melt that cannot be understood is passed over.
    melt : UUID
        The melt that is debriefed.
    setup : MeltSetup
        Of that melt.
    at_most : int
        How many to return.
    """
    summaries = sorted(records.melts(), key=lambda each: -each.began_wall_s)
    present = next((each for each in summaries if each.uuid == melt), None)
    found: list[Attempt] = []
    for summary in summaries[:LOOKED_AT]:
        later = present is not None and summary.began_wall_s > present.began_wall_s
        if summary.uuid == melt or later or not _may_be(summary, setup):
            continue
        attempt = _attempt(records, summary.uuid, setup)
        if attempt is not None:
            found.append(attempt)
            if len(found) == at_most:
                break
    return tuple(found)


def same_thing(one: MeltSetup, other: MeltSetup) -> bool:
    """Whether two melts are attempts at the same thing."""
    scenario = scenario_of(one.source)
    if scenario or scenario_of(other.source):
        return scenario == scenario_of(other.source)
    return (one.title, one.lot) == (other.title, other.lot)


def _may_be(summary: MeltSummary, setup: MeltSetup) -> bool:
    """Whether a melt is worth reading: real melts are known by their title."""
    return bool(scenario_of(setup.source)) or summary.title == setup.title


def _attempt(records: RecordedMelts, melt: UUID, setup: MeltSetup) -> Attempt | None:
    recorded = records.events(melt)
    first = next(recorded, None)
    if first is None or not isinstance(first.event, MeltBegan):
        return None
    # The title of a real melt may have been corrected since; the source never is.
    if scenario_of(first.event.setup.source) != scenario_of(setup.source):
        return None
    debrief = debrief_of(_events(first, recorded))
    if not same_thing(debrief.story.setup, setup):
        return None
    used = debrief.pour.done_s is not None or (debrief.oil is not None and debrief.oil.done_s is not None)
    return attempt_of(melt, debrief) if used else None


def _events(first: Recorded, rest: Iterable[Recorded]) -> Iterator[Event]:
    yield first.event
    for recorded in rest:
        yield recorded.event
