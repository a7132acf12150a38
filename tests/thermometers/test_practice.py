"""The practice thermometer: readings in time, and steps that a person presses acting on the melt."""

import math
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import islice

import pytest

from candlebench.core.clock import ScaledClock
from candlebench.core.errors import FixableError
from candlebench.core.events import Action, ActionKind, Reading, SourceEvent
from candlebench.practice.scenario import Happening
from candlebench.practice.scenario_file import load_scenario
from candlebench.thermometers.practice import PracticeSource

FAST = 1e6


class StepClock:
    """A clock that shows what is waited for at once, or a little later, and keeps it until the next wait."""

    def __init__(self, late_s: float = 0.0) -> None:
        self.now_s = 0.0
        self.late_s = late_s

    def elapsed_s(self) -> float:
        return self.now_s

    def wall_s(self, elapsed_s: float) -> float:
        return 1.7e9 + elapsed_s

    def slept_s(self) -> float:
        return 0.0

    def real_seconds_until(self, elapsed_s: float) -> float:
        self.now_s = max(self.now_s, elapsed_s + self.late_s)
        return 0.0


def readings(events: Iterator[SourceEvent | Action], count: int) -> list[Reading]:
    found = [event for event in islice(events, count) if isinstance(event, Reading)]
    assert len(found) == count
    return found


def test_it_reads_once_a_second_of_melt_time() -> None:
    stop = threading.Event()
    got = readings(PracticeSource("first-jug", FAST).events(stop), 300)
    assert [reading.elapsed_s for reading in got] == [float(second) for second in range(300)]
    assert got[0].temp_c == pytest.approx(21.0, abs=0.3)
    assert got[-1].temp_c > got[0].temp_c + 5.0
    assert not any(reading.by_hand for reading in got)
    assert got[299].wall_s - got[0].wall_s == pytest.approx(299.0, abs=1e-5)


def test_another_pace_gives_the_same_melt_with_fewer_readings() -> None:
    slow = readings(PracticeSource("first-jug", FAST, every_s=10.0).events(threading.Event()), 30)
    quick = readings(PracticeSource("first-jug", FAST).events(threading.Event()), 300)
    assert [reading.elapsed_s for reading in slow] == [10.0 * number for number in range(30)]
    assert [reading.temp_c for reading in slow] == [reading.temp_c for reading in quick[::10]]


def test_at_twenty_times_the_pace_lateness_never_adds_up() -> None:
    # Every wait ends 10 ms of real time late, and so is every reading, the last no more than the first.
    clock = StepClock(late_s=0.01 * 20.0)
    late_s = []
    for event in islice(PracticeSource("first-jug", 20.0, clock=clock).events(threading.Event()), 300):
        late_s.append(clock.now_s - event.elapsed_s)
    assert max(late_s) <= 0.2 + 1e-9


def test_pressing_off_the_heat_lets_the_melt_cool() -> None:
    source = PracticeSource("first-jug", clock=StepClock())
    events = source.events(threading.Event())
    hot = readings(events, 1560)[-1]
    source.apply_action(ActionKind.OFF_HEAT)
    later = readings(events, 600)[-1]
    assert hot.temp_c > 80.0
    assert later.temp_c < hot.temp_c - 5.0


def test_an_action_falls_at_its_own_time_on_the_melts_clock() -> None:
    clock = StepClock()
    source = PracticeSource("first-jug", every_s=60.0, clock=clock)
    events = source.events(threading.Event())
    readings(events, 26)
    clock.now_s = 1545.0
    source.apply_action(ActionKind.OFF_HEAT)
    pressed_between = readings(events, 1)[0]
    other = PracticeSource("first-jug", every_s=60.0, clock=StepClock())
    other_events = other.events(threading.Event())
    readings(other_events, 26)
    other.apply_action(ActionKind.OFF_HEAT)
    pressed_before = readings(other_events, 1)[0]
    assert pressed_before.elapsed_s == pressed_between.elapsed_s == 1560.0
    assert pressed_between.temp_c > pressed_before.temp_c + 1.0


