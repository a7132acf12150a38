"""The plan's fields: a number with its unit inside, a mark where it is wrong, a text that keeps still."""

import math
import re

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QLineEdit, QSizePolicy, QVBoxLayout, QWidget

from candlebench.ui.page_frame import role_label
from candlebench.ui.shapes import stop_sign
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

MOST_DIGITS = 4
_NUMBER_AND_UNIT = re.compile(r"(\d) (?=%|°|g\b|g/|kg\b|mm\b|mL\b|min\b|h\b|kWh\b)")


class PlanField(QLineEdit):
    """A number with its unit; the arrow keys step it, Enter goes on to the next field.

    Parameters
    ----------
    name : str
        For people and screen readers.
    unit : str
        Drawn inside, at the right; '' for a count.
    step : float
        What an arrow key adds.
    empty : str
        Stands in the empty field and says what that means; '' when a number has to be there.
    """

    def __init__(self, name: str, unit: str, step: float = 1.0, empty: str = "") -> None:
        super().__init__()
        self._theme = Theme(LIGHT)
        self.name, self._unit, self._step, self._optional = name, unit, step, bool(empty)
        self.fault = ""
        self.setPlaceholderText(empty)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(f"{name}, {unit}" if unit else name)
        self.returnPressed.connect(self.focusNextChild)
        self.textChanged.connect(self._make_room)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.setMinimumWidth(theme.px(64))
        self._make_room()

    def use_unit(self, unit: str) -> None:
        """Count in another unit."""
        self._unit = unit
        self.setAccessibleName(f"{self.name}, {unit}" if unit else self.name)
        self._make_room()

    def show_number(self, value: float | None) -> None:
        """Show a number, or nothing."""
        text = "" if value is None else f"{value:.{MOST_DIGITS}f}".rstrip("0").rstrip(".")
        if text != self.text():
            self.setText(text)

    def number(self) -> float | None:
        """The number; None when the field is empty or holds none."""
        try:
            value = float(self.text().strip().replace(",", "."))
        except ValueError:
            return None
        return value if math.isfinite(value) else None

    def problem(self) -> str:
        """'' when a number stands there, or may be missing; else one sentence with what to do."""
        text = self.text().strip()
        if not text:
            return "" if self._optional else tr("{name}: type a number.").format(name=self.name)
        if self.number() is None:
            return tr("{name}: “{text}” is no number.").format(name=self.name, text=text)
        return ""

    def mark(self, fault: str) -> None:
        """Mark the field as wrong, with what to do; '' takes the mark away."""
        if fault == self.fault:
            return
        self.fault = fault
        mark_widget(self, fault)
        self._make_room()

    def _make_room(self) -> None:
        """The number ends before what is drawn at the right."""
        theme = self._theme
        width = 0.0
        if self.fault:
            width = theme.px(20)
        elif self._unit and self.text():
            width = QFontMetricsF(theme.font(15)).horizontalAdvance(self._unit)
        self.setTextMargins(0, 0, round(width), 0)
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = {Qt.Key.Key_Up: self._step, Qt.Key.Key_Down: -self._step}.get(Qt.Key(event.key()))
        value = self.number()
        if step is None or value is None:
            super().keyPressEvent(event)
            return
        # On whole steps, so that 6.3 goes to 6.5 and not to 6.8.
        steps = value / abs(step)
        whole = math.floor(steps + 1.0 + 1e-9) if step > 0.0 else math.ceil(steps - 1.0 - 1e-9)
        self.show_number(max(0.0, whole * abs(step)))
        self.selectAll()
        self.textEdited.emit(self.text())

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        theme = self._theme
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        right = self.width() - 11.0
        if self.fault:
            # The sign takes the unit's place: the number must stay readable.
            size = float(theme.px(18))
            box = QRectF(right - size, (self.height() - size) / 2.0, size, size)
            stop_sign(painter, box, theme.color("danger"), theme.color("background"))
        elif self._unit and self.text():
            # An empty field has its whole width for what that means.
            painter.setFont(theme.font(15))
            painter.setPen(theme.color("muted"))
            box = QRectF(0.0, 0.0, right, self.height())
            painter.drawText(box, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, self._unit)
        painter.end()


class SteadyLabel(QLabel):
    """A wrapped text that keeps the height it has once needed, so that nothing below it jumps.

    Parameters
    ----------
    role : str
        Of the style sheet.
    lines : int
        Room that is kept from the beginning.
    """

    def __init__(self, role: str, lines: int = 1) -> None:
        super().__init__()
        self._lines = lines
        self._needed: dict[int, int] = {}
        self.setProperty("role", role)
        self.setWordWrap(True)
        self.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)

    def use(self, theme: Theme) -> None:
        """Forget the heights of another size of text."""
        self.forget_height()

    def forget_height(self) -> None:
        """Take only the room that the present text needs."""
        self._needed.clear()
        self.updateGeometry()

    def say(self, text: str, role: str = "") -> None:
        """Show a text, in another role if one is named."""
        if role and role != self.property("role"):
            self.setProperty("role", role)
            _polish(self)
        text = glued(text)
        if text != self.text():
            self.setText(text)

    def keep_lines(self, lines: int) -> None:
        """Keep another room from now on."""
        self._lines = lines
        self.updateGeometry()

    def heightForWidth(self, width: int) -> int:
        least = self._lines * self.fontMetrics().lineSpacing()
        height = max(super().heightForWidth(width), least, self._needed.get(width, 0))
        self._needed[width] = height
        return height


def cell(words: str, field: QWidget, wrap: bool = False) -> QWidget:
    """A field with its name above it; a long name may be broken into lines."""
    label = role_label(words, "label", wrap)
    label.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignBottom)
    label.setBuddy(field)
    frame = QWidget()
    box = QVBoxLayout(frame)
    box.setContentsMargins(0, 0, 0, 0)
    box.setSpacing(3)
    box.addWidget(label)
    box.addWidget(field)
    return frame


def mark_widget(widget: QWidget, fault: str) -> None:
    """Give a field the style of a wrong one, and its fault to the tooltip and the screen reader."""
    widget.setProperty("wrong", bool(fault))
    widget.setToolTip(fault)
    widget.setAccessibleDescription(fault)
    _polish(widget)


def glued(text: str) -> str:
    """The text with each number kept on one line with its unit."""
    return _NUMBER_AND_UNIT.sub("\\1\N{NO-BREAK SPACE}", text)


def _polish(widget: QWidget) -> None:
    style = widget.style()
    style.unpolish(widget)
    style.polish(widget)
