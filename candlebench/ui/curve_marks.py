"""Over the curve: now, the stages that were reached, and the crossing that the card speaks of."""

import math

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPen

from candlebench.core.events import Stage
from candlebench.core.progress import stage_word
from candlebench.core.state import StageMark
from candlebench.core.units import band, clock_face, rounded_clock_face
from candlebench.ui import shapes
from candlebench.ui.curve_beside import paint_beside_end
from candlebench.ui.curve_room import free_place, haloed
from candlebench.ui.curve_scene import CurveScene
from candlebench.words import tr


def paint_marks(painter: QPainter, scene: CurveScene) -> None:
    """Paint everything that lies over the measured curve."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setClipRect(scene.frame.rect.adjusted(-8, -8, 8, 8))
    taken = [_now_line(painter, scene)]
    paint_beside_end(painter, scene, taken)
    # It came off the heat also where it was put back later.
    for mark in (*scene.state.lifts, *scene.state.marks):
        _mark(painter, scene, mark, taken)
    _crossing(painter, scene)
    _guess(painter, scene)
    _now_dot(painter, scene)
    painter.restore()


def _now_line(painter: QPainter, scene: CurveScene) -> QRectF:
    """Draw the line and its words; return where the words stand."""
    frame, theme, state = scene.frame, scene.theme, scene.state
    x = round(frame.x(state.now_s)) + 0.5
    painter.setPen(QPen(theme.color("strong_line"), 1))
    painter.drawLine(QPointF(x, frame.rect.top()), QPointF(x, frame.rect.bottom()))
    painter.setFont(theme.font(14, 700, 1.85))
    words = tr("paused {time}") if scene.paused else tr("now {time}")
    text = words.format(time=clock_face(state.now_s))
    metrics = QFontMetricsF(painter.font())
    width = metrics.horizontalAdvance(text)
    left = x - width - 10
    if left < frame.rect.left():
        left = x + 10
    place = QPointF(left, frame.rect.bottom() - 10)
    haloed(painter, place, text, theme.color("text"), theme.color("surface"))
    return QRectF(left, place.y() - metrics.ascent(), width, metrics.height())


def _now_dot(painter: QPainter, scene: CurveScene) -> None:
    state, theme = scene.state, scene.theme
    if state.temp_c is None or state.reading_s is None or not scene.frame.shows(state.temp_c):
        return
    fill = theme.color("text") if state.fresh else theme.color("surface")
    at = scene.frame.point(state.reading_s, state.temp_c)
    shapes.ring(painter, at, 6.5, theme.color("surface" if state.fresh else "muted"), fill, 2)


def _mark(painter: QPainter, scene: CurveScene, mark: StageMark, taken: list[QRectF]) -> None:
    frame, theme = scene.frame, scene.theme
    if mark.temp_c is None or not frame.shows(mark.temp_c) or mark.at_s < frame.low_s:
        return
    at = frame.point(mark.at_s, mark.temp_c)
    ink, ground = theme.color("text"), theme.color("surface")
    match mark.stage:
        case Stage.MELTED:
            shapes.ring(painter, at, 5.5, ink, ground, 1.8)
        case Stage.OFF_HEAT:
            shapes.square(painter, at, 10, ink, ground)
        case Stage.OIL_IN:
            shapes.triangle(painter, at, 13, ink, down=True)
        case Stage.STIRRED:
            _swirl(painter, at, ink, ground)
        case Stage.POURED:
            shapes.square(painter, at, 10, ink, ink)
        case _:
            return
    taken.append(QRectF(at.x() - 8, at.y() - 8, 16, 16))
    if theme.large:
        return
    text = tr("{stage} {time}").format(stage=stage_word(mark.stage), time=clock_face(mark.at_s))
    painter.setFont(theme.font(14))
    metrics = QFontMetricsF(painter.font())
    box = free_place(scene, at, metrics.horizontalAdvance(text), metrics.height(), taken)
    taken.append(box)
    haloed(painter, QPointF(box.left(), box.top() + metrics.ascent()), text, ink, ground)


def _swirl(painter: QPainter, at: QPointF, ink: QColor, ground: QColor) -> None:
    """Stirred: a spoon's way round the jug, an open ring with a tail inwards."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(ground)
    painter.drawEllipse(at, 7.0, 7.0)
    path = QPainterPath()
    outer = QRectF(at.x() - 6.5, at.y() - 6.5, 13.0, 13.0)
    path.arcMoveTo(outer, 60.0)
    path.arcTo(outer, 60.0, 270.0)
    path.quadTo(QPointF(at.x() + 3.5, at.y()), QPointF(at.x() - 1.5, at.y() - 1.0))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(ink, 1.8, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
    painter.drawPath(path)


def _crossing(painter: QPainter, scene: CurveScene) -> None:
    """A whisker from the 5 to the 95 % time on the line that is crossed, a dot at the median, and words."""
    step, frame, theme = scene.state.step, scene.frame, scene.theme
    crossing = step.crossing
    if crossing is None or not frame.shows(crossing.target_c) or not math.isfinite(crossing.in_s):
        return
    y = frame.y(crossing.target_c)
    x = frame.x(crossing.made_at_s + crossing.in_s)
    left = frame.x(crossing.made_at_s + crossing.low_s)
    right = min(frame.x(crossing.made_at_s + min(crossing.high_s, 1e6)), frame.rect.right())
    if x > frame.rect.right():
        return
    painter.setPen(QPen(theme.color("text"), 2.5, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
    painter.drawLine(QPointF(left, y), QPointF(right, y))
    for end in (left, right):
        painter.drawLine(QPointF(end, y - 7), QPointF(end, y + 7))
    if not theme.large:
        _crossing_words(painter, scene, x, y)
    shapes.ring(painter, QPointF(x, y), 6.0, theme.color("surface"), theme.color("accent"), 1.5)


def _guess(painter: QPainter, scene: CurveScene) -> None:
    """What she guessed: a flag on the line that is to be crossed, at her time."""
    guess, frame, theme = scene.guess, scene.frame, scene.theme
    if guess is None or not frame.shows(guess.target_c):
        return
    at = frame.point(guess.at_s + guess.in_s, guess.target_c)
    if not frame.rect.left() <= at.x() <= frame.rect.right():
        return
    ink, pole = theme.color("text"), theme.px(34, 1.4)
    painter.setFont(theme.font(14, 700, 1.85))
    words = tr("you {time}").format(time=clock_face(guess.in_s))
    metrics = QFontMetricsF(painter.font())
    width, height = metrics.horizontalAdvance(words) + 14, metrics.height() + 4
    leftwards = at.x() + width > frame.rect.right()
    # Over the line where there is room, else under it.
    top = max(at.y() - pole - height / 2, frame.rect.top() + 1)
    if top + height > at.y() - 4:
        top = at.y() + pole - height / 2
    flag = QRectF(at.x() - (width if leftwards else 0.0), top, width, height)
    painter.setPen(QPen(ink, 1.5))
    painter.drawLine(at, QPointF(at.x(), top + height / 2))
    painter.setBrush(theme.color("surface"))
    painter.drawRect(flag)
    painter.drawText(flag, Qt.AlignmentFlag.AlignCenter, words)


def _crossing_words(painter: QPainter, scene: CurveScene, x: float, y: float) -> None:
    step, frame, theme = scene.state.step, scene.frame, scene.theme
    crossing = step.crossing
    assert crossing is not None
    first = tr("{what} in {time}").format(what=step.crossing_word, time=rounded_clock_face(crossing.in_s))
    second = tr("9 in 10: {band}").format(band=band(crossing.low_s, crossing.high_s))
    bold, plain = theme.font(14, 700), theme.font(14)
    line = QFontMetricsF(plain).height()
    width = (
        max(QFontMetricsF(bold).horizontalAdvance(first), QFontMetricsF(plain).horizontalAdvance(second)) + 6
    )
    # Under everything that is measured or foreseen, above the words at "now".
    top = min(frame.rect.bottom() - 2 * line - 34, max(y + 60, frame.rect.bottom() - 2 * line - 80))
    if top < y + 10:
        # In a low plot they would stand on what they point to; the card says the same.
        return
    painter.setPen(QPen(theme.color("accent"), 1))
    painter.drawLine(QPointF(x, y + 6), QPointF(x, top - 2))
    left = min(max(x - width / 2, frame.x(scene.state.now_s) + 8), frame.rect.right() - width)
    ground = theme.color("surface")
    for row, (font, words, color) in enumerate(((bold, first, "text"), (plain, second, "muted"))):
        painter.setFont(font)
        metrics = QFontMetricsF(font)
        x_px = left + (width - metrics.horizontalAdvance(words)) / 2
        place = QPointF(x_px, top + row * line + metrics.ascent())
        haloed(painter, place, words, theme.color(color), ground)
