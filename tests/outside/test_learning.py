"""Learning against measured series and a general-purpose reference.

Series: paraffin and stearic acid read once a minute to a whole degree while they set (index.csv beside the
data, ../shared/data/cooling; skips where the folder is absent). Reference: scipy.integrate for the pooling.
"""

import csv
import math
from pathlib import Path

import numpy as np
import pytest
from scipy import integrate, stats

from candlebench.core.events import Action, ActionKind, Event, MeltBegan, Reading
from candlebench.core.learning.family import Belief
from candlebench.core.learning.lesson import lesson_of
from candlebench.core.learning.pooling import TAILS, pooled
from candlebench.core.materials.wax import limits_for, load_waxes
from candlebench.core.setup import MeltSetup


def _melt(file: Path, wax: str) -> tuple[list[Event], list[float]]:
    rows = list(csv.DictReader(file.read_text(encoding="utf-8").splitlines()))
    temps = [float(row["temp_C"]) for row in rows]
    setup = MeltSetup("", wax, limits_for(load_waxes()["beeswax"]))
    events: list[Event] = [MeltBegan(0.0, 0.0, setup), Action(0.0, 0.0, ActionKind.OFF_HEAT)]
    events += [
        Reading(float(row["t_s"]), float(row["t_s"]), temp) for row, temp in zip(rows, temps, strict=True)
    ]
    return events, temps


@pytest.mark.parametrize(("name", "wax"), [("paraffin_1min", "paraffin"), ("stearic_1min", "stearin")])
def test_the_plateau_of_a_measured_series_is_found(shared: Path, name: str, wax: str) -> None:
    events, temps = _melt(shared / "cooling" / f"{name}.csv", wax)
    lesson = lesson_of(events).wax
    assert lesson is not None
    # Where the series dwells: its commonest whole degree (58 C for the paraffin, 61 C for the stearic acid).
    degrees, counts = np.unique(np.array(temps), return_counts=True)
    plateau_c = float(degrees[np.argmax(counts)])
    assert abs(lesson.knee_c - plateau_c) < 1.5
    assert lesson.knee_sd_k < 1.0


@pytest.mark.parametrize(
    "lessons",
    [
        [Belief(62.4, 0.3)],
        [Belief(62.4, 0.3), Belief(62.9, 0.5), Belief(62.6, 0.4)],
        [Belief(61.5, 0.3), Belief(64.5, 0.3)],
    ],
)
def test_pooling_agrees_with_a_double_integral_of_the_same_densities(lessons: list[Belief]) -> None:
    before, differs = Belief(63.0, 1.1), 0.3

    value, spread = np.linspace(56.0, 70.0, 1401)[None, :], np.linspace(0.0, 1.2, 121)[:, None]
    density = stats.t.pdf(value, TAILS, before.mean, before.sd) * stats.norm.pdf(spread, 0.0, differs)
    for lesson in lessons:
        density = density * stats.t.pdf(lesson.mean, TAILS, value, np.hypot(lesson.sd, spread))

    def moment(power: int) -> float:
        over_value = integrate.simpson(value**power * density, x=value[0], axis=1)
        return float(integrate.simpson(over_value, x=spread[:, 0]))

    mean = moment(1) / moment(0)
    sd = math.sqrt(moment(2) / moment(0) - mean**2)
    found = pooled(before, lessons, differs)
    assert found.mean == pytest.approx(mean, abs=0.03)
    assert found.sd == pytest.approx(sd, rel=0.06)
