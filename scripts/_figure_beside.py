"""What a second probe is worth and what it costs; for `scripts/figures_forecast`."""

import time
from collections.abc import Sequence

import numpy as np
from simulated import SimulatedMelt, cooling_melts, heating_melts

from candlebench.core.forecast.forecaster import Forecaster
from candlebench.core.forecast.jug import usual_loss
from candlebench.core.forecast.room import typed_room
from candlebench.core.forecast.wax_family import beeswax_family

# The room was typed so much wrong; a room probe is off by T8 of thermometry.md (two standard deviations).
TYPED_OFF_K, PROBE_SD_K = 5.0, 0.5
TARGETS_C, AHEAD_S = (70.0, 68.0), 600.0


def print_room_probe(seed: int, melts: int) -> None:
    """Simulated coolings, the typed room wrong by 5 K either way, without and with a probe in the room."""
    drawn = cooling_melts(seed, melts)
    print(f"\nCooling, {AHEAD_S / 60:.0f} min ahead, the room typed {TYPED_OFF_K:g} K wrong:")
    print(f"{'':34} cases  median    p90   bias  band holds half-width")
    for label, wrong_k, reads in (
        ("typed right", 0.0, False),
        ("too warm", TYPED_OFF_K, False),
        ("too warm, probe in the room", TYPED_OFF_K, True),
        ("too cold", -TYPED_OFF_K, False),
        ("too cold, probe in the room", -TYPED_OFF_K, True),
    ):
        rng = np.random.default_rng(seed)
        rows = [row for melt in drawn for row in _rows(melt, wrong_k, reads, float(rng.normal()))]
        left, low, middle, high = np.array(rows).T
        error = middle / left - 1.0
        width = np.where(np.isfinite(high), (high - low) / 2.0 / left, np.inf)
        print(
            f"{label:34}{len(rows):6d}{100 * np.median(np.abs(error)):8.1f}%"
            f"{100 * np.quantile(np.abs(error), 0.9, method='higher'):7.0f}%{100 * np.median(error):+7.1f}%"
            f"{100 * np.mean((low <= left) & (left <= high)):8.0f}%{100 * np.median(width):9.0f}%"
        )


def _rows(melt: SimulatedMelt, wrong_k: float, reads: bool, score: float) -> list[Sequence[float]]:
    forecaster = Forecaster(
        beeswax_family(), typed_room(melt.room_c + wrong_k), 100.0, melt.lag_s, usual_loss(melt.wax_g)
    )
    cases = [(melt.crossing_s(target_c, True), target_c) for target_c in TARGETS_C]
    rows: list[Sequence[float]] = []
    j = 0
    for truth_s, target_c in sorted((t, c) for t, c in cases if t is not None and t > AHEAD_S + 90.0):
        while j < len(melt.times_s) and melt.times_s[j] <= truth_s - AHEAD_S:
            if reads:
                forecaster.room_read(float(melt.times_s[j]), melt.room_c + PROBE_SD_K * score)
            forecaster.update(float(melt.times_s[j]), float(melt.readings_c[j]))
            j += 1
        (found,) = forecaster.crossings([target_c])
        points = (np.inf,) * 3 if found is None else (found.low_s, found.in_s, found.high_s)
        rows.append((truth_s - float(melt.times_s[j - 1]), *points))
    return rows


def print_bath_cost(seed: int) -> None:
    """One reading of each probe, and four targets, while the bath is read."""
    melt = heating_melts(seed, 4)[1]
    bath_c = melt.bath_readings_c(seed)
    forecaster = Forecaster(beeswax_family(), typed_room(melt.room_c), 100.0)
    spent: tuple[list[float], list[float], list[float]] = ([], [], [])
    for now_s, temp_c, beside_c in zip(
        melt.times_s[:1500].tolist(), melt.readings_c[:1500].tolist(), bath_c[:1500].tolist(), strict=True
    ):
        marks = [time.perf_counter()]
        forecaster.bath_read(now_s - 0.3, beside_c)
        marks.append(time.perf_counter())
        forecaster.update(now_s, temp_c)
        marks.append(time.perf_counter())
        asked = forecaster.crossings([temp_c + step for step in (2.0, 4.0, 6.0, 10.0)])
        marks.append(time.perf_counter())
        if all(crossing is not None for crossing in asked):
            for bin_, begin, end in zip(spent, marks, marks[1:], strict=False):
                bin_.append(1000.0 * (end - begin))
    cells = ", ".join(
        f"{name} {np.median(bin_):.2f} ({np.quantile(bin_, 0.99):.2f})"
        for name, bin_ in zip(("bath reading", "melt reading", "four targets"), spent, strict=True)
    )
    print(f"  with a bath probe: {cells}")
