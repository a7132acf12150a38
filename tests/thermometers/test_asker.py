"""Asking an instrument in time: pace, silence, repetition, and one word for each trouble."""

from collections.abc import Callable

import pytest
from hand_clock import HandClock

from candlebench.core.events import ProbeTrouble, Reading, Refused, SourceEvent
from candlebench.thermometers.answers import Answer, NoAnswer, Noted, Outcome
from candlebench.thermometers.asker import Asker

NUMBER = Answer("63.5", 63.5, True)
DAMAGED = NoAnswer("6?.5", "garbled", "damaged", "Answers come damaged.")
REFUSED = NoAnswer("no", "refused", "refused", "It refuses.")


class Scripted:
    """A question whose answers the test chooses: each byte heard stands for the next outcome."""

    patience_s = give_up_s = 0.8

    def __init__(self, tries: int) -> None:
        self.tries = tries
        self.outcomes: list[Outcome] = []
        self.at_the_end: NoAnswer | Noted | None = None
        self.begun = 0

    def begin(self) -> None:
        self.begun += 1

    def ask(self) -> bytes:
        return b"?"

    def feed(self, data: bytes) -> list[Outcome]:
        return [self.outcomes.pop(0) for _ in data]

    def cut(self) -> NoAnswer | Noted | None:
        return self.at_the_end

    def silent_words(self) -> str:
        return "It does not answer."


class Bench:
    """An asker, run in steps of a tenth of a second; `device` says what comes for each question."""

    def __init__(self, every_s: float = 1.0, tries: int = 2) -> None:
        self.clock = HandClock()
        self.question = Scripted(tries)
        self.asker = Asker(self.question, every_s, self.clock)
        self.asker.reopened()
        self.asked_s: list[float] = []

    def run(self, seconds: float, device: Callable[[], Outcome | None]) -> list[SourceEvent]:
        events: list[SourceEvent] = []
        for _ in range(round(seconds * 10)):
            data = b""
            if self.asker.say():
                self.asked_s.append(self.clock.now_s)
                outcome = device()
                if outcome is not None:
                    self.question.outcomes.append(outcome)
                    data = b"."
            events += self.asker.hear(data)
            self.clock.now_s = round(self.clock.now_s + 0.1, 6)
        return events


def said(events: list[SourceEvent]) -> list[str]:
    return [event.code for event in events if isinstance(event, ProbeTrouble)]


def test_it_asks_at_the_pace_that_was_wished_for() -> None:
    bench = Bench(every_s=2.0)
    events = bench.run(10.0, lambda: NUMBER)
    assert bench.asked_s == [0.0, 2.0, 4.0, 6.0, 8.0]
    assert [event.temp_c for event in events if isinstance(event, Reading)] == [63.5] * 5


@pytest.mark.parametrize("every_s", [0.1, 0.5, 1.0])
def test_silence_is_said_once_within_three_seconds_of_the_last_number(every_s: float) -> None:
    bench = Bench(every_s)
    last_s = [e for e in bench.run(3.0, lambda: NUMBER) if isinstance(e, Reading)][-1].elapsed_s
    (trouble,) = bench.run(60.0, lambda: None)
    assert isinstance(trouble, ProbeTrouble) and trouble.code == "silent"
    assert trouble.elapsed_s - last_s <= 3.0
    back, first, *others = bench.run(3.0, lambda: NUMBER)
    assert isinstance(back, ProbeTrouble) and back.code == "back" and isinstance(first, Reading)
    assert said(others) == []


def test_one_lost_answer_is_no_trouble_and_is_asked_for_again_soon() -> None:
    bench = Bench(every_s=10.0)
    answers: list[Outcome | None] = [NUMBER, DAMAGED, NUMBER]
    events = bench.run(15.0, lambda: answers.pop(0))
    assert [type(event) for event in events] == [Reading, Refused, Reading]
    assert bench.asked_s == [0.0, 10.0, pytest.approx(10.8)]


