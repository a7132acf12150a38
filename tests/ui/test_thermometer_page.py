"""Choosing a thermometer, and seeing how its lines are read."""

import os
import threading
import tty
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton, QScrollArea
from pytestqt.qtbot import QtBot
from wires import PtyDevice, printing_board

from candlebench.addresses import open_source, parse_address
from candlebench.core.units import Shown
from candlebench.thermometers.finding import Heard
from candlebench.thermometers.serial_port import PortInfo, SerialPlug
from candlebench.ui.main_window import SMALLEST, MainWindow
from candlebench.ui.thermometer_listening import Listening, heard_words, let_go
from candlebench.ui.thermometer_page import PORTS_EVERY, ThermometerPage
from candlebench.ui.thermometer_places import port_words

from .pressing import press

BOARD = PortInfo("/dev/ttyUSB0", "USB serial", "A maker", "1234", 1, 2)


def make(qtbot: QtBot, ports: list[PortInfo], address: str = "") -> tuple[ThermometerPage, list[str]]:
    page = ThermometerPage(address, lambda: None, lambda: None, lambda internal: ports, list)
    qtbot.addWidget(page)
    page.show()
    sent: list[str] = []
    page.chosen.connect(sent.append)
    return page, sent


def test_a_port_is_named_with_what_is_known_of_it() -> None:
    assert port_words(BOARD) == "/dev/ttyUSB0, USB serial, A maker, number 1234"
    assert port_words(PortInfo("COM3")) == "COM3"


def test_the_chosen_port_and_speed_become_an_address(qtbot: QtBot) -> None:
    page, sent = make(qtbot, [BOARD, PortInfo("/dev/ttyACM0")])
    page.form._place.choose("/dev/ttyACM0")
    page.form.kinds.baud.choose("115200")
    press(page, "Read from it")
    assert sent == ["serial:/dev/ttyACM0?baud=115200"]


def test_nothing_plugged_in_is_said_and_cannot_be_chosen(qtbot: QtBot) -> None:
    page, sent = make(qtbot, [])
    assert "No thermometer is plugged in" in page.form._problem.text() and page.form._problem.isVisible()
    press(page, "Read from it")
    assert sent == []


def test_the_known_port_stays_to_choose_while_unplugged(qtbot: QtBot) -> None:
    page, _ = make(qtbot, [], "serial:/dev/ttyUSB7?baud=9600")
    assert "/dev/ttyUSB7 (not plugged in)" in page.form._place.currentText()


def test_unit_and_scale_are_added_to_the_address(qtbot: QtBot) -> None:
    page, sent = make(qtbot, [BOARD], "serial:/dev/ttyUSB0?baud=19200")
    page.form.lines.unit.choose("F")
    page.form.lines.scale.choose("0.1")
    press(page.form.lines, "Read them this way")
    assert sent == ["serial:/dev/ttyUSB0?baud=19200&unit=F&scale=0.1"]


@pytest.mark.parametrize("way", ["I type the numbers", "Practise"])
def test_the_other_ways_are_offered(qtbot: QtBot, way: str) -> None:
    page, _ = make(qtbot, [])
    with qtbot.waitSignal(page.way_chosen) as chosen:
        press(page, way)
    assert chosen.args[0] in ("typed", "practise")


def test_raw_lines_of_a_real_port_are_shown_with_how_they_were_read(window: MainWindow, qtbot: QtBot) -> None:
    far_end, near_end = os.openpty()
    try:
        tty.setraw(near_end)
        window.show_page("thermometer")
        page = window.pages.currentWidget()
        assert isinstance(page, ThermometerPage)
        window.doorway.use_port(f"serial:{os.ttyname(near_end)}?baud=9600")
        assert window.present_page == "thermometer", "she sees the lines before she leaves"

        def shown() -> bool:
            os.write(far_end, b"temp: 71.5 C\r\n")
            page.refresh()
            rows = range(page.form.lines.table.rowCount())
            return any(page.form.lines.table.item(r, 1).text().endswith("71.50 °C") for r in rows)

        qtbot.waitUntil(shown, timeout=5000)
        assert page.form.lines.table.item(0, 0).text() == "temp: 71.5 C"
        qtbot.keyClick(window, Qt.Key.Key_Escape)
        qtbot.waitUntil(lambda: window.present_page == "melt")
        qtbot.waitUntil(lambda: bool(window.melt_page.state and window.melt_page.state.temp_c == 71.5))
        assert not page._timer.isActive(), "nothing is refreshed behind the melt"
    finally:
        window.workshop.stop()
        os.close(far_end)
        os.close(near_end)


