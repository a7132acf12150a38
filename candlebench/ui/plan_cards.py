"""The frames of the plan's results: a card with a heading, rows with a line between."""

from collections.abc import Sequence

from PySide6.QtWidgets import QFrame, QVBoxLayout, QWidget

from candlebench.ui.page_frame import role_label


def titled_card(words: str, body: QWidget) -> QFrame:
    """A card with a heading."""
    frame = QFrame()
    frame.setObjectName("card")
    box = QVBoxLayout(frame)
    box.setContentsMargins(22, 16, 22, 12)
    box.setSpacing(4)
    box.addWidget(role_label(words, "section"))
    box.addWidget(body)
    return frame


def rule() -> QFrame:
    """A thin line."""
    line = QFrame()
    line.setObjectName("rule")
    line.setFixedHeight(1)
    return line


def ruled(rows: Sequence[QWidget]) -> QWidget:
    """Rows with a thin line between."""
    frame = QWidget()
    box = QVBoxLayout(frame)
    box.setContentsMargins(0, 0, 0, 0)
    box.setSpacing(0)
    for index, row in enumerate(rows):
        if index:
            box.addWidget(rule())
        box.addWidget(row)
    return frame
