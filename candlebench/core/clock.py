"""Clocks a melt can run on. They are passed in; nothing in core reads the time by itself."""

import math
import threading
import time
from typing import Protocol

# Linux's boot-time clock goes on through suspend and never steps; elsewhere the monotonic clock must do.
_STEADY_CLOCK = getattr(time, "CLOCK_BOOTTIME", None)


def steady_s() -> float:
    """Return seconds on a clock that never steps back and, where the system has one, runs through suspend."""
    if _STEADY_CLOCK is None:
        return time.monotonic()
    return time.clock_gettime(_STEADY_CLOCK)


class Clock(Protocol):
    """The time of one melt."""

    def elapsed_s(self) -> float:
        """Seconds since the melt began."""
        ...

    def wall_s(self, elapsed_s: float) -> float:
        """Unix time at a given elapsed time."""
        ...

    def slept_s(self) -> float:
        """Seconds the machine was suspended since this was last asked."""
        ...


class LiveClock:
    """Real time. `from_elapsed_s` is where a melt that is taken up again goes on."""

    def __init__(self, from_elapsed_s: float = 0.0) -> None:
        self._zero_s = steady_s() - from_elapsed_s
        self._awake_offset_s = steady_s() - time.monotonic()

    def elapsed_s(self) -> float:
        return steady_s() - self._zero_s

    def wall_s(self, elapsed_s: float) -> float:
        return time.time() - (self.elapsed_s() - elapsed_s)

    def slept_s(self) -> float:
        """Seconds the machine was suspended since this was last asked."""
        offset_s = steady_s() - time.monotonic()
        slept_s = offset_s - self._awake_offset_s
        self._awake_offset_s = offset_s
        return max(0.0, slept_s)


class ScaledClock:
    """A replay's or a practice melt's time: `speed` seconds pass in one real second.

    It can stand still, run ahead, and wait for whoever works on the melt. It never steps back, whichever
    thread asks.
    """

    def __init__(self, speed: float, from_elapsed_s: float = 0.0) -> None:
        self.speed = speed
        self._lock = threading.Lock()
        self._from_elapsed_s = from_elapsed_s
        self._zero_s = steady_s()
        self._wall_offset_s = time.time() - from_elapsed_s
        self._paused = False
        self._no_further_s = math.inf

    def elapsed_s(self) -> float:
        with self._lock:
            return self._now_s()

    def wall_s(self, elapsed_s: float) -> float:
        return self._wall_offset_s + elapsed_s

    def change_speed(self, speed: float) -> None:
        """Go on from this moment at another speed."""
        with self._lock:
            self._begin_at(self._now_s())
            self.speed = speed

    @property
    def paused(self) -> bool:
        """Whether the time stands still."""
        return self._paused

    def pause(self) -> None:
        """Stand still at this moment."""
        with self._lock:
            self._begin_at(self._now_s())
            self._paused = True

    def resume(self) -> None:
        """Go on from where the time stands."""
        with self._lock:
            self._begin_at(self._now_s())
            self._paused = False

    def jump_to(self, elapsed_s: float) -> None:
        """Show `elapsed_s` now and go on from there; a time that has passed changes nothing."""
        with self._lock:
            self._no_further_s = max(self._no_further_s, elapsed_s)
            self._begin_at(max(self._now_s(), elapsed_s))

    def run_no_further_than(self, elapsed_s: float) -> None:
        """Stand still at `elapsed_s` until told a later time, so that slow work is waited for.

        The real time that is spent waiting is lost. A time that has passed changes nothing.
        """
        with self._lock:
            now_s = self._now_s()
            self._begin_at(now_s)
            self._no_further_s = max(now_s, elapsed_s)

    def slept_s(self) -> float:
        """A scaled melt has no sleep of its own: its clock simply runs on."""
        return 0.0

    def real_seconds_until(self, elapsed_s: float) -> float:
        """Real seconds from now until the melt's clock shows `elapsed_s`; negative when it has passed.

        Infinite while the clock is paused before that time.
        """
        with self._lock:
            left_s = elapsed_s - self._now_s()
            return math.inf if self._paused and left_s > 0.0 else left_s / self.speed

    def _now_s(self) -> float:
        if self._paused:
            return self._from_elapsed_s
        return min(self._from_elapsed_s + (steady_s() - self._zero_s) * self.speed, self._no_further_s)

    def _begin_at(self, elapsed_s: float) -> None:
        self._from_elapsed_s, self._zero_s = elapsed_s, steady_s()