@pytest.fixture
def board() -> Iterator[PtyDevice]:
    """A board that prints 161.42 °F and its kin, with a label, ten times a second."""
    with printing_board("Probe1 Temp F: 1{n:.2f}\r\n") as device:
        yield device


def find(page: ThermometerPage, path: str) -> None:
    """What is plugged in is listed: pseudo-terminals are not, so the test says that this one is."""
    page.form._plugged = replace(page.plugged, ports=lambda internal: [PortInfo(path, "A board")])
    page.form.refresh_ports()


def test_a_newcomer_whose_board_prints_fahrenheit_presses_the_main_button_twice_and_reads_right(
    window: MainWindow, board: PtyDevice, qtbot: QtBot
) -> None:
    window.show_page("thermometer")
    page = window.pages.currentWidget()
    assert isinstance(page, ThermometerPage)
    find(page, board.path)
    press(page, main_button(page))
    assert main_button(page) == "Stop listening"
    qtbot.waitUntil(lambda: page.form._found.text().startswith("It says 71."), timeout=8000)
    assert main_button(page) == "Read from it" and page.form._use.hasFocus()
    assert "Temp F: 160." in page.form.lines.table.item(0, 0).text()
    assert "°C" in page.form.lines.table.item(0, 1).text()
    press(page, "Read from it")
    try:
        assert window.workshop.settings.source == f"serial:{board.path}?baud=9600"

        # (160 °F - 32) / 1.8 = 71.11 °C; each line is a hundredth of a degree Fahrenheit higher.
        def is_right() -> bool:
            state = window.melt_page.state
            return state is not None and state.temp_c == pytest.approx(71.6, abs=0.5)

        qtbot.waitUntil(is_right, timeout=5000)
    finally:
        window.workshop.stop()


def test_a_board_with_two_probes_is_asked_about_and_read_as_she_says(qtbot: QtBot) -> None:
    with printing_board("T1:21.50;T2:{n:.2f}\r\n") as device:
        page, sent = make(qtbot, [PortInfo(device.path)])
        try:
            press(page, "Listen")
            words = "Its speed is 9600 baud."
            qtbot.waitUntil(lambda: page.form._found.text().startswith(words), timeout=8000)
        finally:
            page.watch(False)
    assert page.form.lines.channel.hasFocus()
    assert page.form.lines.channel.choose("T2")
    press(page.form.lines, "Read them this way")
    assert sent == [f"serial:{device.path}?baud=9600&channel=T2"]


def test_what_else_can_be_done_with_it_stands_below_its_buttons(qtbot: QtBot) -> None:
    page, _ = make(qtbot, [BOARD])
    assert not page.tools.isVisible()
    button = QPushButton("Look at it")
    page.add_tool(button)
    assert button.isVisible()
    assert (
        button.mapToGlobal(button.rect().topLeft()).y()
        > page.form.mapToGlobal(page.form.rect().bottomLeft()).y()
    )


def main_button(page: ThermometerPage) -> str:
    """The words of the one button that is to be pressed next."""
    (one,) = [b.text() for b in page.findChildren(QPushButton) if b.property("role") == "main"]
    return one


def test_listening_takes_the_port_from_the_running_melt_and_gives_it_back(
    window: MainWindow, board: PtyDevice, qtbot: QtBot
) -> None:
    source = f"serial:{board.path}?baud=9600"
    window.workshop.begin(source, window.hob.take)
    runner = window.workshop.runner
    assert runner is not None
    page = ThermometerPage(
        source,
        lambda: window.workshop.runner and window.workshop.runner.source,
        lambda: None,
        lambda internal: [PortInfo(board.path)],
        list,
        lambda: let_go(window),
        Shown("F"),
    )
    qtbot.addWidget(page)
    page.show()
    try:
        qtbot.waitUntil(lambda: runner.session.melt.state.temp_c is not None, timeout=5000)
        press(page, "Listen")
        meanwhile = window.workshop.runner
        assert meanwhile is not None and meanwhile.source.label != board.path
        qtbot.waitUntil(lambda: "The melt is not read meanwhile." in page.form._found.text(), timeout=8000)
        qtbot.waitUntil(lambda: page.form._found.text().startswith("It says 16"), timeout=8000)
        assert "°F" in page.form._found.text()
        again = window.workshop.runner
        assert again is not None and again.source.label == board.path
        assert again.session is runner.session, "the melt goes on"
        read_s = again.session.melt.state.reading_s
        assert read_s is not None
        qtbot.waitUntil(lambda: (again.session.melt.state.reading_s or 0.0) > read_s, timeout=5000)
    finally:
        page.watch(False)
        window.workshop.stop()


