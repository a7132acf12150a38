"""A shop to try the records in: melts, readings, and listeners that remember what they were told."""

import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from uuid import UUID

from candlebench.core.events import Action, ActionKind, Event, MeltBegan, Reading, Recorded
from candlebench.core.setup import Limits, MeltSetup
from candlebench.records.journal import Journal
from candlebench.records.opening import open_database

BEGAN_WALL_S = 1_795_600_000.0
MELT = UUID("6c1f7c5e-3a57-4f0e-8a44-0d5f5a4b9c01")
LIMITS = Limits(66.0, 70.0, 75.0, 68.0, 71.0, 80.0, 85.0, 95.0)


def began(title: str = "two small jars", wall_s: float = BEGAN_WALL_S) -> MeltBegan:
    return MeltBegan(0.0, wall_s, MeltSetup(title, "beeswax", LIMITS))


def reading(number: int, wall_s: float = BEGAN_WALL_S) -> Reading:
    return Reading(0.2 * number, wall_s + 0.2 * number, 60.0 + 0.01 * number)


def action(kind: ActionKind, elapsed_s: float = 1000.0) -> Action:
    return Action(elapsed_s, BEGAN_WALL_S + elapsed_s, kind)


def melt_of(events: list[Event], melt: UUID = MELT) -> list[Recorded]:
    return [Recorded(melt, number, event) for number, event in enumerate(events)]


def some_events(count: int) -> list[Recorded]:
    """A melt's beginning and `count - 1` readings."""
    return melt_of([began(), *(reading(number) for number in range(1, count))])


@dataclass
class Told:
    """What the journal told its listeners; `wait_for` blocks until a sentence matches."""

    troubles: list[str] = field(default_factory=list)
    notices: list[str] = field(default_factory=list)
    changed: threading.Condition = field(default_factory=threading.Condition)

    def trouble(self, text: str) -> None:
        with self.changed:
            self.troubles.append(text)
            self.changed.notify_all()

    def wait_for(self, is_it: Callable[[str], bool]) -> str:
        with self.changed:
            assert self.changed.wait_for(lambda: self.troubles and is_it(self.troubles[-1]), 10.0), (
                self.troubles
            )
            return self.troubles[-1]


@dataclass
class Shop:
    """A data folder, with journals that are closed at the end of the test."""

    folder: Path
    places: tuple[Path, ...]
    told: Told
    journals: list[Journal] = field(default_factory=list)

    def journal(self, commit_every_s: float = 0.9, retry_every_s: float = 0.02) -> Journal:
        opened = open_database(self.folder, self.places, lambda: BEGAN_WALL_S, patience_s=0.05)
        self.told.notices += opened.notices
        journal = Journal(
            opened.database,
            self.folder,
            self.places,
            self.told.trouble,
            self.told.notices.append,
            lambda: BEGAN_WALL_S,
            commit_every_s,
            retry_every_s,
        )
        self.journals.append(journal)
        return journal

    def close(self) -> None:
        for journal in self.journals:
            journal.close()


def damage(path: Path) -> None:
    """Overwrite one page of 4096 bytes in the middle of a file."""
    pages = path.stat().st_size // 4096
    with path.open("r+b") as file:
        file.seek(pages // 2 * 4096)
        file.write(b"\xa5" * 4096)


def differing_pages(one: bytes, other: bytes) -> int:
    """How many pages of 4096 bytes differ between two files."""
    length = max(len(one), len(other))
    return sum(one[at : at + 4096] != other[at : at + 4096] for at in range(0, length, 4096))
