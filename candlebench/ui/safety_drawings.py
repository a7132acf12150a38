"""Plain line drawings for the topics of a safety label. Our own: no standard's symbols, nor meant to be any.

Each is drawn into a square of `SIDE` units with lines only, so that it prints in one colour.
"""

from collections.abc import Callable, Mapping
from types import MappingProxyType

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

SIDE = 100.0
_LINE = 5.0


def draw(painter: QPainter, box: QRectF, topic: str, color: QColor) -> None:
    """Draw the picture of a topic into `box`, as large as fits, in one colour.

    Raises
    ------
    KeyError
        No drawing has this name.
    """
    side = min(box.width(), box.height())
    painter.save()
    painter.translate(box.center().x() - side / 2.0, box.center().y() - side / 2.0)
    painter.scale(side / SIDE, side / SIDE)
    pen = QPen(color, _LINE, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    DRAWINGS[topic](painter)
    painter.restore()


def _lines(painter: QPainter, *corners: tuple[float, float]) -> None:
    painter.drawPolyline(QPolygonF([QPointF(x, y) for x, y in corners]))


def _circle(painter: QPainter, x: float, y: float, radius: float, filled: bool = False) -> None:
    if filled:
        painter.setBrush(painter.pen().color())
    painter.drawEllipse(QPointF(x, y), radius, radius)
    painter.setBrush(Qt.BrushStyle.NoBrush)


def _flame(painter: QPainter, x: float, foot: float, high: float) -> None:
    """A flame with its foot at (x, foot)."""
    wide = high * 0.30
    path = QPainterPath(QPointF(x, foot - high))
    path.cubicTo(x + wide * 0.5, foot - high * 0.62, x + wide * 1.5, foot, x, foot)
    path.cubicTo(x - wide * 1.5, foot, x - wide * 0.5, foot - high * 0.62, x, foot - high)
    painter.drawPath(path)


def _jar(painter: QPainter, box: QRectF, wax: float = 0.62) -> float:
    """An open jar with wax in it, filled to a share of its height; returns where the wax stands."""
    level = box.bottom() - wax * box.height()
    _lines(
        painter,
        (box.left(), box.top()),
        (box.left(), box.bottom()),
        (box.right(), box.bottom()),
        (box.right(), box.top()),
    )
    painter.drawLine(QLineF(box.left(), level, box.right(), level))
    return level


def _lit_jar(painter: QPainter, box: QRectF, flame: float = 30.0) -> None:
    """A jar whose flame stands above its rim."""
    level = _jar(painter, box, 0.72)
    x = box.center().x()
    painter.drawLine(QLineF(x, level, x, box.top() - 2.0))
    _flame(painter, x, box.top() - 3.0, flame)


def _arrow(painter: QPainter, begin: QPointF, end: QPointF) -> None:
    line = QLineF(begin, end)
    painter.drawLine(line)
    for angle in (145.0, -145.0):
        barb = QLineF.fromPolar(min(11.0, 0.5 * line.length()), line.angle() + angle)
        painter.drawLine(barb.translated(end))


def _apart(painter: QPainter, left: float, right: float, y: float) -> None:
    """Two arrows away from each other: a distance to keep."""
    middle = 0.5 * (left + right)
    _arrow(painter, QPointF(middle, y), QPointF(left, y))
    _arrow(painter, QPointF(middle, y), QPointF(right, y))


def _warning(painter: QPainter) -> None:
    painter.drawPolygon(QPolygonF([QPointF(50.0, 10.0), QPointF(95.0, 88.0), QPointF(5.0, 88.0)]))
    painter.drawLine(QLineF(50.0, 38.0, 50.0, 60.0))
    _circle(painter, 50.0, 74.0, 2.0, filled=True)


def _attend(painter: QPainter) -> None:
    """Somebody sits beside the candle."""
    _circle(painter, 28.0, 26.0, 11.0)
    path = QPainterPath(QPointF(8.0, 92.0))
    path.cubicTo(8.0, 60.0, 14.0, 46.0, 28.0, 46.0)
    path.cubicTo(42.0, 46.0, 48.0, 60.0, 48.0, 92.0)
    path.closeSubpath()
    painter.drawPath(path)
    _lit_jar(painter, QRectF(62.0, 58.0, 32.0, 34.0), 34.0)


def _fire(painter: QPainter) -> None:
    """A candle, a wide arrow, and a twig with leaves."""
    _lit_jar(painter, QRectF(6.0, 62.0, 26.0, 30.0), 32.0)
    _apart(painter, 38.0, 74.0, 78.0)
    painter.drawLine(QLineF(84.0, 92.0, 80.0, 14.0))
    for y, side in ((56.0, -1.0), (42.0, 1.0), (28.0, -1.0)):
        x = 80.0 + (y - 14.0) * 4.0 / 78.0
        leaf = QPainterPath(QPointF(x, y))
        leaf.quadTo(x + side * 4.0, y - 15.0, x + side * 15.0, y - 15.0)
        leaf.quadTo(x + side * 15.0, y - 2.0, x, y)
        painter.drawPath(leaf)


def _children(painter: QPainter) -> None:
    """A candle high on a shelf; below it a child's face and a paw."""
    _lit_jar(painter, QRectF(38.0, 27.0, 24.0, 20.0), 22.0)
    painter.drawLine(QLineF(6.0, 50.0, 94.0, 50.0))
    _circle(painter, 27.0, 76.0, 17.0)
    _circle(painter, 21.0, 73.0, 1.0, filled=True)
    _circle(painter, 33.0, 73.0, 1.0, filled=True)
    painter.drawArc(QRectF(20.0, 72.0, 14.0, 13.0), 200 * 16, 140 * 16)
    pad = QPainterPath(QPointF(74.0, 76.0))
    pad.cubicTo(90.0, 76.0, 92.0, 94.0, 74.0, 91.0)
    pad.cubicTo(56.0, 94.0, 58.0, 76.0, 74.0, 76.0)
    painter.drawPath(pad)
    for x, y in ((57.0, 71.0), (68.0, 63.0), (80.0, 63.0), (91.0, 71.0)):
        _circle(painter, x, y, 2.5, filled=True)


def _trim(painter: QPainter) -> None:
    """Scissors at a wick."""
    _jar(painter, QRectF(10.0, 62.0, 46.0, 30.0), 0.75)
    painter.drawLine(QLineF(33.0, 69.0, 33.0, 20.0))
    painter.drawLine(QLineF(20.0, 34.0, 74.0, 52.0))
    painter.drawLine(QLineF(20.0, 48.0, 74.0, 30.0))
    _circle(painter, 83.0, 26.0, 9.5)
    _circle(painter, 83.0, 56.0, 9.5)


def _burn_time(painter: QPainter) -> None:
    """A clock beside the candle."""
    _circle(painter, 62.0, 38.0, 30.0)
    _lines(painter, (62.0, 20.0), (62.0, 38.0), (74.0, 46.0))
    _lit_jar(painter, QRectF(6.0, 66.0, 26.0, 28.0), 30.0)


def _draught(painter: QPainter) -> None:
    """A pane between the wind and the candle."""
    _lit_jar(painter, QRectF(62.0, 54.0, 32.0, 38.0), 38.0)
    painter.drawLine(QLineF(50.0, 8.0, 50.0, 92.0))
    for y in (26.0, 44.0, 62.0):
        wave = QPainterPath(QPointF(4.0, y))
        wave.cubicTo(16.0, y - 13.0, 24.0, y + 13.0, 38.0, y)
        painter.drawPath(wave)


def _surface(painter: QPainter) -> None:
    """A candle that stands on a spirit level."""
    _lit_jar(painter, QRectF(34.0, 38.0, 32.0, 28.0), 30.0)
    painter.drawRect(QRectF(6.0, 68.0, 88.0, 24.0))
    painter.drawRoundedRect(QRectF(34.0, 74.0, 32.0, 12.0), 6.0, 6.0)
    _circle(painter, 50.0, 80.0, 2.5, filled=True)


def _distance(painter: QPainter) -> None:
    """Two candles with an arrow between them."""
    _lit_jar(painter, QRectF(4.0, 54.0, 22.0, 38.0), 34.0)
    _lit_jar(painter, QRectF(74.0, 54.0, 22.0, 38.0), 34.0)
    _apart(painter, 34.0, 66.0, 76.0)


def _pool(painter: QPainter) -> None:
    """A match that falls into the jar, crossed out."""
    _jar(painter, QRectF(10.0, 46.0, 80.0, 46.0), 0.6)
    painter.drawLine(QLineF(42.0, 52.0, 62.0, 18.0))
    _circle(painter, 41.0, 54.0, 4.0, filled=True)
    painter.drawLine(QLineF(34.0, 22.0, 72.0, 50.0))


def _move(painter: QPainter) -> None:
    """A burning candle with arrows to both sides, crossed out."""
    _lit_jar(painter, QRectF(36.0, 50.0, 28.0, 42.0), 36.0)
    _arrow(painter, QPointF(28.0, 70.0), QPointF(6.0, 70.0))
    _arrow(painter, QPointF(72.0, 70.0), QPointF(94.0, 70.0))
    painter.drawLine(QLineF(12.0, 92.0, 88.0, 38.0))


def _snuff(painter: QPainter) -> None:
    """A snuffer that comes down over the flame."""
    _lit_jar(painter, QRectF(14.0, 68.0, 40.0, 24.0), 22.0)
    _lines(painter, (16.0, 40.0), (34.0, 10.0), (52.0, 40.0), (16.0, 40.0))
    painter.drawLine(QLineF(44.0, 22.0, 92.0, 8.0))
    _arrow(painter, QPointF(76.0, 34.0), QPointF(76.0, 66.0))


def _liquid(painter: QPainter) -> None:
    """A drop of water above the flame, crossed out."""
    _lit_jar(painter, QRectF(28.0, 70.0, 44.0, 22.0), 24.0)
    drop = QPainterPath(QPointF(50.0, 6.0))
    drop.cubicTo(58.0, 18.0, 63.0, 23.0, 63.0, 29.0)
    drop.cubicTo(63.0, 44.0, 37.0, 44.0, 37.0, 29.0)
    drop.cubicTo(37.0, 23.0, 42.0, 18.0, 50.0, 6.0)
    painter.drawPath(drop)
    painter.drawLine(QLineF(26.0, 42.0, 74.0, 6.0))


def _stop(painter: QPainter) -> None:
    """A jar with little wax left, and how high that is."""
    _jar(painter, QRectF(8.0, 28.0, 54.0, 64.0), 0.26)
    painter.drawLine(QLineF(35.0, 75.0, 35.0, 62.0))
    painter.drawLine(QLineF(72.0, 75.5, 94.0, 75.5))
    painter.drawLine(QLineF(72.0, 92.0, 94.0, 92.0))
    _arrow(painter, QPointF(83.0, 46.0), QPointF(83.0, 69.0))


DRAWINGS: Mapping[str, Callable[[QPainter], None]] = MappingProxyType(
    {
        "warning": _warning,
        "attend": _attend,
        "fire": _fire,
        "children": _children,
        "trim": _trim,
        "burn_time": _burn_time,
        "draught": _draught,
        "surface": _surface,
        "distance": _distance,
        "pool": _pool,
        "move": _move,
        "snuff": _snuff,
        "liquid": _liquid,
        "stop": _stop,
    }
)
