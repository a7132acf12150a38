"""One melt on a water bath, as physics: hob, bath, jug, wax, oil and a probe in the wax.

Every part is one temperature (lumped). Heat goes hob -> bath -> jug -> wax, and from each to the room; the
bath loses water and cannot pass the local boiling point until it is dry.
"""

import copy
import math
import random
from collections.abc import Sequence
from dataclasses import dataclass

from candlebench.core.materials.enthalpy_curve import BEESWAX_KNOTS_C, EnthalpyCurve
from candlebench.core.materials.water import boiling_at_pressure_c, pressure_pa
from candlebench.core.materials.wax import OIL_J_PER_G_K, load_waxes
from candlebench.practice.bodies import PlainBody, WaxBody, loss_w, runge_kutta_step
from candlebench.practice.evaporation import evaporation_kg_per_m2_h
from candlebench.practice.probe import Probe
from candlebench.practice.scenario import Scenario

STEP_S = 0.5

# E22: 313.5 kJ for 0.998 kg from 20 to 95 degC. C
WATER_J_PER_G_K = 4.19
# H3: 2256.5 J/g at 100 degC. C
_STEAM_J_PER_G = 2256.5
# More for each kelvin below: from memory, check before relying on it; row H19 agrees. M
_STEAM_SLOPE_J_PER_G_K = 2.4
# With less water than this the pan counts as dry; it then touches the jug's base only. Estimates
_DRY_G = 5.0
_DRY_CONTACT_W_PER_K = 2.0
# A plate gives no heat to a pan as hot as itself, about 500 degC; from memory, check before relying on it. M
_PLATE_C = 500.0
# How fast oil takes on the melt's temperature: as it runs in, and once stirred. Estimates
_OIL_UNSTIRRED_S = 40.0
_OIL_STIRRED_S = 5.0
# What stays in the jug as a film after pouring, and its least. Estimates
_FILM_SHARE = 0.02
_LEAST_FILM_G = 5.0
# How long a waft of air lasts. Estimate
_WAFT_S = 60.0

# Places in the state: heats and ledgers in J, water in g, hob in W.
_BATH, _WATER, _JUG, _WAX, _OIL, _HOB, _HOB_SUM, _ROOM_SUM, _STEAM_SUM = range(9)


@dataclass(slots=True)
class _Now:
    """Everything that changes."""

    tick: int
    state: list[float]
    probe: Probe
    heat_fraction: float = 1.0
    on_bath: bool = True
    oil_g: float = 0.0
    stirred: bool = False
    poured: bool = False
    waft: float = 0.0
    oil_brought_j: float = 0.0
    poured_j: float = 0.0
    start_j: float = 0.0


@dataclass(frozen=True, slots=True)
class Ledger:
    """Where the heat has gone since the start, in J; `gained_j` is what the parts now hold more than then."""

    hob_j: float
    oil_j: float
    room_j: float
    steam_j: float
    poured_j: float
    gained_j: float

    @property
    def gap_j(self) -> float:
        """What does not add up."""
        return self.hob_j + self.oil_j - self.room_j - self.steam_j - self.poured_j - self.gained_j


class Snapshot:
    """A moment of one practice melt that it can go back to."""

    def __init__(self, now: _Now, elapsed_s: float) -> None:
        self._now = copy.deepcopy(now)
        self.elapsed_s = elapsed_s

    def copy(self) -> _Now:
        return copy.deepcopy(self._now)


