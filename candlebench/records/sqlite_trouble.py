"""What an error of SQLite means for the person, told by its result code.

Result codes: sqlite.org/rescode.html; the low eight bits are the primary code.
"""

import sqlite3
from enum import Enum
from pathlib import Path

from candlebench.words import tr


class Trouble(Enum):
    """Kinds of trouble that differ in what is to be done."""

    DAMAGED = "damaged"
    FULL = "full"
    BUSY = "busy"
    READ_ONLY = "read-only"
    DISK = "disk"


_KINDS = {
    sqlite3.SQLITE_CORRUPT: Trouble.DAMAGED,
    sqlite3.SQLITE_NOTADB: Trouble.DAMAGED,
    sqlite3.SQLITE_FULL: Trouble.FULL,
    sqlite3.SQLITE_BUSY: Trouble.BUSY,
    sqlite3.SQLITE_LOCKED: Trouble.BUSY,
    sqlite3.SQLITE_READONLY: Trouble.READ_ONLY,
    sqlite3.SQLITE_PERM: Trouble.READ_ONLY,
}


def trouble_of(error: Exception) -> Trouble:
    """Return what kind of trouble an error of SQLite (or of the operating system) is."""
    code = getattr(error, "sqlite_errorcode", None)
    if code is None:
        return Trouble.READ_ONLY if isinstance(error, PermissionError) else Trouble.DISK
    return _KINDS.get(code & 0xFF, Trouble.DISK)


def trouble_words(error: Exception, file: Path) -> str:
    """Return half a sentence that says what is wrong, and half that says what to do, joined by a colon."""
    words = {
        Trouble.DAMAGED: tr("{file} is damaged: keep a copy of it"),
        Trouble.FULL: tr("The disk is full: free some space"),
        Trouble.BUSY: tr("Another program holds {file}: close that program"),
        Trouble.READ_ONLY: tr("{file} may not be written: allow writing to it and its folder"),
        Trouble.DISK: tr("{file} cannot be written ({error}): check the disk"),
    }[trouble_of(error)]
    return words.format(file=file, error=error)
