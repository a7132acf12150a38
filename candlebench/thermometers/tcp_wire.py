"""A stream of bytes over the network. A peer that vanished without a word is found out by probes."""

import errno
import select
import socket
import threading
from contextlib import suppress

from candlebench.thermometers.wire import (
    MOST_BYTES_AT_ONCE,
    READ_TIMEOUT_S,
    NotConnectedError,
    WireLostError,
)
from candlebench.words import tr

CONNECT_TIMEOUT_S = 3.0
# After 2 s of silence the system asks every second whether the peer is there, and gives up after 3 questions.
_PROBES = (("TCP_KEEPIDLE", 2), ("TCP_KEEPINTVL", 1), ("TCP_KEEPCNT", 3), ("TCP_USER_TIMEOUT", 5000))


class TcpPlug:
    """A `Plug` for a device or a gateway in the network.

    Parameters
    ----------
    host : str
        Name or number; a name is looked up anew each time.
    port : int
    """

    def __init__(self, host: str, port: int) -> None:
        self._host = host
        self._port = port
        self.label = f"[{host}]:{port}" if ":" in host else f"{host}:{port}"

    def connect(self, stop: threading.Event) -> "TcpWire":
        """Call the peer; looks at `stop` ten times a second, but not while a name is looked up."""
        try:
            return TcpWire(_connected(self._host, self._port, stop))
        except OSError as error:
            raise NotConnectedError(*self._explain(error)) from error

    def gone_words(self) -> str:
        """What to say when the peer has just hung up."""
        return tr("The thermometer at {path} is gone: check its power and the network.").format(
            path=self.label
        )

    def _explain(self, error: OSError) -> tuple[str, str]:
        if isinstance(error, socket.gaierror):
            return "missing", tr("No device is called {host}: check the name, or write its number.").format(
                host=self._host
            )
        if error.errno == errno.ECONNREFUSED:
            return "missing", tr(
                "{host} takes no connection at port {port}: check it, and close other programs that use it."
            ).format(host=self._host, port=self._port)
        return "missing", tr(
            "No answer from {host}: check that it is switched on and in the same network."
        ).format(host=self._host)


class TcpWire:
    """A `Wire` over a connected socket."""

    def __init__(self, connected: socket.socket) -> None:
        self._socket = connected

    def read(self) -> bytes:
        """Return what has come, b"" after `READ_TIMEOUT_S` without anything."""
        try:
            if not select.select([self._socket], [], [], READ_TIMEOUT_S)[0]:
                return b""
            data = self._socket.recv(MOST_BYTES_AT_ONCE)
        except BlockingIOError:
            return b""
        except OSError as error:
            raise WireLostError from error
        if not data:
            raise WireLostError
        return data

    def write(self, data: bytes) -> None:
        """Send; what the peer does not take is dropped, as its silence speaks for itself."""
        try:
            with suppress(BlockingIOError):
                self._socket.send(data)
        except OSError as error:
            raise WireLostError from error

    def close(self) -> None:
        """Hang up."""
        with suppress(OSError):
            self._socket.close()


def _connected(host: str, port: int, stop: threading.Event) -> socket.socket:
    """Return a connected socket that does not block.

    Raises
    ------
    OSError
        As the system says; a time-out also when `stop` was set.
    """
    error: OSError = TimeoutError(errno.ETIMEDOUT, "no answer")
    for family, kind, protocol, _, address in socket.getaddrinfo(host, port, type=socket.SOCK_STREAM):
        one = socket.socket(family, kind, protocol)
        try:
            _prepare(one)
            _call(one, address, stop)
            return one
        except OSError as failed:
            one.close()
            error = failed
    raise error


def _prepare(one: socket.socket) -> None:
    one.setblocking(False)
    one.setsockopt(socket.SOL_SOCKET, socket.SO_KEEPALIVE, 1)
    one.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    for name, value in _PROBES:
        if hasattr(socket, name):
            one.setsockopt(socket.IPPROTO_TCP, getattr(socket, name), value)


def _call(
    one: socket.socket, address: tuple[str | int, ...] | tuple[int, bytes], stop: threading.Event
) -> None:
    number = one.connect_ex(address)
    if number not in (0, errno.EINPROGRESS, errno.EWOULDBLOCK):
        raise OSError(number, "not connected")
    for _ in range(round(CONNECT_TIMEOUT_S / READ_TIMEOUT_S)):
        # Windows tells a refusal by the third list.
        _, writable, failed = select.select([], [one], [one], READ_TIMEOUT_S)
        if writable or failed:
            number = one.getsockopt(socket.SOL_SOCKET, socket.SO_ERROR)
            if number:
                raise OSError(number, "not connected")
            return
        if stop.is_set():
            break
    raise TimeoutError(errno.ETIMEDOUT, "no answer")
