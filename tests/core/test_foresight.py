"""A forecast is counted from any later moment."""

from candlebench.core.forecast.crossing import Crossing
from candlebench.core.foresight import counted_from

MADE = Crossing(75.0, 100.0, 120.0, 160.0, 0.9, 1000.0)


def test_time_that_has_passed_is_taken_off_and_never_goes_below_zero() -> None:
    assert counted_from(MADE, 1000.0) == MADE
    assert counted_from(MADE, 1110.0) == Crossing(75.0, 0.0, 10.0, 50.0, 0.9, 1110.0)


def test_once_its_late_end_has_passed_it_says_nothing() -> None:
    assert counted_from(MADE, 1160.0) is None
