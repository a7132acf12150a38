"""How much heat a wax holds at each temperature: a family of curves, since no two lots are alike.

Heat is counted in kelvin of liquid wax: one unit warms liquid wax by one kelvin, so that heat and temperature
are the same number as long as the wax is liquid. A body without latent heat is the curve heat = temperature.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from candlebench.core.errors import FixableError
from candlebench.core.known import KnownWax
from candlebench.words import tr

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

# Tables reach from a cold store room to far above every limit.
COLDEST_C, HOTTEST_C = -30.0, 180.0
_TEMP_STEP_C = 0.1
_HEAT_STEP_K = 0.2

# Row W23, W24 and "Proposed enthalpy curve" of waxes.md: solid 1.7, liquid 2.3, latent 180 kJ/kg; a proposal.
SOLID_KJ_PER_KG_K = 1.7
LIQUID_KJ_PER_KG_K = 2.3
LATENT_KJ_PER_KG = 180.0
# The proposed curve takes 15 % of the latent heat in slow premelting over the 23 K below the main step (38 to
# 61 C); the main step holds the rest.
_PREMELT_SHARE = 0.15
_PREMELT_SPAN_K = 23.0
# The proposed curve is about twice as wide below its knee as above.
_BELOW, _ABOVE = 1.5, 0.85


def _normal_share(x: Floats) -> Floats:
    """The normal distribution's integral, by its logistic approximation, within 0.0002."""
    return np.asarray(0.5 * (1.0 + np.tanh(0.5 * (1.5976 * x + 0.07056 * x**3))), dtype=np.float64)


def liquid_share(temp_c: Floats, knee_c: float, width_k: float) -> Floats:
    """Share of the latent heat taken up below a temperature.

    A normal step about `knee_c`, steeper above than below, over a slow premelting ramp. With a knee of 62.5 C
    and a width of 3 K it follows the proposed curve of waxes.md within 0.02 from 63 C up.

    Parameters
    ----------
    temp_c : array of float
        Temperatures in degrees Celsius.
    knee_c : float
        Middle of the main step, where the cooling curve bends most.
    width_k : float
        Standard deviation of the step below the knee; above it is a good half of that.

    Returns
    -------
    array of float
        0 for solid to 1 for liquid, same shape as `temp_c`.
    """
    x = np.clip((temp_c - knee_c + _PREMELT_SPAN_K) / _PREMELT_SPAN_K, 0.0, 1.0)
    ramp = x * x * (3.0 - 2.0 * x)
    off = (temp_c - knee_c) / width_k
    # The two halves of the step hold heat in proportion to their widths, so that its slope is continuous.
    share_below = _BELOW / (_BELOW + _ABOVE)
    step = np.where(
        off < 0.0,
        2.0 * share_below * _normal_share(off / _BELOW),
        share_below + (1.0 - share_below) * (2.0 * _normal_share(off / _ABOVE) - 1.0),
    )
    return np.asarray(_PREMELT_SHARE * ramp + (1.0 - _PREMELT_SHARE) * step, dtype=np.float64)


