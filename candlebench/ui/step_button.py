"""The one big button: what Space does, with its keycap. Filled means now, outlined means allowed."""

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QPushButton, QSizePolicy, QWidget

from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr


class StepButton(QPushButton):
    """Draws its label and the key that presses it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = Theme(LIGHT)
        self._filled = False
        self._key = tr("Space")
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.updateGeometry()
        self.update()

    def show_step(self, label: str, filled: bool) -> None:
        """Set the words and whether it is time."""
        if label == self.text() and filled == self._filled:
            return
        self._filled = filled
        self.setText(label)
        self.setAccessibleName(tr("{label}, key {key}").format(label=label, key=self._key))
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        theme = self._theme
        words = QFontMetricsF(theme.font(22, 700, 1.9)).horizontalAdvance(self.text())
        key = QFontMetricsF(theme.font(14, 600, 1.9)).horizontalAdvance(self._key)
        width = words + key + theme.px(24) * 2 + theme.px(16) + theme.px(20)
        return QSize(round(width), theme.px(64, 1.375))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        theme = self._theme
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        accent, surface = theme.color("accent"), theme.color("surface")
        ink = theme.color("on_accent") if self._filled else accent
        box = QRectF(self.rect()).adjusted(1.5, 1.5, -1.5, -1.5)
        pressed = self.isDown()
        painter.setPen(QPen(accent, 2.0))
        painter.setBrush(accent if self._filled else surface)
        painter.drawRoundedRect(box, 8, 8)
        if self.underMouse() and not pressed:
            painter.setBrush(theme.color("text", 0.06))
            painter.drawRoundedRect(box, 8, 8)
        if self.hasFocus():
            # The outline of the theme; on a filled button with a gap, so that it is seen.
            painter.setBrush(Qt.BrushStyle.NoBrush)
            if self._filled:
                painter.setPen(QPen(surface, 2.0))
                painter.drawRoundedRect(box.adjusted(2, 2, -2, -2), 6, 6)
            else:
                painter.setPen(QPen(accent, 2.0))
                painter.drawRoundedRect(box.adjusted(1, 1, -1, -1), 7, 7)
        painter.setPen(ink)
        painter.setFont(theme.font(22, 700, 1.9))
        left = theme.px(24)
        words = painter.fontMetrics().horizontalAdvance(self.text())
        painter.drawText(
            QRectF(left, 0, words + 4, self.height()), Qt.AlignmentFlag.AlignVCenter, self.text()
        )
        painter.setFont(theme.font(14, 600, 1.9))
        metrics = QFontMetricsF(painter.font())
        width, height = metrics.horizontalAdvance(self._key) + theme.px(20), metrics.height() + theme.px(10)
        cap = QRectF(left + words + theme.px(16), (self.height() - height) / 2, width, height)
        painter.setPen(QPen(ink, 1.0))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(cap, 5, 5)
        painter.drawText(cap, Qt.AlignmentFlag.AlignCenter, self._key)
        painter.end()
