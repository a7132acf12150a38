"""How heat and water move between the parts of a practice melt: watts and grams per second."""

import math
from collections.abc import Sequence

from candlebench.core.materials.enthalpy_curve import EnthalpyCurve
from candlebench.core.materials.water import boiling_at_pressure_c, pressure_pa
from candlebench.core.materials.wax import OIL_J_PER_G_K
from candlebench.practice.bodies import PlainBody, WaxBody, loss_w
from candlebench.practice.evaporation import evaporation_kg_per_m2_h
from candlebench.practice.moment import (
    BATH,
    HOB,
    JUG,
    OIL,
    PIECES,
    STEAM_SUM,
    WATER,
    WAX,
    Moment,
)
from candlebench.practice.scenario import Scenario

# E22: 313.5 kJ for 0.998 kg from 20 to 95 degC. C
WATER_J_PER_G_K = 4.19
# H3: 2256.5 J/g at 100 degC. C
_STEAM_J_PER_G = 2256.5
# More for each kelvin below: from memory, check before relying on it; row H19 agrees. M
_STEAM_SLOPE_J_PER_G_K = 2.4
# With less water than this the pan counts as dry; it then touches the jug's base only. Estimates
DRY_G = 5.0
_DRY_CONTACT_W_PER_K = 2.0
# How fast oil takes on the melt's temperature: as it runs in, and once stirred. Estimates
_OIL_UNSTIRRED_S = 40.0
_OIL_STIRRED_S = 5.0
# Pieces take heat this many times faster for a minute of stirring, and once they have melted. Estimates
_STIRRED_TIMES, _STIRRED_S = 3.0, 60.0
_MELTED_TIMES = 8.0
# What stays in the jug as a film after pouring, and its least. Estimates
_FILM_SHARE = 0.02
_LEAST_FILM_G = 5.0


