"""The file of checks of probes, and where its lines go while it cannot be written.

A line is written in one go and flushed to the disk, so that a check on the console may be kept while a window
is open, and a program that is cut short spoils no line but its own. What cannot be read stays in the file.

A rescue file has the same lines. It is `candlebench-rescue-checks-MARK-DAY.jsonl`; MARK stands for the data
folder that it belongs to. It is read like the file itself until a later start takes it in.
"""

import json
import os
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from uuid import UUID

from candlebench.core.errors import FixableError
from candlebench.records.folders import folder_mark
from candlebench.records.set_aside import free_name, local_day
from candlebench.words import tr, tr_count

FILE_NAME = "probes.jsonl"


def lines_in(path: Path) -> Iterator[tuple[int, bytes]]:
    """Yield each line that is not empty with its number, from 1 on; nothing when there is no such file.

    Raises
    ------
    FixableError
        It may not be read.
    """
    try:
        data = path.read_bytes()
    except (FileNotFoundError, NotADirectoryError):
        return
    except OSError as error:
        text = tr("The checks in {path} cannot be read ({why}): allow reading it.")
        raise FixableError(text.format(path=path, why=error.strerror or error)) from error
    for number, line in enumerate(data.split(b"\n"), start=1):
        if line.strip():
            yield number, line


def add_line(path: Path, line: bytes) -> None:
    """Add a line, on one of its own even when the last one was cut short, and see it to the disk.

    Raises
    ------
    OSError
        It cannot be written.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    data = line + b"\n"
    with path.open("a+b") as file:
        if file.tell():
            file.seek(-1, os.SEEK_END)
            data = data if file.read(1) == b"\n" else b"\n" + data
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def add_elsewhere(folder: Path, places: tuple[Path, ...], line: bytes, wall_s: float) -> Path | None:
    """Add a line to the rescue file in the first of some places that can be written; None when none can."""
    for place in places:
        path = place / f"{_stem(folder)}-{local_day(wall_s)}.jsonl"
        with suppress(OSError):
            place.mkdir(parents=True, exist_ok=True, mode=0o700)
            add_line(path, line)
            return path
    return None


def rescued(folder: Path, places: tuple[Path, ...]) -> list[Path]:
    """Return the rescue files of a data folder, the one last written to last."""
    found: list[tuple[float, Path]] = []
    for place in places:
        with suppress(OSError):
            found += [(path.stat().st_mtime, path) for path in place.glob(f"{_stem(folder)}-*.jsonl")]
    return [path for _, path in sorted(found)]


def take_in_checks(
    folder: Path, places: tuple[Path, ...], wall_clock: Callable[[], float]
) -> tuple[str, ...]:
    """Copy the rescue files of a data folder into its file of checks.

    What was taken in is renamed to `candlebench-taken-in-checks-...`, never deleted. A file that cannot be
    taken in stays as it is and is tried again at the next start.

    Returns
    -------
    tuple of str
        Sentences for the person; empty when there was nothing to take in.
    """
    notices = []
    for file in rescued(folder, places):
        try:
            count = _take_in_one(folder / FILE_NAME, file)
        except FixableError as error:
            notices.append(str(error))
            continue
        except OSError as error:
            text = tr(
                "{path} cannot be written ({why}); what is kept in {file} is taken in at a later start."
            )
            notices.append(text.format(path=folder / FILE_NAME, why=error.strerror or error, file=file))
            continue
        # When the name has to stay, the next start finds nothing new in it.
        with suppress(OSError):
            stem = f"candlebench-taken-in-checks-{folder_mark(folder)}"
            file.rename(free_name(file.parent, stem, local_day(wall_clock()), file.suffix))
        if count:
            text = tr_count(
                "{count} entry about checked probes that was kept in {file} was taken in.",
                "{count} entries about checked probes that were kept in {file} were taken in.",
                count,
            )
            notices.append(text.format(count=count, file=file))
    return tuple(notices)


def _take_in_one(path: Path, file: Path) -> int:
    """Add the lines of a rescue file that are not there yet; returns how many."""
    known = {_identity(line) for _, line in lines_in(path)}
    new = [line for _, line in lines_in(file) if _identity(line) not in (None, *known)]
    if new:
        add_line(path, b"\n".join(new))
    return len(new)


def _identity(line: bytes) -> UUID | None:
    """Which line it is; None of half a line, left by a write that was cut short."""
    try:
        return UUID(json.loads(line)["uuid"])
    except (ValueError, RecursionError, KeyError, TypeError, AttributeError):
        return None


def _stem(folder: Path) -> str:
    return f"candlebench-rescue-checks-{folder_mark(folder)}"
