"""The way from a thermometer's thread to the check page: bounded, honest about age, one port at a time."""

import threading
from collections.abc import Iterator

import pytest
from hand_clock import HandClock
from PySide6.QtCore import QObject
from pytestqt.qtbot import QtBot

from candlebench.core.clock import Clock, LiveClock
from candlebench.core.errors import FixableError
from candlebench.core.events import ProbeTrouble, Reading
from candlebench.core.place import Place
from candlebench.thermometers.source import ThermometerSource
from candlebench.ui.check_feed import LEAST_APART_S, ProbeFeed, Way

PATIENT_MS = 20_000


class Told:
    """A source that says what the test tells it, from its own thread."""

    label = "told"

    def __init__(self, clock: Clock, events: list[Reading | ProbeTrouble]) -> None:
        self.clock = clock
        self._events = events
        self.all_said = threading.Event()

    def events(self, stop: threading.Event) -> Iterator[Reading | ProbeTrouble]:
        yield from self._events
        self.all_said.set()
        stop.wait()


def reading(at_s: float, temp_c: float, place: Place = Place.MELT) -> Reading:
    return Reading(at_s, 1.7e9 + at_s, temp_c, place=place)


@pytest.fixture
def parent(qtbot: QtBot) -> QObject:
    return QObject()


def fed(
    parent: QObject, qtbot: QtBot, events: list[Reading | ProbeTrouble], clock: Clock | None = None
) -> ProbeFeed:
    told: list[Told] = []

    def opened(address: str, used: Clock) -> ThermometerSource:
        told.append(Told(used, events))
        return told[-1]

    feed = ProbeFeed(parent, opened, lambda: clock or LiveClock())
    feed.use(Way("serial:/dev/thermometer"))
    qtbot.waitUntil(lambda: told[0].all_said.is_set(), timeout=PATIENT_MS)
    return feed


def test_a_flood_is_thinned_and_does_not_fill_the_memory(parent: QObject, qtbot: QtBot) -> None:
    # Ten thousand readings a second for ten seconds, while the window is busy with something else.
    flood = [reading(n / 10_000.0, 20.0) for n in range(100_000)]
    feed = fed(parent, qtbot, list(flood))
    taken = feed.take()
    assert len(taken) <= 10.0 / LEAST_APART_S + 1
    assert taken[-1][0] > 9.9
    feed.stop()


def test_readings_of_a_second_probe_are_not_those_of_this_one(parent: QObject, qtbot: QtBot) -> None:
    feed = fed(
        parent, qtbot, [reading(1.0, 88.0, Place.BATH), reading(1.1, 61.0), reading(1.2, 88.1, Place.BATH)]
    )
    assert feed.take() == [(1.1, 61.0)]
    feed.stop()


def test_an_old_reading_is_not_taken_for_that_of_now(parent: QObject, qtbot: QtBot) -> None:
    clock = HandClock()
    feed = fed(parent, qtbot, [reading(1.0, 20.0), reading(2.0, 20.1)], clock)
    clock.now_s = 3.0
    assert feed.is_fresh and not feed.words()
    clock.now_s = 9.0
    assert not feed.is_fresh
    assert feed.words() == "No reading for 7 s: look at the plug."
    feed.stop()


def test_a_trouble_is_said_until_a_reading_comes(parent: QObject, qtbot: QtBot) -> None:
    gone = ProbeTrouble(2.0, 1.7e9, "unplugged", "It is gone: plug it in again.")
    feed = fed(parent, qtbot, [reading(1.0, 20.0), gone])
    assert feed.words() == "It is gone: plug it in again."
    feed.stop()
    feed = fed(parent, qtbot, [reading(1.0, 20.0), gone, reading(2.5, 20.0)])
    assert feed.trouble == ""
    feed.stop()


def test_the_bath_probes_trouble_is_not_this_ones(parent: QObject, qtbot: QtBot) -> None:
    silent = ProbeTrouble(2.0, 1.7e9, "silent", "The bath is silent.", Place.BATH)
    feed = fed(parent, qtbot, [reading(1.0, 20.0), silent])
    assert feed.trouble == ""
    feed.stop()


def test_an_address_that_cannot_be_opened_is_said(parent: QObject) -> None:
    def refuses(address: str, clock: Clock) -> ThermometerSource:
        raise FixableError("Write the address anew.")

    feed = ProbeFeed(parent, refuses)
    feed.use(Way("nonsense:"))
    assert feed.words() == "Write the address anew."
    feed.stop()


def test_a_source_that_ends_or_breaks_says_so(parent: QObject, qtbot: QtBot) -> None:
    class Broken(Told):
        def events(self, stop: threading.Event) -> Iterator[Reading | ProbeTrouble]:
            yield reading(1.0, 20.0)
            raise FixableError("The file has gone.")

    feed = ProbeFeed(parent, lambda address, clock: Broken(clock, []))
    feed.use(Way("file:/tmp/none"))
    qtbot.waitUntil(lambda: feed.trouble == "The file has gone.", timeout=PATIENT_MS)
    feed.stop()


def test_stopping_waits_until_the_port_is_free(parent: QObject, qtbot: QtBot) -> None:
    closed = threading.Event()

    class Slow(Told):
        def events(self, stop: threading.Event) -> Iterator[Reading | ProbeTrouble]:
            yield reading(1.0, 20.0)
            stop.wait()
            # Closing a port takes a moment.
            threading.Event().wait(0.2)
            closed.set()

    feed = ProbeFeed(parent, lambda address, clock: Slow(clock, []))
    feed.use(Way("serial:/dev/thermometer"))
    qtbot.waitUntil(lambda: feed.last_c == 20.0, timeout=PATIENT_MS)
    feed.stop()
    assert closed.is_set()
    assert feed.last_c is None and feed.take() == []


def test_the_same_way_is_not_opened_twice(parent: QObject, qtbot: QtBot) -> None:
    opened: list[str] = []

    def opener(address: str, clock: Clock) -> ThermometerSource:
        opened.append(address)
        return Told(clock, [])

    feed = ProbeFeed(parent, opener)
    feed.use(Way("serial:/dev/a"))
    feed.use(Way("serial:/dev/a"))
    feed.use(Way("serial:/dev/a", by_melt=True))
    assert opened == ["serial:/dev/a"]
    assert not any(thread.name == "probe check" for thread in threading.enumerate())
    feed.stop()
