"""Starting the program as the command does, in a process of its own."""

import gc
import logging
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from candlebench import cli
from candlebench.core.errors import FixableError
from candlebench.records import cupboard
from candlebench.ui import app
from candlebench.ui.main_window import MainWindow

from .conftest import OpenWindow


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


LOADED_AT_THE_FIRST_PICTURE = """
import sys
from pathlib import Path
from PySide6.QtWidgets import QApplication
from candlebench.ui.app import MainWindow
from candlebench.workshop import Workshop
app = QApplication([])
window = MainWindow(lambda trouble, notice: Workshop(Path(sys.argv[1]), trouble, notice), Path(sys.argv[2]))
window.show()
window.grab()
print(*sys.modules)
window.close()
"""


def test_the_first_picture_waits_for_nothing_that_only_a_melt_or_another_page_needs(
    tmp_path: Path, own_home: Path
) -> None:
    done = subprocess.run(
        [sys.executable, "-c", LOADED_AT_THE_FIRST_PICTURE, str(tmp_path / "shop"), str(tmp_path / "log")],
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert done.returncode == 0, done.stderr
    loaded = set(done.stdout.split())
    assert {"candlebench.ui.melt_page", "candlebench.records.journal"} <= loaded
    late = """
        core.melt core.alarms core.guesses core.cupboard core.learning core.trust core.plan core.debrief
        core.materials runner teacher second_probe records.lessons records.cupboard records.probes
        thermometers.address_values thermometers.serial_port ui.rare_pages ui.thermometer_page
        ui.check_page ui.plan_page ui.debrief_page
    """
    assert loaded & {f"candlebench.{name}" for name in late.split()} == set()
    assert "serial" not in loaded


def test_garbage_is_collected_again_once_the_window_is_there(
    window: MainWindow, tmp_path: Path, root_log: logging.Logger, monkeypatch: pytest.MonkeyPatch
) -> None:
    while_it_opens: list[bool] = []

    def refuse(*args: object, **more: object) -> int:
        while_it_opens.append(gc.isenabled())
        raise FixableError("Another one has it open.")

    monkeypatch.setattr(app, "run_window", refuse)
    assert cli.run([]) == 1
    assert (while_it_opens, gc.isenabled()) == ([False], True)
    gc.disable()
    try:
        app._begin(window, demo=False, log_file=tmp_path / "candlebench.log")
        assert gc.isenabled()
    finally:
        gc.enable()


def test_a_spoilt_cupboard_is_said_at_the_start(open_window: OpenWindow, qtbot: QtBot) -> None:
    window = open_window()
    file = window.workshop.folder / cupboard.FILE_NAME
    file.write_text("half a li", encoding="utf-8")
    window.begin(demo=False)
    qtbot.waitUntil(lambda: "store cupboard could not be read" in window.messages.text)
    assert not file.exists() and window.present_page == "first"


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