class PracticeMelt:
    """A melt that runs as far as it is told. The same scenario, seed and controls give the same melt.

    Parameters
    ----------
    scenario : Scenario
    seed : int
        Of the probe's noise and the draught.
    step_s : float
        Step of the physics; readings and controls fall on whole steps.
    curve : EnthalpyCurve, optional
        What is in the jug, instead of the scenario's wax.
    """

    def __init__(
        self, scenario: Scenario, seed: int = 0, step_s: float = STEP_S, curve: EnthalpyCurve | None = None
    ) -> None:
        self.scenario = scenario
        self._seed = seed
        self._step_s = step_s
        self._air_pa = pressure_pa(scenario.room.altitude_m)
        self.boiling_c = boiling_at_pressure_c(self._air_pa)
        curve = curve or practice_curve(scenario)
        self._full = WaxBody(scenario.wax.mass_g, curve)
        self._film_share = max(_FILM_SHARE, _LEAST_FILM_G / scenario.wax.mass_g)
        self._film = WaxBody(scenario.wax.mass_g * self._film_share, curve)
        self._jug = PlainBody(scenario.jug.metal_j_per_k)
        start_c = scenario.wax.start_c
        state = [0.0] * 9
        state[_BATH] = self._bath(scenario.bath.water_g).heat_j(scenario.bath.start_c)
        state[_WATER] = scenario.bath.water_g
        state[_JUG] = self._jug.heat_j(start_c)
        state[_WAX] = self._full.heat_j(start_c)
        probe = Probe((scenario.probe.lag_s,), start_c, scenario.probe.noise_c, scenario.probe.resolution_c)
        self._now = _Now(tick=0, state=state, probe=probe, start_j=_stored_j(state))

    # --- what is seen -------------------------------------------------------------------------------------

    @property
    def elapsed_s(self) -> float:
        return self._now.tick * self._step_s

    @property
    def probe_c(self) -> float:
        """What the thermometer shows, in °C."""
        # Noise belongs to the moment, not to how often somebody looks.
        return self._now.probe.read_c(random.Random(self._seed * 1_000_003 + self._now.tick))

    @property
    def wax_c(self) -> float:
        """True temperature of the wax, in °C."""
        return self._wax.temp_c(self._now.state[_WAX])

    @property
    def bath_c(self) -> float:
        """True temperature of the bath, in °C."""
        return self._bath(self._now.state[_WATER]).temp_c(self._now.state[_BATH])

    @property
    def jug_c(self) -> float:
        """True temperature of the jug's wall, in °C."""
        return self._jug.temp_c(self._now.state[_JUG])

    @property
    def water_g(self) -> float:
        """Water left in the bath, in grams."""
        return self._now.state[_WATER]

    @property
    def liquid_share(self) -> float:
        """Share of the wax that is melted, 0 to 1."""
        return self._wax.liquid_share(self._now.state[_WAX])

    @property
    def hob_w(self) -> float:
        """Heat that the hob gives the pan now, in watts."""
        return self._now.state[_HOB]

    @property
    def heat_fraction(self) -> float:
        """How far the hob is turned up, 0 to 1."""
        return self._now.heat_fraction

    @property
    def on_bath(self) -> bool:
        return self._now.on_bath

    @property
    def oil_g(self) -> float:
        """Oil that has gone in, in grams."""
        return self._now.oil_g

    @property
    def oil_c(self) -> float | None:
        """True temperature of the oil, in °C, which nears the wax's as it mixes in; None without oil."""
        now = self._now
        return PlainBody(now.oil_g * OIL_J_PER_G_K).temp_c(now.state[_OIL]) if now.oil_g > 0.0 else None

    @property
    def ledger(self) -> Ledger:
        """The heat balance since the start."""
        now = self._now
        return Ledger(
            hob_j=now.state[_HOB_SUM],
            oil_j=now.oil_brought_j,
            room_j=now.state[_ROOM_SUM],
            steam_j=now.state[_STEAM_SUM],
            poured_j=now.poured_j,
            gained_j=_stored_j(now.state) - now.start_j,
        )

    # --- what a maker can do ------------------------------------------------------------------------------

    def set_heat(self, fraction: float) -> None:
        """Turn the hob to a fraction of its power, 0 (off) to 1."""
        if not 0.0 <= fraction <= 1.0:
            raise ValueError("heat is a fraction of the hob's power, 0 to 1")
        self._now.heat_fraction = fraction

    def lift_off(self) -> None:
        """Take the jug out of the bath and put it on an insulating base."""
        self._now.on_bath = False

    def put_back(self) -> None:
        """Put the jug into the bath again."""
        self._now.on_bath = True

    def add_oil(self, mass_g: float) -> None:
        """Pour in oil of the scenario's oil temperature (the room's when there is none)."""
        if mass_g <= 0.0:
            raise ValueError("oil has a mass above zero")
        oil = self.scenario.oil
        heat_j = PlainBody(mass_g * OIL_J_PER_G_K).heat_j(oil.temp_c if oil else self.scenario.room.temp_c)
        self._now.oil_g += mass_g
        self._now.state[_OIL] += heat_j
        self._now.oil_brought_j += heat_j
        self._now.stirred = False

    def stir(self) -> None:
        """Stir, so that oil and wax take on one temperature quickly."""
        self._now.stirred = True

    def pour(self) -> None:
        """Fill the jars: a film stays in the jug, which stands off the bath from then on."""
        now = self._now
        if now.poured:
            return
        for place in (_WAX, _OIL):
            now.poured_j += (1.0 - self._film_share) * now.state[place]
            now.state[place] *= self._film_share
        now.oil_g *= self._film_share
        now.poured = True
        now.on_bath = False

    def snapshot(self) -> Snapshot:
        """Return this moment, to `restore` it later."""
        return Snapshot(self._now, self.elapsed_s)

    def restore(self, moment: Snapshot) -> None:
        """Go back to a moment of this melt."""
        self._now = moment.copy()

    # --- how it goes on -----------------------------------------------------------------------------------

    def step_to(self, elapsed_s: float) -> None:
        """Let the melt run until `elapsed_s` on its own clock; a time that has passed changes nothing."""
        last_tick = math.floor(elapsed_s / self._step_s + 1e-6)
        while self._now.tick < last_tick:
            self._step()

    def _step(self) -> None:
        now, step_s = self._now, self._step_s
        self._waft_on()
        now.state = runge_kutta_step(self._rates, now.state, step_s)
        self._boil_off()
        now.tick += 1
        now.probe.follow(self.wax_c, step_s)

    def _waft_on(self) -> None:
        """Let the draught wander: a walk that forgets itself within a minute, of standard deviation 1."""
        now = self._now
        if self.scenario.jug.draught == 0.0:
            return
        kept = math.exp(-self._step_s / _WAFT_S)
        dice = random.Random(~(self._seed * 1_000_003 + now.tick))
        now.waft = kept * now.waft + math.sqrt(1.0 - kept * kept) * dice.gauss(0.0, 1.0)

    def _rates(self, state: Sequence[float]) -> list[float]:
        now, scenario = self._now, self.scenario
        jug, bath, room = scenario.jug, scenario.bath, scenario.room
        wet = state[_WATER] > _DRY_G
        bath_c = self._bath(state[_WATER]).temp_c(state[_BATH])
        if wet:
            # Within a step it may hold more, which `_boil_off` then takes; the water is never hotter.
            bath_c = min(bath_c, self.boiling_c)
        jug_c = self._jug.temp_c(state[_JUG])
        wax_c = self._wax.temp_c(state[_WAX])

        share = self._wax.liquid_share(state[_WAX])
        to_wax_w_per_k = jug.to_solid_w_per_k + (jug.to_liquid_w_per_k - jug.to_solid_w_per_k) * share
        jug_to_wax_w = to_wax_w_per_k * (jug_c - wax_c)
        to_jug_w_per_k = (bath.to_jug_w_per_k if wet else _DRY_CONTACT_W_PER_K) if now.on_bath else 0.0
        bath_to_jug_w = to_jug_w_per_k * (bath_c - jug_c)
        wax_to_oil_w = self._wax_to_oil_w(state, wax_c)

        air = math.exp(jug.draught * now.waft)
        top_w = air * loss_w(jug.top_w_per_k, wax_c, room.temp_c, jug.loss_exponent)
        # In the bath the wall stands in water; off it the base is insulated and the wall is bare.
        wall_w_per_k = 0.0 if now.on_bath else jug.wall_w_per_k
        wall_w = air * loss_w(wall_w_per_k, jug_c, room.temp_c, jug.loss_exponent)
        pan_w = loss_w(bath.pan_w_per_k, bath_c, room.temp_c, jug.loss_exponent)

        steam_g_per_s = self._steam_g_per_s(bath_c) if wet else 0.0
        steam_w = steam_g_per_s * (_steam_j_per_g(bath_c) + WATER_J_PER_G_K * bath_c)
        hob_w = state[_HOB] * min(1.0, max(0.0, (_PLATE_C - bath_c) / (_PLATE_C - 100.0)))
        return [
            hob_w - bath_to_jug_w - pan_w - steam_w,
            -steam_g_per_s,
            bath_to_jug_w - jug_to_wax_w - wall_w,
            jug_to_wax_w - wax_to_oil_w - top_w,
            wax_to_oil_w,
            (now.heat_fraction * scenario.hob.power_w - state[_HOB]) / scenario.hob.lag_s,
            hob_w,
            top_w + wall_w + pan_w,
            steam_w,
        ]

    def _wax_to_oil_w(self, state: Sequence[float], wax_c: float) -> float:
        if self._now.oil_g == 0.0:
            return 0.0
        oil = PlainBody(self._now.oil_g * OIL_J_PER_G_K)
        mixing_s = _OIL_STIRRED_S if self._now.stirred else _OIL_UNSTIRRED_S
        return oil.capacity_j_per_k / mixing_s * (wax_c - oil.temp_c(state[_OIL]))

    def _steam_g_per_s(self, bath_c: float) -> float:
        bath, room = self.scenario.bath, self.scenario.room
        area_m2 = bath.open_m2 + (0.0 if self._now.on_bath else bath.jug_m2)
        return area_m2 * evaporation_kg_per_m2_h(bath_c, room.temp_c, room.humidity, self._air_pa) / 3.6

    def _boil_off(self) -> None:
        """What the bath holds above its boiling point goes off as steam, while there is water."""
        state = self._now.state
        over_j = state[_BATH] - self._bath(state[_WATER]).heat_j(self.boiling_c)
        water_g = state[_WATER] - _DRY_G
        if over_j <= 0.0 or water_g <= 0.0:
            return
        boiled_g = min(over_j / _steam_j_per_g(self.boiling_c), water_g)
        carried_j = boiled_g * (_steam_j_per_g(self.boiling_c) + WATER_J_PER_G_K * self.boiling_c)
        state[_BATH] -= carried_j
        state[_STEAM_SUM] += carried_j
        state[_WATER] -= boiled_g

    @property
    def _wax(self) -> WaxBody:
        return self._film if self._now.poured else self._full

    def _bath(self, water_g: float) -> PlainBody:
        return PlainBody(water_g * WATER_J_PER_G_K + self.scenario.bath.pan_j_per_k)


def practice_curve(scenario: Scenario) -> EnthalpyCurve:
    """Return the enthalpy curve of the scenario's wax.

    Only beeswax has a curve in the tables; another wax gets its shape, moved to its own end of melting, and
    its own liquid heat: good enough to practise on, not a figure.
    """
    wax = load_waxes()[scenario.wax.name]
    curve = EnthalpyCurve(liquid_j_per_g_k=wax.liquid_j_per_g_k, latent_j_per_g=scenario.wax.latent_j_per_g)
    return curve.moved(wax.limits.melted_c - BEESWAX_KNOTS_C[-1] + scenario.wax.knee_shift_k)


def _steam_j_per_g(water_c: float) -> float:
    return _STEAM_J_PER_G + _STEAM_SLOPE_J_PER_G_K * (100.0 - water_c)


def _stored_j(state: Sequence[float]) -> float:
    return state[_BATH] + state[_JUG] + state[_WAX] + state[_OIL]
