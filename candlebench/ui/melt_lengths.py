"""How long each practice melt takes, worked out in a thread of its own while the list is looked at."""

import threading
from collections.abc import Iterable

from PySide6.QtCore import QObject, Signal

from candlebench.core.events import ActionKind
from candlebench.practice.scenario import Scenario
from candlebench.practice.whole_melt import whole_melt

# Finer readings change the length by seconds.
EVERY_S = 5.0


def length_s(scenario: Scenario, stop: threading.Event) -> float | None:
    """Return the seconds until a maker who does everything in time has poured; None when stopped before."""
    at_s = 0.0
    for row in whole_melt(scenario, every_s=EVERY_S):
        if stop.is_set():
            return None
        at_s = row.elapsed_s
        if row.did == ActionKind.POURED.value:
            break
    return at_s


class MeltLengths(QObject):
    """Emits `found` with a scenario's name and its length in seconds. `known` is filled and used again."""

    found = Signal(str, float)

    def __init__(self, known: dict[str, float], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._known = known
        self._stop = threading.Event()
        self._thread: threading.Thread | None = None

    def look(self, scenarios: Iterable[Scenario]) -> None:
        """Begin to work them out, in this order."""
        self.stop()
        wanted = [scenario for scenario in scenarios if scenario.name not in self._known]
        if wanted:
            self._stop = threading.Event()
            self._thread = threading.Thread(
                target=self._work, args=(wanted, self._stop), name="practice lengths", daemon=True
            )
            self._thread.start()

    def stop(self) -> None:
        """Leave what is not worked out yet."""
        self._stop.set()
        if self._thread is not None:
            self._thread.join()
            self._thread = None

    def _work(self, wanted: list[Scenario], stop: threading.Event) -> None:
        for scenario in wanted:
            seconds = length_s(scenario, stop)
            if seconds is None:
                return
            self._known[scenario.name] = seconds
            self.found.emit(scenario.name, seconds)
