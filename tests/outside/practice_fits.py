"""The practice bath put on a stove or into a mug, and the one figure that fits it best to measured readings.

Used by test_practice_stove.py, test_practice_cups.py and scripts/figures_practice.
"""

import csv
import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from candlebench.practice.melt import PracticeMelt
from candlebench.practice.probe import Probe
from candlebench.practice.scenario import HOBS, Bath, Charge, Jug, ProbeKind, Room, Scenario

Floats = NDArray[np.float64]

# One US cup is 236.6 mL (NIST Handbook 44, appendix C).
CUP_G = 236.6
# A common mug, from memory: a quarter of a litre, 80 mm wide, 350 g of stoneware at 0.8 J/g K.
_MUG_WATER_G, MUG_WIDE_MM, _MUG_J_PER_K = 250.0, 80.0, 280.0
_MUG_WALL_M2 = 4.0 * _MUG_WATER_G * 1e-6 / (MUG_WIDE_MM * 1e-3)


@dataclass(frozen=True, slots=True)
class Fit:
    """The figure that fits best, and by how much it misses the worst reading, in kelvin."""

    value: float
    worst_k: float


def read_series(path: Path) -> tuple[Floats, Floats]:
    """Seconds and °C of a measured series."""
    rows = list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))
    return np.array([float(row["t_s"]) for row in rows]), np.array([float(row["temp_C"]) for row in rows])


def on_a_stove(power_w: float, times: Floats, start_c: float, water_g: float, wide_mm: float) -> Floats:
    """What the default probe shows in a saucepan of water on a flame."""
    usual = Bath()
    bath = replace(
        usual,
        water_g=water_g,
        start_c=start_c,
        # 600 g of steel (H26).
        pan_j_per_k=300.0,
        pan_w_per_k=usual.pan_w_per_k * wide_mm / 200.0,
        open_m2=math.pi * wide_mm**2 / 4e6,
        jug_m2=0.0,
    )
    hob = replace(HOBS["gas"], power_w=power_w, efficiency=1.0)
    melt = _water_only(replace(_SCENARIO, room=Room(temp_c=21.0), bath=bath, hob=hob))
    probe = Probe((ProbeKind().lag_s,), start_c)
    shown = []
    for second in range(int(times[-1]) + 1):
        melt.step_to(second)
        if second:
            probe.follow(melt.bath_c, 1.0)
        if second in times:
            shown.append(probe.settled_c)
    return np.array(shown)


def mug(film: float, times: Floats, start_c: float, room_c: float, wide_mm: float = MUG_WIDE_MM) -> Floats:
    """Water in a mug whose wall loses `film` W/m2 K, evaporating from a face `wide_mm` wide."""
    bath = Bath(
        water_g=_MUG_WATER_G,
        start_c=start_c,
        pan_j_per_k=_MUG_J_PER_K,
        pan_w_per_k=film * _MUG_WALL_M2,
        open_m2=math.pi * wide_mm**2 / 4e6,
        jug_m2=0.0,
    )
    melt = _water_only(replace(_SCENARIO, room=Room(temp_c=room_c, humidity=0.5), bath=bath), step_s=2.0)
    melt.set_heat(0.0)
    temps = []
    for time_s in times - times[0]:
        melt.step_to(float(time_s))
        temps.append(melt.bath_c)
    return np.array(temps)


def fitted_power(times: Floats, temps: Floats, water_g: float, wide_mm: float) -> Fit:
    """The power in W that brings a saucepan nearest to measured readings."""
    return _fitted(
        lambda power_w: on_a_stove(power_w, times, float(temps[0]), water_g, wide_mm), temps, (300.0, 1200.0)
    )


def fitted_film(times: Floats, temps: Floats, room_c: float, wide_mm: float = MUG_WIDE_MM) -> Fit:
    """The film coefficient in W/m2 K that brings a mug nearest to measured readings."""
    return _fitted(lambda film: mug(film, times, float(temps[0]), room_c, wide_mm), temps, (0.5, 80.0))


_SCENARIO = Scenario(
    name="water", title="water only", wax=Charge(mass_g=100.0), jug=replace(Jug(), draught=0.0)
)


def _water_only(scenario: Scenario, step_s: float = 0.5) -> PracticeMelt:
    melt = PracticeMelt(scenario, step_s=step_s)
    melt.lift_off()
    return melt


def _fitted(model: Callable[[float], Floats], temps: Floats, bounds: tuple[float, float]) -> Fit:
    """The least worst miss, by golden section: it has one valley."""
    golden = (math.sqrt(5.0) - 1.0) / 2.0
    low, high = bounds
    while high - low > 0.002 * (bounds[1] - bounds[0]):
        left, right = high - golden * (high - low), low + golden * (high - low)
        if _worst_k(model(left), temps) < _worst_k(model(right), temps):
            high = right
        else:
            low = left
    value = 0.5 * (low + high)
    return Fit(value, _worst_k(model(value), temps))


def _worst_k(model_c: Floats, temps_c: Floats) -> float:
    return float(np.abs(model_c - temps_c).max())
