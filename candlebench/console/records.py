"""Reading the records while a window may be open on them."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from uuid import UUID

from candlebench.core.errors import FixableError
from candlebench.core.events import Recorded
from candlebench.records.database import Database
from candlebench.records.opening import FILE_NAME
from candlebench.records.rows import MeltSummary, event_or_refused
from candlebench.words import tr

_AT_A_TIME = 2000


class Records:
    """The recorded melts, to be read only."""

    def __init__(self, database: Database | None) -> None:
        self._database = database

    def melts(self) -> list[MeltSummary]:
        """Every melt, the newest first."""
        return [] if self._database is None else self._database.melts()

    def events(self, melt: UUID) -> Iterator[Recorded]:
        """The events of one melt in their order."""
        after = -1
        while self._database is not None:
            rows = self._database.rows(str(melt), after, _AT_A_TIME)
            if not rows:
                return
            for row in rows:
                yield event_or_refused(row)
            after = rows[-1].number

    def find(self, name: str) -> MeltSummary:
        """The melt called `name`: 'latest', or the first letters of its identity.

        Raises
        ------
        FixableError
            None, or several, are called so.
        """
        melts = sorted(self.melts(), key=lambda m: -m.began_wall_s)
        if not melts:
            raise FixableError(tr("No melt is recorded yet: start one with “candlebench”."))
        if name == "latest":
            return melts[0]
        found = [m for m in melts if str(m.uuid).startswith(name.lower())]
        if not found:
            raise FixableError(tr("No melt begins with “{name}”: see `candlebench melts`.").format(name=name))
        if len(found) > 1:
            raise FixableError(
                tr(
                    "{count} melts begin with “{name}”: write more letters of it, see `candlebench melts`."
                ).format(count=len(found), name=name)
            )
        return found[0]


@contextmanager
def reading_journal(folder: Path) -> Iterator[Records]:
    """Open the records of a data folder for reading; a folder without records has no melts.

    Raises
    ------
    FixableError
        The file cannot be read.
    """
    path = folder / FILE_NAME
    if not path.exists():
        yield Records(None)
        return
    try:
        database = Database.for_reading(path)
    except sqlite3.Error as error:
        raise _unreadable(path, error) from error
    try:
        yield Records(database)
    except sqlite3.Error as error:
        raise _unreadable(path, error) from error
    finally:
        database.close_unmarked()


def _unreadable(path: Path, error: Exception) -> FixableError:
    return FixableError(
        tr("{path} cannot be read ({why}): start candlebench once, it sets a damaged file aside.").format(
            path=path, why=error
        )
    )
