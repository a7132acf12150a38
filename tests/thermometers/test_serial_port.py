"""The serial source on real pseudo-terminals: reading, losing and finding the port, floods, refusals."""

import errno
import os
import queue
import threading
import tty
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Protocol

import pytest
import serial
from hand_clock import HandClock

from candlebench.core.clock import LiveClock
from candlebench.core.errors import FixableError
from candlebench.core.events import ProbeTrouble, Reading, Refused, SourceEvent
from candlebench.thermometers.line_listener import QUIET_S, LineListener
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.serial_address import SerialAddress
from candlebench.thermometers.serial_port import (
    OpenPort,
    PortInfo,
    SerialSource,
    find_again,
    list_ports,
    open_port,
    serial_source,
)

# For a machine with other work to do; reached only when a test fails.
PATIENCE_S = 10.0


class Pty:
    """A wire: what is written to the master comes out of the port named `path`."""

    def __init__(self) -> None:
        self.master, self._slave = os.openpty()
        tty.setraw(self._slave)
        self.path = os.ttyname(self._slave)

    def send(self, data: bytes) -> None:
        while data:
            data = data[os.write(self.master, data) :]

    def unplug(self) -> None:
        for end in (self.master, self._slave):
            with suppress(OSError):
                os.close(end)
        self.master = self._slave = -1


class Listening:
    """A source that runs in a thread, its events in a queue."""

    def __init__(self, source: SerialSource) -> None:
        self.source = source
        self.stop = threading.Event()
        self.events: queue.Queue[SourceEvent] = queue.Queue()
        self._thread = threading.Thread(target=self._pump, name="serial source")
        self._thread.start()

    def _pump(self) -> None:
        for event in self.source.events(self.stop):
            self.events.put(event)

    def next(self, kind: type[SourceEvent] | tuple[type[SourceEvent], ...] = Reading) -> SourceEvent:
        while True:
            event = self.events.get(timeout=PATIENCE_S)
            if isinstance(event, kind):
                return event

    def reading(self) -> float:
        event = self.next()
        assert isinstance(event, Reading)
        return round(event.temp_c, 3)

    def trouble(self) -> ProbeTrouble:
        event = self.next(ProbeTrouble)
        assert isinstance(event, ProbeTrouble)
        return event

    def end(self) -> list[SourceEvent]:
        self.stop.set()
        self._thread.join(PATIENCE_S)
        assert not self._thread.is_alive()
        return [self.events.get_nowait() for _ in range(self.events.qsize())]


class Opener:
    """pyserial's opener, which also tells when it has opened the port."""

    def __init__(self) -> None:
        self.opened: queue.Queue[str] = queue.Queue()

    def __call__(self, path: str, baud: int) -> OpenPort:
        port = open_port(path, baud)
        self.opened.put(path)
        return port


class Listen(Protocol):
    """How a test starts a source."""

    def __call__(self, path: str, opener: Opener, channel: str | None = None) -> Listening: ...


@pytest.fixture
def wire() -> Iterator[Pty]:
    pty = Pty()
    yield pty
    pty.unplug()


@pytest.fixture(autouse=True)
def leaves_no_file_open() -> Iterator[None]:
    before = set(Path("/proc/self/fd").iterdir())
    yield
    assert {path for path in Path("/proc/self/fd").iterdir() if path.exists()} - before == set()


@pytest.fixture
def run(leaves_no_file_open: None) -> Iterator[Callable[[SerialSource], Listening]]:
    """Runs sources and stops what a failing test leaves."""
    running: list[Listening] = []

    def start(source: SerialSource) -> Listening:
        running.append(Listening(source))
        return running[-1]

    yield start
    for one in running:
        one.end()


@pytest.fixture
def listen(run: Callable[[SerialSource], Listening]) -> Listen:
    """Runs a source on a path, without any list of ports."""

    def start(path: str, opener: Opener, channel: str | None = None) -> Listening:
        return run(SerialSource(SerialAddress(path, 9600, LineSettings(channel)), LiveClock(), list, opener))

    return start


