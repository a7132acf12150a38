"""Faults of a probe put into practice melts, and what the melt makes of them; for `scripts/figures_probes`.

Each melt runs three times with the same steps at the same times: sound, hurt, and silent until the hurt one
is right again. The hurt probe follows the same wax by the same physics, but for the fault. A false cue is one
that the sound melt does not say within a minute. A fault that is kept out of the forecast leaves it where the
silent melt's is; what the sound one has learned meanwhile neither can know.
"""

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from _probe_melts import WALL_S, Row, practice_rows, setup_for

from candlebench.core.events import Action, ActionKind, MeltBegan, Reading
from candlebench.core.melt import Melt
from candlebench.core.setup import MeltSetup
from candlebench.core.units import fahrenheit
from candlebench.practice.probe import Probe
from candlebench.practice.scenario import Scenario
from candlebench.practice.scenario_file import load_scenario

# What the melt has run before, and how long it is watched after the fault.
BEFORE_S, AFTER_S = 600.0, 150.0
# T22, T23: in air a probe is some six times as slow as in a stirred liquid; as `practice.melt`.
SLOWER_IN_AIR, AT_THE_WALL = 6.0, 0.6
PROBE_ERROR_K, RIGHT_FOR_S, LEAST_AHEAD_S = 1.0, 5.0, 60.0
SAME_CUE_S, SOON_S, FORECAST_EVERY_S = 60.0, 240.0, 5.0
CUES = ("oil_", "pour_", "ready", "off_heat_noticed")
AT_C = {"heating": 76.0, "before the oil": 76.2, "before pouring": 71.6}


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong, for how long; `shows` makes a display's number of the right one."""

    name: str
    lasts_s: float
    where: str = ""
    shows: Callable[[float, float, float], float] | None = None


def _held(now_s: float, right_c: float, first_c: float) -> float:
    return first_c


FAULTS = (
    Fault("10 s out of the wax", 10.0, "air"),
    Fault("30 s out of the wax", 30.0, "air"),
    Fault("3 min out of the wax", 180.0, "air"),
    Fault("12 min out of the wax", 720.0, "air"),
    Fault("2 min on the wall", 120.0, "wall"),
    Fault("frozen for 3 min", 180.0, "", _held),
    Fault("°F for °C, 1 min", 60.0, "", lambda s, c, f: fahrenheit(c)),
    Fault("°C taken for °F, 1 min", 60.0, "", lambda s, c, f: (c - 32.0) / 1.8),
    Fault("lead shorted: 24 °C, 1 min", 60.0, "", lambda s, c, f: 24.0),
    Fault("-6 K at once, 20 s", 20.0, "", lambda s, c, f: c - 6.0),
    Fault("+15 K at once, 6 s", 6.0, "", lambda s, c, f: c + 15.0),
    Fault("one reading 4 K low", 1.0, "", lambda s, c, f: c - 4.0),
    Fault("one reading 4 K high", 1.0, "", lambda s, c, f: c + 4.0),
    Fault("one reading of 85.00", 1.0, "", lambda s, c, f: 85.0),
)


def seen(rows: Sequence[Row], scenario: Scenario, seed: int, fault: Fault | None, at_s: float) -> list[float]:
    """What a probe shows that is in the wax but for the fault."""
    kind = scenario.probe
    lags_s = (kind.lag_s,) if kind.sheath_lag_s == 0.0 else (kind.lag_s, kind.sheath_lag_s)
    probe = Probe(lags_s, rows[0].wax_c, kind.noise_c, kind.resolution_c)
    found, before_s, first_c = [], rows[0].at_s, 0.0
    for number, row in enumerate(rows):
        hurts = fault is not None and at_s <= row.at_s < at_s + fault.lasts_s
        if row.at_s > before_s:
            step_s = row.at_s - before_s
            if hurts and fault is not None and fault.where == "air":
                probe.follow(scenario.room.temp_c, step_s, SLOWER_IN_AIR)
            else:
                share = AT_THE_WALL if hurts and fault is not None and fault.where == "wall" else 0.0
                probe.follow(row.wax_c + share * (row.jug_c - row.wax_c), step_s)
        before_s = row.at_s
        shown_c = probe.read_c(random.Random(seed * 1_000_003 + number))
        if hurts and fault is not None and fault.shows is not None:
            first_c = found[-1] if row.at_s - at_s < 1e-9 else first_c
            shown_c = round(fault.shows(row.at_s - at_s, shown_c, first_c), 2)
        found.append(shown_c)
    return found


