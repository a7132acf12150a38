"""How much heat a gram of wax holds at each temperature, and the way back.

Wax melts over an interval. The curve of beeswax here is a proposal (`waxes.md`, "Proposed enthalpy curve"),
computed from published ranges, not measured: +- 25 J/g on the whole latent step.
"""

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

# Heat is counted from here, as in the table of `waxes.md`.
ZERO_HEAT_C = 20.0

# W9, W23 and "Proposed enthalpy curve" in `waxes.md`: liquid share 0, 0.15, 0.90, 1 at these temperatures,
# cubic Hermite between them with these slopes per kelvin. C (proposal)
BEESWAX_KNOTS_C = (38.0, 55.0, 65.0, 68.0)
BEESWAX_SHARES = (0.0, 0.15, 0.90, 1.0)
BEESWAX_SLOPES_PER_K = (0.0, 0.017, 0.070, 0.0)
# W23: solid beeswax 1.7 J/g K. C / R
BEESWAX_SOLID_J_PER_G_K = 1.7
# W24: liquid beeswax 2.3 J/g K. C
BEESWAX_LIQUID_J_PER_G_K = 2.3
# W25, W26 and "Values that sources disagree on" 2: latent heat 180 +- 25 J/g. R / C (proposal)
BEESWAX_LATENT_J_PER_G = 180.0

# The inverse interpolates in a table of this spacing: good to 0.0001 K.
_TABLE_STEP_K = 0.01


