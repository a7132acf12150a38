"""The workshop opens a data folder, runs one melt, and takes it up again."""

import os
import sys
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from candlebench.core.errors import FixableError
from candlebench.core.events import Gap
from candlebench.core.setup import Oil
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
