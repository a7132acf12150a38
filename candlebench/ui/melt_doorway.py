"""How a melt comes on the hob and leaves it: beginning, taking up, another thermometer, finishing."""

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from candlebench.addresses import is_live
from candlebench.core.errors import CandlebenchError
from candlebench.core.events import ActionKind
from candlebench.core.setup import MeltSetup
from candlebench.records.rows import MeltSummary
from candlebench.ui.practice_wish import PracticeWish
from candlebench.ui.questions import Answer
from candlebench.words import tr

if TYPE_CHECKING:
    from candlebench.ui.main_window import MainWindow


class MeltDoorway:
    """Asks where something would be lost, and shows the melt page when a melt is there.

    Parameters
    ----------
    window : MainWindow
        Whose workshop, pages, questions and messages are used.
    """

    def __init__(self, window: "MainWindow") -> None:
        self._window = window

    def begin(self, demo: bool) -> None:
        """What the program does first: the demo, an unfinished melt, the first start, or the usual way."""
        unfinished = None if demo else self._window.workshop.unfinished()
        if demo:
            self.practise()
        elif unfinished is not None:
            self._offer(unfinished)
        else:
            self._begin_usual()

    def _begin_usual(self) -> None:
        match self._window.workshop.settings.reads_by:
            case "plugged in" if self._window.workshop.settings.source:
                self.start(self._window.workshop.settings.source)
            case "typed":
                self.start("typed:")
            case "practise":
                self.choose_practice()
            case _:
                self._window.show_page("first")

    def _offer(self, summary: MeltSummary) -> None:
        def answered(answer: Answer) -> None:
            if answer is Answer.YES:
                self._take_up(summary)
            else:
                self._begin_usual()

        self._window.show_page("first")
        self._window.questions.ask(
            tr("Take up “{title}” where it was?").format(title=summary.title),
            tr("It was not finished. The time in between is marked as not recorded; nothing of it is lost."),
            tr("Take it up"),
            tr("Leave it, begin anew"),
            answered,
        )

    def _take_up(self, summary: MeltSummary) -> None:
        try:
            self._window.workshop.take_up(summary, self._window.hob.take)
        except CandlebenchError as error:
            self._window.messages.say(str(error))
            return
        self._melt_began()

    def start(self, address: str) -> None:
        """Begin a melt on a thermometer."""
        self._window.leave_page()
        try:
            self._window.workshop.begin(address, self._window.hob.take)
        except CandlebenchError as error:
            self._window.messages.say(str(error))
            self._window.show_page("practice" if address.startswith("practice:") else "thermometer")
            return
        self._melt_began()

    def start_planned(self, setup: MeltSetup) -> None:
        """Begin a melt from a plan, read as she reads her melts; typed by hand where she has not said."""
        settings = self._window.workshop.settings
        plugged = settings.reads_by == "plugged in" and settings.source
        address = settings.source if plugged else "typed:"

        def begin() -> None:
            last = settings.last_melt
            planned = replace(setup, jug=setup.jug or last.jug, probe=setup.probe or last.probe)
            try:
                self._window.workshop.begin(address, self._window.hob.take, planned)
            except CandlebenchError as error:
                self._window.messages.say(str(error))
                return
            self._melt_began()

        self._when_free(begin)

    def practise(self) -> None:
        """Begin the practice melt that was practised last, the first one at first."""
        self.practise_as(self._window.practice.wish)

    def choose_practice(self, scenario: str = "") -> None:
        """Show the practice melts, one of them chosen so that Enter begins it; nothing begins by itself."""
        window = self._window
        if scenario:
            window.practice.wish = replace(window.practice.wish, scenario=scenario)
        window.show_page("practice")
        start = getattr(window.pages.currentWidget(), "start", None)
        if start is not None:
            start.setFocus()

    def practise_as(self, wish: PracticeWish) -> None:
        """Begin the practice melt that was chosen."""

        def begin() -> None:
            self._window.messages.clear()
            self._window.practice.wish = wish
            self.start(self._window.practice.address(wish))
            self._window.guessing.begin(wish.guess_first)

        self._when_free(begin)

    def new_melt(self) -> None:
        """Begin a new melt the usual way, asking when one is running."""
        if self._window.workshop.settings.reads_by == "practise":
            # Choosing a practice melt ends nothing; beginning it asks.
            self.choose_practice()
        else:
            self._when_free(self._begin_usual)

    def finish_melt(self) -> None:
        """End the running melt, asking first."""

        def answered(answer: Answer) -> None:
            if answer is Answer.YES:
                self._window.hob.act((ActionKind.FINISHED, ""))

        if self._window.workshop.runner is not None:
            self._window.questions.ask(
                tr("Finish this melt?"),
                tr("It is kept in the records. A finished melt is not taken up again."),
                tr("Finish it"),
                tr("Go on with it"),
                answered,
            )

    def choose_way(self, way: str) -> None:
        """She said how she reads the temperature."""
        self._window.change_settings(replace(self._window.workshop.settings, reads_by=way))
        if way == "plugged in":
            self._window.show_page("thermometer")
        elif way == "typed":
            self._switch("typed:")
        else:
            self.choose_practice()

    def use_port(self, address: str) -> None:
        """She chose a port, or how its lines are read."""
        self._window.change_settings(
            replace(self._window.workshop.settings, reads_by="plugged in", source=address)
        )
        self._switch(address)

    def _switch(self, address: str) -> None:
        """Go on with a real melt through another thermometer; a practice melt ends."""
        runner = self._window.workshop.runner
        wired = is_live(address) and not address.startswith("typed:")
        stays = self._window.present_page == "thermometer" and wired
        try:
            if runner is None or not is_live(runner.session.melt.setup.source):
                self._window.workshop.begin(address, self._window.hob.take)
            else:
                self._window.workshop.change_source(address, self._window.hob.take)
        except CandlebenchError as error:
            self._window.messages.say(str(error))
            return
        if stays:
            self._awake_while_live()
            self._window.messages.say(
                tr("Reading from this port; its lines appear below. Ctrl+2 shows the melt.")
            )
        else:
            self._melt_began()

    def _melt_began(self) -> None:
        runner = self._window.workshop.runner
        assert runner is not None
        self._window.practice.begin()
        self._window.guessing.begin(False)
        self._awake_while_live()
        self._window.hob.show_state(runner.session.melt.state)
        self._window.show_page("melt")

    def _awake_while_live(self) -> None:
        runner = self._window.workshop.runner
        if runner is not None and is_live(runner.session.melt.setup.source):
            self._window.keep_awake.hold()
        else:
            self._window.keep_awake.release()

    def _when_free(self, then: Callable[[], None]) -> None:
        """Do `then` at once when nothing is lost by it, else after asking."""

        def answered(answer: Answer) -> None:
            if answer is Answer.YES:
                self._window.workshop.finish()
                then()

        if not self.melt_matters():
            self._window.workshop.stop()
            then()
            return
        self._window.questions.ask(
            tr("Finish the melt that is running?"),
            tr("It is kept in the records, but it is not watched any more."),
            tr("Finish it"),
            tr("Go on with it"),
            answered,
        )

    def melt_matters(self) -> bool:
        """Whether a real melt with readings is on the hob."""
        runner = self._window.workshop.runner
        if runner is None or not is_live(runner.session.melt.setup.source):
            return False
        state = self._window.melt_page.state
        return state is not None and not state.finished and state.temp_c is not None
