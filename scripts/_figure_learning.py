"""What learning is worth: how right and how honest lessons are, and how much narrower forecasts get.

Melts are those of tests/core/forecast/simulated.py, three of each lot; seeds 1 to 3 were used for tuning and
none of them here. `scripts/figures_forecast` prints it.
"""

import math
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT), *(str(ROOT / "tests" / "core" / part) for part in ("", "forecast", "learning"))]

from melts_of_lots import cooled, heated  # noqa: E402
from simulated import SimulatedMelt, cooling_melts, heating_melts  # noqa: E402

from candlebench.core.forecast.forecaster import Forecaster  # noqa: E402
from candlebench.core.forecast.room import typed_room  # noqa: E402
from candlebench.core.forecast.wax_family import (  # noqa: E402
    WaxFamily,
    beeswax_family,
    known_family,
)
from candlebench.core.learning.family import BEESWAX_KNEE, FAMILY_WIDTH  # noqa: E402
from candlebench.core.learning.lesson import WaxLesson, lesson_of  # noqa: E402
from candlebench.core.learning.pooling import known_wax  # noqa: E402

Floats = NDArray[np.float64]
KNEES_C, WIDTHS_K = (61.0, 65.0), (1.0, 3.0)
AHEAD_S = 300.0


class OfOneLot(np.random.Generator):
    """Draws as its seed says, but the same knee and width for each `melts` melts in a row."""

    def __init__(self, seed: int, melts: int) -> None:
        super().__init__(np.random.PCG64(seed))
        self._melts = melts

    def uniform(self, low=0.0, high=1.0, size=None):  # type: ignore[no-untyped-def, override]
        drawn = super().uniform(low, high, size)
        if (low, high) in (KNEES_C, WIDTHS_K):
            drawn = np.repeat(drawn[:: self._melts], self._melts)[:size]
        return drawn


def held(errors: Floats, sds: Floats) -> float:
    """Share within what should be 90 %."""
    return float(np.mean(np.abs(errors) < 1.645 * sds))


def print_lots(
    name: str, melts: list[SimulatedMelt], events_of: Callable[[SimulatedMelt], list]
) -> list[WaxLesson | None]:
    """How right and how honest a lot's knee and width are after one, two and three melts."""
    lessons = [lesson_of(events_of(melt)).wax for melt in melts]
    for count in (1, 2, 3):
        rows = []
        for first in range(0, len(melts), 3):
            known = known_wax("beeswax", [x for x in lessons[first : first + count] if x is not None])
            truth = melts[first]
            if known is None:
                knee, width = BEESWAX_KNEE, FAMILY_WIDTH
                rows.append((knee.mean - truth.knee_c, knee.sd, width.mean - truth.width_k, width.sd))
            else:
                rows.append(
                    (
                        known.knee_c - truth.knee_c,
                        known.knee_sd_k,
                        known.width_k - truth.width_k,
                        known.width_sd_k,
                    )
                )
        knee, knee_sd, width, width_sd = np.array(rows).T
        print(
            f"{name:<12} {count} melts: knee off {np.median(np.abs(knee)):.2f} K,"
            f" said {np.median(knee_sd):.2f} K, 90 % holds {held(knee, knee_sd):4.0%};"
            f"  width off {np.median(np.abs(width)):.2f} K,"
            f" said {np.median(width_sd):.2f} K, holds {held(width, width_sd):4.0%}"
        )
    return lessons


def print_jugs(melts: list[SimulatedMelt]) -> None:
    """A jug's loss by one melt poured at 69 C, against the fall of the wax itself from 78 to 69 C."""
    errors, sds, took_s = [], [], []
    for melt in melts:
        events = cooled(melt, 69.0)
        began_s = time.perf_counter()
        jug = lesson_of(events).jug
        took_s.append(time.perf_counter() - began_s)
        part = melt.truth_c[(melt.truth_c < 78.0) & (melt.truth_c > 69.0)]
        if jug is None or len(part) < 100:
            continue
        true = (part[0] - part[-1]) / np.sum((part - melt.room_c) ** 1.25) * 50.0**1.25 * 60.0
        errors.append(math.log(jug.loss_k_per_min / true))
        sds.append(jug.sd_log)
    error, sd = np.array(errors), np.array(sds)
    print(
        f"jug, 1 melt ({len(error)} of {len(melts)}): off {np.median(np.abs(error)):.1%},"
        f" said {np.median(sd):.1%}, 90 % holds {held(error, sd):.0%};"
        f" a lesson takes {np.median(took_s):.2f} s"
    )


def foreseen(family: WaxFamily, melt: SimulatedMelt, target_c: float) -> tuple[float, float, bool] | None:
    """Error, half-width (shares of the time left) and whether the band holds, five minutes ahead."""
    crosses_s = melt.crossing_s(target_c, falling=True)
    if crosses_s is None or crosses_s < 2.0 * AHEAD_S:
        return None
    forecaster = Forecaster(family, typed_room(melt.room_c), 100.0, melt.lag_s)
    for at_s, temp_c in zip(melt.times_s.tolist(), melt.readings_c.tolist(), strict=True):
        if at_s > crosses_s - AHEAD_S:
            break
        forecaster.update(at_s, temp_c)
    (crossing,) = forecaster.crossings([target_c])
    if crossing is None:
        return None
    left_s = crosses_s - crossing.made_at_s
    half = 0.5 * (crossing.high_s - crossing.low_s) / left_s
    return abs(crossing.in_s - left_s) / left_s, half, crossing.low_s <= left_s <= crossing.high_s


def print_forecasts(name: str, melts: list[SimulatedMelt], lessons: list[WaxLesson | None]) -> None:
    """The third melt of each lot, foreseen without and with what the first two taught."""
    for target_c in (70.0, 68.0, 66.0):
        for known_lot in (False, True):
            rows = []
            for third in range(2, len(melts), 3):
                known = known_wax("beeswax", [x for x in lessons[third - 2 : third] if x is not None])
                family = beeswax_family()
                if known_lot and known is not None:
                    family = known_family("beeswax", known)
                row = foreseen(family, melts[third], target_c)
                if row is not None:
                    rows.append(row)
            error, half, inside = np.array(rows, dtype=float).T
            words = "lot known " if known_lot else "lot new   "
            print(
                f"{name}: {target_c:.0f} C 5 min ahead, {words} {len(rows):3d} cases,"
                f" error {np.median(error):5.1%}, half-width {np.median(half):5.1%},"
                f" band holds {np.mean(inside):4.0%}"
            )


def print_learning(lots: int) -> None:
    """Lessons of lots and jugs, then the third melt of each lot foreseen without and with them."""
    count = 3 * lots
    print(f"\nLearning, {lots} lots with three melts each")
    set_through = cooling_melts(OfOneLot(201, 3), count)  # type: ignore[arg-type]
    lessons = print_lots("set to 60 C", set_through, lambda melt: cooled(melt, 60.0))
    print_lots("set to 64 C", cooling_melts(OfOneLot(202, 3), count), lambda melt: cooled(melt, 64.0))  # type: ignore[arg-type]
    print_lots("melted", heating_melts(OfOneLot(203, 3), count), lambda melt: heated(melt, 76.0))  # type: ignore[arg-type]
    print_jugs(set_through[::2])
    print_forecasts("two melts set to 60 C", set_through, lessons)
