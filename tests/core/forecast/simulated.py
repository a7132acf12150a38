"""Melts from physics that the forecaster does not share: vessel and wax apart, films that change.

Cooling: wax and vessel exchange heat; the vessel's wall and the open top lose it by free convection that
grows with the fourth root of the difference, by radiation and by a draught that wanders. Heating: hob, bath,
jug, a layer of wax at the wall and the rest of it, poorly coupled while solid. The wax melts along a skewed
bell of drawn latent heat. A probe with a lag stands in front, its readings scattered and rounded.

Figures: heat.md H10 to H15 (films), H18 to H20 (evaporation), H29 to H32 (jugs), waxes.md W23 to W31. Ranges
of jug, room, knee, width, lag, scatter and resolution are those of the goal set for the forecaster; the other
ranges are our choice, named beside the draw.
"""

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

STEFAN_BOLTZMANN_W_M2_K4 = 5.670374e-8
_STEP_S = 1.0
_GRID_C = np.arange(-5.0, 140.0, 0.1)


@dataclass(frozen=True, slots=True)
class SimulatedMelt:
    """What the probe said and what the wax did.

    Attributes
    ----------
    times_s, readings_c : array
        The probe's readings.
    truth_s, truth_c : array
        The wax itself, every second.
    room_c, lag_s, knee_c, width_k, wax_g : float
        What was drawn.
    bath_c : array
        The water of the bath itself, every second; empty without one.
    """

    times_s: Floats
    readings_c: Floats
    truth_s: Floats
    truth_c: Floats
    room_c: float
    lag_s: float
    knee_c: float
    width_k: float
    wax_g: float
    bath_c: Floats = field(default_factory=lambda: np.empty(0))

    def bath_readings_c(self, seed: int) -> Floats:
        """What a second kitchen probe in the bath says at `times_s`, shape (n,).

        Its lag is 3 to 10 s (T24, a simmering bath stirs itself), it is off by 0.7 K (standard deviation: T8,
        and a bath that is not the same everywhere), scatters by 0.1 K and shows tenths.
        """
        rng = np.random.default_rng([seed, int(self.wax_g)])
        lag_s, off_k = rng.uniform(3.0, 10.0), rng.normal(0.0, 0.7)
        shown = np.empty_like(self.bath_c)
        level = float(self.bath_c[0])
        for i, bath_c in enumerate(self.bath_c.tolist()):
            level += (bath_c - level) / lag_s
            shown[i] = level
        at_readings = np.interp(self.times_s, self.truth_s, shown)
        scattered = at_readings + off_k + rng.normal(0.0, 0.1, len(self.times_s))
        return np.asarray(np.round(scattered, 1), dtype=np.float64)

    def crossing_s(self, target_c: float, falling: bool) -> float | None:
        """First time the wax crosses a temperature; None when it does not."""
        side = self.truth_c <= target_c if falling else self.truth_c >= target_c
        if not side.any() or side[0]:
            return None
        i = int(np.argmax(side))
        part = (target_c - self.truth_c[i - 1]) / (self.truth_c[i] - self.truth_c[i - 1])
        return float(self.truth_s[i - 1] + part * (self.truth_s[i] - self.truth_s[i - 1]))


class _Waxes:
    """Heat curves of many lots as tables; heat in kJ/kg from -5 C."""

    def __init__(self, rng: np.random.Generator, count: int, knee_c: Floats, width_k: Floats) -> None:
        latent = rng.uniform(160.0, 205.0, count)  # W25, W26
        premelt = rng.uniform(0.08, 0.2, count)  # share below the main step, after the proposed curve
        off = (_GRID_C - knee_c[:, None]) / width_k[:, None]
        bell = np.where(off < 0.0, np.exp(-0.5 * (off / 1.4) ** 2), np.exp(-0.5 * (off / 0.8) ** 2))
        off_k = _GRID_C - knee_c[:, None]
        low = (off_k > -24.0) & (off_k < -1.0)
        density = (1.0 - premelt)[:, None] * bell / bell.sum(1, keepdims=True)
        density += premelt[:, None] * low / low.sum(1, keepdims=True)
        self._share = np.cumsum(density, axis=1)
        capacity = (1.7 + 0.6 * self._share) * 0.1 + latent[:, None] * density
        self._heat = np.cumsum(capacity, axis=1)
        self._rows = np.arange(count)
        self._heat_step = 0.25
        self._top = self._heat.max()
        grid = np.arange(0.0, self._top, self._heat_step)
        self._temp = np.array([np.interp(grid, row, _GRID_C) for row in self._heat])

    def heat(self, temp_c: Floats) -> Floats:
        return np.array([np.interp(t, _GRID_C, row) for t, row in zip(temp_c, self._heat, strict=True)])

    def temp(self, heat: Floats) -> Floats:
        at = np.clip(heat / self._heat_step, 0, self._temp.shape[1] - 2)
        cell = at.astype(int)
        low = self._temp[self._rows, cell]
        return low + (at - cell) * (self._temp[self._rows, cell + 1] - low)

    def share(self, temp_c: Floats) -> Floats:
        cell = np.clip((temp_c + 5.0) / 0.1, 0, len(_GRID_C) - 1).astype(int)
        return self._share[self._rows, cell]


