"""Runs one melt: events in, journal first, then the fold, then the listener. Window and console share it."""

import logging
import queue
import threading
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Protocol
from uuid import UUID, uuid4

from candlebench.core.clock import Clock
from candlebench.core.events import (
    Action,
    ActionKind,
    Event,
    Gap,
    MeltBegan,
    ProbeTrouble,
    Reading,
    Recorded,
    SetupChanged,
)
from candlebench.core.melt import Melt
from candlebench.core.place import Place
from candlebench.core.setup import MeltSetup
from candlebench.core.state import Notice
from candlebench.core.units import Shown
from candlebench.second_probe import Secondary
from candlebench.thermometers.source import ThermometerSource, ended, events_of

log = logging.getLogger(__name__)

TICK_S = 0.25
ASLEEP_S = 2.0
# A source that floods is slowed down here rather than filling the memory.
QUEUE_LENGTH = 2000


class EventLog(Protocol):
    """What keeps the events: the journal, or nothing in a dry run."""

    def append(self, recorded: Recorded) -> None:
        """Keep one event; returns at once."""
        ...


class NoLog:
    """Keeps nothing."""

    def append(self, recorded: Recorded) -> None:
        """Drop the event."""


class Session:
    """Numbers the events of one melt, keeps them, and folds them. No thread, no clock."""

    def __init__(self, log_of: EventLog, melt_id: UUID, melt: Melt, next_number: int) -> None:
        self.melt_id = melt_id
        self.melt = melt
        self._log = log_of
        self._next_number = next_number

    @classmethod
    def begin(cls, log_of: EventLog, setup: MeltSetup, wall_s: float, shown: Shown) -> "Session":
        """Start a new melt."""
        session = cls(log_of, uuid4(), Melt(shown), 0)
        session.record(MeltBegan(0.0, wall_s, setup))
        return session

    @classmethod
    def taken_up(
        cls, log_of: EventLog, recorded: Iterable[Recorded], wall_s: float, shown: Shown
    ) -> "Session":
        """Go on with a recorded melt; the time since its last event becomes a gap."""
        past = list(recorded)
        melt = Melt.replayed((r.event for r in past), shown)
        session = cls(log_of, past[0].melt, melt, past[-1].number + 1)
        last = max((r.event for r in past), key=lambda e: e.elapsed_s)
        length_s = max(0.0, wall_s - last.wall_s)
        session.record(Gap(last.elapsed_s + length_s, wall_s, length_s, "closed"))
        return session

    def record(self, event: Event) -> list[Notice]:
        """Keep one event, then let it count."""
        self._keep(event)
        notices = self.melt.apply(event)
        for left_out in self.melt.left_out:
            self._keep(left_out)
        return notices

    def _keep(self, event: Event) -> None:
        self._log.append(Recorded(self.melt_id, self._next_number, event))
        self._next_number += 1


@dataclass(frozen=True, slots=True)
class Moment:
    """Something happened in a running melt: an event (or only time passing), and what is to be said."""

    event: Event | None
    notices: tuple[Notice, ...]
    melt: Melt


class Runner:
    """A session with a source and a thread that applies events one after another.

    Parameters
    ----------
    listener : callable
        Called with a `Moment` from the runner's thread, for every event and about four times a second.
    beside : Secondary or None
        A second thermometer, which goes by the clock of the first. Its end does not end the melt.
    """

    def __init__(
        self,
        session: Session,
        source: ThermometerSource,
        listener: Callable[[Moment], None],
        beside: Secondary | None = None,
    ) -> None:
        self.session = session
        self.source = source
        self.beside: Secondary | None = None
        self._wished = beside
        self._listener = listener
        self._queue: queue.Queue[Event] = queue.Queue(QUEUE_LENGTH)
        self._stop = threading.Event()
        self._ended = threading.Event()
        self._worker = threading.Thread(target=self._work, name="melt", daemon=True)
        self._pump = threading.Thread(target=self._read_source, name="thermometer", daemon=True)

    @property
    def clock(self) -> Clock:
        return self.source.clock

    @property
    def source_ended(self) -> threading.Event:
        """Set when the source has ended by itself and all its events have been applied."""
        return self._ended

    def start(self) -> None:
        self._worker.start()
        self._pump.start()
        self.read_beside(self._wished)

    def read_beside(self, beside: Secondary | None) -> None:
        """Read another second thermometer from now on, or none; the first one is not touched."""
        if self.beside is not None:
            self.beside.stop()
        self.beside = beside
        if beside is not None:
            beside.start(self._put)

    def stop(self) -> None:
        """Stop all threads; whatever waits in the queue is applied first."""
        self._stop.set()
        if self.beside is not None:
            self.beside.stop()
        for thread in (self._pump, self._worker):
            if thread.is_alive() and thread is not threading.current_thread():
                thread.join(timeout=5.0)

    def act(self, kind: ActionKind, detail: str = "") -> None:
        """The person did something now; a practice melt does it too."""
        take_action = getattr(self.source, "apply_action", None)
        if take_action is not None:
            take_action(kind, detail)
        elapsed_s = self.clock.elapsed_s()
        self._put(Action(elapsed_s, self.clock.wall_s(elapsed_s), kind, detail))

    def typed(self, temp_c: float, ago_s: float = 0.0) -> None:
        """The person read `temp_c` off a thermometer, `ago_s` seconds ago."""
        elapsed_s = max(0.0, self.clock.elapsed_s() - ago_s)
        self._put(Reading(elapsed_s, self.clock.wall_s(elapsed_s), temp_c, by_hand=True))

    def change_setup(self, setup: MeltSetup) -> None:
        """The person corrected what the melt is made of."""
        elapsed_s = self.clock.elapsed_s()
        self._put(SetupChanged(elapsed_s, self.clock.wall_s(elapsed_s), setup))

    def _put(self, event: Event) -> None:
        while not self._stop.is_set():
            try:
                self._queue.put(event, timeout=0.2)
                return
            except queue.Full:
                continue

    def _read_source(self) -> None:
        said = False
        for event in events_of(self.source, self._stop):
            self._put(event)
            said = isinstance(event, ProbeTrouble) and event.code == "ended"
        if not self._stop.is_set() and not said:
            self._put(ended(self.source))

    def _work(self) -> None:
        ticked_s = time.monotonic()
        while True:
            try:
                event = self._queue.get(timeout=TICK_S)
            except queue.Empty:
                if self._stop.is_set():
                    return
                event = None
            self._mark_sleep()
            if event is not None:
                self._apply(event)
            if time.monotonic() - ticked_s >= TICK_S:
                ticked_s = time.monotonic()
                self._tick()

    def _mark_sleep(self) -> None:
        slept_s = self.clock.slept_s()
        if slept_s >= ASLEEP_S:
            elapsed_s = self.clock.elapsed_s()
            self._apply(Gap(elapsed_s, self.clock.wall_s(elapsed_s), slept_s, "asleep"))

    def _apply(self, event: Event) -> None:
        try:
            notices = self.session.record(event)
            self._listener(Moment(event, tuple(notices), self.session.melt))
        except Exception:
            # A bug must not end the melt: the event is in the journal, the next one is tried.
            log.exception("an event could not be applied: %r", event)
        if isinstance(event, ProbeTrouble) and event.code == "ended" and event.place is Place.MELT:
            self._ended.set()

    def _tick(self) -> None:
        try:
            notices = self.session.melt.tick(self.clock.elapsed_s())
            self._listener(Moment(None, tuple(notices), self.session.melt))
        except Exception:
            log.exception("the melt's clock tick failed")
