"""About: versions and licences, and the details one copies for a report."""

import platform
import sys
from collections.abc import Callable
from importlib.metadata import PackageNotFoundError, metadata
from pathlib import Path

import pyqtgraph
import PySide6
from PySide6.QtCore import qVersion
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from candlebench import __version__
from candlebench.resources_folder import resources_folder
from candlebench.ui.page_frame import card, framed_page, left, role_label
from candlebench.words import tr

# What the program is built from: its name in the package registry and its licence.
PARTS = (
    ("PySide6-Essentials", "LGPL-3.0"),
    ("pyqtgraph", "MIT"),
    ("numpy", "BSD-3-Clause"),
    ("pyserial", "BSD-3-Clause"),
    ("tomli-w", "MIT"),
)
LOG_LINES = 60


def versions() -> list[tuple[str, str, str]]:
    """Name, version and licence of everything the program is built from."""
    rows = [("Python", platform.python_version(), "PSF-2.0"), ("Qt", qVersion(), "LGPL-3.0")]
    for name, licence in PARTS:
        try:
            version = metadata(name)["Version"]
        except PackageNotFoundError:
            version = {"PySide6-Essentials": PySide6.__version__, "pyqtgraph": pyqtgraph.__version__}.get(
                name, "?"
            )
        rows.append((name, version, licence))
    return rows


def details_for_report(log_file: Path) -> str:
    """What helps to find a fault: versions, system, the end of the log. No readings, no names."""
    lines = [f"candlebench {__version__}"]
    lines += [f"{name} {version}" for name, version, _ in versions()]
    lines += [f"{platform.platform()}, {sys.platform}, Qt platform {QGuiApplication.platformName()}", ""]
    try:
        log = log_file.read_text(encoding="utf-8", errors="replace").splitlines()[-LOG_LINES:]
    except OSError:
        log = [tr("no log file")]
    return "\n".join(lines + log).replace(str(Path.home()), "~")


class AboutPage(QWidget):
    """Versions, licences, and one button."""

    def __init__(self, log_file: Path, folder: Path, back: Callable[[], None]) -> None:
        super().__init__()
        self._log_file = log_file
        rows = "".join(
            f"<tr><td>{name}</td><td style='padding-left:24px'>{version}</td>"
            f"<td style='padding-left:24px'>{licence}</td></tr>"
            for name, version, licence in versions()
        )
        licence = (resources_folder() / "LICENSE.txt").read_text(encoding="utf-8")
        self.copy = QPushButton(tr("Copy details for a report"))
        self.copy.clicked.connect(self._copy)
        body = QWidget()
        box = QVBoxLayout(body)
        box.setContentsMargins(24, 8, 24, 24)
        box.setSpacing(16)
        box.addWidget(
            card(
                role_label(tr("candlebench {version}").format(version=__version__), "section"),
                role_label(
                    tr("Watches a melt of candle wax, says when to add oil and when to pour. Free software."),
                    "lead",
                ),
                role_label(f"<table>{rows}</table>", "lead"),
                left(self.copy),
            )
        )
        places = tr("Records: {folder}\nLog file: {log}").format(folder=folder, log=log_file)
        box.addWidget(card(role_label(tr("Where things are kept"), "section"), role_label(places, "lead")))
        box.addWidget(card(role_label(tr("Licence"), "section"), role_label(licence, "muted")))
        box.addStretch(1)
        framed_page(self, tr("About"), body, back)

    def _copy(self) -> None:
        QGuiApplication.clipboard().setText(details_for_report(self._log_file))
        self.copy.setText(tr("Copied"))
