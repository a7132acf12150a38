"""The layered body of the poured jars against closed-form solutions of melting, freezing and cooling.

What is checked is the rule that moves heat between layers and through the enthalpy curve, put into the limit
of the solutions: a slab, a fixed temperature at its face, a melting point as sharp as the curve allows. That
a jar of wax is well described by eight shells and a film coefficient, it does not show.
"""

import math

import numpy as np
import pytest

from candlebench.core.materials.enthalpy_curve import EnthalpyCurve
from candlebench.practice.jars import shells
from candlebench.practice.layers import LayeredBody

optimize = pytest.importorskip("scipy.optimize")
special = pytest.importorskip("scipy.special")


def sharp_curve(
    melts_c: float, solid_j_per_g_k: float, liquid_j_per_g_k: float, latent_j_per_g: float
) -> EnthalpyCurve:
    """All melting within 0.2 K."""
    return EnthalpyCurve(
        (melts_c - 0.1, melts_c + 0.1),
        (0.0, 1.0),
        (5.0, 5.0),
        solid_j_per_g_k,
        liquid_j_per_g_k,
        latent_j_per_g,
    )


def slab(
    thick_m: float, count: int, density: float, curve: EnthalpyCurve, start_c: float, k: tuple[float, float]
) -> LayeredBody:
    """A square metre of slab, insulated in its middle."""
    layer_m = thick_m / count
    half = np.full(count, 0.5 * layer_m)
    return LayeredBody(
        np.full(count, density * layer_m * 1000.0),
        half,
        half,
        curve,
        float(curve.heat_j_per_g(start_c)),
        *k,
    )


def test_a_slab_melts_as_far_as_in_the_printed_one_phase_example() -> None:
    # E6 (pyfsi/coconut, examples/phase_change/Stefan_one_phase): k 1.5, cp 2500, rho 870, L 179 kJ/kg, 10 K;
    # 0.1 m for 10 h: 81 % printed; recomputed lambda 0.258415, 81.436 mm.
    curve = sharp_curve(63.0, 2.5, 2.5, 179.0)
    body = slab(0.1, 100, 870.0, curve, 62.9, (1.5, 1.5))
    in_j = 0.0
    for _ in range(60000):
        in_j += body.step(73.0, math.inf, 0.6)
    assert body.liquid_share == pytest.approx(0.81436, rel=0.01)
    assert body.liquid_share == pytest.approx(0.81, rel=0.015)
    # And the heat of the closed form: what the molten part took, latent and warm.
    held_j = body.heat_j - 0.1 * 870e3 * float(curve.heat_j_per_g(62.9))
    assert held_j == pytest.approx(in_j, rel=1e-9)


def neumann_root(ste: float, superheat: float, k_ratio: float, a_ratio: float) -> float:
    """Root of row H34; ratios are liquid over solid conductivity, and solid over liquid diffusivity."""

    def gap(root: float) -> float:
        liquid = (
            ste
            * k_ratio
            * math.sqrt(a_ratio)
            * superheat
            / (math.exp(root**2 * a_ratio) * special.erfc(root * math.sqrt(a_ratio)))
        )
        return float(ste / (math.exp(root**2) * math.erf(root)) - liquid - root * math.sqrt(math.pi))

    return float(optimize.brentq(gap, 1e-3, 3.0))


