"""What a probe showed at a point: typed, or settled from a stream; and what cannot be."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from candlebench.core.errors import FixableError
from candlebench.core.trust.check import checked, doubt_about
from candlebench.core.trust.points import CheckPoint, beside_point, boiling_at_altitude, ice_point
from candlebench.core.trust.readings import is_typed_number, typed_reading
from candlebench.core.trust.settling import settling
from candlebench.core.units import Shown, fahrenheit

C, F = Shown(), Shown("F")


# --- typed ------------------------------------------------------------------------------------------------


def test_one_typed_number_says_how_fine_the_display_is() -> None:
    for text, read_c, step_k in (
        ("0.4", 0.4, 0.1),
        ("0,40", 0.4, 0.01),
        ("-1", -1.0, 1.0),
        ("99.", 99.0, 1.0),
    ):
        found = typed_reading([text], C)
        assert (found.read_c, found.scatter_k, found.count) == (read_c, None, 1)
        assert found.step_k == pytest.approx(step_k)


def test_several_typed_numbers_are_averaged_and_scatter() -> None:
    found = typed_reading(["99.0", "99.2", "99.1"], C)
    assert found.read_c == pytest.approx(99.1)
    # Sample standard deviation 0.1, of the mean 0.1 / sqrt(3).
    assert found.scatter_k == pytest.approx(0.1 / math.sqrt(3.0))
    assert found.count == 3


def test_fahrenheit_is_brought_to_celsius_with_its_step() -> None:
    found = typed_reading(["32.7"], F)
    assert found.read_c == pytest.approx(0.7 / 1.8)
    assert found.step_k == pytest.approx(0.1 / 1.8)


@pytest.mark.parametrize("text", ["", "cold", "1.2.3", "1e3", "nan", "inf", "--", ".", "0x10"])
def test_what_is_no_number_is_refused_with_an_example(text: str) -> None:
    assert not is_typed_number(text)
    with pytest.raises(FixableError, match=r"like 0\.4"):
        typed_reading([text], C)


@given(st.lists(st.integers(-500, 12_000), min_size=1, max_size=8))
def test_the_mean_of_what_was_typed_lies_among_it(tenths: list[int]) -> None:
    found = typed_reading([f"{tenth / 10:.1f}" for tenth in tenths], C)
    assert min(tenths) / 10 - 1e-9 <= found.read_c <= max(tenths) / 10 + 1e-9
    assert found.step_k == pytest.approx(0.1)


# --- what cannot be ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("point", "read_c", "says"),
    [
        (ice_point(), 32.1, "shows °F (32)"),
        (boiling_at_altitude(0.0), 211.8, "shows °F (212)"),
        (ice_point(), 8.0, "8 °C in ice is too far from 0 °C: add crushed ice"),
        (ice_point(), -9.0, "too far below 0 °C: add cold water without salt"),
        (
            boiling_at_altitude(0.0),
            85.0,
            "85 °C in boiling water is too far from 100 °C: wait for a rolling boil",
        ),
        (boiling_at_altitude(2000.0), 100.0, "too far above 93.3 °C"),
        (beside_point(70.0), 58.0, "58 °C beside 70 °C is too far apart"),
        (ice_point(), math.nan, "no temperature"),
        (ice_point(), -math.inf, "no temperature"),
    ],
)
def test_an_impossible_reading_is_refused_in_one_sentence(
    point: CheckPoint, read_c: float, says: str
) -> None:
    reading = typed_reading(["0.0"], C)
    assert says in doubt_about(point, read_c, C)
    object.__setattr__(reading, "read_c", read_c)
    with pytest.raises(FixableError) as refused:
        checked(point, reading, C)
    sentence = str(refused.value)
    assert sentence.endswith(".") and sentence.count(". ") == 0


def test_a_celsius_display_under_a_program_in_fahrenheit_is_named() -> None:
    reading = typed_reading(["0.3"], F)
    assert "shows °C (0)" in doubt_about(ice_point(), reading.read_c, F)


def test_an_ordinary_error_is_taken() -> None:
    for shows in (-4.9, -0.6, 0.0, 1.8, 4.9):
        assert doubt_about(ice_point(), shows, C) == ""
    found = checked(boiling_at_altitude(0.0), typed_reading(["98.6"], C), C)
    assert found.error_k == pytest.approx(98.6 - 99.97, abs=0.02)


@given(st.floats(-40.0, 140.0))
def test_a_display_in_the_other_unit_is_never_taken_for_a_check(read_c: float) -> None:
    for point in (ice_point(), boiling_at_altitude(0.0)):
        if abs(read_c - point.true_c) <= 5.0:
            assert doubt_about(point, fahrenheit(read_c), C) != ""


# --- settling ---------------------------------------------------------------------------------------------


def stream(
    seconds: float, pace_s: float, level_c: float, away_k: float, tau_s: float, noise_k: float, digit_k: float
) -> tuple[np.ndarray, np.ndarray]:
    """Synthetic readings of a first-order probe that nears a level from `away_k` off it."""
    times = np.arange(0.0, seconds, pace_s)
    temps = level_c + away_k * np.exp(-times / tau_s)
    temps = temps + np.random.default_rng(5).normal(0.0, noise_k, len(times))
    return times, np.round(temps / digit_k) * digit_k


@pytest.mark.parametrize("digit_k", [0.01, 0.1, 0.5, 1.0])
@pytest.mark.parametrize("pace_s", [0.1, 1.0, 5.0])
def test_a_probe_in_ice_settles_and_its_mean_is_near_its_end(digit_k: float, pace_s: float) -> None:
    times, temps = stream(300.0, pace_s, 0.42, 20.0, 12.0, 0.03, digit_k)
    settled_at = None
    for end in range(1, len(times) + 1, max(1, int(1.0 / pace_s))):
        found = settling(times[:end], temps[:end], C)
        if found.settled:
            settled_at = float(times[end - 1])
            assert found.reading is not None
            assert found.reading.read_c == pytest.approx(0.42, abs=0.15 + 0.5 * digit_k)
            # What it says of its own uncertainty holds: two of these, the digit's with it.
            spread_k = math.hypot(found.reading.scatter_k or 0.0, digit_k / math.sqrt(12.0))
            assert abs(found.reading.read_c - 0.42) <= 2.5 * spread_k + 0.02
            break
        assert not found.reading
    # After 40 s it still has 0.7 K to go.
    assert settled_at is not None and settled_at > 40.0


def test_what_to_wait_for_is_said_meanwhile() -> None:
    times, temps = stream(60.0, 1.0, 0.4, 20.0, 25.0, 0.0, 0.1)
    assert settling([], [], C).text == "No reading yet: put the probe in and wait."
    assert settling(times[:8], temps[:8], C).text == "Hold it still for another 25 s."
    falling = settling(times, temps, C)
    assert falling.text.startswith("Still falling, ") and falling.text.endswith("in the last 30 s: wait.")
    assert not falling.settled
    rising = settling(times, 60.0 - temps, C)
    assert rising.text.startswith("Still rising, ")
    # The same in Fahrenheit: 1.8 times the number.
    kelvins = float(falling.text.split("falling, ")[1].split(" ")[0])
    degrees_f = float(settling(times, temps, F).text.split("falling, ")[1].split(" ")[0])
    assert degrees_f == pytest.approx(1.8 * kelvins, abs=0.1)


def test_water_that_swings_is_not_called_settled() -> None:
    times = np.arange(0.0, 200.0, 1.0)
    found = settling(times, 97.0 + 1.5 * np.sin(times / 9.0), C)
    assert not found.settled
    assert "Still" in found.text or "goes up and down by" in found.text


def test_a_slow_drift_hidden_in_noise_is_not_called_settled() -> None:
    times = np.arange(0.0, 90.0, 1.0)
    noise = np.random.default_rng(2).normal(0.0, 0.3, len(times))
    assert not settling(times, 10.0 - 0.03 * times + noise, C).settled


def test_a_gap_in_the_readings_and_numbers_that_are_none_do_no_harm() -> None:
    times = np.concatenate([np.arange(0.0, 20.0), np.arange(200.0, 260.0)])
    temps = np.full(len(times), 0.3)
    temps[3], times[7] = np.nan, np.nan
    found = settling(times, temps, C)
    assert found.settled and found.reading is not None
    assert found.reading.read_c == pytest.approx(0.3)


@given(st.lists(st.floats(-50.0, 150.0), min_size=1, max_size=40), st.floats(0.05, 20.0))
def test_whatever_comes_it_answers_with_a_sentence(temps: list[float], pace_s: float) -> None:
    found = settling([pace_s * n for n in range(len(temps))], temps, C)
    assert found.text.endswith(".")
    assert found.settled == (found.reading is not None)
    if found.reading is not None:
        assert min(temps) - 1e-9 <= found.reading.read_c <= max(temps) + 1e-9


@pytest.mark.parametrize("digit_k", [0.5, 1.0])
def test_a_coarse_display_that_loses_a_digit_every_50_s_is_not_called_settled(digit_k: float) -> None:
    times = np.arange(0.0, 400.0)
    temps = digit_k * (9.0 - np.floor(times / 50.0))
    # Before the first digit goes nobody knows that the display is coarse.
    for end in range(52, len(times), 3):
        assert not settling(times[:end], temps[:end], C).settled