@dataclass(frozen=True, slots=True)
class EnthalpyCurve:
    """Heat of one gram of wax against temperature: dh/dT = solid + (liquid - solid) f + latent df/dT.

    The liquid share f rises from 0 at the first knot to 1 at the last along a cubic Hermite spline.

    Attributes
    ----------
    knots_c : tuple of float
        Rising temperatures, in °C.
    shares : tuple of float
        Liquid share at each knot, from 0 to 1.
    slopes_per_k : tuple of float
        Slope of the liquid share at each knot, per kelvin.
    solid_j_per_g_k, liquid_j_per_g_k : float
        Specific heats.
    latent_j_per_g : float
        Heat taken up by melting the whole gram; 0 for a body that does not melt.

    Raises
    ------
    ValueError
        The knots do not rise, or heat would fall somewhere while the temperature rises.
    """

    knots_c: tuple[float, ...] = BEESWAX_KNOTS_C
    shares: tuple[float, ...] = BEESWAX_SHARES
    slopes_per_k: tuple[float, ...] = BEESWAX_SLOPES_PER_K
    solid_j_per_g_k: float = BEESWAX_SOLID_J_PER_G_K
    liquid_j_per_g_k: float = BEESWAX_LIQUID_J_PER_G_K
    latent_j_per_g: float = BEESWAX_LATENT_J_PER_G
    _table_c: Floats = field(init=False, repr=False, compare=False)
    _table_j_per_g: Floats = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        if not len(self.knots_c) == len(self.shares) == len(self.slopes_per_k) >= 2:
            raise ValueError("knots, shares and slopes must be equally many, two at least")
        if any(b <= a for a, b in zip(self.knots_c, self.knots_c[1:], strict=False)):
            raise ValueError("knots must rise")
        if self.shares[0] != 0.0 or self.shares[-1] != 1.0:
            raise ValueError("the liquid share must go from 0 to 1")
        count = round((self.knots_c[-1] - self.knots_c[0]) / _TABLE_STEP_K) + 1
        table_c = np.linspace(self.knots_c[0], self.knots_c[-1], count)
        table_j_per_g = self.heat_j_per_g(table_c)
        if np.any(np.diff(table_j_per_g) <= 0.0) or min(self.solid_j_per_g_k, self.liquid_j_per_g_k) <= 0.0:
            raise ValueError("heat must rise with temperature everywhere")
        object.__setattr__(self, "_table_c", table_c)
        object.__setattr__(self, "_table_j_per_g", table_j_per_g)

    def moved(self, by_k: float) -> "EnthalpyCurve":
        """Return the curve of a lot whose whole melting interval lies `by_k` kelvin higher."""
        return EnthalpyCurve(
            tuple(knot + by_k for knot in self.knots_c),
            self.shares,
            self.slopes_per_k,
            self.solid_j_per_g_k,
            self.liquid_j_per_g_k,
            self.latent_j_per_g,
        )

    def liquid_share(self, temp_c: ArrayLike) -> Floats:
        """Return the liquid share, 0 to 1, at temperatures of any shape in °C."""
        return self._spline(temp_c)[0]

    def heat_j_per_g(self, temp_c: ArrayLike) -> Floats:
        """Return the heat in J/g, counted from 20 °C in the solid, at temperatures of any shape in °C."""
        temp = np.asarray(temp_c, dtype=np.float64)
        share, _, area_k = self._spline(temp)
        extra = self.liquid_j_per_g_k - self.solid_j_per_g_k
        heat: Floats = (
            self.solid_j_per_g_k * (temp - ZERO_HEAT_C) + extra * area_k + self.latent_j_per_g * share
        )
        return heat

    def capacity_j_per_g_k(self, temp_c: ArrayLike) -> Floats:
        """Return dh/dT in J/g K, melting included, at temperatures of any shape in °C."""
        share, slope_per_k, _ = self._spline(temp_c)
        extra = self.liquid_j_per_g_k - self.solid_j_per_g_k
        capacity: Floats = self.solid_j_per_g_k + extra * share + self.latent_j_per_g * slope_per_k
        return capacity

    def temp_c(self, heat_j_per_g: ArrayLike) -> Floats:
        """Return the temperature in °C at heats of any shape in J/g; the inverse of `heat_j_per_g`.

        Good to 0.0001 K inside the melting interval, exact outside it.
        """
        heat = np.asarray(heat_j_per_g, dtype=np.float64)
        table = self._table_j_per_g
        below_k = np.minimum(heat - table[0], 0.0) / self.solid_j_per_g_k
        above_k = np.maximum(heat - table[-1], 0.0) / self.liquid_j_per_g_k
        temp: Floats = np.interp(heat, table, self._table_c) + below_k + above_k
        return temp

    def _spline(self, temp_c: ArrayLike) -> tuple[Floats, Floats, Floats]:
        """Return liquid share, its slope per K, and its integral over temperature in K."""
        temp = np.asarray(temp_c, dtype=np.float64)
        share = np.zeros_like(temp)
        slope = np.zeros_like(temp)
        area_k = np.zeros_like(temp)
        for index in range(len(self.knots_c) - 1):
            low_c, high_c = self.knots_c[index], self.knots_c[index + 1]
            width_k = high_c - low_c
            cubic = _hermite_in_powers(
                self.shares[index],
                self.shares[index + 1],
                self.slopes_per_k[index] * width_k,
                self.slopes_per_k[index + 1] * width_k,
            )
            # Past this piece its end values stay, so that the pieces can be added up.
            u = np.clip((temp - low_c) / width_k, 0.0, 1.0)
            share += _polynomial(cubic, u) - self.shares[index]
            inside = (temp > low_c) & (temp < high_c)
            slope += np.where(inside, _polynomial(_derivative(cubic), u) / width_k, 0.0)
            area_k += width_k * _polynomial(_antiderivative(cubic), u)
        area_k += np.maximum(temp - self.knots_c[-1], 0.0)
        return share, slope, area_k


def _hermite_in_powers(start: float, end: float, start_slope: float, end_slope: float) -> tuple[float, ...]:
    """Return the coefficients (constant first) of the cubic on 0..1 with these ends and slopes."""
    rise = end - start
    return (start, start_slope, 3 * rise - 2 * start_slope - end_slope, start_slope + end_slope - 2 * rise)


def _derivative(cubic: tuple[float, ...]) -> tuple[float, ...]:
    return tuple(power * factor for power, factor in enumerate(cubic))[1:]


def _antiderivative(cubic: tuple[float, ...]) -> tuple[float, ...]:
    return (0.0, *(factor / (power + 1) for power, factor in enumerate(cubic)))


def _polynomial(factors: tuple[float, ...], u: Floats) -> Any:
    value: Any = 0.0
    for factor in reversed(factors):
        value = value * u + factor
    return value
