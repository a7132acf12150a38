"""Readings for a check: from the thermometer itself, opened in a thread, or from the melt that reads it."""

import logging
import threading
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QObject

from candlebench.core.clock import Clock, LiveClock
from candlebench.core.errors import CandlebenchError
from candlebench.core.events import ProbeTrouble, Reading
from candlebench.core.place import Place
from candlebench.core.state import MeltState
from candlebench.thermometers.source import ThermometerSource, ended, events_of
from candlebench.words import tr

log = logging.getLogger(__name__)

# Twenty a second tell the fastest probe's plunge (rows T11 to T17); a flood is thinned to that.
LEAST_APART_S = 0.05
# Half a minute of them, if the window is busy that long.
_MOST_WAITING = 600
# Opening a port that is slow to answer takes a second or two.
_JOIN_S = 3.0
# A number older than this is not that of now.
STALE_S = 3.0
_STALE_PACES = 3.0

Opener = Callable[[str, Clock], ThermometerSource]


@dataclass(frozen=True, slots=True)
class Way:
    """How the probe is read: `address` names its thermometer, '' when numbers are typed only.

    `by_melt` says that a melt reads it now, so that its port is taken.
    """

    address: str = ""
    by_melt: bool = False


class ProbeFeed(QObject):
    """The one way from the thermometer's thread to the page, which looks in whenever it likes.

    Parameters
    ----------
    parent : QObject
    opener : callable
        Opens the source of an address on a clock.
    new_clock : callable
        A clock that begins now.
    """

    def __init__(self, parent: QObject, opener: Opener, new_clock: Callable[[], Clock] = LiveClock) -> None:
        super().__init__(parent)
        self._opener, self._new_clock = opener, new_clock
        self._lock = threading.Lock()
        self._waiting: deque[tuple[float, float]] = deque(maxlen=_MOST_WAITING)
        self._trouble = ""
        self._way: Way | None = None
        self._stop = threading.Event()
        self._thread: threading.Thread | None = None
        self._clock: Clock = new_clock()
        self._last: tuple[float, float] | None = None
        self._pace_s = 1.0
        self._melt_now_s = 0.0

    # --- beginning and ending -----------------------------------------------------------------------------

    @property
    def way(self) -> Way | None:
        """How the probe is read now; None while it is not."""
        return self._way

    def use(self, way: Way) -> None:
        """Read the probe in this way; nothing happens when it is read so already."""
        if way == self._way:
            return
        self.stop()
        self._way = way
        if way.address and not way.by_melt:
            self._open(way.address)

    def stop(self) -> None:
        """Read no more; the port is free when this returns."""
        self._stop.set()
        if self._thread is not None:
            self._thread.join(_JOIN_S)
            self._thread = None
        self._way = None
        with self._lock:
            self._waiting.clear()
            self._trouble, self._last = "", None

    def _open(self, address: str) -> None:
        self._clock = self._new_clock()
        try:
            source = self._opener(address, self._clock)
        except CandlebenchError as error:
            self._trouble = str(error)
            return
        # A source may bring a clock of its own.
        self._clock = source.clock
        self._stop = stop = threading.Event()
        self._thread = threading.Thread(
            target=self._read, args=(source, stop), name="probe check", daemon=True
        )
        self._thread.start()

    # --- in the thermometer's thread ----------------------------------------------------------------------

    def _read(self, source: ThermometerSource, stop: threading.Event) -> None:
        said = False
        for event in events_of(source, stop):
            if stop.is_set():
                return
            if isinstance(event, Reading) and event.place is Place.MELT and not event.by_hand:
                self._heard(event.elapsed_s, event.temp_c)
            elif isinstance(event, ProbeTrouble) and event.place is Place.MELT:
                self._told("" if event.code == "back" else event.text)
                said = event.code == "ended"
        if not stop.is_set() and not said:
            self._told(ended(source).text)

    def _heard(self, at_s: float, temp_c: float) -> None:
        with self._lock:
            if self._last is not None and at_s - self._last[0] < LEAST_APART_S:
                return
            if self._last is not None:
                self._pace_s += 0.2 * (min(at_s - self._last[0], 10.0 * self._pace_s) - self._pace_s)
            self._last = (at_s, temp_c)
            self._waiting.append(self._last)
            self._trouble = ""

    def _told(self, text: str) -> None:
        with self._lock:
            self._trouble = text

    # --- from the melt ------------------------------------------------------------------------------------

    def follow(self, state: MeltState) -> None:
        """A new picture of the running melt; its last reading counts while the melt reads the probe."""
        if self._way is None or not self._way.by_melt:
            return
        self._melt_now_s = state.now_s
        last_s = -1.0 if self._last is None else self._last[0]
        if state.read_c is not None and state.reading_s is not None and state.reading_s > last_s:
            self._heard(state.reading_s, state.read_c)
        if not state.probe.good:
            self._told(state.probe.text)

    # --- for the page -------------------------------------------------------------------------------------

    def take(self) -> list[tuple[float, float]]:
        """Return the readings since the last call, each (seconds, degrees Celsius), the newest last."""
        with self._lock:
            taken = list(self._waiting)
            self._waiting.clear()
            return taken

    @property
    def trouble(self) -> str:
        """What is wrong with the thermometer, one sentence; '' when nothing is."""
        with self._lock:
            return self._trouble

    @property
    def last_c(self) -> float | None:
        """The last temperature that was read."""
        with self._lock:
            return None if self._last is None else self._last[1]

    @property
    def age_s(self) -> float:
        """Seconds since then; infinite before the first one."""
        with self._lock:
            if self._last is None:
                return float("inf")
            now_s = self._clock.elapsed_s()
            if self._way is not None and self._way.by_melt:
                now_s = self._melt_now_s
            return max(0.0, now_s - self._last[0])

    @property
    def is_fresh(self) -> bool:
        """Whether the last temperature may be taken for that of now."""
        return self.age_s <= max(STALE_S, _STALE_PACES * self._pace_s)

    def words(self) -> str:
        """What stands against reading it now, one sentence; '' when nothing does."""
        if self.trouble:
            return self.trouble
        if self._way is None or not self._way.address or self.last_c is None or self.is_fresh:
            return ""
        return tr("No reading for {seconds:.0f} s: look at the plug.").format(seconds=self.age_s)
