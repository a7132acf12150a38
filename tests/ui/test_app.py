"""Starting the program as the command does, in a process of its own."""

import os
import subprocess
import sys

from candlebench.ui import app
from candlebench.ui.main_window import MainWindow


def test_the_first_start_asks_with_a_practice_melt_behind_the_question(window: MainWindow) -> None:
    app._begin(window, demo=False)
    assert window.present_page == "first"
    runner = window.workshop.runner
    if runner is not None:  # A machine with a thermometer plugged in waits for the answer instead.
        assert runner.session.melt.setup.source.startswith("practice:")


def test_the_program_opens_paints_and_closes_by_itself() -> None:
    environment = {**os.environ, "CANDLEBENCH_CLOSE_AFTER_S": "1", "QT_QPA_PLATFORM": "offscreen"}
    done = subprocess.run(
        [sys.executable, "-m", "candlebench"], env=environment, capture_output=True, text=True, timeout=60
    )
    assert done.returncode == 0, done.stderr
    assert "Traceback" not in done.stderr


def test_a_second_program_on_the_same_records_is_refused_kindly(window: MainWindow) -> None:
    environment = {**os.environ, "CANDLEBENCH_CLOSE_AFTER_S": "0.2", "QT_QPA_PLATFORM": "offscreen"}
    command = [sys.executable, "-m", "candlebench", "--data", str(window.workshop.folder)]
    done = subprocess.run(command, env=environment, capture_output=True, text=True, timeout=60)
    assert done.returncode == 1
    assert "already open" in done.stderr and "Traceback" not in done.stderr
