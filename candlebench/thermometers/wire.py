"""The seam between a stream of bytes and what is made of it: serial ports and network sockets look alike.

    Plug      knows where a thermometer is plugged in; opens a Wire, also after the device has moved
    Wire      an open stream: read, write, close
    Talker    what is said and heard over it (lines of text, Modbus, SCPI); knows no port and no thread

`wired_source.WiredSource` joins a plug and a talker to a `ThermometerSource`.
"""

import threading
from typing import Protocol

from candlebench.core.events import SourceEvent
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.recent_lines import RecentLine

# Five looks at `stop` a second are promised; ten make the last reading of a quiet wire pass sooner.
READ_TIMEOUT_S = 0.1
MOST_BYTES_AT_ONCE = 65536


class WireLostError(Exception):
    """The stream has ended: the plug was pulled or the peer hung up."""


class NotConnectedError(Exception):
    """The stream cannot be opened now.

    Attributes
    ----------
    code : str
        As in `ProbeTrouble`: 'missing', 'busy' or 'permission'.
    text : str
        One sentence that says what to do.
    """

    def __init__(self, code: str, text: str) -> None:
        super().__init__(text)
        self.code = code
        self.text = text


class Wire(Protocol):
    """An open stream of bytes. Each call may raise `WireLostError`."""

    def read(self) -> bytes:
        """Return what has come, b"" when nothing came for `READ_TIMEOUT_S`."""
        ...

    def write(self, data: bytes) -> None:
        """Send; what the other end does not take in a moment is dropped."""
        ...

    def close(self) -> None:
        """Let go of it; never raises."""
        ...


class Plug(Protocol):
    """Where a thermometer is connected."""

    @property
    def label(self) -> str:
        """Where it is now, for people: '/dev/ttyUSB0', '192.168.1.20:502'."""
        ...

    def connect(self, stop: threading.Event) -> Wire:
        """Open the stream. Raises `NotConnectedError`; gives up at once when `stop` is set."""
        ...

    def gone_words(self) -> str:
        """One sentence for a stream that has just ended."""
        ...


class Talker(Protocol):
    """What is said and heard over one wire. It goes by the melt's clock and does no I/O."""

    @property
    def channels(self) -> tuple[str, ...]:
        """Names of the channels seen, for the person to choose from."""
        ...

    def recent_lines(self) -> list[RecentLine]:
        """Return the last lines, the newest last; called from another thread."""
        ...

    def use(self, settings: LineSettings) -> None:
        """Read what comes in another way from now on."""
        ...

    def reopened(self) -> None:
        """The wire was opened (again): what waits belongs to the past."""
        ...

    def say(self) -> bytes:
        """Return what is to be sent now; b"" for nothing."""
        ...

    def hear(self, data: bytes) -> list[SourceEvent]:
        """Take what came, which may be nothing, and return what is to be passed on.

        Called at least ten times a second, as time passes only by these calls.
        """
        ...
