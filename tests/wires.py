"""Real wires for tests: pseudo-terminals, sockets, devices that answer, a source in a thread."""

import os
import queue
import select
import socket
import struct
import threading
import tty
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress

from candlebench.core.clock import LiveClock
from candlebench.core.events import Action, ProbeTrouble, Reading, Refused, SourceEvent
from candlebench.thermometers.modbus_frames import crc16
from candlebench.thermometers.source import ThermometerSource

# For a machine with other work to do; reached only when a test fails.
PATIENCE_S = 10.0
Answering = Callable[[bytes], bytes]


def says_nothing(asked: bytes) -> bytes:
    """A device that does not answer."""
    return b""


def modbus_two(asked: bytes) -> bytes:
    """A device with 70.5 in register 0 and 91.5 in register 2, in tenths (frames: MODBUS V1.1b3, 6.4)."""
    words = {0: 705, 2: 915}
    frame = asked[:1] + bytes([4, 2]) + words[int.from_bytes(asked[2:4], "big")].to_bytes(2, "big")
    return frame + crc16(frame).to_bytes(2, "little")


class PtyDevice:
    """A device on a pseudo-terminal, its port named `path`. It says what `answer` makes of what it hears."""

    def __init__(self, answer: Answering = says_nothing) -> None:
        self.master, self._slave = os.openpty()
        tty.setraw(self._slave)
        self.path = os.ttyname(self._slave)
        self.answer = answer
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._serve, name="device")
        self._thread.start()

    def _serve(self) -> None:
        while not self._stop.is_set():
            if select.select([self.master], [], [], 0.02)[0]:
                with suppress(OSError):
                    self.send(self.answer(os.read(self.master, 4096)))

    def send(self, data: bytes) -> None:
        """Say something unasked."""
        while data:
            data = data[os.write(self.master, data) :]

    def unplug(self) -> None:
        """Pull the plug; the port is gone. Does nothing the second time."""
        if not self._stop.is_set():
            self._stop.set()
            self._thread.join(PATIENCE_S)
            os.close(self.master)
            os.close(self._slave)


class Printing:
    """A device that says a number by itself, each a hundredth higher, so that none can pass twice unseen."""

    def __init__(
        self, send: Callable[[bytes], None], every_s: float = 0.1, line: str = "{n:.2f}\r\n"
    ) -> None:
        self.sent: list[float] = []
        self._send = send
        self._every_s = every_s
        self._line = line
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._print, name="printing")
        self._thread.start()

    def _print(self) -> None:
        while not self._stop.wait(self._every_s):
            number = round(60.0 + len(self.sent) / 100.0, 2)
            self.sent.append(number)
            with suppress(OSError):
                self._send(self._line.format(n=number).encode())

    def pause(self) -> None:
        """Say nothing more."""
        self._stop.set()
        self._thread.join(PATIENCE_S)

    def go_on(self, send: Callable[[bytes], None] | None = None) -> None:
        """Go on where it stopped, perhaps over another wire."""
        self._send = send or self._send
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._print, name="printing")
        self._thread.start()


@contextmanager
def printing_board(line: str) -> Iterator[PtyDevice]:
    """A board that prints a line ten times a second, `{n}` in it counting up from 60 as in `Printing`."""
    device = PtyDevice()
    printing = Printing(device.send, 0.1, line)
    try:
        yield device
    finally:
        printing.pause()
        device.unplug()


