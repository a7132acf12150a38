"""The frame of every page but the melt: a title, what it is for, the way back, and a body that scrolls."""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from candlebench.words import tr


def role_label(text: str, role: str, wrap: bool = True) -> QLabel:
    """A label in one of the style sheet's roles."""
    label = QLabel(text)
    label.setProperty("role", role)
    label.setWordWrap(wrap)
    return label


def card(*parts: QWidget) -> QFrame:
    """A card with its parts one below another."""
    frame = QFrame()
    frame.setObjectName("card")
    box = QVBoxLayout(frame)
    box.setContentsMargins(24, 18, 24, 18)
    box.setSpacing(10)
    for part in parts:
        box.addWidget(part)
    return frame


def left(*parts: QWidget) -> QWidget:
    """Parts side by side at the left, as wide as they need to be."""
    row = QWidget()
    box = QHBoxLayout(row)
    box.setContentsMargins(0, 0, 0, 0)
    box.setSpacing(12)
    for part in parts:
        box.addWidget(part)
    box.addStretch(1)
    return row


def framed_page(
    page: QWidget, title: str, body: QWidget, back: Callable[[], None] | None
) -> QPushButton | None:
    """Lay out `page`: the title, a way back to where she came from, and `body` in a scroll area.

    Returns the button of the way back.
    """
    button = None
    heading = role_label(title, "title", wrap=False)
    row = QHBoxLayout()
    row.setContentsMargins(24, 14, 24, 6)
    row.addWidget(heading)
    row.addStretch(1)
    if back is not None:
        button = QPushButton(tr("Back  Esc"))
        button.clicked.connect(lambda: back())
        row.addWidget(button)
    scroll = QScrollArea()
    scroll.setWidgetResizable(True)
    scroll.setFrameShape(QFrame.Shape.NoFrame)
    scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    scroll.setWidget(body)
    scroll.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    box = QVBoxLayout(page)
    box.setContentsMargins(0, 0, 0, 0)
    box.setSpacing(0)
    box.addLayout(row)
    box.addWidget(scroll, 1)
    page.setAccessibleName(title)
    return button
