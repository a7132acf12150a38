"""A kitchen thermometer, drawn: what its display shows is for her to read and type."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from candlebench.core.units import Shown
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr


class ProbeDisplay(QWidget):
    """Handle with a display at the left, the probe's stem to the right."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme, self._shown = Theme(LIGHT), Shown()
        self._text = tr("--.-")
        self._stem = True
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("Kitchen thermometer"))

    def use(self, theme: Theme, shown: Shown) -> None:
        """Take a theme and a unit."""
        self._theme, self._shown = theme, shown
        self.updateGeometry()
        self.update()

    @property
    def text(self) -> str:
        """What the display shows."""
        return self._text

    def show_temp(self, temp_c: float) -> None:
        """Show a temperature as the display does, to a tenth."""
        text = f"{self._shown.number(temp_c):.1f} {self._shown.sign}"
        if text != self._text:
            self._text = text
            self.setAccessibleDescription(tr("It shows {temp}").format(temp=text))
            self.setToolTip(tr("It shows {temp}: type the number, then Enter").format(temp=text))
            self.update()

    def draw_stem(self, wanted: bool) -> None:
        """Draw the probe's stem, or the display alone where there is little room."""
        if wanted != self._stem:
            self._stem = wanted
            self.updateGeometry()
            self.update()

    def sizeHint(self) -> QSize:
        theme = self._theme
        stem = theme.px(52, 1.2) if self._stem else 2
        return QSize(round(self._handle_px()) + stem, theme.px(40, 1.6))

    def _handle_px(self) -> float:
        digits = QFontMetricsF(self._theme.font(22, 700, 1.7)).horizontalAdvance(f"888.8 {self._shown.sign}")
        return digits + self._theme.px(34, 1.5)

    def paintEvent(self, event: QPaintEvent) -> None:
        theme = self._theme
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        handle = QRectF(0.75, 0.75, self._handle_px(), self.height() - 1.5)
        middle, tip = handle.center().y(), float(self.width() - 3)
        if self._stem:
            thin = tip - theme.px(12, 1.2)
            for width, left, right in ((4, handle.right(), thin), (2, thin, tip)):
                pen = QPen(theme.color("strong_line"), theme.px(width, 1.5))
                pen.setCapStyle(Qt.PenCapStyle.RoundCap)
                painter.setPen(pen)
                painter.drawLine(QPointF(left, middle), QPointF(right, middle))
        painter.setPen(QPen(theme.color("strong_line"), 1.5))
        painter.setBrush(theme.color("sunk"))
        painter.drawRoundedRect(handle, 9, 9)
        display = handle.adjusted(theme.px(8), 5, -theme.px(8), -5)
        painter.setPen(QPen(theme.color("line"), 1))
        painter.setBrush(theme.color("surface"))
        painter.drawRoundedRect(display, 4, 4)
        painter.setFont(theme.font(22, 700, 1.7))
        painter.setPen(QPen(theme.color("text")))
        painter.drawText(display, Qt.AlignmentFlag.AlignCenter, self._text)
        painter.end()
