"""The shop's database: one SQLite file with the events of every melt.

An event is one row, known by (melt, number), inserted once and never changed; writing it again does nothing.
What can be said about a melt without reading its events is kept by a trigger in the same transaction.
"""

import json
import sqlite3
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from uuid import UUID

from candlebench.core.errors import FixableError
from candlebench.core.event_codec import type_word
from candlebench.core.events import Action, MeltBegan, SetupChanged
from candlebench.records.rows import MeltSummary, Row, is_finished
from candlebench.words import tr

# How long a statement waits for another program to let the file go. Short, because the journal tries again.
_BUSY_MS = 250

_BEGAN = type_word(MeltBegan)
_TITLED = (_BEGAN, type_word(SetupChanged))
_ACTION = type_word(Action)

# The statements of each step of `user_version`: never edited once released, only added to.
_MIGRATIONS: tuple[tuple[str, ...], ...] = (
    (
        """CREATE TABLE melts (
            uuid TEXT PRIMARY KEY NOT NULL,
            began_wall_s REAL NOT NULL,
            title TEXT NOT NULL DEFAULT '',
            title_number INTEGER NOT NULL DEFAULT -1,
            event_count INTEGER NOT NULL DEFAULT 0,
            last_elapsed_s REAL NOT NULL DEFAULT 0
        ) WITHOUT ROWID""",
        """CREATE TABLE events (
            melt TEXT NOT NULL REFERENCES melts (uuid),
            number INTEGER NOT NULL,
            elapsed_s REAL NOT NULL,
            wall_s REAL NOT NULL,
            type TEXT NOT NULL,
            body TEXT NOT NULL,
            PRIMARY KEY (melt, number)
        ) WITHOUT ROWID""",
        "CREATE INDEX actions ON events (melt, number) WHERE type = 'action'",
        """CREATE TRIGGER counted AFTER INSERT ON events BEGIN
            UPDATE melts SET event_count = event_count + 1,
                last_elapsed_s = max(last_elapsed_s, new.elapsed_s) WHERE uuid = new.melt;
        END""",
        # One row: 0 while a program has the database open, so that 0 at opening means an unclean end.
        "CREATE TABLE closing (clean INTEGER NOT NULL)",
        "INSERT INTO closing VALUES (1)",
    ),
    # What melts taught (`records.lessons`): all but `said` and `forgotten` can be drawn from the events anew.
    (
        """CREATE TABLE lessons (
            melt TEXT NOT NULL,
            kind TEXT NOT NULL,
            name TEXT NOT NULL,
            origin TEXT NOT NULL,
            began_wall_s REAL NOT NULL,
            body TEXT NOT NULL,
            PRIMARY KEY (melt, kind)
        ) WITHOUT ROWID""",
        """CREATE TABLE forgotten (
            melt TEXT NOT NULL,
            kind TEXT NOT NULL,
            name TEXT NOT NULL,
            PRIMARY KEY (melt, kind, name)
        ) WITHOUT ROWID""",
        """CREATE TABLE said (
            number INTEGER PRIMARY KEY,
            kind TEXT NOT NULL,
            name TEXT NOT NULL,
            origin TEXT NOT NULL,
            value REAL,
            wall_s REAL NOT NULL
        )""",
        """CREATE TABLE forecasts (
            melt TEXT NOT NULL,
            number INTEGER NOT NULL,
            origin TEXT NOT NULL,
            made_wall_s REAL NOT NULL,
            what TEXT NOT NULL,
            target_c REAL NOT NULL,
            lead_s REAL NOT NULL,
            made_s REAL NOT NULL,
            low_s REAL NOT NULL,
            in_s REAL NOT NULL,
            high_s REAL,
            widen REAL NOT NULL,
            outcome TEXT NOT NULL,
            took_s REAL,
            PRIMARY KEY (melt, number)
        ) WITHOUT ROWID""",
        "CREATE INDEX forecasts_by_time ON forecasts (origin, made_wall_s)",
        # How many events a melt had when its lesson was drawn, and by which method.
        """CREATE TABLE drawn (
            melt TEXT PRIMARY KEY NOT NULL,
            event_count INTEGER NOT NULL,
            method INTEGER NOT NULL
        ) WITHOUT ROWID""",
    ),
)
VERSION = len(_MIGRATIONS)


