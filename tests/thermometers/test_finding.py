"""An unknown thermometer is listened to at the usual speeds until its lines make sense."""

import threading
from pathlib import Path

import pytest
from wires import Printing, PtyDevice

from candlebench.core.clock import LiveClock
from candlebench.thermometers.finding import Heard, best, hear_speeds, sensor_files
from candlebench.thermometers.serial_port import PortInfo, SerialPlug, lasting_path
from candlebench.thermometers.wire import NotConnectedError, Wire


class Board:
    """A board that speaks at one speed; at any other its signs come as garbage, over another terminal."""

    def __init__(self, baud: int, line: str) -> None:
        self._devices = {True: PtyDevice(), False: PtyDevice()}
        self._baud = baud
        garbage = bytes(range(160, 190)) + b"\x1c\n"
        self._printing = [
            Printing(self._devices[True].send, 0.05, line),
            Printing(lambda _: self._devices[False].send(garbage), 0.05),
        ]
        self.opened: list[int] = []

    def open_at(self, baud: int) -> Wire:
        self.opened.append(baud)
        return SerialPlug(self._devices[baud == self._baud].path, baud, list).connect(threading.Event())

    def switch_off(self) -> None:
        for printing in self._printing:
            printing.pause()
        for device in self._devices.values():
            device.unplug()


def listened(board: Board, bauds: tuple[int, ...]) -> list[Heard]:
    try:
        return list(hear_speeds(board.open_at, LiveClock(), threading.Event(), bauds, each_s=3.0))
    finally:
        board.switch_off()


def test_the_speed_at_which_lines_make_sense_is_proposed() -> None:
    board = Board(115200, "Temp F: {n:.2f}\r\n")
    heard = listened(board, (9600, 115200, 19200))
    assert board.opened == [9600, 115200]
    assert [one.trouble for one in heard] == ["garbled", ""]
    found = best(heard)
    assert found is not None and found.query() == {"baud": "115200"}
    # 60 degrees Fahrenheit are 15.6 degrees Celsius.
    assert found.temp_c == pytest.approx(15.6, abs=0.2)
    assert any(line.text.startswith("Temp F: 6") and "°C" in line.read_as for line in found.lines)


def test_a_board_with_two_probes_is_legible_and_names_them() -> None:
    heard = listened(Board(9600, "T1:{n:.2f};T2:21.50\r\n"), (9600, 115200))
    found = best(heard)
    assert found is not None and found.channels == ("T1", "T2")
    assert found.trouble == "undecided" and not found.is_understood


def test_where_nothing_can_be_read_nothing_is_proposed() -> None:
    heard = listened(Board(9600, "{n:.2f}\r\n"), (1200, 2400))
    assert best(heard) is None and [one.readings for one in heard] == [0, 0]


def test_a_port_that_is_not_there_says_what_to_do() -> None:
    def open_at(baud: int) -> Wire:
        return SerialPlug("/dev/not-there", baud, list).connect(threading.Event())

    with pytest.raises(NotConnectedError, match="plug it in"):
        list(hear_speeds(open_at, LiveClock(), threading.Event()))


def test_thermometers_of_the_kernel_are_listed(tmp_path: Path) -> None:
    wanted = ["bus/w1/devices/28-0123/w1_slave", "class/hwmon/hwmon0/temp1_input"]
    for name in [*wanted, "class/hwmon/hwmon0/temp1_max", "bus/w1/devices/w1_bus_master1/w1_slave"]:
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("1\n", encoding="utf-8")
    assert sensor_files(tmp_path) == [tmp_path / name for name in wanted]


def test_a_usb_device_is_remembered_by_the_name_that_lasts(tmp_path: Path) -> None:
    device = tmp_path / "ttyUSB0"
    device.touch()
    links = tmp_path / "by-id"
    links.mkdir()
    (links / "usb-maker_bridge_A1-if00-port0").symlink_to(device)
    (links / "usb-maker_bridge_B2-if00-port0").symlink_to(tmp_path / "ttyUSB1")
    port = PortInfo(str(device), "bridge", "maker", "A1", 1, 2)
    assert lasting_path(port, links) == str(links / "usb-maker_bridge_A1-if00-port0")
    # Two devices of one kind without a serial number share such a name in turn.
    assert lasting_path(PortInfo(str(device), "bridge", "maker", "", 1, 2), links) == str(device)
    assert lasting_path(PortInfo(str(device), vid=None), links) == str(device)
    assert lasting_path(port, tmp_path / "not-there") == str(device)
