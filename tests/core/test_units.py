"""How temperatures and durations are written."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from candlebench.core.units import (
    Shown,
    about,
    band,
    between,
    celsius,
    clock_face,
    fahrenheit,
    rounded_clock_face,
)

C, F = Shown("C"), Shown("F")


@pytest.mark.parametrize(
    ("temp_c", "temp_f"),
    # Fixed points by definition of the scale: NIST SP 811, B.8: t/degF = 1.8 t/degC + 32.
    [(0.0, 32.0), (100.0, 212.0), (-40.0, -40.0), (70.0, 158.0)],
)
def test_fahrenheit_follows_the_definition_both_ways(temp_c: float, temp_f: float) -> None:
    assert fahrenheit(temp_c) == pytest.approx(temp_f)
    assert celsius(temp_f) == pytest.approx(temp_c)


@given(st.floats(-100.0, 300.0))
def test_what_is_shown_comes_back_the_same(temp_c: float) -> None:
    assert F.back(F.number(temp_c)) == pytest.approx(temp_c, abs=1e-9)
    assert C.back(C.number(temp_c)) == temp_c


def test_a_limit_is_a_whole_number_and_a_reading_has_its_tenth() -> None:
    assert (C.temp(75.0), C.temp(72.44)) == ("75 °C", "72.4 °C")
    assert (F.temp(75.0), F.temp(72.5)) == ("167 °F", "162.5 °F")
    assert C.span(70.0, 75.0) == "70–75 °C"
    assert F.span(70.0, 75.0) == "158–167 °F"


def test_a_difference_is_no_temperature() -> None:
    assert (C.drop(2.0), F.drop(2.0)) == ("2.0 °C", "3.6 °F")


def test_durations_read_as_one_says_them() -> None:
    assert [about(s) for s in (1.0, 42.0, 57.4, 58.0, 180.0, 3599.0, 4800.0)] == [
        "5 s", "40 s", "55 s", "1 min", "3 min", "1 h 0 min", "1 h 20 min",
    ]  # fmt: skip
    assert about(math.inf) == "more than two hours"


def test_below_ten_minutes_half_minutes_are_said() -> None:
    assert [about(s) for s in (60.0, 72.0, 76.0, 102.0, 106.0, 145.0, 176.0, 585.0, 600.0)] == [
        "1 min", "1 min", "1½ min", "1½ min", "2 min", "2½ min", "3 min", "10 min", "10 min",
    ]  # fmt: skip
    assert about(560.0) == "9½ min"


@given(st.floats(57.5, 3500.0))
def test_what_is_said_is_the_clock_beside_it_rounded(seconds: float) -> None:
    minutes, rest = rounded_clock_face(seconds).split(":")
    clock_min = int(minutes) + int(rest) / 60.0
    said = about(seconds).removesuffix(" min")
    said_min = float(said.replace("½", ".5"))
    assert abs(said_min - clock_min) <= (0.25 if clock_min < 10.0 else 0.5) + 1e-9
    # 11:30 is said as 12, never as the lower edge.
    assert said_min > clock_min or rest != "30" or clock_min < 10.0


def test_a_clock_face_counts_hours_only_when_there_are_some() -> None:
    assert [clock_face(s) for s in (0.0, 59.9, 2178.0, 3725.0)] == ["0:00", "0:59", "36:18", "1:02:05"]
    assert clock_face(math.inf) == "over 2 h"


def test_a_band_is_rounded_to_what_is_known() -> None:
    assert between(153.0, 247.0) == "2:35 and 4:05"
    assert band(153.0, 247.0) == "2:35 to 4:05"
    assert between(153.0, math.inf) == "2:35 and more than two hours"
    assert band(153.0, math.inf) == "2:35 or later"
