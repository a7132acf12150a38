"""What a plunge test says about the lag in a melt, with and without melts that taught it already."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from candlebench.core.known import KnownProbe
from candlebench.core.learning.family import PROBE_LAG_S, PROBE_SD_LOG
from candlebench.core.trust.figures import load_lag_figures
from candlebench.core.trust.lag import wax_lag, wax_lag_text, with_plunge
from candlebench.core.trust.plunge import Medium, Plunge, plunge_by_stopwatch


def plunged(lag_s: float, medium: Medium = Medium.WATER, sd_log: float = 0.1) -> Plunge:
    return Plunge("2026-11-27", medium, lag_s, 0.0, None, None, sd_log)


def test_wax_is_two_to_ten_times_slower_than_stirred_water() -> None:
    # Row T24 of thermometry.md, from memory there: 3 to 10 times when unstirred; 5 to 15 s stirred for probes
    # that take 2 to 5 s in water. The two factors as the 5 and 95 % points of a logarithm.
    figures = load_lag_figures()
    assert (figures.wax_least.row, figures.wax_most.row) == ("T24", "T24")
    tested = wax_lag(plunged(3.0, sd_log=1e-6))
    assert math.exp(tested.mean - 1.645 * tested.sd) == pytest.approx(2.0 * 3.0, rel=1e-3)
    assert math.exp(tested.mean + 1.645 * tested.sd) == pytest.approx(10.0 * 3.0, rel=1e-3)


def test_a_kitchen_probe_of_three_seconds_comes_to_what_the_table_has_in_wax() -> None:
    # Row T24: a kitchen probe of 3 to 4 mm takes 5 to 15 s stirred, 30 s or more still.
    known = with_plunge(None, plunged(3.0))
    assert 5.0 < known.lag_s < 15.0
    assert known.lag_s * math.exp(2.0 * known.sd_log) > 25.0
    assert known.melts == 0


def test_a_plunge_into_wax_counts_as_it_is_and_for_more() -> None:
    in_wax, in_water = with_plunge(None, plunged(8.0, Medium.WAX)), with_plunge(None, plunged(8.0))
    assert wax_lag(plunged(8.0, Medium.WAX)).mean == pytest.approx(math.log(8.0))
    assert in_wax.sd_log < in_water.sd_log and in_wax.lag_s < in_water.lag_s


def test_two_beliefs_are_joined_by_how_sure_they_are() -> None:
    # By hand: ln 12 with 0.2 and ln 8 with hypot(0.1, 0.25) = 0.26926; weights 25 and 13.793.
    known = with_plunge(KnownProbe(12.0, 0.2, 4), plunged(8.0, Medium.WAX))
    assert math.log(known.lag_s) == pytest.approx(
        (25.0 * math.log(12.0) + 13.793 * math.log(8.0)) / 38.793, abs=1e-4
    )
    assert known.sd_log == pytest.approx(38.793**-0.5, abs=1e-4)
    assert known.melts == 4


@given(st.floats(0.2, 60.0), st.floats(2.0, 40.0), st.floats(0.1, 0.6), st.integers(0, 30))
def test_a_plunge_test_never_makes_a_probe_less_sure(
    lag_s: float, before_s: float, sd: float, melts: int
) -> None:
    known = with_plunge(KnownProbe(before_s, sd, melts), plunged(lag_s))
    assert known.sd_log < sd
    tested_s = math.exp(wax_lag(plunged(lag_s)).mean)
    assert min(before_s, tested_s) * 0.999 <= known.lag_s <= max(before_s, tested_s) * 1.001


@given(st.floats(0.1, 100.0))
def test_without_melts_what_is_usual_counts_too(lag_s: float) -> None:
    known = with_plunge(None, plunged(lag_s))
    assert known == with_plunge(KnownProbe(PROBE_LAG_S, PROBE_SD_LOG, 0), plunged(lag_s))


def test_a_stopwatch_says_less_than_readings() -> None:
    assert (
        with_plunge(None, plunge_by_stopwatch(6.9, "2026-11-27")).sd_log
        > with_plunge(None, plunged(3.0)).sd_log
    )


def test_it_is_said_with_the_reason() -> None:
    assert wax_lag_text(KnownProbe(12.3, 0.4, 0)) == (
        "In a melt it is taken to be 12 s late, give or take 5: wax carries heat worse than water, and the "
        "less it is stirred the worse. Melts with this probe make it surer."
    )
