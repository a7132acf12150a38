"""The correction and its uncertainty, worked out a second time here, step by step."""

import math
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from candlebench.core.correction import Correction
from candlebench.core.errors import FixableError
from candlebench.core.trust.check import CheckedPoint, ProbeCheck, checked
from candlebench.core.trust.classes import Verdict
from candlebench.core.trust.finding import age_cautions, correction_text, drift_text, finding, spread_words
from candlebench.core.trust.line import correction_of, disagree, shares_at, uncertainty_k
from candlebench.core.trust.points import (
    CheckPoint,
    PointKind,
    beside_point,
    boiling_at_altitude,
    boiling_at_pressure,
    ice_point,
)
from candlebench.core.trust.readings import PointReading, typed_reading
from candlebench.core.units import Shown

C, F = Shown("C"), Shown("F")
TODAY = date(2026, 11, 27)


def checked_at(*pairs: tuple[CheckPoint, str], class_name: str = "") -> ProbeCheck:
    points = tuple(checked(point, typed_reading((text,), C), C) for point, text in pairs)
    return ProbeCheck("2026-11-20", points, class_name)


def ice_and_boiling(ice: str = "0.4", boiling: str = "99.1", class_name: str = "") -> ProbeCheck:
    return checked_at((ice_point(), ice), (boiling_at_pressure(1013.25), boiling), class_name=class_name)


def test_both_points_come_true() -> None:
    correction = correction_of(ice_and_boiling())
    assert correction.true_c(0.4) == pytest.approx(0.0, abs=1e-3)
    assert correction.true_c(99.1) == pytest.approx(99.97, abs=0.02)
    assert correction.checked_on == "2026-11-20"


def test_the_uncertainty_is_that_of_the_gum_worked_out_by_hand() -> None:
    # JCGM 100:2008: rectangular limits / sqrt(3) (4.3.7), a digital step / sqrt(12) (F.2.2.1), independent
    # parts in quadrature with their sensitivities (5.1.2), k = 2 (6.2.1). Limits: thermometers.toml.
    read_ice, read_boiling, at = 0.4, 99.1, 85.0
    step = 0.1 / math.sqrt(12.0)
    once = 0.5 * 0.1
    u_ice = math.sqrt((0.2**2) / 3.0 + step**2 + once**2)
    # 0.0277 K/hPa: in the table of heat.md (99.97 - 98.18) K over 63.25 hPa = 0.0283 below sea level's
    # pressure, a little less at its upper end.
    u_air = 0.0277 * 3.0 / math.sqrt(3.0)
    u_boiling = math.sqrt((0.3**2) / 3.0 + u_air**2 + step**2 + once**2)
    share = (at - read_ice) / (read_boiling - read_ice)
    u_line = math.hypot((1.0 - share) * u_ice, share * u_boiling)
    # Off the line at most 0.38 K halfway in 100 K, a parabola through both points.
    most = 0.38 * 4.0 * (at - read_ice) * (read_boiling - at) / 100.0**2
    expected = 2.0 * math.sqrt(u_line**2 + most**2 / 3.0 + step**2)
    assert uncertainty_k(ice_and_boiling(), at) == pytest.approx(expected, rel=0.01)
    assert 0.35 < expected < 0.45


def test_the_correction_carries_the_worst_of_the_range_of_a_melt() -> None:
    check = ice_and_boiling()
    worst = max(uncertainty_k(check, float(at)) for at in range(60, 96))
    assert worst <= correction_of(check).uncertainty_k < worst + 0.0101


