"""From when on the silence of a thermometer that speaks by itself is trouble."""

import pytest
from hand_clock import HandClock

from candlebench.core.events import ProbeTrouble, Reading, SourceEvent
from candlebench.thermometers.line_listener import LineListener
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.pace import Pace


@pytest.mark.parametrize(("step_s", "silent_s"), [(0.1, 2.5), (1.0, 2.5), (2.0, 5.0), (10.0, 25.0)])
def test_patience_grows_with_the_steps(step_s: float, silent_s: float) -> None:
    pace = Pace()
    pace.began(0.0)
    for n in range(100):
        pace.heard(n * step_s)
    last_s = 99 * step_s
    assert not pace.is_overdue(last_s + silent_s - 0.01)
    assert pace.is_overdue(last_s + silent_s + 0.01)


def test_lines_that_come_in_bursts_are_no_quick_steps() -> None:
    pace = Pace()
    pace.began(0.0)
    for burst in range(5):
        for line in range(20):
            pace.heard(10.0 * burst + 0.001 * line)
    assert not pace.is_overdue(40.0 + 24.0)


def test_until_steps_are_known_a_slow_thermometer_is_not_called_silent() -> None:
    pace = Pace()
    pace.began(0.0)
    pace.heard(3.0)
    assert not pace.is_overdue(12.9) and pace.is_overdue(13.1)


def run(listener: LineListener, clock: HandClock, seconds: float, line: bytes = b"") -> list[SourceEvent]:
    """A line once a second, and a look ten times a second."""
    events: list[SourceEvent] = []
    for n in range(round(seconds * 10)):
        events += listener.hear(line if n % 10 == 0 else b"")
        clock.now_s = round(clock.now_s + 0.1, 6)
    return events


@pytest.mark.parametrize(
    ("line", "code", "words"),
    [
        (b"", "silent", "cable"),
        (b"C = nan\r\n", "fault", "probe"),
        (b"Error: Open Circuit!\r\n", "fault", "probe"),
        (b"10000.00\r\n", "fault", "probe"),
        (b"humidity: 43 %\r\n", "silent", "raw lines"),
        (b"6", "silent", "raw lines"),
        (b"\xff\xfe\x80\x81\xf3\n", "garbled", "baud"),
    ],
)
def test_whatever_comes_instead_of_readings_is_said_within_three_seconds(
    line: bytes, code: str, words: str
) -> None:
    clock = HandClock()
    listener = LineListener(LineSettings(), clock)
    listener.reopened()
    clock.now_s = 1.0
    before = run(listener, clock, 6.0, b"63.5\r\n")
    last_s = [event for event in before if isinstance(event, Reading)][-1].elapsed_s
    during = [event for event in run(listener, clock, 30.0, line) if isinstance(event, ProbeTrouble)]
    assert [event.code for event in during] == [code]
    assert words in during[0].text
    assert during[0].elapsed_s - last_s <= 3.0
    after = run(listener, clock, 5.0, b"\r\n63.6\r\n")
    assert [event.code for event in after if isinstance(event, ProbeTrouble)] == ["back"]
    assert {event.temp_c for event in after if isinstance(event, Reading)} == {63.6}


def test_of_a_flood_no_part_of_a_line_is_read_and_the_last_line_is() -> None:
    clock = HandClock()
    listener = LineListener(LineSettings(), clock)
    listener.reopened()
    clock.now_s = 1.0
    events: list[SourceEvent] = []
    for n in range(50):
        events += listener.hear(b"+63.250\r\n" * 500 + (b"+63.500\r\n" if n == 49 else b""))
        clock.now_s += 0.01
    for _ in range(20):
        events += listener.hear(b"")
        clock.now_s += 0.1
    temps = [event.temp_c for event in events if isinstance(event, Reading)]
    assert set(temps) == {63.25, 63.5} and temps[-1] == 63.5
    parts = [line for line in listener.recent_lines() if line.text not in ("+63.250", "+63.500")]
    assert parts and not any("°C" in line.read_as for line in parts)


def test_a_port_opened_again_is_judged_and_told_of_anew() -> None:
    clock = HandClock()
    listener = LineListener(LineSettings(), clock)
    listener.reopened()
    garbage = bytes(range(128, 256)) + b"\n"
    assert [e.code for e in run(listener, clock, 6.0, garbage) if isinstance(e, ProbeTrouble)] == ["garbled"]
    listener.reopened()
    assert [e.code for e in run(listener, clock, 6.0, garbage) if isinstance(e, ProbeTrouble)] == ["garbled"]