@dataclass(frozen=True, slots=True)
class WaxFamily:
    """A set of heat curves with the belief in each, as tables to look up.

    Attributes
    ----------
    name : str
        Name of the wax.
    knee_c, width_k : array of float, shape (curves,)
        What each curve was made from; nan for a body without latent heat.
    belief : array of float, shape (curves,)
        Probability of each before the melt; adds up to 1.
    heat_k : array of float, shape (curves, temperatures)
        Heat at COLDEST_C and every 0.1 K above.
    temp_c : array of float, shape (curves, heats)
        Temperature at `coldest_heat_k` and every 0.2 K of heat above.
    coldest_heat_k : float
        Where `temp_c` begins.
    liquid : array of float, shape (curves, temperatures)
        Share that is liquid at COLDEST_C and every 0.1 K above.
    """

    name: str
    knee_c: Floats
    width_k: Floats
    belief: Floats
    heat_k: Floats
    temp_c: Floats
    coldest_heat_k: float
    liquid: Floats

    @property
    def knee_spacing_k(self) -> float:
        """How far apart neighbouring knees are; 0 when there is one only, or none."""
        knees = np.unique(self.knee_c[np.isfinite(self.knee_c)])
        return float(np.diff(knees).mean()) if len(knees) > 1 else 0.0

    def liquid_at(self, curve: Ints, temp_c: Floats) -> Floats:
        """Liquid share of each (curve, temperature) pair."""
        cell = np.clip((temp_c - COLDEST_C) / _TEMP_STEP_C + 0.5, 0.0, self.liquid.shape[1] - 1.0)
        return np.asarray(self.liquid[curve, cell.astype(np.intp)], dtype=np.float64)

    def heat_at(self, curve: Ints, temp_c: Floats) -> Floats:
        """Heat of each (curve, temperature) pair, in kelvin of liquid wax."""
        at = np.clip((temp_c - COLDEST_C) / _TEMP_STEP_C, 0.0, self.heat_k.shape[1] - 1.001)
        cell = at.astype(np.intp)
        low = self.heat_k[curve, cell]
        return np.asarray(low + (at - cell) * (self.heat_k[curve, cell + 1] - low), dtype=np.float64)

    def temp_at(self, curve: Ints, heat_k: Floats) -> tuple[Floats, Floats]:
        """Temperature of each (curve, heat) pair, and its slope in kelvin per unit of heat."""
        at = np.clip((heat_k - self.coldest_heat_k) / _HEAT_STEP_K, 0.0, self.temp_c.shape[1] - 1.001)
        cell = at.astype(np.intp)
        low = self.temp_c[curve, cell]
        rise = self.temp_c[curve, cell + 1] - low
        return low + (at - cell) * rise, rise / _HEAT_STEP_K


def _tables(
    name: str,
    heats: Sequence[Callable[[Floats], Floats]],
    liquids: Sequence[Callable[[Floats], Floats]],
    knee_c: Floats,
    width_k: Floats,
    belief: Floats,
) -> WaxFamily:
    temps = np.arange(COLDEST_C, HOTTEST_C + _TEMP_STEP_C, _TEMP_STEP_C)
    heat = np.array([heat_of(temps) for heat_of in heats])
    coldest = float(heat[:, 0].min())
    grid = np.arange(coldest, float(heat[:, -1].max()), _HEAT_STEP_K)
    temp = np.array([np.interp(grid, row, temps) for row in heat])
    liquid = np.array([liquid_of(temps) for liquid_of in liquids])
    return WaxFamily(name, knee_c, width_k, belief / belief.sum(), heat, temp, coldest, liquid)


def plain_body() -> WaxFamily:
    """A body without latent heat: water, or wax that stays liquid."""
    none = np.array([np.nan])
    return _tables("none", [lambda temp: temp], [np.ones_like], none, none, np.ones(1))


def wax_family(
    name: str,
    knees_c: Sequence[float],
    widths_k: Sequence[float],
    belief: Sequence[float] | None = None,
    latent_kj_per_kg: float = LATENT_KJ_PER_KG,
) -> WaxFamily:
    """Make a family from pairs of knee and width.

    Parameters
    ----------
    name : str
        Name of the wax.
    knees_c, widths_k : sequences of float, one pair a curve
        Middle and width of the main melting step; see `liquid_share`.
    belief : sequence of float, optional
        How much each is believed; equal when left out.
    latent_kj_per_kg : float
        Latent heat of the whole step.

    Returns
    -------
    WaxFamily
    """

    def heat_of(knee_c: float, width_k: float) -> Callable[[Floats], Floats]:
        def heat(temps: Floats) -> Floats:
            share = liquid_share(temps, knee_c, width_k)
            capacity = SOLID_KJ_PER_KG_K + (LIQUID_KJ_PER_KG_K - SOLID_KJ_PER_KG_K) * share
            sensible = np.concatenate(([0.0], np.cumsum(0.5 * (capacity[1:] + capacity[:-1]) * _TEMP_STEP_C)))
            total = (sensible + latent_kj_per_kg * share) / LIQUID_KJ_PER_KG_K
            return np.asarray(total - total[-1] + temps[-1], dtype=np.float64)

        return heat

    knees, widths = np.asarray(knees_c, float), np.asarray(widths_k, float)
    weights = np.ones(len(knees)) if belief is None else np.asarray(belief, float)
    pairs = list(zip(knees.tolist(), widths.tolist(), strict=True))
    heats = [heat_of(*pair) for pair in pairs]
    liquids = [partial(liquid_share, knee_c=knee_c, width_k=width_k) for knee_c, width_k in pairs]
    return _tables(name, heats, liquids, knees, widths, weights)


