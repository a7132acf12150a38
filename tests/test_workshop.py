"""The workshop opens a data folder, runs one melt, and takes it up again."""

import os
import sys
import threading
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from wires import PATIENCE_S, Printing, PtyDevice

from candlebench.core.errors import FixableError
from candlebench.core.events import Gap, Reading, Recorded, SetupChanged
from candlebench.core.place import Place
from candlebench.core.setup import Beside, Oil
from candlebench.core.trust.check import CheckedPoint, ProbeCheck
from candlebench.core.trust.points import boiling_at_pressure, ice_point
from candlebench.core.trust.readings import typed_reading
from candlebench.core.units import Shown
from candlebench.records.settings import LastMelt
from candlebench.runner import Moment
from candlebench.workshop import Workshop


@pytest.fixture
def quiet_stdin(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A terminal at which nobody types: a pipe that stays open."""
    read, write = os.pipe()
    with os.fdopen(read) as stream:
        monkeypatch.setattr(sys, "stdin", stream)
        yield
    os.close(write)


def _ignore(_: object) -> None:
    return


def _listen(_: Moment) -> None:
    return


def _open(folder: Path) -> Workshop:
    return Workshop(folder, _ignore, _ignore)


def test_a_second_one_on_the_same_folder_is_refused_kindly(tmp_path: Path) -> None:
    first = _open(tmp_path)
    with pytest.raises(FixableError, match="already open"):
        _open(tmp_path)
    first.close()
    _open(tmp_path).close()


@pytest.mark.usefixtures("quiet_stdin")
def test_an_unfinished_melt_is_taken_up_where_it_was(tmp_path: Path) -> None:
    shop = _open(tmp_path)
    assert shop.unfinished() is None
    runner = shop.begin("typed:", _listen)
    runner.typed(71.5)
    shop.close()
    again = _open(tmp_path)
    summary = again.unfinished()
    assert summary is not None and summary.uuid == runner.session.melt_id
    taken = again.take_up(summary, _listen)
    state = taken.session.melt.state
    assert (state.temp_c, state.setup.source, len(state.gaps)) == (71.5, "typed:", 1)
    assert taken.clock.elapsed_s() >= state.now_s - 0.01
    again.finish()
    assert again.unfinished() is None
    events = [row.event for row in again.journal.events(summary.uuid)]
    assert sum(isinstance(event, Gap) for event in events) == 1
    again.close()


def test_a_practice_melt_is_not_taken_up_again(tmp_path: Path) -> None:
    shop = _open(tmp_path)
    runner = shop.begin("practice:first-jug?speed=60", _listen)
    assert runner.session.melt.setup.oil is not None
    assert runner.session.melt.setup.source == "practice:first-jug?speed=60"
    shop.stop()
    assert shop.runner is None and shop.unfinished() is None
    shop.close()


@pytest.mark.usefixtures("quiet_stdin")
def test_a_jug_left_for_half_a_day_is_not_taken_up(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shop = _open(tmp_path)
    shop.begin("typed:", _listen).typed(70.0)
    shop.stop()
    assert shop.unfinished() is not None
    now = time.time
    monkeypatch.setattr(time, "time", lambda: now() + 13 * 3600.0)
    assert shop.unfinished() is None
    shop.close()


@pytest.mark.usefixtures("quiet_stdin")
def test_a_melt_goes_on_through_another_thermometer(tmp_path: Path) -> None:
    shop = _open(tmp_path)
    first = shop.begin("typed:", _listen)
    first.typed(70.0)
    with pytest.raises(FixableError):
        shop.change_source("usb:nothing", _listen)
    assert shop.runner is first
    second = shop.change_source("typed:?", _listen)
    second.typed(69.0)
    shop.stop()
    assert second.session is first.session
    assert second.session.melt.state.temps_c.tolist() == [70.0, 69.0]
    assert second.session.melt.setup.source == "typed:?"
    shop.close()


def test_limits_follow_the_altitude_the_oil_and_her_own_changes(tmp_path: Path) -> None:
    shop = _open(tmp_path)
    shop.change_settings(replace(shop.settings, limits={"beeswax": {"warn_c": 77.0}}, wax="beeswax"))
    setup = shop.with_limits(
        replace(shop.usual_setup("typed:"), oil=Oil("x", None, None, 83.0), altitude_m=2000.0)
    )
    assert (setup.limits.warn_c, setup.limits.oil_high_c) == (77.0, 73.0)
    # 93.3 degC at 2000 m: ICAO standard atmosphere with the steam tables.
    assert setup.limits.stop_c == pytest.approx(93.3, abs=0.2)
    shop.close()


@pytest.mark.usefixtures("quiet_stdin")
def test_her_second_probe_goes_with_every_real_melt_and_not_with_practice(tmp_path: Path) -> None:
    shop = _open(tmp_path)
    own = replace(shop.settings, beside_place="bath", beside_source="tcp:127.0.0.1:9", beside_probe="blue")
    shop.settings = own
    try:
        runner = shop.begin("typed:", _listen)
        assert runner.session.melt.setup.beside == Beside(Place.BATH, "tcp:127.0.0.1:9", "blue")
        assert runner.beside is not None and runner.beside.place is Place.BATH
        assert runner.beside.source.clock is runner.clock
        practised = shop.begin("practice:first-jug?speed=1000", _listen)
        assert practised.session.melt.setup.beside is None and practised.beside is None
        both = shop.begin("practice:first-jug?speed=1000&room=yes", _listen)
        assert both.session.melt.setup.beside == Beside(Place.ROOM)
    finally:
        shop.close()


@pytest.mark.usefixtures("quiet_stdin")
def test_a_second_probe_is_changed_and_dropped_while_the_melt_goes_on(tmp_path: Path) -> None:
    shop = _open(tmp_path)
    try:
        runner = shop.begin("typed:", _listen)
        runner.typed(71.5)
        shop.change_beside(Beside(Place.ROOM, "tcp:127.0.0.1:9"))
        assert shop.runner is runner and runner.beside is not None
        with pytest.raises(FixableError, match="needs a cable"):
            shop.change_beside(Beside(Place.BATH, "typed:"))
        assert runner.beside is not None and runner.beside.place is Place.ROOM
        shop.change_beside(None)
        assert runner.beside is None
    finally:
        shop.close()
    setups = [e.event.setup for e in _open_events(tmp_path) if isinstance(e.event, SetupChanged)]
    assert [setup.beside and setup.beside.place for setup in setups] == [Place.ROOM, None]


def _open_events(folder: Path) -> list[Recorded]:
    shop = _open(folder)
    try:
        (summary,) = shop.journal.melts()
        return list(shop.journal.events(summary.uuid))
    finally:
        shop.close()


def test_naming_the_second_channel_does_not_open_the_port_anew(tmp_path: Path) -> None:
    device = PtyDevice()
    said = Printing(device.send, line="T1: {n:.2f} C T2: 91.50 C\r\n")
    heard = {place: threading.Event() for place in Place}

    def listen(moment: Moment) -> None:
        if isinstance(moment.event, Reading):
            heard[moment.event.place].set()

    shop = _open(tmp_path)
    try:
        runner = shop.begin(f"serial:{device.path}?channel=T1", listen)
        assert heard[Place.MELT].wait(PATIENCE_S)
        assert shop.change_source(f"serial:{device.path}?channel=T1&bath=T2", listen) is runner
        assert heard[Place.BATH].wait(PATIENCE_S)
        assert runner.session.melt.setup.beside == Beside(Place.BATH)
        assert runner.session.melt.setup.source.endswith("bath=T2")
        state = runner.session.melt.state
        assert state.beside is not None and state.beside.temp_c == 91.5
    finally:
        said.pause()
        shop.close()
        device.unplug()


@pytest.mark.usefixtures("quiet_stdin")
def test_a_check_kept_while_the_folder_cannot_be_written_corrects_melts_then_and_after_the_next_start(
    tmp_path: Path, own_home: Path
) -> None:
    folder = tmp_path / "shop"
    folder.write_text("a file in the place of the folder", encoding="utf-8")
    check = ProbeCheck("2026-11-20", (CheckedPoint(ice_point(), typed_reading(["0.6"], Shown())),))
    told: list[str] = []
    shop = Workshop(folder, lambda text: None, told.append)
    try:
        correction = shop.probes.keep("blue", check, time.time()).correction
        assert any("checks of probes are kept in" in text and str(own_home) in text for text in told)
        shop.settings = replace(shop.settings, last_melt=LastMelt(probe="blue"))
        assert shop.begin("typed:", _listen).session.melt.setup.correction == correction is not None
    finally:
        shop.close()
    folder.unlink()
    for told_again in (["1 entry about checked probes"], []):
        told.clear()
        shop = Workshop(folder, lambda text: None, told.append)
        shop.close()
        assert [text[:28] for text in told if "checked probes" in text] == told_again
        assert [kept.correction for kept in shop.probes.history("blue")] == [correction]


@pytest.mark.usefixtures("quiet_stdin")
def test_a_checked_probe_corrects_the_next_melt_and_the_running_one(tmp_path: Path) -> None:
    shop = _open(tmp_path)
    points = (
        CheckedPoint(ice_point(), typed_reading(["0.6"], Shown())),
        CheckedPoint(boiling_at_pressure(1013.25), typed_reading(["99.0"], Shown())),
    )
    check = ProbeCheck("2026-11-20", points, "kitchen")
    try:
        shop.settings = replace(shop.settings, last_melt=LastMelt(probe="Blue"))
        runner = shop.begin("typed:", _listen)
        assert runner.session.melt.setup.correction is None
        shop.probes.keep("blue", check, time.time())
        shop.checked()
        shop.stop()
        assert runner.session.melt.setup.correction == shop.probes.correction("Blue") is not None
        again = shop.begin("typed:", _listen)
        again.typed(70.0)
        shop.stop()
        # The line through (0.6, 0) and (99.0, 99.97): 1013.25 hPa boils at 99.97 C (ITS-90, from memory).
        assert again.session.melt.state.temp_c == pytest.approx((70.0 - 0.6) * 99.97 / 98.4, abs=0.02)
        practised = shop.begin("practice:first-jug?speed=1000", _listen)
        assert practised.session.melt.setup.correction is None
    finally:
        shop.close()
