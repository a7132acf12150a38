"""Starting the program as the command does, in a process of its own."""

import logging
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from candlebench.ui import app
from candlebench.ui.main_window import MainWindow


@pytest.fixture
def root_log() -> Iterator[logging.Logger]:
    """The root logger, without what the test adds to it afterwards."""
    root = logging.getLogger()
    before, level = list(root.handlers), root.level
    yield root
    for handler in [h for h in root.handlers if h not in before]:
        root.removeHandler(handler)
        handler.close()
    root.setLevel(level)


def test_the_first_start_asks_and_nothing_runs_before_the_answer(
    window: MainWindow, tmp_path: Path, root_log: logging.Logger
) -> None:
    app._begin(window, demo=False, log_file=tmp_path / "candlebench.log")
    assert (tmp_path / "candlebench.log").exists()
    assert window.present_page == "first"
    assert window.workshop.runner is None
    window.show_page("safety")
    window.go_back()
    assert window.present_page == "first"


def test_the_start_script_opens_on_a_practice_melt_when_no_thermometer_is_connected(
    window: MainWindow, tmp_path: Path, root_log: logging.Logger, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(app, "_is_plugged_in", lambda: False)
    app._begin(window, demo=False, log_file=tmp_path / "candlebench.log", demo_if_alone=True)
    assert window.present_page == "melt" and "Ctrl+T" in window.messages.text
    assert window.workshop.runner is not None
    assert window.workshop.runner.session.melt.setup.source.startswith("practice:")


def test_with_a_thermometer_plugged_in_it_asks(
    window: MainWindow, tmp_path: Path, root_log: logging.Logger, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(app, "_is_plugged_in", lambda: True)
    app._begin(window, demo=False, log_file=tmp_path / "candlebench.log", demo_if_alone=True)
    assert window.present_page == "first" and window.workshop.runner is None


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
