"""What a jug and a pan do to heat, worked out from their material, weight and size."""

import math
from dataclasses import dataclass, replace

from candlebench.practice.scenario import Bath, Jug


@dataclass(frozen=True, slots=True)
class Material:
    """What a vessel is made of.

    Attributes
    ----------
    j_per_g_k : float
        Specific heat.
    thick_mm, w_per_m_k : float
        Usual thickness of a wall, and its conductivity.
    emissivity : float
        How well it radiates, 0 to 1.
    """

    j_per_g_k: float
    thick_mm: float
    w_per_m_k: float
    emissivity: float


# Specific heats and conductivities: rows H23 (soda-lime glass, R), H25 (aluminium, R), H26 (stainless, M).
# Emissivities: H29, H30 (bright steel 0.2, glass 0.9; C); bright aluminium 0.1 from memory, check before
# relying on it (M). Thicknesses: estimates.
MATERIALS = {
    "steel": Material(0.50, 0.8, 15.0, 0.2),
    "glass": Material(0.76, 4.0, 1.05, 0.9),
    "aluminium": Material(0.90, 1.5, 230.0, 0.1),
}

# W15: beeswax at 70 degC. C / M
WAX_G_PER_ML = 0.84
# Losses are stated for a jug at 75 degC in a 20 degC room (H29 to H32), so for a difference of 55 K.
_HOT_K, _ROOM_K = 348.15, 293.15
# Stefan-Boltzmann constant, CODATA.
_RADIATION_W_PER_M2_K4 = 5.670374e-8
# W38: emissivity of molten wax, as used for H29 to H32. M
_WAX_EMISSIVITY = 0.93
# H13: 6.4 W/m2 K convected by a wall 80 mm tall at a difference of 40 K; H15: 9.4 by a hot top 75 mm wide at
# the same. Free convection goes with the fourth root of difference over size (H12). C
_WALL_CONVECTION, _WALL_MM = 6.4, 80.0
_TOP_CONVECTION, _TOP_MM = 9.4, 75.0
_MORE_AT_55_K = (55.0 / 40.0) ** 0.25
# As in the defaults of `scenario.Jug` and `scenario.Bath`: wall to melted and to solid wax, water to wall.
# Estimates
_TO_LIQUID_W_PER_M2_K = 180.0
_TO_SOLID_W_PER_M2_K = 108.0
_TO_WATER_W_PER_M2_K = 500.0
# H13: 12 W/m2 K from a pan's wall, 100 mm deep. C
_PAN_W_PER_M2_K = 12.0
_PAN_DEEP_MM = 100.0


def jug_of(material: str, weight_g: float, diameter_mm: float, wax_g: float) -> Jug:
    """Return a round jug that holds `wax_g` of wax.

    Parameters
    ----------
    material : str
        A key of `MATERIALS`.
    weight_g, diameter_mm : float
        The empty jug's mass, and its inner diameter.
    """
    stuff = MATERIALS[material]
    base_m2 = _disc_m2(diameter_mm)
    filled_mm = wax_g / WAX_G_PER_ML * 1e-6 / base_m2 * 1e3
    wall_m2 = math.pi * diameter_mm * filled_mm * 1e-6
    touched_m2 = base_m2 + wall_m2
    half_wall = 0.5e-3 * stuff.thick_mm / stuff.w_per_m_k
    return Jug(
        material=material,
        diameter_mm=diameter_mm,
        filled_mm=filled_mm,
        metal_j_per_k=weight_g * stuff.j_per_g_k,
        wall_w_per_k=wall_m2
        * (_convected(_WALL_CONVECTION, _WALL_MM, filled_mm) + _radiated(stuff.emissivity)),
        top_w_per_k=base_m2
        * (_convected(_TOP_CONVECTION, _TOP_MM, diameter_mm) + _radiated(_WAX_EMISSIVITY)),
        to_liquid_w_per_k=touched_m2 / (1.0 / _TO_LIQUID_W_PER_M2_K + half_wall),
        to_solid_w_per_k=touched_m2 / (1.0 / _TO_SOLID_W_PER_M2_K + half_wall),
    )


def bath_of(material: str, weight_g: float, diameter_mm: float, jug: Jug) -> Bath:
    """Return a round pan in which the jug stands.

    Parameters
    ----------
    material : str
        Of the pan, a key of `MATERIALS`.
    weight_g, diameter_mm : float
        The pan's mass, and its inner diameter.
    """
    jug_m2 = _disc_m2(jug.diameter_mm)
    touched_m2 = jug_m2 + math.pi * jug.diameter_mm * jug.filled_mm * 1e-6
    wall = MATERIALS[jug.material]
    half_wall = 0.5e-3 * wall.thick_mm / wall.w_per_m_k
    return replace(
        Bath(),
        pan_j_per_k=weight_g * MATERIALS[material].j_per_g_k,
        pan_w_per_k=math.pi * diameter_mm * _PAN_DEEP_MM * 1e-6 * _PAN_W_PER_M2_K,
        open_m2=max(_disc_m2(diameter_mm) - jug_m2, 0.0),
        jug_m2=jug_m2,
        to_jug_w_per_k=touched_m2 / (1.0 / _TO_WATER_W_PER_M2_K + half_wall),
    )


def _disc_m2(diameter_mm: float) -> float:
    return math.pi * diameter_mm * diameter_mm / 4.0 * 1e-6


def _convected(at_size: float, size_mm: float, here_mm: float) -> float:
    return at_size * _MORE_AT_55_K * math.sqrt(math.sqrt(size_mm / here_mm))


def _radiated(emissivity: float) -> float:
    return emissivity * _RADIATION_W_PER_M2_K4 * (_HOT_K + _ROOM_K) * (_HOT_K * _HOT_K + _ROOM_K * _ROOM_K)
