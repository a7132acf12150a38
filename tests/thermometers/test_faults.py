"""Each fault on a real pseudo-terminal or socket: said honestly within three seconds, and got over by itself.

Readings are numbered by their value, so that one lost or doubled shows.
"""

import threading
import tracemalloc
from collections.abc import Iterator

import pytest
import serial
from wires import Listening, Printing, PtyDevice, TcpDevice, listening

from candlebench.addresses import open_source
from candlebench.core.clock import LiveClock
from candlebench.core.events import ProbeTrouble, Reading
from candlebench.thermometers.asker import Asker
from candlebench.thermometers.line_listener import LineListener
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.modbus_frames import RtuQuestion, crc16
from candlebench.thermometers.modbus_point import ModbusPoint
from candlebench.thermometers.serial_port import PortInfo, SerialPlug
from candlebench.thermometers.wired_source import WiredSource

HONEST_S = 3.0
Device = PtyDevice | TcpDevice


@pytest.fixture(params=["serial", "network"])
def device(request: pytest.FixtureRequest) -> Iterator[Device]:
    one: Device = PtyDevice() if request.param == "serial" else TcpDevice()
    yield one
    one.unplug()


@pytest.fixture
def printing(device: Device) -> Iterator[Printing]:
    one = Printing(device.send)
    yield one
    one.pause()


def address(device: Device, kind: str = "") -> str:
    """Of lines of text, or of another kind, from this device."""
    if isinstance(device, TcpDevice):
        return f"{kind}:{device.path}" if kind else device.path
    return f"{kind or 'serial'}:{device.path}"


def readings(heard: Listening) -> list[Reading]:
    return [event for event in heard.heard if isinstance(event, Reading)]


def honest(heard: Listening, trouble: ProbeTrouble) -> bool:
    """Whether the trouble came soon after the last number before it."""
    last_s = max(event.elapsed_s for event in readings(heard) if event.elapsed_s <= trouble.elapsed_s)
    return trouble.elapsed_s - last_s <= HONEST_S


def assert_none_doubled_none_out_of_order(heard: Listening) -> None:
    temps = [event.temp_c for event in readings(heard)]
    assert temps == sorted(set(temps))
    times = [event.elapsed_s for event in heard.heard]
    assert times == sorted(times)


def settle(heard: Listening, count: int = 12) -> None:
    """Hear some readings, so that the pace is known."""
    for _ in range(count):
        heard.reading()


def test_every_line_that_a_device_says_is_passed_once(device: Device, printing: Printing) -> None:
    with listening(open_source(address(device))) as heard:
        settle(heard, 20)
        printing.pause()
        device.send(b"99.0\r\n")
        heard.reads(99.0)
    *temps, _ = [event.temp_c for event in readings(heard)]
    assert temps == [temp_c for temp_c in printing.sent if temp_c >= temps[0]]


def test_silence_is_said_and_is_over_with_the_next_number(device: Device, printing: Printing) -> None:
    with listening(open_source(address(device))) as heard:
        settle(heard)
        printing.pause()
        trouble = heard.trouble("silent")
        assert honest(heard, trouble) and "cable" in trouble.text
        printing.go_on()
        heard.trouble("back")
        settle(heard)
    assert heard.troubles() == ["silent", "back"]
    assert_none_doubled_none_out_of_order(heard)


def test_garbage_of_a_wrong_speed_is_said_and_got_over(device: Device, printing: Printing) -> None:
    with listening(open_source(address(device))) as heard:
        settle(heard)
        printing.pause()
        # What 115200 baud looks like at 9600 (from memory): high bits, control signs, rarely a line end.
        for n in range(40):
            device.send(bytes((n * 37 + k * 91) % 128 + 128 for k in range(30)) + b"\x00\x1c\n")
        assert "baud" in heard.trouble("garbled").text
        device.send(b"\r\n")
        printing.go_on()
        heard.trouble("back")
        settle(heard)
    assert_none_doubled_none_out_of_order(heard)
    assert all(event.temp_c in printing.sent for event in readings(heard))


def test_half_a_line_for_ever_is_said_and_never_read(device: Device, printing: Printing) -> None:
    with listening(open_source(address(device))) as heard:
        settle(heard)
        printing.pause()
        stop = threading.Event()

        def trickle() -> None:
            while not stop.wait(0.05):
                device.send(b"7")

        thread = threading.Thread(target=trickle, name="trickle")
        thread.start()
        trouble = heard.trouble("silent")
        stop.set()
        thread.join()
        assert honest(heard, trouble)
        device.send(b"\r\n")
        printing.go_on()
        heard.trouble("back")
        settle(heard)
    assert_none_doubled_none_out_of_order(heard)
    assert all(event.temp_c in printing.sent for event in readings(heard))


