"""Scent loss against handbook correlations, a general solver, and fitted vapour pressures of others.

There is no measurement of scent lost from a pot of wax: these checks show that the model is what it says it
is, not that it is true. It is shown as an estimate good to a factor of two.
"""

import math

import numpy as np
import pytest

from candlebench.core.materials.compound import load_compounds
from candlebench.core.materials.scent import Scented, share_lost, transfer_m_per_s

# Reference rows O44 to O49, computed there from the same model: per cent lost in 10 min at 60, 70, 80 and
# 90 degC, 6 % of oil in 300 g.
LOST_PERCENT = {
    "cineole": (3.1, 5.0, 7.8, 11.6),
    "limonene": (2.4, 3.9, 6.2, 9.4),
    "linalool": (0.5, 0.9, 1.6, 2.7),
    "linalyl-acetate": (0.3, 0.6, 1.0, 1.7),
    "menthol": (0.3, 0.6, 1.1, 1.8),
    "eugenol": (0.07, 0.15, 0.27, 0.5),
}
TEMPS_C = (60.0, 70.0, 80.0, 90.0)
R_J_PER_MOL_K = 8.314462618


@pytest.mark.parametrize("name", LOST_PERCENT)
def test_the_loss_is_that_of_the_reference_table(name: str) -> None:
    scented = Scented(load_compounds()[name], 18.0, 282.0)
    for temp_c, percent in zip(TEMPS_C, LOST_PERCENT[name], strict=True):
        lost = 100.0 * share_lost(scented, np.array([0.0, 600.0]), np.array([temp_c, temp_c]))
        # The table's last digit, and the slightly smaller diffusivity of linalyl acetate (O47's 6.0e-6).
        digit = 0.01 if percent < 0.3 and name == "eugenol" else 0.1
        assert lost == pytest.approx(percent, abs=0.6 * digit, rel=0.1)


def test_the_mole_fraction_is_that_of_worked_example_e25() -> None:
    # E25: limonene at 6 % in wax of 550 g/mol is 0.205, +- 0.001.
    assert Scented(load_compounds()["limonene"], 18.0, 282.0).mole_fraction == pytest.approx(0.205, abs=1e-3)


@pytest.mark.parametrize("temp_c", TEMPS_C)
def test_the_transfer_coefficient_is_mcadams_with_the_chilton_colburn_analogy(temp_c: float) -> None:
    """Nu = 0.54 Ra^1/4 over a plate with Lc = A/P (McAdams, heat.md H12), air from CoolProp at the film.

    Mass transfer by h_m = h / (rho cp Le^2/3) (Chilton and Colburn 1934), D = 6.5e-6 m2/s, 20 degC air. The
    two printed points are rounded to two digits.
    """
    properties = pytest.importorskip("CoolProp.CoolProp", reason="CoolProp is not installed")
    film_k, air = 0.5 * (temp_c + 20.0) + 273.15, ("P", 101325.0, "Air")
    density, heat, conductivity, viscosity = (
        properties.PropsSI(name, "T", film_k, *air) for name in ("D", "C", "L", "V")
    )
    length_m = 0.150 / 4.0
    diffusivity = conductivity / (density * heat)
    rayleigh = 9.81 * (temp_c - 20.0) / film_k * length_m**3 / (viscosity / density * diffusivity)
    assert 1e4 < rayleigh < 1e7
    film_w = 0.54 * rayleigh**0.25 * conductivity / length_m
    expected = film_w / (density * heat * (diffusivity / 6.5e-6) ** (2.0 / 3.0))
    assert float(transfer_m_per_s(temp_c)) == pytest.approx(expected, rel=0.04)


def test_the_integration_agrees_with_a_general_solver_along_a_cooling_curve() -> None:
    """scipy's solve_ivp on dn/dt = -h A x p / (R T), 18 g limonene in 282 g wax, 85 to about 62 degC."""
    integrate = pytest.importorskip("scipy.integrate", reason="scipy is not installed")
    scented = Scented(load_compounds()["limonene"], 18.0, 282.0)
    vapour = scented.compound.vapour
    assert vapour is not None
    wax_mol, begin_mol = 282.0 / 550.0, 18.0 / scented.compound.molar_g_per_mol

    def temp_c(at_s: float) -> float:
        return 20.0 + 65.0 * math.exp(-at_s / 3000.0)

    def flow(at_s: float, left: np.ndarray) -> list[float]:
        warm_c, area_m2 = temp_c(at_s), math.pi * 0.075**2
        share = left[0] / (left[0] + wax_mol)
        above = vapour.pressure_pa(warm_c) / (R_J_PER_MOL_K * (warm_c + 273.15))
        return [-float(transfer_m_per_s(warm_c)) * area_m2 * share * above]

    solved = integrate.solve_ivp(flow, (0.0, 1800.0), [begin_mol], rtol=1e-9, atol=1e-12)
    times_s = np.arange(0.0, 1801.0)
    lost = share_lost(scented, times_s, np.array([temp_c(t) for t in times_s]))
    assert lost == pytest.approx(1.0 - solved.y[0, -1] / begin_mol, rel=1e-4)


@pytest.mark.parametrize(
    ("name", "within"),
    [
        # Row O42: through a measured point (1999), 17 to 22 % below this fit at 60 to 90 degC, as it says.
        ("limonene", 0.23),
        ("cineole", 0.001),
        ("linalyl-acetate", 0.001),
        ("menthol", 0.001),
    ],
)
def test_vapour_pressures_agree_with_a_reference_library(name: str, within: float) -> None:
    """Landolt-Boernstein coefficients as tabulated in chemicals, looked up there by registry number."""
    library = pytest.importorskip("chemicals.vapor_pressure", reason="chemicals is not installed")
    compound, table = load_compounds()[name], library.Psat_data_Landolt_Antoine
    a, b, c = (float(table.at[compound.cas, column]) for column in ("A", "B", "C"))
    assert compound.vapour is not None
    for temp_c in TEMPS_C:
        library_pa = math.exp(a - b / (temp_c + 273.15 + c))
        assert compound.vapour.pressure_pa(temp_c) == pytest.approx(library_pa, rel=within)
