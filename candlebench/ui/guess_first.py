"""Guess first: hides the forecast until she has guessed, keeps the guess, and says how both did."""

import math
from collections.abc import Callable
from typing import TYPE_CHECKING

from candlebench.core.events import ActionKind, Stage
from candlebench.core.guesses import (
    Guess,
    Outcome,
    Question,
    guess_detail,
    outcome,
    outcome_words,
    question,
    said_words,
    too_late_to_ask,
    veiled,
    window_ahead,
)
from candlebench.core.state import MeltState
from candlebench.words import tr

if TYPE_CHECKING:
    from candlebench.ui.main_window import MainWindow


class GuessFirst:
    """One question a window and cooling.

    Parameters
    ----------
    window : MainWindow
        Whose melt page, messages and runner are used.
    hold : callable
        Called with True when a question opens and with False when it is over, so that a practice melt waits.
    """

    def __init__(self, window: "MainWindow", hold: Callable[[bool], None]) -> None:
        self._window, self._hold = window, hold
        self.wanted = False
        self._state: MeltState | None = None
        self._asked: Question | None = None
        self._open: tuple[Question, Outcome] | None = None
        self._done: set[tuple[str, float]] = set()
        bar = window.melt_page.guess
        bar.guessed.connect(self.take)
        bar.skipped.connect(self._skip)

    def begin(self, wanted: bool) -> None:
        """A melt begins, with guesses or without."""
        self._close_question()
        self.wanted, self._open, self._state = wanted, None, None
        self._done.clear()
        self._window.melt_page.show_guess(None)

    def look(self, state: MeltState) -> MeltState:
        """Take the next picture; return what of it may be shown."""
        if not self.wanted:
            return state
        self._state = state
        self._judge(state)
        ahead = window_ahead(state)
        if ahead is None or (ahead.window, state.heat_since_s) in self._done:
            self._close_question()
            return state
        asked = question(state)
        if asked is not None and self._asked is None:
            self._ask(asked)
        if self._asked is None and too_late_to_ask(state):
            self._done.add((ahead.window, state.heat_since_s))
            return state
        return veiled(state, self._window.workshop.shown, asking=self._asked is not None)

    def _ask(self, asked: Question) -> None:
        self._asked = asked
        self._hold(True)
        page = self._window.melt_page
        page.guess.ask(asked)
        if page.isVisible():
            page.take_focus()

    def take(self, in_s: float) -> None:
        """She guessed."""
        asked, state = self._asked, self._state
        if asked is None or state is None or self._window.workshop.runner is None:
            return
        forecast = state.step.crossing
        self._window.workshop.runner.act(ActionKind.GUESS, guess_detail(asked.target_c, in_s))
        came = Outcome(Guess(asked.target_c, state.now_s, in_s), forecast, None)
        self._open = (asked, came)
        self._settle(asked, state)
        self._window.melt_page.show_guess(came)
        if self._window.theme.large:
            self._window.messages.say(said_words(came))

    def skip(self) -> None:
        """Escape on the melt page: skips from within the question; from elsewhere it leads to it first."""
        bar = self._window.melt_page.guess
        focused = self._window.focusWidget()
        if focused is not None and bar.isAncestorOf(focused):
            self._skip()
        else:
            bar.take_focus()

    def _skip(self) -> None:
        """She would rather see the forecast."""
        if self._asked is not None and self._state is not None:
            self._settle(self._asked, self._state)

    def _settle(self, asked: Question, state: MeltState) -> None:
        self._done.add((asked.window, state.heat_since_s))
        self._close_question()
        self._window.melt_page.setFocus()
        self._window.hob.show_state(state)

    def _close_question(self) -> None:
        if self._asked is not None:
            self._asked = None
            self._window.melt_page.guess.close_bar()
            self._hold(False)

    def _judge(self, state: MeltState) -> None:
        """Say how the open guess and its forecast did, once it is known."""
        if self._open is None:
            return
        asked, guessed = self._open
        disturbed_s = _disturbed_s(state, guessed.guess.at_s)
        came = outcome(guessed.guess, guessed.forecast, state.times_s, state.temps_c, disturbed_s)
        if came.took_s is not None:
            self._window.messages.say(outcome_words(asked, came))
        elif math.isfinite(disturbed_s):
            self._window.messages.say(tr("Your guess is not judged: heat or oil came before the window."))
        else:
            return
        self._open = None
        self._window.melt_page.show_guess(None)


def _disturbed_s(state: MeltState, since_s: float) -> float:
    """When heat or oil first changed the course of the melt after a moment; infinity when neither did."""
    oil_in = [m.at_s for m in state.marks if m.stage is Stage.OIL_IN and m.at_s >= since_s]
    heated = [state.heat_since_s] if state.on_heat else []
    return min([*oil_in, *heated], default=math.inf)
