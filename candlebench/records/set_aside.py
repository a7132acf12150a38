"""Files that cannot be used are renamed out of the way: never overwritten, never deleted."""

from datetime import UTC, date, datetime
from pathlib import Path

# What SQLite keeps beside a database and finds again by its name. The database itself is renamed last:
# cut short in between, the next start finds it still in its place.
_COMPANIONS = ("-wal", "-shm", "")


def local_day(wall_s: float) -> date:
    """Return the day, where the machine is, of a Unix time."""
    return datetime.fromtimestamp(wall_s, UTC).astimezone().date()


def free_name(folder: Path, stem: str, day: date, suffix: str) -> Path:
    """Return a path like `stem-2026-11-25-1.suffix` that nothing in the folder uses."""
    number = 1
    while True:
        path = folder / f"{stem}-{day.isoformat()}-{number}{suffix}"
        if not any(path.with_name(path.name + companion).exists() for companion in _COMPANIONS):
            return path
        number += 1


def rename_all(file: Path, target: Path) -> None:
    """Rename a file, and what SQLite keeps beside it, so that they still belong together.

    Raises
    ------
    OSError
        The folder cannot be written.
    """
    for companion in _COMPANIONS:
        beside = file.with_name(file.name + companion)
        if beside.exists():
            beside.rename(target.with_name(target.name + companion))


def set_aside(file: Path, day: date) -> Path:
    """Rename a file that cannot be used to `name-damaged-DAY-NUMBER` in the same folder.

    Parameters
    ----------
    file : Path
        The file, with or without companions.
    day : date
        Today, for the name.

    Returns
    -------
    Path
        Its new name.

    Raises
    ------
    OSError
        The folder cannot be written.
    """
    target = free_name(file.parent, f"{file.stem}-damaged", day, file.suffix)
    rename_all(file, target)
    return target
