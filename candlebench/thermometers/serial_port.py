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
from candlebench.core.events import SourceEvent
from candlebench.thermometers.line_listener import LineListener
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.recent_lines import RecentLine
from candlebench.thermometers.serial_address import SerialAddress, read_address
from candlebench.thermometers.serial_words import why_not_opened
from candlebench.thermometers.wire import (
    MOST_BYTES_AT_ONCE,
    READ_TIMEOUT_S,
    NotConnectedError,
    WireLostError,
)
from candlebench.thermometers.wired_source import WiredSource
from candlebench.words import tr

# A request of some ten bytes takes 0.01 s at 9600 baud.
WRITE_TIMEOUT_S = 0.15

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

    def write(self, data: bytes, /) -> int | None: ...

    def reset_output_buffer(self) -> None: ...

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


def lasting_path(port: PortInfo, links: Path = Path("/dev/serial/by-id")) -> str:
    """Return the name of a USB device that stays the same wherever and whenever it is plugged in.

    Linux makes it of maker, product and serial number. A device without a serial number, and any port on
    another system, has its present path only. To be kept in an address, so that the device is remembered.
    """
    if port.vid is None or not port.serial_number or not links.is_dir():
        return port.path
    return next((str(link) for link in sorted(links.iterdir()) if same_path(str(link), port.path)), port.path)


def open_port(path: str, baud: int) -> OpenPort:
    """Open a port for this program alone, 8 data bits, no parity.

    Raises
    ------
    OSError
        As pyserial does, with `errno` where the system gave one.
    ValueError
        The speed is none that this port can have.
    """
    opened: OpenPort = serial.serial_for_url(
        path, baudrate=baud, timeout=READ_TIMEOUT_S, write_timeout=WRITE_TIMEOUT_S, exclusive=True
    )
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
        self.clock = clock
        self._address = address
        plug = SerialPlug(address.path, address.baud, lister, opener)
        self._wired = WiredSource(plug, LineListener(address.settings, clock), clock)

    @property
    def label(self) -> str:
        return self._wired.label

    @property
    def channels(self) -> tuple[str, ...]:
        """Names of the channels seen, for the person to choose from."""
        return self._wired.channels

    def recent_lines(self) -> list[RecentLine]:
        """Return the last raw lines with how each was read, the newest last, at most 200."""
        return self._wired.recent_lines()

    def use(self, settings: LineSettings) -> None:
        """Read the lines in another way from now on; the port stays open, as opening resets many boards."""
        self._wired.use(settings)

    def events(self, stop: threading.Event) -> Iterator[SourceEvent]:
        """Yield readings and troubles until `stop` is set."""
        return self._wired.events(stop)


class SerialPlug:
    """A `Plug` for a serial port, which follows a USB device that comes back under another name.

    Parameters
    ----------
    path : str
        Where it was plugged in first.
    baud : int
    lister, opener : callable
        How ports are listed and opened.
    """

    def __init__(
        self,
        path: str,
        baud: int,
        lister: Lister = lambda: list_ports(include_internal=True),
        opener: Opener = open_port,
    ) -> None:
        self.label = path
        self._baud = baud
        self._lister = lister
        self._opener = opener
        self._identity: PortInfo | None = None

    def connect(self, stop: threading.Event) -> "SerialWire":
        """Open the port where it is now."""
        path = self._find()
        if path is None:
            raise self._not_opened(FileNotFoundError(errno.ENOENT, self.label))
        try:
            # Asked before opening: a port that other programs hold is still listed.
            identity = next((port for port in self._lister() if same_path(port.path, path)), None)
            opened = self._opener(path, self._baud)
        except _NOT_OPENED as error:
            raise self._not_opened(error) from error
        self.label = path
        self._identity = identity or self._identity
        return SerialWire(opened)

    def gone_words(self) -> str:
        """What to say when the port has just gone."""
        return tr("The thermometer at {path} is gone: plug it in again.").format(path=self.label)

    def _find(self) -> str | None:
        if self._identity is None or self._identity.vid is None:
            return self.label
        return find_again(self._identity, self.label, self._lister())

    def _not_opened(self, error: Exception) -> NotConnectedError:
        return NotConnectedError(*why_not_opened(error, self.label, self._baud))


class SerialWire:
    """A `Wire` over an open port."""

    def __init__(self, port: OpenPort) -> None:
        self._port = port

    def read(self) -> bytes:
        """Return what has come, b"" after `READ_TIMEOUT_S` without anything."""
        try:
            return self._port.read(max(1, min(self._port.in_waiting, MOST_BYTES_AT_ONCE)))
        except _LOST as error:
            raise WireLostError from error

    def write(self, data: bytes) -> None:
        """Send; what the device does not take is dropped, as its silence speaks for itself."""
        try:
            self._port.write(data)
        except serial.SerialTimeoutException:
            with suppress(*_LOST):
                self._port.reset_output_buffer()
        except _LOST as error:
            raise WireLostError from error

    def close(self) -> None:
        """Let go of the port."""
        with suppress(*_LOST):
            self._port.close()


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
