"""A long time through the real window: whether memory, threads, timers or file handles are left behind."""

import gc
import os
import tempfile
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from uuid import UUID

from _figure_line import Figure
from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtWidgets import QApplication

from candlebench.core.events import Recorded
from candlebench.records.settings import Settings
from candlebench.runner import Moment, Runner, Session
from candlebench.thermometers.practice import PracticeSource
from candlebench.ui.main_window import MainWindow
from candlebench.workshop import Workshop

MOST_GROWTH = 0.10
# How far the thermometer may run ahead of the melt: less than an alarm for missing readings needs.
AHEAD_S = 2.0
PAGES = ("safety", "settings", "thermometer", "details", "about", "melt")


class FollowingClock:
    """A melt's time that runs as fast as the melt can follow: it waits for the readings to be applied."""

    def __init__(self) -> None:
        self._now_s = 0.0
        self.applied_s = 0.0

    def elapsed_s(self) -> float:
        return self._now_s

    def wall_s(self, elapsed_s: float) -> float:
        return 1.7e9 + elapsed_s

    def slept_s(self) -> float:
        return 0.0

    def real_seconds_until(self, elapsed_s: float) -> float:
        if elapsed_s > self.applied_s + AHEAD_S:
            return 0.001
        self._now_s = max(self._now_s, elapsed_s)
        return 0.0


@dataclass(frozen=True, slots=True)
class Held:
    """What the process holds at one moment."""

    memory_mb: float
    threads: int
    timers: int
    widgets: int
    files: int


def soak_figures(hours: float) -> list[Figure]:
    """Practice melts one after another, a reading a second; every page is opened during each."""
    app = QApplication.instance() or QApplication(["figures"])
    began_s, simulated_s, warm_s = time.monotonic(), 0.0, hours * 3600.0 / 6.0
    warm: Held | None = None
    with tempfile.TemporaryDirectory(prefix="candlebench-figures-") as name:
        os.environ |= {"CANDLEBENCH_SETTINGS": name, "CANDLEBENCH_DATA": name}
        window = MainWindow(lambda t, n: Workshop(Path(name), t, n), Path(name) / "candlebench.log")
        window.workshop.change_settings(replace(Settings(), sound=False))
        window.show()
        melts = 0
        while simulated_s < hours * 3600.0:
            simulated_s += _one_melt(app, window, melts)
            melts += 1
            if warm is None and simulated_s >= warm_s:
                warm, warm_s = _held(app), simulated_s
        end = _held(app)
        window.close()
    assert warm is not None
    growth = end.memory_mb / warm.memory_mb - 1.0
    leaked = [
        f"{part} {getattr(warm, part)} to {getattr(end, part)}"
        for part in ("threads", "timers", "widgets", "files")
        if getattr(end, part) > getattr(warm, part)
    ]
    return [
        Figure(
            f"soak of {simulated_s / 3600.0:.1f} simulated hours, {melts} melts",
            f"memory {warm.memory_mb:.1f} to {end.memory_mb:.1f} MB ({100.0 * growth:+.1f} %); "
            + (
                "; ".join(leaked)
                or f"{end.threads} threads, {end.timers} timers, {end.files} files: none more"
            ),
            f"< {100.0 * MOST_GROWTH:g} %, none leaked",
            growth < MOST_GROWTH and not leaked,
            f"real window, offscreen, from {warm_s / 3600.0:.1f} h on; {time.monotonic() - began_s:.0f} s",
        )
    ]


def _one_melt(app: QApplication, window: MainWindow, number: int) -> float:
    """Run one melt through the window until the maker is finished; return its length in seconds."""
    clock = FollowingClock()
    source = PracticeSource("first-jug", seed=number, by_itself=True, clock=clock)
    session = Session.begin(window.workshop.journal, source.setup, 1.7e9, window.workshop.shown)

    def take(moment: Moment) -> None:
        if moment.event is not None:
            clock.applied_s = moment.event.elapsed_s
        window.bridge.take(moment)

    window.workshop.stop()
    runner = Runner(session, source, take)
    window.workshop.runner = runner
    window.show_page("melt")
    runner.start()
    pages, next_page_s = list(PAGES), 0.0
    while not runner.source_ended.wait(0.005):
        app.processEvents()
        # As the program's own event loop does; a loop by hand would keep every page that was left.
        app.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        if pages and clock.applied_s >= next_page_s:
            next_page_s += 600.0
            window.show_page(pages.pop(0))
    app.processEvents()
    kept = sum(1 for _ in _events(window, session.melt_id))
    if kept < session.melt.now_s:
        raise RuntimeError(f"of {session.melt.now_s:.0f} readings only {kept} are in the journal")
    length_s = session.melt.now_s
    window.workshop.stop()
    return length_s


def _events(window: MainWindow, melt: UUID) -> Iterator[Recorded]:
    window.workshop.journal.flush(10.0)
    return window.workshop.journal.events(melt)


def _held(app: QApplication) -> Held:
    for _ in range(3):
        app.processEvents()
        # deleteLater is served by the loop of events only.
        app.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        gc.collect()
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    timers = sum(len(top.findChildren(QTimer)) for top in _tops(app))
    return Held(
        memory_mb=pages * os.sysconf("SC_PAGE_SIZE") / 1e6,
        threads=max(threading.active_count(), len(list(Path("/proc/self/task").iterdir()))),
        timers=timers,
        widgets=len(app.allWidgets()),
        files=len(list(Path("/proc/self/fd").iterdir())),
    )


def _tops(app: QApplication) -> list[QObject]:
    return [app, *app.topLevelWidgets()]
