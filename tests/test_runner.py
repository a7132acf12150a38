"""The runner carries events from a source into the journal and the melt, and leaves nothing behind."""

import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from candlebench.core.clock import Clock, ScaledClock
from candlebench.core.errors import FixableError
from candlebench.core.events import (
    ActionKind,
    Gap,
    MeltBegan,
    ProbeTrouble,
    Reading,
    Recorded,
    SourceEvent,
    Stage,
)
from candlebench.core.setup import Limits, MeltSetup
from candlebench.core.units import Shown
from candlebench.runner import Moment, Runner, Session
from candlebench.thermometers.replay import ReplaySource

SETUP = MeltSetup("water", "none", Limits(40.0, 70.0, 75.0, 60.0, 65.0, 101.0, 102.0, 103.0), 21.0)


class Kept:
    """An event log in memory."""

    def __init__(self) -> None:
        self.rows: list[Recorded] = []

    def append(self, recorded: Recorded) -> None:
        self.rows.append(recorded)


class Scripted:
    """A source that does what a test says, on a clock of its own."""

    label = "scripted"

    def __init__(self, script: Callable[[threading.Event], Iterator[SourceEvent]]) -> None:
        self.clock: Clock = ScaledClock(1.0)
        self._script = script

    def events(self, stop: threading.Event) -> Iterator[SourceEvent]:
        return self._script(stop)


def _ignore(_: Moment) -> None:
    return


def _begun() -> tuple[Kept, Session]:
    kept = Kept()
    return kept, Session.begin(kept, SETUP, 1e9, Shown())


def test_a_replay_is_journalled_in_order_and_its_end_is_said(tmp_path: Path) -> None:
    file = tmp_path / "melt.csv"
    file.write_text("time_s,temp_c\n" + "".join(f"{10 * i},{80 - i}\n" for i in range(20)))
    kept, session = _begun()
    moments: list[Moment] = []
    runner = Runner(session, ReplaySource(file, 1e5), moments.append)
    runner.start()
    assert runner.source_ended.wait(5.0)
    runner.stop()
    assert [row.number for row in kept.rows] == list(range(len(kept.rows)))
    assert isinstance(kept.rows[0].event, MeltBegan)
    readings = [row.event.temp_c for row in kept.rows if isinstance(row.event, Reading)]
    assert readings == [80.0 - i for i in range(20)]
    assert isinstance(kept.rows[-1].event, ProbeTrouble) and kept.rows[-1].event.code == "ended"
    assert [m.event for m in moments if m.event] == [row.event for row in kept.rows[1:]]


def _fails(error: Exception) -> Callable[[threading.Event], Iterator[SourceEvent]]:
    def script(_: threading.Event) -> Iterator[SourceEvent]:
        yield Reading(0.0, 1e9, 70.0)
        raise error

    return script


@pytest.mark.parametrize(
    ("error", "says"),
    [(FixableError("Plug it in."), "Plug it in."), (RuntimeError("a bug"), "see the log file")],
)
def test_an_error_in_a_source_becomes_a_trouble_and_the_melt_goes_on(error: Exception, says: str) -> None:
    _, session = _begun()
    runner = Runner(session, Scripted(_fails(error)), _ignore)
    runner.start()
    assert runner.source_ended.wait(5.0)
    assert says in session.melt.state.probe.text
    runner.typed(68.0)
    runner.act(ActionKind.OFF_HEAT)
    runner.stop()
    assert (session.melt.state.temp_c, session.melt.stage) == (68.0, Stage.OFF_HEAT)


def test_stopping_ends_an_endless_source_and_applies_what_waits() -> None:
    begun = threading.Event()

    def endless(stop: threading.Event) -> Iterator[SourceEvent]:
        yield Reading(0.0, 1e9, 70.0)
        begun.set()
        stop.wait(10.0)

    kept, session = _begun()
    runner = Runner(session, Scripted(endless), _ignore)
    runner.start()
    assert begun.wait(5.0)
    runner.act(ActionKind.FINISHED)
    runner.stop()
    assert session.melt.finished
    assert not {"melt", "thermometer"} & {thread.name for thread in threading.enumerate()}
    assert not any(isinstance(row.event, ProbeTrouble) for row in kept.rows)


def test_a_listener_that_fails_does_not_end_the_melt() -> None:
    def script(_: threading.Event) -> Iterator[SourceEvent]:
        yield from (Reading(float(i), 1e9 + i, 70.0 - i) for i in range(5))

    def broken(_: Moment) -> None:
        raise RuntimeError("a bug in a window")

    _, session = _begun()
    runner = Runner(session, Scripted(script), broken)
    runner.start()
    assert runner.source_ended.wait(5.0)
    runner.stop()
    assert session.melt.state.temp_c == 66.0


def test_a_melt_taken_up_goes_on_with_the_gap_marked_and_its_numbers_unbroken() -> None:
    kept, session = _begun()
    session.record(Reading(10.0, 1e9 + 10.0, 70.0))
    again = Session.taken_up(kept, list(kept.rows), 1e9 + 310.0, Shown())
    assert kept.rows[-1].event == Gap(310.0, 1e9 + 310.0, 300.0, "closed")
    assert [row.number for row in kept.rows] == [0, 1, 2]
    assert (again.melt_id, again.melt.now_s, again.melt.state.temp_c) == (session.melt_id, 310.0, 70.0)


def test_a_wall_clock_set_back_makes_no_negative_gap() -> None:
    kept, session = _begun()
    session.record(Reading(10.0, 1e9 + 10.0, 70.0))
    again = Session.taken_up(kept, list(kept.rows), 1e9 - 3600.0, Shown())
    assert (again.melt.now_s, again.melt.state.gaps[0].length_s) == (10.0, 0.0)
