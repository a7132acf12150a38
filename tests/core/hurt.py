"""Practice melts whose probe is hurt for a while: lifted out, on the wall, or with another display."""

import random
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache

from candlebench.practice.probe import Probe
from candlebench.practice.scenario import Scenario
from candlebench.practice.scenario_file import load_scenario
from candlebench.practice.whole_melt import PracticeRow, whole_melt

# T22 to T24 of thermometry.md: a probe's time constant is 33 to 87 s in air, 5 to 15 s in stirred wax.
SLOWER_IN_AIR = 6.0


@cache
def rows_of(name: str, seed: int = 1, every_s: float = 1.0, step_k: float = 0.1) -> tuple[PracticeRow, ...]:
    """A melt that its maker does by herself."""
    return tuple(whole_melt(with_step(load_scenario(name), step_k), seed, every_s))


def with_step(scenario: Scenario, step_k: float) -> Scenario:
    return replace(scenario, probe=replace(scenario.probe, resolution_c=step_k))


def when(rows: Sequence[PracticeRow], did: str) -> float:
    """When the maker did something."""
    return next(row.elapsed_s for row in rows if row.did == did)


def when_cooled_to(rows: Sequence[PracticeRow], temp_c: float) -> float:
    """When the wax first is so cool off the heat."""
    off_s = when(rows, "off the heat")
    return next(row.elapsed_s for row in rows if row.elapsed_s > off_s and row.wax_c <= temp_c)


def lifted_out(rows: Sequence[PracticeRow], from_s: float, for_s: float, room_c: float = 20.0) -> list[float]:
    """What its probe shows that hangs in the air for a while, by the physics of the practice probe."""
    probe = Probe((8.0,), rows[0].wax_c, 0.04, 0.1)
    found, before_s = [], rows[0].elapsed_s
    for number, row in enumerate(rows):
        out = from_s <= row.elapsed_s < from_s + for_s
        if row.elapsed_s > before_s:
            around_c, slower = (room_c, SLOWER_IN_AIR) if out else (row.wax_c, 1.0)
            probe.follow(around_c, row.elapsed_s - before_s, slower)
        before_s = row.elapsed_s
        found.append(probe.read_c(random.Random(number)))
    return found


def on_the_wall(rows: Sequence[PracticeRow], from_s: float, for_s: float, share: float = 0.6) -> list[float]:
    """What its probe shows that slips onto the jug's wall for a while."""
    probe = Probe((8.0,), rows[0].wax_c, 0.04, 0.1)
    found, before_s = [], rows[0].elapsed_s
    for number, row in enumerate(rows):
        touches = share if from_s <= row.elapsed_s < from_s + for_s else 0.0
        if row.elapsed_s > before_s:
            probe.follow(row.wax_c + touches * (row.jug_c - row.wax_c), row.elapsed_s - before_s)
        before_s = row.elapsed_s
        found.append(probe.read_c(random.Random(number)))
    return found


def shown_as(
    rows: Sequence[PracticeRow], from_s: float, for_s: float, shows: Callable[[float], float]
) -> list[float]:
    """What a display makes of the right number for a while."""
    return [shows(row.temp_c) if from_s <= row.elapsed_s < from_s + for_s else row.temp_c for row in rows]
