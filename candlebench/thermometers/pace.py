"""How often a thermometer speaks, and from when on its silence is trouble."""

from collections import deque

# A thermometer that speaks every second is silent after this: no stale number may stand for three seconds.
SOONEST_SILENT_S = 2.5
# One that speaks more slowly may be late by one and a half of its own steps.
_LATE_STEPS = 2.5
_LATEST_SILENT_S = 120.0
# Until two steps are known: as long as a slow thermometer takes between two numbers (common practice).
UNKNOWN_PACE_S = 10.0
# A board begins to measure when its port is opened: some seconds go by with its start (common practice).
STARTING_S = 5.0
_STEPS = 8
# Lines of one burst are no steps.
_SHORTEST_STEP_S = 0.5


class Pace:
    """Learns the steps between readings.

    Call `began` when the wire is opened and `heard` with each reading.
    """

    def __init__(self) -> None:
        self._steps: deque[float] = deque(maxlen=_STEPS)
        self._last_s: float | None = None
        self._since_s = float("inf")

    def began(self, now_s: float) -> None:
        """The wire was opened now: the time without one is no step."""
        self._last_s = None
        self._since_s = now_s

    def heard(self, now_s: float) -> None:
        """A reading came."""
        self._since_s = now_s
        if self._last_s is None:
            self._last_s = now_s
        elif now_s - self._last_s >= _SHORTEST_STEP_S:
            self._steps.append(now_s - self._last_s)
            self._last_s = now_s

    def silent_s(self, now_s: float) -> float:
        """Seconds since the last reading, or since the wire was opened."""
        return now_s - self._since_s

    def is_overdue(self, now_s: float) -> bool:
        """Whether the next reading should have come long ago."""
        return self.silent_s(now_s) >= self._patience_s()

    def _patience_s(self) -> float:
        if self._last_s is None:
            known_s = _LATE_STEPS * max(self._steps, default=0.0)
            return max(STARTING_S, min(_LATEST_SILENT_S, known_s))
        if len(self._steps) < 2:
            return UNKNOWN_PACE_S
        return min(_LATEST_SILENT_S, max(SOONEST_SILENT_S, _LATE_STEPS * max(self._steps)))
