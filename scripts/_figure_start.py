"""From the start of the process to the first painted window, beside a bare script with an empty plot."""

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from _figure_line import Figure

ROOT = Path(__file__).resolve().parents[1]
MOST_RATIO = 1.3

# Both children tell the time at the end of their first painting, by the same event filter.
PAINTED = """
import sys, time
from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtWidgets import QApplication
class Painted(QObject):
    seen = done = False
    def eventFilter(self, watched, event):
        kind = event.type()
        if kind is QEvent.Type.Paint:
            if not self.seen:
                self.seen = True
                QTimer.singleShot(0, lambda: None)
        elif self.seen and not self.done:
            # The first event after a run of paint events: the window is painted.
            self.done = True
            print(time.monotonic(), flush=True)
            app.removeEventFilter(self)
            QTimer.singleShot(0, QApplication.closeAllWindows)
        return False
app = QApplication(sys.argv[:1])
painted = Painted()
app.installEventFilter(painted)
"""
BARE = (
    PAINTED
    + """
import pyqtgraph
plot = pyqtgraph.PlotWidget()
plot.resize(1280, 800)
plot.show()
app.exec()
"""
)
PROGRAM = (
    PAINTED
    + """
from candlebench.cli import run
sys.exit(run(sys.argv[1:]))
"""
)


def start_figures(pairs: int) -> list[Figure]:
    """Start both by turns; the median of each, and their ratio."""
    return [_figure("first start", pairs, []), _figure("with the practice melt", pairs, ["--demo"])]


def _figure(name: str, pairs: int, arguments: list[str]) -> Figure:
    bare_s, own_s = [], []
    # Bytecode is kept, as on a person's machine: the first start of each fills it and is not counted.
    with tempfile.TemporaryDirectory(prefix="candlebench-figures-") as bytecode:
        for _ in range(pairs + 1):
            bare_s.append(_start_s(BARE, [], bytecode))
            own_s.append(_start_s(PROGRAM, arguments, bytecode))
    bare_s, own_s = bare_s[1:], own_s[1:]
    bare, own = statistics.median(bare_s), statistics.median(own_s)
    return Figure(
        f"process start to first painted window, {name}",
        f"{own:.3f} s, bare {bare:.3f} s, ratio {own / bare:.2f}",
        f"ratio <= {MOST_RATIO:g}",
        own / bare <= MOST_RATIO,
        f"medians of {pairs} starts each, by turns, bytecode kept",
    )


def _start_s(script: str, arguments: list[str], bytecode: str) -> float:
    with tempfile.TemporaryDirectory(prefix="candlebench-figures-") as home:
        environment = os.environ | {"HOME": home, "PYTHONPATH": str(ROOT), "QT_QPA_PLATFORM": "offscreen"}
        environment |= {"PYTHONPYCACHEPREFIX": bytecode, "PYTHONDONTWRITEBYTECODE": ""}
        began_s = time.monotonic()
        child = subprocess.run(
            [sys.executable, "-c", script, *arguments, *(["--data", home] if script is PROGRAM else [])],
            env=environment, cwd=ROOT, capture_output=True, text=True, timeout=60, check=False,
        )  # fmt: skip
    if not child.stdout.strip():
        raise RuntimeError(f"no window was painted:\n{child.stderr}")
    return float(child.stdout.split()[0]) - began_s