def _read(
    rng: np.random.Generator, truth_c: Floats, lag_s: float, scatter_k: float, step_k: float, every_s: float
) -> tuple[Floats, Floats]:
    """Probe with a first-order lag, read every so often, scattered and rounded."""
    probe = np.empty_like(truth_c)
    probe[0] = truth_c[0]
    part = 1.0 - np.exp(-_STEP_S / lag_s)
    for i in range(1, len(truth_c)):
        probe[i] = probe[i - 1] + part * (truth_c[i] - probe[i - 1])
    times = np.arange(0.0, len(truth_c) - 1, every_s)
    seen = np.interp(times, np.arange(len(truth_c)) * _STEP_S, probe) + rng.normal(0.0, scatter_k, len(times))
    return times, np.round(seen / step_k) * step_k


def _convection_w_m2_k(difference_k: Floats, length_m: Floats | float) -> Floats:
    # Laminar free convection in air, 1.4 (dT/L)^(1/4): with a wall of 80 mm at 60 C in 20 C it gives 6.6
    # (H13: 6.4).
    return 1.4 * (np.abs(difference_k) / length_m) ** 0.25


def _radiation_w_m2(temp_c: Floats, room_c: Floats, emissivity: Floats) -> Floats:
    return emissivity * STEFAN_BOLTZMANN_W_M2_K4 * ((temp_c + 273.15) ** 4 - (room_c + 273.15) ** 4)


def _package(
    rng: np.random.Generator, truth: Floats, room: Floats, knee: Floats, width: Floats, mass: Floats
) -> list[SimulatedMelt]:
    melts = []
    for row, temps in enumerate(truth):
        lag = float(rng.uniform(2.0, 15.0))
        scatter, step = float(rng.uniform(0.1, 0.3)), float(rng.choice([0.1, 0.5]))
        every = float(rng.choice([1.0, 2.0, 5.0, 10.0]))
        times, readings = _read(rng, temps, lag, scatter, step, every)
        clock = np.arange(len(temps)) * _STEP_S
        melts.append(
            SimulatedMelt(
                times_s=times,
                readings_c=readings,
                truth_s=clock,
                truth_c=temps,
                room_c=float(room[row]),
                lag_s=lag,
                knee_c=float(knee[row]),
                width_k=float(width[row]),
                wax_g=1000.0 * float(mass[row]),
            )
        )
    return melts


def cooling_melts(seed: int, count: int, hours: float = 2.0) -> list[SimulatedMelt]:
    """Jugs of molten beeswax taken off the bath: 60 g to 2 kg, rooms of 15 to 28 C, all drawn at random."""
    rng = np.random.default_rng(seed)
    mass = np.exp(rng.uniform(np.log(0.06), np.log(2.0), count))
    room = rng.uniform(15.0, 28.0, count)
    knee, width = rng.uniform(61.0, 65.0, count), rng.uniform(1.0, 3.0, count)
    wax = _Waxes(rng, count, knee, width)
    # A jug about as high as wide: volume at 0.83 g/ml; steel or glass of a third to all of the wax's mass.
    radius = (mass / 830.0 / (2.0 * np.pi)) ** (1.0 / 3.0)
    top, wall = np.pi * radius**2, 2.0 * np.pi * radius * 2.0 * radius
    vessel_j_k = mass * rng.uniform(0.3, 1.0, count) * 500.0
    emissivity = rng.uniform(0.2, 0.9, count)  # H29 to H32
    inside = rng.uniform(60.0, 200.0, count)  # free convection in liquids, H10, W/m2 K
    draught_sd = rng.uniform(0.05, 0.35, count)
    draught_s = rng.uniform(60.0, 600.0, count)
    bench_w_k = rng.uniform(0.0, 0.15, count) * wall / 0.02
    start = rng.uniform(80.0, 93.0, count)
    heat, vessel = wax.heat(start), start - rng.uniform(-4.0, 12.0, count)
    wander = rng.normal(0.0, 1.0, count) * draught_sd
    drift = rng.normal(0.0, 0.5, count) / 3600.0
    truth = np.empty((count, int(hours * 3600)))
    for i in range(truth.shape[1]):
        temp = wax.temp(heat)
        truth[:, i] = temp
        here = room + drift * i
        wander += -wander / draught_s + draught_sd * np.sqrt(2.0 / draught_s) * rng.normal(0.0, 1.0, count)
        gust = np.exp(wander)
        share = wax.share(temp)
        film = inside * (0.25 + 0.75 * share)
        to_vessel = film * wall * (temp - vessel)
        off_top = top * (
            _convection_w_m2_k(temp - here, 2.0 * radius) * gust * (temp - here)
            + _radiation_w_m2(temp, here, np.full(count, 0.93))
        )
        off_wall = wall * (
            _convection_w_m2_k(vessel - here, 2.0 * radius) * gust * (vessel - here)
            + _radiation_w_m2(vessel, here, emissivity)
        ) + bench_w_k * (vessel - here)
        heat -= (to_vessel + off_top) / (mass * 1000.0) * _STEP_S
        vessel = vessel + (to_vessel - off_wall) / vessel_j_k * _STEP_S
    return _package(rng, truth, room, knee, width, mass)


