"""A probe that follows the wax of a practice melt by its own physics, and may be taken out or slip."""

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import pairwise

from candlebench.core.events import Action, ActionKind, MeltBegan, Reading
from candlebench.core.melt import Melt
from candlebench.core.place import Place
from candlebench.core.setup import Beside, MeltSetup
from candlebench.practice.probe import Probe
from candlebench.practice.recipe import setup_of
from candlebench.practice.scenario import Scenario
from candlebench.practice.scenario_file import load_scenario
from candlebench.practice.whole_melt import PracticeRow, whole_melt

WALL_S = 1_795_600_000.0
# T22, T23 against T13 to T16 of the reference: a probe of 8 s in stirred wax has 30 to 90 s in air.
SLOWER_IN_AIR = 6.0


@dataclass(frozen=True)
class Hurt:
    """From when to when, and where the probe is: 'air', 'wall', 'bath'; or the number it shows.

    `share` is how much of the way from the wax to there it goes.
    """

    from_s: float
    to_s: float
    where: str = ""
    share: float = 1.0
    shows_c: float | None = None
    by_k: float = 0.0


@cache
def rows_of(name: str, seed: int = 1, every_s: float = 1.0, **probe: float) -> list[PracticeRow]:
    """A practice melt with its maker's steps, up to the pouring."""
    scenario = scenario_of(name, **probe)
    rows: list[PracticeRow] = []
    for row in whole_melt(scenario, seed, every_s):
        rows.append(row)
        if row.did == ActionKind.POURED.value:
            break
    return rows


def scenario_of(name: str, **probe: float) -> Scenario:
    """A scenario, with another probe when asked."""
    scenario = load_scenario(name)
    return replace(scenario, probe=replace(scenario.probe, **probe))


def when(rows: Sequence[PracticeRow], did: ActionKind) -> float:
    """When the maker did something."""
    return next(row.elapsed_s for row in rows if row.did == did.value)


def when_cooled_to(rows: Sequence[PracticeRow], temp_c: float) -> float:
    """When the wax first is so cool off the heat."""
    off_s = when(rows, ActionKind.OFF_HEAT)
    return next(row.elapsed_s for row in rows if row.elapsed_s > off_s and row.wax_c <= temp_c)


def live_setup(name: str) -> MeltSetup:
    """The setup of a scenario with its probe on a wire."""
    return setup_of(load_scenario(name), "serial:/dev/ttyUSB0")


def seen(rows: Sequence[PracticeRow], scenario: Scenario, hurts: Sequence[Hurt] = ()) -> list[float]:
    """What a probe shows that hangs in the wax but for what hurts it."""
    kind = scenario.probe
    probe = Probe([kind.lag_s], rows[0].wax_c, kind.noise_c, kind.resolution_c)
    dice, found, before_s = random.Random(7), list[float](), rows[0].elapsed_s
    for row in rows:
        hurt = next((h for h in hurts if h.from_s <= row.elapsed_s < h.to_s), None)
        if row.elapsed_s > before_s:
            places = {"wall": row.jug_c, "bath": row.bath_c, "air": scenario.room.temp_c}
            around_c = row.wax_c
            if hurt is not None and hurt.where:
                around_c += hurt.share * (places[hurt.where] - row.wax_c)
            slower = SLOWER_IN_AIR if hurt is not None and hurt.where == "air" else 1.0
            probe.follow(around_c, row.elapsed_s - before_s, slower)
        before_s = row.elapsed_s
        shown_c = probe.read_c(dice)
        if hurt is not None:
            shown_c = round((shown_c if hurt.shows_c is None else hurt.shows_c) + hurt.by_k, 6)
        found.append(shown_c)
    return found


def bath_seen(rows: Sequence[PracticeRow]) -> list[float]:
    """What a kitchen probe in the bath shows: 5 s late (T13 to T16), a tenth of scatter, tenths."""
    probe, dice = Probe([5.0], rows[0].bath_c, 0.1, 0.1), random.Random(11)
    found = [probe.read_c(dice)]
    for before, row in pairwise(rows):
        probe.follow(row.bath_c, row.elapsed_s - before.elapsed_s)
        found.append(probe.read_c(dice))
    return found


@dataclass
class Moment:
    """A melt after one reading, and what was said at it."""

    at_s: float
    melt: Melt
    said: list[str]
    row: PracticeRow
    shown_c: float


def played(
    rows: Sequence[PracticeRow],
    temps_c: Sequence[float],
    setup: MeltSetup,
    baths_c: Sequence[float] | None = None,
    from_s: float = 0.0,
    steps: bool = True,
) -> Iterator[Moment]:
    """Run a melt over what a probe shows; with `baths_c` a second one hangs in the bath."""
    if baths_c is not None:
        setup = replace(setup, beside=Beside(Place.BATH))
    melt = Melt()
    melt.apply(MeltBegan(0.0, WALL_S, setup))
    for number, (row, temp_c) in enumerate(zip(rows, temps_c, strict=True)):
        at_s, said = row.elapsed_s, []
        if at_s >= from_s:
            said += [n.code for n in melt.apply(Reading(at_s, WALL_S + at_s, temp_c))]
            if baths_c is not None:
                beside = Reading(at_s, WALL_S + at_s, baths_c[number], place=Place.BATH)
                said += [n.code for n in melt.apply(beside)]
        if row.did and steps:
            said += [n.code for n in melt.apply(Action(at_s, WALL_S + at_s, ActionKind(row.did)))]
        yield Moment(at_s, melt, said, row, temp_c)
