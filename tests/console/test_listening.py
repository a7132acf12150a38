"""`candlebench ports --listen` finds out how a thermometer on a real pseudo-terminal is to be read."""

import json

import pytest
from wires import Printing, PtyDevice

from candlebench.cli import run


def test_a_board_that_prints_fahrenheit_is_read_and_its_address_is_proposed(
    capsys: pytest.CaptureFixture[str],
) -> None:
    device = PtyDevice()
    printing = Printing(device.send, 0.05, "Temp F: {n:.2f}\r\n")
    try:
        assert run(["ports", "--listen", device.path]) == 0
        said = capsys.readouterr().out
        assert run(["ports", "--json", "--listen", f"serial:{device.path}?baud=1200"]) == 0
        rows = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    finally:
        printing.pause()
        device.unplug()
    assert "Temp F: 6" in said and f"Read it with serial:{device.path}?baud=9600" in said
    assert [row["baud"] for row in rows] == [9600]
    # (60 °F - 32) / 1.8 = 15.56 °C; it prints a hundredth of a degree more with every line.
    assert rows[0]["temp_c"] == pytest.approx(15.56, abs=1.0)
    assert rows[0]["address"] == f"serial:{device.path}?baud=9600"
    assert rows[0]["lines"][-1][0].startswith("Temp F: 6") and "°C" in rows[0]["lines"][-1][1]


def test_a_port_that_is_not_there_is_exit_code_1_with_what_to_do(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["ports", "--listen", "/dev/ttyNone9"]) == 1
    assert "/dev/ttyNone9" in capsys.readouterr().err
