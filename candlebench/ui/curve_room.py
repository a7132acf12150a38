"""Words on the curve: a rim that keeps them legible, and a place where they cover nothing."""

import math

import numpy as np
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QPainter, QPen

from candlebench.ui.curve_scene import CurveScene

RIM_PX = 2.0
RIM = tuple(
    QPointF(RIM_PX * math.cos(math.pi * i / 4.0), RIM_PX * math.sin(math.pi * i / 4.0)) for i in range(8)
)


def haloed(painter: QPainter, place: QPointF, text: str, ink: QColor, ground: QColor) -> None:
    """Write words with a thin rim of the ground's colour: lines pass behind them and are not wiped out."""
    # Written eight times around their place: a tenth of what stroking their outline costs.
    painter.setPen(QPen(ground))
    for shift in RIM:
        painter.drawText(place + shift, text)
    painter.setPen(QPen(ink))
    painter.drawText(place, text)


def free_place(scene: CurveScene, at: QPointF, width: float, height: float, taken: list[QRectF]) -> QRectF:
    """Return where words beside a mark stand clear of the curve and of what is written already."""
    near, far = 13.0, 10.0
    left, right = at.x() - near - width, at.x() + near
    level, over, under = at.y() - height / 2, at.y() - far - height, at.y() + far
    middle = at.x() - width / 2
    places = [
        QRectF(x, y, width, height)
        for x, y in (
            (left, level), (right, level), (left, over), (right, over), (right, under), (left, under),
            (middle, over - height), (middle, under + height),
        )
    ]  # fmt: skip
    inside = [box for box in places if scene.frame.rect.contains(box)] or places
    clear = [box for box in inside if not any(box.intersects(other) for other in taken)]
    off_curve = [box for box in clear if not on_curve(scene, box)]
    return next(iter((*off_curve, *clear, *inside)))


def on_curve(scene: CurveScene, box: QRectF) -> bool:
    """Whether the measured curve or the band of what is to come runs through a box."""
    frame, state = scene.frame, scene.state
    per_px_s = (frame.high_s - frame.low_s) / max(frame.rect.width(), 1.0)
    low_s = frame.low_s + (box.left() - frame.rect.left()) * per_px_s
    high_s = frame.low_s + (box.right() - frame.rect.left()) * per_px_s
    first, last = np.searchsorted(state.times_s, (low_s, high_s))
    temps = state.temps_c[max(int(first) - 1, 0) : int(last) + 1]
    top_c, bottom_c = _temp_c(scene, box.top()), _temp_c(scene, box.bottom())
    if len(temps) and float(temps.min()) <= top_c and float(temps.max()) >= bottom_c:
        return True
    fan = state.fan
    if fan is None or not len(fan.ahead_s):
        return False
    there = (fan.made_at_s + fan.ahead_s >= low_s) & (fan.made_at_s + fan.ahead_s <= high_s)
    return bool(np.any(there & (fan.low_c <= top_c) & (fan.high_c >= bottom_c)))


def _temp_c(scene: CurveScene, y: float) -> float:
    frame = scene.frame
    return frame.low_c + (frame.rect.bottom() - y) / max(frame.rect.height(), 1.0) * (
        frame.high_c - frame.low_c
    )
