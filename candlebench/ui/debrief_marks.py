"""The debriefed curve itself, what lay too hot, what would have come, and the marks of what was done."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPainterPath, QPen, QPolygonF

from candlebench.core.debrief.curve import Curve, holes
from candlebench.core.debrief.judge import Debrief
from candlebench.core.debrief.moment import undisturbed_c
from candlebench.core.events import Stage
from candlebench.ui import shapes
from candlebench.ui.curve_scene import Frame
from candlebench.ui.debrief_scene import Picture, mark_words
from candlebench.ui.debrief_words import paint_words, places_of
from candlebench.ui.thinning import thinned
from candlebench.words import tr


def paint_course(painter: QPainter, picture: Picture) -> None:
    """Paint the curve and what belongs to it, inside the plot."""
    if not len(picture.debrief.judged):
        return
    painter.save()
    painter.setClipRect(picture.frame.rect)
    _too_hot(painter, picture)
    _curves(painter, picture)
    painter.restore()


def paint_marks(painter: QPainter, picture: Picture) -> None:
    """Paint guesses and stages with their words."""
    frame, theme, debrief = picture.frame, picture.theme, picture.debrief
    stages = [
        (mark, temp_c, frame.point(mark.at_s, temp_c))
        for mark in debrief.story.marks
        if (temp_c := _temp_at(debrief, mark.stage, mark.at_s)) is not None
        and frame.shows(temp_c)
        and frame.low_s <= mark.at_s <= frame.high_s
    ]
    guesses = []
    for outcome in debrief.guesses:
        at_s, late = outcome.guess.at_s + outcome.guess.in_s, (outcome.guess_off_s or 1.0) > 0.0
        if frame.low_s <= at_s <= frame.high_s and frame.shows(outcome.guess.target_c):
            guesses.append((frame.point(at_s, outcome.guess.target_c), late))
    places = places_of(picture, [*(at for _, _, at in stages), *(at for at, _ in guesses)])
    for at, _ in guesses:
        shapes.ring(painter, at, 5.0, theme.color("accent"), theme.color("surface"), 2.0)
    for mark, _, at in stages:
        _mark(painter, picture, mark.stage, at)
    if theme.large:
        return
    for mark, temp_c, at in stages:
        words = mark_words(mark.stage, temp_c, mark.at_s, picture.shown)
        if words:
            # The curve comes up from the left and falls to the right: beside it there is room.
            right, above = mark.stage is Stage.POURED, mark.stage is not Stage.OIL_IN
            paint_words(painter, picture, places, at, words, right, above)
    for at, late in guesses:
        paint_words(painter, picture, places, at, tr("your guess"), late, late)


def _temp_at(debrief: Debrief, stage: Stage, at_s: float) -> float | None:
    """What a stage was judged at, or what the curve was at then."""
    if stage is Stage.POURED:
        return debrief.pour.temp_c
    if stage is Stage.OIL_IN and debrief.oil is not None:
        return debrief.oil.temp_c
    return undisturbed_c(debrief.judged, at_s)


def _too_hot(painter: QPainter, picture: Picture) -> None:
    """What lies above the first and the strong limit, filled."""
    frame, theme, limits = picture.frame, picture.theme, picture.debrief.story.setup.limits
    jug = picture.debrief.judged.between(frame.low_s, picture.debrief.story.in_jug_until_s)
    line = _polyline(frame, jug)
    if len(line) < 2:
        return
    for limit_c, color in ((limits.warn_c, "warning"), (limits.strong_c, "danger")):
        path = QPainterPath()
        path.addPolygon(
            QPolygonF(
                [*line, QPointF(line[-1].x(), frame.rect.bottom()), QPointF(line[0].x(), frame.rect.bottom())]
            )
        )
        painter.save()
        above = QRectF(
            frame.rect.left(), frame.rect.top(), frame.rect.width(), frame.y(limit_c) - frame.rect.top()
        )
        painter.setClipRect(above, Qt.ClipOperation.IntersectClip)
        painter.fillPath(path, theme.color(color, 0.22))
        painter.restore()


def _curves(painter: QPainter, picture: Picture) -> None:
    frame, theme, debrief = picture.frame, picture.theme, picture.debrief
    story = debrief.story
    chances = [debrief.pour.chance, *([debrief.oil.chance] if debrief.oil is not None else [])]
    for chance in chances:
        dashed = QPen(theme.color("accent"), 2.0)
        dashed.setDashPattern([2.8, 2.4])
        dashed.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(dashed)
        painter.drawPolyline(QPolygonF(_polyline(frame, chance.drawn_on)))
    if debrief.truth is not None:
        thin = QPen(theme.color("accent"), 1.2)
        painter.setPen(thin)
        painter.drawPolyline(
            QPolygonF(_polyline(frame, debrief.truth.between(frame.low_s, story.in_jug_until_s)))
        )
    pen = QPen(theme.color("text"), 2.5 if theme.scale < 1.8 else 4.0)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    for piece in _pieces(debrief):
        painter.drawPolyline(QPolygonF(_polyline(frame, piece)))
    painter.setPen(QPen(theme.color("muted"), 1.4))
    after = story.curve.between(story.in_jug_until_s, frame.high_s)
    painter.drawPolyline(QPolygonF(_polyline(frame, after)))


def _pieces(debrief: Debrief) -> list[Curve]:
    """The measured curve up to the pour, broken where nothing was recorded."""
    story = debrief.story
    jug = story.curve.between(0.0, story.in_jug_until_s)
    pieces, from_s = [], 0.0
    for hole_from_s, hole_to_s in holes(jug, story.gaps):
        pieces.append(jug.between(from_s, hole_from_s))
        from_s = hole_to_s
    return [*pieces, jug.between(from_s, story.in_jug_until_s)]


def _polyline(frame: Frame, curve: Curve) -> list[QPointF]:
    shown = curve.between(frame.low_s - 60.0, frame.high_s + 60.0)
    times_s, temps_c = thinned(shown.times_s, shown.temps_c, max(200, int(frame.rect.width())))
    return [frame.point(t, c) for t, c in zip(times_s.tolist(), temps_c.tolist(), strict=True)]


def _mark(painter: QPainter, picture: Picture, stage: Stage, at: QPointF) -> None:
    ink, ground = picture.theme.color("text"), picture.theme.color("surface")
    match stage:
        case Stage.MELTED:
            shapes.ring(painter, at, 5.0, ink, ground, 1.8)
        case Stage.OFF_HEAT:
            shapes.square(painter, at, 10, ink, ground)
        case Stage.OIL_IN:
            shapes.triangle(painter, at, 14, ink, down=True)
        case Stage.STIRRED:
            shapes.ring(painter, at, 3.5, ink, ink, 1.0)
        case Stage.POURED:
            shapes.square(painter, at, 10, ink, ink)
        case _:
            pass
