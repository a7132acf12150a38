"""What melts taught, and how the forecasts fared: kept beside the events, and brought together when asked.

A lesson is drawn from a melt's events and can be drawn again; what the person said herself, and what she had
forgotten, is only here. Nothing is ever removed: forgetting is a row of its own. Melts on a real thermometer
and practice melts are kept apart by `origin`, so that the physics of practice teach nothing about real wax.
"""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from typing import TypeVar
from uuid import UUID

from candlebench.core.errors import FixableError
from candlebench.core.known import Known, KnownJug, KnownProbe, KnownWax
from candlebench.core.learning.lesson import Lesson
from candlebench.core.setup import MeltSetup
from candlebench.core.track_record import LAST, KeptForecast, Outcome, Score, score_of
from candlebench.records.database import Database
from candlebench.records.lesson_rows import (
    Learned,
    Thing,
    forecast,
    forecast_row,
    kept_lesson,
    lesson_rows,
)
from candlebench.records.rows import MeltSummary
from candlebench.records.salvage import copied
from candlebench.records.sqlite_trouble import trouble_words
from candlebench.words import tr

KINDS = ("lot", "jug", "probe")
# Counted up when lessons are drawn differently, so that old melts are looked at again.
METHOD = 1
# Another program, or the journal, holds the file for the length of one commit.
PATIENCE_S = 2.0
# `user_version` of the database that has these tables.
_SINCE_VERSION = 2

_T = TypeVar("_T")


