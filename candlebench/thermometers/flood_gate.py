"""A wire that brings more than a person or a melt can use: only the newest of it is looked at."""

from candlebench.thermometers.text_framing import LONGEST_BYTES

# A serial port at 115200 baud brings 11 520 bytes a second at most; no thermometer needs more.
BYTES_PER_S = 16_000.0
_MOST_AT_ONCE = 4 * LONGEST_BYTES


class FloodGate:
    """Lets through so many bytes a second; of what is more, the last line or two wait for their turn.

    So the cost of a flood and the memory it takes are bounded, and what came last is never the part that is
    dropped.
    """

    def __init__(self) -> None:
        self._waiting = b""
        self._is_cut = False
        self._left = float(_MOST_AT_ONCE)
        self._counted_s: float | None = None

    def begin(self) -> None:
        """The wire was opened (again): what waits belongs to the past."""
        self._waiting, self._is_cut = b"", False

    def let_through(self, data: bytes, now_s: float) -> tuple[bytes, bool]:
        """Return what may be looked at now, and whether something before it was dropped.

        Parameters
        ----------
        data : bytes
            What has come, which may be nothing.
        now_s : float
            The melt's time.
        """
        if self._counted_s is not None:
            self._left = min(_MOST_AT_ONCE, self._left + BYTES_PER_S * (now_s - self._counted_s))
        self._counted_s = now_s
        waiting = self._waiting + data
        if len(waiting) > self._left and len(waiting) > LONGEST_BYTES:
            waiting, self._is_cut = waiting[-LONGEST_BYTES:], True
        if len(waiting) > self._left:
            self._waiting = waiting
            return b"", False
        self._left -= len(waiting)
        self._waiting, is_cut, self._is_cut = b"", self._is_cut, False
        return waiting, is_cut
