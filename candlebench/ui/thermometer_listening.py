"""Listening to an unknown thermometer in a thread, and letting go of its port meanwhile."""

import logging
import threading
from collections.abc import Callable
from contextlib import suppress
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from candlebench.core.clock import LiveClock
from candlebench.core.errors import CandlebenchError
from candlebench.core.units import Shown
from candlebench.thermometers.finding import COMMON_BAUDS, EACH_S, Heard, best, hear_speeds
from candlebench.thermometers.serial_port import SerialPlug
from candlebench.thermometers.wire import NotConnectedError, Wire
from candlebench.words import tr

if TYPE_CHECKING:
    from candlebench.ui.main_window import MainWindow

log = logging.getLogger(__name__)

# Opening a port that is slow to answer takes a second or two.
_JOIN_S = 3.0


class Listening(QObject):
    """Listens to one port at a time. Its signals come in the window's thread.

    `tries` carries the speed that is listened at now, `heard` a `Heard` after each, `failed` a sentence;
    `ended` comes last, unless it was stopped.
    """

    tries = Signal(int)
    heard = Signal(object)
    failed = Signal(str)
    ended = Signal()

    def __init__(
        self, parent: QObject, bauds: tuple[int, ...] = COMMON_BAUDS, each_s: float = EACH_S
    ) -> None:
        super().__init__(parent)
        self._bauds, self._each_s = bauds, each_s
        self._stop = threading.Event()
        self._thread: threading.Thread | None = None

    @property
    def is_on(self) -> bool:
        """Whether a port is listened to."""
        return self._thread is not None and self._thread.is_alive() and not self._stop.is_set()

    def start(self, path: str, first: int = 0) -> None:
        """Listen to a port at one speed after another, at `first` before the others."""
        self.stop()
        self._stop = stop = threading.Event()
        bauds = tuple(sorted(self._bauds, key=lambda baud: baud != first))
        self._thread = threading.Thread(
            target=self._listen, args=(path, bauds, stop), name="listening", daemon=True
        )
        self._thread.start()

    def stop(self) -> None:
        """Listen no more; the port is free when this returns."""
        self._stop.set()
        if self._thread is not None:
            self._thread.join(_JOIN_S)
            self._thread = None

    def _listen(self, path: str, bauds: tuple[int, ...], stop: threading.Event) -> None:
        def open_at(baud: int) -> Wire:
            self._tell(stop, self.tries, baud)
            return SerialPlug(path, baud).connect(stop)

        try:
            for heard in hear_speeds(open_at, LiveClock(), stop, bauds, self._each_s):
                self._tell(stop, self.heard, heard)
        except NotConnectedError as error:
            self._tell(stop, self.failed, error.text)
        except Exception:
            log.exception("listening failed")
            self._tell(stop, self.failed, tr("Listening failed inside the program: see the log file."))
        self._tell(stop, self.ended)

    def _tell(self, stop: threading.Event, signal: "Signal", *what: object) -> None:
        # What is still said after a stop has nobody to hear it; the page may be gone.
        if not stop.is_set():
            with suppress(RuntimeError):
                signal.emit(*what)  # type: ignore[attr-defined]


def heard_words(heard: list[Heard], shown: Shown, read: str = "", chosen: str = "") -> str:
    """Return what was found out, with what to do next, in one or two sentences.

    Parameters
    ----------
    heard : list of Heard
        What came at each speed.
    shown : Shown
    read : str
        What stands on the button to press when it is right.
    chosen : str
        The one of several probes that is chosen for her, in words; '' when she has to choose.
    """
    read = read or tr("Read from it")
    found = best(heard)
    if found is not None and found.is_understood and found.temp_c is not None:
        return tr("It says {temp}, at {baud} baud. If that is right, press “{read}”.").format(
            temp=shown.temp(found.temp_c), baud=found.baud, read=read
        )
    if found is not None and chosen:
        return tr(
            "It sends {count} probes, at {baud} baud. Chosen below is “{chosen}”: if that is right, press "
            "“{read}”."
        ).format(count=len(found.channels), baud=found.baud, chosen=chosen, read=read)
    if found is not None:
        return tr("Its speed is {baud} baud. {advice}").format(baud=found.baud, advice=found.advice)
    with_lines = [one for one in heard if one.lines]
    if not with_lines:
        return tr(
            "Nothing came at any speed. Is it switched on? One that only answers when asked speaks Modbus or "
            "SCPI: choose that above."
        )
    if all(one.trouble == "garbled" for one in with_lines):
        return tr("Only garbled signs came, at every usual speed: its handbook or sketch tells its speed.")
    return with_lines[-1].advice or tr("No temperature was found in its lines, which are shown below.")


def let_go(window: "MainWindow") -> Callable[[], None]:
    """Let go of the running melt's port; the melt goes on, and what is returned takes the port again."""
    workshop = window.workshop
    runner = workshop.runner
    if runner is None:
        return lambda: None
    address = runner.session.melt.setup.source
    meanwhile = workshop.change_source("typed:", window.hob.take)

    def take_again() -> None:
        # She may have begun something else, or finished, in between.
        if workshop.runner is meanwhile and not meanwhile.session.melt.finished:
            try:
                workshop.change_source(address, window.hob.take)
            except CandlebenchError as error:
                window.messages.say(str(error))

    return take_again
