"""Temperatures typed by hand: every form that is understood, and what is asked when one is not."""

import io
import os
import threading
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from candlebench.core.clock import LiveClock
from candlebench.core.errors import FixableError
from candlebench.core.events import Reading, Refused
from candlebench.thermometers.typed import TypedReading, TypedSource, _lines_by_thread, parse_typed


@pytest.mark.parametrize(
    ("text", "temp_c", "ago_s"),
    [
        ("70", 70.0, 0.0),
        ("70.5", 70.5, 0.0),
        ("70,5", 70.5, 0.0),
        (" 70.5 ", 70.5, 0.0),
        ("70 C", 70.0, 0.0),
        ("70°C", 70.0, 0.0),
        ("70°", 70.0, 0.0),
        ("70 degrees C", 70.0, 0.0),
        ("158F", 70.0, 0.0),
        ("158 °F", 70.0, 0.0),
        ("158 f", 70.0, 0.0),
        ("343 K", 69.85, 0.0),
        ("150", 150.0, 0.0),
        ("158C", 158.0, 0.0),
        ("-5", -5.0, 0.0),
        ("70 2 minutes ago", 70.0, 120.0),
        ("70.5 2 min ago", 70.5, 120.0),
        ("70,5 1,5 min ago", 70.5, 90.0),
        ("70 30s ago", 70.0, 30.0),
        ("70 1 h ago", 70.0, 3600.0),
        ("70 -2m", 70.0, 120.0),
        ("70 −2m", 70.0, 120.0),
        ("158F 2 min ago", 70.0, 120.0),
        ("70   2\tminutes  AGO", 70.0, 120.0),
    ],
)
def test_a_temperature_is_read_in_any_of_these_forms(text: str, temp_c: float, ago_s: float) -> None:
    typed = parse_typed(text, "C")
    assert typed.temp_c == pytest.approx(temp_c)
    assert typed.ago_s == ago_s


@pytest.mark.parametrize(
    ("text", "temp_c"), [("158", 70.0), ("158F", 70.0), ("70C", 70.0), ("32", 0.0), ("343 K", 69.85)]
)
def test_where_fahrenheit_is_set_a_bare_number_is_fahrenheit(text: str, temp_c: float) -> None:
    assert parse_typed(text, "F").temp_c == pytest.approx(temp_c)


@pytest.mark.parametrize(
    "text",
    [
        "7000",
        "-60",
        "hot",
        "1e9",
        "nan",
        "inf",
        "70 2",
        "7 3.4",
        "70,5,2",
        "702m",
        "70 m",
        "70 F C",
        "999F",
        "10 K",
    ],
)
def test_what_is_no_temperature_of_wax_is_answered_with_what_to_type(text: str) -> None:
    with pytest.raises(FixableError) as caught:
        parse_typed(text, "C")
    said = f"{text} is no temperature of wax: type it in °C, like 70.5, or in °F, like 158F."
    assert str(caught.value) == said


@pytest.mark.parametrize("text", ["", "   ", "\t\n"])
def test_nothing_typed_asks_for_a_temperature(text: str) -> None:
    with pytest.raises(FixableError, match=r"type a temperature, like 70\.5"):
        parse_typed(text)


@pytest.mark.parametrize("text", ["158", "176.5", "151"])
def test_a_number_that_looks_like_fahrenheit_is_asked_about(text: str) -> None:
    with pytest.raises(FixableError, match=rf"{text} looks like Fahrenheit: type {text}F"):
        parse_typed(text, "C")


def test_a_reading_of_last_week_is_not_of_this_melt() -> None:
    with pytest.raises(FixableError, match="more than a day ago"):
        parse_typed("70 30 h ago")


def test_a_long_muddle_is_cut_short_in_the_answer() -> None:
    with pytest.raises(FixableError) as caught:
        parse_typed("x" * 5000)
    assert len(str(caught.value)) < 150


@given(st.text())
def test_any_text_is_a_temperature_of_wax_or_a_sentence(text: str) -> None:
    try:
        typed = parse_typed(text)
    except FixableError as error:
        assert str(error).endswith(".")
    else:
        assert isinstance(typed, TypedReading)
        assert -40.0 <= typed.temp_c <= 250.0 and 0.0 <= typed.ago_s <= 86400.0


@given(st.floats(-30.0, 149.0))
def test_every_plain_temperature_is_read_as_it_stands(temp_c: float) -> None:
    assert parse_typed(f"{temp_c:.2f}").temp_c == float(f"{temp_c:.2f}")
    assert parse_typed(f"{temp_c:.2f}".replace(".", ",")).temp_c == float(f"{temp_c:.2f}")


def test_lines_of_a_stream_become_readings_and_refusals() -> None:
    stream = io.StringIO("70\n\nhot\n158F 1 min ago\n")
    source = TypedSource(stream, LiveClock(from_elapsed_s=600.0))
    events = list(source.events(threading.Event()))
    first, refused, last = events
    assert isinstance(first, Reading) and first.temp_c == 70.0 and first.by_hand
    assert first.elapsed_s == pytest.approx(600.0, abs=1.0)
    assert isinstance(refused, Refused) and refused.text == "hot" and "type it in °C" in refused.why
    assert isinstance(last, Reading) and last.temp_c == pytest.approx(70.0)
    assert last.elapsed_s == pytest.approx(540.0, abs=1.0)
    assert first.wall_s - last.wall_s == pytest.approx(60.0, abs=1.0)


def test_a_reading_from_before_the_melt_is_refused() -> None:
    source = TypedSource(io.StringIO("70 5 min ago\n"), LiveClock())
    (refused,) = source.events(threading.Event())
    assert isinstance(refused, Refused) and "before this melt began" in refused.why


def test_the_set_unit_holds_for_bare_numbers() -> None:
    (reading,) = TypedSource(io.StringIO("158\n"), LiveClock(), "F").events(threading.Event())
    assert isinstance(reading, Reading) and reading.temp_c == pytest.approx(70.0)


def test_numbers_come_through_a_pipe_as_they_are_typed_even_in_pieces() -> None:
    read_end, write_end = os.pipe()
    with os.fdopen(read_end, encoding="utf-8") as stream:
        events = TypedSource(stream, LiveClock()).events(threading.Event())
        os.write(write_end, "70.5 °C\n71".encode())
        assert next(events).temp_c == 70.5  # type: ignore[union-attr]
        os.write(write_end, b".5\r\n72")
        assert next(events).temp_c == 71.5  # type: ignore[union-attr]
        os.close(write_end)
        # The last line may lack its end.
        assert next(events).temp_c == 72.0  # type: ignore[union-attr]
        assert list(events) == []


def test_stop_is_heeded_while_nobody_types() -> None:
    read_end, write_end = os.pipe()
    stop = threading.Event()
    with os.fdopen(read_end, encoding="utf-8") as stream:
        events = TypedSource(stream, LiveClock()).events(stop)
        asker = threading.Timer(0.05, stop.set)
        asker.start()
        began_s = time.monotonic()
        assert list(events) == []
        assert time.monotonic() - began_s < 1.0
        asker.join()
    os.close(write_end)


def test_where_a_stream_cannot_be_watched_a_thread_reads_it_to_its_end() -> None:
    assert list(_lines_by_thread(io.StringIO("70\n71\n"), threading.Event())) == ["70\n", "71\n"]
