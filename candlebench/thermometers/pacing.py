"""Waiting until a melt's clock shows a time, so that a replay or a practice melt keeps it without drift."""

import threading
from typing import Protocol

from candlebench.core.clock import Clock

# A source looks at `stop` at least five times a second, see `ThermometerSource`.
LONGEST_WAIT_S = 0.2


class PacedClock(Clock, Protocol):
    """A clock whose speed is known, so that one can wait for it; `ScaledClock` is one."""

    def real_seconds_until(self, elapsed_s: float) -> float:
        """Real seconds from now until the clock shows `elapsed_s`; negative when it has passed."""
        ...


def wait_until(clock: PacedClock, due_s: float, stop: threading.Event) -> bool:
    """Wait until the melt's clock shows `due_s`; return whether it does, False when `stop` came first.

    The wait left is worked out anew from the clock each time, so that no lateness adds up.
    """
    while not stop.is_set():
        left_s = clock.real_seconds_until(due_s)
        if left_s <= 0.0:
            return True
        stop.wait(min(left_s, LONGEST_WAIT_S))
    return False
