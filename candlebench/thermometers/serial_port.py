"""A thermometer on a serial port: opened, lost and found again. No other module imports serial."""

import errno
import os
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

import serial
from serial.tools import list_ports as pyserial_ports

from candlebench.core.clock import Clock
from candlebench.core.events import ProbeTrouble, SourceEvent
from candlebench.thermometers.line_listener import LineListener, RecentLine
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.serial_address import SerialAddress, read_address
from candlebench.words import tr

# Five looks at `stop` a second are promised; ten make the last reading of a quiet wire pass sooner.
READ_TIMEOUT_S = 0.1
RETRY_S = 0.5
# After a plug went in, the system takes a moment to set its permissions; nothing is said of them before.
SETTLING_S = 3.0
_MOST_BYTES_AT_ONCE = 65536

# pyserial raises TypeError when the device vanishes between two of its calls.
_LOST: tuple[type[Exception], ...] = (OSError, TypeError)
if sys.platform != "win32":
    # A port that has gone makes the terminal layer fail with an error of its own.
    import termios

    _LOST = (OSError, TypeError, termios.error)
_NOT_OPENED: tuple[type[Exception], ...] = (*_LOST, ValueError)


@dataclass(frozen=True, slots=True)
class PortInfo:
    """One serial port.

    Attributes
    ----------
    path : str
        '/dev/ttyUSB0' or 'COM3'.
    name : str
        What the system calls the device; may be empty.
    maker, serial_number : str
        As stored in the device; may be empty.
    vid, pid : int or None
        USB numbers of maker and product; None for a port that is no USB device.
    """

    path: str
    name: str = ""
    maker: str = ""
    serial_number: str = ""
    vid: int | None = None
    pid: int | None = None


class OpenPort(Protocol):
    """What this module needs of an open port."""

    @property
    def in_waiting(self) -> int: ...

    def read(self, size: int = 1, /) -> bytes: ...

    def close(self) -> None: ...


Opener = Callable[[str, int], OpenPort]
Lister = Callable[[], list[PortInfo]]


def list_ports(include_internal: bool = False) -> list[PortInfo]:
    """Return the ports of this machine, USB ones first.

    Parameters
    ----------
    include_internal : bool
        List also ports of the main board that are no USB devices, most of which lead nowhere.
    """
    found = [
        PortInfo(
            port.device,
            port.product or (port.description if port.description not in (None, "n/a") else ""),
            port.manufacturer or "",
            port.serial_number or "",
            port.vid,
            port.pid,
        )
        for port in pyserial_ports.comports()
    ]
    found.sort(key=lambda port: (port.vid is None, port.path))
    return [port for port in found if include_internal or not _is_internal(port)]


def open_port(path: str, baud: int) -> OpenPort:
    """Open a port for this program alone, 8 data bits, no parity.

    Raises
    ------
    OSError
        As pyserial does, with `errno` where the system gave one.
    ValueError
        The speed is none that this port can have.
    """
    opened: OpenPort = serial.serial_for_url(path, baudrate=baud, timeout=READ_TIMEOUT_S, exclusive=True)
    return opened


def serial_source(address_path: str, query: dict[str, str], clock: Clock) -> "SerialSource":
    """Return the source for `serial:PATH?baud=..&channel=..&unit=..&scale=..`.

    Raises
    ------
    FixableError
        No path, a key that means nothing, or a value that cannot be.
    """
    return SerialSource(read_address(address_path, query), clock)


