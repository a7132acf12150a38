"""Behind the debrief's curve: axes, windows, limits, and the times of which nothing is known."""

import math

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen

from candlebench.core.debrief.curve import holes
from candlebench.core.units import clock_face
from candlebench.ui.curve_axes import TIME_STEPS_S
from candlebench.ui.debrief_scene import Picture
from candlebench.ui.paper_font import picture_font
from candlebench.ui.plot_parts import window_band
from candlebench.words import tr


def paint_ground(painter: QPainter, picture: Picture) -> None:
    """Paint everything that lies under the curve."""
    _axes(painter, picture)
    painter.save()
    painter.setClipRect(picture.frame.rect)
    _bands(painter, picture)
    _holes(painter, picture)
    _limits(painter, picture)
    painter.restore()


def _axes(painter: QPainter, picture: Picture) -> None:
    frame, theme, shown = picture.frame, picture.theme, picture.shown
    painter.setFont(picture_font(theme))
    height = QFontMetricsF(painter.font()).height()
    step = 20.0 if shown.unit == "F" else 10.0
    number = step * math.ceil(shown.number(frame.low_c) / step)
    while shown.back(number) <= frame.high_c:
        y = frame.y(shown.back(number))
        painter.setPen(QPen(theme.color("grid"), 1))
        painter.drawLine(QPointF(frame.rect.left(), y), QPointF(frame.rect.right(), y))
        painter.setPen(QPen(theme.color("muted")))
        box = QRectF(
            picture.whole.left(), y - height / 2, frame.rect.left() - picture.whole.left() - 8, height
        )
        painter.drawText(box, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, f"{number:.0f}")
        number += step
    box = QRectF(
        picture.whole.left(), picture.whole.top(), frame.rect.left() - picture.whole.left() - 8, height
    )
    painter.drawText(box, Qt.AlignmentFlag.AlignRight, shown.sign)
    _time_axis(painter, picture, height)


def _time_axis(painter: QPainter, picture: Picture, height: float) -> None:
    frame, theme = picture.frame, picture.theme
    metrics = QFontMetricsF(painter.font())
    room = metrics.horizontalAdvance("0:00:00") * 1.5
    span_s = frame.high_s - frame.low_s
    step_s = next((s for s in TIME_STEPS_S if span_s / s * room <= frame.rect.width()), TIME_STEPS_S[-1])
    painter.setPen(QPen(theme.color("strong_line"), 1))
    bottom = frame.rect.bottom()
    painter.drawLine(QPointF(frame.rect.left(), bottom), QPointF(frame.rect.right(), bottom))
    at_s = step_s * math.ceil(frame.low_s / step_s)
    while at_s <= frame.high_s:
        x = frame.x(at_s)
        painter.setPen(QPen(theme.color("strong_line"), 1))
        painter.drawLine(QPointF(x, bottom), QPointF(x, bottom + 4))
        painter.setPen(QPen(theme.color("muted")))
        painter.drawText(
            QRectF(x - room, bottom + 5, 2 * room, height), Qt.AlignmentFlag.AlignHCenter, clock_face(at_s)
        )
        at_s += step_s
    if frame.x(at_s - step_s) + 0.4 * room < frame.rect.right():
        unit_at = QPointF(frame.rect.right() + theme.px(12, 1.3), bottom + 5 + metrics.ascent())
        painter.drawText(unit_at, tr("h:min:s") if frame.high_s >= 3600.0 else tr("min:s"))


def _bands(painter: QPainter, picture: Picture) -> None:
    limits, palette = picture.debrief.story.setup.limits, picture.theme.palette
    oil = picture.debrief.oil
    if oil is not None and oil.chance.safe:
        _band(painter, picture, limits.oil_low_c, limits.oil_high_c, "oil", palette.oil_alpha, hatched=False)
    _band(painter, picture, limits.pour_low_c, limits.pour_high_c, "pour", palette.pour_alpha, hatched=True)


def _band(
    painter: QPainter, picture: Picture, low_c: float, high_c: float, name: str, alpha: float, hatched: bool
) -> None:
    frame, theme = picture.frame, picture.theme
    box = QRectF(frame.point(frame.low_s, high_c), frame.point(frame.high_s, low_c))
    window_band(painter, box, theme, name, alpha, hatched)


def _holes(painter: QPainter, picture: Picture) -> None:
    frame, theme, story = picture.frame, picture.theme, picture.debrief.story
    for from_s, to_s in holes(story.curve.between(0.0, story.in_jug_until_s), story.gaps):
        box = QRectF(frame.x(from_s), frame.rect.top(), frame.x(to_s) - frame.x(from_s), frame.rect.height())
        painter.fillRect(box, theme.color("sunk", 0.6))
        painter.setFont(picture_font(theme))
        painter.setPen(QPen(theme.color("muted")))
        if box.width() > QFontMetricsF(painter.font()).horizontalAdvance(tr("not recorded")):
            painter.drawText(box, Qt.AlignmentFlag.AlignHCenter, tr("not recorded"))


def _limits(painter: QPainter, picture: Picture) -> None:
    frame, theme, limits = picture.frame, picture.theme, picture.debrief.story.setup.limits
    lines = [(limits.warn_c, "warning", [6.0, 3.3]), (limits.strong_c, "danger", [2.0, 2.7])]
    if picture.shows_stop:
        lines.append((limits.stop_c, "danger", []))
    for temp_c, color, dashes in lines:
        pen = QPen(theme.color(color), 1.5)
        if dashes:
            pen.setDashPattern(dashes)
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(pen)
        painter.drawLine(frame.point(frame.low_s, temp_c), frame.point(frame.high_s, temp_c))
