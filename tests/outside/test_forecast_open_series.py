"""The forecaster on open measured series of cooling water and on every other series of the folder.

Sources, licences and rooms: index.csv beside the data (../shared/data/cooling). Skips where the folder is
absent; test_forecast_cooling_water.py is the counterpart that runs anywhere.
"""

import csv
import math
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from candlebench.core.forecast.forecaster import Forecaster
from candlebench.core.forecast.room import typed_room
from candlebench.core.forecast.wax_family import family_for

Floats = NDArray[np.float64]

# Rooms in C as the index and the series' own descriptions give them; 23 where nothing is said.
_ROOMS_C = {"water_mug_mosaic": 24.0, "coffee_1min": 22.0, "canister_run1": 23.2, "water80ml_fan": 27.0}
# The halves: the first was used to tune the walks and the settling of the cooling bank, the second was not.
_TUNED = ("water_vessel1", "water_vessel3", "water80ml_fan")
_NOT_TUNED = ("water_mug_mosaic", "water_vessel2", "canister_run1", "coffee_1min")


def _read(path: Path) -> tuple[Floats, Floats]:
    lines = path.read_text(encoding="utf-8").splitlines()
    rows = [row for row in csv.DictReader(lines) if row["t_s"] and row["temp_C"]]
    return np.array([float(r["t_s"]) for r in rows]), np.array([float(r["temp_C"]) for r in rows])


def _crossing_s(times: Floats, temps: Floats, target_c: float) -> float | None:
    below = temps <= target_c
    if not below.any() or below[0]:
        return None
    i = int(np.argmax(below))
    return float(
        times[i - 1] + (target_c - temps[i - 1]) / (temps[i] - temps[i - 1]) * (times[i] - times[i - 1])
    )


def _cases(path: Path, lead_c: int) -> list[tuple[float, float, float, float]]:
    """(time left, low, median, high) where the series first is `lead_c` above a target, every 5 C."""
    times, temps = _read(path)
    found = []
    forecaster = Forecaster(None, typed_room(_ROOMS_C.get(path.stem, 23.0)), 100.0)
    j = 0
    for target in reversed(range(int(temps[-1]) + 1, int(temps[0]) - lead_c, 5)):
        now_s, truth_s = _crossing_s(times, temps, target + lead_c), _crossing_s(times, temps, target)
        if now_s is None or truth_s is None or int((times <= now_s).sum()) < 4:
            continue
        while j < len(times) and times[j] <= now_s + 1e-6:
            forecaster.update(float(times[j]), float(temps[j]))
            j += 1
        shift = float(times[j - 1]) - now_s
        (crossing,) = forecaster.crossings([float(target)])
        assert crossing is not None
        times_s = (crossing.low_s + shift, crossing.in_s + shift, crossing.high_s + shift)
        found.append((truth_s - now_s, *times_s))
    return found


def _pooled(folder: Path, names: tuple[str, ...], lead_c: int) -> tuple[float, float]:
    """Median error and share inside the band."""
    rows = [case for name in names for case in _cases(folder / "cooling" / f"{name}.csv", lead_c)]
    left, low, middle, high = np.array(rows).T
    return float(np.median(np.abs(middle / left - 1.0))), float(np.mean((low <= left) & (left <= high)))


def test_five_degrees_ahead_on_all_water_series_the_floor_is_kept(shared: Path) -> None:
    error, inside = _pooled(shared, _TUNED + _NOT_TUNED, 5)
    # Measured: 5.7 %, 97 % of 39 cases. The best plain fit, an exponential with known room, is 15.8 % off.
    assert error <= 0.08
    assert inside >= 0.80


def test_the_half_that_was_not_tuned_on_is_no_worse(shared: Path) -> None:
    error, inside = _pooled(shared, _NOT_TUNED, 5)
    assert error <= 0.08
    assert inside >= 0.80


def test_every_series_of_the_folder_is_taken_without_a_false_number(shared: Path) -> None:
    """Heaters, freezers, cups, freezing wax: never nan, never out of order, never in the past."""
    for path in sorted((shared / "cooling").glob("*.csv")):
        if path.stem == "index":
            continue
        times, temps = _read(path)
        # The heavier beeswax bank on the short series only, for time's sake.
        for wax in ("none", "beeswax") if len(times) < 300 else ("none",):
            forecaster = Forecaster(family_for(wax), typed_room(None), 100.0)
            for i, (elapsed_s, temp_c) in enumerate(zip(times, temps, strict=True)):
                forecaster.update(float(elapsed_s), float(temp_c))
                if i % 25 and len(times) > 60:
                    continue
                for crossing in forecaster.crossings(
                    [temp_c - 10.0, temp_c - 2.0, temp_c + 2.0, temp_c + 10.0]
                ):
                    if crossing is None:
                        continue
                    assert 0.0 < crossing.low_s <= crossing.in_s <= crossing.high_s
                    assert 0.0 <= crossing.chance <= 1.0
                    assert not math.isnan(crossing.high_s)
