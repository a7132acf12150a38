"""A recorded series played again, at a chosen speed."""

import math
import threading
from collections.abc import Iterator
from pathlib import Path

from candlebench.core.clock import Clock, ScaledClock
from candlebench.core.errors import FixableError
from candlebench.core.events import Reading, SourceEvent
from candlebench.thermometers.pacing import PacedClock, wait_until
from candlebench.thermometers.series_file import read_series
from candlebench.words import tr


class ReplaySource:
    """Plays a file. Its first reading comes at elapsed time 0, the others as far apart as in the file.

    Each reading is due at a fixed time of the source's clock, so that lateness never adds up. The clock runs
    from the moment the source is made: a reader that begins later gets what is due at once.

    Parameters
    ----------
    path : str or Path
        A file that `read_series` understands.
    speed : float
        How many seconds of the file pass in a real second.
    clock : PacedClock, optional
        The melt's time, instead of a `ScaledClock` of that speed.

    Raises
    ------
    FixableError, BadDataError
        The speed is not above zero; the file is missing or is no series.
    """

    def __init__(self, path: str | Path, speed: float = 1.0, clock: PacedClock | None = None) -> None:
        check_speed(speed)
        self._series = read_series(path)
        self.label = tr("replay: {file}").format(file=Path(path).name)
        self._paced: PacedClock = clock or ScaledClock(speed)
        self.clock: Clock = self._paced

    def events(self, stop: threading.Event) -> Iterator[SourceEvent]:
        """Yield the file's readings when they are due."""
        first_s = self._series.times_s[0]
        for time_s, temp_c in zip(self._series.times_s, self._series.temps_c, strict=True):
            elapsed_s = time_s - first_s
            if not wait_until(self._paced, elapsed_s, stop):
                return
            yield Reading(elapsed_s, self.clock.wall_s(elapsed_s), temp_c)


def check_speed(speed: float) -> None:
    """Raise `FixableError` unless time can pass at this speed."""
    if not (math.isfinite(speed) and 0.0 < speed <= 1e6):
        raise FixableError(
            tr("A speed of {speed} plays nothing: give a number above 0, like 1 or 60.").format(
                speed=f"{speed:g}"
            )
        )
