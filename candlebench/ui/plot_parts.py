"""What the curves of a running melt and of its debrief share: window bands, names beside the plot."""

from collections.abc import Sequence

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen

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


def spread(places: Sequence[float], height: float, top: float, bottom: float) -> list[float]:
    """Move names that stand at `places` apart until none overlaps its neighbour, inside top and bottom."""
    order = sorted(range(len(places)), key=lambda i: places[i])
    found = list(places)
    lowest = top
    for i in order:
        found[i] = max(found[i], lowest + height / 2)
        lowest = found[i] + height / 2
    highest = bottom
    for i in reversed(order):
        found[i] = min(found[i], highest - height / 2)
        highest = found[i] - height / 2
    return found
