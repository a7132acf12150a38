"""Opening the shop's database whatever state it and its disk are in."""

import sqlite3
import time
from collections.abc import Callable
from contextlib import closing, suppress
from dataclasses import dataclass
from pathlib import Path

from candlebench.core.errors import FixableError
from candlebench.records.database import Database, newer_version
from candlebench.records.rescue import rescue_stem
from candlebench.records.salvage import copied, log_is_left, salvage
from candlebench.records.set_aside import free_name, local_day, rename_all, set_aside
from candlebench.records.sqlite_trouble import Trouble, trouble_of, trouble_words
from candlebench.words import tr, tr_count

FILE_NAME = "candlebench.db"


@dataclass(frozen=True, slots=True)
class Opened:
    """An open database and what the person should know about how it was opened.

    Attributes
    ----------
    database : Database
        The database; in another place than asked for when that could not be used.
    notices : tuple of str
        Sentences for the person; empty when all is as it should be.
    """

    database: Database
    notices: tuple[str, ...] = ()


def open_database(
    folder: Path,
    places: tuple[Path, ...],
    wall_clock: Callable[[], float] = time.time,
    patience_s: float = 2.0,
) -> Opened:
    """Open the database of a data folder, in a way that a melt can always go on.

    A damaged file is set aside and what can be read from it is copied into a fresh one. When the folder
    cannot be written, the disk is full or another program keeps the file locked, a rescue database is made
    in the first of `places` that can be written; a later start takes it in.

    Parameters
    ----------
    folder : Path
        The data folder; made when it is not there.
    places : tuple of Path
        Folders for a rescue database, the best first.
    wall_clock : callable
        Unix time now, for the names of files.
    patience_s : float
        How long to wait for another program that holds the file.

    Returns
    -------
    Opened

    Raises
    ------
    FixableError
        The file was written by a newer version, or no place at all can be written.
    """
    path = folder / FILE_NAME
    try:
        folder.mkdir(parents=True, exist_ok=True)
        # Twice, because a copy made while another program writes can look damaged when nothing is.
        if log_is_left(path) and _copy_is_damaged(path) and _copy_is_damaged(path):
            return start_afresh(path, wall_clock)
        try:
            return Opened(Database(path, patience_s))
        except sqlite3.Error as error:
            if trouble_of(error) is not Trouble.DAMAGED:
                raise
        return start_afresh(path, wall_clock)
    except (OSError, sqlite3.Error) as error:
        return _open_rescue(folder, places, wall_clock, trouble_words(error, path))


def _copy_is_damaged(path: Path) -> bool:
    """Look in a copy whether a database that was not closed is damaged; opening it would use up its log."""
    try:
        with copied(path) as copy:
            Database(copy).close()
    except (OSError, sqlite3.Error) as error:
        return trouble_of(error) is Trouble.DAMAGED
    except FixableError:
        raise newer_version(path) from None
    return False


def start_afresh(path: Path, wall_clock: Callable[[], float]) -> Opened:
    """Set a damaged database aside, open a fresh one and copy into it what can still be read.

    Raises
    ------
    OSError, sqlite3.Error
        The folder cannot be written.
    """
    from candlebench.records.lessons import carry_words

    aside = set_aside(path, local_day(wall_clock()))
    database = Database(path)
    try:
        # Without room for a copy to read from, the damaged file alone holds what can be saved.
        with suppress(OSError):
            for rows in salvage(aside):
                database.write(rows)
        with suppress(OSError, sqlite3.Error):
            carry_words(aside, database)
        copied_count = database.event_count()
    except BaseException:
        database.close_unmarked()
        raise
    if copied_count:
        text = tr_count(
            "{name} was damaged, so it was set aside as {aside}; {count} event that could still be read "
            "was copied into a fresh one.",
            "{name} was damaged, so it was set aside as {aside}; {count} events that could still be read "
            "were copied into a fresh one.",
            copied_count,
        )
    else:
        text = tr("{name} was damaged, so it was set aside as {aside} and a fresh one was begun.")
    return Opened(database, (text.format(name=path.name, aside=aside, count=copied_count),))


def put_back(database: Database, wall_clock: Callable[[], float]) -> Opened:
    """Write a database anew whose file was removed or renamed while it was open, and close the old one.

    The system keeps a removed file readable for a program that has it open, so everything is still there.

    Raises
    ------
    OSError, sqlite3.Error
        The folder cannot be written.
    """
    path = database.path
    day = local_day(wall_clock())
    path.parent.mkdir(parents=True, exist_ok=True)
    copy = free_name(path.parent, f"{path.stem}-copy", day, path.suffix)
    try:
        with closing(sqlite3.connect(copy)) as target:
            database.connection.backup(target)
    except BaseException:
        copy.unlink(missing_ok=True)
        raise
    database.close_unmarked()
    # Whatever somebody may have put in its place.
    rename_all(path, free_name(path.parent, f"{path.stem}-other", day, path.suffix))
    copy.rename(path)
    text = tr("{path} was removed or renamed while it was in use, so it was written anew.")
    return Opened(Database(path), (text.format(path=path),))


def _open_rescue(folder: Path, places: tuple[Path, ...], wall_clock: Callable[[], float], why: str) -> Opened:
    """Open a new database in the first of the places that can be written."""
    for place in places:
        try:
            place.mkdir(parents=True, exist_ok=True, mode=0o700)
            path = free_name(place, rescue_stem(folder), local_day(wall_clock()), ".db")
            database = Database(path)
        except (OSError, sqlite3.Error):
            continue
        text = tr("{why}; until then melts are kept in {path} and are taken in at a later start.")
        return Opened(database, (text.format(why=why, path=path),))
    raise FixableError(tr("{why}; no other place could be written either.").format(why=why))
