"""One running program a data folder."""

import errno
import os
import sys
from pathlib import Path
from types import TracebackType

from candlebench.core.errors import FixableError
from candlebench.records.folders import folder_mark
from candlebench.words import tr

# Windows locks a range of bytes against reading too; this one lies behind the process number.
_LOCKED_BYTE = 1 << 20


class DataLock:
    """Holds a data folder for this process until `release` or the end of the process, however it ends.

    Parameters
    ----------
    folder : Path
        The data folder; made if it is not there.
    places : sequence of Path
        Where the lock file goes when the folder cannot be written.

    Raises
    ------
    FixableError
        Another process holds the folder.
    """

    def __init__(self, folder: Path, places: tuple[Path, ...] = ()) -> None:
        self._file: int | None = None
        files = [folder / "candlebench.lock"]
        files += [place / f"candlebench-{folder_mark(folder)}.lock" for place in places]
        for file in files:
            try:
                file.parent.mkdir(parents=True, exist_ok=True)
                number = os.open(file, os.O_RDWR | os.O_CREAT, 0o600)
            except OSError:
                continue
            if not _lock(number):
                process = _process_number(number)
                os.close(number)
                raise FixableError(_already_open(folder, process))
            self._file = number
            _write_process_number(number)
            return
        # Nowhere to put a lock file: the melt goes on without one.

    @property
    def held(self) -> bool:
        """Whether a second program would be refused."""
        return self._file is not None

    def release(self) -> None:
        """Let the folder go. Doing it twice is harmless."""
        if self._file is not None:
            os.close(self._file)
            self._file = None

    def __enter__(self) -> "DataLock":
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.release()


def _lock(number: int) -> bool:
    """Lock an open file for this process; False when another holds it."""
    try:
        if sys.platform == "win32":
            import msvcrt

            os.lseek(number, _LOCKED_BYTE, os.SEEK_SET)
            msvcrt.locking(number, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(number, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        # A file system that knows no locks (some network drives) is no reason to refuse the melt.
        return error.errno not in (errno.EWOULDBLOCK, errno.EACCES, errno.EDEADLK)
    return True


def _process_number(number: int) -> int | None:
    try:
        os.lseek(number, 0, os.SEEK_SET)
        return int(os.read(number, 32))
    except (OSError, ValueError):
        return None


def _write_process_number(number: int) -> None:
    """Leave the process number for the sentence of a second program; a full disk must not matter."""
    try:
        os.ftruncate(number, 0)
        os.lseek(number, 0, os.SEEK_SET)
        os.write(number, f"{os.getpid()}\n".encode())
    except OSError:
        return


def _already_open(folder: Path, process: int | None) -> str:
    if process is None:
        text = tr(
            "Candlebench is already open on {folder}: use that window, or give another folder with --data."
        )
        return text.format(folder=folder)
    text = tr(
        "Candlebench is already open on {folder} (process {process}): use that window, "
        "or give another folder with --data."
    )
    return text.format(folder=folder, process=process)
