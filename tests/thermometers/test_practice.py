"""The practice thermometer: readings in time, and steps that a person presses acting on the melt."""

import threading
from collections.abc import Iterator
from itertools import islice

import pytest

from candlebench.core.clock import ScaledClock
from candlebench.core.errors import FixableError
from candlebench.core.events import Action, ActionKind, Reading, SourceEvent
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