@given(
    st.floats(-3.0, 3.0),
    st.floats(-3.0, 3.0),
    st.floats(0.0, 2500.0),
    st.floats(60.0, 95.0),
)
def test_the_line_goes_through_both_points_for_any_probe(
    ice_k: float, boiling_k: float, altitude_m: float, at_c: float
) -> None:
    boiling = boiling_at_altitude(altitude_m)
    readings = [PointReading(ice_k, 0.1, 0.02, 30), PointReading(boiling.true_c + boiling_k, 0.1, 0.05, 30)]
    check = ProbeCheck(
        "2026-11-20", (CheckedPoint(ice_point(), readings[0]), CheckedPoint(boiling, readings[1]))
    )
    correction = correction_of(check)
    # Straight through two points, written the other way round.
    gain = boiling.true_c / (readings[1].read_c - readings[0].read_c)
    assert correction.true_c(at_c) == pytest.approx(gain * (at_c - ice_k), abs=2e-3)
    assert not disagree(check)
    # Never surer than what the check points and the display allow.
    assert uncertainty_k(check, at_c) > 2.0 * 0.1 / math.sqrt(12.0)


@given(st.floats(0.02, 1.0), st.floats(1.05, 5.0))
def test_a_coarser_display_and_more_scatter_never_make_it_surer(scatter_k: float, times: float) -> None:
    def at_85(step_k: float, scatter: float) -> float:
        readings = (PointReading(0.3, step_k, scatter, 10), PointReading(99.6, step_k, scatter, 10))
        points = (ice_point(), boiling_at_altitude(0.0))
        return uncertainty_k(ProbeCheck("2026-11-20", tuple(map(CheckedPoint, points, readings))), 85.0)

    assert at_85(0.1, scatter_k * times) > at_85(0.1, scatter_k)
    assert at_85(0.1 * times, scatter_k) > at_85(0.1, scatter_k)


def test_one_point_gives_an_offset_that_is_less_sure_far_away() -> None:
    check = checked_at((ice_point(), "0.4"))
    correction = correction_of(check)
    assert (correction.gain, correction.offset_c) == (1.0, pytest.approx(-0.4))
    # 0.01 K per kelvin at most (slope of class C, row T5): 0.846 K at 85, / sqrt(3), twice.
    assert 2.0 * shares_at(check, 85.0).line_k == pytest.approx(2.0 * 0.01 * 84.6 / math.sqrt(3.0), rel=1e-6)
    assert uncertainty_k(check, 5.0) < 0.35 < 0.95 < uncertainty_k(check, 85.0)


def test_points_close_together_tell_one_offset_only() -> None:
    check = checked_at((beside_point(70.0, 0.5), "70.6"), (beside_point(80.0, 0.5), "80.2"))
    correction = correction_of(check)
    assert correction.gain == 1.0 and correction.offset_c == pytest.approx(-0.4)
    assert any("close together" in caution for caution in finding(check, TODAY, C).cautions)


def test_a_third_point_off_the_line_makes_it_less_sure_and_is_said() -> None:
    good = checked_at(
        (ice_point(), "0.0"), (boiling_at_pressure(1013.25), "100.0"), (beside_point(70.0, 0.4), "70.0")
    )
    odd = checked_at(
        (ice_point(), "0.0"), (boiling_at_pressure(1013.25), "100.0"), (beside_point(70.0, 0.4), "73.0")
    )
    assert not disagree(good) and disagree(odd)
    assert uncertainty_k(odd, 70.0) > 2.0 * uncertainty_k(good, 70.0)
    assert any("do not agree" in caution for caution in finding(odd, TODAY, C).cautions)
    assert not any("do not agree" in caution for caution in finding(good, TODAY, C).cautions)


def test_what_70_and_85_shown_really_are_is_said() -> None:
    found = finding(ice_and_boiling(), TODAY, C)
    low, high = found.true_at
    assert (low.read_c, high.read_c) == (70.0, 85.0)
    assert low.true_c == pytest.approx(70.50, abs=0.02) and high.true_c == pytest.approx(85.69, abs=0.02)
    assert "70 °C it is 70.5 °C" in found.headline and "85.7 °C" in found.headline
    assert "158 °F it is 158.9 °F" in finding(ice_and_boiling(), TODAY, F).headline


def test_give_or_take_is_rounded_up() -> None:
    assert spread_words(0.41, C) == "0.5 °C" and spread_words(0.5, C) == "0.5 °C"
    assert spread_words(0.5, F) == "0.9 °F"


