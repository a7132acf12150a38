"""Fewer points must draw the same curve."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from candlebench.ui.thinning import thinned


@given(st.lists(st.floats(-50.0, 150.0), min_size=1, max_size=400), st.integers(4, 60))
def test_peaks_ends_and_order_are_kept(temps: list[float], at_most: int) -> None:
    times_s, temps_c = np.arange(len(temps), dtype=float), np.array(temps)
    fewer_s, fewer_c = thinned(times_s, temps_c, at_most)
    assert fewer_c.max() == temps_c.max() and fewer_c.min() == temps_c.min()
    assert fewer_s[-1] == times_s[-1]
    assert np.all(np.diff(fewer_s) >= 0.0)
    assert np.array_equal(temps_c[fewer_s.astype(int)], fewer_c), "every point was measured"


def test_twelve_hours_at_ten_a_second_become_a_few_points_with_the_one_spike() -> None:
    times_s = np.arange(0.0, 12 * 3600.0, 0.1)
    temps_c = np.full(len(times_s), 70.0)
    temps_c[123_457] = 91.5
    fewer_s, fewer_c = thinned(times_s, temps_c, 2000)
    assert len(fewer_s) <= 2200
    assert fewer_c.max() == 91.5 and fewer_s[fewer_c.argmax()] == times_s[123_457]


def test_a_short_curve_is_left_alone() -> None:
    times_s = np.arange(50.0)
    fewer_s, _ = thinned(times_s, times_s, 200)
    assert len(fewer_s) == 50


def test_an_empty_curve_stays_empty() -> None:
    fewer_s, fewer_c = thinned(np.zeros(0), np.zeros(0), 100)
    assert len(fewer_s) == len(fewer_c) == 0