def test_undo_of_oil_brings_back_the_melt_without_it() -> None:
    clock, plain_clock = StepClock(), StepClock()
    source, plain = PracticeSource("first-jug", clock=clock), PracticeSource("first-jug", clock=plain_clock)
    events, plain_events = source.events(threading.Event()), plain.events(threading.Event())
    readings(events, 1500), readings(plain_events, 1500)
    source.apply_action(ActionKind.OIL_IN)
    chilled, without = readings(events, 40)[-1], readings(plain_events, 40)[-1]
    assert chilled.temp_c < without.temp_c - 0.5
    source.apply_action(ActionKind.UNDO)
    assert readings(events, 5) == readings(plain_events, 5)


def test_steps_may_be_pressed_from_any_thread() -> None:
    source = PracticeSource("first-jug", clock=StepClock())
    events = source.events(threading.Event())
    readings(events, 1500)
    pressers = [
        threading.Thread(target=source.apply_action, args=(kind,))
        for kind in [ActionKind.NOTE] * 7 + [ActionKind.OFF_HEAT]
    ]
    for presser in pressers:
        presser.start()
    for presser in pressers:
        presser.join()
    assert readings(events, 900)[-1].temp_c < 75.0


def test_by_itself_a_maker_does_the_steps_and_the_melt_ends() -> None:
    events = list(PracticeSource("first-jug", FAST, by_itself=True).events(threading.Event()))
    actions = [event for event in events if isinstance(event, Action)]
    assert [action.kind for action in actions] == [
        ActionKind.OFF_HEAT,
        ActionKind.OIL_IN,
        ActionKind.STIRRED,
        ActionKind.POURED,
        ActionKind.FINISHED,
    ]
    temps = {event.elapsed_s: event.temp_c for event in events if isinstance(event, Reading)}
    at_c = {action.kind: temps[action.elapsed_s] for action in actions}
    assert at_c[ActionKind.OFF_HEAT] == pytest.approx(84.0, abs=0.3)
    assert 70.0 <= at_c[ActionKind.OIL_IN] <= 75.0
    assert 68.0 <= at_c[ActionKind.POURED] <= 71.0
    assert events[-1] == actions[-1]


def test_the_makers_own_steps_handed_back_to_the_source_are_not_done_twice() -> None:
    echoed, alone = (PracticeSource("first-jug", clock=StepClock(), by_itself=True) for _ in range(2))
    plain = list(alone.events(threading.Event()))
    with_echo = []
    for event in echoed.events(threading.Event()):
        with_echo.append(event)
        if isinstance(event, Action):
            echoed.apply_action(event.kind)
    assert with_echo == plain


def test_a_step_that_somebody_else_does_is_not_done_again_by_the_maker() -> None:
    source = PracticeSource("first-jug", clock=StepClock(), by_itself=True)
    events = source.events(threading.Event())
    readings(events, 1450)
    source.apply_action(ActionKind.OFF_HEAT)
    kinds = [event.kind for event in events if isinstance(event, Action)]
    assert kinds == [ActionKind.OIL_IN, ActionKind.STIRRED, ActionKind.POURED, ActionKind.FINISHED]


def test_turning_the_knob_reaches_the_hob_at_once_for_whoever_looks() -> None:
    source = PracticeSource("first-jug", clock=StepClock())
    events = source.events(threading.Event())
    readings(events, 600)
    assert source.heat_fraction == 1.0
    source.set_heat(0.25)
    assert source.heat_fraction == 0.25
    readings(events, 2)
    assert source.heat_fraction == 0.25
    readings(events, 300)
    assert source.truth_curve()[-1].hob_w == pytest.approx(0.25 * 1001.0, rel=0.01)


def test_a_knob_turned_as_an_action_drives_the_melt_and_other_details_do_not_matter() -> None:
    source = PracticeSource("first-jug", clock=StepClock())
    events = source.events(threading.Event())
    readings(events, 10)
    source.apply_action(ActionKind.HEAT_SET, "0.6")
    source.apply_action(ActionKind.NOTE, "smells of honey")
    source.apply_action(ActionKind.GUESS, "75.0 420")
    readings(events, 1)
    assert source.heat_fraction == 0.6
    with pytest.raises(FixableError, match="from 0 to 1"):
        source.apply_action(ActionKind.HEAT_SET, "full")
    readings(events, 1)
    assert source.heat_fraction == 0.6


