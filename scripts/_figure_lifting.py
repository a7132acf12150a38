"""The forecast in the minutes after a jug is lifted off the heat, on practice melts.

Jugs of 250 g to 1.5 kg that lose 0.7 to 1.4 times as much as usual, lifted at 77 to 84 C. Seed 4 was looked
at while the wall's share was tuned; the figures are of seed 9. `scripts/figures_forecast` prints it.
"""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from candlebench.core.forecast.forecaster import Forecaster
from candlebench.core.forecast.jug import usual_loss
from candlebench.core.forecast.room import typed_room
from candlebench.core.forecast.wax_family import beeswax_family
from candlebench.practice.melt import PracticeMelt
from candlebench.practice.scenario import Scenario
from candlebench.practice.scenario_file import load_scenario

SEED = 9
TARGET_C, ROOM_C = 75.0, 21.0
AFTER_S = (5, 30, 60, 90, 120, 180, 300)
GRAMS = (250.0, 1500.0)


def _scenario(rng: np.random.Generator) -> Scenario:
    """The first jug, larger or smaller, another lot, another draught."""
    base = load_scenario("first-jug")
    wax_g = float(np.exp(rng.uniform(*np.log(GRAMS))))
    # Areas go with the mass to the power of two thirds.
    area, loss = (wax_g / base.wax.mass_g) ** (2.0 / 3.0), float(rng.uniform(0.7, 1.4))
    jug = replace(
        base.jug,
        wall_w_per_k=base.jug.wall_w_per_k * area * loss,
        top_w_per_k=base.jug.top_w_per_k * area * loss,
        to_liquid_w_per_k=base.jug.to_liquid_w_per_k * area,
        to_solid_w_per_k=base.jug.to_solid_w_per_k * area,
        metal_j_per_k=base.jug.metal_j_per_k * area,
    )
    wax = replace(base.wax, mass_g=wax_g, knee_shift_k=float(rng.uniform(-1.0, 1.0)))
    return replace(base, jug=jug, wax=wax)


def _lifted(scenario: Scenario, seed: int, at_c: float) -> tuple[NDArray[np.float64], float]:
    """Readings (time, probe) and when it was lifted; until the probe is below the target."""
    melt, rows, lifted_s = PracticeMelt(scenario, seed), [], None
    for second in range(3 * 3600):
        melt.step_to(float(second))
        rows.append((float(second), melt.probe_c))
        if lifted_s is None and melt.probe_c >= at_c:
            lifted_s = float(second)
            melt.lift_off()
            melt.set_heat(0.0)
        if lifted_s is not None and second > lifted_s + 60.0 and melt.probe_c < TARGET_C:
            break
    assert lifted_s is not None
    return np.array(rows), lifted_s


def print_lifting(count: int) -> None:
    """Error, band and width at some times after lifting, told of it and not."""
    rng = np.random.default_rng(SEED)
    runs = []
    for seed in range(count):
        scenario = _scenario(rng)
        runs.append((scenario.wax.mass_g, *_lifted(scenario, seed, float(rng.uniform(77.0, 84.0)))))
    print(f"\nAfter lifting off, {TARGET_C:g} C on {count} practice melts (truth is the probe)")
    print(f"{'':34} cases  median    p90   bias  band holds half-width")
    for told in (True, False):
        found: dict[int, list[tuple[float, float, float, float]]] = {after: [] for after in AFTER_S}
        for wax_g, rows, lifted_s in runs:
            forecaster = Forecaster(beeswax_family(), typed_room(ROOM_C), 99.97, 0.0, usual_loss(wax_g))
            for at_s, temp_c in rows.tolist():
                forecaster.update(at_s, temp_c)
                if told and at_s == lifted_s:
                    forecaster.lifted(at_s)
                after, left_s = int(at_s - lifted_s), float(rows[-1, 0]) - at_s
                if after in found and left_s > 45.0:
                    (crossing,) = forecaster.crossings([TARGET_C])
                    if crossing is not None:
                        points = (crossing.low_s, crossing.in_s, crossing.high_s)
                        found[after].append((left_s, *points))
        for after, cases in found.items():
            label = f"{'told' if told else 'not told'}, {after} s after"
            if not cases:
                print(f"{label:34} no forecast yet")
                continue
            left, low, middle, high = np.array(cases).T
            error = middle / left - 1.0
            nine_in_ten = np.quantile(np.abs(error), 0.9, method="higher")
            print(
                f"{label:34}{len(cases):6d}{100 * np.median(np.abs(error)):8.1f}%"
                f"{100 * nine_in_ten:7.0f}%{100 * np.median(error):+7.1f}%"
                f"{100 * np.mean((low <= left) & (left <= high)):8.0f}%"
                f"{100 * np.median((high - low) / 2.0 / left):9.0f}%"
            )
