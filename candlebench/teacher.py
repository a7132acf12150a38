"""Draws the lessons of melts that have ended, in a thread of its own. No Qt."""

import logging
import threading
from collections import deque
from uuid import UUID

from candlebench.addresses import is_live
from candlebench.core.believed import last_setup
from candlebench.core.errors import CandlebenchError
from candlebench.core.events import Event
from candlebench.core.learning.lesson import lesson_of
from candlebench.core.melt import Melt
from candlebench.core.track_record import KeptForecast
from candlebench.records.journal import Journal
from candlebench.records.lessons import Lessons

log = logging.getLogger(__name__)

# A melt of which the program died is folded again for its forecasts, unless that would take minutes.
MOST_EVENTS_TO_FOLD = 40_000
FLUSH_S = 5.0
# Old melts wait until the window stands, and let it work in between.
SETTLE_S = 3.0
SLICE = 100
PAUSE_S = 0.02


def origin_of(source: str) -> str:
    """'live' for a real thermometer, else 'practice' or 'replay'.

    A practice melt teaches about the scenario's own lot, jug and probe, so that the program can be seen to
    learn; a replayed file teaches nothing, since the same file may be played twice.
    """
    return "live" if is_live(source) else source.partition(":")[0]


class _Interrupted(Exception):
    """Something more urgent has come; the lesson is drawn later, or at the next start."""


class Teacher:
    """Draws one lesson after another: of melts that have just ended first, of old ones when there is time.

    Parameters
    ----------
    journal : Journal
        Where the events are.
    lessons : Lessons
        Where the lessons go.
    """

    def __init__(self, journal: Journal, lessons: Lessons) -> None:
        self._journal, self._lessons = journal, lessons
        self._changed = threading.Condition()
        self._ended: deque[tuple[UUID, tuple[KeptForecast, ...]]] = deque()
        self._old: deque[UUID] = deque()
        self._stop = False
        self._thread: threading.Thread | None = None

    def teach(self, melt: UUID, forecasts: tuple[KeptForecast, ...]) -> None:
        """Draw the lesson of a melt that has ended soon, and keep its forecasts; returns at once."""
        with self._changed:
            if not self._stop:
                self._ended.append((melt, forecasts))
                self._wake()

    def catch_up(self, but: UUID) -> None:
        """Draw the lessons of all melts that have none, except of the one that is running.

        Raises
        ------
        FixableError
            The records cannot be read.
        """
        old = [m.uuid for m in self._lessons.undrawn(self._journal.melts()) if m.uuid != but]
        with self._changed:
            if old and not self._stop:
                self._old.extend(old)
                self._wake()

    def wait(self, timeout_s: float) -> bool:
        """Wait until the melts that have ended are learned from; False when that takes longer."""
        with self._changed:
            return self._changed.wait_for(lambda: not self._ended, timeout_s)

    def stop(self, timeout_s: float) -> None:
        """Finish what has just ended if that is quick, and end the thread; the rest is for the next start."""
        with self._changed:
            self._old.clear()
            self._changed.wait_for(lambda: not self._ended, timeout_s)
            self._stop = True
            self._changed.notify_all()
        if self._thread is not None:
            self._thread.join()

    def _wake(self) -> None:
        if self._thread is None:
            self._thread = threading.Thread(target=self._work, name="lessons", daemon=True)
            self._thread.start()
        self._changed.notify_all()

    def _work(self) -> None:
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._stop or self._ended or self._old)
                if self._stop:
                    return
                ended = self._ended[0] if self._ended else None
                old = self._old[0] if self._old and ended is None else None
            try:
                if ended is not None:
                    self._draw(*ended)
                elif old is not None and self._may_go_on(SETTLE_S):
                    self._draw(old, None)
            except _Interrupted:
                continue
            except CandlebenchError as error:
                log.warning("a lesson was not kept: %s", error)
            except Exception:
                # A bug must not take the thread, and with it all later lessons.
                log.exception("a lesson could not be drawn")
            with self._changed:
                if ended is not None:
                    self._ended.popleft()
                elif old is not None and self._old:
                    self._old.popleft()
                self._changed.notify_all()

    def _may_go_on(self, wait_s: float) -> bool:
        """Let the window have the processor for a while.

        Raises
        ------
        _Interrupted
            Something more urgent has come.
        """
        with self._changed:
            if self._changed.wait_for(lambda: self._stop or self._ended or not self._old, wait_s):
                raise _Interrupted
        return True

    def _draw(self, melt: UUID, forecasts: tuple[KeptForecast, ...] | None) -> None:
        self._journal.flush(FLUSH_S)
        summary = next((m for m in self._journal.melts() if m.uuid == melt), None)
        events = [] if summary is None else self._events(melt)
        setup = last_setup(events)
        if summary is None or setup is None:
            return
        origin = origin_of(setup.source)
        if forecasts is None:
            forecasts = self._folded(events) if len(events) <= MOST_EVENTS_TO_FOLD else ()
        named = bool(setup.lot or setup.jug or setup.probe) and origin != "replay"
        lesson = lesson_of(events) if named else None
        self._lessons.keep(summary, origin, setup, lesson, forecasts)

    def _events(self, melt: UUID) -> list[Event]:
        events: list[Event] = []
        for recorded in self._journal.events(melt):
            if self._stop:
                raise _Interrupted
            events.append(recorded.event)
        return events

    def _folded(self, events: list[Event]) -> tuple[KeptForecast, ...]:
        """Forecasts of a melt during which the program ended, made once more from its events."""
        melt = Melt()
        for number, event in enumerate(events):
            melt.apply(event)
            if number % SLICE == 0:
                self._may_go_on(PAUSE_S)
        return melt.kept_forecasts
