"""A probe lifted out of measured vessels, frozen or flipped; `scripts/figures_probes` prints it."""

import csv
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from _probe_melts import WALL_S, setup_for

from candlebench.core.events import Reading
from candlebench.core.place import Place
from candlebench.core.probe import Heard, Probe
from candlebench.core.units import Shown, fahrenheit

# Series with a reading a few seconds apart that are hot for long enough; rooms by the series' index.
SERIES = {
    "water80ml_fan": 27.0,
    "water_vessel1": 23.0,
    "water_vessel2": 23.0,
    "water_vessel3": 23.0,
    "canister_run1": 23.2,
}
AFTER_S, LEAST_ABOVE_ROOM_K = 120.0, 18.0
# T22 and T23: time constants in air; back in the liquid 6 s (T13 to T16).
IN_AIR_S, IN_LIQUID_S = (33.0, 87.0), 6.0
Rows = list[tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Struck:
    """What became of one fault in one series."""

    noticed_s: float | None
    wrong: int
    right_s: float | None


def _lifted(rows: Rows, at_s: float, for_s: float, room_c: float, tau_s: float) -> Rows:
    found: Rows = []
    level_c = before_s = math.nan
    for now_s, temp_c in rows:
        if now_s < at_s or math.isnan(level_c):
            level_c = temp_c
        else:
            out = now_s < at_s + for_s
            goal_c, lag_s = (room_c, tau_s) if out else (temp_c, IN_LIQUID_S)
            level_c = goal_c + (level_c - goal_c) * math.exp(-(now_s - before_s) / lag_s)
        before_s = now_s
        step_k = 0.1 if abs(temp_c * 10 - round(temp_c * 10)) < 1e-6 else 0.01
        found.append((now_s, round(round(level_c / step_k) * step_k, 6)))
    return found


def _shown(rows: Rows, at_s: float, for_s: float, by: Callable[[float, float], float]) -> Rows:
    first_c = next(c for s, c in rows if s >= at_s)
    return [(s, by(c, first_c) if at_s <= s < at_s + for_s else c) for s, c in rows]


def _struck(rows: Rows, hurt: Rows, at_s: float, for_s: float, room_c: float) -> Struck:
    probe, limits = Probe(Place.MELT, Shown()), setup_for("first-jug").limits
    probe.hangs_in(room_c, limits, 100.0)
    true_c = dict(rows)
    noticed = right = None
    for now_s, temp_c in hurt:
        heard = probe.read(Reading(now_s, WALL_S + now_s, temp_c), on_heat=False)
        if noticed is None and now_s >= at_s and (probe.suspicion or probe.doubt):
            noticed = now_s - at_s
        if right is None and now_s >= at_s + for_s and heard is Heard.BELIEVED:
            right = now_s - at_s - for_s
    track = probe.track
    wrong = sum(
        abs(c - true_c[s]) > 1.0
        for s, c in zip(track.times_s.tolist(), track.temps_c.tolist(), strict=True)
        if s >= at_s and s in true_c
    )
    return Struck(noticed, wrong, right)


def _hot_moments(rows: Rows, room_c: float) -> Sequence[float]:
    """When a fault strikes: while it is hot, and only if the probe is read during the fault."""
    hot = [s for s, c in rows if c - room_c > LEAST_ABOVE_ROOM_K]
    if not hot or hot[-1] - hot[0] < AFTER_S + 60.0:
        return ()
    moments = np.linspace(hot[0] + AFTER_S, max(hot[0] + AFTER_S, hot[-1] - 400.0), 5)
    return [at_s for at_s in sorted(set(moments.tolist())) if any(at_s <= s < at_s + 60.0 for s, _ in rows)]


def print_open_faults(folder: Path) -> None:
    """How soon each is noticed, how many readings more than 1 K wrong were believed, how soon it is right."""
    kinds: dict[str, list[Struck]] = {}
    for name, room_c in SERIES.items():
        path = folder / f"{name}.csv"
        if not path.exists():
            continue
        with path.open() as lines:
            rows = [(float(r[0]), float(r[1])) for r in csv.reader(lines) if r and r[0][:1] in "-0123456789"]
        for at_s in _hot_moments(rows, room_c):
            for tau_s in IN_AIR_S:
                hurt = _lifted(rows, at_s, 60.0, room_c, tau_s)
                kinds.setdefault(f"1 min in air, {tau_s:g} s", []).append(
                    _struck(rows, hurt, at_s, 60.0, room_c)
                )
            flipped = _shown(rows, at_s, 60.0, lambda c, first: round(fahrenheit(c), 1))
            kinds.setdefault("°F for °C, 1 min", []).append(_struck(rows, flipped, at_s, 60.0, room_c))
            frozen = _shown(rows, at_s, 400.0, lambda c, first: first)
            kinds.setdefault("frozen for 400 s", []).append(_struck(rows, frozen, at_s, 400.0, room_c))
    print("\nOpen series hurt | cases | noticed | after s | believed though 1 K wrong | right again after s")
    for kind, found in kinds.items():
        noticed = [one.noticed_s for one in found if one.noticed_s is not None]
        right = [one.right_s for one in found if one.right_s is not None]
        after = f"{np.median(noticed):.0f} (most {max(noticed):.0f})" if noticed else "-"
        again = f"{np.median(right):.0f} (most {max(right):.0f})" if right else "-"
        print(f"{kind} | {len(found)} | {len(noticed)} | {after} | {sum(s.wrong for s in found)} | {again}")
