"""Source addresses are taken apart, written, and opened or refused with what to write."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from candlebench.addresses import is_live, open_source, parse_address, write_address
from candlebench.core.errors import FixableError
from candlebench.thermometers.practice import PracticeSource
from candlebench.thermometers.replay import ReplaySource


def test_an_address_is_scheme_rest_and_query() -> None:
    address = parse_address(" serial:/dev/ttyUSB0?baud=9600&label=jug%201 ")
    assert (address.scheme, address.rest) == ("serial", "/dev/ttyUSB0")
    assert address.query == {"baud": "9600", "label": "jug 1"}


@given(
    st.dictionaries(
        st.from_regex(r"[a-z]{1,8}", fullmatch=True), st.text(min_size=1, max_size=20), max_size=4
    )
)
def test_what_was_written_is_read_back(query: dict[str, str]) -> None:
    # Surrogates cannot be percent-encoded and cannot be typed either.
    query = {key: value.encode("utf-8", "ignore").decode() or "x" for key, value in query.items()}
    address = parse_address(write_address("serial", "/dev/x", query))
    assert (address.rest, address.query) == ("/dev/x", query)


@pytest.mark.parametrize("text", ["", "melt.csv", "usb:/dev/x", "COM3"])
def test_what_is_no_address_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(FixableError, match="write one like"):
        parse_address(text)


def test_only_real_thermometers_are_live() -> None:
    assert [is_live(a) for a in ("serial:x", "typed:", "replay:x.csv", "practice:first-jug")] == [
        True, True, False, False,
    ]  # fmt: skip
    assert all(is_live(a) for a in ("tcp:h:1", "modbus:/dev/x", "scpi:/dev/x", "nmea:/dev/x", "file:/sys/x"))


@pytest.mark.parametrize(
    ("text", "label"),
    [
        ("tcp:192.168.1.20:4001?unit=F&channel=melt&scale=0.1", "192.168.1.20:4001"),
        ("tcp:[fe80::1]:4001", "[fe80::1]:4001"),
        ("tcp:thermometer.local:4001", "thermometer.local:4001"),
        (
            "modbus:/dev/ttyUSB0?baud=9600&unit=1&function=4&register=0&type=int16&order=ABCD&scale=0.1&every=1",
            "/dev/ttyUSB0",
        ),
        ("modbus:/dev/ttyUSB0", "/dev/ttyUSB0"),
        ("modbus:COM3?unit=247&function=3&register=65534&type=float32&order=dcba&every=0,5", "COM3"),
        ("modbus:tcp:10.0.0.5:502?unit=0&type=uint16&degrees=F", "10.0.0.5:502"),
        ("scpi:/dev/ttyUSB0?baud=9600&query=READ?&every=1", "/dev/ttyUSB0"),
        ("scpi:tcp:10.0.0.5:5025?query=MEAS%3ATEMP%3F%20(%40101)&unit=F", "10.0.0.5:5025"),
        ("nmea:/dev/ttyUSB0?baud=4800&channel=MELT", "/dev/ttyUSB0"),
        ("nmea:tcp:10.0.0.5:10110", "10.0.0.5:10110"),
        ("file:/sys/class/hwmon/hwmon0/temp1_input?every=2", "/sys/class/hwmon/hwmon0/temp1_input"),
    ],
)
def test_every_kind_of_thermometer_opens(text: str, label: str) -> None:
    assert open_source(text).label == label


def test_a_question_comes_back_as_it_was_written() -> None:
    query = {"query": "MEAS:TEMP? (@101); *WAI & +1"}
    written = write_address("scpi", "/dev/ttyUSB0", query)
    assert written.count("?") == 1
    assert parse_address(written).query == query


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("tcp:", "as in tcp:192.168.1.20:4001"),
        ("tcp:192.168.1.20", "as in tcp:192.168.1.20:4001"),
        ("tcp:192.168.1.20:port", "as in tcp:"),
        ("tcp:192.168.1.20:70000", "as in tcp:"),
        ("tcp::4001", "as in tcp:"),
        ("tcp:192.168.1.20:4001?baud=9600", "takes channel, unit, scale"),
        ("modbus:", "as in modbus:/dev/ttyUSB0"),
        ("modbus:tcp:10.0.0.5", "as in modbus:tcp:192.168.1.20:502"),
        ("modbus:tcp:10.0.0.5:502?baud=9600", "leave it out"),
        ("modbus:/dev/x?unit=256", "whole number from 0 to 255"),
        ("modbus:/dev/x?function=6", "one of 4, 3"),
        ("modbus:/dev/x?register=-1", "whole number from 0 to 65535"),
        ("modbus:/dev/x?register=65535&type=float32", "register=65534"),
        ("modbus:/dev/x?type=int32", "one of int16, uint16, float32"),
        ("modbus:/dev/x?order=ACBD", "one of ABCD, CDAB, BADC, DCBA"),
        ("modbus:/dev/x?scale=0", "scale=0.1"),
        ("modbus:/dev/x?every=0", "every=1"),
        ("modbus:/dev/x?degrees=R", "write C, F or K"),
        ("modbus:/dev/x?slave=1", "“slave” means nothing"),
        ("scpi:", "as in scpi:/dev/ttyUSB0"),
        ("scpi:/dev/x?query=READ", "query=READ?"),
        ("scpi:/dev/x?query=LESE°?", "query=READ?"),
        ("scpi:/dev/x?every=soon", "every=1"),
        ("nmea:", "as in nmea:/dev/ttyUSB0"),
        ("nmea:/dev/x?scale=2", "takes baud, channel"),
        ("nmea:/dev/x?baud=fast", "baud=9600"),
        ("file:", "as in file:/sys/class/hwmon"),
        ("file:/sys/x?channel=1", "takes every, unit, scale"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence_that_says_what_to_write(text: str, says: str) -> None:
    with pytest.raises(FixableError) as caught:
        open_source(text)
    sentence = str(caught.value)
    assert says in sentence and sentence.endswith(".") and "\n" not in sentence


def test_a_file_and_a_practice_melt_open_at_their_speed(tmp_path: Path) -> None:
    file = tmp_path / "melt.csv"
    file.write_text("time_s,temp_c\n0,80\n10,79\n20,78\n")
    replay = open_source(f"replay:{file}?speed=60")
    assert isinstance(replay, ReplaySource)
    assert replay.clock.speed == 60.0  # type: ignore[attr-defined]
    assert isinstance(open_source("practice:?speed=2,5"), PracticeSource)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("practice:first-jug?speed=fast", "no number"),
        ("practice:first-jug?sped=2", "takes speed, seed, bath, room only"),
        ("practice:first-jug?seed=one", "no whole number"),
        ("practice:first-jug?speed=0", "above 0"),
        ("practice:first-jug?speed=nan", "above 0"),
    ],
)
def test_a_wrong_query_is_refused_with_what_to_write(text: str, says: str) -> None:
    with pytest.raises(FixableError, match=says):
        open_source(text)
