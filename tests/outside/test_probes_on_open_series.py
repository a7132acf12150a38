"""A probe lifted out of measured vessels, or at another place in them, by the time constants of the handbook.

The vessels are measured (shared/data/cooling, sources and licences in its index.csv); what the probe does in
the air is Newton's law with the time constants T22 and T23 of thermometry.md, back in the liquid T13 to T16.
"""

import csv
import math
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest

from candlebench.core.events import Reading
from candlebench.core.place import Place
from candlebench.core.probe import Heard, Probe
from candlebench.core.setup import Limits
from candlebench.core.suspicion import Fault
from candlebench.core.units import Shown

OPEN_SERIES = Path(__file__).resolve().parents[3] / "shared" / "data" / "cooling"
# Read once a second, and the room they stood in by their files.
VESSELS = {"water80ml_fan": 27.0, "canister_run1": 23.2}
IN_AIR_S, IN_LIQUID_S = (33.0, 87.0), 6.0
OUT_S = 60.0
# Beeswax: windows and warnings as in resources/data/waxes.toml.
LIMITS = Limits(68.0, 70.0, 75.0, 68.0, 71.0, 80.0, 85.0, 95.0)
# Nearer to the room than 18 K nothing tells a vessel from the air.
WHILE_HOT = [("water80ml_fan", s) for s in (60.0, 120.0, 180.0, 240.0, 300.0, 360.0)]
WHILE_HOT += [("canister_run1", s) for s in (60.0, 90.0, 120.0)]
# It waits so long, so that oil and stirring are no fault, and until it has fallen so far.
WAITS_S, FALLS_K = 12.0, 5.0

pytestmark = pytest.mark.skipif(
    not OPEN_SERIES.exists(), reason="the open series (../shared/data/cooling) are not on this machine"
)


def _series(name: str) -> list[tuple[float, float]]:
    with (OPEN_SERIES / f"{name}.csv").open() as lines:
        return [(float(r[0]), float(r[1])) for r in csv.reader(lines) if r and r[0][:1] in "-0123456789"]


def _lifted(rows: Sequence[tuple[float, float]], at_s: float, room_c: float, tau_s: float) -> list[float]:
    """What the probe shows, on a display of tenths."""
    found, level_c, before_s = list[float](), rows[0][1], rows[0][0]
    for now_s, temp_c in rows:
        if now_s < at_s:
            level_c = temp_c
        else:
            goal_c, lag_s = (room_c, tau_s) if now_s < at_s + OUT_S else (temp_c, IN_LIQUID_S)
            level_c = goal_c + (level_c - goal_c) * math.exp(-(now_s - before_s) / lag_s)
        before_s = now_s
        found.append(round(level_c, 1))
    return found


@pytest.mark.parametrize("tau_s", IN_AIR_S)
@pytest.mark.parametrize(("name", "after_s"), WHILE_HOT)
def test_lifted_out_it_is_said_as_soon_as_it_can_be_and_no_wrong_reading_stays(
    name: str, tau_s: float, after_s: float
) -> None:
    rows, room_c = _series(name), VESSELS[name]
    at_s = rows[0][0] + after_s
    above_k = float(np.interp(at_s, *zip(*rows, strict=True))) - room_c
    probe = Probe(Place.MELT, Shown())
    probe.hangs_in(room_c, None, 100.0)
    said_s = right_s = None
    true_c = dict(rows)
    for (now_s, _), temp_c in zip(rows, _lifted(rows, at_s, room_c, tau_s), strict=True):
        heard = probe.read(Reading(now_s, 1e9, temp_c), on_heat=False)
        if said_s is None and probe.suspicion is not None:
            said_s = now_s - at_s
            assert probe.suspicion.kind is Fault.OUT
        if said_s is not None and right_s is None and now_s >= at_s + OUT_S and heard is Heard.BELIEVED:
            right_s = now_s - at_s - OUT_S
    # It falls by 5 K within tau ln(above / (above - 5)); a few seconds more to see the rate.
    assert said_s is not None
    assert said_s <= max(WAITS_S, tau_s * math.log(above_k / (above_k - FALLS_K))) + 5.0
    track = probe.track
    wrong_k = [
        abs(c - true_c[s])
        for s, c in zip(track.times_s.tolist(), track.temps_c.tolist(), strict=True)
        if s >= at_s - 5.0
    ]
    assert max(wrong_k) <= 1.0
    # Warmed up from the coolest it got to within half a kelvin, and half a minute to see that it stays there.
    coolest_k = above_k * (1.0 - math.exp(-OUT_S / tau_s))
    assert right_s is not None and right_s <= IN_LIQUID_S * math.log(coolest_k / 0.5) + 30.0


@pytest.mark.parametrize("name", VESSELS)
def test_a_measured_vessel_left_alone_is_believed_throughout(name: str) -> None:
    probe = Probe(Place.MELT, Shown())
    probe.hangs_in(VESSELS[name], None, 100.0)
    for at_s, temp_c in _series(name):
        probe.read(Reading(at_s, 1e9, temp_c), on_heat=False)
        assert probe.suspicion is None
    assert probe.take_left_out() == ()


# A display of tenths held while a vessel falls 4 K/min, and 1.2 K/min below the interval of the wax.
@pytest.mark.parametrize(
    ("name", "after_s", "within_s"), [("water80ml_fan", 120.0, 60.0), ("canister_run1", 120.0, 200.0)]
)
def test_a_display_that_is_held_is_noticed_and_taken_back(name: str, after_s: float, within_s: float) -> None:
    rows = _series(name)
    at_s = rows[0][0] + after_s
    held_c = next(c for s, c in rows if s >= at_s)
    probe = Probe(Place.MELT, Shown())
    probe.hangs_in(VESSELS[name], LIMITS, 100.0)
    said_s = None
    for now_s, temp_c in rows:
        if now_s > at_s + within_s + 20.0:
            break
        probe.read(Reading(now_s, 1e9, held_c if now_s >= at_s else temp_c), on_heat=False)
        if said_s is None and probe.suspicion is not None:
            said_s = now_s - at_s
    assert said_s is not None and said_s <= within_s
    assert float(probe.track.times_s[-1]) <= at_s + 1.5


@pytest.mark.parametrize("name", VESSELS)
def test_a_colder_place_in_a_measured_vessel_is_a_step_and_nothing_of_it_stays(name: str) -> None:
    # 3 K colder with a lag of 8 s (T24), for a minute: more than either vessel loses meanwhile by its bend.
    rows = _series(name)
    at_s, lag_s, by_k = rows[0][0] + 300.0, 8.0, 3.0
    probe = Probe(Place.MELT, Shown())
    probe.hangs_in(VESSELS[name], None, 100.0)
    kinds, off_k, before_s = set(), 0.0, rows[0][0]
    true_c = dict(rows)
    for now_s, temp_c in rows:
        goal_k = -by_k if at_s <= now_s < at_s + 60.0 else 0.0
        off_k = goal_k + (off_k - goal_k) * math.exp(-(now_s - before_s) / lag_s)
        before_s = now_s
        probe.read(Reading(now_s, 1e9, round(temp_c + off_k, 2)), on_heat=False)
        if probe.suspicion is not None:
            kinds.add(probe.suspicion.kind)
    assert kinds == {Fault.STEPPED}
    track = probe.track
    pairs = zip(track.times_s.tolist(), track.temps_c.tolist(), strict=True)
    assert max(abs(c - true_c[s]) for s, c in pairs) <= 1.0