def moments(rows: Sequence[Row]) -> dict[str, float]:
    """When the wax passes the temperatures at which faults strike."""
    found: dict[str, float] = {}
    done: set[str] = set()
    for row in rows:
        if "off the heat" not in done and row.wax_c >= AT_C["heating"]:
            found.setdefault("heating", row.at_s)
        if done == {"off the heat"} and row.wax_c <= AT_C["before the oil"]:
            found.setdefault("before the oil", row.at_s)
        if "stirred" in done and row.wax_c <= AT_C["before pouring"]:
            found.setdefault("before pouring", row.at_s)
        if row.did:
            done.add(row.did)
    return found


@dataclass(slots=True)
class Told:
    """What one melt said and foresaw."""

    cues: list[tuple[float, str]] = field(default_factory=list)
    alarms: list[tuple[float, str]] = field(default_factory=list)
    kinds: list[tuple[float, str]] = field(default_factory=list)
    shown: list[tuple[float, bool, float]] = field(default_factory=list)
    foreseen: dict[float, tuple[float, float]] = field(default_factory=dict)


def told(
    rows: Sequence[Row],
    temps_c: Sequence[float],
    setup: MeltSetup,
    from_s: float,
    target_c: float,
    silent: tuple[float, float] = (math.inf, math.inf),
) -> Told:
    """Run a melt over the rows; what was done before them is done first, and nothing is read while silent."""
    melt, found = Melt(), Told()
    melt.apply(MeltBegan(0.0, WALL_S, setup))
    asked_s = -math.inf
    for row, temp_c in zip(rows, temps_c, strict=True):
        notices = []
        if silent[0] <= row.at_s < silent[1]:
            notices += melt.tick(row.at_s)
        elif row.at_s >= from_s:
            notices += melt.apply(Reading(row.at_s, WALL_S + row.at_s, temp_c))
        if row.did:
            notices += melt.apply(Action(row.at_s, WALL_S + row.at_s, ActionKind(row.did)))
        for notice in notices:
            (found.cues if notice.kind == "cue" else found.alarms).append((row.at_s, notice.code))
        if row.at_s < from_s + 300.0:
            continue
        state = melt.picture(with_fan=False)
        found.shown.append((row.at_s, state.fresh, state.temp_c or math.nan))
        found.kinds += [(row.at_s, a.code) for a in state.alarms if a.code in NOTICES]
        if row.at_s - asked_s >= FORECAST_EVERY_S:
            asked_s = row.at_s
            (crossing,) = melt.foreseen((target_c,))
            if crossing is not None and math.isfinite(crossing.high_s):
                found.foreseen[row.at_s] = (crossing.in_s, 0.5 * (crossing.high_s - crossing.low_s))
    return found


NOTICES = ("probe_doubtful", "impossible_reading")


@dataclass(frozen=True, slots=True)
class Struck:
    """What one fault did to one melt."""

    noticed_s: float | None
    false_cues: tuple[str, ...]
    from_sound: float
    from_silent: float
    right_s: float | None
    new_dangers: tuple[str, ...]


def _right_s(hurt: Told, end_s: float, sound_c: dict[float, float]) -> float | None:
    """When the hurt melt's number is current and right again, for good."""
    since = None
    for s, fresh, temp_c in hurt.shown:
        if s >= end_s:
            good = fresh and abs(temp_c - sound_c[s]) <= 0.5
            since = (s if since is None else since) if good else None
            if since is not None and s - since >= RIGHT_FOR_S:
                return since
    return None


def _most_off(one: Told, other: Told, from_s: float) -> float:
    """The furthest that two melts foresee apart, in half-widths: the wider one's, as neither knows better."""
    most = 0.0
    for s, (in_s, half_s) in one.foreseen.items():
        if s >= from_s and s in other.foreseen and in_s >= LEAST_AHEAD_S:
            in_other_s, half_other_s = other.foreseen[s]
            most = max(most, abs(in_other_s - in_s) / max(half_s, half_other_s))
    return most


