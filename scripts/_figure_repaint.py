"""What it costs to bring the melt page up to date after half a day of readings."""

import time
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from _figure_line import Figure
from _practice_states import practice_states
from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QApplication

from candlebench.core.place import Place
from candlebench.core.state import BesideState, MeltState, ProbeStatus
from candlebench.core.units import Shown
from candlebench.ui.melt_page import MeltPage
from candlebench.ui.theme import LIGHT, Theme, style_sheet

MEDIAN_MS = 12.0
HOURS, PER_S = 12, 10
TIMES = 120


class PaintCounter(QObject):
    """Counts the paint events of what it watches."""

    count = 0

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() is QEvent.Type.Paint:
            self.count += 1
        return False


def repaint_figures() -> list[Figure]:
    """The page at 1280x800; each picture has one reading more than the one before."""
    app = QApplication.instance() or QApplication(["figures"])
    page = MeltPage()
    theme = Theme(LIGHT)
    page.setFont(theme.font(16))
    page.setStyleSheet(style_sheet(theme))
    page.use(theme, Shown())
    page.resize(1280, 800)
    page.show()
    found = []
    for probes, make in (("one probe", _states), ("two probes", _states_with_bath)):
        for name in ("last hour", "whole melt"):
            found.append(_figure(f"{probes}, {name}", _costs_ms(app, page, make())))
            page.curve.toggle_whole()
    page.close()
    return found


def _figure(name: str, costs_ms: np.ndarray) -> Figure:
    median = float(np.median(costs_ms))
    return Figure(
        f"repaint, 12 h at 10 readings a second, {name} shown",
        f"median {median:.1f} ms, 99 % {np.quantile(costs_ms, 0.99):.1f} ms",
        f"median <= {MEDIAN_MS:g} ms",
        median <= MEDIAN_MS,
        "practice state with 432 000 points put in; show_state and paint of the page at 1280x800, offscreen",
    )


def _costs_ms(app: QApplication, page: MeltPage, states: Iterator[MeltState]) -> np.ndarray:
    counter = PaintCounter()
    page.curve.viewport().installEventFilter(counter)
    costs_s = []
    for state in states:
        app.processEvents()
        before = counter.count
        began_s = time.perf_counter()
        page.show_state(state)
        app.processEvents()
        costs_s.append(time.perf_counter() - began_s)
        if counter.count == before:
            raise RuntimeError("the curve was not painted")
    page.curve.viewport().removeEventFilter(counter)
    # The first few fill caches of fonts and glyphs.
    return 1000.0 * np.array(costs_s[10:])


def _states() -> Iterator[MeltState]:
    short = practice_states(Shown())["waiting"]
    fan = short.fan
    assert fan is not None and short.temp_c is not None
    count = HOURS * 3600 * PER_S
    times_s = np.arange(count + TIMES) / PER_S
    noise = np.random.default_rng(1).normal(0.0, 0.05, len(times_s))
    # Warm and cool again every three hours, ending where the practice state is.
    temps_c = short.temp_c + 8.0 * np.sin(2.0 * np.pi * (times_s - count / PER_S) / 10800.0) + noise
    for i in range(TIMES):
        now_s = float(times_s[count + i - 1])
        crossing = short.step.crossing
        step = (
            short.step
            if crossing is None
            else replace(short.step, crossing=replace(crossing, made_at_s=now_s))
        )
        yield replace(
            short,
            now_s=now_s,
            now_wall_s=short.began_wall_s + now_s,
            reading_s=now_s,
            temp_c=float(temps_c[count + i - 1]),
            times_s=times_s[: count + i],
            temps_c=temps_c[: count + i],
            fan=replace(fan, made_at_s=now_s),
            step=step,
        )


def _states_with_bath() -> Iterator[MeltState]:
    """The same with a bath ten degrees warmer, as often read."""
    bath_c: np.ndarray | None = None
    for state in _states():
        if bath_c is None:
            noise = np.random.default_rng(2).normal(0.0, 0.05, len(state.temps_c) + TIMES)
            bath_c = np.append(state.temps_c, np.full(TIMES, state.temps_c[-1])) + 10.0 + noise
        count = len(state.times_s)
        yield replace(
            state,
            beside=BesideState(
                place=Place.BATH,
                temp_c=float(bath_c[count - 1]),
                reading_s=state.now_s,
                fresh=True,
                rate_c_per_min=-0.5,
                probe=ProbeStatus(True, ""),
                times_s=state.times_s,
                temps_c=bath_c[:count],
                track_version=0,
            ),
        )
