"""Starts the window."""

import gc
import logging
import os
import sys
import traceback
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QTimer
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QApplication, QMessageBox

from candlebench.core.errors import FixableError
from candlebench.records.folders import data_folder
from candlebench.resources_folder import resources_folder
from candlebench.ui.main_window import MainWindow
from candlebench.words import tr
from candlebench.workshop import Workshop

LOG_BYTES, LOG_FILES = 500_000, 3
FIRST_PAINT_MS = 40


def run_window(data: Path | None, demo: bool, demo_if_alone: bool = False) -> int:
    """Open the window and stay until it is closed.

    Parameters
    ----------
    data : Path or None
        Data folder, when one was named.
    demo : bool
        Begin with a practice melt.
    demo_if_alone : bool
        Begin with one when there is no other melt to begin and no thermometer plugged in.

    Raises
    ------
    FixableError
        Another candlebench has this data folder open.
    """
    log_file = data_folder(data, os.environ, sys.platform, Path.home()) / "candlebench.log"
    app = QApplication.instance() or QApplication(sys.argv[:1])
    app.setApplicationName("candlebench")
    app.setDesktopFileName("candlebench")
    app.setWindowIcon(QIcon(str(resources_folder() / "icons" / "candlebench.svg")))
    sys.excepthook = _log_bug
    close_after_s = os.environ.get("CANDLEBENCH_CLOSE_AFTER_S", "")
    try:
        window = MainWindow(lambda trouble, notice: Workshop(data, trouble, notice), log_file)
    except FixableError as error:
        _refuse(error, close_after_s)
        raise
    window.show()
    # The window is painted first: what follows opens a melt and may take longer.
    QTimer.singleShot(FIRST_PAINT_MS, lambda: _begin(window, demo, log_file, demo_if_alone))
    if close_after_s:
        # For checks that an installed program opens: nobody is there to close it.
        QTimer.singleShot(int(float(close_after_s) * 1000), window.close)
    return int(app.exec())


def _refuse(error: FixableError, close_after_s: str) -> None:
    """Say on the screen why no window opens, when nobody would see it on a console."""
    if sys.stderr is not None and sys.stderr.isatty():
        return
    box = QMessageBox(QMessageBox.Icon.Information, "candlebench", str(error))
    if close_after_s:
        QTimer.singleShot(int(float(close_after_s) * 1000), box.reject)
    box.exec()


def _begin(window: MainWindow, demo: bool, log_file: Path, demo_if_alone: bool = False) -> None:
    """Begin as settings and records say."""
    # Off since the program began to load.
    gc.enable()
    _start_log(log_file)
    window.begin(demo)
    waits = window.workshop.runner is None and window.questions.open_box is None
    if demo_if_alone and waits and not _is_plugged_in():
        window.doorway.practise()
        window.messages.say(
            tr("This is practice, faster than life. Ctrl+T is where you say how you read a real melt.")
        )


def _is_plugged_in() -> bool:
    from candlebench.thermometers.serial_port import list_ports

    return bool(list_ports())


def _start_log(log_file: Path) -> None:
    """Begin the rotating log file; a folder that cannot be written only costs the log."""
    # Imported here: it costs the start more than any page.
    from logging.handlers import RotatingFileHandler

    handler: logging.Handler
    try:
        log_file.parent.mkdir(parents=True, exist_ok=True)
        handler = RotatingFileHandler(log_file, maxBytes=LOG_BYTES, backupCount=LOG_FILES, encoding="utf-8")
    except OSError:
        handler = logging.StreamHandler()
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s: %(message)s"))
    root = logging.getLogger()
    root.addHandler(handler)
    root.setLevel(logging.INFO)


def _log_bug(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
    """A bug must not end a melt: it is logged, and the window stays."""
    if issubclass(kind, KeyboardInterrupt):
        QApplication.quit()
        return
    logging.getLogger("candlebench").error("".join(traceback.format_exception(kind, error, trace)))
    traceback.print_exception(kind, error, trace)
