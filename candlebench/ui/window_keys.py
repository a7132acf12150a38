"""The window's menu and the keys that work on every page."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import QApplication, QMenu, QPushButton, QWidget

from candlebench.ui.tabs import TABS
from candlebench.words import tr

if TYPE_CHECKING:
    from candlebench.ui.main_window import MainWindow


class WindowMenu(QMenu):
    """Everything that is not a step of the melt, its key beside it; what needs a melt waits for one."""

    def __init__(self, window: "MainWindow") -> None:
        super().__init__(window)
        self._window = window
        add = self.addAction
        for place, (name, words) in enumerate(TABS, start=1):
            add(f"{words}\tCtrl+{place}", lambda n=name: window.show_page(n))
        add(tr("Labels…"), lambda: window.show_page("labels"))
        self.addSeparator()
        add(tr("New melt…\tCtrl+N"), window.doorway.new_melt)
        self.of_a_melt = (
            add(tr("This melt: name, oil, room…\tCtrl+D"), lambda: window.show_page("details")),
            add(tr("Debrief of this melt\tCtrl+B"), lambda: window.show_page("debrief")),
            add(tr("Save this melt as CSV…\tCtrl+E"), window.hob.export),
        )
        add(tr("What it has learned\tCtrl+L"), lambda: window.show_page("learned"))
        self.addSeparator()
        add(tr("Thermometer…\tCtrl+T"), lambda: window.show_page("thermometer"))
        add(tr("Check a probe…\tCtrl+K"), lambda: window.show_page("check"))
        add(tr("Settings…\tCtrl+,"), lambda: window.show_page("settings"))
        add(tr("Safety\tF1"), lambda: window.show_page("safety"))
        add(tr("About"), lambda: window.show_page("about"))
        self.addSeparator()
        add(tr("Close\tCtrl+Q"), window.close)
        self.aboutToShow.connect(self.look)
        self.look()

    def look(self) -> None:
        """Offer what is about a melt only while there is one."""
        for action in self.of_a_melt:
            action.setEnabled(self._window.workshop.runner is not None)


class EnterPresses(QObject):
    """Lets Enter press the button that has the focus, as Space does; Qt does so in dialogs only.

    Buttons that choose one of several leave Enter to their page, which may begin with it.

    Parameters
    ----------
    window : QWidget
        Whose buttons are meant.
    """

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        self._window = window
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        # A filter on the one button that has the focus costs nothing; one on the program sees every event.
        app.focusChanged.connect(self._follow)

    def _follow(self, before: QWidget | None, now: QWidget | None) -> None:
        if isinstance(before, QPushButton):
            before.removeEventFilter(self)
        if isinstance(now, QPushButton) and now.window() is self._window and not now.isCheckable():
            now.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if not isinstance(watched, QPushButton) or not isinstance(event, QKeyEvent):
            return False
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if event.type() != QEvent.Type.KeyPress or not enter:
            return False
        if not event.isAutoRepeat():
            press = watched.showMenu if watched.menu() is not None else watched.click
            press()
        return True


def add_keys(window: "MainWindow", open_menu: Callable[[], None]) -> None:
    """Make the keys of the menu, of the text size and of the way back work."""
    tabs = tuple(
        (f"Ctrl+{place}", lambda n=name: window.show_page(n)) for place, (name, _) in enumerate(TABS, start=1)
    )
    pairs: tuple[tuple[str, Callable[[], object]], ...] = (
        *tabs,
        ("F1", lambda: window.show_page("safety")),
        ("Ctrl+N", window.doorway.new_melt),
        ("Ctrl+D", lambda: window.show_page("details")),
        ("Ctrl+B", lambda: window.show_page("debrief")),
        ("Ctrl+E", window.hob.export),
        ("Ctrl+L", lambda: window.show_page("learned")),
        ("Ctrl+T", lambda: window.show_page("thermometer")),
        ("Ctrl+K", lambda: window.show_page("check")),
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