def test_a_probe_that_keeps_to_its_class_is_told_so_at_both_points() -> None:
    found = finding(ice_and_boiling("0.0", "99.9", "pt100-b"), TODAY, C)
    assert [each.verdict for each in found.verdicts] == [Verdict.WITHIN, Verdict.WITHIN]
    assert found.class_text == "It keeps to “Pt100, class B” at 0.0 °C and at 100.0 °C."


def test_a_probe_outside_its_class_is_told_where() -> None:
    found = finding(ice_and_boiling("0.0", "97.0", "B"), TODAY, C)
    assert [each.verdict for each in found.verdicts] == [Verdict.WITHIN, Verdict.OUTSIDE]
    assert "3.0 °C too low, outside “Pt100, class B” (0.80 °C)" in found.class_text
    assert any("more than such a probe should be off" in caution for caution in found.cautions)


def test_what_the_check_cannot_tell_is_left_open() -> None:
    found = finding(checked_at((boiling_at_altitude(0.0), "99.3"), class_name="B"), TODAY, C)
    assert [each.verdict for each in found.verdicts] == [Verdict.UNDECIDED]
    assert "too close to call" in found.class_text


def test_without_a_class_no_verdict_is_given_and_a_wrong_one_is_refused() -> None:
    found = finding(ice_and_boiling(), TODAY, C)
    assert found.verdicts == () and found.class_text == ""
    with pytest.raises(FixableError, match="pt100-b"):
        finding(ice_and_boiling(class_name="gold"), TODAY, C)


def test_the_largest_doubt_is_named() -> None:
    assert (
        "weather"
        in finding(checked_at((ice_point(), "0.1"), (boiling_at_altitude(0.0), "99.9")), TODAY, C).mostly
    )
    assert "second temperature" in finding(checked_at((ice_point(), "0.1")), TODAY, C).mostly
    coarse = checked_at((beside_point(70.0, 0.1), "70"))
    assert "display" in finding(coarse, TODAY, C).mostly or "scatter" in finding(coarse, TODAY, C).mostly


def test_a_line_that_ends_far_below_the_melt_is_said() -> None:
    check = checked_at((ice_point(), "0.1"), (beside_point(40.0, 0.3), "40.2"))
    cautions = finding(check, TODAY, C).cautions
    assert any("goes beyond" in caution for caution in cautions)
    assert uncertainty_k(check, 85.0) > 2.0 * uncertainty_k(check, 40.0)


@pytest.mark.parametrize(
    ("checked_on", "words"), [("2025-11-20", "over a year ago"), ("2026-12-01", "still to come")]
)
def test_an_old_check_and_one_to_come_are_said(checked_on: str, words: str) -> None:
    old = Correction(1.0, 0.0, 0.5, checked_on)
    assert words in age_cautions(old, TODAY)[0]
    assert age_cautions(replace(old, checked_on="2025-11-28"), TODAY) == ()


def test_drift_is_told_only_when_the_checks_can_tell_it() -> None:
    before, after = Correction(1.0, -0.4, 0.5, "2026-01-04"), Correction(1.0, -1.9, 0.5, "2026-11-20")
    assert "since 2026-01-04 it has come to show 1.5 °c more" in drift_text(before, after, C).lower()
    assert "1.5 °C less" in drift_text(after, before, C) and "2.7 °F less" in drift_text(after, before, F)
    same = drift_text(before, replace(after, offset_c=-0.8), C)
    assert "not drifted" in same and "0.8 °C" in same
    assert drift_text(before, after, C) in finding_after(before)


def finding_after(before: Correction) -> str:
    """The drift that a check finds which gives an offset of -1.9 with 0.5."""
    check = ProbeCheck(
        "2026-11-20",
        (CheckedPoint(CheckPoint(PointKind.BESIDE, 80.0, 0.02), PointReading(81.9, 0.1, 0.02, 9)),),
    )
    return finding(check, TODAY, C, before).drift


def test_the_correction_is_spoken_in_her_unit() -> None:
    assert correction_text(Correction(1.0, 1.0, 0.5, "2026-11-20"), F) == (
        "When it shows 158 °F it is 159.8 °F, and 185 °F is 186.8 °F, give or take 0.9 °F."
    )
