"""The plunge test against step responses that scipy works out, printed response times and a measured step."""

import math
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from candlebench.core.errors import FixableError
from candlebench.core.trust.plunge import plunge_by_stopwatch, plunge_test
from candlebench.core.trust.plunge_fit import find_plunge, fit_step
from candlebench.thermometers.series_file import read_series

signal = pytest.importorskip("scipy.signal")
optimize = pytest.importorskip("scipy.optimize")

COOLING = Path(__file__).resolve().parents[3] / "shared" / "data" / "cooling"
ROOM_C, WATER_C = 21.0, 72.0
DAY = "2026-11-27"

Floats = NDArray[np.float64]


def response(taus_s: tuple[float, ...], since_s: Floats) -> Floats:
    """Share of a step after so many seconds, of first-order parts in series, by scipy."""
    system = signal.ZerosPolesGain([], [-1.0 / tau for tau in taus_s], 1.0 / math.prod(taus_s))
    even_s = np.linspace(0.0, max(1.0, float(since_s.max())), 20_001)
    _, share = signal.step(system, T=even_s)
    return np.asarray(np.interp(since_s, even_s, share, left=0.0))


def plunged(
    taus_s: tuple[float, ...],
    pace_s: float,
    lasts_s: float,
    moment_s: float,
    noise_k: float = 0.0,
    digit_k: float = 0.0,
    dead_s: float = 0.0,
    seed: int = 1,
) -> tuple[Floats, Floats]:
    """Readings of a probe that goes from the room into water: noise, then the display's last digit."""
    times = np.arange(0.0, moment_s + lasts_s, pace_s)
    temps = ROOM_C + (WATER_C - ROOM_C) * response(taus_s, times - moment_s - dead_s)
    temps = temps + np.random.default_rng(seed).normal(0.0, noise_k, len(times))
    return times, np.round(temps / digit_k) * digit_k if digit_k else temps


@pytest.mark.parametrize("tau_s", [2.0, 4.0, 8.0, 15.0, 30.0])
@pytest.mark.parametrize("pace_s", [0.2, 0.5, 1.0])
def test_a_first_order_probe_has_the_time_constant_that_scipy_was_given(tau_s: float, pace_s: float) -> None:
    times, temps = plunged((tau_s,), pace_s, 7.0 * tau_s, 12.37, noise_k=0.05, digit_k=0.1)
    found = plunge_test(times, temps, DAY)
    assert found.tau_s == pytest.approx(tau_s, rel=0.04)
    assert found.lag_s == pytest.approx(tau_s, rel=0.06)
    assert found.moment_s == pytest.approx(12.37, abs=max(0.15, 0.6 * pace_s))
    assert found.from_c == pytest.approx(ROOM_C, abs=0.1)
    assert found.to_c == pytest.approx(WATER_C, abs=0.3)
    # First order: half of the way at tau ln 2, nine tenths at tau ln 10.
    assert found.t50_s == pytest.approx(math.log(2.0) * tau_s, abs=0.04 * tau_s + 0.5 * pace_s)
    assert found.t90_s == pytest.approx(math.log(10.0) * tau_s, rel=0.04, abs=0.5 * pace_s)


