"""The debrief: two sentences for next time, the curve with what should have been, and how each thing went."""

from collections.abc import Callable
from dataclasses import replace
from uuid import UUID

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QFrame,
    QVBoxLayout,
    QWidget,
)

from candlebench.core.debrief.advice import advice
from candlebench.core.debrief.attempt import Attempt, attempt_of, compared
from candlebench.core.debrief.foreseen import foreseen_rows
from candlebench.core.debrief.judge import Debrief
from candlebench.core.debrief.rows import caption, rows
from candlebench.core.guesses import Outcome
from candlebench.core.units import Shown
from candlebench.ui.attempts_table import AttemptsTable
from candlebench.ui.debrief_cards import AdviceCard, ForeseenCard, RowsCard
from candlebench.ui.debrief_curve import DebriefCurve
from candlebench.ui.debrief_later import LaterGuesses
from candlebench.ui.page_frame import framed_page, role_label
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

# Narrower than this, at 100 % text, the cards stand one below another.
SIDE_BY_SIDE_PX = 1100
# Narrower than this a row's why has no room beside its value.
ONE_LINE_PX = 620


class DebriefPage(QWidget):
    """What happened in one melt and what to do better.

    Parameters
    ----------
    debrief : Debrief
    attempts : tuple of Attempt
        Earlier attempts at the same thing, the latest first; not this one.
    shown : Shown
    go_back : callable
        Back to the melt.
    save_pdf : callable or None
        Asks where and writes the paper; None leaves the button out.
    again, next_one : callable or None
        Practise the same scenario again, or the next one; None leaves the button out.
    later_guesses : callable or None
        Returns the guesses beside their forecasts; called in a thread, because it takes seconds, when the
        debrief was made without them. `debrief` holds them from then on.
    """

    def __init__(
        self,
        debrief: Debrief,
        attempts: tuple[Attempt, ...],
        shown: Shown,
        go_back: Callable[[], None],
        save_pdf: Callable[[], None] | None,
        again: Callable[[], None] | None = None,
        next_one: Callable[[], None] | None = None,
        later_guesses: Callable[[], tuple[Outcome, ...]] | None = None,
    ) -> None:
        super().__init__()
        self.debrief = debrief
        self._shown = shown
        self._theme = Theme(LIGHT)
        self._stacked = False
        happened = rows(debrief, shown)
        foreseen = foreseen_rows(debrief, shown)
        sentences = advice(debrief, shown)
        spoken = " ".join(f"{row.name}: {row.value}; {row.why}." for row in happened)
        self.curve = DebriefCurve(debrief, shown, spoken)
        self._happened = RowsCard(tr("What happened"), happened)
        self._cards: list[RowsCard | ForeseenCard] = [self._happened]
        second = QVBoxLayout()
        second.setSpacing(10)
        if foreseen:
            self._foreseen = ForeseenCard(tr("Foreseen and guessed"), foreseen)
            self._cards.append(self._foreseen)
            second.addWidget(self._foreseen)
        now = attempt_of(UUID(int=0), debrief)
        said = compared(now, attempts[0], shown) if attempts else ""
        self.table = AttemptsTable(now, attempts, shown)
        second.addWidget(self.table)
        second.addStretch(1)
        self._columns = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._columns.setSpacing(10)
        self._columns.addWidget(self._happened, 8)
        self._columns.addLayout(second, 5)

        body = QWidget()
        box = QVBoxLayout(body)
        box.setContentsMargins(24, 2, 24, 12)
        box.setSpacing(10)
        buttons = (
            (tr("Practise again"), again),
            (tr("Next scenario"), next_one),
            (tr("Save as PDF…"), save_pdf),
        )
        self._advice = AdviceCard(sentences, said, buttons)
        box.addWidget(self._advice)
        under = role_label(caption(debrief), "muted")
        curve_card = QFrame()
        curve_card.setObjectName("card")
        inside = QVBoxLayout(curve_card)
        inside.setContentsMargins(14, 8, 14, 8)
        inside.setSpacing(2)
        inside.addWidget(self.curve, 1)
        inside.addWidget(under)
        box.addWidget(curve_card, 1)
        box.addLayout(self._columns)
        framed_page(self, tr("Debrief: {title}").format(title=debrief.story.setup.title), body, go_back)
        if later_guesses is not None and debrief.guesses:
            self._later = LaterGuesses(later_guesses)
            self._later.judged.connect(self.take_guesses)
            self._later.start()

    def take_guesses(self, guesses: tuple[Outcome, ...]) -> None:
        """Say the guesses beside the forecasts of their moments, once that is known."""
        self.debrief = replace(self.debrief, guesses=guesses)
        self._foreseen.say(foreseen_rows(self.debrief, self._shown))

    def use(self, theme: Theme) -> None:
        """Take a theme: what is painted here does not follow the style sheet."""
        self._theme = theme
        self.curve.use(theme)
        for rows_card in self._cards:
            rows_card.use(theme)
        self._arrange()

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._arrange()
        super().resizeEvent(event)

    def _arrange(self) -> None:
        wide = self.width() >= SIDE_BY_SIDE_PX * min(self._theme.scale, 1.6)
        way = QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        if self._columns.direction() is not way:
            self._columns.setDirection(way)
        self._advice.use_width(wide)
        stacked = self.width() < ONE_LINE_PX * self._theme.scale
        if stacked is not self._stacked:
            self._stacked = stacked
            self._happened.stack(stacked)
            self.table.stack(stacked)
