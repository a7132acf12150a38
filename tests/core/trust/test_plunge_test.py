"""The plunge test: what it finds in synthetic readings, what it refuses, and the stopwatch."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from candlebench.core.errors import CandlebenchError, FixableError
from candlebench.core.trust.plunge import (
    Medium,
    nine_tenths_c,
    not_by_typing,
    plunge_by_stopwatch,
    plunge_test,
    plunge_text,
)
from candlebench.core.units import Shown

DAY = "2026-11-27"
Floats = NDArray[np.float64]


def plunged(
    tau_s: float,
    pace_s: float = 0.5,
    lasts_s: float | None = None,
    from_c: float = 20.0,
    to_c: float = 70.0,
    drift_k_per_min: float = 0.0,
    dead_s: float = 0.0,
    digit_k: float = 0.1,
    noise_k: float = 0.04,
) -> tuple[Floats, Floats]:
    """Synthetic: a first-order probe that goes in at 20.3 s, its exact answer to water that drifts."""
    times = np.arange(0.0, 20.3 + (8.0 * tau_s + 10.0 if lasts_s is None else lasts_s), pace_s)
    since = np.maximum(times - 20.3 - dead_s, 0.0)
    rising = 1.0 - np.exp(-since / tau_s)
    temps = from_c + (to_c - from_c) * rising + drift_k_per_min / 60.0 * (since - tau_s * rising)
    temps = temps + np.random.default_rng(11).normal(0.0, noise_k, len(times))
    return times, np.round(temps / digit_k) * digit_k


# --- what it finds ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("drift_k_per_min", [0.0, -1.0, -4.0])
def test_water_that_cools_meanwhile_does_not_change_the_lag(drift_k_per_min: float) -> None:
    found = plunge_test(*plunged(6.0, drift_k_per_min=drift_k_per_min), DAY)
    assert found.lag_s == pytest.approx(6.0, rel=0.03)
    assert found.moment_s == pytest.approx(20.3, abs=0.3)
    assert found.to_c == pytest.approx(70.0, abs=0.3)


def test_a_plunge_down_into_ice_water_counts_as_well() -> None:
    found = plunge_test(*plunged(6.0, from_c=22.0, to_c=0.3), DAY)
    assert found.lag_s == pytest.approx(6.0, rel=0.05)
    assert (found.from_c, found.to_c) == (pytest.approx(22.0, abs=0.1), pytest.approx(0.3, abs=0.2))


def test_a_first_order_probe_has_no_dead_time() -> None:
    assert plunge_test(*plunged(6.0), DAY).dead_s == 0.0


def test_a_dead_time_is_found_when_the_moment_is_marked_and_hidden_when_not() -> None:
    times, temps = plunged(6.0, dead_s=4.0)
    marked = plunge_test(times, temps, DAY, plunged_at_s=20.3)
    assert marked.dead_s == pytest.approx(4.0, abs=0.2) and marked.lag_s == pytest.approx(10.0, rel=0.03)
    assert marked.moment_s == 20.3
    unmarked = plunge_test(times, temps, DAY)
    assert unmarked.lag_s == pytest.approx(6.0, rel=0.06)


def test_the_later_of_two_plunges_is_found_by_its_mark() -> None:
    times, temps = plunged(4.0)
    later, again = plunged(4.0, from_c=18.0, to_c=65.0)
    both = np.concatenate([times, later + times[-1] + 5.0]), np.concatenate([temps, again])
    found = plunge_test(*both, DAY, plunged_at_s=float(times[-1]) + 5.0 + 20.3)
    assert found.from_c == pytest.approx(18.0, abs=0.1) and found.lag_s == pytest.approx(4.0, rel=0.06)


def test_readings_out_of_order_and_numbers_that_are_none_do_no_harm() -> None:
    times, temps = plunged(6.0)
    whole = plunge_test(times, temps, DAY)
    order = np.random.default_rng(1).permutation(len(times))
    times, temps = np.append(times[order], [np.nan, 30.0]), np.append(temps[order], [50.0, np.nan])
    assert plunge_test(times, temps, DAY).lag_s == pytest.approx(whole.lag_s, rel=1e-6)


def test_a_long_fast_recording_is_done_in_a_moment_and_says_the_same() -> None:
    # Ten readings a second for half an hour: only those about the step are used.
    times, temps = plunged(6.0, pace_s=0.1, lasts_s=1800.0)
    assert len(times) > 18_000
    assert plunge_test(times, temps, DAY).lag_s == pytest.approx(6.0, rel=0.03)


def test_the_interval_is_wider_for_fewer_readings() -> None:
    fine, coarse = (plunge_test(*plunged(4.0, pace_s=pace), DAY) for pace in (0.2, 2.0))
    assert coarse.sd_log > fine.sd_log
    for found in (fine, coarse):
        assert found.low_s < found.lag_s < found.high_s
        assert found.low_s <= 4.0 <= found.high_s


# --- what it refuses --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("readings", "says"),
    [
        (plunged(6.0, to_c=31.0), "The step was only 11.0 °C"),
        (plunged(6.0, digit_k=5.0, noise_k=0.0, to_c=60.0), "The step was only 40.0 °C"),
        (plunged(1.0, pace_s=3.0), "readings came on the way"),
        (plunged(20.0, lasts_s=40.0), "had not settled"),
        (plunged(6.0, lasts_s=12.0), "had not settled"),
        ((np.arange(60.0), np.full(60, 21.0)), "No plunge is seen"),
        ((np.arange(60.0), 21.0 + 0.05 * np.arange(60.0)), "No plunge is seen"),
        ((np.zeros(0), np.zeros(0)), "No plunge is seen"),
        ((np.array([0.0]), np.array([20.0])), "No plunge is seen"),
        ((np.full(9, 3.0), np.linspace(20.0, 70.0, 9)), "No plunge is seen"),
    ],
    ids=[
        "a small step",
        "a display too coarse",
        "readings too slow",
        "a thick probe cut short",
        "cut short",
        "nothing happens",
        "slow warming",
        "no readings",
        "one reading",
        "all at one time",
    ],
)
def test_what_cannot_tell_a_lag_is_refused_in_one_sentence(
    readings: tuple[Floats, Floats], says: str
) -> None:
    with pytest.raises(FixableError) as refused:
        plunge_test(*readings, DAY)
    sentence = str(refused.value)
    assert says in sentence and sentence.endswith(".") and sentence.count(". ") == 0


def test_a_probe_that_bobs_up_on_the_way_is_refused() -> None:
    times, temps = plunged(8.0)
    temps = temps - 18.0 * ((times > 27.0) & (times < 34.0))
    with pytest.raises(FixableError, match="no smooth curve"):
        plunge_test(times, temps, DAY)


def test_readings_that_begin_after_the_plunge_are_refused() -> None:
    times, temps = plunged(6.0)
    begun = times > 21.5
    with pytest.raises(FixableError, match="steady for ten seconds"):
        plunge_test(times[begun], temps[begun], DAY)


def test_degrees_are_said_in_her_unit() -> None:
    with pytest.raises(FixableError, match=r"only 19\.\d °F.*27\.0 °F hotter"):
        plunge_test(*plunged(6.0, to_c=31.0), DAY, shown=Shown("F"))


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0.0, 300.0), st.floats(-20.0, 110.0)), max_size=60),
    st.none() | st.floats(-10.0, 310.0),
)
def test_whatever_was_recorded_it_answers_or_says_why_not(
    pairs: list[tuple[float, float]], marked_s: float | None
) -> None:
    times, temps = (list(each) for each in zip(*pairs, strict=True)) if pairs else ([], [])
    try:
        found = plunge_test(times, temps, DAY, plunged_at_s=marked_s)
    except CandlebenchError as refused:
        assert str(refused).endswith(".")
    else:
        assert 0.0 < found.low_s <= found.lag_s <= found.high_s < math.inf
        assert found.dead_s >= 0.0


@settings(max_examples=40, deadline=None)
@given(st.floats(1.5, 30.0), st.sampled_from([0.1, 0.25, 0.5]), st.floats(0.0, 25.0), st.floats(55.0, 95.0))
def test_any_first_order_probe_is_measured(tau_s: float, pace_s: float, from_c: float, to_c: float) -> None:
    found = plunge_test(*plunged(tau_s, pace_s, from_c=from_c, to_c=to_c), DAY)
    assert found.lag_s == pytest.approx(tau_s, rel=0.06)


# --- by the stopwatch -------------------------------------------------------------------------------------


def test_a_stopwatch_gives_the_time_constant_of_a_first_order_probe() -> None:
    found = plunge_by_stopwatch(23.0, DAY)
    assert found.lag_s == pytest.approx(23.0 / math.log(10.0))
    assert (found.t50_s, found.from_c, found.moment_s, found.readings) == (None, None, None, 0)
    # A hand is half a second off: it matters more for a quick probe.
    assert plunge_by_stopwatch(2.0, DAY).sd_log > found.sd_log
    assert nine_tenths_c(20.0, 70.0) == pytest.approx(65.0)
    assert "stopwatch" in not_by_typing()


@pytest.mark.parametrize("t90_s", [0.0, -4.0, 0.4, 301.0, math.nan, math.inf])
def test_seconds_that_cannot_be_are_refused(t90_s: float) -> None:
    with pytest.raises(FixableError, match=r"between 0\.5 and 300 s"):
        plunge_by_stopwatch(t90_s, DAY)


# --- in sentences -------------------------------------------------------------------------------------------


def test_it_is_told_in_sentences() -> None:
    plain = plunge_test(*plunged(6.0), DAY)
    assert plunge_text(plain).startswith("It follows stirred water 6.0 s late (")
    thick = plunge_test(*plunged(6.0, dead_s=4.0), DAY, plunged_at_s=20.3)
    assert "hardly moves" in plunge_text(thick) and "hardly moves" not in plunge_text(plain)
    assert "melted wax" in plunge_text(plunge_by_stopwatch(23.0, DAY, Medium.WAX))
