"""Reading what can still be read from a damaged database, without touching it."""

import shutil
import sqlite3
import tempfile
from collections.abc import Generator, Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path

from candlebench.core.errors import BadDataError
from candlebench.records.rows import Row, checked_event

_AT_A_TIME = 1000


@contextmanager
def copied(database: Path) -> Iterator[Path]:
    """Copy a database, with its write-ahead log, to a folder that goes when the block ends.

    SQLite moves the log into the database, and removes it, as soon as it opens and closes the two; a copy is
    the way to look into a database that must stay as it is.

    Raises
    ------
    OSError
        It cannot be read, or there is no room for a copy.
    """
    with tempfile.TemporaryDirectory(prefix="candlebench-", ignore_cleanup_errors=True) as folder:
        copy = Path(folder) / "copy.db"
        for companion in ("", "-wal"):
            beside = database.with_name(database.name + companion)
            if beside.exists():
                shutil.copyfile(beside, copy.with_name(copy.name + companion))
        yield copy


def log_is_left(database: Path) -> bool:
    """Say whether a write-ahead log lies beside a database: the last program that used it was cut short."""
    log = database.with_name(database.name + "-wal")
    return log.exists() and log.stat().st_size > 0


def salvage(damaged: Path) -> Iterator[list[Row]]:
    """Yield the events of a damaged database that can be read and understood, in lists.

    Parameters
    ----------
    damaged : Path
        The database. Only a copy of it is opened.

    Yields
    ------
    list of Row
        At most 1000 each. Some may come twice; nothing comes when SQLite cannot open the file at all.

    Raises
    ------
    OSError
        The file cannot be read, or there is no room for a copy.
    """
    with suppress(sqlite3.Error), copied(damaged) as copy:
        connection = sqlite3.connect(copy, isolation_level=None)
        with closing(connection):
            # What is not UTF-8 any more is refused as an event below, row by row.
            connection.text_factory = lambda raw: raw.decode("utf-8", "replace")
            for melt in _melts(connection):
                to_the_end = yield from _understood(connection, melt, "ASC")
                if not to_the_end:
                    # From the other end too, because reading stops where the damage begins.
                    yield from _understood(connection, melt, "DESC")


def _melts(connection: sqlite3.Connection) -> list[str]:
    """Every melt that any table still names."""
    found: dict[str, None] = {}
    for statement in (
        "SELECT uuid FROM melts",
        "SELECT uuid FROM melts ORDER BY uuid DESC",
        "SELECT DISTINCT melt FROM events",
    ):
        try:
            for (uuid,) in connection.execute(statement):
                if isinstance(uuid, str):
                    found[uuid] = None
        except sqlite3.Error:
            continue
    return list(found)


def _understood(connection: sqlite3.Connection, melt: str, order: str) -> Generator[list[Row], None, bool]:
    """The events of one melt in one order, as far as they can be read; returns whether that is all."""
    kept: list[Row] = []
    to_the_end = True
    try:
        for values in connection.execute(
            "SELECT melt, number, elapsed_s, wall_s, type, body FROM events"
            f" WHERE melt = ? ORDER BY number {order}",
            (melt,),
        ):
            row = Row(*values)
            if _is_event(row):
                kept.append(row)
            if len(kept) == _AT_A_TIME:
                yield kept
                kept = []
    except sqlite3.Error:
        to_the_end = False
    if kept:
        yield kept
    return to_the_end


def _is_event(row: Row) -> bool:
    types = (str, int, float, float, str, str)
    if not all(isinstance(value, kind) for value, kind in zip(row, types, strict=True)):
        return False
    try:
        checked_event(row)
    except BadDataError:
        return False
    return True
