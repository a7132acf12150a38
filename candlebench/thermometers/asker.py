"""Instruments that speak only when they are asked: the question in time, its answer, silence, and repetition.

It knows neither port nor protocol: Modbus and SCPI are `Question`s, a serial port and a socket are `Wire`s.
"""

from typing import Protocol

from candlebench.core.clock import Clock
from candlebench.core.events import Reading, Refused, SourceEvent
from candlebench.thermometers.answers import Answer, Judge, NoAnswer, Noted, Outcome
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.recent_lines import RecentLine, RecentLines
from candlebench.thermometers.standing_trouble import StandingTrouble
from candlebench.words import tr

# After a failure the next question comes sooner than the person wished, but not at once.
RETRY_S = 0.8


class Question(Protocol):
    """One protocol: bytes out, bytes in, answers out; no port, no clock, no thread."""

    @property
    def tries(self) -> int:
        """How many failures in a row are trouble."""
        ...

    @property
    def patience_s(self) -> float:
        """How long an answer may take before it counts as missing."""
        ...

    @property
    def give_up_s(self) -> float:
        """How long an answer is waited for before the question is asked again."""
        ...

    def begin(self) -> None:
        """The wire was opened (again)."""
        ...

    def ask(self) -> bytes:
        """Return the next question; what came before it is forgotten."""
        ...

    def feed(self, data: bytes) -> list[Outcome]:
        """Return what the bytes complete."""
        ...

    def cut(self) -> NoAnswer | Noted | None:
        """The answer is not waited for any longer: return what came of it, None for nothing."""
        ...

    def silent_words(self) -> str:
        """One sentence for an instrument that does not answer."""
        ...


class Asker:
    """A `Talker` that asks for the temperature again and again.

    Parameters
    ----------
    question : Question
    every_s : float
        Seconds from one question to the next.
    clock : Clock
        The melt's clock.
    """

    def __init__(self, question: Question, every_s: float, clock: Clock) -> None:
        self._question = question
        self._every_s = every_s
        self._clock = clock
        self._judge = Judge()
        self._trouble = StandingTrouble(clock, question.tries)
        self._recent = RecentLines()
        self._asked_s: float | None = None
        self._due_s = float("-inf")
        self._is_late = False
        self._patience_s = question.patience_s

    @property
    def is_waiting(self) -> bool:
        """Whether a question is open."""
        return self._asked_s is not None

    @property
    def due_s(self) -> float:
        """When the next question is due, on the melt's clock."""
        return self._due_s

    @property
    def channels(self) -> tuple[str, ...]:
        """An instrument is asked for one channel: there is nothing to choose from."""
        return ()

    def recent_lines(self) -> list[RecentLine]:
        """Return the last answers, the newest last."""
        return self._recent.newest_last()

    def use(self, settings: LineSettings) -> None:
        """How numbers are read stands in the address; there are no lines to read in another way."""

    def reopened(self) -> None:
        """The wire was opened (again): ask at once."""
        self._question.begin()
        self._judge.forget()
        self._trouble.begin()
        self._asked_s = None
        self._due_s = float("-inf")

    def say(self) -> bytes:
        """Return the question when it is due and none is open."""
        now_s = self._clock.elapsed_s()
        if self._asked_s is not None or now_s < self._due_s:
            return b""
        self._asked_s = now_s
        self._is_late = False
        return self._question.ask()

    def hear(self, data: bytes) -> list[SourceEvent]:
        """Take what came, which may be nothing; return a reading, or what is wrong."""
        events: list[SourceEvent] = []
        for outcome in self._question.feed(data) if data else ():
            events += self._take(outcome)
        if self._asked_s is not None:
            events += self._wait(self._asked_s)
        return events

    def _take(self, outcome: Outcome) -> list[SourceEvent]:
        if isinstance(outcome, Noted):
            self._recent.note(outcome.text, outcome.read_as)
            if outcome.done:
                self._asked_s = None
            return []
        if self._asked_s is None:
            self._recent.note(outcome.text, tr("came unasked; not passed on"))
            return []
        judged = self._judge.judged(outcome) if isinstance(outcome, Answer) else outcome
        return self._temperature(judged) if isinstance(judged, Answer) else self._failure(judged)

    def _temperature(self, answer: Answer) -> list[SourceEvent]:
        now_s = self._clock.elapsed_s()
        self._recent.note(answer.text, _read_as(answer))
        took_s = now_s - self._end_exchange(self._every_s)
        if took_s > self._patience_s:
            # A slow instrument is no silent one.
            self._patience_s = min(1.5 * took_s, self._question.give_up_s)
        return [*self._trouble.good(), Reading(now_s, self._clock.wall_s(now_s), answer.temp_c)]

    def _failure(self, no_answer: NoAnswer) -> list[SourceEvent]:
        now_s = self._clock.elapsed_s()
        self._recent.note(no_answer.text, no_answer.why)
        self._end_exchange(RETRY_S)
        refused = Refused(now_s, self._clock.wall_s(now_s), no_answer.text[:200], no_answer.why)
        return [refused, *self._trouble.failed(no_answer.code, no_answer.sentence)]

    def _wait(self, asked_s: float) -> list[SourceEvent]:
        waited_s = self._clock.elapsed_s() - asked_s
        if waited_s >= self._question.give_up_s:
            return self._give_up()
        if waited_s >= self._patience_s and not self._is_late:
            self._is_late = True
            return self._silence()
        return []

    def _give_up(self) -> list[SourceEvent]:
        outcome = self._question.cut()
        if isinstance(outcome, NoAnswer):
            return self._failure(outcome)
        self._end_exchange(0.0)
        if isinstance(outcome, Noted):
            self._recent.note(outcome.text, outcome.read_as)
            return []
        return [] if self._is_late else self._silence()

    def _silence(self) -> list[SourceEvent]:
        return [*self._trouble.failed("silent", self._question.silent_words())]

    def _end_exchange(self, next_after_s: float) -> float:
        """The question is answered or given up: return when it was asked."""
        asked_s = self._clock.elapsed_s() if self._asked_s is None else self._asked_s
        self._asked_s = None
        self._due_s = asked_s + next_after_s
        return asked_s


def _read_as(answer: Answer) -> str:
    temp = f"{answer.temp_c:.2f} °C"
    return temp if answer.stated else tr("{value}, taken as °C").format(value=temp)
