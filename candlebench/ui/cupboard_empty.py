"""An empty cupboard: what it is for, and how to begin."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QGridLayout, QPushButton, QVBoxLayout

from candlebench.records.cupboard_stock import KINDS
from candlebench.ui.page_frame import role_label
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr


def thing_words(shelf: str) -> str:
    """What is put on a shelf, on a button."""
    return {
        "waxes": tr("Wax, one lot"),
        "oils": tr("Oil, one bottle"),
        "jars": tr("Jars"),
        "wicks": tr("Wicks"),
        "labels": tr("Labels"),
        "leftovers": tr("Leftover wax"),
    }[shelf]


class CupboardEmpty(QFrame):
    """Emits the shelf on which something is to be put."""

    wanted = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("card")
        self._theme = Theme(LIGHT)
        self.buttons: dict[str, QPushButton] = {}
        box = QVBoxLayout(self)
        box.setContentsMargins(24, 20, 24, 20)
        box.setSpacing(14)
        box.addWidget(role_label(tr("The cupboard is still empty. What do you have?"), "section"))
        text = tr(
            "Begin with the wax you melt next. A plan then knows its limits and its price, and what a batch "
            "takes is gone from here once you say that it was made."
        )
        box.addWidget(role_label(text, "lead"))
        self._grid = QGridLayout()
        self._grid.setSpacing(12)
        self._columns = 0
        for shelf in KINDS:
            button = QPushButton(thing_words(shelf))
            button.clicked.connect(lambda _=False, s=shelf: self.wanted.emit(s))
            self.buttons[shelf] = button
        box.addLayout(self._grid)
        text = tr("Name, kind and amount are enough to begin with; the price can come later.")
        box.addWidget(role_label(text, "muted"))
        self._arrange(3)

    def use(self, theme: Theme) -> None:
        """Take another size of text."""
        self._theme = theme
        self._fit()

    def take_focus(self) -> None:
        """Let Enter begin with wax."""
        next(iter(self.buttons.values())).setFocus()

    def fill_first(self, filled: bool) -> None:
        """Fill the first button, or leave that to another one on the page."""
        first = next(iter(self.buttons.values()))
        first.setProperty("role", "main" if filled else "")
        first.style().unpolish(first)
        first.style().polish(first)

    def _arrange(self, columns: int) -> None:
        self._columns = columns
        for place, button in enumerate(self.buttons.values()):
            self._grid.removeWidget(button)
            self._grid.addWidget(button, place // columns, place % columns)
        for column in range(4):
            self._grid.setColumnStretch(column, 1 if column == columns else 0)
            self._grid.setColumnMinimumWidth(column, self._theme.px(170) if column < columns else 0)
        self._grid.setAlignment(Qt.AlignmentFlag.AlignTop)

    def _fit(self) -> None:
        room = self.width() - 48
        columns = 3 if room >= self._theme.px(560) else 2 if room >= self._theme.px(370) else 1
        self._arrange(columns)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()