class Lessons:
    """The tables of what was learned, through a connection of their own for each question.

    Parameters
    ----------
    path_of : callable
        Where the database is now; the journal may have moved on to another file.
    """

    def __init__(self, path_of: Callable[[], Path]) -> None:
        self._path_of = path_of

    # --- writing ------------------------------------------------------------------------------------------

    def keep(
        self,
        summary: MeltSummary,
        origin: str,
        setup: MeltSetup,
        lesson: Lesson | None,
        forecasts: tuple[KeptForecast, ...],
    ) -> None:
        """Keep what a melt taught in place of what it was thought to teach before.

        Parameters
        ----------
        summary : MeltSummary
            The melt, with the number of events the lesson was drawn from.
        origin : str
            Where its readings came from.
        setup : MeltSetup
            Its last setup; a lot, jug or probe without a name is not learned about.
        lesson : Lesson or None
            None when the melt is not learned from at all.
        forecasts : tuple of KeptForecast

        Raises
        ------
        FixableError
            It cannot be written.
        """
        melt = str(summary.uuid)
        rows = [] if lesson is None else lesson_rows(summary, origin, setup, lesson)

        def write(connection: sqlite3.Connection) -> None:
            connection.execute("DELETE FROM lessons WHERE melt = ?", (melt,))
            connection.executemany("INSERT INTO lessons VALUES (?, ?, ?, ?, ?, ?)", rows)
            connection.execute("DELETE FROM forecasts WHERE melt = ?", (melt,))
            connection.executemany(
                f"INSERT INTO forecasts VALUES ({', '.join('?' * 14)})",
                [forecast_row(summary, origin, n, kept) for n, kept in enumerate(forecasts)],
            )
            connection.execute(
                "INSERT OR REPLACE INTO drawn VALUES (?, ?, ?)", (melt, summary.event_count, METHOD)
            )

        self._write(write)

    def say(self, kind: str, name: str, origin: str, value: float, wall_s: float) -> None:
        """Keep what the person says herself; it counts from now on, together with later melts.

        Raises
        ------
        FixableError
            It cannot be so, or cannot be written.
        """
        check_said(kind, value)
        self._write(
            lambda connection: connection.execute(
                "INSERT INTO said (kind, name, origin, value, wall_s) VALUES (?, ?, ?, ?, ?)",
                (kind, name, origin, value, wall_s),
            )
        )

    def forget(self, kind: str, name: str, origin: str, wall_s: float) -> None:
        """Use nothing any more of what was learned or said so far; later melts teach anew.

        Raises
        ------
        FixableError
            Nothing is known by that name, or it cannot be written.
        """
        if (kind, name, origin) not in self._things():
            raise FixableError(tr("Nothing has been learned about “{name}”.").format(name=name))

        def write(connection: sqlite3.Connection) -> None:
            connection.execute(
                "INSERT OR IGNORE INTO forgotten SELECT melt, kind, name FROM lessons"
                " WHERE kind = ? AND name = ? AND origin = ?",
                (kind, name, origin),
            )
            # A row without a value takes back what was said before it.
            connection.execute(
                "INSERT INTO said (kind, name, origin, value, wall_s) VALUES (?, ?, ?, NULL, ?)",
                (kind, name, origin, wall_s),
            )

        self._write(write)

    def forget_melt(self, kind: str, name: str, melt: UUID, forgotten: bool = True) -> None:
        """Leave one melt's lesson out, or use it again.

        Raises
        ------
        FixableError
            It cannot be written.
        """
        statement = "DELETE FROM forgotten WHERE melt = ? AND kind = ? AND name = ?"
        if forgotten:
            statement = "INSERT OR IGNORE INTO forgotten VALUES (?, ?, ?)"
        self._write(lambda connection: connection.execute(statement, (str(melt), kind, name)))

    # --- reading ------------------------------------------------------------------------------------------

    def undrawn(self, melts: list[MeltSummary]) -> list[MeltSummary]:
        """Those whose lesson was not drawn yet, or from fewer events, or by an older method."""
        drawn = dict(
            self._read(
                lambda connection: connection.execute(
                    "SELECT melt, event_count FROM drawn WHERE method = ?", (METHOD,)
                ).fetchall()
            )
        )
        return [melt for melt in melts if drawn.get(str(melt.uuid)) != melt.event_count]

    def known(self, setup: MeltSetup, origin: str) -> Known:
        """What is known about a melt's lot, jug and probe.

        Raises
        ------
        FixableError
            It cannot be read.
        """
        things = self._things()

        def of(kind: str, name: str) -> KnownWax | KnownJug | KnownProbe | None:
            thing = things.get((kind, name, origin))
            return None if thing is None else thing.learned(kind, name, origin, setup.wax, setup.wax_g).known

        lot, jug, probe = of("lot", setup.lot), of("jug", setup.jug), of("probe", setup.probe)
        return Known(
            lot if isinstance(lot, KnownWax) else None,
            jug if isinstance(jug, KnownJug) else None,
            probe if isinstance(probe, KnownProbe) else None,
            self.score(origin).widen,
        )

    def learned(self) -> tuple[Learned, ...]:
        """Everything that has a name, the latest used first.

        Lots are those of the wax they were last used as, jugs hold what they held last.

        Raises
        ------
        FixableError
            It cannot be read.
        """
        return tuple(thing.learned(*key) for key, thing in self._things().items())

    def names(self, kind: str, origin: str) -> tuple[str, ...]:
        """Names of lots, jugs or probes, the latest used first.

        Raises
        ------
        FixableError
            They cannot be read.
        """
        return tuple(name for of, name, where in self._things() if (of, where) == (kind, origin))

    def _things(self) -> dict[tuple[str, str, str], Thing]:
        """All rows by kind, name and origin, the latest used first."""

        def read(connection: sqlite3.Connection) -> tuple[list[tuple[str, ...]], list[tuple[str, ...]]]:
            lessons = connection.execute(
                "SELECT l.kind, l.name, l.origin, l.melt, l.began_wall_s, l.body, f.melt IS NOT NULL"
                " FROM lessons l LEFT JOIN forgotten f"
                " ON f.melt = l.melt AND f.kind = l.kind AND f.name = l.name ORDER BY l.began_wall_s"
            ).fetchall()
            said = connection.execute(
                "SELECT kind, name, origin, value, wall_s FROM said ORDER BY number"
            ).fetchall()
            return lessons, said

        taught, said_rows = self._read(read)
        things: dict[tuple[str, str, str], Thing] = {}
        for kind, name, where, melt, began_wall_s, body, forgotten in taught:
            kept = kept_lesson(kind, melt, float(began_wall_s), body, bool(forgotten))
            things.setdefault((kind, name, where), Thing()).lessons.append(kept)
        for kind, name, where, value, wall_s in said_rows:
            thing = things.setdefault((kind, name, where), Thing())
            thing.said = None if value is None else (float(value), float(wall_s))
        # What was only ever said, and taken back, is nothing to show.
        held = [item for item in things.items() if item[1].lessons or item[1].said]
        return dict(sorted(held, key=lambda item: -item[1].latest_wall_s))

    def score(self, origin: str) -> Score:
        """How the last forecasts fared.

        Raises
        ------
        FixableError
            They cannot be read.
        """
        settled = (Outcome.INSIDE.value, Outcome.EARLY.value, Outcome.LATE.value)
        rows = self._read(
            lambda connection: connection.execute(
                "SELECT what, target_c, lead_s, made_s, low_s, in_s, high_s, widen, outcome, took_s"
                " FROM forecasts WHERE origin = ? AND outcome IN (?, ?, ?)"
                " ORDER BY made_wall_s DESC, number DESC LIMIT ?",
                (origin, *settled, LAST),
            ).fetchall()
        )
        return score_of([forecast(row) for row in reversed(rows)])

    # --- the file -----------------------------------------------------------------------------------------

    def _read(self, get: Callable[[sqlite3.Connection], _T]) -> _T:
        with self._open("ro") as connection:
            return get(connection)

    def _write(self, put: Callable[[sqlite3.Connection], object]) -> None:
        with self._open("rw") as connection:
            connection.execute("BEGIN IMMEDIATE")
            try:
                put(connection)
            except BaseException:
                if connection.in_transaction:
                    connection.execute("ROLLBACK")
                raise
            connection.execute("COMMIT")

    @contextmanager
    def _open(self, mode: str) -> Iterator[sqlite3.Connection]:
        path = self._path_of()
        try:
            connection = sqlite3.connect(
                f"{path.absolute().as_uri()}?mode={mode}",
                timeout=PATIENCE_S,
                uri=True,
                isolation_level=None,
            )
            with closing(connection):
                if connection.execute("PRAGMA user_version").fetchone()[0] < _SINCE_VERSION:
                    raise FixableError(
                        tr("{path} is of an earlier version: start candlebench once.").format(path=path)
                    )
                yield connection
        except sqlite3.Error as error:
            raise FixableError(trouble_words(error, path) + ".") from error