@pytest.mark.parametrize("taus_s", [(8.0, 2.0), (8.0, 4.0), (12.0, 8.0), (6.0, 3.0, 2.0)])
@pytest.mark.parametrize("pace_s", [0.25, 1.0])
def test_a_thick_probe_lags_a_ramp_by_the_sum_of_its_parts(taus_s: tuple[float, ...], pace_s: float) -> None:
    # Of any linear chain of first-order parts the lag on a ramp is the sum of the time constants (row T25;
    # the first moment of the impulse response). Here measured on scipy's ramp, not taken from the formula.
    ramp_s = np.linspace(0.0, 400.0, 4001)
    system = signal.ZerosPolesGain([], [-1.0 / tau for tau in taus_s], 1.0 / math.prod(taus_s))
    _, output, _ = signal.lsim(system, ramp_s, ramp_s)
    lag_s = float(ramp_s[-1] - output[-1])
    assert lag_s == pytest.approx(sum(taus_s), rel=1e-3)

    times, temps = plunged(taus_s, pace_s, 9.0 * max(taus_s), 12.37, noise_k=0.03, digit_k=0.1)
    # Two parts are told from the curve; more hold it back so long that she must mark the moment.
    found = plunge_test(times, temps, DAY, plunged_at_s=12.37 if len(taus_s) > 2 else None)
    assert found.lag_s == pytest.approx(lag_s, rel=0.02)
    assert found.low_s <= lag_s <= found.high_s
    assert found.to_c == pytest.approx(WATER_C, abs=0.2)
    assert found.dead_s > 0.0
    _, share = signal.step(system, T=ramp_s)
    for level, seen_s in ((0.5, found.t50_s), (0.9, found.t90_s)):
        assert seen_s == pytest.approx(float(np.interp(level, share, ramp_s)), abs=0.7 * pace_s + 0.3)


@pytest.mark.parametrize("taus_s", [(8.0,), (8.0, 2.0), (12.0, 8.0)])
@pytest.mark.parametrize("drift_k_per_min", [-1.0, -3.0])
def test_water_that_cools_is_told_from_a_slow_probe(
    taus_s: tuple[float, ...], drift_k_per_min: float
) -> None:
    # scipy's answer of the same chain to a step that then falls in a straight line.
    moment_s = 15.0
    times = np.arange(0.0, moment_s + 9.0 * sum(taus_s), 0.25)
    since = times - moment_s
    water = np.where(since >= 0.0, WATER_C - ROOM_C + drift_k_per_min / 60.0 * since, 0.0)
    system = signal.ZerosPolesGain([], [-1.0 / tau for tau in taus_s], 1.0 / math.prod(taus_s))
    _, output, _ = signal.lsim(system, water, times, interp=False)
    temps = np.round((ROOM_C + output + np.random.default_rng(2).normal(0.0, 0.03, len(times))) / 0.1) * 0.1
    found = plunge_test(times, temps, DAY)
    assert found.lag_s == pytest.approx(sum(taus_s), rel=0.03)
    # What the water was at the moment of the plunge.
    assert found.to_c == pytest.approx(WATER_C, abs=0.15)
    assert found.moment_s == pytest.approx(moment_s, abs=0.3)


# Rows T13 to T21 of thermometry.md: t50 and t90 in water at 0.2 m/s of probes of 1.6 to 8 mm (a sensor
# maker's table in the style of VDI/VDE 3522). Where t90 / t50 is less than ln 10 / ln 2 it hangs back first.
PRINTED = [
    pytest.param(1.2, 2.9, id="T13 thermocouple 3 mm"),
    pytest.param(2.5, 5.9, id="T14 thermocouple 4.5 mm"),
    pytest.param(4.0, 9.6, id="T15 thermocouple 6 mm"),
    pytest.param(7.0, 17.0, id="T16 thermocouple 8 mm"),
    pytest.param(3.6, 5.5, id="T19 Pt100 1.6 mm"),
    pytest.param(5.2, 9.8, id="T20 Pt100 3 mm"),
    pytest.param(10.4, 23.2, id="T21 Pt100 6 mm"),
]


@pytest.mark.parametrize(("t50_s", "t90_s"), PRINTED)
def test_printed_response_times_are_found_again_from_readings(t50_s: float, t90_s: float) -> None:
    # Dead time and time constant that meet both printed times exactly.
    tau_s = (t90_s - t50_s) / math.log(5.0)
    dead_s = t50_s - math.log(2.0) * tau_s
    assert dead_s > 0.0
    times, temps = plunged((tau_s,), 0.2, 8.0 * tau_s + 30.0, 15.0, noise_k=0.05, digit_k=0.1, dead_s=dead_s)
    found = plunge_test(times, temps, DAY, plunged_at_s=15.0)
    assert found.t50_s == pytest.approx(t50_s, abs=0.15)
    assert found.t90_s == pytest.approx(t90_s, abs=0.25)
    assert found.dead_s == pytest.approx(dead_s, abs=0.12)
    assert found.lag_s == pytest.approx(dead_s + tau_s, rel=0.05)