def test_a_flood_of_ten_thousand_lines_a_second_takes_no_memory_and_keeps_its_order(device: Device) -> None:
    with listening(open_source(address(device))) as heard:
        device.send(b"x\r\n")
        tracemalloc.start()
        for n in range(300):
            device.send(b"".join(b"%.3f\r\n" % (50 + (100 * n + k) / 1000) for k in range(100)))
        device.send(b"90.5\r\n")
        heard.reads(90.5)
        _, most = tracemalloc.get_traced_memory()
        tracemalloc.stop()
    assert most < 3_000_000
    temps = [event.temp_c for event in readings(heard)]
    assert temps == sorted(temps)
    assert heard.troubles() == []


def test_the_banner_of_a_board_that_starts_anew_is_no_trouble(device: Device, printing: Printing) -> None:
    with listening(open_source(address(device))) as heard:
        settle(heard)
        printing.pause()
        device.send(b"\r\n\x00\xffets Jun  8 2016 00:22:57\r\nrst:0x1 (POWERON_RESET),boot:0x13\r\n")
        device.send(b"MAX6675 test v1.2\r\nC = nan\r\n85.00\r\n")
        printing.go_on()
        settle(heard)
    assert heard.troubles() == []
    assert_none_doubled_none_out_of_order(heard)
    assert all(event.temp_c in printing.sent for event in readings(heard))


def test_a_port_that_another_program_holds_is_said_and_taken_when_free() -> None:
    device = PtyDevice()
    with serial.serial_for_url(device.path, exclusive=True):
        heard = Listening(open_source(f"serial:{device.path}"))
        assert "another program" in heard.trouble("busy").text
    heard.trouble("back")
    device.send(b"x\r\n63.5\r\n")
    heard.reads(63.5)
    heard.end()
    device.unplug()


@pytest.mark.parametrize("reset", [False, True], ids=["farewell", "reset"])
def test_a_device_in_the_network_that_vanishes_is_said_and_called_again(reset: bool) -> None:
    device = TcpDevice()
    printing = Printing(device.send)
    with listening(open_source(device.path)) as heard:
        settle(heard)
        printing.pause()
        device.switch_off(reset=reset)
        trouble = heard.trouble("unplugged")
        assert honest(heard, trouble) and "network" in trouble.text
        device.switch_on()
        printing.go_on()
        heard.trouble("back")
        settle(heard)
    assert heard.troubles() == ["unplugged", "back"]
    assert_none_doubled_none_out_of_order(heard)
    printing.pause()
    device.unplug()


def test_a_device_in_the_network_that_is_not_there_is_said_once() -> None:
    device = TcpDevice()
    device.switch_off()
    with listening(open_source(device.path)) as heard:
        assert "takes no connection" in heard.trouble("missing").text
        device.switch_on()
        heard.trouble("back")
    assert heard.troubles() == ["missing", "back"]
    device.unplug()


def test_a_gateway_that_hangs_up_at_once_is_not_said_to_be_back_and_gone_again_and_again() -> None:
    device = TcpDevice()
    device.switch_off()
    # Takes each call and soon hangs up, as a gateway does that serves another program.
    device._talk = lambda client: threading.Event().wait(0.3)  # type: ignore[method-assign,assignment]
    device.switch_on()
    clock = LiveClock()
    with listening(open_source(device.path)) as heard:
        heard.trouble("unplugged")
        while clock.elapsed_s() < 3.0:
            threading.Event().wait(0.05)
        assert heard.troubles() == ["unplugged"]
    device.unplug()


def test_stopping_takes_less_than_a_fifth_of_a_second_while_nobody_answers_the_call() -> None:
    # 192.0.2.0/24 belongs to nobody (RFC 5737); a machine without a network refuses at once.
    heard = Listening(open_source("tcp:192.0.2.1:4001"))
    clock = LiveClock()
    heard.end()
    assert clock.elapsed_s() < 0.3


def thermometer(asked: bytes) -> bytes:
    """A Modbus device, unit 1, that reads 63.5 in tenths."""
    body = b"\x01\x04\x02\x02\x7b"
    return body + crc16(body).to_bytes(2, "little") if asked[:2] == b"\x01\x04" else b""


def modbus_on(ports: list[PortInfo], path: str) -> WiredSource:
    clock = LiveClock()
    plug = SerialPlug(path, 9600, lambda: list(ports))
    return WiredSource(plug, Asker(RtuQuestion(ModbusPoint(scale=0.1)), 0.2, clock), clock)


