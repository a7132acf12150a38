"""A probe's time constant from a step into hot wax."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from candlebench.core.learning.probe_step import probe_lag


def step(
    lag_s: float,
    every_s: float = 1.0,
    end_c: float = 75.0,
    scatter_k: float = 0.1,
    step_k: float = 0.1,
    seed: int = 0,
    drift_c_per_min: float = -1.0,
) -> tuple[np.ndarray, np.ndarray]:
    """Readings of a first-order probe at 21 C put into cooling wax after a minute, in closed form."""
    rng = np.random.default_rng(seed)
    times = np.arange(0.0, 400.0, every_s)
    since = times - 60.3
    ramp = drift_c_per_min / 60.0
    wax = end_c + ramp * (since - lag_s * (1.0 - np.exp(-np.maximum(since, 0.0) / lag_s)))
    temps = np.where(since < 0.0, 21.0, wax + (21.0 - end_c) * np.exp(-since / lag_s))
    seen = temps + rng.normal(0.0, scatter_k, len(times))
    return times, np.round(seen / step_k) * step_k


@given(st.floats(4.0, 30.0), st.sampled_from([0.5, 1.0]), st.integers(0, 1000))
@settings(max_examples=40, deadline=None)
def test_the_lag_is_found_whatever_it_is(lag_s: float, every_s: float, seed: int) -> None:
    found = probe_lag(*step(lag_s, every_s, seed=seed), 68.0)
    assert found is not None
    assert abs(math.log(found[0] / lag_s)) < 0.1
    assert 0.2 < found[1] < 0.5


def test_whole_degrees_still_show_it() -> None:
    found = probe_lag(*step(10.0, step_k=1.0), 68.0)
    assert found is not None and found[0] == pytest.approx(10.0, rel=0.2)


def test_a_probe_put_into_solid_wax_or_warmed_on_the_hob_tells_nothing() -> None:
    assert probe_lag(*step(10.0, end_c=50.0), 68.0) is None
    times = np.arange(0.0, 1200.0, 1.0)
    assert probe_lag(times, 21.0 + times * 50.0 / 1200.0, 68.0) is None


def test_readings_too_far_apart_tell_nothing() -> None:
    assert probe_lag(*step(5.0, every_s=10.0), 68.0) is None


def test_something_that_is_no_exponential_tells_nothing() -> None:
    times = np.arange(0.0, 300.0, 1.0)
    stairs = np.select([times < 60, times < 75, times < 110], [21.0, 40.0, 55.0], 75.0)
    assert probe_lag(times, stairs, 68.0) is None


def test_times_that_run_back_do_no_harm() -> None:
    times, temps = step(8.0)
    found = probe_lag(np.append(times, 30.0), np.append(temps, 21.0), 68.0)
    assert found is not None and found[0] == pytest.approx(8.0, rel=0.15)
