"""Skipping ahead in a practice melt never skips an alarm: a running melt judges every reading in between."""

import threading
import time
from dataclasses import replace
from itertools import islice

import pytest

from candlebench.core.events import MeltBegan, Reading
from candlebench.core.melt import Melt
from candlebench.core.units import Shown
from candlebench.practice.scenario_file import load_scenario
from candlebench.runner import Moment, NoLog, Runner, Session
from candlebench.thermometers.practice import PracticeSource

# The first jug, half melted already, left on full heat: too hot soon at 5 min, 85 degC at 8 min.
_FIRST = load_scenario("first-jug")
_WARM = replace(
    _FIRST,
    wax=replace(_FIRST.wax, start_c=63.5),
    bath=replace(_FIRST.bath, start_c=95.0),
    hob=replace(_FIRST.hob, lag_s=5.0),
)
_TO_S = 10 * 60.0


class Heard:
    """Listens as the window does: what is said ends a skip, and what was worked on is told to the source."""

    def __init__(self, source: PracticeSource) -> None:
        self.source = source
        self.said: list[tuple[str, float, float]] = []
        self.readings: list[float] = []
        self.changed = threading.Condition()

    def __call__(self, moment: Moment) -> None:
        if moment.notices:
            self.source.stop_skipping()
        if moment.event is not None:
            self.source.applied(moment.event.elapsed_s)
        with self.changed:
            if isinstance(moment.event, Reading):
                self.readings.append(moment.event.elapsed_s)
            at_s = moment.event.elapsed_s if moment.event else self.source.clock.elapsed_s()
            self.said += [(notice.code, at_s, self.source.clock.elapsed_s()) for notice in moment.notices]
            self.changed.notify_all()


@pytest.fixture(scope="module")
def expected() -> list[tuple[str, float]]:
    """What a melt says that is read second by second."""
    source = PracticeSource(_WARM, 1e6)
    melt, said = Melt(Shown()), []
    melt.apply(MeltBegan(0.0, 0.0, source.setup))
    for event in islice(source.events(threading.Event()), int(_TO_S)):
        said += [(notice.code, event.elapsed_s) for notice in melt.apply(event)]
    return said


@pytest.mark.parametrize("at_a_time_s", [60.0, 3600.0])
def test_every_alarm_of_the_melt_comes_and_ends_the_skip(
    at_a_time_s: float, expected: list[tuple[str, float]]
) -> None:
    # Common practice, no source: wax on full heat must have been warned of before it darkens.
    assert {"too_hot_soon", "too_hot"} <= {code for code, _ in expected}
    source = PracticeSource(_WARM, 1.0)
    heard = Heard(source)
    runner = Runner(Session.begin(NoLog(), source.setup, 0.0, Shown()), source, heard)
    runner.start()
    ends_s = time.monotonic() + 60.0
    try:
        while not heard.readings or heard.readings[-1] < _TO_S:
            assert time.monotonic() < ends_s
            if not source.skipping:
                source.skip(at_a_time_s)
            with heard.changed:
                heard.changed.wait(0.05)
    finally:
        runner.stop()
    assert heard.readings == [float(second) for second in range(len(heard.readings))]
    said = [(code, at_s) for code, at_s, _ in heard.said if at_s < _TO_S]
    assert [code for code, _ in said] == [code for code, _ in expected]
    for (code, at_s), (_, wanted_s) in zip(said, expected, strict=True):
        assert at_s == pytest.approx(wanted_s, abs=2.0), code
    # Nobody is carried past an alarm: the clock stands where it was raised.
    assert max(clock_s - at_s for _, at_s, clock_s in heard.said) < 5.0
