"""The window's menu and the keys that work on every page."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QMenu

from candlebench.words import tr

if TYPE_CHECKING:
    from candlebench.ui.main_window import MainWindow


def fill_menu(menu: QMenu, window: "MainWindow") -> None:
    """Put everything that is not a step of the melt into the menu, its key beside it."""
    add = menu.addAction
    add(tr("New melt…\tCtrl+N"), window.doorway.new_melt)
    add(tr("This melt: name, oil, room…\tCtrl+D"), lambda: window.show_page("details"))
    add(tr("Debrief of this melt\tCtrl+B"), lambda: window.show_page("debrief"))
    add(tr("Save this melt as CSV…\tCtrl+E"), window.hob.export)
    add(tr("Plan a batch"), lambda: window.show_page("plan"))
    add(tr("Labels…"), lambda: window.show_page("labels"))
    add(tr("Store cupboard"), lambda: window.show_page("cupboard"))
    add(tr("What it has learned\tCtrl+L"), lambda: window.show_page("learned"))
    menu.addSeparator()
    add(tr("Thermometer…\tCtrl+T"), lambda: window.show_page("thermometer"))
    add(tr("Practise…"), lambda: window.show_page("practice"))
    add(tr("Settings…\tCtrl+,"), lambda: window.show_page("settings"))
    menu.addSeparator()
    add(tr("Safety\tF1"), lambda: window.show_page("safety"))
    add(tr("About"), lambda: window.show_page("about"))
    menu.addSeparator()
    add(tr("Close\tCtrl+Q"), window.close)


def add_keys(window: "MainWindow", open_menu: Callable[[], None]) -> None:
    """Make the keys of the menu, of the text size and of the way back work."""
    pairs: tuple[tuple[str, Callable[[], object]], ...] = (
        ("F1", lambda: window.show_page("safety")),
        ("Ctrl+N", window.doorway.new_melt),
        ("Ctrl+D", lambda: window.show_page("details")),
        ("Ctrl+B", lambda: window.show_page("debrief")),
        ("Ctrl+E", window.hob.export),
        ("Ctrl+L", lambda: window.show_page("learned")),
        ("Ctrl+T", lambda: window.show_page("thermometer")),
        ("Ctrl+,", lambda: window.show_page("settings")),
        ("Ctrl+Q", window.close),
        ("Ctrl++", lambda: window.grow_text(1)),
        ("Ctrl+=", lambda: window.grow_text(1)),
        ("Ctrl+-", lambda: window.grow_text(-1)),
        ("Ctrl+0", lambda: window.grow_text(0)),
        ("Ctrl+PgDown", lambda: window.turn_page(1)),
        ("Ctrl+PgUp", lambda: window.turn_page(-1)),
        ("F10", open_menu),
        ("Escape", window.go_back),
    )
    for keys, slot in pairs:
        QShortcut(QKeySequence(keys), window).activated.connect(slot)
