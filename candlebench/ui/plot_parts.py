"""What the curves of a running melt and of its debrief share: window bands, names beside the plot."""

from collections.abc import Sequence

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from candlebench.ui.theme import Theme

HATCH_PX = 8.0


def window_band(painter: QPainter, box: QRectF, theme: Theme, name: str, alpha: float, hatched: bool) -> None:
    """Fill the band of a window between its edges; hatched, it is told from another without colour.

    Parameters
    ----------
    box : QRectF
        From the window's upper to its lower temperature, over the whole width.
    name : str
        'oil' or 'pour', as in the theme's colours.
    """
    painter.fillRect(box, theme.color(f"{name}_fill", alpha))
    if hatched:
        painter.save()
        painter.setClipRect(box, Qt.ClipOperation.IntersectClip)
        painter.setPen(QPen(theme.color(f"{name}_edge", 0.55), 1))
        starts = np.arange(box.left() - box.height(), box.right(), HATCH_PX).tolist()
        painter.drawLines([QLineF(x, box.bottom(), x + box.height(), box.top()) for x in starts])
        painter.restore()
    painter.setPen(QPen(theme.color(f"{name}_edge"), 1.2))
    for y in (box.top(), box.bottom()):
        painter.drawLine(QPointF(box.left(), y), QPointF(box.right(), y))


def rim(painter: QPainter, baseline: QPointF, text: str, color: QColor, width: float) -> None:
    """Stroke the outline of words that are to be written over lines: once, as paper is searched for words."""
    path = QPainterPath()
    path.addText(baseline, painter.font(), text)
    pen = QPen(color, width)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.strokePath(path, pen)


def spread(places: Sequence[float], height: float, top: float, bottom: float) -> list[float]:
    """Move names that stand at `places` apart until none overlaps its neighbour, inside top and bottom.

    Those that would overlap form a block around the mean of where they want to be, so that they are moved as
    little as it takes (isotonic regression by pooling neighbours that violate the order, Barlow et al. 1972).
    """
    order = sorted(range(len(places)), key=lambda i: places[i])
    blocks: list[list[float]] = []
    for rank, i in enumerate(order):
        blocks.append([places[i] - rank * height])
        while len(blocks) > 1 and np.mean(blocks[-2]) > np.mean(blocks[-1]):
            last = blocks.pop()
            blocks[-1] += last
    lowest, highest = top + height / 2, bottom + height / 2 - len(order) * height
    wanted = [float(np.mean(block)) for block in blocks for _ in block]
    found = list(places)
    for rank, (i, at) in enumerate(zip(order, wanted, strict=True)):
        found[i] = min(max(at, lowest), highest) + rank * height
    return found
