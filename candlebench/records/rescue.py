"""Rescue files: where events go while the database cannot be written, and how they come back.

A rescue file is `candlebench-rescue-MARK-DAY-NUMBER.jsonl`, one event a line: its melt, its number and the
event as `event_codec` encodes it. A rescue database has the same name with `.db`. MARK stands for the data
folder that they belong to.
"""

import os
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from io import FileIO
from pathlib import Path

from candlebench.core.errors import BadDataError
from candlebench.records.database import Database
from candlebench.records.folders import folder_mark
from candlebench.records.rows import Row, line_of, row_of_line
from candlebench.records.salvage import salvage
from candlebench.records.set_aside import free_name, local_day, rename_all
from candlebench.records.sqlite_trouble import trouble_words
from candlebench.words import tr, tr_count

_AT_A_TIME = 1000


def rescue_stem(folder: Path) -> str:
    """Return how the names of a data folder's rescue files begin."""
    return f"candlebench-rescue-{folder_mark(folder)}"


class RescueFile:
    """A file of JSON lines that is begun when the first event has to go there.

    Parameters
    ----------
    folder : Path
        The data folder that the events belong to.
    places : tuple of Path
        Folders to write to, the best first; the next one is tried when one cannot be written.
    wall_clock : callable
        Unix time now, for the name.
    """

    def __init__(self, folder: Path, places: tuple[Path, ...], wall_clock: Callable[[], float]) -> None:
        self._stem = rescue_stem(folder)
        self._places = places
        self._wall_clock = wall_clock
        self._stream: FileIO | None = None
        self.paths: list[Path] = []

    def append(self, rows: Sequence[Row]) -> bool:
        """Write events down and see them to the disk; False when no place can be written."""
        # Begun on a new line: a write that was cut short leaves half a line before it.
        lines = ("\n" + "".join(line_of(row) + "\n" for row in rows)).encode("ascii")
        if self._stream is not None and _written(self._stream, lines):
            return True
        for place in self._places:
            try:
                place.mkdir(parents=True, exist_ok=True, mode=0o700)
                path = free_name(place, self._stem, local_day(self._wall_clock()), ".jsonl")
                stream = path.open("xb", buffering=0)
            except OSError:
                continue
            if _written(stream, lines):
                self.close()
                self._stream = stream
                self.paths.append(path)
                return True
            stream.close()
            path.unlink(missing_ok=True)
        return False

    def drop(self) -> None:
        """Remove the file: all of its events are in the database."""
        self.close()
        for path in self.paths:
            with suppress(OSError):
                path.unlink(missing_ok=True)
                # Goes only when nothing else lies in it.
                path.parent.rmdir()
        self.paths = []

    def close(self) -> None:
        """Close the file and leave it where it is."""
        if self._stream is not None:
            self._stream.close()
            self._stream = None


def take_in(
    database: Database, folder: Path, places: tuple[Path, ...], wall_clock: Callable[[], float]
) -> tuple[str, ...]:
    """Copy the rescue files and rescue databases of a data folder into its database.

    What was taken in is renamed to `candlebench-taken-in-...`, never deleted. A file that cannot be taken in
    whole stays as it is and is tried again at the next start.

    Returns
    -------
    tuple of str
        Sentences for the person; empty when there was nothing to take in.
    """
    notices = []
    taken_in = f"candlebench-taken-in-{folder_mark(folder)}"
    for file in _rescued(folder, places):
        if file == database.path:
            continue
        try:
            notice = _take_in_one(database, file)
        except BadDataError as error:
            notice = str(error)
        except OSError as error:
            text = tr("{file} cannot be read ({why}), so its events are not taken in yet: allow reading it.")
            notice = text.format(file=file, why=error.strerror or error)
        except sqlite3.Error as error:
            text = tr("{why}; what is kept in {file} is taken in at a later start.")
            notice = text.format(why=trouble_words(error, database.path), file=file)
        else:
            # When the name has to stay, the next start finds nothing new in it.
            with suppress(OSError):
                rename_all(file, free_name(file.parent, taken_in, local_day(wall_clock()), file.suffix))
        if notice:
            notices.append(notice)
    return tuple(notices)


def _rescued(folder: Path, places: tuple[Path, ...]) -> list[Path]:
    found: list[Path] = []
    for place in places:
        for suffix in (".db", ".jsonl"):
            try:
                found += sorted(place.glob(f"{rescue_stem(folder)}-*{suffix}"))
            except OSError:
                continue
    return found


def _take_in_one(database: Database, file: Path) -> str:
    """Copy one rescue file into the database; returns a sentence, '' when it held nothing new.

    Raises
    ------
    BadDataError
        It holds an event that differs from one in the database; nothing of it was copied.
    """
    from candlebench.records.lessons import carry_words

    parts = salvage(file) if file.suffix == ".db" else _rows_in(file)
    rows = [row for part in parts for row in part]
    if any(_differs(database, row) for row in rows):
        text = tr(
            "{file} holds other events for a melt than the database does: keep it, it is left as it is."
        )
        raise BadDataError(text.format(file=file))
    before = database.event_count()
    database.write(rows)
    if file.suffix == ".db":
        with suppress(OSError, sqlite3.Error):
            carry_words(file, database)
    count = database.event_count() - before
    if not count:
        return ""
    text = tr_count(
        "{count} event that was kept in {file} was taken in.",
        "{count} events that were kept in {file} were taken in.",
        count,
    )
    return text.format(count=count, file=file)


def _differs(database: Database, row: Row) -> bool:
    """Whether the database holds another event under this row's number."""
    found = database.rows(row.melt, row.number - 1, 1)
    return bool(found) and found[0].number == row.number and found[0] != row


def _rows_in(file: Path) -> Iterator[list[Row]]:
    """The events in a file of JSON lines; half a line, left by a write that was cut short, is passed over."""
    kept: list[Row] = []
    with file.open("rb") as stream:
        for line in stream:
            try:
                kept.append(row_of_line(line))
            except BadDataError:
                continue
            if len(kept) == _AT_A_TIME:
                yield kept
                kept = []
    if kept:
        yield kept


def _written(stream: FileIO, data: bytes) -> bool:
    left = memoryview(data)
    try:
        while left:
            left = left[stream.write(left) or 0 :]
        os.fsync(stream.fileno())
    except OSError:
        return False
    return True
