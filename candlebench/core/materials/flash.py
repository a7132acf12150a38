"""Where scented liquid wax can catch fire: an estimate, and the most oil that leaves room below it."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from candlebench.core.materials.compound import Compound

# oils.md, "Flash point of scented liquid wax": an estimate, +- 10 K; no measured one is known. C
UNCERTAINTY_K = 10.0
# No neat oil or wax of the tables flashes outside; the search runs between.
_COLDEST_C, _HOTTEST_C = -60.0, 400.0
# Sixty halvings of 460 K leave nothing that could be shown.
_HALVINGS = 60


@dataclass(frozen=True, slots=True)
class OilInWax:
    """One oil in a melt.

    Attributes
    ----------
    mass_g : float
    compound : Compound
        What it evaporates like; its vapour curve must be known.
    flash_c : float
        Flash point of the neat oil.
    """

    mass_g: float
    compound: Compound
    flash_c: float


@dataclass(frozen=True, slots=True)
class FlashEstimate:
    """Flash point of scented wax: the estimate, and from where to where it may lie."""

    value_c: float
    low_c: float
    high_c: float


def scented_flash_c(
    oils: Sequence[OilInWax], wax_g: float, wax_g_per_mol: float, wax_flash_c: float | None = None
) -> float:
    """Return the estimated flash point of wax with oils in it, in °C; good to ± 10 K.

    Solves sum of x_i p_i(T) / p_i(T_flash,i) = 1 over the oils, x the mole fraction, with activity 1 and wax
    that does not evaporate; never above the flash point of the plain wax where that is known.

    Source: Vidal et al., Process Saf. Environ. Prot. 84(B1) (2006) 1-9, as taken in `oils.md`.
    """
    moles = [oil.mass_g / oil.compound.molar_g_per_mol for oil in oils]
    everything = sum(moles) + wax_g / wax_g_per_mol
    fractions = [mol / everything for mol in moles]
    highest_c = _HOTTEST_C if wax_flash_c is None else wax_flash_c

    def vapour_share(temp_c: float) -> float:
        return sum(
            fraction * _relative_pressure(oil, temp_c) for fraction, oil in zip(fractions, oils, strict=True)
        )

    return _where_it_reaches_one(vapour_share, highest_c)


def estimate_flash(
    oils: Sequence[OilInWax],
    highest_neat_c: Sequence[float],
    wax_g: float,
    wax_g_per_mol: float,
    wax_flash_c: float | None = None,
) -> FlashEstimate:
    """Return the flash point with its band: the rule's ± 10 K, and upwards also the spread of the neat oils'.

    Parameters
    ----------
    oils : sequence of OilInWax
        With the lowest neat flash point quoted for each (row F28).
    highest_neat_c : sequence of float
        The highest quoted for each, in the same order.
    wax_g, wax_g_per_mol, wax_flash_c
        As in `scented_flash_c`.
    """
    value_c = scented_flash_c(oils, wax_g, wax_g_per_mol, wax_flash_c)
    best = [
        OilInWax(oil.mass_g, oil.compound, max(oil.flash_c, high_c))
        for oil, high_c in zip(oils, highest_neat_c, strict=True)
    ]
    best_c = scented_flash_c(best, wax_g, wax_g_per_mol, wax_flash_c)
    return FlashEstimate(value_c, value_c - UNCERTAINTY_K, best_c + UNCERTAINTY_K)


def most_oil_share(flash_at: Callable[[float], float], wanted_c: float, up_to: float) -> float | None:
    """Return the largest share of oil, up to `up_to`, whose scented wax flashes at `wanted_c` or above.

    Parameters
    ----------
    flash_at : callable
        Flash point in °C of a share; falls as the share rises.
    wanted_c : float
        The lowest flash point that leaves a window.
    up_to : float
        Shares above are not of interest.

    Returns
    -------
    float or None
        A share, 0 to 1; None when not even a thousandth of oil leaves a window.
    """
    if flash_at(up_to) >= wanted_c:
        return up_to
    low, high = 0.001, up_to
    if low >= high or flash_at(low) < wanted_c:
        return None
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        if flash_at(middle) >= wanted_c:
            low = middle
        else:
            high = middle
    return low


def _relative_pressure(oil: OilInWax, temp_c: float) -> float:
    """p(T) / p(T_flash) along the oil's curve, which may be drawn on beyond its range."""
    curve = oil.compound.vapour
    if curve is None:
        raise ValueError(f"{oil.compound.name} has no vapour curve")
    return math.exp(math.log(curve.pressure_pa(temp_c)) - math.log(curve.pressure_pa(oil.flash_c)))


def _where_it_reaches_one(rising: Callable[[float], float], highest_c: float) -> float:
    low_c, high_c = _COLDEST_C, highest_c
    if rising(high_c) <= 1.0:
        return high_c
    for _ in range(_HALVINGS):
        middle_c = 0.5 * (low_c + high_c)
        if rising(middle_c) < 1.0:
            low_c = middle_c
        else:
            high_c = middle_c
    return 0.5 * (low_c + high_c)
