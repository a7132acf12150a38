"""The journal: the only writer of the database. It takes events at once and writes them in its own thread.

    append ─► waiting events ─► one transaction ─► database
                    └─ while that fails ─► rescue file (JSON lines), tried again every second

An event is let go from memory only when the database has it on the disk.
"""

import atexit
import logging
import sqlite3
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TypeVar
from uuid import UUID

from candlebench.core.errors import FixableError
from candlebench.core.event_codec import type_word
from candlebench.core.events import Action, MeltBegan, Recorded, SetupChanged
from candlebench.records.database import Database
from candlebench.records.opening import Opened, open_database, put_back, start_afresh
from candlebench.records.rescue import RescueFile, take_in
from candlebench.records.rows import MeltSummary, Row, event_or_refused, row_of
from candlebench.records.sqlite_trouble import Trouble, trouble_of, trouble_words
from candlebench.words import tr, tr_count

_T = TypeVar("_T")

_log = logging.getLogger(__name__)

# A kill may cost one second of readings. A tenth of it is left for the disk to finish the commit.
COMMIT_EVERY_S = 0.9
RETRY_EVERY_S = 1.0

_AT_ONCE = frozenset(type_word(kind) for kind in (Action, MeltBegan, SetupChanged))
_READ_AT_A_TIME = 2000


