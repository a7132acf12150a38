"""From melts to their debrief: what its page is given, and a sentence about an earlier attempt."""

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING
from uuid import UUID

import numpy as np
from PySide6.QtWidgets import QFileDialog

from candlebench.core.debrief.attempt import Attempt
from candlebench.core.debrief.curve import Curve
from candlebench.core.debrief.judge import Debrief, debrief_of
from candlebench.core.debrief.phrases import off_words
from candlebench.core.errors import CandlebenchError
from candlebench.core.guesses import outcomes
from candlebench.core.learning.drift import drift_of_melt
from candlebench.practice.recipe import setup_of
from candlebench.practice.scenario import Scenario
from candlebench.records.attempts import earlier_attempts
from candlebench.ui.debrief_page import DebriefPage
from candlebench.ui.save_place import in_documents
from candlebench.words import tr

if TYPE_CHECKING:
    from candlebench.ui.main_window import MainWindow


def debrief_page(window: "MainWindow") -> DebriefPage | None:
    """Make the debrief of the melt that runs or has just ended; None, and a sentence, when there is none."""
    runner, workshop = window.workshop.runner, window.workshop
    if runner is None:
        window.messages.say(tr("There is no melt to debrief yet: begin one, or practise."))
        return None
    melt_id, melt = runner.session.melt_id, runner.session.melt
    events = [recorded.event for recorded in workshop.journal.events(melt_id)]
    debrief = debrief_of(events, _truth(window), melt.kept_forecasts, drift=drift_of_melt(events))
    attempts = earlier_attempts(workshop.journal, melt_id, melt.setup)
    again, next_one = _further_ways(window)
    page = DebriefPage(
        debrief,
        attempts,
        workshop.shown,
        window.go_back,
        lambda: _save_pdf(window, page.debrief, attempts),
        again=again,
        next_one=next_one,
        # A guess is judged by folding the melt again, which takes a second: the page fetches it in a thread.
        later_guesses=lambda: outcomes(events),
    )
    return page


def _further_ways(window: "MainWindow") -> tuple[Callable[[], None] | None, Callable[[], None] | None]:
    """What a practice melt's debrief offers: the same again, and the next one where there is one."""
    source, drive, doorway = window.practice.source, window.practice, window.doorway
    if source is None:
        return None, None
    name = source.scenario.name
    names = [scenario.name for scenario in drive.scenarios()]
    after = names[names.index(name) + 1 :] if name in names else []
    return (
        lambda: doorway.practise_as(replace(drive.wish, scenario=name)),
        (lambda: doorway.choose_practice(after[0])) if after else None,
    )


def _save_pdf(window: "MainWindow", debrief: Debrief, attempts: tuple[Attempt, ...]) -> None:
    """Ask where, and write the debrief as a PDF."""
    from candlebench.ui.debrief_paper import suggested_name, usual_paper, write_debrief_pdf

    file, _ = QFileDialog.getSaveFileName(
        window, tr("Save the debrief as PDF"), in_documents(suggested_name(debrief)), tr("PDF (*.pdf)")
    )
    if not file:
        return
    try:
        write_debrief_pdf(file, debrief, attempts, window.workshop.shown, usual_paper())
    except CandlebenchError as error:
        window.messages.say(str(error))
        return
    window.messages.say(tr("The debrief is saved in {file}.").format(file=file))


def last_attempt(window: "MainWindow", scenario: Scenario) -> str:
    """Say how the latest attempt at a practice melt went; '' when there is none."""
    journal, shown = window.workshop.journal, window.workshop.shown
    if all(melt.title != scenario.title for melt in journal.melts()):
        return ""
    drive = window.practice
    setup = replace(setup_of(scenario), source=drive.address(replace(drive.wish, scenario=scenario.name)))
    found = earlier_attempts(journal, UUID(int=0), setup, 1)
    if not found:
        return ""
    last, parts = found[0], []
    if last.oil_off_c is not None:
        parts.append(tr("oil {where}").format(where=off_words(last.oil_off_c, shown)))
    if last.pour_off_c is not None:
        parts.append(tr("poured {where}").format(where=off_words(last.pour_off_c, shown)))
    if last.highest_c is not None:
        parts.append(tr("highest {temp}").format(temp=shown.temp(last.highest_c)))
    return tr("Last time: {figures}.").format(figures=tr(", ").join(parts)) if parts else ""


def _truth(window: "MainWindow") -> Curve | None:
    """What the wax of a practice melt really did; None for a real one."""
    source = window.practice.source
    if source is None:
        return None
    truths = source.truth_curve()
    return Curve(np.array([t.elapsed_s for t in truths]), np.array([t.wax_c for t in truths]))