class SerialSource:
    """A `ThermometerSource` that reads lines of text from a serial port, and waits for it when it is gone.

    Parameters
    ----------
    address : SerialAddress
        Path, speed and what the person said about the lines.
    clock : Clock
        The melt's clock.
    lister, opener : callable
        How ports are listed and opened.
    """

    def __init__(
        self,
        address: SerialAddress,
        clock: Clock,
        lister: Lister = lambda: list_ports(include_internal=True),
        opener: Opener = open_port,
    ) -> None:
        self.label = address.path
        self.clock = clock
        self._address = address
        self._path = address.path
        self._lister = lister
        self._opener = opener
        self._identity: PortInfo | None = None
        self._trouble = ""
        self._lost_s = float("-inf")
        self._new_settings: LineSettings | None = None
        self._listener = LineListener(address.settings, clock)

    @property
    def channels(self) -> tuple[str, ...]:
        """Names of the channels seen, for the person to choose from."""
        return self._listener.channels

    def recent_lines(self) -> list[RecentLine]:
        """Return the last raw lines with how each was read, the newest last, at most 200."""
        return self._listener.recent_lines()

    def use(self, settings: LineSettings) -> None:
        """Read the lines in another way from now on; the port stays open, as opening resets many boards."""
        self._new_settings = settings

    def events(self, stop: threading.Event) -> Iterator[SourceEvent]:
        """Yield readings and troubles until `stop` is set. A lost port is looked for every half second."""
        while not stop.is_set():
            port = self._try_to_open()
            if isinstance(port, ProbeTrouble):
                if port.code != self._trouble:
                    self._trouble = port.code
                    yield port
                stop.wait(RETRY_S)
                continue
            if port is None:
                stop.wait(RETRY_S)
                continue
            try:
                if self._trouble:
                    self._trouble = ""
                    yield self._say("back", tr("The thermometer at {path} is back.").format(path=self._path))
                yield from self._until_lost(port, stop)
            finally:
                with suppress(*_LOST):
                    port.close()

    def _until_lost(self, port: OpenPort, stop: threading.Event) -> Iterator[SourceEvent]:
        self._listener.reopened()
        while not stop.is_set():
            try:
                data = port.read(max(1, min(port.in_waiting, _MOST_BYTES_AT_ONCE)))
            except _LOST:
                self._trouble = "unplugged"
                self._lost_s = self.clock.elapsed_s()
                yield self._say(
                    "unplugged",
                    tr("The thermometer at {path} is gone: plug it in again.").format(path=self._path),
                )
                return
            if self._new_settings is not None:
                settings, self._new_settings = self._new_settings, None
                self._listener = self._listener.with_settings(settings)
            yield from self._listener.hear(data)

    def _try_to_open(self) -> OpenPort | ProbeTrouble | None:
        """Open the port where it is now. None while it has to settle after it came back."""
        path = self._find()
        if path is None:
            return self._cannot_open(FileNotFoundError(errno.ENOENT, self._path))
        try:
            # Asked before opening: a port that other programs hold is still listed.
            identity = next((port for port in self._lister() if same_path(port.path, path)), None)
            opened = self._opener(path, self._address.baud)
        except _NOT_OPENED as error:
            return self._cannot_open(error)
        self._path = path
        self.label = path
        self._identity = identity or self._identity
        return opened

    def _find(self) -> str | None:
        if self._identity is None or self._identity.vid is None:
            return self._path
        return find_again(self._identity, self._path, self._lister())

    def _cannot_open(self, error: Exception) -> ProbeTrouble | None:
        code, text = _explain(error, self._path, self._address.baud)
        if self._trouble == "unplugged":
            settling = self.clock.elapsed_s() - self._lost_s < SETTLING_S
            if code == "missing" or settling:
                return None
        return self._say(code, text)

    def _say(self, code: str, text: str) -> ProbeTrouble:
        now_s = self.clock.elapsed_s()
        return ProbeTrouble(now_s, self.clock.wall_s(now_s), code, text)


def find_again(lost: PortInfo, path: str, ports: list[PortInfo]) -> str | None:
    """Return where a USB port is now, or None while it is not plugged in.

    The same device under another name is followed; another device under the same name is not taken for it.
    Without a serial number, two devices of one kind cannot be told apart: then only the old name counts.
    """
    same = [
        port
        for port in ports
        if (port.vid, port.pid, port.serial_number) == (lost.vid, lost.pid, lost.serial_number)
    ]
    if any(same_path(port.path, path) for port in same):
        return path
    if len(same) == 1 or (same and lost.serial_number):
        return same[0].path
    return None


def same_path(one: str, other: str) -> bool:
    """Whether two paths lead to one device; names under /dev/serial are links."""
    return one == other or os.path.realpath(one) == os.path.realpath(other)


def _is_internal(port: PortInfo) -> bool:
    return port.vid is None and Path(port.path).name.startswith(("ttyS", "ttyAMA", "ttymxc"))


def _explain(error: Exception, path: str, baud: int) -> tuple[str, str]:
    """Return the trouble's code and one sentence that says what to do."""
    number = getattr(error, "errno", None)
    words = str(error)
    if isinstance(error, ValueError):
        return "missing", tr("{path} cannot be set to {baud} baud: choose another speed.").format(
            path=path, baud=baud
        )
    # On Windows a port in use answers with a refusal, and pyserial passes on nothing but its words.
    in_use = number in (errno.EBUSY, errno.EAGAIN, errno.EWOULDBLOCK) or "PermissionError(13" in words
    if in_use:
        return "busy", tr("{path} is in use by another program: close that one.").format(path=path)
    if number in (errno.EACCES, errno.EPERM):
        return "permission", tr(
            "No permission to use {path}: run “sudo usermod -aG dialout $USER”, then log out and in again."
        ).format(path=path)
    if number in (errno.ENOTTY, errno.EINVAL, errno.EISDIR) or "Could not configure port" in words:
        return "missing", tr("{path} is no serial port: choose another one.").format(path=path)
    return "missing", tr("No thermometer at {path}: plug it in or choose another port.").format(path=path)
