"""The cards of the debrief: advice with its buttons, what happened, and what was foreseen and guessed."""

from collections.abc import Callable

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from candlebench.core.debrief.rows import Row
from candlebench.core.state import Level
from candlebench.ui import shapes
from candlebench.ui.page_frame import role_label
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr


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


class AdviceCard(QFrame):
    """What to do next time, and beside it what can be done now; a button without a deed is left out."""

    def __init__(
        self,
        sentences: tuple[str, ...],
        said: str,
        buttons: tuple[tuple[str, Callable[[], None] | None], ...],
    ) -> None:
        super().__init__()
        self.setObjectName("card")
        row = QHBoxLayout(self)
        row.setContentsMargins(20, 10, 20, 12)
        row.setSpacing(16)
        words = QVBoxLayout()
        words.setSpacing(3)
        words.addWidget(role_label(tr("For next time"), "section"))
        for sentence in sentences:
            words.addWidget(role_label(sentence, "lead"))
        if said:
            words.addWidget(role_label(said, "muted"))
        words.addStretch(1)
        row.addLayout(words, 1)
        self._buttons = QBoxLayout(QBoxLayout.Direction.TopToBottom)
        self._buttons.setSpacing(6)
        for text, deed in buttons:
            if deed is not None:
                button = QPushButton(text)
                button.clicked.connect(lambda _=False, deed=deed: deed())
                self._buttons.addWidget(button)
        beside = QVBoxLayout()
        beside.addLayout(self._buttons)
        beside.addStretch(1)
        row.addLayout(beside)

    def use_width(self, wide: bool) -> None:
        """Put the buttons side by side, or one below another."""
        way = QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        self._buttons.setDirection(way)


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
        self._values: list[QLabel] = []
        for line, (row, mark) in enumerate(zip(shown_rows, self._marks, strict=True), start=1):
            value = role_label(row.value, "muted")
            value.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
            self._values.append(value)
            name = role_label(row.name, "label", wrap=False)
            for column, part in enumerate((mark, name, value)):
                grid.addWidget(part, line, column, Qt.AlignmentFlag.AlignVCenter)
        grid.setRowStretch(len(shown_rows) + 1, 1)
        self.say(shown_rows)

    def say(self, shown_rows: tuple[Row, ...]) -> None:
        """Put other words into the same lines."""
        for value, row in zip(self._values, shown_rows, strict=True):
            value.setText(row.value)
            value.setToolTip(row.why)
            value.setAccessibleDescription(row.why)

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
