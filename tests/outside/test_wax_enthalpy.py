"""The proposed beeswax curve against its printed table and the heat of whole melts (waxes.md, E20, E21)."""

import numpy as np
import pytest
from scipy.integrate import quad

from candlebench.core.materials.enthalpy_curve import EnthalpyCurve

# waxes.md, "Proposed enthalpy curve": T in degC, h in J/g, liquid share.
PRINTED = [
    *((0, -34.0, 0.0), (10, -17.0, 0.0), (20, 0.0, 0.0), (25, 8.5, 0.0), (30, 17.0, 0.0), (35, 25.5, 0.0)),
    *((38, 30.6, 0.0), (40, 34.4, 0.002), (42, 39.0, 0.009), (44, 44.3, 0.020), (46, 50.5, 0.035)),
    *((48, 57.3, 0.053), (50, 64.9, 0.076), (52, 73.2, 0.103), (54, 82.3, 0.133), (55, 87.0, 0.150)),
    *((56, 93.9, 0.178), (57, 104.6, 0.227), (58, 118.2, 0.293), (59, 134.2, 0.371), (60, 151.9, 0.459)),
    *((61, 170.6, 0.552), (62, 189.6, 0.646), (63, 208.3, 0.738), (64, 226.0, 0.824), (65, 241.9, 0.900)),
    *((66, 254.4, 0.957), (67, 262.6, 0.990), (68, 266.7, 1.0), (69, 269.0, 1.0), (70, 271.3, 1.0)),
    *((72, 275.9, 1.0), (75, 282.8, 1.0), (78, 289.7, 1.0), (80, 294.3, 1.0), (85, 305.8, 1.0)),
    *((90, 317.3, 1.0), (95, 328.8, 1.0), (100, 340.3, 1.0), (110, 363.3, 1.0), (120, 386.3, 1.0)),
]


@pytest.mark.parametrize(("temp_c", "heat_j_per_g", "share"), PRINTED)
def test_the_curve_is_that_of_the_printed_table(temp_c: float, heat_j_per_g: float, share: float) -> None:
    curve = EnthalpyCurve()
    # Half a digit of the print.
    assert float(curve.heat_j_per_g(temp_c)) == pytest.approx(heat_j_per_g, abs=0.051)
    assert float(curve.liquid_share(temp_c)) == pytest.approx(share, abs=0.00051)


def test_half_a_kilogram_from_twenty_to_seventy_five_takes_what_e21_says() -> None:
    # E21: 141.4 kJ +- 0.3 on the proposed curve.
    curve = EnthalpyCurve()
    taken_kj = 0.5 * float(curve.heat_j_per_g(75.0) - curve.heat_j_per_g(20.0))
    assert taken_kj == pytest.approx(141.4, abs=0.3)


def test_a_step_at_the_melting_point_with_constant_heats_is_e20() -> None:
    # E20: 0.5 (2.0 x 43 + 180 + 2.3 x 12) = 146.8 kJ, melting at 63 degC; a very narrow curve comes to it.
    narrow = EnthalpyCurve(
        knots_c=(62.95, 63.05), shares=(0.0, 1.0), slopes_per_k=(0.0, 0.0), solid_j_per_g_k=2.0
    )
    taken_kj = 0.5 * float(narrow.heat_j_per_g(75.0) - narrow.heat_j_per_g(20.0))
    assert taken_kj == pytest.approx(146.8, abs=0.05)


def test_most_of_the_latent_heat_falls_between_fifty_five_and_sixty_six() -> None:
    # waxes.md: 81 % of the latent heat between 55 and 66 degC, the bump peaks at 61.4 degC.
    curve = EnthalpyCurve()
    assert float(curve.liquid_share(66.0) - curve.liquid_share(55.0)) == pytest.approx(0.81, abs=0.005)
    temps = np.linspace(40.0, 67.0, 27001)
    assert temps[int(np.argmax(curve.capacity_j_per_g_k(temps)))] == pytest.approx(61.4, abs=0.15)


@pytest.mark.parametrize(("from_c", "to_c"), [(20.0, 50.0), (38.0, 68.0), (57.0, 61.5), (66.0, 95.0)])
def test_heat_is_the_integral_of_the_heat_capacity(from_c: float, to_c: float) -> None:
    # scipy's adaptive quadrature as the peer.
    curve = EnthalpyCurve()
    area, _ = quad(
        lambda t: float(curve.capacity_j_per_g_k(t)),
        from_c,
        to_c,
        points=[knot for knot in curve.knots_c if from_c < knot < to_c] or None,
    )
    rise = float(curve.heat_j_per_g(to_c) - curve.heat_j_per_g(from_c))
    assert rise == pytest.approx(area, rel=1e-6)
