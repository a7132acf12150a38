"""A thermometer on a real pseudo-terminal that is carried from bath to bath in fast time."""

import math
import threading
from collections.abc import Callable
from contextlib import suppress

from pytestqt.qtbot import QtBot
from wires import PATIENCE_S, PtyDevice

from candlebench.addresses import open_source
from candlebench.core.clock import Clock, ScaledClock
from candlebench.thermometers.source import ThermometerSource
from candlebench.ui.check_page import CheckPage
from candlebench.ui.check_shop import CheckShop
from candlebench.ui.main_window import MainWindow
from candlebench.ui.theme import LIGHT, Theme

# Half a minute of standing still passes in a second and a half.
SPEED = 20.0
PATIENT_MS = 20_000
EVERY_S = 0.02


class Carried:
    """A probe of first order that prints tenths, wherever it is put."""

    def __init__(self, bath_c: float, tau_s: float = 2.0) -> None:
        self.bath_c, self.tau_s = bath_c, tau_s
        self._temp_c = bath_c
        self.device = PtyDevice()
        self._clock = ScaledClock(SPEED)
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._print, name="carried")
        self._thread.start()

    @property
    def address(self) -> str:
        return f"serial:{self.device.path}?baud=9600"

    def put_into(self, bath_c: float) -> None:
        """Carry it to another bath."""
        self.bath_c = bath_c

    def _print(self) -> None:
        last_s = self._clock.elapsed_s()
        while not self._stop.wait(EVERY_S):
            now_s = self._clock.elapsed_s()
            self._temp_c += (self.bath_c - self._temp_c) * (1.0 - math.exp(-(now_s - last_s) / self.tau_s))
            last_s = now_s
            with suppress(OSError):
                self.device.send(f"{self._temp_c:.1f}\r\n".encode())

    def unplug(self) -> None:
        """Pull the plug."""
        self._stop.set()
        self._thread.join(PATIENCE_S)
        self.device.unplug()


def fast_opener(address: str, clock: Clock) -> ThermometerSource:
    return open_source(address, clock=clock)


def fast_page(window: MainWindow, qtbot: QtBot) -> CheckPage:
    """The page as the window makes it, but with a clock that runs fast."""
    shop = CheckShop(window.workshop, window.change_settings)
    page = CheckPage(shop, fast_opener, lambda: None, lambda: ScaledClock(SPEED))
    qtbot.addWidget(page)
    page.use(Theme(LIGHT))
    page.resize(1280, 700)
    page.show()
    return page


def until(qtbot: QtBot, done: Callable[[], bool]) -> None:
    qtbot.waitUntil(done, timeout=PATIENT_MS)
