"""From the runner's thread to the window: one object, never faster than can be drawn."""

import time
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

if TYPE_CHECKING:
    from candlebench.runner import Moment

# About ten pictures a second are smooth for a melt and leave the machine alone.
EVERY_S = 0.1


class Bridge(QObject):
    """Give `take` to a `Runner`; connect `state_changed` (a MeltState) and `noticed` (a tuple of Notice)."""

    state_changed = Signal(object)
    noticed = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._shown_s = 0.0
        self._waiting = False

    def take(self, moment: "Moment") -> None:
        """Called in the runner's thread; the signals arrive in the window's."""
        now_s = time.monotonic()
        if moment.notices:
            self.noticed.emit(moment.notices)
        if moment.notices or now_s - self._shown_s >= EVERY_S:
            self._shown_s = now_s
            self.state_changed.emit(moment.melt.state)
