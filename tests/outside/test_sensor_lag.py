"""The practice probe against first-order sensor examples printed in measurement textbooks."""

import math
import random

import pytest

from candlebench.practice.probe import Probe


def test_a_thermometer_put_into_an_oven_reads_as_in_the_printed_example() -> None:
    # E4 (FOSSEE 1436, EX8.4): 70 degC into 300 degC reads 200 degC at 3 s; then tau 3.6 s, 242.6 degC at 5 s.
    tau_s = 3.0 / math.log((300.0 - 70.0) / (300.0 - 200.0))
    assert tau_s == pytest.approx(3.6018, rel=1e-3)
    probe = Probe((tau_s,), 70.0)
    probe.follow(300.0, 1e-9)
    for _ in range(12):
        probe.follow(300.0, 0.25)
    assert probe.settled_c == pytest.approx(200.0, abs=0.05)
    for _ in range(8):
        probe.follow(300.0, 0.25)
    assert probe.settled_c == pytest.approx(242.61, abs=0.05)


def test_two_lags_in_series_flatten_a_slow_wave_as_in_the_printed_example() -> None:
    # E5 (FOSSEE 2096, EX1.30.a): +- 20 degC of period 120 s through 18 s and 36 s in series: +- 6.8 degC.
    probe = Probe((18.0, 36.0), 0.0)
    step_s, highest_c = 0.1, 0.0
    for number in range(1, round(10 * 120.0 / step_s) + 1):
        time_s = number * step_s
        probe.follow(20.0 * math.sin(2.0 * math.pi * time_s / 120.0), step_s)
        if time_s > 9 * 120.0:
            highest_c = max(highest_c, probe.settled_c)
    assert highest_c == pytest.approx(6.821, rel=1e-3)
    assert highest_c == pytest.approx(6.8, rel=1e-2)


def test_on_a_ramp_it_lags_by_its_time_constant_times_the_rate() -> None:
    # T25 of thermometry.md: 3 K/min and 10 s make 0.5 K.
    probe = Probe((10.0,), 60.0)
    for second in range(1, 121):
        probe.follow(60.0 + 3.0 * second / 60.0, 1.0)
    assert 60.0 + 3.0 * 2.0 - probe.settled_c == pytest.approx(0.5, rel=1e-3)


@pytest.mark.parametrize(("t50_s", "tau_s"), [(1.2, 1.7), (2.5, 3.6), (4.0, 5.8), (10.4, 15.0)])
def test_half_of_a_step_takes_the_tabulated_time(t50_s: float, tau_s: float) -> None:
    # T13 to T15 and T21 of thermometry.md: t50 and the tau worked out from it, both to two figures.
    probe = Probe((tau_s,), 0.0)
    probe.follow(1.0, 1e-9)
    elapsed_s = 0.0
    while probe.settled_c < 0.5:
        probe.follow(1.0, 0.01)
        elapsed_s += 0.01
    assert elapsed_s == pytest.approx(t50_s, rel=0.03)


def test_noise_and_rounding_are_those_asked_for() -> None:
    dice = random.Random(4)
    probe = Probe((), 70.03, noise_c=0.2, resolution_c=0.1)
    readings = [probe.read_c(dice) for _ in range(4000)]
    assert all(abs(reading * 10 - round(reading * 10)) < 1e-9 for reading in readings)
    mean = sum(readings) / len(readings)
    spread = math.sqrt(sum((reading - mean) ** 2 for reading in readings) / len(readings))
    assert mean == pytest.approx(70.03, abs=0.02)
    # Rounding to 0.1 adds 0.1 / sqrt(12) in quadrature.
    assert spread == pytest.approx(math.hypot(0.2, 0.1 / math.sqrt(12.0)), rel=0.05)
