"""One melt on a water bath, as physics: hob, bath, jug, wax, oil, a probe in the wax, and the poured jars.

Every part but the jars is one temperature (lumped). Heat goes hob -> bath -> jug -> wax, and from each to the
room; the bath loses water and cannot pass the local boiling point until it is dry.
"""

import math
import random
from collections.abc import Iterator, Sequence

from candlebench.core.materials.enthalpy_curve import ZERO_HEAT_C, EnthalpyCurve
from candlebench.core.materials.wax import OIL_J_PER_G_K
from candlebench.practice.bodies import PlainBody, runge_kutta_step
from candlebench.practice.curves import practice_curve, with_oil
from candlebench.practice.flows import DRY_G, Flows, gust
from candlebench.practice.jars import PouredJars
from candlebench.practice.moment import (
    BATH,
    HOB,
    HOB_SUM,
    JUG,
    OIL,
    PIECES,
    PLACES,
    ROOM_SUM,
    STEAM_SUM,
    WATER,
    WAX,
    Ledger,
    Moment,
    Snapshot,
    stored_j,
)
from candlebench.practice.probe import Probe
from candlebench.practice.scenario import Happening, Scenario
from candlebench.practice.truth import Truth

STEP_S = 0.5

# How long a waft of air lasts. Estimate
_WAFT_S = 60.0
# A probe that has slipped to the wall shows more of it than of the wax. Estimate
_SLIPPED_SHARE = 0.6
# T22, T23: 33 to 87 s in moving air for probes that take some 8 s in a stirred liquid (T24). R / C / M
_SLOWER_IN_AIR = 6.0


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
        self._curve = curve or practice_curve(scenario)
        self._flows = Flows(scenario, self._curve)
        self.boiling_c = self._flows.boiling_c
        self._now = self._beginning()

    def _beginning(self) -> Moment:
        scenario, flows = self.scenario, self._flows
        kind, start_c = scenario.probe, scenario.wax.start_c
        lags_s = (kind.lag_s,) if kind.sheath_lag_s == 0.0 else (kind.lag_s, kind.sheath_lag_s)
        now = Moment(0.0, 0, [0.0] * PLACES, Probe(lags_s, start_c, kind.noise_c, kind.resolution_c))
        now.state[BATH] = flows.bath(scenario.bath.water_g).heat_j(scenario.bath.start_c)
        now.state[WATER] = scenario.bath.water_g
        now.state[JUG] = flows.jug.heat_j(start_c)
        now.state[WAX] = flows.wax(now).heat_j(start_c)
        pieces = flows.pieces(now)
        now.state[PIECES] = pieces.heat_j(start_c) if pieces else 0.0
        now.start_j = stored_j(now.state)
        return now

    # --- what is seen -------------------------------------------------------------------------------------

    @property
    def elapsed_s(self) -> float:
        return self._now.elapsed_s

    @property
    def probe_c(self) -> float:
        """What the thermometer shows, in °C."""
        # Noise belongs to the moment, not to how often somebody looks.
        return self._now.probe.read_c(random.Random(self._seed * 1_000_003 + self._now.tick))

    @property
    def wax_c(self) -> float:
        """True temperature of the wax, in °C; while pieces float in it, of the melt around them."""
        return self._flows.wax(self._now).temp_c(self._now.state[WAX])

    @property
    def pieces_c(self) -> float | None:
        """True temperature of the pieces in the middle, in °C; None where there are none."""
        pieces = self._flows.pieces(self._now)
        return pieces.temp_c(self._now.state[PIECES]) if pieces else None

    @property
    def bath_c(self) -> float:
        """True temperature of the bath, in °C."""
        return self._flows.bath(self._now.state[WATER]).temp_c(self._now.state[BATH])

    @property
    def jug_c(self) -> float:
        """True temperature of the jug's wall, in °C."""
        return self._flows.jug.temp_c(self._now.state[JUG])

    @property
    def water_g(self) -> float:
        """Water left in the bath, in grams."""
        return self._now.state[WATER]

    @property
    def liquid_share(self) -> float:
        """Share of the wax in the jug that is melted, 0 to 1."""
        now, wax, pieces = self._now, self._flows.wax(self._now), self._flows.pieces(self._now)
        melted_g = wax.mass_g * wax.liquid_share(now.state[WAX])
        if pieces is None:
            return melted_g / wax.mass_g
        melted_g += pieces.mass_g * pieces.liquid_share(now.state[PIECES])
        return melted_g / (wax.mass_g + pieces.mass_g)

    @property
    def hob_w(self) -> float:
        """Heat that the hob gives the pan now, in watts."""
        return self._now.state[HOB]

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
        return PlainBody(now.oil_g * OIL_J_PER_G_K).temp_c(now.state[OIL]) if now.oil_g > 0.0 else None

    @property
    def jars(self) -> PouredJars | None:
        """The poured jars; None before."""
        return self._now.jars

    @property
    def happenings(self) -> tuple[Happening, ...]:
        """What is going on around the melt now."""
        return tuple(self._going_on())

    @property
    def begun(self) -> tuple[Happening, ...]:
        """What has begun to happen up to now, over or not, in that order."""
        return tuple(self.scenario.happenings[place] for place in self._now.began_s)

    @property
    def truth(self) -> Truth:
        """Everything that is so now and that no thermometer shows."""
        jars = self._now.jars
        return Truth(
            elapsed_s=self.elapsed_s,
            wax_c=self.wax_c,
            jug_c=self.jug_c,
            bath_c=self.bath_c,
            liquid_share=self.liquid_share,
            hob_w=self.hob_w,
            heat_fraction=self.heat_fraction,
            water_g=self.water_g,
            bath_dry=self.water_g <= DRY_G + 1e-6,
            jar_c=jars.mean_c if jars else None,
            jar_set_share=jars.set_share if jars else None,
        )

    @property
    def ledger(self) -> Ledger:
        """The heat balance since the start."""
        now = self._now
        return Ledger(
            hob_j=now.state[HOB_SUM],
            oil_j=now.oil_brought_j,
            room_j=now.state[ROOM_SUM],
            steam_j=now.state[STEAM_SUM],
            poured_j=now.poured_j,
            gained_j=stored_j(now.state) - now.start_j,
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
        """Put the jug into the bath again, unless it is empty."""
        self._now.on_bath = not self._now.poured

    def add_oil(self, mass_g: float) -> None:
        """Pour in oil of the scenario's oil temperature (the room's when there is none)."""
        if mass_g <= 0.0:
            raise ValueError("oil has a mass above zero")
        oil = self.scenario.oil
        heat_j = PlainBody(mass_g * OIL_J_PER_G_K).heat_j(oil.temp_c if oil else self.scenario.room.temp_c)
        self._now.oil_g += mass_g
        self._now.state[OIL] += heat_j
        self._now.oil_brought_j += heat_j
        self._now.stirred_at_s = None

    def stir(self) -> None:
        """Stir, so that oil, wax and pieces take on one temperature quickly."""
        self._now.stirred_at_s = self._now.elapsed_s

    def pour(self) -> None:
        """Fill the jars: a film stays in the jug, which stands off the bath from then on."""
        now = self._now
        if now.poured:
            return
        kept = self._flows.film_share
        now.state[WAX] += now.state[PIECES]
        now.state[PIECES] = 0.0
        wax_j, oil_j = ((1.0 - kept) * now.state[place] for place in (WAX, OIL))
        wax_g, oil_g = (1.0 - kept) * self.scenario.wax.mass_g, (1.0 - kept) * now.oil_g
        # In the jars both are one, and their heat is counted from where the wax's is.
        oil_zero_j = oil_g * OIL_J_PER_G_K * ZERO_HEAT_C
        now.jars = PouredJars(
            self.scenario.jars, wax_g + oil_g, wax_j + oil_j - oil_zero_j, with_oil(self._curve, wax_g, oil_g)
        )
        now.poured_j += wax_j + oil_j
        for place in (WAX, OIL):
            now.state[place] *= kept
        now.oil_g *= kept
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
        happening = tuple(self._going_on())
        self._waft_on()
        steady_times = self.scenario.room.air_times
        for one in happening:
            steady_times *= 1.0 if one.air_times is None else one.air_times
        air_times = steady_times * gust(self.scenario.jug.draught, now.waft)

        def rates(state: Sequence[float]) -> list[float]:
            return self._flows.rates(now, air_times, state)

        now.state = runge_kutta_step(rates, now.state, step_s)
        self._flows.boil_off(now.state)
        now.tick += 1
        now.elapsed_s = now.tick * step_s
        if now.jars is not None:
            now.jars.follow(self.scenario.room.temp_c, steady_times, step_s)
        self._read_on(happening)
        self._let_happen()

    def _read_on(self, happening: tuple[Happening, ...]) -> None:
        """Let the probe follow what it is in."""
        places = {one.probe for one in happening}
        kind, room_c = self.scenario.probe, self.scenario.room.temp_c
        if "lifted out" in places:
            self._now.probe.follow(room_c, self._step_s, _SLOWER_IN_AIR)
            return
        wall_share = max(kind.wall_share, _SLIPPED_SHARE if "on the wall" in places else 0.0)
        around_c = self.wax_c + wall_share * (self.jug_c - self.wax_c)
        around_c += kind.air_share * (room_c - around_c)
        self._now.probe.follow(around_c, self._step_s)

    def _let_happen(self) -> None:
        """Begin what is due."""
        now = self._now
        for place, happening in enumerate(self.scenario.happenings):
            if place in now.began_s:
                continue
            timely = happening.at_min is not None and now.elapsed_s >= happening.at_min * 60.0
            warm = happening.when_wax_c is not None and now.on_bath and self.wax_c >= happening.when_wax_c
            if timely or warm:
                now.began_s[place] = now.elapsed_s
                if happening.knob is not None:
                    now.heat_fraction = happening.knob

    def _going_on(self) -> Iterator[Happening]:
        for place, began_s in self._now.began_s.items():
            happening = self.scenario.happenings[place]
            if self._now.elapsed_s - began_s < happening.lasts_min * 60.0:
                yield happening

    def _waft_on(self) -> None:
        """Let the draught wander: a walk that forgets itself within a minute, of standard deviation 1."""
        now = self._now
        if self.scenario.jug.draught == 0.0:
            return
        kept = math.exp(-self._step_s / _WAFT_S)
        dice = random.Random(~(self._seed * 1_000_003 + now.tick))
        now.waft = kept * now.waft + math.sqrt(1.0 - kept * kept) * dice.gauss(0.0, 1.0)
