"""The window's menu and the keys that work on every page."""

from collections.abc import Callable
from typing import Protocol

from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QMenu, QWidget

from candlebench.words import tr


class Wanted(Protocol):
    """What the menu and the keys ask of the window."""

    def show_page(self, name: str) -> None: ...

    def new_melt(self) -> None: ...

    def practise(self) -> None: ...

    def export(self) -> None: ...

    def close(self) -> bool: ...

    def grow_text(self, direction: int) -> None: ...

    def go_back(self) -> None: ...


def fill_menu(menu: QMenu, window: Wanted) -> None:
    """Put everything that is not a step of the melt into the menu, its key beside it."""
    add = menu.addAction
    add(tr("New melt…\tCtrl+N"), window.new_melt)
    add(tr("This melt: name, oil, room…\tCtrl+D"), lambda: window.show_page("details"))
    add(tr("Save this melt as CSV…\tCtrl+E"), window.export)
    menu.addSeparator()
    add(tr("Thermometer…\tCtrl+T"), lambda: window.show_page("thermometer"))
    add(tr("Practise"), window.practise)
    add(tr("Settings…\tCtrl+,"), lambda: window.show_page("settings"))
    menu.addSeparator()
    add(tr("Safety\tF1"), lambda: window.show_page("safety"))
    add(tr("About"), lambda: window.show_page("about"))
    menu.addSeparator()
    add(tr("Close\tCtrl+Q"), window.close)


def add_keys(parent: QWidget, window: Wanted, open_menu: Callable[[], None]) -> None:
    """Make the keys of the menu, of the text size and of the way back work."""
    pairs: tuple[tuple[str, Callable[[], object]], ...] = (
        ("F1", lambda: window.show_page("safety")),
        ("Ctrl+N", window.new_melt),
        ("Ctrl+D", lambda: window.show_page("details")),
        ("Ctrl+E", window.export),
        ("Ctrl+T", lambda: window.show_page("thermometer")),
        ("Ctrl+,", lambda: window.show_page("settings")),
        ("Ctrl+Q", window.close),
        ("Ctrl++", lambda: window.grow_text(1)),
        ("Ctrl+=", lambda: window.grow_text(1)),
        ("Ctrl+-", lambda: window.grow_text(-1)),
        ("Ctrl+0", lambda: window.grow_text(0)),
        ("F10", open_menu),
        ("Escape", window.go_back),
    )
    for keys, slot in pairs:
        QShortcut(QKeySequence(keys), parent).activated.connect(slot)
