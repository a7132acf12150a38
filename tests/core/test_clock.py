"""Clocks of a melt."""

import time

import pytest

from candlebench.core.clock import LiveClock, ScaledClock, steady_s


def test_the_live_clock_goes_on_from_where_a_melt_was() -> None:
    before = steady_s()
    clock = LiveClock(1234.0)
    assert 1234.0 <= clock.elapsed_s() <= 1234.0 + steady_s() - before + 1e-3


def test_wall_time_and_elapsed_time_name_the_same_moment() -> None:
    clock = LiveClock(600.0)
    assert clock.wall_s(clock.elapsed_s()) == pytest.approx(time.time(), abs=0.05)
    assert clock.wall_s(100.0) - clock.wall_s(40.0) == pytest.approx(60.0, abs=0.05)


def test_sleep_is_told_once(monkeypatch: pytest.MonkeyPatch) -> None:
    clock = LiveClock()
    assert clock.slept_s() < 0.01
    awake = time.monotonic
    # After a suspend of 90 s Linux's monotonic clock lags that much behind the boot-time clock.
    monkeypatch.setattr(time, "monotonic", lambda: awake() - 90.0)
    assert clock.slept_s() == pytest.approx(90.0, abs=0.05)
    assert clock.slept_s() < 0.01


def test_a_scaled_clock_waits_for_real_seconds_and_keeps_its_place_when_the_speed_changes() -> None:
    clock = ScaledClock(60.0, 300.0)
    assert clock.real_seconds_until(900.0) == pytest.approx(10.0, abs=0.05)
    before_s = clock.elapsed_s()
    clock.change_speed(1.0)
    assert clock.elapsed_s() == pytest.approx(before_s, abs=2.0)
    assert clock.real_seconds_until(before_s + 10.0) == pytest.approx(10.0, abs=2.0)


def test_in_a_scaled_melt_the_wall_runs_as_fast_as_the_melt() -> None:
    clock = ScaledClock(60.0, 300.0)
    assert clock.wall_s(360.0) - clock.wall_s(300.0) == 60.0
    begun = clock.wall_s(0.0)
    clock.change_speed(5.0)
    assert clock.wall_s(0.0) == pytest.approx(begun, abs=1e-6)
    assert clock.slept_s() == 0.0
