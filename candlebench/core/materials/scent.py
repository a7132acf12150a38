"""How much scent goes off while the oil is in the hot wax: an estimate, good to a factor of two.

Model of the reference tables (rows O44 to O49): Raoult's law with activity 1 over an open pot in still air,
mass transfer by free convection above a hot plate facing up, by the heat and mass analogy. Ratios between two
melts are better than the figures themselves.
"""

import math
from dataclasses import dataclass

import numpy as np

from candlebench.core.materials.compound import ZERO_C_IN_K, Compound
from candlebench.core.track import FloatArray

# CODATA 2018, exact by the definition of the SI's kelvin and mole.
GAS_J_PER_MOL_K = 8.314462618
# O44 to O49: open pot of 150 mm, still air at 20 degC, wax of 550 g/mol (W40: 500 to 600).
POT_DIAMETER_M = 0.150
WAX_G_PER_MOL = 550.0
# The same rows: mass-transfer coefficient for a diffusivity of 6.5e-6 m2/s, at 60 and at 90 degC.
TRANSFER_M_PER_S = ((60.0, 2.9e-3), (90.0, 3.3e-3))
# The same rows: the figures are good to a factor of two.
FACTOR = 2.0
# Steps of the integration: the curve of a jug bends over minutes.
STEP_S = 5.0


@dataclass(frozen=True, slots=True)
class Scented:
    """Wax with oil in it, as the estimate sees it.

    Attributes
    ----------
    compound : Compound
        What the oil is taken as; its vapour curve must be known.
    oil_g, wax_g : float
        Masses in the jug.
    """

    compound: Compound
    oil_g: float
    wax_g: float

    @property
    def mole_fraction(self) -> float:
        """Moles of oil in all moles, with wax of 550 g/mol."""
        oil_mol = self.oil_g / self.compound.molar_g_per_mol
        return oil_mol / (oil_mol + self.wax_g / WAX_G_PER_MOL)


def transfer_m_per_s(temp_c: float | FloatArray) -> FloatArray:
    """Return the mass-transfer coefficient over an open pot, on the line through the two given points."""
    (low_c, low), (high_c, high) = TRANSFER_M_PER_S
    temps_c = np.asarray(temp_c, dtype=np.float64)
    return np.asarray(np.maximum(low + (temps_c - low_c) / (high_c - low_c) * (high - low), 0.0))


def share_lost(scented: Scented, times_s: FloatArray, temps_c: FloatArray) -> float:
    """Return the share of the scent that goes off along a curve, 0 to 1.

    Parameters
    ----------
    scented : Scented
        Its compound has a vapour curve.
    times_s, temps_c : ndarray, shape (n,)
        The melt from the moment the oil is in; times not decreasing.

    Notes
    -----
    dn/dt = -h A x p(T) / (R T), with x the mole fraction of what is left. A lid would keep more.
    """
    if len(times_s) < 2 or scented.oil_g <= 0.0:
        return 0.0
    vapour = scented.compound.vapour
    if vapour is None:
        raise ValueError(f"{scented.compound.name} has no vapour curve")
    steps = max(1, math.ceil((times_s[-1] - times_s[0]) / STEP_S))
    edges_s = np.linspace(times_s[0], times_s[-1], steps + 1)
    middle_c = np.interp(0.5 * (edges_s[:-1] + edges_s[1:]), times_s, temps_c)
    step_s = float(edges_s[1] - edges_s[0])
    area_m2 = math.pi * POT_DIAMETER_M**2 / 4.0
    pressures_pa = np.array([vapour.pressure_pa(float(temp_c)) for temp_c in middle_c])
    # Moles a second at a mole fraction of one.
    flow = transfer_m_per_s(middle_c) * area_m2 * pressures_pa / (GAS_J_PER_MOL_K * (middle_c + ZERO_C_IN_K))
    begin_mol = left_mol = scented.oil_g / scented.compound.molar_g_per_mol
    wax_mol = scented.wax_g / WAX_G_PER_MOL
    for rate in flow.tolist():
        left_mol *= math.exp(-rate * step_s / (left_mol + wax_mol))
    return 1.0 - left_mol / begin_mol


def band(lost: float) -> tuple[float, float]:
    """Return the least and the most that may have gone, for an estimate good to a factor of two."""
    return lost / FACTOR, min(1.0, lost * FACTOR)
