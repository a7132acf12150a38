"""The window: the bar, the pages, and the way from a key to the workshop and back."""

import logging
from collections.abc import Callable
from dataclasses import replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, Qt, QTimer, Signal
from PySide6.QtGui import QCloseEvent, QGuiApplication
from PySide6.QtWidgets import QApplication, QMainWindow, QStackedWidget, QVBoxLayout, QWidget

from candlebench.addresses import is_live
from candlebench.core.errors import CandlebenchError
from candlebench.records.settings import Settings
from candlebench.ui.bridge import Bridge
from candlebench.ui.danger_strip import DangerStrip, danger_of
from candlebench.ui.first_start_page import FirstStartPage
from candlebench.ui.keep_awake import KeepAwake
from candlebench.ui.melt_doorway import MeltDoorway
from candlebench.ui.melt_page import MeltPage
from candlebench.ui.message_bar import MessageBar, MessagedPages
from candlebench.ui.practice_drive import PracticeDrive
from candlebench.ui.practice_strip import PracticeStrip
from candlebench.ui.questions import Answer, Questions
from candlebench.ui.running_melt import RunningMelt
from candlebench.ui.sound import Sound
from candlebench.ui.theme import DARK, LIGHT, TEXT_SIZES, Theme, qt_palette, style_sheet
from candlebench.ui.top_bar import TopBar
from candlebench.ui.trail import HOME, Trail
from candlebench.ui.window_keys import EnterPresses, WindowMenu, add_keys
from candlebench.words import tr
from candlebench.workshop import Workshop

if TYPE_CHECKING:
    # The plan's tables and arithmetic are loaded with its page, not at the start of the program.
    from candlebench.core.plan.planning import Plan
    from candlebench.ui.guess_first import GuessFirst

log = logging.getLogger(__name__)

SMALLEST = (900, 620)
USUAL = (1280, 800)


