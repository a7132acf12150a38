"""The last things that came over a wire, kept for the person to look at."""

import threading
from collections import deque
from dataclasses import dataclass

_KEPT = 200


@dataclass(frozen=True, slots=True)
class RecentLine:
    """A line, or an exchange, as it came and, in words, how it was read."""

    text: str
    read_as: str


class RecentLines:
    """At most the last 200. Written by the source's thread, read by the window's."""

    def __init__(self) -> None:
        self._lines: deque[RecentLine] = deque(maxlen=_KEPT)
        self._lock = threading.Lock()

    def note(self, text: str, read_as: str) -> None:
        """Keep one more."""
        with self._lock:
            self._lines.append(RecentLine(text, read_as))

    def newest_last(self) -> list[RecentLine]:
        """Return them all."""
        with self._lock:
            return list(self._lines)
