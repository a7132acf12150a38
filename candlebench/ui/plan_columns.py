"""Fields beside results, each column with its own scroll bar; one below the other where there is no room."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QStackedWidget, QVBoxLayout, QWidget

from candlebench.ui.theme import Theme

# Two columns from this width on, in pixels at 100 % text.
TWO_COLUMNS_PX = 620
# How they share the width, from so many pixels on and below.
WIDE_PX = 1000
WIDE_SHARES, NARROW_SHARES = (39, 61), (43, 57)


class PlanColumns(QStackedWidget):
    """Holds the two columns."""

    def __init__(self, left: QWidget, right: QWidget) -> None:
        super().__init__()
        self._columns = (left, right)
        self._scrolls, self._both = (_scroll(), _scroll()), _scroll()
        self._two: bool | None = None
        beside = QWidget()
        self._beside = QHBoxLayout(beside)
        self._beside.setContentsMargins(24, 0, 14, 0)
        self._beside.setSpacing(6)
        for scroll in self._scrolls:
            self._beside.addWidget(scroll)
        below = QWidget()
        self._below = QVBoxLayout(below)
        self._below.setContentsMargins(24, 0, 14, 0)
        self._below.setSpacing(14)
        self._both.setWidget(below)
        self.addWidget(beside)
        self.addWidget(self._both)

    def fit(self, width: int, theme: Theme) -> None:
        """Lay the columns out for a width."""
        shares = WIDE_SHARES if width >= theme.px(WIDE_PX) else NARROW_SHARES
        for index, share in enumerate(shares):
            self._beside.setStretch(index, share)
        two = width >= theme.px(TWO_COLUMNS_PX)
        if two == self._two:
            return
        self._two = two
        for scroll, column in zip(self._scrolls, self._columns, strict=True):
            if two:
                scroll.setWidget(_padded(column))
                continue
            self._below.addWidget(column)
            old = scroll.takeWidget()
            if old is not None:
                old.deleteLater()
        self.setCurrentIndex(0 if two else 1)
        for column in self._columns:
            column.show()

    def lead(self, part: QWidget | None) -> None:
        """Put a part above the single column; None leaves room for whoever takes it from there."""
        if part is not None and self._below.indexOf(part) < 0:
            self._below.insertWidget(0, part)
            part.show()

    def bring_into_view(self, part: QWidget) -> None:
        """Scroll to a part of the right column."""
        scroll = self._scrolls[1] if self._two else self._both
        scroll.ensureWidgetVisible(part, 0, 40)


def _scroll() -> QScrollArea:
    scroll = QScrollArea()
    scroll.setWidgetResizable(True)
    scroll.setFrameShape(QFrame.Shape.NoFrame)
    scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    return scroll


def _padded(column: QWidget) -> QWidget:
    """A column with room before the scroll bar."""
    frame = QWidget()
    box = QVBoxLayout(frame)
    box.setContentsMargins(0, 2, 10, 8)
    box.addWidget(column)
    return frame
