"""Names of windows and limits beside the debrief's curve; they push each other apart rather than overlap."""

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QFontMetricsF, QPainter, QPen

from candlebench.core.debrief.judge import Debrief
from candlebench.core.units import Shown
from candlebench.ui import shapes
from candlebench.ui.curve_scene import Frame
from candlebench.ui.paper_font import picture_font
from candlebench.ui.plot_parts import spread
from candlebench.ui.theme import Theme
from candlebench.words import tr


@dataclass(frozen=True, slots=True)
class _Name:
    temp_c: float
    text: str
    color: str
    shape: str


def gutter_width(debrief: Debrief, shown: Shown, theme: Theme) -> float:
    """How much room the names take."""
    metrics = QFontMetricsF(picture_font(theme))
    widest = max(metrics.horizontalAdvance(name.text) for name in _names(debrief, shown, theme))
    return widest + theme.px(32, 1.4)


def paint_gutter(painter: QPainter, debrief: Debrief, frame: Frame, theme: Theme, shown: Shown) -> None:
    """Paint the names to the right of the plot that `frame` describes."""
    names = [n for n in _names(debrief, shown, theme) if frame.shows(n.temp_c)]
    painter.setFont(picture_font(theme))
    metrics = QFontMetricsF(painter.font())
    height = metrics.height()
    places = spread([frame.y(n.temp_c) for n in names], height, frame.rect.top(), frame.rect.bottom())
    right, size = frame.rect.right(), theme.px(13, 1.4)
    limits = debrief.story.setup.limits
    brackets = {
        "oil": (limits.oil_low_c, limits.oil_high_c, 4.0),
        "pour": (limits.pour_low_c, limits.pour_high_c, 11.0),
    }
    for name, y in zip(names, places, strict=True):
        at = QPointF(right + theme.px(12, 1.3), y)
        match name.shape:
            case "octagon":
                shapes.octagon(painter, at, size + 1, theme.color("danger"))
            case "diamond":
                shapes.diamond(painter, at, size + 1, theme.color("danger"))
            case "triangle":
                shapes.triangle(painter, at, size, theme.color("warning"))
            case _:
                low_c, high_c, offset = brackets[name.shape]
                box = QRectF(right + offset, frame.y(high_c), 4, frame.y(low_c) - frame.y(high_c))
                painter.fillRect(box, theme.color(f"{name.shape}_edge"))
        painter.setPen(QPen(theme.color(name.color)))
        painter.drawText(QPointF(right + theme.px(26, 1.4), y - height / 2 + metrics.ascent()), name.text)


def _names(debrief: Debrief, shown: Shown, theme: Theme) -> list[_Name]:
    limits = debrief.story.setup.limits
    large = theme.large
    names = [
        _Name(
            limits.stop_c,
            tr("stop {temp}").format(temp=shown.temp(round(limits.stop_c, 1))),
            "danger_text",
            "octagon",
        ),
        _Name(
            limits.strong_c,
            tr("darkens {temp}").format(temp=shown.temp(limits.strong_c)),
            "danger_text",
            "diamond",
        ),
        _Name(
            limits.warn_c,
            tr("warning {temp}").format(temp=shown.temp(limits.warn_c)),
            "warning_text",
            "triangle",
        ),
    ]
    if debrief.oil is not None and debrief.oil.chance.safe:
        word = tr("oil {span}") if large else tr("oil window {span}")
        span = shown.span(limits.oil_low_c, limits.oil_high_c)
        middle_c = 0.5 * (limits.oil_low_c + limits.oil_high_c)
        names.append(_Name(middle_c, word.format(span=span), "oil_text", "oil"))
    word = tr("pour {span}") if large else tr("pour window {span}")
    span = shown.span(limits.pour_low_c, limits.pour_high_c)
    middle_c = 0.5 * (limits.pour_low_c + limits.pour_high_c)
    names.append(_Name(middle_c, word.format(span=span), "pour_text", "pour"))
    return names
