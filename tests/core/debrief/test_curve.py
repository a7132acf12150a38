"""Arithmetic on a recorded curve."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from candlebench.core.debrief.curve import (
    Curve,
    cooled,
    cooling_per_s,
    falls_to,
    holes,
    joined,
    seconds_above,
)
from candlebench.core.events import Gap


def curve(*points: tuple[float, float]) -> Curve:
    return Curve(np.array([t for t, _ in points]), np.array([c for _, c in points]))


def test_time_above_a_limit_is_measured_between_readings_too() -> None:
    # Up through 85 a quarter of the way, down through it half way: 75 + 50 s.
    assert seconds_above(curve((0, 84), (100, 88), (200, 82)), 85.0) == pytest.approx(75.0 + 50.0)


def test_time_exactly_at_a_limit_counts_as_the_live_warning_counts_it() -> None:
    # alarms.py warns from the limit on.
    assert seconds_above(curve((0, 85), (100, 85)), 85.0) == 100.0


def test_time_of_which_nothing_is_known_is_not_counted() -> None:
    melt = curve((0, 90), (100, 90), (200, 90))
    assert seconds_above(melt, 85.0, ((100.0, 200.0),)) == 100.0


@given(
    st.lists(st.floats(20.0, 120.0), min_size=2, max_size=40),
    st.floats(30.0, 110.0),
    st.integers(0, 38),
)
def test_time_above_adds_up_over_parts_of_the_curve(temps_c: list[float], limit_c: float, cut: int) -> None:
    whole = Curve(np.arange(len(temps_c)) * 10.0, np.array(temps_c))
    middle_s = min(cut * 10.0 + 3.0, float(whole.times_s[-1]))
    end_s = float(whole.times_s[-1])
    parts = seconds_above(whole.between(0.0, middle_s), limit_c)
    parts += seconds_above(whole.between(middle_s, end_s), limit_c)
    assert parts == pytest.approx(seconds_above(whole, limit_c), abs=1e-6)


def test_a_fall_is_timed_between_two_readings() -> None:
    assert falls_to(curve((0, 76), (60, 74)), 75.0) == pytest.approx(30.0)
    assert falls_to(curve((0, 76), (60, 75.5)), 75.0) is None
    assert falls_to(curve((40, 71), (60, 70)), 75.0) == 40.0


def test_a_sleep_and_a_long_silence_are_holes() -> None:
    times = [*range(0, 100, 10), *range(700, 800, 10), 830.0, *range(840, 900, 10)]
    melt = Curve(np.array(times, dtype=float), np.full(len(times), 80.0))
    assert holes(melt, ()) == ((90.0, 700.0),)
    assert holes(melt, (Gap(825.0, 0.0, 20.0, "asleep"),)) == ((90.0, 700.0), (790.0, 830.0))


def test_readings_typed_every_few_minutes_leave_no_holes() -> None:
    times = np.arange(0.0, 3600.0, 240.0)
    assert holes(Curve(times, np.full(len(times), 70.0)), ()) == ()


def test_the_rate_of_cooling_is_found_again() -> None:
    body = cooled(0.0, 80.0, 20.0, 3.0e-4, 900.0)
    assert cooling_per_s([body.between(0.0, 300.0), body.between(400.0, 900.0)], 20.0) == pytest.approx(
        3.0e-4
    )


def test_a_lukewarm_or_rising_jug_tells_no_rate_of_cooling() -> None:
    assert cooling_per_s([curve((0, 24), (600, 22))], 20.0) is None
    assert cooling_per_s([curve((0, 70), (600, 75))], 20.0) is None
    assert cooling_per_s([curve((0, 75), (30, 74))], 20.0) is None


def test_a_curve_is_drawn_on_where_the_first_ends() -> None:
    first, then = curve((0, 80), (10, 79)), curve((10, 79), (20, 78), (30, 77))
    whole = joined(first, then)
    assert whole.times_s.tolist() == [0.0, 10.0, 20.0, 30.0]
    assert math.isclose(whole.at(25.0) or 0.0, 77.5)


def test_nothing_is_known_outside_the_curve() -> None:
    melt = curve((10, 80), (20, 79))
    assert melt.at(5.0) is None and melt.at(21.0) is None
    assert len(melt.between(30.0, 40.0)) == 0
