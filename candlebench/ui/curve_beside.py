"""The second probe's curve: thin and broken into dashes, with its name at its end."""

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen

from candlebench.core.state import BesideState
from candlebench.core.track import FloatArray
from candlebench.core.units import Shown
from candlebench.thermometers.place_words import place_words_within
from candlebench.ui import shapes
from candlebench.ui.curve_room import haloed, on_curve
from candlebench.ui.curve_scene import CurveScene
from candlebench.words import tr

# A dash and the gap after it: about so many pixels, in round seconds so that they stay where they are.
DASH_PX = 13.0
DASHES_S = (1, 2, 3, 5, 10, 15, 20, 30, 45, 60, 90, 120, 180, 240, 300, 450, 600, 900, 1200, 1800)
# The share of it that is drawn. Shorter dashes than those of the forecast, which is thicker too.
DRAWN = 0.62


def dash_s(seconds_a_pixel: float, scale: float) -> float:
    """Return how long a dash with its gap is, in seconds."""
    wanted_s = DASH_PX * scale * seconds_a_pixel
    return float(next((s for s in DASHES_S if s >= wanted_s), DASHES_S[-1]))


def dashed(times_s: FloatArray, temps_c: FloatArray, every_s: float) -> tuple[FloatArray, FloatArray]:
    """Break a curve into dashes with NaN: a dash pen would begin anew at each of its short pieces.

    Parameters
    ----------
    times_s, temps_c : ndarray, shape (n,)
        The curve, times not decreasing.
    every_s : float
        From the beginning of one dash to that of the next; dashes begin at whole multiples of it.

    Returns
    -------
    tuple of ndarray, shape (m,)
        The points of each dash, its ends between the measured ones, with one or more NaN after it.
    """
    if len(times_s) < 2:
        return times_s, temps_c
    begins_s = every_s * np.arange(np.floor(times_s[0] / every_s), times_s[-1] / every_s + 1.0)
    ends_s, blanks_s = begins_s + DRAWN * every_s, begins_s + 0.5 * (1.0 + DRAWN) * every_s
    added_s = np.concatenate([begins_s, ends_s, blanks_s])
    added_s = added_s[(added_s > times_s[0]) & (added_s < times_s[-1])]
    all_s = np.concatenate([times_s, added_s])
    all_c = np.concatenate([temps_c, np.interp(added_s, times_s, temps_c)])
    # Stable: of two readings at one time the first stays first.
    order = np.argsort(all_s, kind="stable")
    all_s, all_c = all_s[order], all_c[order]
    share = all_s / every_s - np.floor(all_s / every_s)
    all_c[share > DRAWN + 1e-6] = np.nan
    return all_s, all_c


def beside_words(beside: BesideState, shown: Shown, large: bool) -> str:
    """'bath 88.4 °C'; a temperature of some time ago is not said."""
    name = place_words_within(beside.place)
    if large:
        # The card says the rest.
        return name
    if not beside.fresh or beside.temp_c is None:
        return tr("{name}: no answer").format(name=name)
    temp = f"{shown.number(beside.temp_c):.1f} {shown.sign}"
    return tr("{name} {temp}").format(name=name, temp=temp)


def paint_beside_end(painter: QPainter, scene: CurveScene, taken: list[QRectF]) -> None:
    """Paint the end of the second curve and its name; add where they stand to `taken`."""
    beside, frame, theme = scene.state.beside, scene.frame, scene.theme
    if beside is None or beside.temp_c is None or beside.reading_s is None:
        return
    painter.setFont(theme.font(14, 400, 1.85))
    metrics = QFontMetricsF(painter.font())
    text = beside_words(beside, scene.shown, theme.large)
    size = QRectF(0.0, 0.0, metrics.horizontalAdvance(text), metrics.height())
    at = frame.point(beside.reading_s, beside.temp_c)
    if frame.shows(beside.temp_c) and at.x() >= frame.rect.left():
        ink = theme.color("muted")
        shapes.ring(painter, at, 3.5, ink, ink if beside.fresh else theme.color("surface"), 1.5)
        box = _beside_line(scene, at, size, taken)
        taken.append(QRectF(at.x() - 5, at.y() - 5, 10, 10))
    else:
        box = _at_edge(painter, scene, size, taken)
    taken.append(box)
    baseline = QPointF(box.left(), box.top() + metrics.ascent())
    haloed(painter, baseline, text, theme.color("muted"), theme.color("surface"))


def _beside_line(scene: CurveScene, at: QPointF, size: QRectF, taken: list[QRectF]) -> QRectF:
    """Over or under the end of its line, clear of the melt's curve and of other words where that can be."""
    left, right = at.x() - 10.0 - size.width(), at.x() + 12.0
    over, under = at.y() - 7.0 - size.height(), at.y() + 7.0
    places = [size.translated(x, y) for x in (left, right) for y in (over, under)]
    inside = [box for box in places if scene.frame.rect.contains(box)] or places
    clear = [box for box in inside if not any(box.intersects(other) for other in taken)]
    off_curve = [box for box in clear if not on_curve(scene, box)]
    return next(iter((*off_curve, *clear, *inside)))


def _at_edge(painter: QPainter, scene: CurveScene, size: QRectF, taken: list[QRectF]) -> QRectF:
    """Out of view: at the edge beyond which it lies, with an arrow that way, beside the words of now."""
    beside, frame, theme = scene.state.beside, scene.frame, scene.theme
    assert beside is not None and beside.temp_c is not None
    arrow = theme.px(9, 1.85)
    below = beside.temp_c < frame.low_c
    now_x = frame.x(scene.state.now_s)
    box = size.translated(now_x - 16.0 - arrow - size.width(), 0.0)
    box.moveTop(frame.rect.bottom() - 6.0 - box.height() if below else frame.rect.top() + 4.0)
    for other in taken:
        if box.adjusted(0, 0, arrow + 6.0, 0).intersects(other):
            box.moveRight(other.left() - 14.0 - arrow)
    if box.left() < frame.rect.left():
        box.moveLeft(max(now_x + 12.0, *(other.right() + 14.0 for other in taken)))
    x, middle = box.right() + 5.0 + arrow / 2.0, box.center().y()
    tip = middle + (arrow if below else -arrow) * 0.6
    pen = QPen(theme.color("muted"), theme.px(1.6, 1.85), Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    painter.drawLine(QPointF(x, 2.0 * middle - tip), QPointF(x, tip))
    back = arrow * (-0.45 if below else 0.45)
    for side in (-0.4, 0.4):
        painter.drawLine(QPointF(x + side * arrow, tip + back), QPointF(x, tip))
    return box
