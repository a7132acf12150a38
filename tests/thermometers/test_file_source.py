"""Temperatures in files: the kernel's one-wire and hwmon files, and one number of another program."""

import os
from pathlib import Path

import pytest
from wires import listening

from candlebench.addresses import open_source
from candlebench.core.events import Reading
from candlebench.thermometers.answers import Answer, NoAnswer
from candlebench.thermometers.file_values import temperature_in
from candlebench.thermometers.line_settings import LineSettings

# The form shown in the Linux kernel's documentation of w1_therm; the bytes are our own: 0x3F8 / 16 = 63.5.
GOOD = "f8 03 4b 46 7f ff 0c 10 8d : crc=8d YES\nf8 03 4b 46 7f ff 0c 10 8d t=63500\n"


def rewrite(path: Path, text: str) -> None:
    """As a program does that shows each measurement whole."""
    new = path.with_name("new")
    new.write_text(text, encoding="utf-8")
    new.replace(path)


def found(text: str, name: str, settings: LineSettings | None = None) -> Answer | NoAnswer:
    return temperature_in(text, name, settings or LineSettings())


@pytest.mark.parametrize(
    ("text", "name", "temp_c"),
    [
        (GOOD, "w1_slave", 63.5),
        (GOOD.replace("t=63500", "t=-1250"), "w1_slave", -1.25),
        ("63500\n", "temp1_input", 63.5),
        ("-1250\n", "temp1_input", -1.25),
        ("63500\n", "temperature", 63.5),
        ("63500\n", "temp", 63.5),
        ("63.5\n", "melt.txt", 63.5),
        ("63,5", "melt.txt", 63.5),
        ("146.3 F\n", "melt.txt", 63.5),
        ("63.5 °C\n", "temp1_input", 63.5),
        ("63", "melt.txt", 63.0),
    ],
)
def test_a_temperature_is_read_as_the_file_means_it(text: str, name: str, temp_c: float) -> None:
    answer = found(text, name)
    assert isinstance(answer, Answer) and answer.temp_c == pytest.approx(temp_c)


@pytest.mark.parametrize(
    ("text", "name", "code"),
    [
        (GOOD.replace("YES", "NO"), "w1_slave", "garbled"),
        (GOOD.split("\n")[0], "w1_slave", "undecided"),
        (GOOD.replace("f8 03 4b 46 7f ff 0c 10 8d t", "00 03 4b 46 7f ff 0c 10 8d t"), "w1_slave", "garbled"),
        ("", "w1_slave", "undecided"),
        ("", "temp1_input", "undecided"),
        ("63500\n", "melt.txt", "undecided"),
        ("63.5 64.5\n", "melt.txt", "undecided"),
        ("nan", "melt.txt", "fault"),
        ("63.5 %", "melt.txt", "undecided"),
    ],
)
def test_what_is_not_one_temperature_is_refused(text: str, name: str, code: str) -> None:
    refused = found(text, name)
    assert isinstance(refused, NoAnswer) and refused.code == code


def test_a_scale_and_a_unit_that_the_person_said_count() -> None:
    tenths = found("635", "melt.txt", LineSettings(scale=0.1))
    assert isinstance(tenths, Answer) and tenths.temp_c == pytest.approx(63.5)
    fahrenheit = found("146.3", "melt.txt", LineSettings(unit="F"))
    assert isinstance(fahrenheit, Answer) and fahrenheit.temp_c == pytest.approx(63.5)


def test_a_file_is_read_again_and_again_and_each_writing_counts_once(tmp_path: Path) -> None:
    file = tmp_path / "w1_slave"
    rewrite(file, GOOD)
    with listening(open_source(f"file:{file}?every=0.1")) as heard:
        heard.reads(63.5)
        for n in range(1, 6):
            rewrite(file, GOOD.replace("t=63500", f"t={63500 + 125 * n}"))
            heard.reads(63.5 + 0.125 * n)
    temps = [event.temp_c for event in heard.heard if isinstance(event, Reading)]
    assert temps == sorted(set(temps))


def test_a_file_that_was_left_long_ago_is_no_reading(tmp_path: Path) -> None:
    file = tmp_path / "melt.txt"
    file.write_text("63.5\n", encoding="utf-8")
    os.utime(file, (1e9, 1e9))
    with listening(open_source(f"file:{file}?every=0.1")) as heard:
        heard.trouble("silent")
        assert not any(isinstance(event, Reading) for event in heard.heard)
        rewrite(file, "64.5\n")
        heard.trouble("back")
        heard.reads(64.5)


def test_a_file_that_is_written_no_longer_is_said(tmp_path: Path) -> None:
    file = tmp_path / "melt.txt"
    rewrite(file, "60.0\n")
    with listening(open_source(f"file:{file}?every=0.1")) as heard:
        heard.reads(60.0)
        for n in range(1, 4):
            stop = heard.stop
            stop.wait(0.6)
            rewrite(file, f"{60 + n}.0\n")
            last = heard.reads(60.0 + n)
        assert heard.trouble("silent").elapsed_s - last.elapsed_s <= 3.0


def test_a_sensor_taken_away_and_put_back_is_said_and_read_again(tmp_path: Path) -> None:
    file = tmp_path / "temp1_input"
    with listening(open_source(f"file:{file}?every=0.2")) as heard:
        assert str(file) in heard.trouble("missing").text
        rewrite(file, "63500\n")
        heard.trouble("back")
        heard.reads(63.5)
        file.unlink()
        assert heard.trouble("missing").elapsed_s - heard.heard[-2].elapsed_s <= 3.0
        rewrite(file, "63625\n")
        heard.trouble("back")
        heard.reads(63.625)


def test_wrong_check_sums_are_refused_each_and_said_once(tmp_path: Path) -> None:
    file = tmp_path / "w1_slave"
    rewrite(file, GOOD)
    with listening(open_source(f"file:{file}?every=0.1")) as heard:
        heard.reads(63.5)
        while heard.troubles() == []:
            rewrite(file, GOOD.replace("YES", "NO"))
            heard.refused()
        assert heard.troubles() == ["garbled"]
        rewrite(file, GOOD)
        heard.trouble("back")
        heard.reads(63.5)


def test_a_pipe_without_a_writer_does_not_hold_the_source_up(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with listening(open_source(f"file:{pipe}?every=0.1")) as heard:
        heard.trouble("missing")


def test_the_sensors_of_this_machine_are_read_as_the_kernel_means_them() -> None:
    inputs = sorted(Path("/sys/class/hwmon").glob("hwmon*/temp*_input"))
    inputs += sorted(Path("/sys/class/thermal").glob("thermal_zone*/temp"))
    if not inputs:
        pytest.skip("this machine shows no temperature under /sys/class")
    with listening(open_source(f"file:{inputs[0]}?every=0.1")) as heard:
        first, second = heard.reading(), heard.reading()
    assert -40 < first.temp_c < 130 and second.elapsed_s > first.elapsed_s
