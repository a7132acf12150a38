"""A second kitchen probe in a practice melt: in the water bath, or in the room."""

import random

from candlebench.core.place import Place
from candlebench.practice.probe import Probe
from candlebench.practice.truth import Truth

# T24: 5 to 15 s in a stirred liquid; a simmering bath stirs itself. In air T22 gives 33 s for 3 mm.
_LAG_S = {Place.BATH: (6.0,), Place.ROOM: (33.0,)}
_NOISE_C, _RESOLUTION_C = 0.05, 0.1
# How far one cheap probe is off another: T8 gives 1 K as a rule, taken as two standard deviations.
_OFF_SD_K = 0.5


class ProbeBeside:
    """Follows the truth of a practice melt as a second probe of its own error, lag and noise would.

    Parameters
    ----------
    place : Place
        BATH or ROOM.
    room_c : float
    seed : int
        The same seed gives the same probe and the same noise.
    """

    def __init__(self, place: Place, room_c: float, seed: int) -> None:
        self.place = place
        self._room_c = room_c
        self._dice = random.Random(f"second probe {seed}")
        self._off_k = self._dice.gauss(0.0, _OFF_SD_K)
        self._probe: Probe | None = None
        self._at_s = 0.0

    def read_c(self, truth: Truth) -> float:
        """Return what it shows now; moments are asked for in the order of time."""
        around_c = (truth.bath_c if self.place is Place.BATH else self._room_c) + self._off_k
        if self._probe is None:
            self._probe = Probe(_LAG_S[self.place], around_c, _NOISE_C, _RESOLUTION_C)
        elif truth.elapsed_s > self._at_s:
            self._probe.follow(around_c, truth.elapsed_s - self._at_s)
        self._at_s = truth.elapsed_s
        return self._probe.read_c(self._dice)