def test_lines_on_a_wire_become_readings(wire: Pty, listen: Listen) -> None:
    opener = Opener()
    heard = listen(wire.path, opener)
    opener.opened.get(timeout=PATIENCE_S)
    wire.send(b"x\r\n63.5\r\n")
    assert heard.reading() == 63.5
    for piece in (b"6", b"3.", b"62\r", b"\n"):
        wire.send(piece)
    assert heard.reading() == 63.62
    assert heard.source.label == wire.path
    # The first line may have been a part, and shows as such beside the others.
    assert [line.text for line in heard.source.recent_lines()] == ["x", "63.5", "63.62"]
    assert [isinstance(event, Reading) for event in heard.end()] == []


def test_readings_carry_the_time_of_the_melt(wire: Pty, run: Callable[[SerialSource], Listening]) -> None:
    clock = LiveClock(from_elapsed_s=1000.0)
    opener = Opener()
    heard = run(SerialSource(SerialAddress(wire.path), clock, list, opener))
    opener.opened.get(timeout=PATIENCE_S)
    before_s = clock.elapsed_s()
    wire.send(b"x\r\n63.5\r\n")
    reading = heard.next()
    assert before_s <= reading.elapsed_s <= clock.elapsed_s()
    assert reading.wall_s == pytest.approx(clock.wall_s(reading.elapsed_s), abs=1.0)
    heard.end()


def test_stopping_takes_less_than_a_fifth_of_a_second_on_a_quiet_wire(wire: Pty, listen: Listen) -> None:
    opener = Opener()
    heard = listen(wire.path, opener)
    opener.opened.get(timeout=PATIENCE_S)
    clock = LiveClock()
    heard.end()
    assert clock.elapsed_s() < 0.2


def test_a_stream_without_line_ends_is_read_by_its_pauses(wire: Pty, listen: Listen) -> None:
    opener = Opener()
    heard = listen(wire.path, opener, channel="1")
    opener.opened.get(timeout=PATIENCE_S)
    wire.send(b"4.00 1: 17 63.50 ")
    # The part that came first is dropped at the first pause.
    assert _wait_for_line(heard, "4.00 1: 17 63.50 ")
    wire.send(b"1: 18 63.50 ")
    assert heard.reading() == 63.5
    wire.send(b"1: 19 63.62 ")
    assert heard.reading() == 63.62
    heard.end()


def _wait_for_line(heard: Listening, text: str) -> bool:
    clock = LiveClock()
    pause = threading.Event()
    while all(line.text.strip() != text.strip() for line in heard.source.recent_lines()):
        assert clock.elapsed_s() < PATIENCE_S
        pause.wait(0.01)
    return True


def test_a_port_pulled_out_and_put_in_under_another_name_is_found_again(
    run: Callable[[SerialSource], Listening],
) -> None:
    first, second = Pty(), Pty()
    usb = PortInfo(first.path, "bridge", "maker", "A1", 0x1A86, 0x7523)
    plugged = [usb]
    opener = Opener()
    source = SerialSource(SerialAddress(first.path), LiveClock(), lambda: list(plugged), opener)
    heard = run(source)
    opener.opened.get(timeout=PATIENCE_S)
    first.send(b"x\r\n63.5\r\n")
    assert heard.reading() == 63.5
    plugged.clear()
    first.unplug()
    assert heard.trouble().code == "unplugged"
    plugged.append(PortInfo(second.path, "bridge", "maker", "A1", 0x1A86, 0x7523))
    back = heard.trouble()
    assert back.code == "back" and second.path in back.text
    second.send(b"x\r\n63.1\r\n")
    assert heard.reading() == 63.1
    assert source.label == second.path
    assert [event for event in heard.end() if isinstance(event, ProbeTrouble)] == []
    second.unplug()


