"""Check points: what the temperature is there, and how well a kitchen makes it."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from candlebench.core.errors import FixableError
from candlebench.core.trust.guides import Guide, guide_to, guide_to_plunge
from candlebench.core.trust.points import (
    PointKind,
    beside_point,
    boiling_at_altitude,
    boiling_at_pressure,
    boiling_by_report,
    boiling_c,
    ice_point,
    point_words,
)
from candlebench.core.units import Shown

C, F = Shown(), Shown("F")


def test_melting_ice_is_at_zero_within_two_tenths() -> None:
    point = ice_point()
    assert point.true_c == 0.0 and point.air_sd_k == 0.0
    # Half-width 0.2 K, evenly between: JCGM 100:2008, 4.3.7.
    assert point.sd_k == pytest.approx(0.2 / math.sqrt(3.0))


def test_boiling_water_is_cooler_higher_up() -> None:
    # Table of heat.md: 99.97, 96.65 and 93.32 °C at 0, 1000 and 2000 m.
    assert boiling_at_altitude(0.0).true_c == pytest.approx(99.97, abs=0.02)
    assert boiling_at_altitude(1000.0).true_c == pytest.approx(96.65, abs=0.03)
    assert boiling_at_altitude(2000.0).true_c == pytest.approx(93.32, abs=0.03)


def test_a_barometer_makes_the_boiling_point_surer_than_an_altitude_alone() -> None:
    by_altitude, by_report = boiling_at_altitude(400.0), boiling_by_report(1021.0, 400.0)
    by_barometer = boiling_at_pressure(973.0, 400.0)
    assert by_barometer.air_sd_k < by_report.air_sd_k < by_altitude.air_sd_k
    assert by_barometer.own_sd_k == by_report.own_sd_k == by_altitude.own_sd_k > 0.0


def test_a_weather_report_is_brought_back_from_sea_level() -> None:
    # At 1500 m the standard atmosphere has 845.6 hPa (US Standard Atmosphere 1976, from memory); a report of
    # 1013.25 hPa is that very atmosphere, so that the altitude alone gives the same point.
    report = boiling_by_report(1013.25, 1500.0)
    assert report.pressure_hpa == pytest.approx(845.6, abs=0.5)
    assert report.true_c == pytest.approx(boiling_at_altitude(1500.0).true_c, abs=1e-6)
    assert boiling_by_report(1033.25, 1500.0).true_c > report.true_c


def test_a_report_given_as_what_the_barometer_shows_is_refused_up_a_mountain() -> None:
    with pytest.raises(FixableError, match=r"1018 hPa cannot be the air pressure at 1500 m.*sea level"):
        boiling_at_pressure(1018.0, 1500.0)
    assert boiling_at_pressure(850.0, 1500.0).pressure_hpa == 850.0


@pytest.mark.parametrize("hpa", [0.0, 29.92, 101325.0, 449.0, 1111.0, math.nan, -3.0])
def test_what_is_no_air_pressure_is_refused_with_the_range(hpa: float) -> None:
    with pytest.raises(FixableError, match="450 to 1110"):
        boiling_c(hpa)
    with pytest.raises(FixableError, match="450 to 1110"):
        boiling_at_pressure(hpa)


@pytest.mark.parametrize("hpa", [29.9, 850.0, 1100.0, math.nan])
def test_what_no_weather_report_says_is_refused(hpa: float) -> None:
    with pytest.raises(FixableError, match="920 to 1090"):
        boiling_by_report(hpa, 100.0)


def test_another_thermometer_is_as_sure_as_she_trusts_it() -> None:
    assert beside_point(70.0, 0.4).sd_k == pytest.approx(0.2)
    assert beside_point(70.0).sd_k == pytest.approx(0.5)
    with pytest.raises(FixableError, match="between 0 and 100"):
        beside_point(300.0)
    with pytest.raises(FixableError):
        beside_point(math.nan)
    for trust in (0.0, -1.0, 11.0, math.nan):
        with pytest.raises(FixableError, match="trust"):
            beside_point(70.0, trust)


@given(st.floats(450.0, 1109.0), st.floats(0.1, 1.0))
def test_more_pressure_always_boils_hotter(hpa: float, more: float) -> None:
    assert boiling_c(hpa + more) > boiling_c(hpa)


@given(st.floats(-400.0, 5000.0))
def test_a_point_is_never_surer_than_its_parts(altitude_m: float) -> None:
    point = boiling_at_altitude(altitude_m)
    assert point.sd_k >= max(point.own_sd_k, point.air_sd_k) > 0.0
    assert point.kind is PointKind.BOILING


def test_points_are_named_in_her_unit() -> None:
    assert point_words(ice_point(), C) == "melting ice, 0 °C"
    assert point_words(ice_point(), F) == "melting ice, 32 °F"
    assert point_words(boiling_at_pressure(1013.25), C) == "boiling water, 100 °C at 1013 hPa"
    assert point_words(beside_point(70.4), C) == "beside a thermometer that showed 70.4 °C"


@pytest.mark.parametrize(
    ("guide", "words", "hazard"),
    [
        (guide_to(PointKind.ICE, C), ("Crush", "clean water", "Stir", "touching neither glass"), "salt"),
        (guide_to(PointKind.BOILING, C), ("rolling boil", "must not touch the base", "barometer"), "Steam"),
        (guide_to(PointKind.BESIDE, C), ("tips side by side", "60–85 °C", "Stir"), "Hot water"),
        (guide_to_plunge(C), ("stir it steadily", "one go", "no longer changes"), "Hot water"),
    ],
)
def test_each_guide_says_how_and_what_can_hurt(guide: Guide, words: tuple[str, ...], hazard: str) -> None:
    steps = " ".join(guide.steps)
    assert [word for word in words if word not in steps] == []
    assert hazard in " ".join(guide.cautions)
    assert all(each.endswith(".") for each in (*guide.steps, *guide.cautions))
