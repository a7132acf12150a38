"""The debrief: two sentences for next time, the curve with what should have been, and how each thing went."""

from collections.abc import Callable
from uuid import UUID

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from candlebench.core.debrief.advice import advice
from candlebench.core.debrief.attempt import Attempt, attempt_of, compared
from candlebench.core.debrief.judge import Debrief
from candlebench.core.debrief.rows import Row, caption, foretold_rows, guess_row, rows
from candlebench.core.state import Level
from candlebench.core.units import Shown
from candlebench.ui import shapes
from candlebench.ui.attempts_table import AttemptsTable
from candlebench.ui.debrief_curve import DebriefCurve
from candlebench.ui.page_frame import framed_page, role_label
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

# Narrower than this, at 100 % text, the cards stand one below another.
SIDE_BY_SIDE_PX = 1100
# Narrower than this a row's why has no room beside its value.
ONE_LINE_PX = 620


class LevelMark(QWidget):
    """A tick, a triangle or an octagon before a row; nothing where there is nothing to judge."""

    def __init__(self, row: Row) -> None:
        super().__init__()
        self._row = row
        self._theme = Theme(LIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        words = {
            Level.CALM: tr("as it should be"),
            Level.WARNING: tr("could be better"),
            Level.DANGER: tr("must not happen"),
        }
        self.setAccessibleName(words[row.level] if row.known else tr("not judged"))

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(self._theme.px(20), self._theme.px(22))

    def paintEvent(self, event: QPaintEvent) -> None:
        theme = self._theme
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        at, size = QPointF(self.width() / 2, self.height() / 2 + 1), theme.px(14)
        if not self._row.known:
            shapes.ring(painter, at, size * 0.22, theme.color("strong_line"), theme.color("surface"), 1.4)
        elif self._row.level is Level.CALM:
            shapes.tick(painter, at, size, theme.color("accent"), theme.px(2))
        elif self._row.level is Level.WARNING:
            shapes.triangle(painter, at, size, theme.color("warning"))
        else:
            shapes.octagon(painter, at, size, theme.color("danger"))
        painter.end()


class RowsCard(QFrame):
    """Rows of name, value and why, lined up; where there is little room the why stands below its value."""

    def __init__(self, heading: str, shown_rows: tuple[Row, ...]) -> None:
        super().__init__()
        self._grid = _card_grid(self, heading)
        self._marks = [LevelMark(row) for row in shown_rows]
        self._words = [
            (
                role_label(row.name, "label", wrap=False),
                role_label(row.value, "lead", wrap=False),
                role_label(row.why, "muted"),
            )
            for row in shown_rows
        ]
        for _, _, why in self._words:
            why.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self._grid.setRowStretch(2 * len(shown_rows) + 1, 1)
        self.stack(False)

    def stack(self, stacked: bool) -> None:
        """Put each why below its value, or beside it."""
        grid, centre = self._grid, Qt.AlignmentFlag.AlignVCenter
        grid.setColumnStretch(2, 1 if stacked else 0)
        grid.setColumnStretch(3, 0 if stacked else 1)
        for place, (mark, (name, value, why)) in enumerate(zip(self._marks, self._words, strict=True)):
            line = 1 + 2 * place
            grid.addWidget(mark, line, 0, centre)
            grid.addWidget(name, line, 1, centre)
            grid.addWidget(value, line, 2, centre)
            if stacked:
                grid.addWidget(why, line + 1, 2)
            else:
                grid.addWidget(why, line, 3, centre)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        for mark in self._marks:
            mark.use(theme)


class ForeseenCard(QFrame):
    """How forecasts and guesses fared, a line each; the figures behind a line are in its tooltip."""

    def __init__(self, heading: str, shown_rows: tuple[Row, ...]) -> None:
        super().__init__()
        grid = _card_grid(self, heading)
        grid.setColumnStretch(2, 1)
        self._marks = [LevelMark(row) for row in shown_rows]
        for line, (row, mark) in enumerate(zip(shown_rows, self._marks, strict=True), start=1):
            value = role_label(row.value, "muted")
            value.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
            value.setToolTip(row.why)
            value.setAccessibleDescription(row.why)
            name = role_label(row.name, "label", wrap=False)
            for column, part in enumerate((mark, name, value)):
                grid.addWidget(part, line, column, Qt.AlignmentFlag.AlignVCenter)
        grid.setRowStretch(len(shown_rows) + 1, 1)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        for mark in self._marks:
            mark.use(theme)


def _card_grid(frame: QFrame, heading: str) -> QGridLayout:
    frame.setObjectName("card")
    grid = QGridLayout(frame)
    grid.setContentsMargins(20, 10, 20, 12)
    grid.setHorizontalSpacing(12)
    grid.setVerticalSpacing(3)
    grid.addWidget(role_label(heading, "section"), 0, 0, 1, 4)
    return grid


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
    """

    def __init__(
        self,
        debrief: Debrief,
        attempts: tuple[Attempt, ...],
        shown: Shown,
        go_back: Callable[[], None],
        save_pdf: Callable[[], None] | None,
    ) -> None:
        super().__init__()
        self._theme = Theme(LIGHT)
        self._stacked = False
        happened = rows(debrief, shown)
        foreseen = (
            *foretold_rows(debrief.foretold),
            *(guess_row(outcome, shown) for outcome in debrief.guesses),
        )
        sentences = advice(debrief, shown)
        spoken = " ".join(f"{row.name}: {row.value}; {row.why}." for row in happened)
        self.curve = DebriefCurve(debrief, shown, spoken)
        self._happened = RowsCard(tr("What happened"), happened)
        self._cards: list[RowsCard | ForeseenCard] = [self._happened]
        second = QVBoxLayout()
        second.setSpacing(10)
        if foreseen:
            self._cards.append(ForeseenCard(tr("Foreseen and guessed"), foreseen))
            second.addWidget(self._cards[-1])
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
        box.addWidget(self._advice_card(sentences, said, save_pdf))
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
        stacked = self.width() < ONE_LINE_PX * self._theme.scale
        if stacked is not self._stacked:
            self._stacked = stacked
            self._happened.stack(stacked)

    def _advice_card(
        self, sentences: tuple[str, ...], said: str, save_pdf: Callable[[], None] | None
    ) -> QFrame:
        frame = QFrame()
        frame.setObjectName("card")
        row = QHBoxLayout(frame)
        row.setContentsMargins(20, 10, 20, 12)
        row.setSpacing(16)
        words = QVBoxLayout()
        words.setSpacing(3)
        words.addWidget(role_label(tr("For next time"), "section"))
        for sentence in sentences:
            words.addWidget(role_label(sentence, "lead"))
        if said:
            words.addWidget(role_label(said, "muted"))
        row.addLayout(words, 1)
        if save_pdf is not None:
            button = QPushButton(tr("Save as PDF…"))
            button.clicked.connect(lambda: save_pdf())
            row.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)
        return frame