def test_a_port_without_usb_numbers_is_waited_for_at_its_path(tmp_path: Path, listen: Listen) -> None:
    first, second = Pty(), Pty()
    link = tmp_path / "thermometer"
    link.symlink_to(first.path)
    opener = Opener()
    heard = listen(str(link), opener)
    opener.opened.get(timeout=PATIENCE_S)
    link.unlink()
    first.unplug()
    assert heard.trouble().code == "unplugged"
    link.symlink_to(second.path)
    assert heard.trouble().code == "back"
    second.send(b"x\r\n63.1\r\n")
    assert heard.reading() == 63.1
    heard.end()
    second.unplug()


def test_after_it_came_back_a_sensor_that_has_not_measured_yet_is_not_believed(
    tmp_path: Path, listen: Listen
) -> None:
    first, second = Pty(), Pty()
    link = tmp_path / "thermometer"
    link.symlink_to(first.path)
    opener = Opener()
    heard = listen(str(link), opener)
    opener.opened.get(timeout=PATIENCE_S)
    first.send(b"x\r\n84.5\r\n")
    assert heard.reading() == 84.5
    link.unlink()
    first.unplug()
    assert heard.trouble().code == "unplugged"
    link.symlink_to(second.path)
    assert heard.trouble().code == "back"
    second.send(b"x\r\n85.00\r\n84.2\r\n")
    assert heard.reading() == 84.2
    heard.end()
    second.unplug()


@pytest.mark.parametrize(
    ("ports", "found"),
    [
        ([PortInfo("/dev/ttyUSB0", "", "", "A1", 1, 2)], "/dev/ttyUSB0"),
        ([PortInfo("/dev/ttyUSB1", "", "", "A1", 1, 2)], "/dev/ttyUSB1"),
        # Another device has taken the old name.
        ([PortInfo("/dev/ttyUSB0", "", "", "B2", 1, 2)], None),
        (
            [PortInfo("/dev/ttyUSB0", "", "", "", 9, 9), PortInfo("/dev/ttyUSB1", "", "", "A1", 1, 2)],
            "/dev/ttyUSB1",
        ),
        ([], None),
    ],
)
def test_a_usb_port_is_known_by_its_numbers(ports: list[PortInfo], found: str | None) -> None:
    lost = PortInfo("/dev/ttyUSB0", "", "", "A1", 1, 2)
    assert find_again(lost, "/dev/ttyUSB0", ports) == found


def test_two_devices_of_one_kind_without_serial_numbers_are_not_confused() -> None:
    lost = PortInfo("/dev/ttyUSB0", "", "", "", 1, 2)
    twins = [PortInfo("/dev/ttyUSB1", "", "", "", 1, 2), PortInfo("/dev/ttyUSB2", "", "", "", 1, 2)]
    assert find_again(lost, "/dev/ttyUSB0", twins) is None
    assert find_again(lost, "/dev/ttyUSB0", twins[:1]) == "/dev/ttyUSB1"


def test_a_missing_port_is_said_once_and_waited_for(tmp_path: Path, wire: Pty, listen: Listen) -> None:
    link = tmp_path / "thermometer"
    opener = Opener()
    heard = listen(str(link), opener)
    missing = heard.trouble()
    assert missing.code == "missing" and str(link) in missing.text and "plug it in" in missing.text
    link.symlink_to(wire.path)
    # The next trouble is already that it is there: 'missing' was not said again.
    assert heard.trouble().code == "back"
    heard.end()


def test_a_trouble_that_stays_is_said_once(run: Callable[[SerialSource], Listening]) -> None:
    tries: queue.Queue[str] = queue.Queue()

    def refuse(path: str, baud: int) -> OpenPort:
        tries.put(path)
        raise serial.SerialException(errno.EACCES, "no permission")

    heard = run(SerialSource(SerialAddress("/dev/ttyUSB0"), LiveClock(), list, refuse))
    for _ in range(3):
        tries.get(timeout=PATIENCE_S)
    assert [event.code for event in heard.end() if isinstance(event, ProbeTrouble)] == ["permission"]


