"""A label painted: on paper and in the preview alike."""

from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QColor, QFont, QPainter, QPen

from candlebench.core.labels import LabelSize, Shape
from candlebench.ui.debrief_paper import PAPER
from candlebench.ui.label_flow import LetterWidths
from candlebench.ui.label_layout import LaidOut
from candlebench.ui.paper_font import paper_font
from candlebench.ui.safety_drawings import draw

# A font's size is a whole number of px: letters are drawn large and scaled down, so that none is rounded off.
PX_PER_MM = 40.0
_INK = QColor("#000000")
_CUT = QColor("#8C7F6B")
_CUT_MM, _CUT_FROM_MM, _CUT_TO_MM = 0.15, 0.4, 1.7


def letter_widths() -> LetterWidths:
    """The widths of the label's letters (needs a QGuiApplication)."""
    return LetterWidths(_font)


def paint_label(painter: QPainter, laid: LaidOut, dots_per_mm: float) -> None:
    """Paint the words and pictures of a label; the painter stands at its upper left corner."""
    painter.save()
    painter.scale(dots_per_mm / PX_PER_MM, dots_per_mm / PX_PER_MM)
    for words in laid.words:
        painter.setFont(_font(words.letter_mm * PX_PER_MM, 700 if words.bold else 400))
        painter.setPen(QPen(_INK))
        painter.drawText(QPointF(words.x_mm * PX_PER_MM, words.y_mm * PX_PER_MM), words.text)
    for each in laid.pictures:
        side = each.side_mm * PX_PER_MM
        draw(painter, QRectF(each.x_mm * PX_PER_MM, each.y_mm * PX_PER_MM, side, side), each.topic, _INK)
    painter.restore()


def paint_cut_marks(painter: QPainter, size: LabelSize, dots_per_mm: float) -> None:
    """Paint where to cut: the circle of a round label, the corners of a rectangle, marks just outside."""
    painter.save()
    painter.scale(dots_per_mm, dots_per_mm)
    painter.setPen(QPen(_CUT, _CUT_MM))
    wide, high = size.width_mm, size.height_mm
    if size.shape is Shape.ROUND:
        painter.drawEllipse(QRectF(0.0, 0.0, wide, high))
        xs, ys = (0.5 * wide,), (0.5 * high,)
    else:
        xs, ys = (0.0, wide), (0.0, high)
    for x in xs:
        for edge, way in ((0.0, -1.0), (high, 1.0)):
            painter.drawLine(QLineF(x, edge + way * _CUT_FROM_MM, x, edge + way * _CUT_TO_MM))
    for y in ys:
        for edge, way in ((0.0, -1.0), (wide, 1.0)):
            painter.drawLine(QLineF(edge + way * _CUT_FROM_MM, y, edge + way * _CUT_TO_MM, y))
    painter.restore()


def _font(px: float, weight: int) -> QFont:
    font = paper_font(PAPER, px, weight)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return font
