"""What is wrongly doubted or left out of sound series; `scripts/figures_probes` prints it.

The simulated melts are those of `practice` (every scenario) and of tests/core/forecast/simulated.py, whose
physics neither the program nor its practice share. The open series lie beside the checkout.
"""

import csv
import time
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from _probe_melts import WALL_S, practice_rows, setup_for, thinned
from simulated import cooling_melts, heating_melts

from candlebench.core.events import Action, ActionKind, Reading
from candlebench.core.materials.water import local_boiling_c
from candlebench.core.melt_probes import announced
from candlebench.core.place import Place
from candlebench.core.probe import Probe
from candlebench.core.progress import Progress
from candlebench.core.setup import MeltSetup
from candlebench.core.units import Shown
from candlebench.practice.scenario_file import list_scenarios

# A reading every so many seconds, and the last digit of the display in kelvin.
PACES = ((0.1, 0.1), (0.5, 0.01), (1.0, 0.1), (1.0, 1.0), (2.0, 0.5), (5.0, 0.1), (15.0, 1.0), (60.0, 0.1))
# So fast that a whole melt takes too long: the last part of it is enough.
LAST_S_WHEN_FAST = 900.0
ON_HEAT = ("bath_", "heaterboard", "stove_", "oil_hotplate")
Rows = Sequence[tuple[float, float, str]]


@dataclass(slots=True)
class Tally:
    """What one probe made of sound series."""

    series: int = 0
    readings: int = 0
    left_out: int = 0
    waited: int = 0
    doubted: list[str] = field(default_factory=list)
    seconds: float = 0.0

    def line(self, name: str) -> str:
        """One line of the table."""
        cost_ms = 1e3 * self.seconds / max(self.readings, 1)
        return (
            f"{name:44}{self.series:7d}{self.readings:10d}{len(self.doubted):9d}{self.left_out:9d}"
            f"{self.waited:8d}{cost_ms:9.3f}"
        )


def listen(
    tally: Tally, name: str, rows: Rows, setup: MeltSetup | None, on_heat: bool, by_hand: bool
) -> None:
    """Let a probe hear one sound series."""
    probe, progress = Probe(Place.MELT, Shown()), Progress.begun(0.0)
    if setup is not None:
        room_c = setup.room_c if setup.room_c is not None else 21.0
        probe.hangs_in(room_c, setup.limits, local_boiling_c(setup.altitude_m))
    off = not on_heat
    tally.series += 1
    kinds: Counter[str] = Counter()
    for at_s, temp_c, did in rows:
        reading = Reading(at_s, WALL_S + at_s, temp_c, by_hand)
        began_s = time.perf_counter()
        probe.read(reading, progress.on_heat and not off)
        tally.seconds += time.perf_counter() - began_s
        tally.readings += 1
        tally.waited += probe.waits
        tally.left_out += len(probe.take_left_out())
        found = probe.suspicion or probe.doubt
        if found is not None and found.kind.value not in kinds:
            kinds[found.kind.value] += 1
            tally.doubted.append(f"{name} at {at_s:.0f} s, {temp_c:.2f} °C: {found.text}")
        if did:
            action = Action(at_s, WALL_S + at_s, ActionKind(did))
            progress = progress.after(action, temp_c)
            probe.announce(at_s, *announced(action.kind, 3.0))


def practice(seeds: Iterable[int], by_hand: bool = False) -> Iterator[tuple[str, Tally]]:
    """Every scenario at every pace; typed readings come about every two minutes."""
    paces = ((120.0, 0.1), (45.0, 1.0)) if by_hand else PACES
    seeds = list(seeds)
    for every_s, step_k in paces:
        tally = Tally()
        for scenario in list_scenarios():
            for seed in seeds:
                whole = practice_rows(scenario, seed, min(every_s, 1.0), step_k)
                rows: Rows = thinned(whole, every_s)
                if every_s < 0.5:
                    rows = [row for row in rows if row[0] > whole[-1].at_s - LAST_S_WHEN_FAST]
                    off = any(r.did == "off the heat" and r.at_s < rows[0][0] for r in whole)
                    listen(tally, scenario.name, rows, setup_for(scenario.name), not off, by_hand)
                    continue
                listen(tally, scenario.name, rows, setup_for(scenario.name), True, by_hand)
        words = "typed" if by_hand else "practice"
        yield f"{words}, every {every_s:g} s, display {step_k:g} K", tally


def simulated(count: int) -> Iterator[tuple[str, Tally]]:
    """Melts of other physics: cooling jugs, heat-ups."""
    setup = setup_for("first-jug")
    for name, melts, on_heat in (
        ("simulated melts cooling", cooling_melts(211, count), False),
        ("simulated heat-ups", heating_melts(212, count), True),
    ):
        tally = Tally()
        for number, melt in enumerate(melts):
            rows = [(s, c, "") for s, c in zip(melt.times_s.tolist(), melt.readings_c.tolist(), strict=True)]
            listen(tally, f"{name} {number}", rows, setup, on_heat, False)
        yield name, tally


def open_series(folder: Path) -> Iterator[tuple[str, Tally]]:
    """Every measured series that lies there, as if on the heat and as if off it, by what it is."""
    heating, cooling = Tally(), Tally()
    for path in sorted(folder.glob("*.csv")):
        if path.stem == "index":
            continue
        with path.open() as lines:
            rows = [
                (float(r[0]), float(r[1]), "") for r in csv.reader(lines) if r and r[0][:1] in "-0123456789"
            ]
        on_heat = path.stem.startswith(ON_HEAT)
        for setup in (None, setup_for("first-jug")):
            listen(heating if on_heat else cooling, path.stem, rows, setup, on_heat, False)
    yield "open series, heated or held", heating
    yield "open series, cooling", cooling


def print_clean(seeds: Sequence[int], melts: int, folder: Path) -> bool:
    """Print the table; whether nothing was doubted."""
    print(
        f"{'sound series':44}{'series':>7}{'readings':>10}{'doubted':>9}{'left out':>9}"
        f"{'waited':>8}{'ms each':>9}"
    )
    tables = [*practice(seeds), *practice(seeds, by_hand=True), *simulated(melts)]
    if folder.is_dir():
        tables += open_series(folder)
    else:
        print(f"(no open series: {folder} is not here)")
    doubted = []
    for name, tally in tables:
        print(tally.line(name), flush=True)
        doubted += tally.doubted
    for words in doubted:
        print("  doubted:", words)
    return not doubted
