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
        ("practice:first-jug?sped=2", "takes speed and seed only"),
        ("practice:first-jug?seed=one", "no whole number"),
        ("practice:first-jug?speed=0", "above 0"),
        ("practice:first-jug?speed=nan", "above 0"),
    ],
)
def test_a_wrong_query_is_refused_with_what_to_write(text: str, says: str) -> None:
    with pytest.raises(FixableError, match=says):
        open_source(text)