@pytest.mark.parametrize(("t50_s", "t90_s"), PRINTED)
def test_a_stopwatch_comes_near_what_both_printed_times_say(t50_s: float, t90_s: float) -> None:
    tau_s = (t90_s - t50_s) / math.log(5.0)
    lag_s = t50_s - math.log(2.0) * tau_s + tau_s
    found = plunge_by_stopwatch(t90_s, DAY)
    # tau = t90 / 2.303, as thermometry.md has it.
    assert found.tau_s == pytest.approx(t90_s / 2.303, rel=1e-3)
    assert found.low_s <= lag_s <= found.high_s


def test_the_interval_holds_the_lag_as_often_as_it_says() -> None:
    # 80 plunges of first and second order at odd moments: 95 of 100 intervals must hold the lag on a ramp;
    # the part for the next plunge by hand only makes them wider.
    dice = np.random.default_rng(3)
    held = 0
    for seed in range(80):
        taus_s = (float(np.exp(dice.uniform(math.log(3.0), math.log(20.0)))),)
        if seed % 2:
            taus_s = (*taus_s, taus_s[0] * float(dice.uniform(0.1, 0.6)))
        pace_s = float(dice.choice([0.2, 0.5, 1.0]))
        moment_s = float(dice.uniform(10.0, 14.0))
        times, temps = plunged(taus_s, pace_s, 8.0 * sum(taus_s), moment_s, 0.05, 0.1, seed=seed)
        found = plunge_test(times, temps, DAY)
        held += found.low_s <= sum(taus_s) <= found.high_s
    assert held >= 0.95 * 80


@pytest.mark.skipif(not COOLING.exists(), reason="the shared open series are not on this machine")
@pytest.mark.parametrize("number", [1, 2, 3])
def test_a_measured_step_is_fitted_as_scipy_fits_it(number: int) -> None:
    # Open series of shared/data/cooling (source in its index.csv): ice dropped into a stirred calorimeter,
    # read every half second, a step of 11.7 K down with a drift. No probe was plunged, but the curve is of
    # that kind; scipy's own least squares must find the same lag, start and end in the same minute.
    series = read_series(COOLING / f"calorim_ice_{number}.csv")
    times, temps = np.array(series.times_s), np.array(series.temps_c)
    found = find_plunge(times, temps, None)
    assert found is not None
    ours = fit_step(times, temps, found)
    fitted = (times >= times[found.at_rest] - 10.0) & (times <= times[found.at_rest] + 60.0)

    def curve(t: Floats, start: float, a: float, b: float, rise: float, drift: float) -> Floats:
        slow, fast = math.exp(a), math.exp(b)
        since = np.maximum(t - start, 0.0)
        left = slow * np.exp(-since / slow) - fast * np.exp(-since / fast)
        lost = slow**2 * np.exp(-since / slow) - fast**2 * np.exp(-since / fast)
        rising = 1.0 - left / (slow - fast)
        drifting = since - slow - fast + lost / (slow - fast)
        return np.asarray(found.from_c + rise * rising + drift * drifting)

    guess = (float(times[found.at_rest]) + 0.5, math.log(5.0), math.log(1.0), -11.0, 0.0)
    (start_s, a, b, rise_k, _), _ = optimize.curve_fit(curve, times[fitted], temps[fitted], p0=guess)
    lag_s = math.exp(a) + math.exp(b)
    assert ours.moment_s + ours.dead_s + ours.tau_s == pytest.approx(start_s + lag_s, abs=0.02 * lag_s)
    assert ours.to_c - ours.from_c == pytest.approx(rise_k, abs=0.02)
    # A drop of 11.7 K is less than a plunge test asks for, and it is refused as one.
    with pytest.raises(FixableError, match=r"The step was only 1[12]\.\d °C"):
        plunge_test(times, temps, DAY)