def heating_melts(seed: int, count: int, hours: float = 2.0) -> list[SimulatedMelt]:
    """Beeswax melting in a jug in a water bath on a hob whose knob is turned at random."""
    rng = np.random.default_rng(seed)
    mass = np.exp(rng.uniform(np.log(0.06), np.log(2.0), count))
    room = rng.uniform(15.0, 28.0, count)
    knee, width = rng.uniform(61.0, 65.0, count), rng.uniform(1.0, 3.0, count)
    wax = _Waxes(rng, count, knee, width)
    radius = (mass / 830.0 / (2.0 * np.pi)) ** (1.0 / 3.0)
    wall = 2.0 * np.pi * radius * 2.0 * radius
    top = np.pi * radius**2
    water_kg = rng.uniform(0.4, 1.5, count) + 0.6 * mass
    bath_j_k = water_kg * 4180.0 + rng.uniform(200.0, 700.0, count)
    ring_m2 = rng.uniform(0.006, 0.02, count)  # H20: open ring of 0.014 m2
    jug_j_k = mass * rng.uniform(0.3, 1.0, count) * 500.0
    outside = rng.uniform(300.0, 900.0, count)  # bath to jug, W/m2 K
    # Sized to the bath, so that small and large melts take about as long; simmer to full.
    full_w = rng.uniform(250.0, 700.0, count) + 500.0 * mass
    knob = rng.uniform(0.5, 1.0, count)
    hob_w = np.zeros(count)
    hob_s = rng.uniform(5.0, 120.0, count)  # a gas flame or an iron plate
    turn_s = rng.exponential(900.0, count) + 120.0
    bath, jug = room + rng.uniform(0.0, 25.0, count), room.copy()
    layer_share = rng.uniform(0.25, 0.5, count)
    layer, core = wax.heat(room), wax.heat(room)
    between = rng.uniform(60.0, 200.0, count)
    truth = np.empty((count, int(hours * 3600)))
    baths = np.empty_like(truth)
    for i in range(truth.shape[1]):
        turned = i >= turn_s
        if turned.any():
            knob = np.where(turned, rng.choice([0.15, 0.35, 0.6, 1.0], count), knob)
            turn_s = np.where(turned, i + rng.exponential(900.0, count) + 120.0, turn_s)
        hob_w += (knob * full_w - hob_w) / hob_s
        t_layer, t_core = wax.temp(layer), wax.temp(core)
        truth[:, i] = t_core
        baths[:, i] = bath
        liquid_layer, liquid_core = wax.share(t_layer), wax.share(t_core)
        into_jug = outside * wall * (bath - jug)
        into_wax = 120.0 * (0.3 + 0.7 * liquid_layer) * wall * (jug - t_layer)
        inward = between * (0.25 + 0.75 * np.sqrt(liquid_layer * liquid_core)) * wall * (t_layer - t_core)
        off_top = top * 13.0 * (t_core - room)
        # Evaporation of open hot water, H19: 2.0 kW/m2 at 60 C, growing e-fold every 20 K.
        steam = ring_m2 * 2000.0 * np.exp((bath - 60.0) / 20.0)
        bath = np.minimum(bath + (hob_w - into_jug - steam - 1.5 * (bath - room)) / bath_j_k, 100.0)
        jug = jug + (into_jug - into_wax) / jug_j_k
        layer += (into_wax - inward) / (mass * layer_share * 1000.0)
        core += (inward - off_top) / (mass * (1.0 - layer_share) * 1000.0)
    melts = _package(rng, truth, room, knee, width, mass)
    return [replace(melt, bath_c=bath_c) for melt, bath_c in zip(melts, baths, strict=True)]
