"""Results in rows: name, value with unit, a short why, and the source behind a click."""

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from candlebench.core.state import Level
from candlebench.ui.page_frame import role_label
from candlebench.ui.plan_field import SteadyLabel, glued
from candlebench.ui.shapes import stop_sign, tick, warning_sign
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

VALUE_PX, NARROW_VALUE_PX, UNIT_PX = 28, 25, 18
NAME_PX, AMOUNT_PX = 84, 216


class Sign(QWidget):
    """A tick, a question mark, a triangle or an octagon; nothing for ''."""

    def __init__(self, kind: str = "") -> None:
        super().__init__()
        self._theme, self._kind = Theme(LIGHT), kind
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.updateGeometry()
        self.update()

    def show_kind(self, kind: str) -> None:
        """'good', 'ask', 'note', 'warning', 'danger' or ''."""
        self._kind = kind
        self.setAccessibleName(
            {
                "good": tr("good"),
                "ask": tr("find out"),
                "note": tr("note"),
                "warning": tr("watch out"),
                "danger": tr("stop"),
            }.get(kind, "")
        )
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(self._theme.px(22), self._theme.px(22))

    def paintEvent(self, event: QPaintEvent) -> None:
        theme = self._theme
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        size = float(min(self.width(), self.height())) - 2.0
        box = QRectF(1.0, 1.0, size, size)
        match self._kind:
            case "good":
                _ring(painter, box, theme.color("accent"))
                tick(painter, box.center(), size * 0.62, theme.color("accent"), size * 0.1)
            case "ask" | "note":
                _ring(painter, box, theme.color("muted"))
                painter.setPen(theme.color("muted"))
                painter.setFont(theme.font(14, 700))
                mark = "?" if self._kind == "ask" else "i"
                painter.drawText(box, Qt.AlignmentFlag.AlignCenter, mark)
            case "warning":
                warning_sign(painter, box, theme.color("warning"), theme.color("surface"))
            case "danger":
                stop_sign(painter, box, theme.color("danger"), theme.color("surface"))
        painter.end()


class SourceLink(QPushButton):
    """Shows and hides a source; the label it owns is to be laid out below."""

    def __init__(self) -> None:
        super().__init__(tr("source"))
        self.setProperty("role", "link")
        self.setCheckable(True)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.label = role_label("", "source")
        self.label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.label.setIndent(0)
        self.label.hide()
        self.toggled.connect(self.label.setVisible)

    def about(self, name: str, source: str) -> None:
        """Give the source of what is called `name`; without one the link waits."""
        self.setAccessibleName(tr("Source of {name}").format(name=name))
        self.setAccessibleDescription(source)
        self.setEnabled(bool(source))
        self.label.setText(tr("Source: {source}").format(source=source) if source else "")


