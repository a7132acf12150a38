"""Poured jars on a board: they cool, and set from the glass inwards."""

import math

import numpy as np

from candlebench.core.materials.enthalpy_curve import EnthalpyCurve
from candlebench.practice.layers import Floats, LayeredBody
from candlebench.practice.scenario import Jars
from candlebench.practice.vessels import MATERIALS, WAX_G_PER_ML

STEP_S = 1.0
# W32: solid beeswax. S
_SOLID_W_PER_M_K = 0.25
# W33: 0.15 W/m K at rest; warm wax turns over in the jar, which evens it out. Estimate
_LIQUID_W_PER_M_K = 0.8
# H38: 11 W/m2 K on all faces of a jar, 0.0277 m2 for one of 75 x 80 mm. C
_LOSS_W_PER_M2_K = 11.0
# Wax to glass, before it shrinks away. Estimate
_TO_GLASS_W_PER_M2_K = 150.0
_SHELLS = 8


class PouredJars:
    """Jars alike, as shells of wax around a wick in a glass; heat leaves through all faces alike.

    Parameters
    ----------
    jars : Jars
    wax_g : float
        All that was poured, oil included.
    heat_j : float
        What it holds, counted as on the curve.
    curve : EnthalpyCurve
        Of the wax with the oil in it.
    """

    def __init__(self, jars: Jars, wax_g: float, heat_j: float, curve: EnthalpyCurve) -> None:
        self.count = jars.count
        each_g = wax_g / jars.count
        radius_m = jars.diameter_mm * 0.5e-3
        filled_m = each_g / WAX_G_PER_ML * 1e-6 / (math.pi * radius_m**2)
        self.wax = LayeredBody(
            np.full(_SHELLS, each_g / _SHELLS),
            *shells(radius_m, filled_m, _SHELLS),
            curve,
            heat_j / wax_g,
            _SOLID_W_PER_M_K,
            _LIQUID_W_PER_M_K,
        )
        side_m2 = 2.0 * math.pi * filled_m * radius_m
        self._to_glass_w_per_k = _TO_GLASS_W_PER_M2_K * side_m2
        self._loss_w_per_k = _LOSS_W_PER_M2_K * (side_m2 + 2.0 * math.pi * radius_m**2)
        self._glass_j_per_k = jars.glass_g * MATERIALS["glass"].j_per_g_k
        self.glass_c = jars.start_c
        self._start_j = self._held_j
        self._lost_j = 0.0
        self._waiting_s = 0.0

    @property
    def _held_j(self) -> float:
        return self.wax.heat_j + self._glass_j_per_k * self.glass_c

    @property
    def gap_j(self) -> float:
        """What does not add up in all jars since they were filled."""
        return self.count * (self._start_j - self._lost_j - self._held_j)

    @property
    def middle_c(self) -> float:
        """Temperature in the middle of a jar, where it stays warm longest."""
        return float(self.wax.temps_c[0])

    @property
    def mean_c(self) -> float:
        """Temperature of a jar's wax if it were mixed."""
        return self.wax.mean_c

    @property
    def set_share(self) -> float:
        """Share of the wax that has set, 0 to 1."""
        return max(0.0, 1.0 - self.wax.liquid_share)

    def follow(self, room_c: float, air_times: float, step_s: float) -> None:
        """Let `step_s` seconds pass; they are worked off in whole steps of `STEP_S`."""
        self._waiting_s += step_s
        while self._waiting_s >= STEP_S:
            self._waiting_s -= STEP_S
            self._step(room_c, air_times)

    def _step(self, room_c: float, air_times: float) -> None:
        lost_j = self._loss_w_per_k * air_times * (self.glass_c - room_c) * STEP_S
        into_wax_j = self.wax.step(self.glass_c, self._to_glass_w_per_k, STEP_S)
        self.glass_c -= (into_wax_j + lost_j) / self._glass_j_per_k
        self._lost_j += lost_j


def shells(radius_m: float, long_m: float, count: int) -> tuple[Floats, Floats]:
    """Return the inner and outer halves' resistance times conductivity, in 1/m, of shells of equal mass.

    The temperature of a shell is that at the radius which halves its mass.
    """
    edges_m = radius_m * np.sqrt(np.arange(count + 1) / count)
    middles_m = radius_m * np.sqrt((np.arange(count) + 0.5) / count)
    around_m = 2.0 * math.pi * long_m
    inner = np.concatenate(([0.0], np.log(middles_m[1:] / edges_m[1:-1]))) / around_m
    return inner, np.log(edges_m[1:] / middles_m) / around_m
