"""What one reading costs, from the bytes of the wire to the picture that a window shows."""

import tempfile
import time
from pathlib import Path

import numpy as np
from _figure_line import Figure

from candlebench.core.events import Action, ActionKind, Reading
from candlebench.core.units import Shown
from candlebench.practice.recipe import setup_of
from candlebench.practice.scenario_file import load_scenario
from candlebench.practice.whole_melt import whole_melt
from candlebench.records.journal import open_journal
from candlebench.runner import Session
from candlebench.thermometers.parsed_line import Value
from candlebench.thermometers.text_lines import LineParser

MEDIAN_MS, MOST_MS = 1.0, 4.0


def reading_figures() -> list[Figure]:
    """One practice melt, a reading a second of melt time, so that each one is judged and forecast anew."""
    plain, with_fan = _costs_ms(False), _costs_ms(True)
    return [
        _figure("one reading (parser, journal queue, forecast, state)", plain, "state without fan"),
        _figure("the same with the fan", with_fan, "the window asks at most 10 times a second"),
    ]


def _figure(name: str, costs_ms: np.ndarray, note: str) -> Figure:
    median, most = float(np.median(costs_ms)), float(np.quantile(costs_ms, 0.99))
    return Figure(
        name,
        f"median {median:.2f} ms, 99 % {most:.2f} ms, worst {costs_ms.max():.1f} ms",
        f"median <= {MEDIAN_MS:g} ms, 99 % <= {MOST_MS:g} ms",
        median <= MEDIAN_MS and most <= MOST_MS,
        f"{len(costs_ms)} readings of a practice melt fed without a pause, journal on disk; {note}",
    )


def _costs_ms(with_fan: bool) -> np.ndarray:
    scenario = load_scenario("first-jug")
    rows = list(whole_melt(scenario))
    costs_s = []
    with tempfile.TemporaryDirectory(prefix="candlebench-figures-") as name:
        journal = open_journal(Path(name), (), print, print)
        try:
            session = Session.begin(journal, setup_of(scenario), 1.7e9, Shown())
            parser = LineParser()
            for row in rows:
                wall_s = 1.7e9 + row.elapsed_s
                data = f"T={row.temp_c:.2f} C\r\n".encode()
                began_s = time.perf_counter()
                (value,) = parser.feed(data)
                assert isinstance(value, Value)
                session.record(Reading(row.elapsed_s, wall_s, value.temp_c))
                session.melt.picture(with_fan=with_fan)
                costs_s.append(time.perf_counter() - began_s)
                if row.did:
                    session.record(Action(row.elapsed_s, wall_s, ActionKind(row.did)))
        finally:
            journal.close()
    return 1000.0 * np.array(costs_s)