class ResultRow(QWidget):
    """One result. It keeps its height while numbers and reasons change.

    Parameters
    ----------
    name : str
        For people.
    lines : int
        Room for the reason.
    """

    def __init__(self, name: str, lines: int = 2) -> None:
        super().__init__()
        self._theme, self._compact = Theme(LIGHT), False
        self._words, self._lines = name, lines
        self.name = role_label(name, "label", wrap=False)
        self.amount = QLabel()
        self.amount.setTextFormat(Qt.TextFormat.RichText)
        self.amount.setWordWrap(True)
        self.why = SteadyLabel("muted", lines)
        self.why.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        self.sign = Sign()
        self.source = SourceLink()
        self._values: Sequence[tuple[str, str]] = ()
        self._level = Level.CALM
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 6, 0, 6)
        self._grid.setHorizontalSpacing(10)
        self._grid.setVerticalSpacing(2)
        self._place()

    def use(self, theme: Theme, compact: bool) -> None:
        """Take a theme, and the reason beside the value or, where there is no room, below it."""
        self._theme, self._compact = theme, compact
        # Below the value a reason has the whole width.
        self.why.keep_lines(min(self._lines, 2) if compact else self._lines)
        self.why.use(theme)
        self.sign.use(theme)
        self._place()
        self._show_amount()

    def _place(self) -> None:
        grid, theme = self._grid, self._theme
        for part in (self.name, self.amount, self.why, self.sign, self.source, self.source.label):
            grid.removeWidget(part)
        top, middle = Qt.AlignmentFlag.AlignTop, Qt.AlignmentFlag.AlignVCenter
        for column in range(5):
            grid.setColumnStretch(column, 0)
            grid.setColumnMinimumWidth(column, 0)
        grid.setColumnMinimumWidth(0, theme.px(NAME_PX))
        if self._compact:
            grid.addWidget(self.name, 0, 0, middle)
            grid.addWidget(self.amount, 0, 1, middle)
            grid.addWidget(self.sign, 0, 2, middle)
            grid.addWidget(self.source, 0, 3, middle)
            grid.addWidget(self.why, 1, 0, 1, 4)
            grid.addWidget(self.source.label, 2, 0, 1, 4)
            grid.setColumnStretch(1, 1)
        else:
            grid.addWidget(self.name, 0, 0, middle)
            grid.addWidget(self.amount, 0, 1, middle)
            grid.addWidget(self.sign, 0, 2, middle)
            grid.addWidget(self.why, 0, 3, middle)
            grid.addWidget(self.source, 0, 4, middle)
            grid.addWidget(self.source.label, 1, 3, 1, 2, top)
            grid.setColumnMinimumWidth(1, theme.px(AMOUNT_PX))
            grid.setColumnStretch(3, 1)

    def show_result(
        self, values: Sequence[tuple[str, str]], why: str, source: str, level: Level = Level.CALM
    ) -> None:
        """Show numbers with their units, '108.6' 'g', '123' 'mL', with the reason.

        Parameters
        ----------
        values : sequence of (str, str)
            Set apart by 'or'.
        why, source : str
        level : Level
            Shown by a sign and a colour.
        """
        self._values, self._level = values, level
        self.why.say(why)
        self.source.about(self._words, source)
        self.sign.show_kind({Level.WARNING: "warning", Level.DANGER: "danger"}.get(level, ""))
        self._show_amount()

    def show_nothing(self, why: str) -> None:
        """There is no such number now; the row keeps its place."""
        self.show_result((), why, "")

    def _show_amount(self) -> None:
        theme, p = self._theme, self._theme.palette
        ink = {Level.WARNING: p.warning_text, Level.DANGER: p.danger_text}.get(self._level, p.text)
        big = theme.px(NARROW_VALUE_PX if self._compact else VALUE_PX, 1.7)
        small = theme.px(UNIT_PX, 1.7)
        number = f'<span style="font-size:{big}px; font-weight:600; color:{ink}">{{}}</span>'
        unit = f'<span style="font-size:{small}px">&nbsp;{{}}</span>'
        joint = f'<span style="font-size:{small}px; color:{p.muted}"> {tr("or")} </span>'
        shown = [number.format(value) + (unit.format(sign) if sign else "") for value, sign in self._values]
        nothing = f'<span style="font-size:{big}px; color:{p.muted}">–</span>'
        self.amount.setText(joint.join(shown) or nothing)
        plain = [f"{value} {sign}".strip() for value, sign in self._values]
        spoken = tr(" or ").join(plain) or tr("not known now")
        self.setAccessibleName(f"{self._words}: {spoken}. {self.why.text()}")


class ReasonRow(QWidget):
    """A check or a caution: its sign, what to do, why, and the source behind a click."""

    def __init__(self) -> None:
        super().__init__()
        self.sign = Sign()
        self.text, self.why = SteadyLabel("body"), SteadyLabel("muted")
        self.source = SourceLink()
        words = QVBoxLayout()
        words.setSpacing(2)
        for part in (self.text, self.why, self.source.label):
            words.addWidget(part)
        box = QHBoxLayout(self)
        box.setContentsMargins(0, 5, 0, 5)
        box.setSpacing(12)
        top = Qt.AlignmentFlag.AlignTop
        box.addWidget(self.sign, 0, top)
        box.addLayout(words, 1)
        box.addWidget(self.source, 0, top)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        for part in (self.sign, self.text, self.why):
            part.use(theme)

    def forget_height(self) -> None:
        """Take only the room that the next text needs; for rows with nothing below them that could jump."""
        for label in (self.text, self.why):
            label.forget_height()

    def show_reason(self, kind: str, text: str, why: str, source: str) -> None:
        """Show it; `kind` as in `Sign`. Another text closes an open source."""
        if glued(text) != self.text.text() and self.source.isChecked():
            self.source.setChecked(False)
        self.sign.show_kind(kind)
        self.text.say(text)
        self.why.say(why)
        self.source.about(text, source)
        self.setAccessibleName(f"{self.sign.accessibleName()}: {text} {why}")


def _ring(painter: QPainter, box: QRectF, color: QColor) -> None:
    painter.setPen(QPen(color, box.width() * 0.09))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawEllipse(QPointF(box.center()), box.width() * 0.45, box.width() * 0.45)
