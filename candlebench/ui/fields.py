"""Fields for numbers with units: comma or point, empty when not known, a sentence when wrong."""

import math

from PySide6.QtWidgets import QGridLayout, QLabel, QLineEdit, QWidget

from candlebench.ui.page_frame import role_label
from candlebench.words import tr


class NumberField(QLineEdit):
    """A number in a range.

    Parameters
    ----------
    name : str
        For people and screen readers.
    unit : str
        Shown in its name.
    low, high : float
        What is possible.
    optional : bool
        May be left empty.
    """

    def __init__(self, name: str, unit: str, low: float, high: float, optional: bool = False) -> None:
        super().__init__()
        self._name, self._unit = name, unit
        self._low, self._high, self._optional = low, high, optional
        self.setAccessibleName(f"{name}, {unit}" if unit else name)
        self.setMaximumWidth(220)

    def use_range(self, unit: str, low: float, high: float) -> None:
        """Take another unit and the range in it."""
        self._unit, self._low, self._high = unit, low, high
        self.setAccessibleName(f"{self._name}, {unit}" if unit else self._name)

    def show_number(self, number: float | None) -> None:
        """Show a number, or nothing."""
        self.setText("" if number is None else f"{number:.1f}".removesuffix(".0"))

    def problem(self) -> str:
        """'' when what stands there can be used, else one sentence with what to do."""
        text = self.text().strip()
        if not text:
            return "" if self._optional else tr("{name}: write a number.").format(name=self._name)
        number = self._parsed(text)
        if number is None:
            return tr("{name}: “{text}” is no number; write one like {example}.").format(
                name=self._name, text=text, example=f"{(self._low + self._high) / 2:.0f}"
            )
        if not self._low <= number <= self._high:
            return tr("{name}: write a number from {low:g} to {high:g} {unit}.").format(
                name=self._name, low=self._low, high=self._high, unit=self._unit
            )
        return ""

    def number(self) -> float | None:
        """The number; None when the field is empty or wrong."""
        text = self.text().strip()
        return None if not text or self.problem() else self._parsed(text)

    def _parsed(self, text: str) -> float | None:
        try:
            number = float(text.replace(",", "."))
        except ValueError:
            return None
        return number if math.isfinite(number) else None


class Form(QWidget):
    """Rows of name, field and unit or remark, lined up."""

    def __init__(self) -> None:
        super().__init__()
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(16)
        self._grid.setVerticalSpacing(10)
        self._grid.setColumnStretch(2, 1)

    def row(self, name: str, field: QWidget, remark: str = "") -> QLabel:
        """Add a row; the remark may be changed later through the label returned."""
        at = self._grid.rowCount()
        label = role_label(name, "lead", wrap=False)
        label.setBuddy(field)
        note = role_label(remark, "muted")
        self._grid.addWidget(label, at, 0)
        self._grid.addWidget(field, at, 1)
        self._grid.addWidget(note, at, 2)
        return note
