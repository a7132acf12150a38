"""The small drawn shapes: limits, marks, arrows, ticks. Never colour alone: each state has its own form."""

import math

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPen, QPolygonF


def polygon(sides: int, center: QPointF, radius: float, turned_degrees: float) -> QPolygonF:
    """A regular polygon around `center`."""
    angles = [math.radians(turned_degrees + 360.0 * i / sides) for i in range(sides)]
    return QPolygonF(
        [QPointF(center.x() + radius * math.cos(a), center.y() + radius * math.sin(a)) for a in angles]
    )


def triangle(painter: QPainter, center: QPointF, size: float, color: QColor, down: bool = False) -> None:
    """A filled triangle, point up (a warning) or down (oil in)."""
    half = size / 2.0
    tip = half if down else -half
    points = [
        QPointF(center.x() - half, center.y() - tip * 0.85),
        QPointF(center.x() + half, center.y() - tip * 0.85),
        QPointF(center.x(), center.y() + tip * 0.95),
    ]
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(color)
    painter.drawPolygon(QPolygonF(points))


def diamond(painter: QPainter, center: QPointF, size: float, color: QColor) -> None:
    """A filled diamond: the strong limit."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(color)
    painter.drawPolygon(polygon(4, center, size / 2.0, 0.0))


def octagon(painter: QPainter, center: QPointF, size: float, color: QColor) -> None:
    """A filled octagon: stop."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(color)
    painter.drawPolygon(polygon(8, center, size / 2.0, 22.5))


def ring(painter: QPainter, center: QPointF, radius: float, line: QColor, fill: QColor, width: float) -> None:
    """A circle with an edge."""
    painter.setPen(QPen(line, width))
    painter.setBrush(fill)
    painter.drawEllipse(center, radius, radius)


def square(painter: QPainter, center: QPointF, size: float, line: QColor, fill: QColor) -> None:
    """A square with an edge: off the heat (empty), poured (filled)."""
    painter.setPen(QPen(line, 1.8))
    painter.setBrush(fill)
    painter.drawRect(QRectF(center.x() - size / 2, center.y() - size / 2, size, size))


def tick(painter: QPainter, center: QPointF, size: float, color: QColor, width: float) -> None:
    """A check mark."""
    path = QPainterPath(QPointF(center.x() - size * 0.32, center.y() + size * 0.02))
    path.lineTo(center.x() - size * 0.08, center.y() + size * 0.25)
    path.lineTo(center.x() + size * 0.34, center.y() - size * 0.24)
    pen = QPen(color, width)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(path)


def slope_arrow(painter: QPainter, box: QRectF, slope: int, color: QColor, width: float) -> None:
    """An arrow that rises (1), falls (-1) or lies level (0) across `box`."""
    pen = QPen(color, width)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    middle = box.center().y()
    rise = slope * box.height() * 0.36
    start, end = QPointF(box.left() + 1, middle + rise), QPointF(box.right() - 1, middle - rise)
    painter.drawLine(start, end)
    angle = math.atan2(end.y() - start.y(), end.x() - start.x())
    for turn in (2.6, -2.6):
        barb = QPointF(
            end.x() + box.width() * 0.36 * math.cos(angle + turn),
            end.y() + box.width() * 0.36 * math.sin(angle + turn),
        )
        painter.drawLine(end, barb)


def warning_sign(painter: QPainter, box: QRectF, color: QColor, inside: QColor) -> None:
    """A triangle with an exclamation mark."""
    path = QPainterPath()
    path.moveTo(box.center().x(), box.top() + box.height() * 0.06)
    path.lineTo(box.right() - box.width() * 0.02, box.bottom() - box.height() * 0.08)
    path.lineTo(box.left() + box.width() * 0.02, box.bottom() - box.height() * 0.08)
    path.closeSubpath()
    pen = QPen(color, box.width() * 0.08)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(color)
    painter.drawPath(path)
    painter.setPen(QPen(inside, box.width() * 0.10, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
    x = box.center().x()
    painter.drawLine(QPointF(x, box.top() + box.height() * 0.36), QPointF(x, box.top() + box.height() * 0.60))
    painter.drawPoint(QPointF(x, box.top() + box.height() * 0.77))


def stop_sign(painter: QPainter, box: QRectF, color: QColor, inside: QColor) -> None:
    """An octagon with an exclamation mark."""
    octagon(painter, box.center(), box.width(), color)
    painter.setPen(QPen(inside, box.width() * 0.11, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
    x = box.center().x()
    painter.drawLine(QPointF(x, box.top() + box.height() * 0.25), QPointF(x, box.top() + box.height() * 0.54))
    painter.drawPoint(QPointF(x, box.top() + box.height() * 0.74))


def probe_ring(painter: QPainter, center: QPointF, radius: float, good: bool, color: QColor) -> None:
    """A ring with a tick, or a broken ring."""
    pen = QPen(color, max(1.5, radius * 0.17))
    if not good:
        pen.setDashPattern([2.0, 2.2])
    painter.setPen(pen)
    painter.setBrush(QBrush(Qt.BrushStyle.NoBrush))
    painter.drawEllipse(center, radius, radius)
    if good:
        tick(painter, center, radius * 1.25, color, max(1.5, radius * 0.18))
