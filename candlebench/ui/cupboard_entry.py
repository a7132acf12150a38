"""One field of the cupboard's forms: its name above, what is wrong below, comma or point as it comes."""

import math
import re
from datetime import date

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QCheckBox, QComboBox, QLineEdit, QVBoxLayout, QWidget

from candlebench.core.plan.reasoned import number
from candlebench.ui.cupboard_fields import Field, Value
from candlebench.ui.page_frame import role_label
from candlebench.words import tr

_NUMBER = re.compile(r"([+-]?\d*[.,]?\d+|[+-]?\d+[.,])\s*(\D*)$")
# What may stand behind a number instead of the field's own unit.
_LARGER = {"g": {"kg": 1000.0}, "mL": {"ml": 1.0, "l": 1000.0, "L": 1000.0}}


def read_number(text: str, unit: str) -> float | None:
    """Return the number in a text, in the field's unit: '3,4 kg' is 3400 where grams are counted."""
    found = _NUMBER.match(text.strip())
    if found is None:
        return None
    factors = {"": 1.0, unit: 1.0, **_LARGER.get(unit, {})}
    factor = factors.get(found[2].strip())
    value = float(found[1].replace(",", "."))
    return None if factor is None or not math.isfinite(value) else value * factor


class Choice(QComboBox):
    """A choice in a panel that scrolls: the wheel moves the panel, never what was chosen."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        # It must not ask for as much room as its longest words.
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(8)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()


class Entry(QWidget):
    """`changed` tells that something was typed or chosen; `done` that Enter was pressed."""

    changed = Signal()
    done = Signal()

    def __init__(self, field: Field, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.field = field
        self._line, self._choice, self._tick = QLineEdit(self), Choice(self), QCheckBox(field.name, self)
        self.editor: QWidget = {"choice": self._choice, "tick": self._tick}.get(field.kind, self._line)
        for other in (self._line, self._choice, self._tick):
            other.setVisible(other is self.editor)
        self._problem = role_label("", "problem")
        self._problem.hide()
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(3)
        words = f"{field.name}, {field.unit}" if field.unit else field.name
        if field.kind != "tick":
            label = role_label(words, "label")
            label.setBuddy(self.editor)
            box.addWidget(label)
        for words_key, choice in field.choices:
            self._choice.addItem(choice, words_key)
        box.addWidget(self.editor)
        if field.remark:
            box.addWidget(role_label(field.remark, "label"))
        box.addWidget(self._problem)
        box.addStretch(1)
        self.editor.setAccessibleName(words)
        self.editor.setAccessibleDescription(field.remark)
        if field.kind == "day":
            self._line.setPlaceholderText("2026-11-25")
        self._line.textEdited.connect(self._edited)
        self._line.editingFinished.connect(self._finished)
        self._line.returnPressed.connect(self.done)
        self._choice.currentIndexChanged.connect(self._edited)
        self._tick.toggled.connect(self._edited)

    def show_value(self, value: Value) -> None:
        """Show a value."""
        match self.field.kind:
            case "choice":
                place = self._choice.findData(value)
                if place < 0 and isinstance(value, str) and value:
                    # Kept under a name that the tables do not know any more: it stays as it is.
                    self._choice.addItem(value, value)
                    place = self._choice.count() - 1
                self._choice.setCurrentIndex(max(place, 0))
            case "tick":
                self._tick.setChecked(bool(value))
            case "number" | "whole":
                shown = isinstance(value, int | float)
                self._line.setText(f"{value:.10g}" if shown else "")
            case "day":
                self._line.setText(value.isoformat() if isinstance(value, date) else "")
            case _:
                self._line.setText(str(value or ""))

    def value(self) -> Value:
        """What stands there; None when it is empty or wrong."""
        match self.field.kind:
            case "choice":
                return str(self._choice.currentData() or "")
            case "tick":
                return self._tick.isChecked()
            case "text":
                return self._line.text().strip()
        if self.problem():
            return None
        text = self._line.text().strip()
        if self.field.kind == "day":
            return date.fromisoformat(text) if text else None
        return read_number(text, self.field.unit)

    def problem(self) -> str:
        """'' when what stands there can be used, else one sentence with what to do."""
        field, text = self.field, self._line.text().strip()
        if field.kind in ("choice", "tick"):
            return ""
        if not text:
            return tr("{name}: type it here.").format(name=field.name) if field.needed else ""
        if field.kind == "day":
            return "" if _is_day(text) else tr("Type year, month and day, like 2026-11-25.")
        return "" if field.kind == "text" else self._number_problem(text)

    def _number_problem(self, text: str) -> str:
        field = self.field
        value = read_number(text, field.unit)
        if value is None:
            return tr("“{text}” is no number: type digits, with a comma or a point.").format(text=text)
        if field.kind == "whole" and value != int(value):
            return tr("Type a whole number.")
        if not field.low <= value <= field.high:
            words = tr("Type a number from {low} to {high} {unit}.")
            return words.format(low=number(field.low), high=number(field.high), unit=field.unit).replace(
                " .", "."
            )
        return ""

    def say(self, problem: str) -> None:
        """Mark the field with what to do; '' takes the mark away."""
        self._problem.setText(problem)
        self._problem.setVisible(bool(problem))
        self.editor.setAccessibleDescription(problem or self.field.remark)

    @property
    def said(self) -> str:
        """What is marked at the field."""
        return self._problem.text()

    def _edited(self) -> None:
        if self._problem.text():
            self.say(self.problem())
        self.changed.emit()

    def _finished(self) -> None:
        # An empty field is no fault until the form is to be kept.
        if self._line.text().strip():
            self.say(self.problem())


def _is_day(text: str) -> bool:
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True
