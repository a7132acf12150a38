"""Words beside the marks of the debrief's curve, put where they cover neither a line nor each other."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QFontMetricsF, QPainter, QPen

from candlebench.core.debrief.curve import Curve
from candlebench.core.track import FloatArray
from candlebench.ui.curve_scene import Frame
from candlebench.ui.debrief_scene import Picture
from candlebench.ui.paper_font import picture_font
from candlebench.ui.plot_parts import rim

# From the mark to its words, and how near words come to a line.
BESIDE_PX, CLEAR_PX = 11.0, 2.0
# Further off than this many lines of text, a thin line leads from the mark to its words.
LED_FROM = 1.5
HALO_PX = 3.0
# A window's edge under words is worth this many pixels of a curve under them.
EDGE_COST = 10


@dataclass
class Places:
    """What is on the picture already: lines that must stay whole, and boxes that are taken.

    Attributes
    ----------
    frame : Frame
    area : QRectF
        Where words may stand.
    lines_y : list of ndarray
        For each line its height at every pixel across the plot; NaN where it is not drawn.
    edges : list of float
        Heights of lines straight across that words may cover where there is no other room.
    taken : list of QRectF
    """

    frame: Frame
    area: QRectF
    lines_y: list[FloatArray] = field(default_factory=list)
    edges: list[float] = field(default_factory=list)
    taken: list[QRectF] = field(default_factory=list)

    def avoid(self, curve: Curve) -> None:
        """Keep words off a curve."""
        if len(curve) < 2:
            return
        rect, frame = self.frame.rect, self.frame
        at_s = np.linspace(frame.low_s, frame.high_s, max(2, int(rect.width())))
        temps_c = np.interp(at_s, curve.times_s, curve.temps_c, left=np.nan, right=np.nan)
        self.lines_y.append(np.array([frame.y(temp_c) for temp_c in temps_c.tolist()]))

    def avoid_level(self, temp_c: float) -> None:
        """Keep words off a line straight across."""
        if self.frame.shows(temp_c):
            self.lines_y.append(np.full(max(2, int(self.frame.rect.width())), self.frame.y(temp_c)))

    def covered(self, box: QRectF) -> int:
        """How many pixels of lines lie under a box."""
        left = max(0, int(box.left() - self.frame.rect.left()))
        right = max(0, int(box.right() - self.frame.rect.left()) + 1)
        low, high = box.top() - CLEAR_PX, box.bottom() + CLEAR_PX
        return sum(int(((y[left:right] >= low) & (y[left:right] <= high)).sum()) for y in self.lines_y)

    def find(self, at: QPointF, width: float, height: float, right: bool, above: bool) -> QRectF:
        """Return the best box for words beside a mark, and take it."""
        boxes = list(self._boxes(at, width, height, right, above))
        best = min(range(len(boxes)), key=lambda i: (self._cost(boxes[i]), i))
        self.taken.append(boxes[best])
        return boxes[best]

    def _cost(self, box: QRectF) -> int:
        crossed = sum(box.top() <= y <= box.bottom() for y in self.edges)
        overlaps = sum(box.intersects(other) for other in self.taken)
        return self.covered(box) + EDGE_COST * crossed + 1000 * overlaps

    def _boxes(self, at: QPointF, width: float, height: float, right: bool, above: bool) -> Iterator[QRectF]:
        """The nearest first, on the side where there usually is room."""
        for step in range(8):
            for upwards in (above, not above):
                for to_right in (right, not right):
                    left = at.x() + BESIDE_PX if to_right else at.x() - BESIDE_PX - width
                    away = 3.0 + 0.5 * step * height
                    top = at.y() - height - away if upwards else at.y() + away
                    left = min(max(left, self.area.left()), self.area.right() - width)
                    top = min(max(top, self.area.top()), self.area.bottom() - height)
                    yield QRectF(left, top, width, height)


def places_of(picture: Picture, marks: Sequence[QPointF]) -> Places:
    """Return the places of a picture whose curve and marks are drawn."""
    frame, debrief = picture.frame, picture.debrief
    area = QRectF(
        QPointF(frame.rect.left() + 4.0, picture.whole.top()),
        QPointF(frame.rect.right() - 4.0, frame.rect.bottom() - 2.0),
    )
    places = Places(frame, area)
    story, limits = debrief.story, debrief.story.setup.limits
    places.avoid(story.curve)
    if debrief.truth is not None:
        places.avoid(debrief.truth.between(frame.low_s, story.in_jug_until_s))
    for chance in [debrief.pour.chance, *([debrief.oil.chance] if debrief.oil is not None else [])]:
        places.avoid(chance.drawn_on)
    for temp_c in (limits.warn_c, limits.strong_c, limits.stop_c):
        places.avoid_level(temp_c)
    for temp_c in (limits.oil_low_c, limits.oil_high_c, limits.pour_low_c, limits.pour_high_c):
        places.edges.append(frame.y(temp_c))
    places.taken += [QRectF(at.x() - 7.0, at.y() - 7.0, 14.0, 14.0) for at in marks]
    return places


def paint_words(
    painter: QPainter, picture: Picture, places: Places, at: QPointF, text: str, right: bool, above: bool
) -> None:
    """Paint words beside a mark; `right` and `above` say where there usually is room."""
    theme = picture.theme
    font = picture_font(theme)
    painter.setFont(font)
    metrics = QFontMetricsF(font)
    height = metrics.height()
    box = places.find(at, metrics.horizontalAdvance(text), height, right, above)
    nearest = QPointF(
        min(max(at.x(), box.left()), box.right()), box.bottom() if box.center().y() < at.y() else box.top()
    )
    if abs(nearest.y() - at.y()) > LED_FROM * height:
        painter.setPen(QPen(theme.color("muted"), 1.0))
        painter.drawLine(at, nearest)
    baseline = QPointF(box.left(), box.top() + metrics.ascent())
    # Around the letters only: hatching and grid stay readable behind them.
    rim(painter, baseline, text, theme.color("surface", 0.85), HALO_PX)
    painter.setPen(QPen(theme.color("text")))
    painter.drawText(baseline, text)
