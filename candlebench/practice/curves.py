"""Enthalpy curves of what a practice melt holds."""

from candlebench.core.materials.enthalpy_curve import BEESWAX_KNOTS_C, EnthalpyCurve
from candlebench.core.materials.wax import OIL_J_PER_G_K, load_waxes
from candlebench.practice.scenario import Scenario


def practice_curve(scenario: Scenario) -> EnthalpyCurve:
    """Return the enthalpy curve of the scenario's wax.

    Only beeswax has a curve in the tables; another wax gets its shape, moved to its own end of melting, and
    its own liquid heat: good enough to practise on, not a figure.
    """
    wax = load_waxes()[scenario.wax.name]
    curve = EnthalpyCurve(liquid_j_per_g_k=wax.liquid_j_per_g_k, latent_j_per_g=scenario.wax.latent_j_per_g)
    return curve.moved(wax.limits.melted_c - BEESWAX_KNOTS_C[-1] + scenario.wax.knee_shift_k)


def with_oil(curve: EnthalpyCurve, wax_g: float, oil_g: float) -> EnthalpyCurve:
    """Return the curve of a gram of wax and oil together; the oil only takes up and gives off warmth."""
    wax_share = wax_g / (wax_g + oil_g)
    oil_j_per_g_k = (1.0 - wax_share) * OIL_J_PER_G_K
    return EnthalpyCurve(
        curve.knots_c,
        curve.shares,
        curve.slopes_per_k,
        curve.solid_j_per_g_k * wax_share + oil_j_per_g_k,
        curve.liquid_j_per_g_k * wax_share + oil_j_per_g_k,
        curve.latent_j_per_g * wax_share,
    )