def test_a_port_in_use_by_another_program_is_said(wire: Pty, listen: Listen) -> None:
    with serial.serial_for_url(wire.path, exclusive=True):
        heard = listen(wire.path, Opener())
        busy = heard.trouble()
        assert busy.code == "busy" and "another program" in busy.text
    assert heard.trouble().code == "back"
    heard.end()


@pytest.mark.parametrize(
    ("number", "code", "words"),
    [
        (errno.EACCES, "permission", "sudo usermod -aG dialout $USER"),
        (errno.EBUSY, "busy", "in use by another program"),
        (errno.ENOENT, "missing", "plug it in"),
        (errno.EIO, "missing", "plug it in"),
        (errno.ENOTTY, "missing", "no serial port"),
    ],
)
def test_what_the_system_refuses_becomes_a_sentence_that_helps(
    number: int, code: str, words: str, run: Callable[[SerialSource], Listening]
) -> None:
    def refuse(path: str, baud: int) -> OpenPort:
        raise serial.SerialException(number, f"could not open port {path}: {os.strerror(number)}")

    heard = run(SerialSource(SerialAddress("/dev/ttyUSB0"), LiveClock(), list, refuse))
    trouble = heard.trouble()
    assert trouble.code == code and words in trouble.text
    heard.end()


def test_a_file_that_is_no_port_is_said(tmp_path: Path, listen: Listen) -> None:
    (tmp_path / "notes.txt").write_text("63.5\n", encoding="utf-8")
    heard = listen(str(tmp_path / "notes.txt"), Opener())
    assert "no serial port" in heard.trouble().text
    heard.end()


def test_garbage_of_a_wrong_speed_is_said_once_and_never_read(wire: Pty, listen: Listen) -> None:
    opener = Opener()
    heard = listen(wire.path, opener)
    opener.opened.get(timeout=PATIENCE_S)
    garbage = bytes(range(128, 256)) + b"\n"
    for _ in range(20):
        wire.send(garbage)
    trouble = heard.trouble()
    assert trouble.code == "garbled" and "baud" in trouble.text
    wire.send(b"\r\n63.5\r\n")
    events = [heard.next((Reading, ProbeTrouble)) for _ in range(2)]
    assert isinstance(events[0], ProbeTrouble) and events[0].code == "back"
    assert isinstance(events[1], Reading) and events[1].temp_c == 63.5
    heard.end()


def test_several_channels_are_named_and_one_can_be_chosen_while_the_wire_runs(
    wire: Pty, listen: Listen
) -> None:
    opener = Opener()
    heard = listen(wire.path, opener)
    opener.opened.get(timeout=PATIENCE_S)
    wire.send(b"x\r\n" + b"T1:63.5;T2:21.5\r\n" * 5)
    trouble = heard.trouble()
    assert trouble.code == "undecided" and "T1, T2" in trouble.text
    assert heard.source.channels == ("T1", "T2")
    heard.source.use(LineSettings(channel="T1"))
    event: SourceEvent | None = None
    while not isinstance(event, Reading):
        wire.send(b"T1:63.6;T2:21.5\r\n")
        with suppress(queue.Empty):
            event = heard.events.get(timeout=0.05)
            assert isinstance(event, Reading) or (isinstance(event, ProbeTrouble) and event.code == "back")
    assert round(event.temp_c, 3) == 63.6
    assert opener.opened.empty()
    heard.end()


def test_faults_are_passed_on_as_refused(wire: Pty, listen: Listen) -> None:
    opener = Opener()
    heard = listen(wire.path, opener)
    opener.opened.get(timeout=PATIENCE_S)
    wire.send(b"x\r\nMAX6675 test\r\nC = nan\r\n")
    refused = heard.next((Refused, Reading))
    assert isinstance(refused, Refused)
    assert refused.text == "C = nan" and "fault" in refused.why
    heard.end()