class TcpDevice:
    """A device in the network, on this machine. It takes one connection at a time."""

    def __init__(self, answer: Answering = says_nothing) -> None:
        self.answer = answer
        self.port = 0
        self._client: socket.socket | None = None
        self._stop = threading.Event()
        self._thread = threading.Thread(target=lambda: None)
        self.switch_on()

    @property
    def path(self) -> str:
        """As in an address."""
        return f"tcp:127.0.0.1:{self.port}"

    def switch_on(self) -> None:
        """Listen, again at the same port."""
        self._stop = threading.Event()
        listener = socket.socket()
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind(("127.0.0.1", self.port))
        listener.listen()
        self.port = listener.getsockname()[1]
        self._thread = threading.Thread(target=self._serve, args=(listener,), name="device")
        self._thread.start()

    def switch_off(self, *, reset: bool = False) -> None:
        """Hang up and listen no more; with `reset` without the usual farewell."""
        client = self._client
        if client is not None and reset:
            client.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
        self._stop.set()
        self._thread.join(PATIENCE_S)

    def _serve(self, listener: socket.socket) -> None:
        with listener:
            while not self._stop.is_set():
                if select.select([listener], [], [], 0.02)[0]:
                    client, _ = listener.accept()
                    with client, suppress(OSError):
                        self._talk(client)
                    self._client = None

    def _talk(self, client: socket.socket) -> None:
        self._client = client
        while not self._stop.is_set():
            if select.select([client], [], [], 0.02)[0]:
                asked = client.recv(4096)
                if not asked:
                    return
                client.sendall(self.answer(asked))

    def send(self, data: bytes) -> None:
        """Say something unasked, once somebody has called."""
        clock = LiveClock()
        pause = threading.Event()
        while self._client is None:
            assert clock.elapsed_s() < PATIENCE_S
            pause.wait(0.01)
        self._client.sendall(data)

    def unplug(self) -> None:
        """Switch it off for good."""
        self.switch_off()


class NullModem:
    """Two ports, joined: what goes into one comes out of the other."""

    def __init__(self) -> None:
        self._ends = [os.openpty() for _ in range(2)]
        for _, slave in self._ends:
            tty.setraw(slave)
        self.paths = [os.ttyname(slave) for _, slave in self._ends]
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._join, name="null modem")
        self._thread.start()

    def _join(self) -> None:
        first, second = (master for master, _ in self._ends)
        other = {first: second, second: first}
        while not self._stop.is_set():
            for ready in select.select([first, second], [], [], 0.02)[0]:
                os.write(other[ready], os.read(ready, 4096))

    def unplug(self) -> None:
        """Pull both plugs."""
        self._stop.set()
        self._thread.join(PATIENCE_S)
        for pair in self._ends:
            for end in pair:
                os.close(end)


class Listening:
    """A source that runs in a thread, its events in a queue."""

    def __init__(self, source: ThermometerSource) -> None:
        self.source = source
        self.stop = threading.Event()
        self.events: queue.Queue[SourceEvent | Action] = queue.Queue()
        self.heard: list[SourceEvent | Action] = []
        self._thread = threading.Thread(target=self._pump, name="source")
        self._thread.start()

    def _pump(self) -> None:
        for event in self.source.events(self.stop):
            self.heard.append(event)
            self.events.put(event)

    def _next(self, is_it: Callable[[SourceEvent | Action], bool]) -> SourceEvent | Action:
        clock = LiveClock()
        while True:
            event = self.events.get(timeout=max(0.0, PATIENCE_S - clock.elapsed_s()))
            if is_it(event):
                return event

    def reading(self) -> Reading:
        """Wait for the next reading, whatever else comes before it."""
        event = self._next(lambda event: isinstance(event, Reading))
        assert isinstance(event, Reading)
        return event

    def reads(self, temp_c: float) -> Reading:
        """Wait until this temperature is read."""
        event = self._next(lambda event: isinstance(event, Reading) and abs(event.temp_c - temp_c) < 0.005)
        assert isinstance(event, Reading)
        return event

    def trouble(self, code: str) -> ProbeTrouble:
        """Wait for this trouble; readings, refusals and other troubles may come before it."""
        event = self._next(lambda event: isinstance(event, ProbeTrouble) and event.code == code)
        assert isinstance(event, ProbeTrouble)
        return event

    def refused(self) -> Refused:
        """Wait for what is refused next."""
        event = self._next(lambda event: isinstance(event, Refused))
        assert isinstance(event, Refused)
        return event

    def troubles(self) -> list[str]:
        """The codes of all that was said so far."""
        return [event.code for event in self.heard if isinstance(event, ProbeTrouble)]

    def end(self) -> None:
        """Stop it; it has to obey."""
        self.stop.set()
        self._thread.join(PATIENCE_S)
        assert not self._thread.is_alive()


@contextmanager
def listening(source: ThermometerSource) -> Iterator[Listening]:
    """Run a source, and stop it whatever happens."""
    one = Listening(source)
    try:
        yield one
    finally:
        one.end()
