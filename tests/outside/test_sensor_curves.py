"""Ohms and volts of bare sensors against published tables.

Sources: NIST Monograph 175 (ITS-90) tables, computed with thermocouples_reference 0.20; Pt100
by IEC 60751; thermistor by the beta equation: all as tabulated to the digits below.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from candlebench.thermometers.sensor_curves import (
    platinum,
    thermistor,
    thermocouple,
    thermocouple_mv,
)

THERMOCOUPLE_MV = [
    ("K", 20.0, 0.7981), ("K", 25.0, 1.0002), ("K", 40.0, 1.6118), ("K", 60.0, 2.4365), ("K", 65.0, 2.6437),
    ("K", 80.0, 3.2666), ("K", 100.0, 4.0962), ("K", 120.0, 4.9199), ("K", 150.0, 6.1383),
    ("K", 200.0, 8.1385),
    ("J", 20.0, 1.0191), ("J", 60.0, 3.1157), ("J", 80.0, 4.1866), ("J", 100.0, 5.2689),
    ("J", 200.0, 10.7787),
    ("T", 20.0, 0.7896), ("T", 60.0, 2.4682), ("T", 80.0, 3.3577), ("T", 100.0, 4.2785), ("T", 200.0, 9.2881),
]  # fmt: skip
# NIST Monograph 175 at -50 C, from memory: K -1.889, J -2.431, T -1.819 mV.
BELOW_FREEZING_MV = [("K", -1.889), ("J", -2.431), ("T", -1.819)]
PT100_OHM = [
    (20.0, 107.793), (40.0, 115.541), (60.0, 123.242), (65.0, 125.160), (80.0, 130.897), (100.0, 138.505),
    (150.0, 157.325), (200.0, 175.856),
]  # fmt: skip
# Beta 3950 K, 10 k at 25 C, computed for the table.
THERMISTOR_OHM = [(60.0, 2486.0), (63.0, 2236.5), (80.0, 1270.0), (100.0, 697.5)]


@pytest.mark.parametrize(("kind", "temp_c", "table_mv"), THERMOCOUPLE_MV)
def test_a_thermocouple_is_read_as_the_nist_table_says(kind: str, temp_c: float, table_mv: float) -> None:
    # Half of the table's last digit is 0.05 uV, which is 0.0013 K.
    assert thermocouple(kind, 0.0).temp_c(table_mv / 1000.0) == pytest.approx(temp_c, abs=0.002)


@pytest.mark.parametrize(("kind", "table_mv"), BELOW_FREEZING_MV)
def test_below_freezing_a_thermocouple_follows_its_other_polynomial(kind: str, table_mv: float) -> None:
    assert thermocouple_mv(kind, -50.0) == pytest.approx(table_mv, abs=0.0006)


@pytest.mark.parametrize("junction_c", [0.0, 18.0, 31.5])
@pytest.mark.parametrize("kind", ["K", "J", "T"])
def test_the_meters_own_warmth_is_added_as_a_voltage(kind: str, junction_c: float) -> None:
    # Law of intermediate temperatures (NIST Monograph 175): E(t, tr) = E(t, 0) - E(tr, 0).
    table = {"K": 2.4365, "J": 3.1157, "T": 2.4682}[kind]
    shown_v = (table - thermocouple_mv(kind, junction_c)) / 1000.0
    assert thermocouple(kind, junction_c).temp_c(shown_v) == pytest.approx(60.0, abs=0.002)


@pytest.mark.parametrize(("temp_c", "ohm"), PT100_OHM)
def test_a_pt100_and_a_pt1000_are_read_as_iec_60751_says(temp_c: float, ohm: float) -> None:
    assert platinum(100.0).temp_c(ohm) == pytest.approx(temp_c, abs=0.002)
    assert platinum(1000.0).temp_c(10.0 * ohm) == pytest.approx(temp_c, abs=0.002)


def test_a_pt100_below_freezing_has_the_third_term() -> None:
    # IEC 60751 table, from memory: 80.31 ohm at -50 C.
    assert platinum(100.0).temp_c(80.31) == pytest.approx(-50.0, abs=0.02)


@pytest.mark.parametrize(("temp_c", "ohm"), THERMISTOR_OHM)
def test_a_thermistor_is_read_by_its_beta(temp_c: float, ohm: float) -> None:
    assert thermistor(10_000.0, 3950.0).temp_c(ohm) == pytest.approx(temp_c, abs=0.05)


@pytest.mark.parametrize("ohm", [0.0, 9.9e37, -9.9e37, 1e6, math.inf, math.nan])
def test_a_short_an_open_lead_and_an_overload_are_no_temperature(ohm: float) -> None:
    # T32, T33 and T35 of the reference: 0 ohm, beyond range, SCPI-1999's 9.9E37.
    assert platinum(100.0).temp_c(ohm) is None


@given(st.floats(-90.0, 390.0), st.sampled_from(["K", "J", "T"]), st.floats(0.0, 40.0))
def test_there_and_back_is_the_same_temperature(temp_c: float, kind: str, junction_c: float) -> None:
    curve = thermocouple(kind, junction_c)
    assert curve.temp_c(curve.signal(temp_c)) == pytest.approx(temp_c, abs=1e-4)