class Journal:
    """Keeps events: `append` returns at once, a thread of its own sees them to the disk.

    Parameters
    ----------
    database : Database
        An open database; the journal closes it.
    folder : Path
        The data folder, which rescue files belong to.
    places : tuple of Path
        Folders for rescue files, the best first.
    on_trouble : callable
        Called from the journal's thread with one sentence when events cannot be written, and with '' when
        they can again.
    on_notice : callable
        Called from any thread with a sentence when a damaged database had to be set aside.
    wall_clock : callable
        Unix time now, for the names of files.
    commit_every_s, retry_every_s : float
        Seconds between commits, and between attempts while writing fails.
    """

    def __init__(
        self,
        database: Database,
        folder: Path,
        places: tuple[Path, ...],
        on_trouble: Callable[[str], None],
        on_notice: Callable[[str], None],
        wall_clock: Callable[[], float] = time.time,
        commit_every_s: float = COMMIT_EVERY_S,
        retry_every_s: float = RETRY_EVERY_S,
    ) -> None:
        self._database = database
        self._folder = folder
        self._places = places
        self._on_trouble = on_trouble
        self._on_notice = on_notice
        self._wall_clock = wall_clock
        self._commit_every_s = commit_every_s
        self._retry_every_s = retry_every_s
        self._rescue = RescueFile(folder, places, wall_clock)
        # Guards the database; never held by `append`.
        self._disk = threading.RLock()
        # Guards everything below.
        self._changed = threading.Condition()
        self._waiting: list[Row] = []
        self._rescued = 0
        self._appended = 0
        self._committed = 0
        self._at_once = False
        self._closing = False
        # What is wrong and what to do, '' while writing works; and the whole sentence as it was told.
        self._why = ""
        self._trouble = ""
        # A daemon closed at exit: when the program fails without closing the journal, everything is still
        # written, and the process ends rather than waiting for this thread for ever.
        self._thread = threading.Thread(target=self._run, name="candlebench-journal", daemon=True)
        atexit.register(self.close)
        self._thread.start()

    @property
    def path(self) -> Path:
        """The database that is written to."""
        return self._database.path

    @property
    def trouble(self) -> str:
        """One sentence that says why events cannot be written, '' when they can."""
        return self._trouble

    def append(self, recorded: Recorded) -> None:
        """Take an event; it is on the disk within a second, and at once when a person did something.

        Raises
        ------
        BadDataError
            It holds a number that is not finite.
        """
        row = row_of(recorded)
        with self._changed:
            if self._closing:
                raise RuntimeError("the journal is closed")
            self._waiting.append(row)
            self._appended += 1
            if row.type in _AT_ONCE:
                self._at_once = True
            if self._at_once or len(self._waiting) == 1:
                self._changed.notify_all()

    def flush(self, timeout_s: float) -> bool:
        """Wait until everything appended so far is in the database; False when that takes longer."""
        with self._changed:
            target = self._appended
            if self._waiting:
                self._at_once = True
                self._changed.notify_all()
            return self._changed.wait_for(lambda: self._committed >= target, timeout_s)

    def events(self, melt: UUID) -> Iterator[Recorded]:
        """Yield the events of a melt that are in the database, in order (call `flush` before).

        An event that cannot be understood comes as a `Refused` that holds its text.
        """
        rows = self._rows(melt, -1)
        while rows:
            yield from map(event_or_refused, rows)
            rows = self._rows(melt, rows[-1].number)

    def melts(self) -> list[MeltSummary]:
        """Return a summary of every melt in the database, the latest first."""
        return self._read(Database.melts)

    def latest_unfinished(self) -> MeltSummary | None:
        """Return the latest melt that is not finished, None when there is none."""
        return next((melt for melt in self.melts() if not melt.finished), None)

    def import_rescued(self) -> tuple[str, ...]:
        """Take in what earlier sessions had to put into rescue files; returns sentences for the person."""
        with self._disk:
            return take_in(self._database, self._folder, self._places, self._wall_clock)

    def close(self) -> tuple[str, ...]:
        """Write what is left, end the thread and close the database; harmless when done twice.

        Returns
        -------
        tuple of str
            Sentences for the person; empty when everything is in the database.
        """
        with self._changed:
            if self._closing:
                return ()
            self._closing = True
            self._changed.notify_all()
        atexit.unregister(self.close)
        self._thread.join()
        with self._disk:
            self._database.close()
        self._rescue.close()
        if not self._waiting:
            return ()
        left = len(self._waiting) - self._rescued
        if left:
            text = tr_count(
                "{why}; {count} event could not be written anywhere.",
                "{why}; {count} events could not be written anywhere.",
                left,
            )
            return (text.format(why=self._why, count=left),)
        text = tr_count(
            "{why}; {count} event was kept in {path} and is taken in at the next start.",
            "{why}; {count} events were kept in {path} and are taken in at the next start.",
            self._rescued,
        )
        path = ", ".join(str(path) for path in self._rescue.paths)
        return (text.format(why=self._why, count=self._rescued, path=path),)

    def _run(self) -> None:
        """The journal's thread: wait until a commit is due, write, let go of what was written."""
        next_s = time.monotonic()
        while True:
            with self._changed:
                while not self._due(next_s):
                    self._changed.wait(self._wait_s(next_s))
                last = self._closing
                batch = self._waiting.copy()
                self._at_once = False
            began_s = time.monotonic()
            if batch:
                self._why = self._write(batch)
                next_s = (
                    time.monotonic() + self._retry_every_s if self._why else began_s + self._commit_every_s
                )
                self._settle(batch)
            if last:
                return

    def _due(self, next_s: float) -> bool:
        if self._closing:
            return True
        if not self._waiting:
            return False
        return (self._at_once and not self._why) or time.monotonic() >= next_s

    def _wait_s(self, next_s: float) -> float | None:
        return max(0.0, next_s - time.monotonic()) if self._waiting else None

    def _settle(self, batch: list[Row]) -> None:
        """Let go of events that were written, or put those that were not into the rescue file."""
        if self._why:
            if self._rescue.append(batch[self._rescued :]):
                self._rescued = len(batch)
            kept = ", ".join(str(path) for path in self._rescue.paths) or tr("memory")
            text = tr("{why}; until then what happens is kept in {kept}.")
            self._tell(text.format(why=self._why, kept=kept))
            return
        if self._rescued:
            self._rescue.drop()
            self._rescued = 0
        with self._changed:
            del self._waiting[: len(batch)]
            self._committed += len(batch)
            self._changed.notify_all()
        self._tell("")

    def _tell(self, trouble: str) -> None:
        """Pass on a change of the trouble; whatever the listener does, writing goes on."""
        if trouble == self._trouble:
            return
        self._trouble = trouble
        try:
            self._on_trouble(trouble)
        except Exception:
            _log.exception("the listener for the journal's trouble failed")

    def _write(self, batch: list[Row]) -> str:
        """Write events to the database; returns what is wrong and what to do, '' when they are written."""
        with self._disk:
            try:
                if not self._database.is_in_place():
                    self._use(put_back(self._database, self._wall_clock))
                try:
                    self._database.write(batch)
                except sqlite3.Error as error:
                    if trouble_of(error) is not Trouble.DAMAGED:
                        raise
                    self._replace_damaged()
                    self._database.write(batch)
            except (sqlite3.Error, OSError) as error:
                return trouble_words(error, self._database.path)
            except Exception as error:
                # A bug of ours; the events stay in memory and go to the rescue file.
                _log.exception("the journal could not write")
                return trouble_words(error, self._database.path)
        return ""

    def _rows(self, melt: UUID, after_number: int) -> list[Row]:
        return self._read(lambda database: database.rows(str(melt), after_number, _READ_AT_A_TIME))

    def _read(self, get: Callable[[Database], _T]) -> _T:
        with self._disk:
            try:
                return get(self._database)
            except sqlite3.Error as error:
                if trouble_of(error) is not Trouble.DAMAGED:
                    raise FixableError(trouble_words(error, self._database.path) + ".") from error
            self._replace_damaged()
            return get(self._database)

    def _replace_damaged(self) -> None:
        """Set the damaged database aside and go on in a fresh one."""
        damaged = self._database
        damaged.close_unmarked()
        try:
            opened = start_afresh(damaged.path, self._wall_clock)
        except (OSError, sqlite3.Error):
            opened = open_database(self._folder, self._places, self._wall_clock)
        self._use(opened)

    def _use(self, opened: Opened) -> None:
        self._database = opened.database
        for notice in opened.notices:
            self._on_notice(notice)


def open_journal(
    folder: Path,
    places: tuple[Path, ...],
    on_trouble: Callable[[str], None],
    on_notice: Callable[[str], None],
    wall_clock: Callable[[], float] = time.time,
) -> Journal:
    """Open the journal of a data folder and take in what earlier sessions had to keep elsewhere.

    Parameters
    ----------
    folder : Path
        The data folder (hold its `DataLock` first).
    places, on_trouble, on_notice, wall_clock
        As for `Journal`; what happened while opening goes to `on_notice`.

    Raises
    ------
    FixableError
        The database was written by a newer version, or no place at all can be written.
    """
    opened = open_database(folder, places, wall_clock)
    for notice in opened.notices:
        on_notice(notice)
    journal = Journal(opened.database, folder, places, on_trouble, on_notice, wall_clock)
    for notice in journal.import_rescued():
        on_notice(notice)
    return journal
