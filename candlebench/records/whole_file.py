"""Files that are either wholly written or not there: written under another name first, then renamed."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TextIO


@contextmanager
def written_whole(file: Path) -> Iterator[TextIO]:
    """Open a text file (UTF-8, newlines as given) that takes its place only when the block ends well.

    Parameters
    ----------
    file : Path
        Where the text goes in the end. A file that is there already stays as it is until then. What is no
        regular file (a pipe, `/dev/stdout`) is written to as it comes.

    Raises
    ------
    OSError
        It cannot be written; nothing is left behind.
    """
    if file.exists() and not file.is_file():
        with file.open("w", encoding="utf-8", newline="") as pipe:
            yield pipe
        return
    # Through a symbolic link, so that the link stays one.
    file = file.resolve()
    unfinished = file.with_name(f".{file.name}.{os.getpid()}.part")
    try:
        with unfinished.open("w", encoding="utf-8", newline="") as stream:
            yield stream
            stream.flush()
            os.fsync(stream.fileno())
        unfinished.replace(file)
    except BaseException:
        unfinished.unlink(missing_ok=True)
        raise
