"""When readings cross a temperature."""

# A crossing is believed after so many readings beyond the target, and so long after the last one before it.
PAST_READINGS = 3
PAST_S = 15.0
# Numbers that a display shows alike.
SAME_K = 1e-6


class CrossingWatch:
    """Finds when readings cross a temperature, unmoved by their scatter.

    Readings before the target count up, those beyond it down; the crossing lies where the count was highest,
    which is the step that the fewest readings contradict.
    """

    def __init__(self, target_c: float, falling: bool) -> None:
        self._target_c, self._falling = target_c, falling
        self._count = 0
        self._highest = 0
        self._first: tuple[float, float] | None = None
        self._last: tuple[float, float] | None = None
        self._next: tuple[float, float] | None = None
        self._past = 0

    def crossed(self, elapsed_s: float, temp_c: float) -> float | None:
        """Take a reading; the time of the crossing once it is certain."""
        # A reading of just the target says neither: on a display of whole degrees it means half a degree
        # before to half a degree beyond.
        ahead_k = (temp_c - self._target_c) * (1.0 if self._falling else -1.0)
        beyond = ahead_k < -SAME_K
        if abs(ahead_k) > SAME_K:
            self._count += -1 if beyond else 1
        self._past = self._past + 1 if beyond else 0
        if self._count >= self._highest and not beyond:
            higher = self._count > self._highest or self._first is None
            self._highest = self._count
            self._first = (elapsed_s, temp_c) if higher else self._first
            self._last, self._next = (elapsed_s, temp_c), None
        elif self._next is None:
            self._next = (elapsed_s, temp_c)
        if self._past < PAST_READINGS or self._next is None:
            return None
        if self._last is None or self._first is None:
            return self._next[0]
        if elapsed_s - self._last[0] < PAST_S:
            return None
        if self._first != self._last:
            return 0.5 * (self._first[0] + self._next[0])
        (from_s, from_c), (to_s, to_c) = self._last, self._next
        part = (from_c - self._target_c) / (from_c - to_c) if from_c != to_c else 0.5
        return from_s + min(max(part, 0.0), 1.0) * (to_s - from_s)
