"""A recorded series played again, at a chosen speed."""

import heapq
import math
import threading
from collections.abc import Iterator
from itertools import repeat
from pathlib import Path

from candlebench.core.clock import Clock, ScaledClock
from candlebench.core.errors import FixableError
from candlebench.core.events import Reading, SourceEvent
from candlebench.core.place import Place
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
    beside : tuple of Place and str, or None
        Where a second probe hung, and the name of its column.

    Raises
    ------
    FixableError, BadDataError
        The speed is not above zero; the file is missing or is no series.
    """

    def __init__(
        self,
        path: str | Path,
        speed: float = 1.0,
        clock: PacedClock | None = None,
        beside: tuple[Place, str] | None = None,
    ) -> None:
        check_speed(speed)
        self._series = read_series(path, beside)
        self.label = tr("replay: {file}").format(file=Path(path).name)
        self._paced: PacedClock = clock or ScaledClock(speed)
        self.clock: Clock = self._paced

    def events(self, stop: threading.Event) -> Iterator[SourceEvent]:
        """Yield the file's readings when they are due; those of a second probe before the first one's."""
        series = self._series
        first_s = series.times_s[0]
        of_melt = zip(series.times_s, series.temps_c, repeat(Place.MELT))
        of_beside = ((time_s, temp_c, series.place) for time_s, temp_c in series.beside if time_s >= first_s)
        for time_s, temp_c, place in heapq.merge(of_beside, of_melt, key=lambda row: row[0]):
            elapsed_s = time_s - first_s
            if not wait_until(self._paced, elapsed_s, stop):
                return
            yield Reading(elapsed_s, self.clock.wall_s(elapsed_s), temp_c, place=place)


def check_speed(speed: float) -> None:
    """Raise `FixableError` unless time can pass at this speed."""
    if not (math.isfinite(speed) and 0.0 < speed <= 1e6):
        raise FixableError(
            tr("A speed of {speed} plays nothing: give a number above 0, like 1 or 60.").format(
                speed=f"{speed:g}"
            )
        )
