"""What a thermometer's faults do to the forecast on simulated melts; `scripts/figures_forecast` prints it.

Each strikes a melt 10 minutes before it reaches 68 C; beside it runs a forecast without the fault. Counted is
how far the median of the one moves from that of the other, in half-widths of the latter, at its worst in the
two minutes after the fault.
"""

import math
from collections.abc import Callable, Iterator

import numpy as np
from simulated import SimulatedMelt, cooling_melts

from candlebench.core.forecast.forecaster import Forecaster
from candlebench.core.forecast.jug import usual_loss
from candlebench.core.forecast.room import typed_room
from candlebench.core.forecast.wax_family import beeswax_family

SEED = 103
TARGET_C, BEFORE_S, WATCHED_S = 68.0, 600.0, 120.0
SILENT_S, OUT_S = 300.0, 30.0
Readings = Iterator[tuple[float, float]]
Disturbance = Callable[[Readings, float, float], Readings]


def _lifted_out(readings: Readings, at_s: float, room_c: float) -> Readings:
    """Half a minute in air with a lag of 30 s, then back in the wax with one of 6 s."""
    for now_s, temp_c in readings:
        out_s = now_s - at_s
        if out_s >= 0.0:
            part = math.exp(-min(out_s, OUT_S) / 30.0)
            if out_s > OUT_S:
                part = 1.0 - (1.0 - part) * math.exp(-(out_s - OUT_S) / 6.0)
            temp_c = round(room_c + (temp_c - room_c) * part, 1)
        yield now_s, temp_c


def _once(by: Callable[[float], float]) -> Disturbance:
    """One reading is another."""

    def hurt(readings: Readings, at_s: float, room_c: float) -> Readings:
        struck = False
        for now_s, temp_c in readings:
            if not struck and now_s >= at_s:
                struck = True
                temp_c = by(temp_c)
            yield now_s, temp_c

    return hurt


def _silent(readings: Readings, at_s: float, room_c: float) -> Readings:
    """Nothing for the five minutes before: a gap, or a machine that was suspended."""
    return ((s, c) for s, c in readings if not at_s - SILENT_S < s < at_s)


def _burst(readings: Readings, at_s: float, room_c: float) -> Readings:
    """One reading comes fifty times."""
    struck = False
    for now_s, temp_c in readings:
        times = 1 if struck or now_s < at_s else 50
        struck = struck or now_s >= at_s
        for _ in range(times):
            yield now_s, temp_c


DISTURBANCES: dict[str, Disturbance] = {
    "30 s out of the wax": _lifted_out,
    "a spike of 4 K": _once(lambda temp_c: temp_c + 4.0),
    "85.00": _once(lambda _: 85.0),
    "5 min gap or suspend": _silent,
    "50 readings with one time stamp": _burst,
}


def _moved(melt: SimulatedMelt, at_s: float, disturbance: Disturbance) -> float:
    sound, hurt = (
        Forecaster(beeswax_family(), typed_room(melt.room_c), 100.0, 0.0, usual_loss(melt.wax_g))
        for _ in range(2)
    )
    plain = list(zip(melt.times_s.tolist(), melt.readings_c.tolist(), strict=True))
    bad = list(disturbance(iter(plain), at_s, melt.room_c))
    worst, place = 0.0, 0
    for now_s, temp_c in plain:
        if now_s > at_s + WATCHED_S:
            break
        sound.update(now_s, temp_c)
        while place < len(bad) and bad[place][0] <= now_s:
            hurt.update(*bad[place])
            place += 1
        if now_s >= at_s and int(now_s) % 5 == 0:
            (right,), (wrong,) = sound.crossings([TARGET_C]), hurt.crossings([TARGET_C])
            if right is not None and wrong is not None and math.isfinite(right.high_s):
                half_s = 0.5 * (right.high_s - right.low_s)
                worst = max(worst, abs(wrong.in_s - right.in_s) / half_s)
    return worst


def print_disturbances(count: int) -> None:
    """How far each moves the forecast."""
    struck = []
    for melt in cooling_melts(SEED, count):
        crosses_s = melt.crossing_s(TARGET_C, falling=True)
        if crosses_s is not None and crosses_s > BEFORE_S + SILENT_S + 30.0:
            struck.append((melt, crosses_s - BEFORE_S))
    print(f"\nFaults 10 min before {TARGET_C:g} C, {len(struck)} melts: moved by, in half-widths")
    for name, disturbance in DISTURBANCES.items() if struck else ():
        moved = np.array([_moved(melt, at_s, disturbance) for melt, at_s in struck])
        print(
            f"  {name:34} median {np.median(moved):.2f}, worst {moved.max():.2f},"
            f" less than one in {np.mean(moved < 1.0):.0%}"
        )
