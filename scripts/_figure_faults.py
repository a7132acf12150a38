"""How soon a thermometer's faults are said and got over, timed on real pseudo-terminals and sockets.

The faults are those of tests/thermometers/test_faults.py. `scripts/figures_thermometers` prints it.
"""

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass

from _figure_line import Figure
from wires import Listening, Printing, PtyDevice, TcpDevice, listening

from candlebench.addresses import open_source
from candlebench.core.clock import LiveClock
from candlebench.core.events import ProbeTrouble, Reading
from candlebench.thermometers.line_listener import LineListener
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.modbus_frames import crc16
from candlebench.thermometers.serial_port import PortInfo, SerialPlug
from candlebench.thermometers.wired_source import WiredSource

SAID_WITHIN_S, BACK_WITHIN_S = 3.0, 5.0
Act = Callable[[], None]


@dataclass(frozen=True, slots=True)
class Fault:
    """`begin` brings it about, `end` takes it away; `code` is the trouble it has to be said as."""

    name: str
    code: str
    begin: Act
    end: Act


def fault_figures() -> Iterator[Figure]:
    """Every fault in turn, each with a source of its own, at a reading a second."""
    for make in (_quiet, _garbage, _unplugged, _peer_gone, _peer_reset):
        with make() as (heard, fault):
            yield _timed(heard, fault)
    for name, code, answer in (
        ("Modbus: no answer", "silent", lambda asked: b""),
        ("Modbus: exception reply", "refused", lambda asked: _rtu(b"\x01\x84\x02")),
        ("Modbus: wrong check sum", "garbled", lambda asked: _thermometer(asked)[:-1] + b"\0"),
        ("Modbus: another device's answer", "silent", lambda asked: _rtu(b"\x02\x04\x02\x02\x00")),
        ("Modbus: broken sensor", "fault", lambda asked: _rtu(b"\x01\x04\x02\x7f\xff")),
    ):
        with _answering("modbus:{path}?scale=0.1", _thermometer, answer, name, code) as (heard, fault):
            yield _timed(heard, fault)
    for name, code, answer in (
        ("SCPI: no answer", "silent", lambda asked: b""),
        ("SCPI: overload", "fault", lambda asked: b"9.9E37\n"),
        ("SCPI: half an answer for ever", "silent", lambda asked: b"6"),
    ):
        with _answering("scpi:{path}", lambda asked: b"63.5\n", answer, name, code) as (heard, fault):
            yield _timed(heard, fault)


def _timed(heard: Listening, fault: Fault) -> Figure:
    for _ in range(5):
        heard.reading()
    fault.begin()
    trouble = heard.trouble(fault.code)
    last_s = max(
        e.elapsed_s for e in heard.heard if isinstance(e, Reading) and e.elapsed_s <= trouble.elapsed_s
    )
    said_s = trouble.elapsed_s - last_s
    fault.end()
    ended_s = time.monotonic()
    heard.reading()
    back_s = time.monotonic() - ended_s
    doubled = [e.code for e in heard.heard if isinstance(e, ProbeTrouble)].count(fault.code) - 1
    return Figure(
        fault.name,
        f"said {said_s:.1f} s after the last number, read again {back_s:.1f} s after its end",
        f"said <= {SAID_WITHIN_S:g} s, read again <= {BACK_WITHIN_S:g} s, said once",
        said_s <= SAID_WITHIN_S and back_s <= BACK_WITHIN_S and doubled == 0,
    )


@contextmanager
def _lines(device: PtyDevice | TcpDevice, address: str) -> Iterator[tuple[Listening, Printing]]:
    printing = Printing(device.send, every_s=1.0)
    with listening(open_source(address)) as heard:
        yield heard, printing
    printing.pause()
    device.unplug()


@contextmanager
def _quiet() -> Iterator[tuple[Listening, Fault]]:
    device = PtyDevice()
    with _lines(device, f"serial:{device.path}") as (heard, printing):
        yield heard, Fault("lines: silence", "silent", printing.pause, printing.go_on)


@contextmanager
def _garbage() -> Iterator[tuple[Listening, Fault]]:
    device = PtyDevice()
    stop = threading.Event()

    def shout() -> None:
        while not stop.wait(0.1):
            device.send(bytes((k * 91) % 128 + 128 for k in range(30)) + b"\x00\x1c\n")

    thread = threading.Thread(target=shout, name="garbage")
    with _lines(device, f"serial:{device.path}") as (heard, printing):

        def begin() -> None:
            printing.pause()
            thread.start()

        def end() -> None:
            stop.set()
            thread.join()
            device.send(b"\r\n")
            printing.go_on()

        yield heard, Fault("lines: garbage of a wrong speed", "garbled", begin, end)


@contextmanager
def _unplugged() -> Iterator[tuple[Listening, Fault]]:
    first, second = PtyDevice(), PtyDevice()
    ports = [PortInfo(first.path, "bridge", "maker", "A1", 0x1A86, 0x7523)]
    printing, clock = Printing(first.send, every_s=1.0), LiveClock()
    plug = SerialPlug(first.path, 9600, lambda: list(ports))

    def begin() -> None:
        printing.pause()
        ports.clear()
        first.unplug()

    def end() -> None:
        ports.append(PortInfo(second.path, "bridge", "maker", "A1", 0x1A86, 0x7523))
        printing.go_on(second.send)

    with listening(WiredSource(plug, LineListener(LineSettings(), clock), clock)) as heard:
        yield heard, Fault("lines: unplugged, back under another name", "unplugged", begin, end)
    printing.pause()
    second.unplug()


def _peer_gone() -> AbstractContextManager[tuple[Listening, Fault]]:
    return _vanishing("TCP: the peer hangs up and comes back", reset=False)


def _peer_reset() -> AbstractContextManager[tuple[Listening, Fault]]:
    return _vanishing("TCP: the connection is reset", reset=True)


@contextmanager
def _vanishing(name: str, *, reset: bool) -> Iterator[tuple[Listening, Fault]]:
    device = TcpDevice()
    with _lines(device, device.path) as (heard, printing):

        def begin() -> None:
            printing.pause()
            device.switch_off(reset=reset)

        def end() -> None:
            device.switch_on()
            printing.go_on()

        yield heard, Fault(name, "unplugged", begin, end)


@contextmanager
def _answering(
    address: str, well: Callable[[bytes], bytes], ill: Callable[[bytes], bytes], name: str, code: str
) -> Iterator[tuple[Listening, Fault]]:
    device = PtyDevice(well)

    def begin() -> None:
        device.answer = ill

    def end() -> None:
        device.answer = well

    with listening(open_source(address.format(path=device.path))) as heard:
        yield heard, Fault(name, code, begin, end)
    device.unplug()


def _rtu(body: bytes) -> bytes:
    return body + crc16(body).to_bytes(2, "little")


def _thermometer(asked: bytes) -> bytes:
    return _rtu(b"\x01\x04\x02\x02\x7b")