def test_the_truth_is_kept_beside_every_reading() -> None:
    source = PracticeSource("first-jug", clock=StepClock())
    events = source.events(threading.Event())
    got = readings(events, 400)
    truth = source.truth_curve()
    assert [one.elapsed_s for one in truth] == [reading.elapsed_s for reading in got]
    assert truth[-1].wax_c == pytest.approx(got[-1].temp_c, abs=1.5)
    assert truth[-1].bath_c > truth[-1].jug_c > truth[-1].wax_c


def test_without_a_cable_nothing_is_read_but_the_display_follows_the_melt() -> None:
    source = PracticeSource("no-cable", FAST)
    stop = threading.Event()
    shown: list[float] = []

    def end_it() -> None:
        while len(source.truth_curve()) < 1200:
            shown.append(source.probe_shows_c)
        stop.set()

    watcher = threading.Thread(target=end_it)
    watcher.start()
    got = list(source.events(stop))
    watcher.join()
    assert [event for event in got if isinstance(event, Reading)] == []
    assert shown[0] == pytest.approx(20.0, abs=0.3)
    assert source.probe_shows_c > 60.0
    assert source.probe_shows_c == round(source.probe_shows_c, 1)


def test_what_happens_comes_out_as_a_note_and_keeps_the_person_away() -> None:
    bell = Happening(text="The phone rings.", at_min=1.0, lasts_min=2.0, away=True)
    scenario = replace(load_scenario("first-jug"), happenings=(bell,))
    source = PracticeSource(scenario, clock=StepClock())
    events = source.events(threading.Event())
    readings(events, 60)
    assert (source.happening, source.away) == ("", False)
    assert isinstance(next(events), Reading)
    note = next(events)
    assert isinstance(note, Action)
    assert (note.kind, note.detail, note.elapsed_s) == (ActionKind.NOTE, "The phone rings.", 60.0)
    assert (source.happening, source.away) == ("The phone rings.", True)
    readings(events, 125)
    assert (source.happening, source.away) == ("", False)


def test_a_skip_ends_where_something_happens_and_when_the_melt_is_left() -> None:
    bell = Happening(text="The phone rings.", at_min=1.0)
    source = PracticeSource(replace(load_scenario("first-jug"), happenings=(bell,)), 1.0)
    with Worker(source) as worker:
        worker.until(lambda: len(worker.seen) > 0)
        source.skip(600.0)
        worker.until(lambda: not source.skipping)
        assert worker.seen[-1].elapsed_s == 60.0
        assert source.clock.elapsed_s() < 65.0
        source.skip(1e6)
    assert not source.skipping


def test_a_maker_by_herself_waits_until_she_is_back() -> None:
    events = list(PracticeSource("phone-rings", FAST, by_itself=True, seed=1).events(threading.Event()))
    actions = [event for event in events if isinstance(event, Action)]
    assert [action.kind for action in actions[:2]] == [ActionKind.NOTE, ActionKind.OFF_HEAT]
    assert actions[1].elapsed_s - actions[0].elapsed_s == pytest.approx(360.0, abs=2.0)


class Worker:
    """Works on a source's events in a thread of its own, as a running melt does."""

    def __init__(self, source: PracticeSource, tells: bool = False) -> None:
        self.source, self.tells = source, tells
        self.stop = threading.Event()
        self.seen: list[Reading] = []
        self.stop_skip_at_c = math.inf
        self.thread = threading.Thread(target=self._work)

    def __enter__(self) -> "Worker":
        self.thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.stop.set()
        self.thread.join()

    def _work(self) -> None:
        for event in self.source.events(self.stop):
            if isinstance(event, Reading):
                self.seen.append(event)
                if event.temp_c >= self.stop_skip_at_c:
                    self.source.stop_skipping()
            if self.tells:
                self.source.applied(event.elapsed_s)

    def until(self, done: Callable[[], bool]) -> None:
        ends_s = time.monotonic() + 20.0
        while not done():
            assert time.monotonic() < ends_s, "nothing came"
            self.stop.wait(0.002)


