"""Over the curve: now, the stages that were reached, and the crossing that the card speaks of."""

import math

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen

from candlebench.core.events import Stage
from candlebench.core.progress import stage_word
from candlebench.core.state import StageMark
from candlebench.core.units import band, clock_face, rounded_clock_face
from candlebench.ui import shapes
from candlebench.ui.curve_scene import CurveScene
from candlebench.words import tr


def paint_marks(painter: QPainter, scene: CurveScene) -> None:
    """Paint everything that lies over the measured curve."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setClipRect(scene.frame.rect.adjusted(-8, -8, 8, 8))
    _now_line(painter, scene)
    for mark in scene.state.marks:
        _mark(painter, scene, mark)
    _crossing(painter, scene)
    _guess(painter, scene)
    _now_dot(painter, scene)
    painter.restore()


def _now_line(painter: QPainter, scene: CurveScene) -> None:
    frame, theme, state = scene.frame, scene.theme, scene.state
    x = round(frame.x(state.now_s)) + 0.5
    painter.setPen(QPen(theme.color("strong_line"), 1))
    painter.drawLine(QPointF(x, frame.rect.top()), QPointF(x, frame.rect.bottom()))
    painter.setFont(theme.font(14, 700, 1.85))
    painter.setPen(QPen(theme.color("text")))
    text = tr("now {time}").format(time=clock_face(state.now_s))
    width = QFontMetricsF(painter.font()).horizontalAdvance(text)
    left = x - width - 10
    if left < frame.rect.left():
        left = x + 10
    painter.drawText(QPointF(left, frame.rect.bottom() - 10), text)


def _now_dot(painter: QPainter, scene: CurveScene) -> None:
    state, theme = scene.state, scene.theme
    if state.temp_c is None or state.reading_s is None or not scene.frame.shows(state.temp_c):
        return
    fill = theme.color("text") if state.fresh else theme.color("surface")
    at = scene.frame.point(state.reading_s, state.temp_c)
    shapes.ring(painter, at, 6.5, theme.color("surface" if state.fresh else "muted"), fill, 2)


def _mark(painter: QPainter, scene: CurveScene, mark: StageMark) -> None:
    frame, theme = scene.frame, scene.theme
    if mark.temp_c is None or not frame.shows(mark.temp_c) or mark.at_s < frame.low_s:
        return
    at = frame.point(mark.at_s, mark.temp_c)
    ink, ground = theme.color("text"), theme.color("surface")
    words_left = mark.stage in (Stage.OFF_HEAT, Stage.OIL_IN)
    match mark.stage:
        case Stage.MELTED:
            shapes.ring(painter, at, 5.5, ink, ground, 1.8)
        case Stage.OFF_HEAT:
            shapes.square(painter, at, 10, ink, ground)
        case Stage.OIL_IN:
            shapes.triangle(painter, at, 13, ink, down=True)
        case Stage.POURED:
            shapes.square(painter, at, 10, ink, ink)
        case _:
            return
    if theme.large:
        return
    text = tr("{stage} {time}").format(stage=stage_word(mark.stage), time=clock_face(mark.at_s))
    painter.setFont(theme.font(14))
    painter.setPen(QPen(ink))
    width = QFontMetricsF(painter.font()).horizontalAdvance(text)
    if words_left and at.x() - width - 14 > frame.rect.left():
        place = QPointF(at.x() - width - 14, at.y() + 4)
    else:
        place = QPointF(at.x() + 14, at.y() + (4 if words_left else 22))
    # A limit's line may run here: it must not cross out the words.
    painter.fillRect(QRectF(place.x() - 2, place.y() - 13, width + 4, 17), theme.color("surface", 0.8))
    painter.drawText(place, text)


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
    painter.setPen(QPen(theme.color("accent"), 1))
    painter.drawLine(QPointF(x, y + 6), QPointF(x, top - 2))
    left = min(max(x - width / 2, frame.x(scene.state.now_s) + 8), frame.rect.right() - width)
    ground = theme.color("surface", 0.85)
    painter.fillRect(QRectF(left - 2, top, width + 4, 2 * line + 2), ground)
    centred = Qt.AlignmentFlag.AlignHCenter
    painter.setFont(bold)
    painter.setPen(QPen(theme.color("text")))
    painter.drawText(QRectF(left, top, width, line), centred, first)
    painter.setFont(plain)
    painter.setPen(QPen(theme.color("muted")))
    painter.drawText(QRectF(left, top + line, width, line), centred, second)