def test_a_flood_passes_at_most_twenty_readings_a_second_and_keeps_up(wire: Pty, listen: Listen) -> None:
    opener = Opener()
    heard = listen(wire.path, opener)
    opener.opened.get(timeout=PATIENCE_S)
    clock = LiveClock()
    for n in range(500):
        wire.send(b"".join(b"%.2f\r\n" % (60 + n / 100) for _ in range(100)))
    wire.send(b"70.25\r\n")
    temps = [heard.reading()]
    while temps[-1] != 70.25:
        temps.append(heard.reading())
    assert len(temps) <= 20 * clock.elapsed_s() + 1
    assert temps == sorted(temps)
    assert len(heard.source.recent_lines()) <= 200
    heard.end()


def test_a_line_that_begins_after_a_quiet_moment_is_whole() -> None:
    clock = HandClock()
    listener = LineListener(LineSettings(), clock)
    listener.reopened()
    clock.now_s = QUIET_S
    (reading,) = listener.hear(b"63.5\r\n")
    assert isinstance(reading, Reading) and reading.temp_c == 63.5
    listener.reopened()
    assert listener.hear(b"3.5\r\n") == []


def test_of_many_readings_at_once_the_latest_is_passed() -> None:
    clock = HandClock()
    listener = LineListener(LineSettings(), clock)
    listener.reopened()
    listener.hear(b"x\n")
    passed = []
    for n in range(1000):
        clock.now_s = n / 1000
        passed += [
            event.temp_c for event in listener.hear(b"%.3f\n" % (60 + n / 1000)) if isinstance(event, Reading)
        ]
    assert len(passed) == 20
    clock.now_s += 0.05
    (last,) = listener.hear(b"")
    assert isinstance(last, Reading) and last.temp_c == 60.999


def test_a_board_with_whole_tenths_is_told_to_have_its_scale_chosen() -> None:
    clock = HandClock()
    listener = LineListener(LineSettings(), clock)
    listener.reopened()
    events = listener.hear(b"x\n" + b"temp:635 hum:43\n" * 5)
    (trouble,) = [event for event in events if isinstance(event, ProbeTrouble)]
    assert trouble.code == "undecided" and "scale" in trouble.text


def test_an_address_gives_a_source() -> None:
    source = serial_source(
        "/dev/ttyUSB0", {"baud": "115200", "channel": "melt", "unit": "f", "scale": "0.1"}, LiveClock()
    )
    assert source.label == "/dev/ttyUSB0"
    assert source._address == SerialAddress("/dev/ttyUSB0", 115200, LineSettings("melt", "F", 0.1))


@pytest.mark.parametrize(
    ("path", "query", "words"),
    [
        ("", {}, "Name the port"),
        ("/dev/ttyUSB0", {"speed": "9600"}, "speed"),
        ("/dev/ttyUSB0", {"baud": "fast"}, "baud=fast"),
        ("/dev/ttyUSB0", {"baud": "0"}, "baud=0"),
        ("/dev/ttyUSB0", {"baud": "99999999999"}, "baud=99999999999"),
        ("/dev/ttyUSB0", {"unit": "R"}, "unit=R"),
        ("/dev/ttyUSB0", {"scale": "0"}, "scale=0"),
        ("/dev/ttyUSB0", {"scale": "nan"}, "scale=nan"),
        ("/dev/ttyUSB0", {"scale": "ten"}, "scale=ten"),
    ],
)
def test_an_impossible_address_says_what_to_write(path: str, query: dict[str, str], words: str) -> None:
    with pytest.raises(FixableError, match=words):
        serial_source(path, query, LiveClock())


def test_ports_of_the_main_board_are_hidden_until_asked_for() -> None:
    few, all_ports = list_ports(), list_ports(include_internal=True)
    assert set(few) <= set(all_ports)
    assert [port.path for port in few if "/ttyS" in port.path and port.vid is None] == []
