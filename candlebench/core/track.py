"""The measured curve: readings that were believed, in order of their time."""

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


class Track:
    """Times and temperatures that grow at the end without copying what is already there.

    The arrays handed out are views of a prefix that is never written again, so a view that was drawn from
    stays true. Only a late reading (typed for a moment in the past) makes new arrays.
    """

    def __init__(self) -> None:
        self._times_s: FloatArray = np.empty(1024)
        self._temps_c: FloatArray = np.empty(1024)
        self._count = 0

    @classmethod
    def holding(cls, times_s: FloatArray, temps_c: FloatArray) -> "Track":
        """A curve of these readings, which are in order of their time."""
        track = cls()
        track._times_s, track._temps_c = times_s.copy(), temps_c.copy()
        track._count = len(times_s)
        return track

    def __len__(self) -> int:
        return self._count

    @property
    def times_s(self) -> FloatArray:
        """Elapsed seconds, shape (n,), not decreasing."""
        return self._times_s[: self._count]

    @property
    def temps_c(self) -> FloatArray:
        """Degrees Celsius, shape (n,)."""
        return self._temps_c[: self._count]

    def add(self, elapsed_s: float, temp_c: float) -> bool:
        """Add one reading in its place; return False when it lies before the last one."""
        late = self._count > 0 and elapsed_s < self._times_s[self._count - 1]
        if late:
            place = int(np.searchsorted(self.times_s, elapsed_s, side="right"))
            self._times_s = np.insert(self.times_s, place, elapsed_s)
            self._temps_c = np.insert(self.temps_c, place, temp_c)
            self._count += 1
            return False
        if self._count == len(self._times_s):
            more = np.empty(max(self._count, 1))
            self._times_s = np.concatenate([self._times_s, more])
            self._temps_c = np.concatenate([self._temps_c, more])
        self._times_s[self._count] = elapsed_s
        self._temps_c[self._count] = temp_c
        self._count += 1
        return True

    def last(self, seconds: float) -> tuple[FloatArray, FloatArray]:
        """Times and temperatures of the last `seconds` up to the newest reading."""
        if not self._count:
            return self.times_s, self.temps_c
        start = int(np.searchsorted(self.times_s, self._times_s[self._count - 1] - seconds))
        return self.times_s[start:], self.temps_c[start:]