class Database:
    """One open database. Any thread may use it, one at a time.

    Parameters
    ----------
    path : Path
        The file; made when it is not there, in a folder that is.
    patience_s : float
        How long to wait for another program that holds the file.

    Raises
    ------
    FixableError
        The file was written by a newer version; it is left as it is.
    sqlite3.Error
        It is damaged, locked, or cannot be written (see `sqlite_trouble`).
    """

    def __init__(self, path: Path, patience_s: float = 2.0) -> None:
        self.path = path
        _refuse_newer(path, _version_in_header(path))
        self.connection = sqlite3.connect(
            path, timeout=patience_s, isolation_level=None, check_same_thread=False
        )
        try:
            self._prepare()
            self.connection.execute(f"PRAGMA busy_timeout = {_BUSY_MS}")
        except sqlite3.OperationalError as error:
            self.connection.close()
            if error.sqlite_errorcode == sqlite3.SQLITE_ERROR:
                # A table is missing or is not ours.
                raise _damaged(str(error)) from error
            raise
        except BaseException:
            self.connection.close()
            raise
        status = path.stat()
        self._file = (status.st_dev, status.st_ino)

    @classmethod
    def for_reading(cls, path: Path) -> "Database":
        """Open a file only to read it, also while another program writes; close with `close_unmarked`.

        Raises
        ------
        sqlite3.Error
            It is not there, or damaged.
        """
        database = cls.__new__(cls)
        database.path = path
        _refuse_newer(path, _version_in_header(path))
        database.connection = sqlite3.connect(
            f"{path.absolute().as_uri()}?mode=ro", uri=True, isolation_level=None, check_same_thread=False
        )
        status = path.stat()
        database._file = (status.st_dev, status.st_ino)
        return database

    def _prepare(self) -> None:
        execute = self.connection.execute
        _refuse_newer(self.path, execute("PRAGMA user_version").fetchone()[0])
        execute("PRAGMA journal_mode = WAL")
        # FULL: a commit is on the disk when it returns, so that a power cut loses nothing committed.
        execute("PRAGMA synchronous = FULL")
        execute("PRAGMA foreign_keys = ON")
        self._migrate()
        closed_cleanly = execute("SELECT min(clean) FROM closing").fetchone()[0] == 1
        if not closed_cleanly and (fault := self.fault()):
            raise _damaged(fault)
        # Shows at once whether the database can be written.
        execute("UPDATE closing SET clean = 0")

    def _migrate(self) -> None:
        execute = self.connection.execute
        execute("BEGIN IMMEDIATE")
        try:
            version = execute("PRAGMA user_version").fetchone()[0]
            for number, statements in enumerate(_MIGRATIONS[version:], start=version + 1):
                for statement in statements:
                    execute(statement)
                execute(f"PRAGMA user_version = {number}")
            execute("COMMIT")
        except BaseException:
            self._roll_back()
            raise

    def _roll_back(self) -> None:
        # SQLite has already rolled back by itself after some errors (sqlite.org/lang_transaction.html).
        if self.connection.in_transaction:
            self.connection.execute("ROLLBACK")

    def fault(self) -> str:
        """Return what SQLite's quick check finds wrong with the file, '' when it is sound."""
        found = self.connection.execute("PRAGMA quick_check(1)").fetchone()[0]
        return "" if found == "ok" else str(found)

    def is_in_place(self) -> bool:
        """Say whether the file that is open is still at `path`: False when it was removed or renamed."""
        try:
            status = self.path.stat()
        except FileNotFoundError:
            return False
        except OSError:
            return True
        return (status.st_dev, status.st_ino) == self._file

    def write(self, rows: Sequence[Row]) -> None:
        """Insert events in one transaction; those that are there already are left alone.

        Raises
        ------
        sqlite3.Error
            Nothing was written.
        """
        connection = self.connection
        connection.execute("BEGIN IMMEDIATE")
        try:
            for uuid, began_wall_s in {
                row.melt: row.wall_s - row.elapsed_s for row in reversed(rows)
            }.items():
                connection.execute(
                    "INSERT OR IGNORE INTO melts (uuid, began_wall_s) VALUES (?, ?)", (uuid, began_wall_s)
                )
            connection.executemany("INSERT OR IGNORE INTO events VALUES (?, ?, ?, ?, ?, ?)", rows)
            for row in rows:
                if row.type in _TITLED:
                    # The title of the latest setup, whatever order the events are written in.
                    connection.execute(
                        "UPDATE melts SET title = ?, title_number = ? WHERE uuid = ? AND title_number < ?",
                        (_title(row), row.number, row.melt, row.number),
                    )
                if row.type == _BEGAN:
                    began = (row.wall_s, row.melt)
                    connection.execute("UPDATE melts SET began_wall_s = ? WHERE uuid = ?", began)
            connection.execute("COMMIT")
        except BaseException:
            self._roll_back()
            raise

    def rows(self, melt: str, after_number: int, at_most: int) -> list[Row]:
        """Return the events of a melt that follow a number, in order."""
        found = self.connection.execute(
            "SELECT melt, number, elapsed_s, wall_s, type, body FROM events"
            " WHERE melt = ? AND number > ? ORDER BY number LIMIT ?",
            (melt, after_number, at_most),
        )
        return [Row(*values) for values in found.fetchall()]

    def melts(self) -> list[MeltSummary]:
        """Return a summary of every melt, the latest first."""
        actions: dict[str, list[str]] = {}
        for uuid, body in self.connection.execute(
            f"SELECT melt, body FROM events WHERE type = '{_ACTION}' ORDER BY melt, number"
        ).fetchall():
            actions.setdefault(uuid, []).append(body)
        found = self.connection.execute(
            "SELECT uuid, title, began_wall_s, last_elapsed_s, event_count FROM melts"
            " ORDER BY began_wall_s DESC, uuid"
        ).fetchall()
        return [
            MeltSummary(
                UUID(uuid), title, began_wall_s, last_elapsed_s, count, is_finished(actions.get(uuid, ()))
            )
            for uuid, title, began_wall_s, last_elapsed_s, count in found
        ]

    def event_count(self) -> int:
        """Return how many events the database holds."""
        return int(self.connection.execute("SELECT total(event_count) FROM melts").fetchone()[0])

    def close(self) -> None:
        """Close the file, marked as closed cleanly when that can be written."""
        # Without the mark the next opening checks the file; that is all it is for.
        with suppress(sqlite3.Error):
            self.connection.execute("UPDATE closing SET clean = 1")
        self.connection.close()

    def close_unmarked(self) -> None:
        """Close the file so that the next opening checks it."""
        self.connection.close()


