"""A label as it will be printed, drawn to scale, and how the sheet will look."""

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from candlebench.core.errors import FixableError
from candlebench.core.labels import SHEETS_MM, LabelSize, Shape, places_mm
from candlebench.ui.label_drawing import paint_label
from candlebench.ui.label_layout import LaidOut
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

_PAPER = QColor("#FFFFFF")
_RULE_MM = 10.0
_MARGIN_PX = 10.0


class LabelPreview(QWidget):
    """One label, as large as there is room, on white, with a line that is 10 mm long."""

    def __init__(self) -> None:
        super().__init__()
        self._theme = Theme(LIGHT)
        self._laid: LaidOut | None = None
        self._size: LabelSize | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(160, 120)
        self.setAccessibleName(tr("The label as it will be printed"))

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.update()

    def show_label(self, laid: LaidOut | None, size: LabelSize | None) -> None:
        """Show a label; nothing without one."""
        self._laid, self._size = laid, size
        words = " ".join(each.text for each in laid.words) if laid is not None else ""
        self.setAccessibleDescription(words)
        self.update()

    def px_per_mm(self) -> float:
        """How large the label is drawn."""
        if self._size is None:
            return 1.0
        foot = self._theme.px(22, 1.4)
        return min(
            (self.width() - 2.0 * _MARGIN_PX) / self._size.width_mm,
            (self.height() - 2.0 * _MARGIN_PX - foot) / self._size.height_mm,
        )

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._laid is None or self._size is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        scale = self.px_per_mm()
        wide, high = self._size.width_mm * scale, self._size.height_mm * scale
        box = QRectF(0.5 * (self.width() - wide), _MARGIN_PX, wide, high)
        painter.setPen(QPen(self._theme.color("strong_line"), 1.0))
        painter.setBrush(_PAPER)
        if self._size.shape is Shape.ROUND:
            painter.drawEllipse(box)
        else:
            painter.drawRect(box)
        painter.translate(box.topLeft())
        paint_label(painter, self._laid, scale)
        painter.translate(-box.topLeft())
        self._rule(painter, box, scale)
        painter.end()

    def _rule(self, painter: QPainter, box: QRectF, scale: float) -> None:
        """Ten millimetres at this scale, so that one sees how much it is enlarged."""
        font = self._theme.font(14, 400, 1.4)
        painter.setFont(font)
        painter.setPen(QPen(self._theme.color("muted"), 1.2))
        y, left = box.bottom() + self._theme.px(14, 1.4), box.left()
        right = left + _RULE_MM * scale
        painter.drawLine(QLineF(left, y, right, y))
        for x in (left, right):
            painter.drawLine(QLineF(x, y - 4.0, x, y + 4.0))
        painter.drawText(QPointF(right + 8.0, y + self._theme.px(5, 1.4)), tr("10 mm"))


class SheetPreview(QWidget):
    """The sheet with all its labels, small."""

    def __init__(self) -> None:
        super().__init__()
        self._theme = Theme(LIGHT)
        self._laid: LaidOut | None = None
        self._size: LabelSize | None = None
        self._sheet, self._count = "a4", 1
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("The sheet"))

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.update()

    def show_sheet(self, laid: LaidOut | None, size: LabelSize | None, sheet: str, count: int) -> None:
        """Show the first sheet of so many labels."""
        self._laid, self._size, self._sheet, self._count = laid, size, sheet, count
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(134, 186)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        wide, high = SHEETS_MM[self._sheet]
        scale = min((self.width() - 2.0) / wide, (self.height() - 2.0) / high)
        painter.translate(1.0, 1.0)
        painter.setPen(QPen(self._theme.color("strong_line"), 1.0))
        painter.setBrush(_PAPER)
        painter.drawRect(QRectF(0.0, 0.0, wide * scale, high * scale))
        for x, y in self._places():
            painter.save()
            painter.translate(x * scale, y * scale)
            self._small_label(painter, scale)
            painter.restore()
        painter.end()

    def _places(self) -> list[tuple[float, float]]:
        if self._size is None:
            return []
        try:
            return list(places_mm(self._size, self._sheet))[: self._count]
        except FixableError:
            return []

    def _small_label(self, painter: QPainter, scale: float) -> None:
        assert self._size is not None
        outline = QRectF(0.0, 0.0, self._size.width_mm * scale, self._size.height_mm * scale)
        painter.setPen(QPen(QColor("#B8AA95"), 0.8))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if self._size.shape is Shape.ROUND:
            painter.drawEllipse(outline)
        else:
            painter.drawRect(outline)
        if self._laid is not None:
            paint_label(painter, self._laid, scale)
