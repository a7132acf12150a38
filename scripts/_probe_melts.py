"""Practice melts as their probe saw them, and a probe that hears a series; for `scripts/figures_probes`."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from candlebench.core.events import Action, ActionKind, Reading
from candlebench.core.materials.water import local_boiling_c
from candlebench.core.melt_probes import announced
from candlebench.core.place import Place
from candlebench.core.probe import Heard, Probe
from candlebench.core.progress import Progress
from candlebench.core.setup import MeltSetup
from candlebench.core.suspicion import Suspicion
from candlebench.core.units import Shown
from candlebench.practice.recipe import setup_of
from candlebench.practice.scenario import Scenario
from candlebench.practice.scenario_file import load_scenario
from candlebench.practice.whole_melt import whole_melt

WALL_S = 1_795_600_000.0


@dataclass(frozen=True, slots=True)
class Row:
    """One reading, what was done at it, and where the wax and its bath really were."""

    at_s: float
    temp_c: float
    did: str
    wax_c: float
    jug_c: float
    bath_c: float


def practice_rows(
    scenario: Scenario, seed: int, every_s: float, step_k: float | None = None, noise_k: float | None = None
) -> list[Row]:
    """A melt that its maker does by herself, up to the pouring."""
    probe = scenario.probe
    if step_k is not None:
        probe = replace(probe, resolution_c=step_k)
    if noise_k is not None:
        probe = replace(probe, noise_c=noise_k)
    rows: list[Row] = []
    for row in whole_melt(replace(scenario, probe=probe), seed, every_s):
        rows.append(Row(row.elapsed_s, row.temp_c, row.did, row.wax_c, row.jug_c, row.bath_c))
        if row.did == ActionKind.POURED.value:
            break
    return rows


def setup_for(name: str) -> MeltSetup:
    """The setup of one of the program's scenarios, read from a wire."""
    return setup_of(load_scenario(name), "serial:/dev/ttyUSB0")


@dataclass(frozen=True, slots=True)
class Heed:
    """What a probe made of one reading."""

    at_s: float
    heard: Heard
    suspicion: Suspicion | None


def listened(
    rows: Sequence[tuple[float, float, str]],
    setup: MeltSetup | None,
    by_hand: bool = False,
    on_heat: bool = True,
) -> Iterator[Heed]:
    """Let one probe listen to (time, temperature, what was done); without a setup nothing is known."""
    probe = Probe(Place.MELT, Shown())
    progress = Progress.begun(0.0)
    if not on_heat:
        progress = replace(progress, on_heat=False)
    if setup is not None:
        room_c = setup.room_c if setup.room_c is not None else 21.0
        probe.hangs_in(room_c, setup.limits, local_boiling_c(setup.altitude_m))
    for at_s, temp_c, did in rows:
        heard = probe.read(Reading(at_s, WALL_S + at_s, temp_c, by_hand), progress.on_heat)
        yield Heed(at_s, heard, probe.suspicion)
        if did:
            action = Action(at_s, WALL_S + at_s, ActionKind(did))
            progress = progress.after(action, temp_c)
            probe.announce(at_s, *announced(action.kind, 3.0))


def thinned(rows: Sequence[Row], every_s: float) -> list[tuple[float, float, str]]:
    """Some of the readings; what was done in between stands at the next one."""
    kept, did, due_s = [], "", -np.inf
    for row in rows:
        did = row.did or did
        if row.at_s >= due_s:
            kept.append((row.at_s, row.temp_c, did))
            did, due_s = "", row.at_s + every_s - 1e-6
    return kept