def newer_version(path: Path) -> FixableError:
    """Return the error for a database that was written by a newer version."""
    text = tr(
        "{path} was written by a newer candlebench: install the newer version, "
        "or give another folder with --data."
    )
    return FixableError(text.format(path=path))


def _damaged(why: str) -> sqlite3.DatabaseError:
    error = sqlite3.DatabaseError(why)
    error.sqlite_errorcode = sqlite3.SQLITE_CORRUPT
    return error


def _title(row: Row) -> str:
    """The melt's title in a row that holds a setup; what UTF-8 cannot hold becomes '?'."""
    try:
        title = str(json.loads(row.body)["setup"]["title"])
    except (ValueError, KeyError, TypeError):
        return ""
    return title.encode("utf-8", "replace").decode("utf-8")


def _version_in_header(path: Path) -> int:
    """The `user_version` in the file itself, read without SQLite, which would touch the file; 0 if none."""
    # sqlite.org/fileformat2.html section 1.3: 100 bytes, user version big-endian at offset 60.
    try:
        with path.open("rb") as file:
            header = file.read(100)
    except OSError:
        return 0
    if len(header) < 100 or not header.startswith(b"SQLite format 3\0"):
        return 0
    return int.from_bytes(header[60:64], "big")


def _refuse_newer(path: Path, version: int) -> None:
    if version > VERSION:
        raise newer_version(path)
