"""Under the curve, on its time axis: when the heat was on, when the windows were open, and what was done."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QFontMetricsF, QPainter, QPen

from candlebench.core.debrief.chance import Chance
from candlebench.core.debrief.judge import Debrief
from candlebench.core.events import Stage
from candlebench.ui import shapes
from candlebench.ui.curve_scene import Frame
from candlebench.ui.paper_font import picture_font
from candlebench.ui.theme import Theme
from candlebench.words import tr

LANES = 3


def lane_height(theme: Theme) -> float:
    """Height of one lane in pixels."""
    return float(theme.px(21, 1.7))


def lanes_height(theme: Theme) -> float:
    """Height of all lanes."""
    return LANES * lane_height(theme) + 4


def paint_lanes(painter: QPainter, debrief: Debrief, frame: Frame, theme: Theme) -> None:
    """Paint the lanes below the plot that `frame` describes."""
    painter.setFont(picture_font(theme))
    height = lane_height(theme)
    top = frame.rect.bottom() + QFontMetricsF(painter.font()).height() + 10
    story = debrief.story
    _heat(painter, debrief, frame, theme, _lane(frame, top, height))
    top += height
    if debrief.oil is not None:
        lane = _lane(frame, top, height)
        _name(painter, theme, lane, tr("oil could go in"), "oil_text")
        _chance(painter, debrief.oil.chance, frame, theme, lane, "oil")
        oil_s, stirred_s = story.at(Stage.OIL_IN), story.at(Stage.STIRRED)
        if oil_s is not None and stirred_s is not None:
            _line(painter, frame, theme, lane, oil_s, stirred_s)
        if oil_s is not None and _inside(frame, oil_s):
            at = QPointF(frame.x(oil_s), lane.center().y())
            shapes.triangle(painter, at, 13, theme.color("text"), down=True)
        top += height
    lane = _lane(frame, top, height)
    _name(painter, theme, lane, tr("time to pour"), "pour_text")
    _chance(painter, debrief.pour.chance, frame, theme, lane, "pour")
    poured_s = story.at(Stage.POURED)
    if poured_s is not None and _inside(frame, poured_s):
        at = QPointF(frame.x(poured_s), lane.center().y())
        shapes.square(painter, at, 9, theme.color("text"), theme.color("text"))


def _lane(frame: Frame, top: float, height: float) -> QRectF:
    return QRectF(frame.rect.left(), top, frame.rect.width(), height)


def _inside(frame: Frame, at_s: float) -> bool:
    return frame.low_s <= at_s <= frame.high_s


def _name(painter: QPainter, theme: Theme, lane: QRectF, text: str, color: str) -> None:
    """The lane's line, and its name in the gutter."""
    painter.setPen(QPen(theme.color("line"), 1))
    middle = lane.center().y()
    painter.drawLine(QPointF(lane.left(), middle), QPointF(lane.right(), middle))
    painter.setPen(QPen(theme.color(color)))
    metrics = QFontMetricsF(painter.font())
    baseline = middle - metrics.height() / 2 + metrics.ascent()
    painter.drawText(QPointF(lane.right() + theme.px(12, 1.3), baseline), text)


def _heat(painter: QPainter, debrief: Debrief, frame: Frame, theme: Theme, lane: QRectF) -> None:
    _name(painter, theme, lane, tr("on the heat"), "muted")
    for from_s, to_s in debrief.story.on_heat_spans():
        box = _bar(frame, lane, from_s, to_s)
        if box.width() > 0.0:
            painter.fillRect(box, theme.color("strong_line", 0.55))
    for knob in debrief.story.knobs:
        if _inside(frame, knob.at_s):
            x = frame.x(knob.at_s)
            painter.setPen(QPen(theme.color("text"), 1.5))
            painter.drawLine(QPointF(x, lane.top() + 3), QPointF(x, lane.bottom() - 3))


def _chance(painter: QPainter, chance: Chance, frame: Frame, theme: Theme, lane: QRectF, name: str) -> None:
    """A bar while the window was open; only outlined where that is an estimate; a notch where it was best."""
    if chance.opened_s is None:
        return
    for from_s, to_s in chance.spans:
        seen_s = to_s if chance.drawn_on_s is None else min(max(chance.drawn_on_s, from_s), to_s)
        solid = _bar(frame, lane, from_s, seen_s)
        if solid.width() > 0.0:
            # A window open for two seconds was open: it is at least a line.
            solid.setWidth(max(1.5, solid.width()))
            painter.fillRect(solid, theme.color(f"{name}_edge"))
        supposed = _bar(frame, lane, seen_s, to_s)
        if supposed.width() > 0.5:
            edge = QPen(theme.color(f"{name}_edge"), 1.4)
            edge.setDashPattern([3.0, 2.0])
            painter.setPen(edge)
            painter.setBrush(QBrush(theme.color(f"{name}_fill", 0.25)))
            painter.drawRect(supposed.adjusted(0.5, 0.5, -0.5, -0.5))
            painter.setBrush(Qt.BrushStyle.NoBrush)
    if chance.best_s is not None and _inside(frame, chance.best_s):
        x = frame.x(chance.best_s)
        painter.setPen(QPen(theme.color("accent"), 3))
        painter.drawLine(QPointF(x, lane.top() + 3), QPointF(x, lane.bottom() - 3))


def _bar(frame: Frame, lane: QRectF, from_s: float, to_s: float) -> QRectF:
    left = frame.x(min(max(from_s, frame.low_s), frame.high_s))
    right = frame.x(min(max(to_s, frame.low_s), frame.high_s))
    tall = lane.height() * 0.42
    return QRectF(left, lane.center().y() - tall / 2, right - left, tall)


def _line(painter: QPainter, frame: Frame, theme: Theme, lane: QRectF, from_s: float, to_s: float) -> None:
    """Stirring: from the oil to the end of it."""
    painter.setPen(QPen(theme.color("text"), 2.5))
    y = lane.center().y()
    painter.drawLine(QPointF(frame.x(from_s), y), QPointF(frame.x(to_s), y))
