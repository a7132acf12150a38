"""The measured curve grows, takes late readings, and never changes what was handed out."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from candlebench.core.track import Track


def _filled(count: int) -> Track:
    track = Track()
    for number in range(count):
        assert track.add(float(number), 20.0 + number)
    return track


def test_it_grows_past_its_first_room_without_losing_a_reading() -> None:
    track = _filled(5000)
    assert len(track) == 5000
    assert np.array_equal(track.times_s, np.arange(5000.0))
    assert np.array_equal(track.temps_c, 20.0 + np.arange(5000.0))


def test_a_late_reading_takes_its_place_and_the_next_one_goes_to_the_end() -> None:
    track = _filled(4)
    assert not track.add(1.5, 99.0)
    assert track.add(4.0, 24.0)
    assert track.times_s.tolist() == [0.0, 1.0, 1.5, 2.0, 3.0, 4.0]
    assert track.temps_c.tolist() == [20.0, 21.0, 99.0, 22.0, 23.0, 24.0]


def test_a_view_that_was_drawn_from_stays_true() -> None:
    track = _filled(1000)
    times_s, temps_c = track.times_s, track.temps_c
    before = times_s.copy(), temps_c.copy()
    track.add(0.5, -5.0)
    for number in range(1000, 3000):
        track.add(float(number), 0.0)
    assert np.array_equal(times_s, before[0]) and np.array_equal(temps_c, before[1])


@given(st.lists(st.floats(0.0, 1e4), min_size=1, max_size=40))
def test_times_never_decrease_however_readings_come(times_s: list[float]) -> None:
    track = Track()
    for at_s in times_s:
        track.add(at_s, 2.0 * at_s)
    assert track.times_s.tolist() == sorted(times_s)
    assert np.array_equal(track.temps_c, 2.0 * track.times_s)


def test_the_last_minute_is_counted_from_the_newest_reading() -> None:
    times_s, temps_c = _filled(300).last(60.0)
    assert (times_s[0], times_s[-1], len(temps_c)) == (239.0, 299.0, 61)
    assert len(Track().last(60.0)[0]) == 0
