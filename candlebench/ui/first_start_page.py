"""The first start: how does she read the temperature? Nothing else is asked."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QPushButton, QVBoxLayout, QWidget

from candlebench.ui.page_frame import card, framed_page, role_label
from candlebench.ui.theme import Theme
from candlebench.words import tr

SHORT_SAFETY = tr(
    "Never leave melting wax alone. If wax burns: heat off, lid on, never water. Hot wax on skin: cool "
    "running water for 20 minutes. Scented oil goes in off the heat, with every flame out. Children and pets "
    "stay away. Local rules and your suppliers' data sheets come first. More under Safety, key F1."
)


# Left and right of a button in its card, and of the cards in the page with the spaces between them.
CARD_EDGES_PX, PAGE_EDGES_PX = 50, 80


class FirstStartPage(QWidget):
    """Three ways to begin; emits 'plugged in', 'typed' or 'practise'."""

    chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        ways = (
            (
                "practise",
                tr("Practise first"),
                tr("A simulated melt, faster than life. Nothing can go wrong."),
            ),
            ("plugged in", tr("It is plugged in"), tr("A thermometer with a cable to this computer.")),
            ("typed", tr("I type the numbers"), tr("A kitchen thermometer without a cable.")),
        )
        self._row = row = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        row.setSpacing(16)
        self.buttons: dict[str, QPushButton] = {}
        for i, (way, label, why) in enumerate(ways):
            button = QPushButton(label)
            button.setProperty("role", "main" if i == 0 else "plain")
            button.setAccessibleDescription(why)
            button.setMinimumHeight(64)
            button.clicked.connect(lambda _=False, w=way: self.chosen.emit(w))
            self.buttons[way] = button
            words = role_label(why, "muted")
            words.setAlignment(Qt.AlignmentFlag.AlignTop)
            row.addWidget(card(button, words), 1)
        body = QWidget()
        box = QVBoxLayout(body)
        box.setContentsMargins(24, 8, 24, 24)
        box.setSpacing(16)
        box.addWidget(role_label(tr("How do you read the temperature?"), "question"))
        box.addLayout(row)
        box.addWidget(role_label(tr("You can change this at any time under Thermometer."), "muted"))
        box.addSpacing(12)
        box.addWidget(
            card(role_label(tr("Before you light the hob"), "section"), role_label(SHORT_SAFETY, "lead"))
        )
        box.addStretch(1)
        framed_page(self, tr("Welcome to candlebench"), body, None)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._turn()

    def use(self, theme: Theme) -> None:
        """Take a theme: its text size decides whether the ways stand side by side."""
        self._turn()

    def _turn(self) -> None:
        """The ways side by side, or one below another where a button would be cut off."""
        widest = max(button.sizeHint().width() for button in self.buttons.values())
        wide = len(self.buttons) * (widest + CARD_EDGES_PX) + PAGE_EDGES_PX <= self.width()
        directions = QBoxLayout.Direction
        self._row.setDirection(directions.LeftToRight if wide else directions.TopToBottom)

    def take_focus(self) -> None:
        """Let Enter or Space begin at once."""
        self.buttons["practise"].setFocus()