def test_an_instrument_pulled_out_and_put_in_under_another_name_is_asked_again() -> None:
    first, second = PtyDevice(thermometer), PtyDevice(thermometer)
    ports = [PortInfo(first.path, "bridge", "maker", "A1", 0x1A86, 0x7523)]
    with listening(modbus_on(ports, first.path)) as heard:
        heard.reads(63.5)
        ports.clear()
        first.unplug()
        assert honest(heard, heard.trouble("unplugged"))
        ports.append(PortInfo(second.path, "bridge", "maker", "A1", 0x1A86, 0x7523))
        assert second.path in heard.trouble("back").text
        heard.reads(63.5)
    assert heard.troubles() == ["unplugged", "back"]
    second.unplug()


def test_lines_of_a_board_go_on_under_another_name_without_one_doubled() -> None:
    first, second = PtyDevice(), PtyDevice()
    ports = [PortInfo(first.path, "bridge", "maker", "A1", 0x1A86, 0x7523)]
    printing = Printing(first.send)
    clock = LiveClock()
    plug = SerialPlug(first.path, 9600, lambda: list(ports))
    with listening(WiredSource(plug, LineListener(LineSettings(), clock), clock)) as heard:
        settle(heard)
        printing.pause()
        ports.clear()
        first.unplug()
        assert honest(heard, heard.trouble("unplugged"))
        ports.append(PortInfo(second.path, "bridge", "maker", "A1", 0x1A86, 0x7523))
        printing.go_on(second.send)
        heard.trouble("back")
        settle(heard)
    assert heard.troubles() == ["unplugged", "back"]
    assert_none_doubled_none_out_of_order(heard)
    printing.pause()
    second.unplug()


@pytest.mark.parametrize(
    ("fault", "code"),
    [
        (lambda asked: b"", "silent"),
        (lambda asked: thermometer(asked)[:-1] + b"\0", "garbled"),
        (lambda asked: thermometer(asked)[:4], "garbled"),
        (lambda asked: bytes(range(128, 180)), "garbled"),
        (lambda asked: b"\x01\x84\x02\xc2\xc1", "refused"),
        # Unit 2 answers in unit 1's place, then the same with unit 1's numbers damaged.
        (lambda asked: _by_unit_2(), "silent"),
        (
            lambda asked: b"\x01\x04\x02\x7f\xff" + crc16(b"\x01\x04\x02\x7f\xff").to_bytes(2, "little"),
            "fault",
        ),
    ],
    ids=["silence", "check sum", "half an answer", "garbage", "exception", "another device", "broken sensor"],
)
def test_faults_of_a_modbus_device_are_said_and_got_over(fault, code: str) -> None:  # type: ignore[no-untyped-def]
    device = PtyDevice(thermometer)
    with listening(open_source(f"modbus:{device.path}?scale=0.1&every=0.5")) as heard:
        heard.reads(63.5)
        device.answer = fault
        assert honest(heard, heard.trouble(code))
        device.answer = thermometer
        heard.trouble("back")
        heard.reads(63.5)
    assert heard.troubles() == [code, "back"]
    assert {event.temp_c for event in readings(heard)} == {63.5}
    device.unplug()


def _by_unit_2() -> bytes:
    body = b"\x02\x04\x02\x02\x00"
    return body + crc16(body).to_bytes(2, "little")


def test_a_device_that_takes_nothing_in_does_not_hold_the_source_up() -> None:
    device = PtyDevice(thermometer)
    # Nobody reads at the other end, so that the port's memory fills with questions.
    device._stop.set()
    device._thread.join()
    with serial.serial_for_url(device.path, write_timeout=0) as filling:
        filling.write(b"?" * 8192)
    heard = Listening(open_source(f"modbus:{device.path}?every=0.1"))
    heard.trouble("silent")
    clock = LiveClock()
    heard.end()
    assert clock.elapsed_s() < 0.4
    device._stop.clear()
    device.unplug()


def test_a_wall_clock_that_steps_moves_no_reading() -> None:
    class Stepping(LiveClock):
        """The system's clock is set back by an hour, and forward, while the melt goes on."""

        offset_s = 0.0

        def wall_s(self, elapsed_s: float) -> float:
            return super().wall_s(elapsed_s) + self.offset_s

    device = PtyDevice()
    printing = Printing(device.send)
    clock = Stepping()
    with listening(
        WiredSource(SerialPlug(device.path, 9600, list), LineListener(LineSettings(), clock), clock)
    ) as heard:
        settle(heard, 5)
        clock.offset_s = -3600.0
        settle(heard, 5)
        clock.offset_s = 3600.0
        settle(heard, 5)
    assert heard.troubles() == []
    assert_none_doubled_none_out_of_order(heard)
    steps_s = [b.elapsed_s - a.elapsed_s for a, b in zip(readings(heard), readings(heard)[1:], strict=False)]
    assert max(steps_s) < 2.0
    printing.pause()
    device.unplug()