def test_leaving_the_page_stops_the_listening_and_frees_the_port(board: PtyDevice, qtbot: QtBot) -> None:
    page, _ = make(qtbot, [PortInfo(board.path)])
    page.form.listening = Listening(page, each_s=60.0)
    press(page, "Listen")
    qtbot.waitUntil(lambda: page.form.listening.is_on)
    page.watch(False)
    assert not page.form.listening.is_on
    wire = SerialPlug(board.path, 9600).connect(threading.Event())
    wire.close()


def test_a_port_that_cannot_be_listened_to_is_said(qtbot: QtBot) -> None:
    page, _ = make(qtbot, [PortInfo("/dev/ttyNone9")])
    press(page, "Listen")
    qtbot.waitUntil(lambda: "/dev/ttyNone9" in page.form._problem.text())
    qtbot.waitUntil(lambda: not page.form.listening.is_on)
    assert not page.form._found.isVisible()


def test_a_silent_device_is_said_to_need_asking() -> None:
    silent = [Heard(9600, None, 0, "silent", "", (), ())]
    assert "choose that above" in heard_words(silent, Shown())


@pytest.mark.parametrize(
    ("address", "rows"),
    [
        ("serial:/dev/ttyUSB0?baud=9600&channel=melt&unit=F&scale=0.5", ["baud"]),
        ("nmea:/dev/ttyUSB0?baud=4800&channel=MELT", ["baud"]),
        ("scpi:/dev/ttyUSB0?baud=19200&query=MEAS%3ATEMP%3F&unit=F", ["baud", "question"]),
        (
            "modbus:/dev/ttyUSB0?baud=9600&unit=7&function=3&register=12&type=int16&every=2&scale=0.1",
            ["baud", "unit", "function", "register", "type"],
        ),
        (
            "modbus:tcp:10.0.0.7:502?unit=1&function=4&register=0&type=float32&order=CDAB&degrees=F",
            ["host", "unit", "function", "register", "type", "order"],
        ),
        ("scpi:tcp:10.0.0.7:5025?query=READ%3F", ["host", "question"]),
        ("tcp:10.0.0.7:4001?channel=melt", ["host"]),
        ("file:/sys/bus/w1/devices/28-01/w1_slave?every=2", []),
    ],
)
def test_an_address_of_any_kind_is_shown_and_comes_back_as_it_was(
    qtbot: QtBot, address: str, rows: list[str]
) -> None:
    page, sent = make(qtbot, [BOARD], address)
    press(page, "Read from it")
    assert len(sent) == 1
    assert parse_address(sent[0]) == parse_address(address)
    fields = ("host", "baud", "question", "unit", "function", "register", "type", "order")
    assert [name for name in fields if getattr(page.form.kinds, name).isVisible()] == rows


def test_what_was_said_of_one_board_is_not_said_of_another(qtbot: QtBot) -> None:
    page, sent = make(
        qtbot, [BOARD, PortInfo("/dev/ttyACM0")], "serial:/dev/ttyUSB0?baud=9600&unit=F&channel=melt"
    )
    page.form._place.choose("/dev/ttyACM0")
    press(page, "Read from it")
    page.form._place.choose("/dev/ttyUSB0")
    assert sent == ["serial:/dev/ttyACM0?baud=9600"]


def test_what_cannot_be_read_is_said_with_what_to_write_and_not_chosen(qtbot: QtBot) -> None:
    page, sent = make(qtbot, [BOARD])
    page.form.kinds.kind.choose("scpi")
    page.form.kinds.question.setText("READ")
    press(page, "Read from it")
    assert "Question: write one with a question mark" in page.form._problem.text() and sent == []
    page.form._place.choose("network")
    page.form.kinds.question.setText("READ?")
    press(page, "Read from it")
    assert "192.168.1.20:502" in page.form._problem.text() and sent == []
    page.form.kinds.host.setText("meter.local:5025")
    press(page, "Read from it")
    assert sent == ["scpi:tcp:meter.local:5025?query=READ%3F"] and not page.form._problem.isVisible()


