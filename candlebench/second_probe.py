"""The second thermometer of a melt, when its second probe has one of its own."""

import threading
from collections.abc import Callable

from candlebench.addresses import open_beside
from candlebench.core.clock import Clock
from candlebench.core.events import Action, Event, ProbeTrouble
from candlebench.core.place import Place
from candlebench.core.setup import MeltSetup
from candlebench.thermometers.beside_channel import placed
from candlebench.thermometers.source import ThermometerSource, ended, events_of


class Secondary:
    """The second thermometer of a running melt, in a thread of its own.

    Parameters
    ----------
    source : ThermometerSource
        It goes by the melt's clock.
    place : Place
        Where its probe hangs.
    """

    def __init__(self, source: ThermometerSource, place: Place) -> None:
        self.source, self.place = source, place
        self._stop = threading.Event()
        self._thread: threading.Thread | None = None

    def start(self, put: Callable[[Event], None]) -> None:
        """Hand its events on to `put`."""
        self._thread = threading.Thread(target=self._read, args=(put,), name="second probe", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """Let go of it."""
        self._stop.set()
        if self._thread is not None and self._thread is not threading.current_thread():
            self._thread.join(timeout=5.0)

    def _read(self, put: Callable[[Event], None]) -> None:
        said = False
        for event in events_of(self.source, self._stop):
            if not isinstance(event, Action):
                event = placed(event, self.place)
            said = isinstance(event, ProbeTrouble) and event.code == "ended"
            put(event)
        if not said and not self._stop.is_set():
            put(placed(ended(self.source), self.place))


def secondary_of(setup: MeltSetup, clock: Clock) -> Secondary | None:
    """Return the second thermometer of a melt, not yet read; None when it has none of its own.

    Raises
    ------
    FixableError
        It cannot be read beside the first one; the text says what to do.
    """
    beside = setup.beside
    if beside is None or not beside.source:
        return None
    return Secondary(open_beside(beside, setup.source, clock), beside.place)