def beeswax_family() -> WaxFamily:
    """Beeswax: knee 61.5 to 64.5 C (rows W6 to W11 of waxes.md: 61 to 66 C), width 1 to 3 K."""
    pairs = [(knee, width) for knee in (61.5, 63.0, 64.5) for width in (1.0, 2.0, 3.0)]
    return wax_family("beeswax", [p[0] for p in pairs], [p[1] for p in pairs])


# Three points that stand for a normal spread, with their weights: Gauss-Hermite, exact to the fifth power.
_POINTS_SD = (-(3.0**0.5), 0.0, 3.0**0.5)
_POINT_WEIGHTS = (1.0 / 6.0, 2.0 / 3.0, 1.0 / 6.0)
_NARROWEST_K = 0.5
# What a name on a lot is worth: one time in ten it is another wax after all, setting so much away. Estimate
_OTHER_AFTER_ALL, _OTHERS_K = 0.1, (-3.0, -1.5, 1.5, 3.0)
# Two widths stand for the spread; the doubt about the name must not make it narrower.
_WIDTHS_SD = (1.0 - _OTHER_AFTER_ALL) ** -0.5


def known_family(name: str, lot: KnownWax) -> WaxFamily:
    """The curves that a lot may have after what earlier melts taught about it, and some doubt beside them."""
    curves = [
        (lot.knee_c + at * lot.knee_sd_k, max(lot.width_k + by * lot.width_sd_k, _NARROWEST_K), 0.5 * share)
        for at, share in zip(_POINTS_SD, _POINT_WEIGHTS, strict=True)
        for by in (-_WIDTHS_SD, _WIDTHS_SD)
    ]
    curves = [(knee_c, width_k, (1.0 - _OTHER_AFTER_ALL) * share) for knee_c, width_k, share in curves]
    curves += [(lot.knee_c + off_k, lot.width_k, _OTHER_AFTER_ALL / len(_OTHERS_K)) for off_k in _OTHERS_K]
    knees_c, widths_k, belief = zip(*curves, strict=True)
    return wax_family(name, knees_c, widths_k, belief)


def _broad(name: str, low_c: float, high_c: float) -> WaxFamily:
    knees = np.linspace(low_c, high_c, 5)
    pairs = [(float(knee), width) for knee in knees for width in (1.5, 4.0)]
    return wax_family(name, [p[0] for p in pairs], [p[1] for p in pairs])


# Melting ranges in degrees Celsius of waxes.md, by row: W53 container blends, W62 container grades, W42,
# W65 and W66 (palmitic and stearic acid), W60 and W61 with soy for blends of coconut.
_RANGES_C = {
    "soy": (46.0, 54.0),
    "rapeseed": (50.0, 56.0),
    "paraffin": (46.0, 68.0),
    "stearin": (54.0, 69.0),
    "coconut": (32.0, 54.0),
}
# A wax nobody has described: from coconut blends to hard paraffin, the widest range that waxes.md names.
_UNKNOWN_RANGE_C = (32.0, 69.0)


def family_for(wax: str) -> WaxFamily | None:
    """Return the family of a wax by its name; None for 'none', a broad one for a name without data.

    Raises
    ------
    FixableError
        When the name is empty.
    """
    name = wax.strip().lower()
    if not name:
        raise FixableError(tr("Say which wax this is, or 'none' for a body without latent heat."))
    if name == "none":
        return None
    if name == "beeswax":
        return beeswax_family()
    for known, (low_c, high_c) in _RANGES_C.items():
        if known in name:
            return _broad(name, low_c, high_c)
    return _broad(name, *_UNKNOWN_RANGE_C)
