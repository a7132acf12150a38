"""Rows of the thermometer page: a name, its field, and a remark below it, as narrow as the window may be."""

from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QSizePolicy, QWidget

from candlebench.ui.page_frame import role_label
from candlebench.ui.plan_choice import PlanChoice

# A field that is much wider than its words looks lost.
WIDEST_PX = 860


@dataclass(frozen=True, slots=True)
class Row:
    """One row, which can be hidden."""

    label: QLabel
    field: QWidget
    note: QLabel

    def show(self, wanted: bool) -> None:
        """Show it or take it out of the form."""
        for part in (self.label, self.field):
            part.setVisible(wanted)
        self.note.setVisible(wanted and bool(self.note.text()))


class Rows(QWidget):
    """Rows lined up."""

    def __init__(self) -> None:
        super().__init__()
        inner = QWidget()
        inner.setMaximumWidth(WIDEST_PX)
        box = QHBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addWidget(inner, 1000)
        box.addStretch(1)
        self._grid = QGridLayout(inner)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(16)
        self._grid.setVerticalSpacing(6)
        self._grid.setColumnStretch(1, 1)

    def label_px(self) -> int:
        """How wide its names are."""
        items = [self._grid.itemAtPosition(at, 0) for at in range(self._grid.rowCount())]
        labels = [item.widget() for item in items if item is not None]
        return max((label.sizeHint().width() for label in labels if not label.isHidden()), default=0)

    def line_up(self, label_px: int) -> None:
        """Let its fields begin where those beside names of this width do."""
        self._grid.setColumnMinimumWidth(0, label_px)

    def row(self, name: str, field: QWidget, remark: str = "") -> Row:
        """Add a row."""
        at = self._grid.rowCount()
        label = role_label(name, "lead", wrap=False)
        label.setBuddy(field)
        field.setAccessibleName(name)
        field.setAccessibleDescription(remark)
        field.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        note = role_label(remark, "muted")
        self._grid.addWidget(label, at, 0, Qt.AlignmentFlag.AlignVCenter)
        self._grid.addWidget(field, at, 1)
        self._grid.addWidget(note, at + 1, 1)
        # Not before it has its place: shown without one it would be a window.
        note.setVisible(bool(remark))
        return Row(label, field, note)


def choice(name: str, choices: list[tuple[object, str]], present: object) -> PlanChoice:
    """A choice among (value, words); a present value that is none of them is offered as well."""
    field = PlanChoice(name)
    if all(value != present for value, _ in choices):
        choices = [*choices, (present, str(present))]
    field.offer(choices)
    field.choose(present)
    return field
