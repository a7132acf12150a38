"""Lumped bodies that hold heat, the ways heat leaves them, and the step that moves it.

Each body is one temperature and one amount of heat; flows are watts. The practice melt and the checks against
printed textbook examples use the same few functions.
"""

from bisect import bisect_right
from collections.abc import Callable, Sequence
from typing import Protocol

import numpy as np

from candlebench.core.materials.enthalpy_curve import EnthalpyCurve

# H29 to H32 give the loss of a jug at 75 degC in a 20 degC room; losses are stated at this difference.
STATED_DIFFERENCE_K = 55.0


class HeatStore(Protocol):
    """What a body holds at a temperature, and the way back. Heat is in J from a zero of its own."""

    def temp_c(self, heat_j: float) -> float: ...

    def heat_j(self, temp_c: float) -> float: ...


class PlainBody:
    """A body of constant heat capacity in J/K: metal, water, oil. Its heat is counted from 0 °C."""

    def __init__(self, capacity_j_per_k: float) -> None:
        self.capacity_j_per_k = capacity_j_per_k

    def temp_c(self, heat_j: float) -> float:
        return heat_j / self.capacity_j_per_k

    def heat_j(self, temp_c: float) -> float:
        return temp_c * self.capacity_j_per_k


class WaxBody:
    """A mass of wax on an enthalpy curve. Its heat is counted from 20 °C in the solid.

    A table of the curve makes one look-up cheap: a practice melt needs many a second of melt time.
    """

    # Straight lines between points of this spacing lie within 0.001 J/g of the curve.
    _STEP_K = 0.02

    def __init__(self, mass_g: float, curve: EnthalpyCurve) -> None:
        self.mass_g = mass_g
        self.curve = curve
        low_c, high_c = curve.knots_c[0], curve.knots_c[-1]
        temps = np.linspace(low_c, high_c, round((high_c - low_c) / self._STEP_K) + 1)
        self._temps_c: list[float] = temps.tolist()
        self._heats_j_per_g: list[float] = curve.heat_j_per_g(temps).tolist()
        self._shares: list[float] = curve.liquid_share(temps).tolist()

    def temp_c(self, heat_j: float) -> float:
        heats, temps = self._heats_j_per_g, self._temps_c
        heat = heat_j / self.mass_g
        if heat <= heats[0]:
            return temps[0] + (heat - heats[0]) / self.curve.solid_j_per_g_k
        if heat >= heats[-1]:
            return temps[-1] + (heat - heats[-1]) / self.curve.liquid_j_per_g_k
        return self._between(heats, temps, heat)

    def heat_j(self, temp_c: float) -> float:
        return float(self.curve.heat_j_per_g(temp_c)) * self.mass_g

    def liquid_share(self, heat_j: float) -> float:
        heat = heat_j / self.mass_g
        if heat <= self._heats_j_per_g[0]:
            return 0.0
        if heat >= self._heats_j_per_g[-1]:
            return 1.0
        return self._between(self._heats_j_per_g, self._shares, heat)

    @staticmethod
    def _between(xs: list[float], ys: list[float], x: float) -> float:
        right = bisect_right(xs, x)
        left = right - 1
        return ys[left] + (ys[right] - ys[left]) * (x - xs[left]) / (xs[right] - xs[left])


def loss_w(ua_w_per_k: float, temp_c: float, room_c: float, exponent: float = 1.0) -> float:
    """Return the heat a surface loses to the room, in watts; negative when the room is warmer.

    Parameters
    ----------
    ua_w_per_k : float
        Coefficient times area at a difference of 55 K (rows H29 to H32 are stated there).
    exponent : float
        Power of the temperature difference: 1 is Newton's law of cooling; 1.25 is free convection alone
        (row H12: Nu goes with Ra^0.25).
    """
    difference_k = temp_c - room_c
    if exponent == 1.0:
        return ua_w_per_k * difference_k
    bend: float = (abs(difference_k) / STATED_DIFFERENCE_K) ** (exponent - 1.0)
    return ua_w_per_k * difference_k * bend


State = list[float]


def runge_kutta_step(rates: Callable[[Sequence[float]], State], state: State, step_s: float) -> State:
    """Return `state` one step later by the classical fourth-order rule; `rates` gives change per second."""
    half_s = 0.5 * step_s
    k1 = rates(state)
    k2 = rates([x + half_s * k for x, k in zip(state, k1, strict=True)])
    k3 = rates([x + half_s * k for x, k in zip(state, k2, strict=True)])
    k4 = rates([x + step_s * k for x, k in zip(state, k3, strict=True)])
    sixth_s = step_s / 6.0
    return [
        x + sixth_s * (a + 2.0 * (b + c) + d) for x, a, b, c, d in zip(state, k1, k2, k3, k4, strict=True)
    ]
