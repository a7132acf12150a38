"""Clocks a melt can run on. They are passed in; nothing in core reads the time by itself."""

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
    """A replay's or a practice melt's time: `speed` seconds pass in one real second."""

    def __init__(self, speed: float, from_elapsed_s: float = 0.0) -> None:
        self.speed = speed
        self._from_elapsed_s = from_elapsed_s
        self._zero_s = steady_s()
        self._wall_zero_s = time.time()

    def elapsed_s(self) -> float:
        return self._from_elapsed_s + (steady_s() - self._zero_s) * self.speed

    def wall_s(self, elapsed_s: float) -> float:
        return self._wall_zero_s + elapsed_s - self._from_elapsed_s

    def change_speed(self, speed: float) -> None:
        """Go on from this moment at another speed."""
        now_s = self.elapsed_s()
        self._wall_zero_s = self.wall_s(now_s)
        self._from_elapsed_s, self._zero_s, self.speed = now_s, steady_s(), speed

    def slept_s(self) -> float:
        """A scaled melt has no sleep of its own: its clock simply runs on."""
        return 0.0

    def real_seconds_until(self, elapsed_s: float) -> float:
        """Real seconds from now until the melt's clock shows `elapsed_s`; negative when it has passed."""
        return (elapsed_s - self.elapsed_s()) / self.speed
