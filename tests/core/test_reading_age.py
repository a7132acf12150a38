"""When a typed reading is too old for now, and when the next one is wanted."""

import numpy as np
import pytest

from candlebench.core.forecast.crossing import Crossing
from candlebench.core.forecast.fan import Fan
from candlebench.core.reading_age import (
    ReadingAge,
    band_now_c,
    band_words,
    old_words,
    read_again_after_s,
    rises,
)
from candlebench.core.units import Shown

C, F = Shown(), Shown("F")
FAN = Fan(
    np.array([0.0, 60.0, 120.0]),
    np.array([70.0, 72.0, 74.0]),
    np.array([70.0, 73.0, 76.0]),
    np.array([70.0, 75.0, 80.0]),
    100.0,
)


def _in(low_s: float) -> Crossing:
    return Crossing(75.0, low_s, 1.5 * low_s, 2.0 * low_s, 1.0, 0.0)


def test_a_typed_number_stands_for_now_for_half_a_minute_and_a_wire_has_its_own_pace() -> None:
    assert ReadingAge(30.0, True).fresh and not ReadingAge(30.1, True).fresh
    assert ReadingAge(900.0, False).fresh and not ReadingAge(900.0, False, None, -1.0).due
    assert ReadingAge(60.0, True, None, 0.0).due and not ReadingAge(60.0, True, None, 0.1).due


def test_readings_are_asked_for_more_often_near_a_window() -> None:
    waits = [read_again_after_s((_in(low_s), None), True) for low_s in (900.0, 300.0, 120.0, 60.0, 0.0)]
    assert waits == [180.0, 150.0, 60.0, 30.0, 30.0]
    assert waits == sorted(waits, reverse=True)


def test_the_soonest_of_what_comes_counts() -> None:
    assert read_again_after_s((_in(900.0), _in(200.0)), True) == 100.0


@pytest.mark.parametrize(("has_rate", "wait_s"), [(True, 180.0), (False, 60.0)])
def test_without_a_forecast_the_next_one_comes_in_a_minute_or_three(has_rate: bool, wait_s: float) -> None:
    assert read_again_after_s((None, None), has_rate) == wait_s


def test_where_the_wax_may_be_is_read_off_the_forecast_and_not_beyond_its_end() -> None:
    assert band_now_c(FAN, 160.0) == (72.0, 75.0)
    assert band_now_c(FAN, 190.0) == (73.0, 77.5)
    assert band_now_c(FAN, 220.1) is None and band_now_c(None, 160.0) is None
    assert rises(FAN)


def test_a_band_is_written_in_whole_degrees_that_hold_it() -> None:
    assert band_words((65.4, 87.6), C) == "65 to 88 °C"
    assert band_words((72.0, 72.0), C) == "72 °C"
    # 65.4 degC = 149.7 degF, 87.6 degC = 189.7 degF.
    assert band_words((65.4, 87.6), F) == "149 to 190 °F"


def test_what_is_not_known_is_not_said() -> None:
    assert old_words(ReadingAge(282.0, True), C) == "The last reading is **4:42** old."
    known = old_words(ReadingAge(282.0, True, (65.4, 87.6)), C)
    assert known == "The last reading is **4:42** old; the wax may be at 65 to 88 °C."
