"""The melt on the hob and the window: pictures are shown, sentences said, what she did passed on."""

import logging
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent
from PySide6.QtWidgets import QApplication, QFileDialog

from candlebench.addresses import is_live
from candlebench.core.errors import CandlebenchError, FixableError
from candlebench.core.events import ActionKind, Stage
from candlebench.core.setup import MeltSetup
from candlebench.core.state import Level, MeltState, Notice, ProbeStatus
from candlebench.thermometers.place_words import place_words
from candlebench.ui.save_place import in_documents
from candlebench.words import tr

if TYPE_CHECKING:
    from candlebench.runner import Moment
    from candlebench.ui.main_window import MainWindow

log = logging.getLogger(__name__)


def status_of_probes(state: MeltState) -> ProbeStatus:
    """How the melt's thermometer is; what is wrong with the second one when the first is well."""
    beside = state.beside
    if not state.probe.good or beside is None or beside.probe.good:
        return state.probe
    words = tr("{place}: {status}").format(place=place_words(beside.place), status=beside.probe.text)
    return ProbeStatus(False, words)


class RunningMelt:
    """Stands between the runner and the pages; holds no truth.

    Parameters
    ----------
    window : MainWindow
        Whose pages, sound and messages are used.
    """

    def __init__(self, window: "MainWindow") -> None:
        self._window = window

    def take(self, moment: "Moment") -> None:
        """Something happened; called in the runner's thread, the window follows in its own."""
        self._window.practice.heard(moment)
        self._window.bridge.take(moment)

    def show_state(self, state: MeltState) -> None:
        """A new picture of the melt has come."""
        if self._window.workshop.runner is None:
            return
        self._window.practice.follow()
        self._window.melt_page.show_state(self._window.guessing.look(state))
        self._window.bar.probe.show_status(status_of_probes(state))
        self._window.show_danger()

    def say(self, notices: tuple[Notice, ...]) -> None:
        """Say what is to be said: the card shows it already; the sound and the screen reader follow."""
        loudest = max(notices, key=lambda n: list(Level).index(n.level))
        self._window.sound.play(loudest.level)
        for notice in notices:
            log.info("%s %s: %s", notice.kind, notice.code, notice.text)
            event = QAccessibleAnnouncementEvent(self._window, notice.text)
            if notice.level is not Level.CALM:
                event.setPoliteness(QAccessible.AnnouncementPoliteness.Assertive)
            QAccessible.updateAccessibility(event)
            if notice.code == "off_heat_noticed":
                self._window.messages.say(notice.text)
        if any(n.level is Level.DANGER for n in notices):
            QApplication.alert(self._window)

    def act(self, what: tuple[ActionKind, str]) -> None:
        """The person did something."""
        runner = self._window.workshop.runner
        if runner is None:
            return
        kind, detail = what
        if self._window.practice.kept_away(kind):
            return
        runner.act(kind, detail)
        if kind is ActionKind.FINISHED:
            self._window.keep_awake.release()
            live = is_live(runner.session.melt.setup.source)
            if not self._debrief() or live:
                self._window.messages.say(tr("The melt is finished and kept. Ctrl+N begins a new one."))

    def _debrief(self) -> bool:
        """Show how it went, when there is something to judge: oil or wax has left its place."""
        state = self._window.melt_page.state
        if state is None or state.stage not in (Stage.OIL_IN, Stage.STIRRED, Stage.POURED):
            return False
        self._window.show_page("debrief")
        return True

    def typed(self, text: str) -> None:
        """The person typed a reading on the melt page."""
        runner = self._window.workshop.runner
        if runner is None or not text.strip():
            return
        from candlebench.thermometers.typed import parse_typed

        try:
            reading = parse_typed(text, self._window.workshop.settings.unit)
        except FixableError as error:
            self._window.melt_page.now.say_problem(str(error))
            return
        self._window.melt_page.now.clear_problem()
        runner.typed(reading.temp_c, reading.ago_s)

    def change_setup(self, setup: MeltSetup) -> None:
        """The person corrected what the melt is made of."""
        runner = self._window.workshop.runner
        if runner is None:
            return
        workshop = self._window.workshop
        setup = workshop.with_known(workshop.corrected(runner.session.melt.setup, setup))
        runner.change_setup(setup)
        last = workshop.last_melt_of(setup)
        self._window.change_settings(
            replace(self._window.workshop.settings, last_melt=last, room_c=setup.room_c, wax=setup.wax),
            to_melt=False,
        )
        self._window.show_page("melt")

    def export(self) -> None:
        """Save the running melt as CSV."""
        runner = self._window.workshop.runner
        if runner is None:
            self._window.messages.say(
                tr("No melt is running: “candlebench export latest” on the console saves an old one.")
            )
            return
        name, _ = QFileDialog.getSaveFileName(
            self._window, tr("Save this melt as CSV"), in_documents("melt.csv"), tr("CSV (*.csv)")
        )
        if not name:
            return
        try:
            from candlebench.records.export import export_csv

            count = export_csv(self._window.workshop.journal.events(runner.session.melt_id), Path(name))
        except CandlebenchError as error:
            self._window.messages.say(str(error))
            return
        self._window.messages.say(tr("{count} rows saved in {file}.").format(count=count, file=name))