def carry_words(old: Path, database: Database) -> None:
    """Copy what the person said and had forgotten from another database; all else can be drawn anew.

    Parameters
    ----------
    old : Path
        A damaged or a rescue database. Only a copy of it is opened; what cannot be read is passed over.
    database : Database
        Where it goes; copying twice changes nothing.

    Raises
    ------
    OSError
        It cannot be read, or there is no room for a copy.
    sqlite3.Error
        `database` cannot be written.
    """
    said: list[tuple[object, ...]] = []
    forgotten: list[tuple[object, ...]] = []
    with copied(old) as copy, closing(sqlite3.connect(copy)) as connection:
        for found, statement in (
            (said, "SELECT kind, name, origin, value, wall_s FROM said ORDER BY number"),
            (forgotten, "SELECT melt, kind, name FROM forgotten"),
        ):
            # Row by row, so that those before the damage are kept.
            with suppress(sqlite3.Error):
                found.extend(connection.execute(statement))
    put = database.connection.execute
    put("BEGIN IMMEDIATE")
    try:
        for row in said:
            put(
                "INSERT INTO said (kind, name, origin, value, wall_s) SELECT ?1, ?2, ?3, ?4, ?5"
                " WHERE NOT EXISTS (SELECT 1 FROM said WHERE kind = ?1 AND name = ?2 AND origin = ?3"
                " AND value IS ?4 AND wall_s = ?5)",
                row,
            )
        for row in forgotten:
            put("INSERT OR IGNORE INTO forgotten VALUES (?, ?, ?)", row)
        put("COMMIT")
    except BaseException:
        if database.connection.in_transaction:
            put("ROLLBACK")
        raise


def check_said(kind: str, value: float) -> None:
    """See whether a lot, jug or probe can be as the person says.

    Raises
    ------
    FixableError
        It cannot; the sentence says what to write.
    """
    low, high, text = {
        "lot": (25.0, 100.0, tr("A wax sets between {low:g} and {high:g} °C: write a temperature in °C.")),
        "jug": (0.05, 10.0, tr("A jug loses between {low:g} and {high:g} °C a minute: write such a number.")),
        "probe": (0.2, 120.0, tr("A probe lags by {low:g} to {high:g} s: write a number of seconds.")),
    }[kind]
    if not low <= value <= high:
        raise FixableError(text.format(low=low, high=high))
