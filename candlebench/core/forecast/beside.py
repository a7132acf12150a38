"""The readings of a second probe, in the bath or in the room, on their way into the forecast."""

import math
from collections import deque

from candlebench.core.forecast.noise import Noise
from candlebench.core.forecast.room import Room
from candlebench.core.forecast.trend import Trend

# A reading so far from the straight line of those before it waits for company: the probe was lifted out, or
# cold water was poured in. 0.1 K/s is what the line may bend: 1 kW on a litre of water and its pan warms by
# 0.2 K/s (H8, H9 of heat.md), and a knob takes that away. Design decisions.
_LEAST_GATE_K, _GATE_SD, _BEND_K_PER_S = 1.0, 5.0, 0.1
# A level is new when it has held for so long, moving no faster than a bath does: 3 kW on half a litre, with
# its pan, gives 0.6 K/s with half of it lost (H5 to H9). A probe in air (33 s, T22) comes to rest within
# minutes, so that what is colder than the wax it is to warm has to hold much longer.
_HOLD_S, _HOLD_COLD_S = 60.0, 600.0
_MOST_K_PER_S, _NEAR_K = 0.6, 1.0
# Falling faster than this over the hold is not a bath, which gives its heat to a jug within many minutes.
_MOST_FALL_K_PER_S = 0.05
# How much colder than the wax a bath may seem: one cheap probe against another (T8), twice.
_COLD_K = 2.0
# Closer readings add little to a bank that begins; older ones do not matter to it.
_KEPT_EVERY_S, _KEPT_S = 5.0, 1800.0


class BathProbe:
    """Holds back what cannot be the bath, and remembers the rest for a bank that begins later.

    Attributes
    ----------
    leapt : bool
        Whether the reading believed last was the first of a new level.
    variance_k2 : float
        Variance of the reading believed last.
    """

    def __init__(self) -> None:
        self._noise = Noise()
        self._line = Trend()
        self._last_s = 0.0
        self._waiting: tuple[float, float, float, float] | None = None
        self._kept: deque[tuple[float, float, float]] = deque()
        self.leapt = False
        self.variance_k2 = 0.0

    def believes(self, elapsed_s: float, temp_c: float, wax_c: float | None) -> bool:
        """Tell whether a reading shows the bath.

        Parameters
        ----------
        elapsed_s, temp_c : float
            Times may repeat; an earlier one than before counts as now.
        wax_c : float or None
            Temperature of wax that this bath warms; None when nothing is known of it.
        """
        elapsed_s = max(elapsed_s, self._last_s)
        if self._is_on_its_way(elapsed_s, temp_c):
            self._waiting = None
            self.leapt = False
            self._accept(elapsed_s, temp_c)
            return True
        if not self._has_held(elapsed_s, temp_c, wax_c):
            return False
        self._waiting = None
        self._kept.clear()
        self._line = Trend()
        self.leapt = True
        self._accept(elapsed_s, temp_c)
        return True

    def since(self, from_s: float) -> list[tuple[float, float, float]]:
        """Time, temperature and variance of what was believed from a moment on, thinned."""
        return [reading for reading in self._kept if reading[0] >= from_s]

    def _is_on_its_way(self, elapsed_s: float, temp_c: float) -> bool:
        if self._line.count == 0:
            return True
        gap_s = elapsed_s - self._last_s
        slope = self._line.slope_c_per_s if self._line.count > 2 else 0.0
        # After a long silence the line says nothing: where it was may still be.
        off = temp_c - self._line.temp_c - slope * min(gap_s, _HOLD_S)
        spread = math.hypot(self._line.temp_sd_k, self._noise.reading_sd_k)
        return abs(off) <= max(_LEAST_GATE_K, _GATE_SD * spread) + _BEND_K_PER_S * gap_s

    def _has_held(self, elapsed_s: float, temp_c: float, wax_c: float | None) -> bool:
        """Tell whether the new level has lasted; otherwise wait on, or begin to wait."""
        cold = wax_c is not None and temp_c < wax_c - _COLD_K
        if self._waiting is None:
            self._waiting = (elapsed_s, temp_c, elapsed_s, temp_c)
            return False
        since_s, since_c, last_s, last_c = self._waiting
        leaps = abs(temp_c - last_c) > _NEAR_K + _MOST_K_PER_S * (elapsed_s - last_s)
        falls = since_c - temp_c > _NEAR_K + _MOST_FALL_K_PER_S * (elapsed_s - since_s)
        if leaps or falls:
            self._waiting = (elapsed_s, temp_c, elapsed_s, temp_c)
            return False
        self._waiting = (since_s, since_c, elapsed_s, temp_c)
        return elapsed_s - since_s >= (_HOLD_COLD_S if cold else _HOLD_S)

    def _accept(self, elapsed_s: float, temp_c: float) -> None:
        gap_s = elapsed_s - self._last_s if self._line.count else 60.0
        self._last_s = elapsed_s
        self._noise.add(elapsed_s, temp_c)
        self.variance_k2 = self._noise.variance(gap_s, self._line.slope_c_per_s)
        self._line.add(elapsed_s, temp_c, self.variance_k2)
        if not self._kept or elapsed_s - self._kept[-1][0] >= _KEPT_EVERY_S:
            # A bank that begins takes the kept ones only, so each may count for itself.
            spaced = self._noise.variance(_KEPT_EVERY_S, self._line.slope_c_per_s)
            self._kept.append((elapsed_s, temp_c, spaced))
        while self._kept[0][0] < elapsed_s - _KEPT_S:
            self._kept.popleft()


# A room probe reads the warmth of the hob and the draught at its place, not what the jug loses its heat to:
# it is no better than this. From memory, check before relying on it.
_ROOM_SD_C = 0.7
# The mean of so many seconds is the room, as doors open and a hand warms the probe. It is told anew only when
# it has moved: what is off about the probe stays, and telling it again adds nothing.
_ROOM_MEAN_S, _ROOM_MOVED_K = 120.0, 0.7
# No room that people work in is outside of these: the probe is elsewhere.
_ROOM_C = (-30.0, 60.0)


class RoomProbe:
    """Smooths what a probe in the room says."""

    def __init__(self) -> None:
        self._mean_c: float | None = None
        self._last_s = 0.0
        self._told_c = math.inf

    def room(self, elapsed_s: float, temp_c: float) -> Room | None:
        """Take one reading; return the room when it is to be told (anew)."""
        if not _ROOM_C[0] <= temp_c <= _ROOM_C[1]:
            return None
        if self._mean_c is None:
            self._mean_c = temp_c
        else:
            share = -math.expm1(-max(0.0, elapsed_s - self._last_s) / _ROOM_MEAN_S)
            self._mean_c += share * (temp_c - self._mean_c)
        self._last_s = elapsed_s
        if abs(self._mean_c - self._told_c) < _ROOM_MOVED_K:
            return None
        self._told_c = self._mean_c
        return Room(self._mean_c, _ROOM_SD_C)