def struck(
    sound: Told, silent: Told, hurt: Told, at_s: float, fault: Fault, sound_c: dict[float, float]
) -> Struck:
    """Compare the three."""
    end_s = at_s + fault.lasts_s
    noticed = [s for s, _ in hurt.kinds if s >= at_s]
    # Said late, once it is right again, is no false cue; said before the sound melt says it is. A probe on
    # the wall of a jug off the heat shows up to 1 K less than the wax; a kitchen probe is off as much (T8).
    shown_c = {s: temp_c for s, _, temp_c in hurt.shown}
    false = [
        f"{code}@{s - at_s:.0f}"
        for s, code in hurt.cues
        if s >= at_s
        and code.startswith(CUES)
        and abs(shown_c.get(s, math.inf) - sound_c[s]) > PROBE_ERROR_K
        and not any(
            c == code and t <= s + (SOON_S if code.endswith("soon") else SAME_CUE_S) for t, c in sound.cues
        )
    ]
    right = _right_s(hurt, end_s, sound_c)
    from_sound = _most_off(sound, hurt, at_s)
    from_silent = _most_off(silent, hurt, at_s)
    dangers = tuple(
        sorted({c for s, c in hurt.alarms if s >= at_s and c not in NOTICES} - {c for _, c in sound.alarms})
    )
    return Struck(
        noticed[0] - at_s if noticed else None,
        tuple(false),
        from_sound,
        from_silent,
        right - end_s if right is not None else None,
        dangers,
    )


def strike(name: str, seed: int, faults: Sequence[Fault]) -> list[tuple[str, str, Struck]]:
    """Strike one melt with each fault at each moment."""
    scenario = load_scenario(name)
    rows = practice_rows(scenario, seed, 1.0)
    found = []
    for where, at_s in moments(rows).items():
        target_c = {"heating": 84.0, "before the oil": 70.0, "before pouring": 68.0}[where]
        longest_s = max(fault.lasts_s for fault in faults)
        until_s = at_s + longest_s + AFTER_S
        here = [row for row in rows if row.at_s <= until_s]
        sound_c = seen(here, scenario, seed, None, at_s)
        by_time = dict(zip([row.at_s for row in here], sound_c, strict=True))
        sound = told(here, sound_c, setup_for(name), at_s - BEFORE_S, target_c)
        for fault in faults:
            if at_s + fault.lasts_s > here[-1].at_s:
                continue
            part = [row for row in here if row.at_s <= at_s + fault.lasts_s + AFTER_S]
            shown_c, setup = seen(part, scenario, seed, fault, at_s), setup_for(name)
            hurt = told(part, shown_c, setup, at_s - BEFORE_S, target_c)
            right_s = _right_s(hurt, at_s + fault.lasts_s, by_time)
            blind = (at_s, right_s if right_s is not None else math.inf)
            silent = told(part, sound_c[: len(part)], setup, at_s - BEFORE_S, target_c, blind)
            found.append((fault.name, where, struck(sound, silent, hurt, at_s, fault, by_time)))
    return found


def print_faults(names: Sequence[str], seeds: Sequence[int]) -> bool:
    """Print a line for each fault and moment; whether no cue was false."""
    all_found = [one for name in names for seed in seeds for one in strike(name, seed, FAULTS)]
    fine = True
    print("fault | when | cases | noticed | after s | false cues | off sound | off silent | right | alarms")
    for fault in FAULTS:
        for where in AT_C:
            these = [s for n, w, s in all_found if (n, w) == (fault.name, where)]
            if not these:
                continue
            noticed = [s.noticed_s for s in these if s.noticed_s is not None]
            right = [s.right_s for s in these if s.right_s is not None]
            false = [cue for s in these for cue in s.false_cues]
            fine = fine and not false
            dangers = sorted({d for s in these for d in s.new_dangers})
            print(
                f"{fault.name} | {where} | {len(these)} | {len(noticed)} | {_most(noticed)} | {false or 0} | "
                f"{max(s.from_sound for s in these):.2f} | {max(s.from_silent for s in these):.2f} | "
                f"{_most(right)} of {len(right)} | {', '.join(dangers)}"
            )
    return fine


def _most(values: Sequence[float]) -> str:
    if not values:
        return "-"
    return f"{float(np.median(values)):.0f} (most {max(values):.0f})"