@pytest.mark.parametrize("tells", [False, True])
def test_a_skip_runs_ahead_and_leaves_no_reading_out(tells: bool) -> None:
    source = PracticeSource("first-jug", 1.0)
    with Worker(source, tells) as worker:
        worker.until(lambda: len(worker.seen) > 0)
        source.skip(300.0)
        worker.until(lambda: not source.skipping)
        assert 300.0 <= source.clock.elapsed_s() < 330.0
        count = len(worker.seen)
    assert [reading.elapsed_s for reading in worker.seen] == [float(n) for n in range(len(worker.seen))]
    assert count >= 300
    walls = [reading.wall_s - reading.elapsed_s for reading in worker.seen]
    assert max(walls) - min(walls) < 1e-3


@pytest.mark.parametrize("tells", [False, True])
def test_a_skip_that_is_stopped_at_a_reading_goes_no_further(tells: bool) -> None:
    source = PracticeSource("first-jug", 1.0)
    with Worker(source, tells) as worker:
        worker.stop_skip_at_c = 40.0
        worker.until(lambda: len(worker.seen) > 0)
        source.skip(3600.0)
        worker.until(lambda: worker.seen[-1].temp_c >= 40.0)
        assert not source.skipping
        hit_s = worker.seen[-1].elapsed_s
        assert source.clock.elapsed_s() < hit_s + 5.0


def test_a_paused_melt_stands_still_and_can_still_be_skipped_on() -> None:
    source = PracticeSource("first-jug", 100.0)
    with Worker(source) as worker:
        worker.until(lambda: len(worker.seen) > 20)
        source.pause()
        stood_s = source.clock.elapsed_s()
        worker.until(lambda: worker.seen[-1].elapsed_s >= math.floor(stood_s))
        count = len(worker.seen)
        worker.stop.wait(0.3)
        assert len(worker.seen) == count and source.clock.elapsed_s() == stood_s
        source.skip(50.0)
        worker.until(lambda: not source.skipping and worker.seen[-1].elapsed_s >= math.floor(stood_s + 50.0))
        assert source.paused and source.clock.elapsed_s() == pytest.approx(stood_s + 50.0, abs=1.01)
        source.resume()
        worker.until(lambda: len(worker.seen) > count + 60)


def test_when_the_work_is_slow_the_clock_waits_for_it() -> None:
    source = PracticeSource("first-jug", 2000.0)
    events = source.events(threading.Event())
    source.applied(next(events).elapsed_s)
    begun_s = source.clock.elapsed_s()
    for _ in range(100):
        event = next(events)
        source.applied(event.elapsed_s)
        time_is_s = max(begun_s, event.elapsed_s + 5.0)
        # So much has real time to do until the clock would be that far by itself.
        while source.clock.real_seconds_until(time_is_s) > 0.0:
            pass
        # A silence of ten seconds would be an alarm.
        assert source.clock.elapsed_s() <= time_is_s


def test_a_skip_waits_for_whoever_tells_how_far_the_work_is() -> None:
    source = PracticeSource("first-jug", 1.0)
    stop = threading.Event()
    events = source.events(stop)
    source.applied(next(events).elapsed_s)
    source.skip(100.0)
    ahead = next(events)
    waiting = threading.Thread(target=lambda: got.append(next(events)))
    got: list[SourceEvent | Action] = []
    waiting.start()
    waiting.join(0.3)
    assert got == []
    source.applied(ahead.elapsed_s)
    waiting.join(5.0)
    assert [event.elapsed_s for event in got] == [2.0]


def test_it_stops_when_asked() -> None:
    stop = threading.Event()
    events = PracticeSource("first-jug", 20.0).events(stop)
    next(events)
    stop.set()
    assert list(events) == []


def test_it_says_what_it_is_and_what_is_in_the_jug() -> None:
    source = PracticeSource("first-jug", 20.0)
    assert isinstance(source.clock, ScaledClock) and source.clock.speed == 20.0
    assert source.label.startswith("practice: ")
    assert source.setup.wax == "beeswax" and source.setup.title == source.scenario.title


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: PracticeSource("first-jug", 0.0), "give a number above 0"),
        (lambda: PracticeSource("first-jug", -20.0), "give a number above 0"),
        (lambda: PracticeSource("first-jug", every_s=0.0), "give a number above 0"),
        (lambda: PracticeSource("no-such-jug"), "choose one of"),
    ],
)
def test_what_cannot_be_practised_is_refused_with_what_to_do(make, said: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(FixableError, match=said):
        make()
