"""A replay gives a file's readings when they are due, without drift."""

import threading
from itertools import islice, pairwise
from pathlib import Path

import pytest

from candlebench.core.clock import ScaledClock
from candlebench.core.errors import BadDataError, FixableError
from candlebench.core.events import Reading
from candlebench.thermometers.replay import ReplaySource


class HandClock:
    """A scaled clock whose real time moves only when somebody waits, and a `stop` that moves it."""

    def __init__(self, speed: float, late_s: float = 0.0) -> None:
        self.speed = speed
        self.real_s = 0.0
        self.waits_s: list[float] = []
        self.late_s = late_s

    def elapsed_s(self) -> float:
        return self.real_s * self.speed

    def wall_s(self, elapsed_s: float) -> float:
        return 1.7e9 + elapsed_s

    def slept_s(self) -> float:
        return 0.0

    def real_seconds_until(self, elapsed_s: float) -> float:
        return (elapsed_s - self.elapsed_s()) / self.speed


class HandStop(threading.Event):
    """Waiting on it moves a HandClock on, a little further than asked for."""

    def __init__(self, clock: HandClock) -> None:
        super().__init__()
        self._clock = clock

    def wait(self, timeout: float | None = None) -> bool:
        assert timeout is not None and timeout <= 0.2
        self._clock.waits_s.append(timeout)
        self._clock.real_s += timeout + self._clock.late_s
        return self.is_set()


@pytest.fixture
def series(tmp_path: Path) -> Path:
    path = tmp_path / "melt.csv"
    lines = [f"{600.0 + 1.5 * number},{75.0 - 0.01 * number:.2f}" for number in range(400)]
    path.write_text("t_s,temp_C\n" + "\n".join(lines) + "\n", encoding="utf-8")
    return path


def test_every_reading_comes_once_with_the_files_times_from_zero(series: Path) -> None:
    readings = list(ReplaySource(series, speed=1e6).events(threading.Event()))
    assert all(isinstance(reading, Reading) for reading in readings)
    assert [reading.elapsed_s for reading in readings] == [1.5 * number for number in range(400)]
    assert readings[0].temp_c == 75.0 and readings[-1].temp_c == 71.01  # type: ignore[union-attr]
    gaps_s = [later.wall_s - earlier.wall_s for earlier, later in pairwise(readings)]
    assert gaps_s == pytest.approx([1.5] * 399, abs=1e-5)


@pytest.mark.parametrize("speed", [0.5, 1.0, 20.0, 60.0])
def test_lateness_of_each_wait_never_adds_up(speed: float, series: Path) -> None:
    # Every wait ends 10 ms late, 400 times over.
    clock = HandClock(speed, late_s=0.01)
    late_s = []
    for reading in ReplaySource(series, speed, clock=clock).events(HandStop(clock)):
        late_s.append(clock.real_s - reading.elapsed_s / speed)
    assert len(late_s) == 400
    assert min(late_s) >= -1e-9
    assert max(late_s) < 0.011


def test_it_waits_as_long_as_the_speed_says(series: Path) -> None:
    clock = HandClock(60.0)
    list(ReplaySource(series, 60.0, clock=clock).events(HandStop(clock)))
    assert sum(clock.waits_s) == pytest.approx(399 * 1.5 / 60.0)


def test_a_reader_that_begins_late_gets_what_is_due_at_once(series: Path) -> None:
    clock = HandClock(1.0)
    source = ReplaySource(series, clock=clock)
    clock.real_s = 30.0
    early = list(islice(source.events(HandStop(clock)), 21))
    assert [reading.elapsed_s for reading in early] == [1.5 * number for number in range(21)]
    assert clock.waits_s == []


def test_it_stops_when_asked_while_it_waits(series: Path) -> None:
    clock = HandClock(1.0)
    stop = HandStop(clock)
    events = ReplaySource(series, clock=clock).events(stop)
    next(events)
    stop.set()
    assert list(events) == []


def test_it_brings_its_own_clock_of_that_speed(series: Path) -> None:
    source = ReplaySource(series, 60.0)
    assert isinstance(source.clock, ScaledClock) and source.clock.speed == 60.0
    assert source.label == "replay: melt.csv"


@pytest.mark.parametrize("speed", [0.0, -1.0, float("nan"), float("inf")])
def test_a_speed_at_which_nothing_plays_is_refused(speed: float, series: Path) -> None:
    with pytest.raises(FixableError, match="give a number above 0"):
        ReplaySource(series, speed)


def test_a_file_that_is_no_series_is_refused_before_the_melt_begins(tmp_path: Path) -> None:
    (tmp_path / "bad.csv").write_text("0,73\n-5,72\n", encoding="utf-8")
    with pytest.raises(BadDataError, match=r"bad\.csv, line 2"):
        ReplaySource(tmp_path / "bad.csv")
    with pytest.raises(FixableError, match="no file"):
        ReplaySource(tmp_path / "gone.csv")
