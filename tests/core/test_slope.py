"""How fast the melt is moving now."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from candlebench.core.slope import recent_slope_c_per_min, straight_line


def test_a_straight_fall_is_read_exactly() -> None:
    times_s = np.arange(0.0, 300.0)
    assert recent_slope_c_per_min(times_s, 85.0 - times_s / 60.0, 1.0) == pytest.approx(-1.0)


def test_only_the_last_45_seconds_count_for_a_quick_probe() -> None:
    times_s = np.arange(0.0, 200.0)
    temps_c = np.where(times_s < 150.0, 60.0 + times_s / 10.0, 75.0)
    assert recent_slope_c_per_min(times_s, temps_c, 1.0) == pytest.approx(0.0, abs=1e-9)


def test_numbers_typed_a_minute_apart_give_a_rate_from_the_last_few() -> None:
    times_s = np.arange(0.0, 1200.0, 60.0)
    assert recent_slope_c_per_min(times_s, 90.0 - times_s / 120.0, 60.0) == pytest.approx(-0.5)


def test_too_little_says_nothing() -> None:
    nothing = np.empty(0)
    assert recent_slope_c_per_min(nothing, nothing, 1.0) is None
    assert recent_slope_c_per_min(np.array([1.0, 2.0]), np.array([70.0, 71.0]), 1.0) is None
    assert recent_slope_c_per_min(np.full(3, 5.0), np.array([70.0, 71.0, 72.0]), 1.0) is None


def test_probe_noise_of_half_a_kelvin_moves_it_little() -> None:
    # 45 s of readings a second apart: sd of the slope = s sqrt(12 / n^3) = 0.34 K/min for s = 0.5 K
    # (least-squares slope on an even grid: from memory).
    dice = np.random.default_rng(1)
    times_s = np.arange(0.0, 60.0)
    found = [recent_slope_c_per_min(times_s, 70.0 + dice.normal(0.0, 0.5, 60), 1.0) for _ in range(400)]
    slopes = np.array([slope for slope in found if slope is not None])
    assert len(slopes) == 400
    assert np.std(slopes) == pytest.approx(0.34, rel=0.15)


@given(st.floats(-5.0, 5.0), st.floats(-100.0, 100.0), st.floats(-1e5, 1e5))
def test_a_line_is_found_wherever_it_lies(slope: float, level: float, shift: float) -> None:
    x = np.linspace(0.0, 50.0, 11) + shift
    found, intercept = straight_line(x, level + slope * (x - shift))
    assert found == pytest.approx(slope, abs=1e-7)
    assert intercept + found * shift == pytest.approx(level, abs=1e-5)
