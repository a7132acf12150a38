"""The second probe on the debrief's curve: thin and dashed, with its name where it comes into view."""

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen, QPolygonF

from candlebench.core.debrief.curve import Curve
from candlebench.core.debrief.story import Story
from candlebench.core.place import Place
from candlebench.ui.curve_scene import Frame
from candlebench.ui.paper_font import picture_font
from candlebench.ui.plot_parts import rim
from candlebench.ui.theme import Theme
from candlebench.ui.thinning import thinned
from candlebench.words import tr

# A bath up to here is brought into view: the highest boiling point of water, and a little.
HIGHEST_C = 104.0
MARGIN_C = 2.0
RIM_PX = 4.0


@dataclass(frozen=True, slots=True)
class BesideCurve:
    """What a second probe said during a melt, and where it hung."""

    place: Place
    curve: Curve

    def needs_c(self, until_s: float) -> float:
        """How far up the picture has to reach for it: for a bath until the jug left it, never for a room."""
        if self.place is not Place.BATH:
            return 0.0
        heating = self.curve.between(0.0, until_s)
        return min(HIGHEST_C, float(heating.temps_c.max()) + MARGIN_C) if len(heating) else 0.0


def beside_of(story: Story) -> BesideCurve | None:
    """Return the second probe's curve of a melt, None when there was none or it said nothing."""
    return None if story.beside is None else BesideCurve(*story.beside)


def paint_beside(painter: QPainter, beside: BesideCurve, frame: Frame, theme: Theme) -> None:
    """Paint it inside the plot that `frame` describes, under the melt's own curve."""
    curve = beside.curve.between(frame.low_s, frame.high_s)
    if not len(curve):
        return
    times_s, temps_c = thinned(curve.times_s, curve.temps_c, max(100, int(frame.rect.width() / 2)))
    points = [frame.point(t, c) for t, c in zip(times_s.tolist(), temps_c.tolist(), strict=True)]
    pen = QPen(theme.color("muted"), 2.2 if theme.scale >= 1.8 else 1.3)
    pen.setDashPattern([6.0, 4.0])
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    painter.save()
    painter.setClipRect(frame.rect)
    painter.setPen(pen)
    painter.drawPolyline(QPolygonF(points))
    _name(painter, beside, points, frame, theme)
    painter.restore()


def _name(painter: QPainter, beside: BesideCurve, points: list[QPointF], frame: Frame, theme: Theme) -> None:
    """Over the line, or under it, at the first piece of it that is in view and long enough for the word."""
    painter.setFont(picture_font(theme))
    metrics = QFontMetricsF(painter.font())
    text = tr("bath") if beside.place is Place.BATH else tr("room")
    width, height = metrics.horizontalAdvance(text), metrics.height()
    x, y = np.array([p.x() for p in points]), np.array([p.y() for p in points])
    for left in np.arange(frame.rect.left() + 12.0, frame.rect.right() - width - 12.0, 8.0):
        under = y[(x >= left - 4.0) & (x <= left + width + 4.0)]
        if not len(under):
            continue
        for top in (float(under.min()) - 4.0 - height, float(under.max()) + 3.0):
            if frame.rect.contains(QRectF(left, top, width, height)) and np.ptp(under) < 2.0 * height:
                place = QPointF(left, top + metrics.ascent())
                rim(painter, place, text, theme.color("surface", 0.85), RIM_PX)
                painter.setPen(QPen(theme.color("muted")))
                painter.drawText(place, text)
                return
