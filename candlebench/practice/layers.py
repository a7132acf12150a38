"""A body whose parts differ in temperature: layers in a row, heat flowing from each to the next."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from candlebench.core.materials.enthalpy_curve import EnthalpyCurve

Floats = NDArray[np.float64]


class LayeredBody:
    """Layers of one wax between a middle, through which nothing flows, and an outer face.

    Parameters
    ----------
    masses_g : array, shape (n,)
        From the middle outwards.
    inner_per_m, outer_per_m : array, shape (n,)
        Resistance of a layer's inner and outer half times its conductivity, in 1/m: half its thickness over
        its area for a slab, ln(r2/r1) / (2 pi length) for a shell.
    curve : EnthalpyCurve
        Of the wax.
    start_j_per_g : float
        Heat of every layer at the beginning, on the curve.
    solid_w_per_m_k, liquid_w_per_m_k : float
        Conductivities.
    """

    def __init__(
        self,
        masses_g: Floats,
        inner_per_m: Floats,
        outer_per_m: Floats,
        curve: EnthalpyCurve,
        start_j_per_g: float,
        solid_w_per_m_k: float,
        liquid_w_per_m_k: float,
    ) -> None:
        self._masses_g = masses_g
        self._inner_per_m, self._outer_per_m = inner_per_m, outer_per_m
        self._curve = curve
        self._solid, self._liquid = solid_w_per_m_k, liquid_w_per_m_k
        self._heats_j = masses_g * start_j_per_g
        self.temps_c: Floats = curve.temp_c(start_j_per_g + 0.0 * masses_g)

    @property
    def heat_j(self) -> float:
        """Heat of all layers, counted as on the curve."""
        return float(self._heats_j.sum())

    @property
    def liquid_shares(self) -> Floats:
        """Liquid share of each layer, shape (n,)."""
        return self._curve.liquid_share(self.temps_c)

    @property
    def liquid_share(self) -> float:
        """Liquid share of the whole."""
        return float(self.liquid_shares @ self._masses_g / self._masses_g.sum())

    @property
    def mean_c(self) -> float:
        """The temperature it would take on if it were mixed."""
        return float(self._curve.temp_c(self.heat_j / self._masses_g.sum()))

    def step(self, face_c: float, face_w_per_k: float, step_s: float) -> float:
        """Let `step_s` seconds pass; return the heat in J that came in through the outer face.

        The face stands at `face_c` behind `face_w_per_k` (`numpy.inf` for none), and half the last layer.
        Heat is neither made nor lost, whatever the step; when it is longer than a layer's heat capacity over
        the conductances around it, temperatures swing.
        """
        conductivity = self._solid + (self._liquid - self._solid) * self.liquid_shares
        inner, outer = self._inner_per_m / conductivity, self._outer_per_m / conductivity
        outwards_j = -np.diff(self.temps_c) / (outer[:-1] + inner[1:]) * step_s
        in_j: Any = (face_c - self.temps_c[-1]) / (outer[-1] + 1.0 / face_w_per_k) * step_s
        self._heats_j[:-1] -= outwards_j
        self._heats_j[1:] += outwards_j
        self._heats_j[-1] += in_j
        self.temps_c = self._curve.temp_c(self._heats_j / self._masses_g)
        return float(in_j)
