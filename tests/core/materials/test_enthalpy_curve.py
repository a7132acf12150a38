"""The enthalpy curve as a function and its inverse; figures are checked in tests/outside."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from candlebench.core.materials.enthalpy_curve import EnthalpyCurve

CURVE = EnthalpyCurve()


@given(st.floats(-20.0, 200.0))
def test_temperature_comes_back_from_its_heat(temp_c: float) -> None:
    assert float(CURVE.temp_c(CURVE.heat_j_per_g(temp_c))) == pytest.approx(temp_c, abs=1e-4)


@given(st.floats(-20.0, 120.0), st.floats(0.001, 50.0))
def test_warmer_wax_always_holds_more_heat(temp_c: float, more_k: float) -> None:
    assert float(CURVE.heat_j_per_g(temp_c + more_k)) > float(CURVE.heat_j_per_g(temp_c))


def test_arrays_of_any_shape_go_in_and_come_out() -> None:
    temps = np.array([[20.0, 50.0, 61.0], [66.0, 68.0, 95.0]])
    heats = CURVE.heat_j_per_g(temps)
    assert heats.shape == temps.shape
    assert CURVE.temp_c(heats) == pytest.approx(temps, abs=1e-4)
    assert CURVE.liquid_share(temps).shape == CURVE.capacity_j_per_g_k(temps).shape == temps.shape
    assert [float(CURVE.heat_j_per_g(temp)) for temp in temps.ravel()] == list(heats.ravel())


def test_a_lot_that_melts_higher_has_the_same_curve_further_up() -> None:
    lot = CURVE.moved(1.5)
    assert lot.liquid_share([39.5, 61.5, 69.5]) == pytest.approx(CURVE.liquid_share([38.0, 60.0, 68.0]))
    melting = float(lot.heat_j_per_g(69.5) - lot.heat_j_per_g(39.5))
    assert melting == pytest.approx(float(CURVE.heat_j_per_g(68.0) - CURVE.heat_j_per_g(38.0)))
    assert lot.moved(-1.5).knots_c == CURVE.knots_c


def test_a_lot_with_other_knots_can_be_made() -> None:
    narrow = EnthalpyCurve(knots_c=(55.0, 62.0, 66.0), shares=(0.0, 0.5, 1.0), slopes_per_k=(0.0, 0.12, 0.0))
    assert narrow.liquid_share([55.0, 62.0, 66.0]) == pytest.approx([0.0, 0.5, 1.0])
    assert float(narrow.temp_c(narrow.heat_j_per_g(63.0))) == pytest.approx(63.0, abs=1e-4)


@pytest.mark.parametrize(
    "wrong",
    [
        {"knots_c": (38.0, 55.0, 55.0, 68.0)},
        {"shares": (0.0, 0.5, 0.9)},
        {"shares": (0.1, 0.15, 0.9, 1.0)},
        {"slopes_per_k": (0.0, -2.0, 0.0, 0.0)},
        {"liquid_j_per_g_k": 0.0},
    ],
)
def test_a_curve_that_cannot_be_turned_round_is_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(ValueError, match=r"must"):
        EnthalpyCurve(**wrong)  # type: ignore[arg-type]
