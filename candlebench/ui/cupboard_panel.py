"""What is asked beside the cupboard's table: a title, a body that scrolls, a problem, buttons."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from candlebench.ui.page_frame import role_label


def main_button(words: str) -> QPushButton:
    """The filled button of a panel."""
    button = QPushButton(words)
    button.setProperty("role", "main")
    return button


class _PanelScroll(QScrollArea):
    """Asks for little: what it holds must not push the page out of the window."""

    def sizeHint(self) -> QSize:
        return QSize(200, 90)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()


def framed_panel(
    panel: QFrame, title: str, body: QWidget, buttons: tuple[QPushButton, ...]
) -> tuple[QLabel, QLabel]:
    """Lay out `panel`; the labels returned are its title and a hidden one for what is wrong."""
    panel.setObjectName("card")
    panel.setAccessibleName(title)
    heading, problem = role_label(title, "section"), role_label("", "problem")
    problem.hide()
    scroll = _PanelScroll()
    scroll.setWidgetResizable(True)
    scroll.setFrameShape(QFrame.Shape.NoFrame)
    scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    scroll.setWidget(body)
    box = QVBoxLayout(panel)
    box.setContentsMargins(20, 14, 12, 14)
    box.setSpacing(10)
    box.addWidget(heading)
    box.addWidget(scroll, 1)
    box.addWidget(problem)
    grid = QGridLayout()
    grid.setContentsMargins(0, 0, 8, 0)
    grid.setSpacing(10)
    for place, button in enumerate(buttons):
        # Words that have no room are cut rather than the panel pushed out of the window.
        button.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        grid.addWidget(button, place // 2, place % 2)
    grid.setColumnStretch(0, 1)
    grid.setColumnStretch(1, 1)
    box.addLayout(grid)
    return heading, problem


def say(label: QLabel, problem: str) -> None:
    """Show what is wrong, or nothing."""
    label.setText(problem)
    label.setVisible(bool(problem))
