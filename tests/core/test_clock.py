"""Clocks of a melt."""

import math
import sys
import threading
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


def test_a_paused_clock_stands_still_and_goes_on_from_there() -> None:
    clock = ScaledClock(1e4, 300.0)
    clock.pause()
    stood_s = clock.elapsed_s()
    assert clock.paused
    assert clock.elapsed_s() == stood_s == clock.elapsed_s()
    assert clock.real_seconds_until(stood_s + 1.0) == math.inf
    assert clock.real_seconds_until(stood_s - 1.0) <= 0.0
    clock.change_speed(1.0)
    assert clock.elapsed_s() == stood_s and clock.paused
    clock.resume()
    assert not clock.paused
    assert stood_s <= clock.elapsed_s() <= stood_s + 1.0


def test_a_clock_paused_or_resumed_twice_is_paused_or_resumed_once() -> None:
    clock = ScaledClock(60.0)
    clock.pause()
    stood_s = clock.elapsed_s()
    clock.pause()
    clock.resume()
    clock.resume()
    assert stood_s <= clock.elapsed_s() <= stood_s + 60.0


def test_jumping_ahead_keeps_the_wall_in_step_and_never_goes_back() -> None:
    clock = ScaledClock(1.0, 100.0)
    wall_zero_s = clock.wall_s(0.0)
    clock.jump_to(500.0)
    assert 500.0 <= clock.elapsed_s() < 501.0
    clock.jump_to(200.0)
    assert clock.elapsed_s() >= 500.0
    assert clock.wall_s(0.0) == wall_zero_s
    clock.pause()
    clock.jump_to(600.0)
    assert clock.paused and clock.elapsed_s() == 600.0


def test_a_clock_waits_for_slow_work_and_forgets_the_time_it_waited() -> None:
    clock = ScaledClock(1e6)
    clock.run_no_further_than(50.0)
    while clock.elapsed_s() < 50.0:
        pass
    assert clock.elapsed_s() == 50.0
    clock.change_speed(1.0)
    clock.run_no_further_than(80.0)
    assert 50.0 <= clock.elapsed_s() < 51.0
    clock.run_no_further_than(10.0)
    assert clock.elapsed_s() >= 50.0
    clock.jump_to(120.0)
    assert clock.elapsed_s() >= 120.0


def test_whatever_other_threads_do_to_it_no_thread_sees_it_step_back() -> None:
    clock = ScaledClock(100.0)
    stop = threading.Event()
    backwards: list[float] = []

    def watch() -> None:
        last_s = -1.0
        while not stop.is_set():
            now_s = clock.elapsed_s()
            if now_s < last_s:
                backwards.append(last_s - now_s)
            last_s = now_s

    watchers = [threading.Thread(target=watch) for _ in range(2)]
    often_s = sys.getswitchinterval()
    # Threads take turns a thousand times as often as usual, so that every gap between two lines is met.
    sys.setswitchinterval(5e-6)
    for watcher in watchers:
        watcher.start()
    for number in range(20000):
        clock.pause()
        clock.change_speed(float(1 + number % 120))
        clock.jump_to(clock.elapsed_s() + 0.5)
        clock.resume()
        clock.run_no_further_than(clock.elapsed_s() + 5.0)
    stop.set()
    for watcher in watchers:
        watcher.join()
    sys.setswitchinterval(often_s)
    assert backwards == []