class MainWindow(QMainWindow):
    """Everything on the screen. `said` may be emitted from any thread."""

    said = Signal(str)
    trouble = Signal(str)

    def __init__(
        self,
        open_workshop: Callable[[Callable[[str], None], Callable[[str], None]], Workshop],
        log_file: Path,
    ) -> None:
        super().__init__()
        self.setWindowTitle("candlebench")
        self.workshop = open_workshop(self.trouble.emit, self.said.emit)
        self.log_file = log_file
        self.bridge = Bridge(self)
        self.sound = Sound(self.workshop.settings.sound_player, self)
        self.keep_awake = KeepAwake(self)
        self.questions = Questions(self)
        self.doorway = MeltDoorway(self)
        self.hob = RunningMelt(self)
        self.theme = Theme(LIGHT)
        self._quiet_close = False
        self._trail = Trail()
        # The plan that was made last in this session: what papers and stock are about.
        self.planned: Plan | None = None
        self._make_parts()
        self.practice = PracticeDrive(self)
        self._connect()
        add_keys(self, self.bar.open_menu)
        self._enter = EnterPresses(self)
        self._restore_window()
        self.use_settings()

    @cached_property
    def guessing(self) -> "GuessFirst":
        """Guesses, with all that a melt is made of, are loaded with the first melt."""
        from candlebench.ui.guess_first import GuessFirst

        return GuessFirst(self, self.practice.hold)

    # --- parts --------------------------------------------------------------------------------------------

    def _make_parts(self) -> None:
        self.menu = WindowMenu(self)
        self.bar = TopBar(self.menu)
        self.danger = DangerStrip()
        self.messages = MessageBar()
        self.strip = PracticeStrip()
        self.melt_page = MeltPage()
        self.melt_page.menu.addAction(
            tr("This melt: name, oil, room…\tCtrl+D"), lambda: self.show_page("details")
        )
        self.melt_page.menu.addAction(tr("Finish this melt…"), self.doorway.finish_melt)
        self.first_page = FirstStartPage()
        self.pages = QStackedWidget()
        self._messaged = MessagedPages(self.pages, self.messages)
        self._pages: dict[str, QWidget] = {}
        for name, page in (("melt", self.melt_page), ("first", self.first_page)):
            self._add_page(name, page)
        middle = QWidget()
        box = QVBoxLayout(middle)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addWidget(self.bar)
        box.addWidget(self.danger)
        box.addWidget(self.strip)
        box.addWidget(self._messaged, 1)
        self.setCentralWidget(middle)
        self.setMinimumSize(*SMALLEST)

    def _connect(self) -> None:
        self.bridge.state_changed.connect(self.hob.show_state)
        self.bridge.noticed.connect(self.hob.say)
        self.said.connect(self.messages.say, Qt.ConnectionType.QueuedConnection)
        self.trouble.connect(self.messages.stand, Qt.ConnectionType.QueuedConnection)
        self.keep_awake.failed.connect(self.messages.say)
        self.bar.wanted.connect(self.show_page)
        self.melt_page.acted.connect(self.hob.act)
        self.danger.acted.connect(self.hob.act)
        self.danger.melt_wanted.connect(lambda: self.show_page(HOME))
        self.melt_page.typed.connect(self.hob.typed)
        self.first_page.chosen.connect(self.doorway.choose_way)
        self.melt_page.unused_key.connect(self.strip.press)
        QGuiApplication.styleHints().colorSchemeChanged.connect(lambda _: self.use_settings())

    def _add_page(self, name: str, page: QWidget) -> None:
        old = self._pages.pop(name, None)
        if old is not None:
            self.pages.removeWidget(old)
            old.deleteLater()
        self._pages[name] = page
        self.pages.addWidget(page)

    def show_page(self, name: str) -> None:
        """Show a page; all but the melt are made when they are wanted."""
        if name in (HOME, "first"):
            self.leave_page()
            self._trail.went(self.present_page, HOME)
            name = "first" if self.workshop.runner is None else name
        else:
            from candlebench.ui.rare_pages import make_page

            page = make_page(name, self)
            if page is None:
                return
            self.leave_page()
            left = self.present_page
            self._trail.went(HOME if left == "first" else left, name)
            self._add_page(name, page)
            self._dress(page)
        self.pages.setCurrentWidget(self._pages[name])
        self.bar.show_present(name)
        self.practice.on_page(name)
        self._messaged.put_at_foot(name == HOME)
        self.show_danger()
        page = self._pages[name]
        take_focus = getattr(page, "take_focus", page.setFocus)
        take_focus()

    @property
    def present_page(self) -> str:
        return next(name for name, page in self._pages.items() if page is self.pages.currentWidget())

    def leave_page(self) -> None:
        """The page that is shown lets go of what it holds, such as a port."""
        watch = getattr(self.pages.currentWidget(), "watch", None)
        if watch is not None:
            watch(False)

    def show_danger(self) -> None:
        """Show on every page what the melt shows on its own: that something is dangerous."""
        state = self.melt_page.state if self.workshop.runner is not None else None
        self.danger.show_state(state, self.present_page)
        self.bar.tabs.show_danger(HOME, danger_of(state) is not None)

    def go_back(self) -> None:
        """To where she came from, at last the melt or the first question; on the melt a guess is skipped."""
        if self.present_page == HOME and self.melt_page.guess.asking:
            self.guessing.skip()
        else:
            self.show_page(self._trail.back)

    def turn_page(self, step: int) -> None:
        """To the tab beside the present one."""
        self.show_page(self.bar.tabs.beside(self.present_page, step))

    def begin(self, demo: bool) -> None:
        """What the program does first; see `MeltDoorway.begin`."""
        self.workshop.look_around()
        self.doorway.begin(demo)

    def start(self, address: str) -> None:
        """Begin a melt on a thermometer; see `MeltDoorway.start`."""
        self.doorway.start(address)

    # --- settings and looks --------------------------------------------------------------------------------

    def change_settings(self, settings: Settings, to_melt: bool = True) -> None:
        """Use and keep other settings; the running melt follows where they touch it."""
        before = self.workshop.settings
        try:
            self.workshop.change_settings(settings)
        except CandlebenchError as error:
            self.messages.say(str(error))
        self.use_settings()
        runner = self.workshop.runner
        touches = (before.limits, before.room_c, before.altitude_m) != (
            settings.limits,
            settings.room_c,
            settings.altitude_m,
        )
        if runner is not None and to_melt and touches and is_live(runner.session.melt.setup.source):
            setup = replace(runner.session.melt.setup, room_c=settings.room_c, altitude_m=settings.altitude_m)
            runner.change_setup(self.workshop.corrected(runner.session.melt.setup, setup))

    def use_settings(self) -> None:
        """Dress the window as the settings say."""
        settings = self.workshop.settings
        self.sound.enabled = settings.sound
        dark = settings.theme == "dark"
        if settings.theme == "system":
            dark = QGuiApplication.styleHints().colorScheme() == Qt.ColorScheme.Dark
        theme = Theme(DARK if dark else LIGHT, settings.text_percent / 100.0)
        if theme != self.theme or not self.styleSheet():
            self.theme = theme
            QApplication.setPalette(qt_palette(theme.palette))
            self.setFont(theme.font(16))
            self.setStyleSheet(style_sheet(theme))
        for part in (self.bar, self.messages):
            part.use(theme)
        self.danger.use(theme, self.workshop.shown)
        self.strip.use(theme, self.workshop.shown)
        self.melt_page.use(theme, self.workshop.shown)
        for page in self._pages.values():
            if page is not self.melt_page:
                self._dress(page)
        runner = self.workshop.runner
        if runner is not None:
            runner.session.melt.show_in(self.workshop.shown)

    def _dress(self, page: QWidget) -> None:
        """Give the theme to a page that paints by itself; the style sheet reaches the others."""
        use = getattr(page, "use", None)
        if use is not None:
            use(self.theme)

    def grow_text(self, direction: int) -> None:
        present = self.workshop.settings.text_percent
        place = min(range(len(TEXT_SIZES)), key=lambda i: abs(TEXT_SIZES[i] - present))
        wanted = 100 if direction == 0 else TEXT_SIZES[min(max(place + direction, 0), len(TEXT_SIZES) - 1)]
        self.change_settings(replace(self.workshop.settings, text_percent=wanted))

    def _restore_window(self) -> None:
        kept = self.workshop.settings.window
        if not kept or not self.restoreGeometry(QByteArray.fromBase64(kept.encode("ascii", "ignore"))):
            self.resize(*USUAL)

    # --- closing -------------------------------------------------------------------------------------------

    def closeEvent(self, event: QCloseEvent) -> None:
        if not self._quiet_close and self.doorway.melt_matters():
            event.ignore()
            self._ask_to_close()
            return
        self._shut()
        event.accept()

    def _ask_to_close(self) -> None:
        def answered(answer: Answer) -> None:
            if answer is Answer.YES:
                self._quiet_close = True
                QTimer.singleShot(0, self.close)

        self.questions.ask(
            tr("Close while a melt is running?"),
            tr("It will not be watched. It can be taken up again at the next start. Is the hob off?"),
            tr("Close"),
            tr("Go on watching"),
            answered,
        )

    def _shut(self) -> None:
        self.leave_page()
        geometry = bytes(self.saveGeometry().toBase64().data()).decode("ascii")
        if geometry != self.workshop.settings.window:
            try:
                self.workshop.change_settings(replace(self.workshop.settings, window=geometry))
            except CandlebenchError as error:
                log.warning("the settings could not be kept: %s", error)
        self.sound.close()
        self.keep_awake.release()
        for sentence in self.workshop.close():
            log.warning("%s", sentence)
            self.messages.say(sentence)
