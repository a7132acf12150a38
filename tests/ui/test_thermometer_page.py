"""Choosing a thermometer, and seeing how its lines are read."""

import os
import tty

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from candlebench.thermometers.serial_port import PortInfo
from candlebench.ui.main_window import MainWindow
from candlebench.ui.thermometer_page import ThermometerPage, port_words

BOARD = PortInfo("/dev/ttyUSB0", "USB serial", "A maker", "1234", 1, 2)


def make(qtbot: QtBot, ports: list[PortInfo], address: str = "") -> tuple[ThermometerPage, list[str]]:
    page = ThermometerPage(address, lambda: None, lambda: None, lambda internal: ports)
    qtbot.addWidget(page)
    page.show()
    sent: list[str] = []
    page.chosen.connect(sent.append)
    return page, sent


def press(page: ThermometerPage, words: str) -> None:
    next(b for b in page.findChildren(QPushButton) if b.text() == words).click()


def test_a_port_is_named_with_what_is_known_of_it() -> None:
    assert port_words(BOARD) == "/dev/ttyUSB0, USB serial, A maker, number 1234"
    assert port_words(PortInfo("COM3")) == "COM3"


def test_the_chosen_port_and_speed_become_an_address(qtbot: QtBot) -> None:
    page, sent = make(qtbot, [BOARD, PortInfo("/dev/ttyACM0")])
    page._ports.setCurrentIndex(1)
    page._bauds.setCurrentText("115200")
    press(page, "Read from this port")
    assert sent == ["serial:/dev/ttyACM0?baud=115200"]


def test_nothing_plugged_in_is_said_and_cannot_be_chosen(qtbot: QtBot) -> None:
    page, sent = make(qtbot, [])
    assert "No thermometer is plugged in" in page._problem.text() and page._problem.isVisible()
    press(page, "Read from this port")
    assert sent == []


def test_the_known_port_stays_to_choose_while_unplugged(qtbot: QtBot) -> None:
    page, _ = make(qtbot, [], "serial:/dev/ttyUSB7?baud=9600")
    assert "/dev/ttyUSB7 (not plugged in)" in page._ports.currentText()


def test_unit_and_scale_are_added_to_the_address(qtbot: QtBot) -> None:
    page, sent = make(qtbot, [BOARD], "serial:/dev/ttyUSB0?baud=19200")
    page._unit.setCurrentIndex(page._unit.findData("F"))
    page._scale.setCurrentIndex(1)
    press(page, "Read them this way")
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
            rows = range(page._lines.rowCount())
            return any(page._lines.item(r, 1).text().endswith("71.50 °C") for r in rows)

        qtbot.waitUntil(shown, timeout=5000)
        assert page._lines.item(0, 0).text() == "temp: 71.5 C"
        qtbot.keyClick(window, Qt.Key.Key_Escape)
        qtbot.waitUntil(lambda: window.present_page == "melt")
        qtbot.waitUntil(lambda: bool(window.melt_page.state and window.melt_page.state.temp_c == 71.5))
        assert not page._timer.isActive(), "nothing is refreshed behind the melt"
    finally:
        window.workshop.stop()
        os.close(far_end)
        os.close(near_end)
