"""The window: the bar, the pages, and the way from a key to the workshop and back."""

import logging
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QByteArray, Qt, QTimer, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleAnnouncementEvent,
    QCloseEvent,
    QGuiApplication,
)
from PySide6.QtWidgets import (
    QApplication,
    QFileDialog,
    QMainWindow,
    QMenu,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from candlebench.addresses import is_live
from candlebench.core.errors import CandlebenchError, FixableError
from candlebench.core.events import ActionKind
from candlebench.core.setup import MeltSetup
from candlebench.core.state import Level, MeltState, Notice
from candlebench.records.rows import MeltSummary
from candlebench.records.settings import LastMelt, Settings
from candlebench.runner import Moment
from candlebench.thermometers.typed import parse_typed
from candlebench.ui.bridge import Bridge
from candlebench.ui.first_start_page import FirstStartPage
from candlebench.ui.keep_awake import KeepAwake
from candlebench.ui.melt_page import MeltPage
from candlebench.ui.message_bar import MessageBar
from candlebench.ui.practice_strip import PracticeStrip
from candlebench.ui.questions import Answer, Questions
from candlebench.ui.sound import Sound
from candlebench.ui.theme import DARK, LIGHT, TEXT_SIZES, Theme, style_sheet
from candlebench.ui.top_bar import TopBar
from candlebench.ui.window_keys import add_keys, fill_menu
from candlebench.words import tr
from candlebench.workshop import PRACTICE, Workshop

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
        self.theme = Theme(LIGHT)
        self._quiet_close = False
        self._make_parts()
        self._connect()
        add_keys(self, self, self.bar.open_menu)
        self._restore_window()
        self.use_settings()

    # --- parts --------------------------------------------------------------------------------------------

    def _make_parts(self) -> None:
        self.menu = QMenu(self)
        fill_menu(self.menu, self)
        self.bar = TopBar(self.menu)
        self.messages = MessageBar()
        self.strip = PracticeStrip()
        self.melt_page = MeltPage()
        self.melt_page.menu.addAction(
            tr("This melt: name, oil, room…\tCtrl+D"), lambda: self.show_page("details")
        )
        self.melt_page.menu.addAction(tr("Finish this melt…"), self.finish_melt)
        self.first_page = FirstStartPage()
        self.pages = QStackedWidget()
        self._pages: dict[str, QWidget] = {}
        for name, page in (("melt", self.melt_page), ("first", self.first_page)):
            self._add_page(name, page)
        middle = QWidget()
        box = QVBoxLayout(middle)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addWidget(self.bar)
        box.addWidget(self.messages)
        box.addWidget(self.strip)
        box.addWidget(self.pages, 1)
        self.setCentralWidget(middle)
        self.setMinimumSize(*SMALLEST)

    def _connect(self) -> None:
        self.bridge.state_changed.connect(self.show_state)
        self.bridge.noticed.connect(self.notice)
        self.said.connect(self.messages.say, Qt.ConnectionType.QueuedConnection)
        self.trouble.connect(self.messages.stand, Qt.ConnectionType.QueuedConnection)
        self.keep_awake.failed.connect(self.messages.say)
        self.bar.wanted.connect(self.show_page)
        self.melt_page.acted.connect(self.act)
        self.melt_page.typed.connect(self.typed)
        self.first_page.chosen.connect(self.choose_way)
        self.strip.speed_wanted.connect(self._change_speed)
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
        self._leave_page()
        if name not in ("melt", "first"):
            from candlebench.ui.rare_pages import make_page

            page = make_page(name, self)
            if page is None:
                return
            self._add_page(name, page)
        self.pages.setCurrentWidget(self._pages[name])
        self.bar.show_present(name)
        page = self._pages[name]
        take_focus = getattr(page, "take_focus", page.setFocus)
        take_focus()

    @property
    def present_page(self) -> str:
        return next(name for name, page in self._pages.items() if page is self.pages.currentWidget())

    def _leave_page(self) -> None:
        watch = getattr(self.pages.currentWidget(), "watch", None)
        if watch is not None:
            watch(False)

    def go_back(self) -> None:
        self.show_page("melt" if self.workshop.runner is not None else "first")

    # --- beginning and ending ------------------------------------------------------------------------------

    def begin(self, demo: bool) -> None:
        """What the program does first: the demo, an unfinished melt, the first start, or the usual way."""
        unfinished = None if demo else self.workshop.unfinished()
        if demo:
            self.practise()
        elif unfinished is not None:
            self._offer(unfinished)
        else:
            self._begin_usual()

    def _begin_usual(self) -> None:
        match self.workshop.settings.reads_by:
            case "plugged in" if self.workshop.settings.source:
                self.start(self.workshop.settings.source)
            case "typed":
                self.start("typed:")
            case "practise":
                self.practise()
            case _:
                self.show_page("first")

    def _offer(self, summary: MeltSummary) -> None:
        def answered(answer: Answer) -> None:
            if answer is Answer.YES:
                self._take_up(summary)
            else:
                self._begin_usual()

        self.show_page("first")
        self.questions.ask(
            tr("Take up “{title}” where it was?").format(title=summary.title),
            tr("It was not finished. The time in between is marked as not recorded; nothing of it is lost."),
            tr("Take it up"),
            tr("Leave it, begin anew"),
            answered,
        )

    def _take_up(self, summary: MeltSummary) -> None:
        try:
            self.workshop.take_up(summary, self.bridge.take)
        except CandlebenchError as error:
            self.messages.say(str(error))
            return
        self._melt_began()

    def start(self, address: str) -> None:
        """Begin a melt on a thermometer."""
        try:
            self.workshop.begin(address, self._listener())
        except CandlebenchError as error:
            self.messages.say(str(error))
            self.show_page("thermometer")
            return
        self._melt_began()

    def practise(self) -> None:
        """Begin the practice melt."""
        self._when_free(lambda: self.start(PRACTICE))

    def new_melt(self) -> None:
        """Begin a new melt the usual way, asking when one is running."""
        self._when_free(self._begin_usual)

    def finish_melt(self) -> None:
        """End the running melt, asking first."""

        def answered(answer: Answer) -> None:
            if answer is Answer.YES:
                self.act((ActionKind.FINISHED, ""))

        if self.workshop.runner is not None:
            self.questions.ask(
                tr("Finish this melt?"),
                tr("It is kept in the records. A finished melt is not taken up again."),
                tr("Finish it"),
                tr("Go on with it"),
                answered,
            )

    def choose_way(self, way: str) -> None:
        """She said how she reads the temperature."""
        self.change_settings(replace(self.workshop.settings, reads_by=way))
        if way == "plugged in":
            self.show_page("thermometer")
        elif way == "typed":
            self._switch("typed:")
        else:
            self.practise()

    def use_port(self, address: str) -> None:
        """She chose a port, or how its lines are read."""
        self.change_settings(replace(self.workshop.settings, reads_by="plugged in", source=address))
        self._switch(address)

    def _switch(self, address: str) -> None:
        """Go on with a real melt through another thermometer; a practice melt ends."""
        runner = self.workshop.runner
        stays = self.present_page == "thermometer" and address.startswith("serial:")
        try:
            if runner is None or not is_live(runner.session.melt.setup.source):
                self.workshop.begin(address, self._listener())
            else:
                self.workshop.change_source(address, self._listener())
        except CandlebenchError as error:
            self.messages.say(str(error))
            return
        if stays:
            self._awake_while_live()
            self.messages.say(tr("Reading from this port; its lines appear below. Esc goes to the melt."))
        else:
            self._melt_began()

    def _listener(self) -> Callable[[Moment], None]:
        return self.bridge.take

    def _melt_began(self) -> None:
        runner = self.workshop.runner
        assert runner is not None
        self.strip.show_for(runner.source)
        self._awake_while_live()
        self.show_state(runner.session.melt.state)
        self.show_page("melt")

    def _awake_while_live(self) -> None:
        runner = self.workshop.runner
        if runner is not None and is_live(runner.session.melt.setup.source):
            self.keep_awake.hold()
        else:
            self.keep_awake.release()

    def _when_free(self, then: Callable[[], None]) -> None:
        """Do `then` at once when nothing is lost by it, else after asking."""

        def answered(answer: Answer) -> None:
            if answer is Answer.YES:
                self.workshop.finish()
                then()

        if not self._melt_matters():
            self.workshop.stop()
            then()
            return
        self.questions.ask(
            tr("Finish the melt that is running?"),
            tr("It is kept in the records, but it is not watched any more."),
            tr("Finish it"),
            tr("Go on with it"),
            answered,
        )

    def _melt_matters(self) -> bool:
        """Whether a real melt with readings is on the hob."""
        runner = self.workshop.runner
        if runner is None or not is_live(runner.session.melt.setup.source):
            return False
        state = self.melt_page.state
        return state is not None and not state.finished and state.temp_c is not None

    # --- what happens in a melt ----------------------------------------------------------------------------

    def show_state(self, state: MeltState) -> None:
        """A new picture of the melt has come."""
        if self.workshop.runner is None:
            return
        self.melt_page.show_state(state)
        self.bar.probe.show_status(state.probe)

    def notice(self, notices: tuple[Notice, ...]) -> None:
        """Say what is to be said: the card shows it already; the sound and the screen reader follow."""
        loudest = max(notices, key=lambda n: list(Level).index(n.level))
        self.sound.play(loudest.level)
        for notice in notices:
            log.info("%s %s: %s", notice.kind, notice.code, notice.text)
            event = QAccessibleAnnouncementEvent(self, notice.text)
            if notice.level is not Level.CALM:
                event.setPoliteness(QAccessible.AnnouncementPoliteness.Assertive)
            QAccessible.updateAccessibility(event)
            if notice.code == "off_heat_noticed":
                self.messages.say(notice.text)
        if any(n.level is Level.DANGER for n in notices):
            QApplication.alert(self)

    def act(self, what: tuple[ActionKind, str]) -> None:
        """The person did something."""
        runner = self.workshop.runner
        if runner is None:
            return
        kind, detail = what
        runner.act(kind, detail)
        if kind is ActionKind.FINISHED:
            self.keep_awake.release()
            self.messages.say(tr("The melt is finished and kept. Ctrl+N begins a new one."))

    def typed(self, text: str) -> None:
        """The person typed a reading on the melt page."""
        runner = self.workshop.runner
        if runner is None or not text.strip():
            return
        try:
            reading = parse_typed(text, self.workshop.settings.unit)
        except FixableError as error:
            self.melt_page.now.say_problem(str(error))
            return
        self.melt_page.now.clear_problem()
        runner.typed(reading.temp_c, reading.ago_s)

    def change_setup(self, setup: MeltSetup) -> None:
        """The person corrected what the melt is made of."""
        runner = self.workshop.runner
        if runner is None:
            return
        setup = self.workshop.with_limits(setup)
        runner.change_setup(setup)
        oil = setup.oil
        last = LastMelt(setup.title, setup.wax_g, oil.name if oil else "", oil.mass_g if oil else None)
        self.change_settings(
            replace(self.workshop.settings, last_melt=last, room_c=setup.room_c, wax=setup.wax), to_melt=False
        )
        self.show_page("melt")

    def export(self) -> None:
        """Save the running melt as CSV."""
        runner = self.workshop.runner
        if runner is None:
            self.messages.say(
                tr("No melt is running: “candlebench export latest” on the console saves an old one.")
            )
            return
        name, _ = QFileDialog.getSaveFileName(
            self, tr("Save this melt as CSV"), "melt.csv", tr("CSV (*.csv)")
        )
        if not name:
            return
        try:
            from candlebench.records.export import export_csv

            count = export_csv(self.workshop.journal.events(runner.session.melt_id), Path(name))
        except CandlebenchError as error:
            self.messages.say(str(error))
            return
        self.messages.say(tr("{count} rows saved in {file}.").format(count=count, file=name))

    def _change_speed(self, speed: float) -> None:
        runner = self.workshop.runner
        change = getattr(runner.clock, "change_speed", None) if runner is not None else None
        if change is not None:
            change(speed)

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
            runner.change_setup(self.workshop.with_limits(setup))

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
            self.setFont(theme.font(16))
            self.setStyleSheet(style_sheet(theme))
        for part in (self.bar, self.messages, self.strip):
            part.use(theme)
        self.melt_page.use(theme, self.workshop.shown)
        runner = self.workshop.runner
        if runner is not None:
            runner.session.melt.show_in(self.workshop.shown)

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
        if not self._quiet_close and self._melt_matters():
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
        self._leave_page()
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