class Flows:
    """The flows in one scenario, and what its parts are.

    Parameters
    ----------
    scenario : Scenario
    curve : EnthalpyCurve
        Of what is in the jug.
    """

    def __init__(self, scenario: Scenario, curve: EnthalpyCurve) -> None:
        self._scenario = scenario
        self._air_pa = pressure_pa(scenario.room.altitude_m)
        self.boiling_c = boiling_at_pressure_c(self._air_pa)
        wax = scenario.wax
        self.film_share = max(_FILM_SHARE, _LEAST_FILM_G / wax.mass_g)
        self._melt = WaxBody(wax.mass_g * (1.0 - wax.pieces_share), curve)
        self._film = WaxBody(wax.mass_g * self.film_share, curve)
        self._pieces = WaxBody(wax.mass_g * wax.pieces_share, curve) if wax.pieces_share > 0.0 else None
        self.jug = PlainBody(scenario.jug.metal_j_per_k)
        jug = scenario.jug
        # Of a filled cylinder's wetted face, base over base and wall.
        self._base_share = jug.diameter_mm / (jug.diameter_mm + 4.0 * jug.filled_mm)

    def wax(self, now: Moment) -> WaxBody:
        """Return the wax at the wall: all of it, all but the pieces, or the film that stays after pouring."""
        return self._film if now.poured else self._melt

    def pieces(self, now: Moment) -> WaxBody | None:
        """Return the pieces that float in it, when the scenario has any and they are not poured."""
        return None if now.poured else self._pieces

    def bath(self, water_g: float) -> PlainBody:
        """Return pan and water as one body."""
        return PlainBody(water_g * WATER_J_PER_G_K + self._scenario.bath.pan_j_per_k)

    def rates(self, now: Moment, air_times: float, state: Sequence[float]) -> list[float]:
        """Return the change per second of every place in the state.

        Parameters
        ----------
        now : Moment
            How the knob, the jug and the oil stand.
        air_times : float
            How many times as much heat the air takes away as still air does.
        state : sequence of float
            Heats, water, hob and ledgers, in the places of `moment`.
        """
        scenario = self._scenario
        jug, bath, room = scenario.jug, scenario.bath, scenario.room
        wet = state[WATER] > DRY_G
        bath_c = self.bath(state[WATER]).temp_c(state[BATH])
        if wet:
            # Within a step it may hold more, which `boil_off` then takes; the water is never hotter.
            bath_c = min(bath_c, self.boiling_c)
        jug_c = self.jug.temp_c(state[JUG])
        wax = self.wax(now)
        wax_c = wax.temp_c(state[WAX])

        share = wax.liquid_share(state[WAX])
        to_wax_w_per_k = jug.to_solid_w_per_k + (jug.to_liquid_w_per_k - jug.to_solid_w_per_k) * share
        jug_to_wax_w = to_wax_w_per_k * (jug_c - wax_c)
        bath_to_jug_w = self._to_jug_w_per_k(now, state[WATER], wet) * (bath_c - jug_c)
        wax_to_pieces_w = self._wax_to_pieces_w(now, state, wax_c)
        wax_to_oil_w = self._wax_to_oil_w(now, state, wax_c)

        steady_air, bend = room.air_times, jug.loss_exponent
        top_w = air_times * loss_w(jug.top_w_per_k, wax_c, room.temp_c, bend)
        # In the bath the wall stands in water; off it the wall is bare, and the base stands on something.
        wall_w = 0.0
        if not now.on_bath:
            wall_w = air_times * loss_w(jug.wall_w_per_k, jug_c, room.temp_c, bend)
            wall_w += jug.base_w_per_k * (jug_c - room.temp_c)
        pan_w = steady_air * loss_w(bath.pan_w_per_k, bath_c, room.temp_c, bend)

        steam_g_per_s = self._steam_g_per_s(now, bath_c) if wet else 0.0
        steam_w = steam_g_per_s * (steam_j_per_g(bath_c) + WATER_J_PER_G_K * bath_c)
        hottest_c = scenario.hob.hottest_c
        hob_w = state[HOB] * min(1.0, max(0.0, (hottest_c - bath_c) / (hottest_c - 100.0)))
        return [
            hob_w - bath_to_jug_w - pan_w - steam_w,
            -steam_g_per_s,
            bath_to_jug_w - jug_to_wax_w - wall_w,
            jug_to_wax_w - wax_to_pieces_w - wax_to_oil_w - top_w,
            wax_to_pieces_w,
            wax_to_oil_w,
            (self._hob_wanted_w(now) - state[HOB]) / scenario.hob.lag_s,
            hob_w,
            top_w + wall_w + pan_w,
            steam_w,
        ]

    def boil_off(self, state: list[float]) -> None:
        """What the bath holds above its boiling point goes off as steam, while there is water."""
        over_j = state[BATH] - self.bath(state[WATER]).heat_j(self.boiling_c)
        water_g = state[WATER] - DRY_G
        if over_j <= 0.0 or water_g <= 0.0:
            return
        boiled_g = min(over_j / steam_j_per_g(self.boiling_c), water_g)
        carried_j = boiled_g * (steam_j_per_g(self.boiling_c) + WATER_J_PER_G_K * self.boiling_c)
        state[BATH] -= carried_j
        state[STEAM_SUM] += carried_j
        state[WATER] -= boiled_g

    def _hob_wanted_w(self, now: Moment) -> float:
        hob, share = self._scenario.hob, now.heat_fraction
        if 0.0 < share < hob.pulses_below:
            # On for its part of every period, at the least power that it can give steadily.
            on = now.elapsed_s % hob.pulse_s < share / hob.pulses_below * hob.pulse_s
            share = hob.pulses_below if on else 0.0
        return share * hob.power_w * hob.efficiency

    def _to_jug_w_per_k(self, now: Moment, water_g: float, wet: bool) -> float:
        if not now.on_bath:
            return 0.0
        if not wet:
            return _DRY_CONTACT_W_PER_K
        bath = self._scenario.bath
        # Water that stands lower than the wax wets only that part of the wall. 1 g on 1 m2 is 0.001 mm.
        full_g = self._scenario.jug.filled_mm * bath.open_m2 * 1000.0
        level = min(1.0, water_g / full_g) if full_g > 0.0 else 1.0
        return bath.to_jug_w_per_k * (self._base_share + (1.0 - self._base_share) * level)

    def _wax_to_pieces_w(self, now: Moment, state: Sequence[float], wax_c: float) -> float:
        pieces = self.pieces(now)
        if pieces is None:
            return 0.0
        melted = pieces.liquid_share(state[PIECES])
        solid_w_per_k = self._scenario.wax.pieces_w_per_kg_k * pieces.mass_g / 1000.0
        w_per_k = solid_w_per_k * (1.0 + (_MELTED_TIMES - 1.0) * melted)
        if now.stirred_s is not None and now.stirred_s < _STIRRED_S:
            w_per_k *= _STIRRED_TIMES
        return w_per_k * (wax_c - pieces.temp_c(state[PIECES]))

    @staticmethod
    def _wax_to_oil_w(now: Moment, state: Sequence[float], wax_c: float) -> float:
        if now.oil_g == 0.0:
            return 0.0
        oil = PlainBody(now.oil_g * OIL_J_PER_G_K)
        mixing_s = _OIL_UNSTIRRED_S if now.stirred_s is None else _OIL_STIRRED_S
        return oil.capacity_j_per_k / mixing_s * (wax_c - oil.temp_c(state[OIL]))

    def _steam_g_per_s(self, now: Moment, bath_c: float) -> float:
        bath, room = self._scenario.bath, self._scenario.room
        area_m2 = bath.open_m2 + (0.0 if now.on_bath else bath.jug_m2)
        return area_m2 * evaporation_kg_per_m2_h(bath_c, room.temp_c, room.humidity, self._air_pa) / 3.6


def steam_j_per_g(water_c: float) -> float:
    """Return the heat that turns a gram of water at `water_c` °C into steam (rows H3 and H19)."""
    return _STEAM_J_PER_G + _STEAM_SLOPE_J_PER_G_K * (100.0 - water_c)


def gust(draught: float, waft: float) -> float:
    """Return how many times as much heat a wafting draught takes away now as on average."""
    return math.exp(draught * waft)
