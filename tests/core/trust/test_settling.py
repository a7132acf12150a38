"""When a probe has settled, beyond what `test_reading_a_point` asks: slow probes and coarse displays."""

import math

import numpy as np
import pytest

from candlebench.core.trust.settling import settling
from candlebench.core.units import Shown

C = Shown("C")


@pytest.mark.parametrize("step_k", [0.1, 0.5, 1.0])
@pytest.mark.parametrize("tau_s", [1.0, 5.0, 10.0, 20.0, 30.0])
def test_a_probe_of_any_pace_settles_near_the_truth(tau_s: float, step_k: float) -> None:
    # First order from 21 to 0 degC.
    times = np.arange(0.0, 400.0)
    temps = np.round(21.0 * np.exp(-times / tau_s) / step_k) * step_k
    first = next(n for n in range(1, len(times)) if settling(times[:n], temps[:n], C).settled)
    reading = settling(times[:first], temps[:first], C).reading
    assert reading is not None
    told_k = 2.0 * math.hypot(reading.scatter_k or 0.0, step_k / math.sqrt(12.0))
    assert abs(reading.read_c) < min(told_k + 0.05, 0.2 + 0.5 * step_k)


def test_a_settled_probe_gives_its_mean_step_and_scatter() -> None:
    temps = np.where(np.arange(60) % 2 == 0, 0.3, 0.4)
    found = settling(np.arange(0.0, 60.0), temps, C)
    assert found.settled and found.reading is not None
    assert found.reading.read_c == pytest.approx(0.35, abs=0.01)
    assert found.reading.step_k == pytest.approx(0.1)
    assert found.reading.scatter_k is not None and 0.0 < found.reading.scatter_k < 0.03


def test_readings_that_come_too_slowly_are_to_be_typed() -> None:
    slow = settling(60.0 * np.arange(10), np.full(10, 0.2), C)
    assert not slow.settled and "type what it shows" in slow.text


def test_a_probe_that_jumps_about_is_to_be_stirred() -> None:
    temps = 0.4 + np.random.default_rng(3).normal(0.0, 3.0, 130)
    found = settling(np.arange(0.0, 130.0), temps, C)
    assert not found.settled and "goes up and down" in found.text