def test_damage_that_lasts_is_said_once_and_each_answer_kept_as_refused() -> None:
    bench = Bench()
    bench.run(3.0, lambda: NUMBER)
    events = bench.run(10.0, lambda: DAMAGED)
    assert said(events) == ["garbled"]
    assert len([event for event in events if isinstance(event, Refused)]) == len(bench.asked_s) - 3


def test_troubles_that_take_turns_are_said_as_one() -> None:
    bench = Bench()
    bench.run(3.0, lambda: NUMBER)
    turn = [DAMAGED, REFUSED] * 50
    assert said(bench.run(30.0, lambda: turn.pop(0))) in (["garbled"], ["refused"])


def test_a_trouble_that_gives_way_to_another_lasting_one_is_said_anew() -> None:
    bench = Bench()
    bench.run(3.0, lambda: NUMBER)
    assert said(bench.run(5.0, lambda: DAMAGED)) == ["garbled"]
    assert said(bench.run(5.0, lambda: REFUSED)) == ["refused"]


def test_what_comes_unasked_is_shown_and_not_passed_on() -> None:
    bench = Bench(every_s=60.0)
    bench.run(1.0, lambda: NUMBER)
    bench.question.outcomes.append(NUMBER)
    assert bench.asker.hear(b".") == []
    assert "unasked" in bench.asker.recent_lines()[-1].read_as


def test_another_devices_answer_is_waited_past() -> None:
    bench = Bench()
    bench.asker.say()
    bench.question.outcomes += [Noted("x", "of another device"), NUMBER]
    assert bench.asker.hear(b".") == []
    (reading,) = bench.asker.hear(b".")
    assert isinstance(reading, Reading)


def test_a_slow_instrument_is_silent_once_and_then_waited_for_longer() -> None:
    bench = Bench(every_s=5.0, tries=1)
    bench.question.give_up_s = 4.0
    bench.clock.now_s = 10.0
    codes = []
    for _ in range(4):
        bench.asker.say()
        for _ in range(25):
            codes += said(bench.asker.hear(b""))
            bench.clock.now_s += 0.1
        bench.question.outcomes.append(NUMBER)
        codes += said(bench.asker.hear(b"."))
        bench.clock.now_s += 3.0
    assert codes == ["silent", "back"]


def test_a_power_on_value_and_an_impossible_number_are_refused() -> None:
    bench = Bench()
    answers = [Answer("85.0", 85.0, True), Answer("900", 900.0, True), Answer("-127", -127.0, True), NUMBER]
    events = bench.run(4.5, lambda: answers.pop(0) if answers else NUMBER)
    assert [type(event) for event in events[:3]] == [Refused] * 3
    assert {event.temp_c for event in events if isinstance(event, Reading)} == {63.5}


def test_a_hot_number_without_a_unit_waits_for_the_person() -> None:
    bench = Bench()
    events = bench.run(5.0, lambda: Answer("146.3", 146.3, False))
    assert said(events) == ["undecided"] and not any(isinstance(event, Reading) for event in events)


def test_a_step_of_the_wall_clock_moves_neither_the_pace_nor_the_melts_time() -> None:
    bench = Bench()
    events = bench.run(5.0, lambda: NUMBER)
    bench.clock.wall_offset_s -= 3600.0
    events += bench.run(5.0, lambda: NUMBER)
    readings = [event for event in events if isinstance(event, Reading)]
    assert len(readings) == len(events) == 10
    assert [reading.elapsed_s for reading in readings] == [pytest.approx(float(n)) for n in range(10)]
    assert readings[5].wall_s == pytest.approx(readings[4].wall_s + 1.0 - 3600.0)


def test_after_a_suspend_the_open_question_is_given_up_and_asked_again() -> None:
    bench = Bench()
    bench.run(2.0, lambda: NUMBER)
    bench.asker.say()
    bench.clock.now_s += 7200.0
    events = bench.asker.hear(b"") + bench.run(2.0, lambda: NUMBER)
    assert any(isinstance(event, Reading) for event in events)
    assert said(events) == []