@pytest.mark.parametrize(("start_c", "liquid_w_per_m_k"), [(63.1, 0.15), (75.0, 0.15), (85.0, 0.25)])
def test_wax_sets_from_a_cold_wall_as_far_as_the_two_phase_solution_says(
    start_c: float, liquid_w_per_m_k: float
) -> None:
    # H34: the Neumann solution (Carslaw and Jaeger), with figures of beeswax: W23, W24, W26, W32, W33; one
    # density, as the solution asks. The slab is deep enough for its far end not to feel the wall.
    melts_c, wall_c, density, latent = 63.0, 20.0, 900.0, 180.0
    solid_cp, liquid_cp, solid_k = 1.7, 2.3, 0.25
    a_solid = solid_k / (density * solid_cp * 1000.0)
    a_liquid = liquid_w_per_m_k / (density * liquid_cp * 1000.0)
    root = neumann_root(
        solid_cp * (melts_c - wall_c) / latent,
        (start_c - melts_c) / (melts_c - wall_c),
        liquid_w_per_m_k / solid_k,
        a_solid / a_liquid,
    )
    body = slab(
        0.06,
        120,
        density,
        sharp_curve(melts_c, solid_cp, liquid_cp, latent),
        start_c,
        (solid_k, liquid_w_per_m_k),
    )
    seconds = 1800.0
    for _ in range(round(seconds / 0.5)):
        body.step(wall_c, math.inf, 0.5)
    front_m = 2.0 * root * math.sqrt(a_solid * seconds)
    assert (1.0 - body.liquid_share) * 0.06 == pytest.approx(front_m, rel=0.015)


def test_without_superheat_the_root_is_that_of_the_one_phase_table() -> None:
    # Roots of the one-phase equation in heat.md: the formula that the test above trusts is the printed one.
    for ste, root in ((0.1, 0.220016), (0.4, 0.421238), (1.0, 0.620063)):
        assert neumann_root(ste, 0.0, 0.6, 1.0) == pytest.approx(root, abs=2e-6)


def test_shells_cool_at_the_pace_of_a_long_cylinder() -> None:
    # One-term solution of a long cylinder whose face is held cold: the decay is (2.4048 / R)^2 a, 2.4048 the
    # first root of J0 (Carslaw and Jaeger; Cengel, Heat Transfer, transient charts; scipy for the root).
    radius_m, long_m, count, k, cp = 0.0375, 0.08, 8, 0.25, 2.0
    mass_g = 900e3 * math.pi * radius_m**2 * long_m
    plain = EnthalpyCurve(solid_j_per_g_k=cp, liquid_j_per_g_k=cp, latent_j_per_g=0.0)
    body = LayeredBody(
        np.full(count, mass_g / count), *shells(radius_m, long_m, count), plain, cp * 50.0, k, k
    )
    diffusivity = k / (900.0 * cp * 1000.0)
    expected_per_s = (float(special.jn_zeros(0, 1)[0]) / radius_m) ** 2 * diffusivity
    middles_k = []
    for second in range(3600):
        if second in (1800, 3599):
            middles_k.append(body.temps_c[0] - 20.0)
        body.step(20.0, math.inf, 1.0)
    measured_per_s = math.log(middles_k[0] / middles_k[1]) / 1799.0
    assert measured_per_s == pytest.approx(expected_per_s, rel=0.02)


def test_a_jar_in_one_piece_cools_and_rests_as_worked_out() -> None:
    # E24: 293 g, 0.30 W/K: liquid time constant 37.4 min; latent plateau 68.1 min at 43 K over the room.
    curve = sharp_curve(63.0, 2.3, 2.3, 180.0)
    one = (np.array([293.0]), np.array([0.0]), np.array([0.0]))
    jar = LayeredBody(*one, curve, float(curve.heat_j_per_g(120.0)), 1.0, 1.0)
    minutes = 0.0
    while jar.mean_c > 70.0:
        jar.step(20.0, 0.30, 1.0)
        minutes += 1.0 / 60.0
    # From 100 K over the room to half of it, all liquid.
    assert minutes / math.log(2.0) == pytest.approx(37.4, abs=0.1)
    while jar.liquid_share > 0.999:
        jar.step(20.0, 0.30, 1.0)
    plateau = 0.0
    while jar.liquid_share > 0.001:
        jar.step(20.0, 0.30, 1.0)
        plateau += 1.0 / 60.0
    assert plateau == pytest.approx(68.1, abs=0.6)
