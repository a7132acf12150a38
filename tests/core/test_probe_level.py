"""Readings of a cooling melt that go on lower though nobody did anything: a slip, no draught and no noise."""

import csv
import math
import random
from collections.abc import Iterable
from pathlib import Path

import pytest

from candlebench.core.probe_level import LevelWatch, Step

OPEN_SERIES = Path(__file__).resolve().parents[3] / "shared" / "data" / "cooling"
SLIPS_S = 120.0
SD_K = 0.04


def _watched(
    rows: Iterable[tuple[float, float]], sd_k: float = SD_K, digit_k: float = 0.1
) -> tuple[LevelWatch, list[tuple[float, Step]]]:
    watch, found = LevelWatch(), list[tuple[float, Step]]()
    for at_s, temp_c in rows:
        step = watch.add(at_s, temp_c, math.hypot(sd_k, digit_k / math.sqrt(12.0)), digit_k)
        if step is not None:
            found.append((at_s, step))
            watch.restart()
    return watch, found


def _jug(
    seconds: int,
    every_s: float = 1.0,
    digit_k: float = 0.1,
    slip_k: float = 0.0,
    lag_s: float = 8.0,
    seed: int = 1,
    k_per_min: float = 1.0,
) -> list[tuple[float, float]]:
    """A jug on a cloth (H29 to H32: about 1 K/min), its probe on the wall from SLIPS_S on."""
    dice, rows = random.Random(seed), []
    for i in range(int(seconds / every_s)):
        at_s = i * every_s
        on_s = max(at_s - SLIPS_S, 0.0)
        temp_c = 78.0 - k_per_min * at_s / 60.0 + slip_k * (1.0 - math.exp(-on_s / lag_s))
        rows.append((at_s, round(round((temp_c + dice.gauss(0.0, SD_K)) / digit_k) * digit_k, 6)))
    return rows


# Lags of probes in wax, 5 to 15 s (T24); the wall of a jug off the heat is some 0.7 to 1.3 K colder.
@pytest.mark.parametrize("lag_s", [5.0, 8.0, 14.0])
@pytest.mark.parametrize("slip_k", [-0.9, -1.3])
def test_a_slip_onto_the_wall_is_seen_within_half_a_minute_and_dated_before_it_began(
    slip_k: float, lag_s: float
) -> None:
    for seed in range(6):
        _, found = _watched(_jug(400, slip_k=slip_k, lag_s=lag_s, seed=seed))
        assert len(found) == 1
        at_s, step = found[0]
        assert SLIPS_S < at_s <= SLIPS_S + 30.0
        assert SLIPS_S - 20.0 <= step.after_s <= SLIPS_S + 2.0
        assert slip_k - 0.2 <= step.by_k < 0.7 * slip_k
        assert step.before[-1][0] <= step.after_s


def test_it_is_seen_on_a_probe_that_speaks_ten_times_a_second_and_one_of_four_seconds() -> None:
    for every_s in (0.1, 4.0):
        _, found = _watched(_jug(400, every_s=every_s, slip_k=-1.2))
        assert [step.by_k < -0.7 for _, step in found] == [True]
        assert found[0][0] <= SLIPS_S + 30.0


@pytest.mark.parametrize(("digit_k", "every_s"), [(0.1, 1.0), (0.5, 1.0), (1.0, 1.0), (0.1, 2.0), (1.0, 5.0)])
def test_a_jug_that_only_cools_is_never_taken_for_a_slip(digit_k: float, every_s: float) -> None:
    for seed in range(12):
        rows = _jug(1500, every_s, digit_k, seed=seed)
        assert _watched(rows, digit_k=digit_k)[1] == []


def test_a_lasting_draught_is_the_melt_however_strong() -> None:
    # Carried out of doors: four times as fast from one second to the next, and it stays so.
    rows = [(s, c - 3.0 * max(s - SLIPS_S, 0.0) / 60.0) for s, c in _jug(400)]
    assert _watched(rows)[1] == []


def test_setting_wax_that_stops_falling_and_falls_on_is_no_slip() -> None:
    # A minute or more on the plateau, then at most as fast as before.
    rows = []
    for s, _ in _jug(600):
        fallen_k = min(s, 120.0) / 60.0 + max(s - 300.0, 0.0) / 60.0
        rows.append((s, round(72.0 - fallen_k, 1)))
    assert _watched(rows, sd_k=0.03)[1] == []


def test_what_rose_and_stops_has_not_fallen() -> None:
    # A probe that warms up into the wax and stays: nothing fell.
    rows = [(float(i), round(75.0 - 3.0 * math.exp(-i / 40.0), 1)) for i in range(300)]
    assert _watched(rows)[1] == []


def test_what_was_announced_is_not_looked_at() -> None:
    watch = LevelWatch()
    for at_s, temp_c in _jug(200, slip_k=-1.2):
        if at_s == SLIPS_S:
            watch.announce(at_s, 60.0)
        assert watch.add(at_s, temp_c, 0.05, 0.1) is None
        assert watch.unsure_k == 0.0


def test_before_it_is_seen_the_watch_says_how_unsure_it_is_and_never_of_a_quiet_melt() -> None:
    watch, told = LevelWatch(), []
    for at_s, temp_c in _jug(int(SLIPS_S) + 12, slip_k=-0.8, lag_s=14.0):
        watch.add(at_s, temp_c, 0.05, 0.1)
        if watch.unsure_k:
            told.append((at_s, watch.unsure_k))
    # At first when the last seconds lie off by a quarter of a kelvin: 0.8 (1 - exp(-t / 14)) after 5 s.
    assert told and SLIPS_S + 3.0 <= told[0][0] <= SLIPS_S + 9.0
    assert all(0.1 <= k <= 0.5 for _, k in told)
    quiet, unsure = LevelWatch(), 0
    for at_s, temp_c in _jug(1500, seed=3):
        quiet.add(at_s, temp_c, 0.05, 0.1)
        unsure += quiet.unsure_k > 0.0
    assert unsure <= 3


@pytest.mark.skipif(not OPEN_SERIES.exists(), reason="the open series are not on this machine")
@pytest.mark.parametrize("name", ["water80ml_fan", "canister_run1"])
def test_measured_vessels_are_left_alone_and_a_slip_put_into_them_is_seen(name: str) -> None:
    # Water in a wind and a metal can, a reading a second; sources and licences in index.csv beside them.
    with (OPEN_SERIES / f"{name}.csv").open() as lines:
        rows = [(float(r[0]), float(r[1])) for r in csv.reader(lines) if r and r[0][:1] in "-0123456789"]
    assert _watched(rows, sd_k=0.1, digit_k=0.06)[1] == []
    at_s, lag_s = rows[0][0] + 300.0, 8.0
    hurt = [(s, c - 2.5 * (1.0 - math.exp(-max(s - at_s, 0.0) / lag_s))) for s, c in rows]
    found = _watched(hurt, sd_k=0.1, digit_k=0.06)[1]
    assert found and at_s < found[0][0] <= at_s + 30.0
