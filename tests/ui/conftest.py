"""What the tests of the window share: windows on the test's own data folder, closed whatever happens."""

import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication, QMenu
from pytestqt.qtbot import QtBot

from candlebench.ui.main_window import MainWindow
from candlebench.workshop import Workshop

OpenWindow = Callable[[], MainWindow]


def delete_plot_menus(windows_before: set[int]) -> None:
    """pyqtgraph gives its plots menus without a parent; they would live as long as the test's own names."""
    for menu in QApplication.topLevelWidgets():
        if isinstance(menu, QMenu) and id(menu) not in windows_before and menu.parent() is None:
            menu.deleteLater()


@pytest.fixture
def _stdin_at_its_end(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    # As for a program that was started from a menu, not from a terminal.
    with Path("/dev/null").open(encoding="utf-8") as nothing:
        monkeypatch.setattr(sys, "stdin", nothing)
        yield


@pytest.fixture
def open_window(qtbot: QtBot, own_home: Path, _stdin_at_its_end: None) -> Iterator[OpenWindow]:
    """Opens a window as the program does; a second call is the next start."""
    windows: list[MainWindow] = []
    menus_before = set(map(id, QApplication.topLevelWidgets()))

    def opened() -> MainWindow:
        window = MainWindow(lambda trouble, said: Workshop(None, trouble, said), own_home / "candlebench.log")
        windows.append(window)
        window.show()
        qtbot.waitExposed(window)
        return window

    yield opened
    for window in windows:
        if window.isVisible():
            window._quiet_close = True
            window.close()
        window.deleteLater()
    delete_plot_menus(menus_before)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if Path(__file__).parent in item.path.parents:
            # Qt's offscreen platform has no window manager to tell sizes to; a real one does not say this.
            item.add_marker(pytest.mark.qt_log_ignore("does not support propagateSizeHints"))


@pytest.fixture
def window(open_window: OpenWindow) -> MainWindow:
    """A window at a first start."""
    window = open_window()
    window.begin(demo=False)
    return window


@pytest.fixture
def typed_melt(window: MainWindow) -> MainWindow:
    """A window with a melt of typed numbers, the melt page in front."""
    window.first_page.buttons["typed"].click()
    return window