@pytest.mark.parametrize(
    ("field", "text", "said"),
    [
        ("unit", "256", "Device number: write a whole number from 0 to 255."),
        ("register", "65536", "Register: write a whole number from 0 to 65535."),
        ("register", "", "Register: write a whole number from 0 to 65535."),
        ("host", "10.0.0.7", "Name and port: write both with a colon between, like 192.168.1.20:502."),
        ("host", "10.0.0.7:70000", "Name and port: write both with a colon between, like 192.168.1.20:502."),
    ],
)
def test_what_is_wrong_is_said_by_the_name_of_its_field_and_not_in_words_of_addresses(
    qtbot: QtBot, field: str, text: str, said: str
) -> None:
    page, sent = make(qtbot, [BOARD], "modbus:tcp:10.0.0.7:502?unit=1&function=4&register=0&type=int16")
    getattr(page.form.kinds, field).setText(text)
    press(page, "Read from it")
    assert page.form._problem.text() == said and sent == []


def test_a_number_of_four_bytes_cannot_begin_in_the_last_register(qtbot: QtBot) -> None:
    address = "modbus:tcp:10.0.0.7:502?unit=1&function=4&register=65535&type=float32&order=ABCD"
    page, sent = make(qtbot, [BOARD], address)
    press(page, "Read from it")
    assert page.form._problem.text() == "Register: write a whole number from 0 to 65534." and sent == []


def test_a_newly_plugged_in_board_appears_by_itself_and_what_is_wrong_stays_said(qtbot: QtBot) -> None:
    ports: list[PortInfo] = []
    page, _ = make(qtbot, ports)
    page.watch(True)
    page.say("Look here.")
    for _ in range(PORTS_EVERY):
        page._tick()
    assert page.form._problem.text() == "Look here.", "nothing has changed"
    ports.append(BOARD)
    for _ in range(PORTS_EVERY):
        page._tick()
    page.watch(False)
    assert page.form._place.currentText().startswith("/dev/ttyUSB0") and not page.form._problem.isVisible()
    assert main_button(page) == "Listen" and page.form._listen.isEnabled()


def test_the_computers_own_sensors_are_hidden_until_asked_for_but_a_one_wire_probe_is_not(
    qtbot: QtBot, tmp_path: Path
) -> None:
    own, probe = tmp_path / "hwmon0/temp1_input", tmp_path / "28-01/w1_slave"
    for file in (own, probe):
        file.parent.mkdir()
        file.write_text("45000\n", encoding="ascii")
    page = ThermometerPage("", lambda: None, lambda: None, lambda internal: [], lambda: [own, probe])
    qtbot.addWidget(page)
    page.show()
    assert page.form._place.findData(f"file:{own}") < 0
    assert page.form._place.currentText() == "one-wire probe 28-01 (this computer's)"
    page.form._internal.setChecked(True)
    page.form._place.choose(f"file:{own}")
    with qtbot.waitSignal(page.chosen) as chosen:
        press(page, "Read from it")
    assert chosen.args == [f"file:{own}"]


def test_raw_lines_of_a_file_are_shown_too(qtbot: QtBot, tmp_path: Path) -> None:
    file = tmp_path / "temp1_input"
    file.write_text("71500\n", encoding="ascii")
    source = open_source(f"file:{file}")
    assert next(iter(source.events(threading.Event()))).temp_c == 71.5  # type: ignore[union-attr]
    page = ThermometerPage(f"file:{file}", lambda: source, lambda: None, lambda internal: [], list)
    qtbot.addWidget(page)
    page.show()
    assert page.form.lines.table.item(0, 0).text() == "71500"
    assert page.form.lines.table.item(0, 1).text() == "71.50 °C"


@pytest.mark.parametrize("kind", ["serial", "modbus", "scpi", "nmea"])
def test_nothing_is_wider_than_the_smallest_window_at_twice_the_text(
    window: MainWindow, qtbot: QtBot, kind: str
) -> None:
    window.change_settings(replace(window.workshop.settings, text_percent=200), to_melt=False)
    window.resize(*SMALLEST)
    window.show_page("thermometer")
    page = window.pages.currentWidget()
    assert isinstance(page, ThermometerPage)
    find(page, "/dev/serial/by-id/usb-A_maker_with_a_long_name_A_board_with_a_long_name_0123456789-if00")
    page.form.kinds.kind.choose(kind)
    page.form.lines.show()
    (scroll,) = page.findChildren(QScrollArea)
    qtbot.wait(20)
    assert scroll.widget().minimumSizeHint().width() <= scroll.viewport().width()
