"""What a debrief learns only by folding its melt again: worked out in a thread, while the page is read."""

import threading
from collections.abc import Callable

from PySide6.QtCore import QObject, Signal

from candlebench.core.guesses import Outcome


class LaterGuesses(QObject):
    """Emits `judged` with a tuple of Outcome. Without a parent: a page may be gone before it is done.

    Parameters
    ----------
    judge : callable
        Returns the guesses beside the forecasts of their moments (`guesses.outcomes`), about a second each.
    """

    judged = Signal(object)

    def __init__(self, judge: Callable[[], tuple[Outcome, ...]]) -> None:
        super().__init__()
        self._judge = judge

    def start(self) -> None:
        """Begin; to be called once."""
        threading.Thread(target=self._work, name="debrief guesses", daemon=True).start()

    def _work(self) -> None:
        self.judged.emit(self._judge())
