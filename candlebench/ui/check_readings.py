"""The readings that a step of a check looks at: in order of time, and no longer ago than it needs."""

from collections import deque


class Readings:
    """Readings of one step; what lies longer ago than `remembered_s` before the last is forgotten."""

    def __init__(self, remembered_s: float) -> None:
        self._remembered_s = remembered_s
        self._times_s: deque[float] = deque()
        self._temps_c: deque[float] = deque()

    def __bool__(self) -> bool:
        return bool(self._times_s)

    def clear(self) -> None:
        """Forget everything."""
        self._times_s.clear()
        self._temps_c.clear()

    def add(self, at_s: float, temp_c: float) -> None:
        """Take one reading, not before the last one."""
        self._times_s.append(at_s)
        self._temps_c.append(temp_c)
        while self._times_s[0] < at_s - self._remembered_s:
            self._times_s.popleft()
            self._temps_c.popleft()

    @property
    def first_s(self) -> float:
        return self._times_s[0]

    @property
    def last_s(self) -> float:
        return self._times_s[-1]

    @property
    def last_c(self) -> float:
        return self._temps_c[-1]

    @property
    def times_s(self) -> tuple[float, ...]:
        return tuple(self._times_s)

    @property
    def temps_c(self) -> tuple[float, ...]:
        return tuple(self._temps_c)

    def between(self, from_s: float, to_s: float) -> list[float]:
        """Return the temperatures of the readings from one time to another, both taken in."""
        return [
            temp for at_s, temp in zip(self._times_s, self._temps_c, strict=True) if from_s <= at_s <= to_s
        ]
