"""A small scale of temperatures for paper: the windows as bands with their names, the limits as marks."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPen

from candlebench.core.materials.wax import oil_window_open, warn_after_oil_c
from candlebench.core.plan.planning import Plan
from candlebench.core.units import Shown
from candlebench.ui import shapes
from candlebench.ui.paper_font import paper_font
from candlebench.ui.theme import Theme
from candlebench.words import tr

HEIGHT_PX = 108.0
_LANE_PX, _LANE_GAP_PX, _AXIS_PX = 18.0, 5.0, 54.0
_BELOW_K, _ABOVE_K = 16.0, 6.0
_LEAST_GAP_PX = 8.0
# Limits' names are wrapped to this.
_WORDS_PX = 72.0


@dataclass(frozen=True, slots=True)
class LimitMark:
    """A limit on the scale: its shape is 'ring', 'triangle', 'diamond' or 'octagon'."""

    temp_c: float
    words: str
    shape: str
    color: str


def limit_marks(plan: Plan) -> tuple[LimitMark, ...]:
    """Return the limits of a plan from cold to hot; those that coincide as the graver."""
    limits = plan.limits
    found = [LimitMark(limits.melted_c, tr("all melted"), "ring", "text")]
    after_c = float(round(warn_after_oil_c(limits, plan.melt_oil)))
    if after_c < limits.warn_c:
        found.append(LimitMark(after_c, tr("warning with the oil in"), "triangle", "warning"))
    found += [
        LimitMark(limits.warn_c, tr("warning"), "triangle", "warning"),
        LimitMark(limits.strong_c, tr("wax darkens"), "diamond", "danger"),
        LimitMark(limits.stop_c, tr("stop heating"), "octagon", "danger"),
    ]
    merged: list[LimitMark] = []
    # Stable: of two at the same temperature the graver comes last.
    for mark in sorted(found, key=lambda each: each.temp_c):
        if merged and abs(merged[-1].temp_c - mark.temp_c) < 0.05:
            merged[-1] = mark
        else:
            merged.append(mark)
    return tuple(merged)


class TemperatureScale:
    """Paints the windows and limits of one plan into a box `HEIGHT_PX` high."""

    def __init__(self, painter: QPainter, box: QRectF, plan: Plan, theme: Theme, shown: Shown) -> None:
        self._painter, self._box = painter, box
        self._plan, self._theme, self._shown = plan, theme, shown
        self._marks = limit_marks(plan)
        limits = plan.limits
        temps = [limits.pour_low_c, limits.oil_low_c, *(mark.temp_c for mark in self._marks)]
        self._low_c, self._high_c = min(temps) - _BELOW_K, max(temps) + _ABOVE_K

    def paint(self) -> None:
        """Paint it all."""
        limits, shown = self._plan.limits, self._shown
        if self._plan.oil is not None:
            self._oil_lane()
        pour = tr("Pour {window}").format(window=shown.span(limits.pour_low_c, limits.pour_high_c))
        self._band(1, "pour", limits.pour_low_c, limits.pour_high_c)
        self._lane_words(1, limits.pour_low_c, pour, "pour_text")
        self._axis()
        self._limits()

    def _x(self, temp_c: float) -> float:
        share = (temp_c - self._low_c) / (self._high_c - self._low_c)
        return self._box.left() + share * self._box.width()

    def _lane(self, lane: int) -> float:
        return self._box.top() + lane * (_LANE_PX + _LANE_GAP_PX)

    def _oil_lane(self) -> None:
        limits, oil = self._plan.limits, self._plan.oil
        if oil is None or oil.flash_c is None or not oil_window_open(limits):
            self._lane_words(0, limits.oil_low_c, tr("No window for the oil"), "danger_text")
            return
        high_c = float(math.floor(limits.oil_high_c))
        words = tr("Add the oil {window}").format(window=self._shown.span(limits.oil_low_c, high_c))
        self._band(0, "oil", limits.oil_low_c, high_c)
        self._lane_words(0, limits.oil_low_c, words, "oil_text")

    def _band(self, lane: int, name: str, low_c: float, high_c: float) -> None:
        left, top = self._x(low_c), self._lane(lane)
        box = QRectF(left, top, max(2.0, self._x(high_c) - left), _LANE_PX)
        alpha = getattr(self._theme.palette, f"{name}_alpha")
        self._painter.setPen(QPen(self._theme.color(f"{name}_edge"), 1.2))
        self._painter.setBrush(self._theme.color(f"{name}_fill", alpha))
        self._painter.drawRect(box)
        # Down to the axis, so that the edges can be read off.
        self._painter.setPen(QPen(self._theme.color(f"{name}_edge"), 0.8, Qt.PenStyle.DotLine))
        for x in (box.left(), box.right()):
            self._painter.drawLine(QLineF(x, box.bottom(), x, self._box.top() + _AXIS_PX))

    def _lane_words(self, lane: int, before_c: float, words: str, color: str) -> None:
        box = QRectF(self._box.left(), self._lane(lane), self._x(before_c) - self._box.left() - 8.0, _LANE_PX)
        self._painter.setFont(paper_font(self._theme, 13, 600))
        self._painter.setPen(QPen(self._theme.color(color)))
        side = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        self._painter.drawText(box, int(side), words)

    def _axis(self) -> None:
        y = self._box.top() + _AXIS_PX
        self._painter.setPen(QPen(self._theme.color("strong_line"), 1.2))
        self._painter.drawLine(QLineF(self._box.left(), y, self._box.right(), y))
        for temp_c in self._ticks():
            self._painter.drawLine(QLineF(self._x(temp_c), y, self._x(temp_c), y + 4.0))

    def _ticks(self) -> Iterator[float]:
        """Every five degrees of the person's own."""
        first = math.ceil(self._shown.number(self._low_c) / 5.0) * 5
        last = math.floor(self._shown.number(self._high_c) / 5.0) * 5
        yield from (self._shown.back(float(degrees)) for degrees in range(first, last + 1, 5))

    def _limits(self) -> None:
        theme, axis = self._theme, self._box.top() + _AXIS_PX
        bold, small = paper_font(theme, 12, 600), paper_font(theme, 11)
        texts = [(self._shown.temp(mark.temp_c), mark.words) for mark in self._marks]
        widths = [
            max(QFontMetricsF(bold).horizontalAdvance(temp), _wrapped_px(small, words)) + 2.0
            for temp, words in texts
        ]
        centers = [self._x(mark.temp_c) for mark in self._marks]
        lefts = apart(centers, widths, self._box.left(), self._box.right())
        centre = int(Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop)
        for mark, left, width, (temp, words) in zip(self._marks, lefts, widths, texts, strict=True):
            self._shape(mark, QPointF(self._x(mark.temp_c), axis))
            self._painter.setPen(QPen(theme.color("text")))
            self._painter.setFont(bold)
            self._painter.drawText(QRectF(left, axis + 9.0, width, 16.0), centre, temp)
            self._painter.setFont(small)
            self._painter.setPen(QPen(theme.color("muted")))
            words_box = QRectF(left, axis + 24.0, width, 30.0)
            self._painter.drawText(words_box, centre | int(Qt.TextFlag.TextWordWrap), words)

    def _shape(self, mark: LimitMark, at: QPointF) -> None:
        color, size = self._theme.color(mark.color), 11.0
        if mark.shape == "ring":
            shapes.ring(self._painter, at, 4.0, color, self._theme.color("surface"), 1.6)
        elif mark.shape == "triangle":
            shapes.triangle(self._painter, at, size, color)
        elif mark.shape == "diamond":
            shapes.diamond(self._painter, at, size, color)
        else:
            shapes.octagon(self._painter, at, size, color)


def apart(centers: Sequence[float], widths: Sequence[float], left: float, right: float) -> list[float]:
    """Return left edges of words near their marks, as little moved in all as it takes to stand apart.

    Isotonic regression by pooling neighbours that violate the order (Barlow et al. 1972): words that would
    overlap form a block around the mean of where they want to be.

    Parameters
    ----------
    centers, widths : sequence of float
        From left to right.
    left, right : float
        Between which all stand, as far as there is room.
    """
    taken = [sum(widths[:place]) + place * _LEAST_GAP_PX for place in range(len(widths))]
    blocks: list[list[float]] = []
    for center, width, before in zip(centers, widths, taken, strict=True):
        blocks.append([center - width / 2.0 - before])
        while len(blocks) > 1 and _mean(blocks[-2]) > _mean(blocks[-1]):
            last = blocks.pop()
            blocks[-1] += last
    wanted = [_mean(block) for block in blocks for _ in block]
    most = right - (taken[-1] + widths[-1]) if taken else right
    return [max(left, min(want, most)) + before for want, before in zip(wanted, taken, strict=True)]


def _wrapped_px(font: QFont, words: str) -> float:
    """The width of the words on at most two lines."""
    box = QFontMetricsF(font).boundingRect(
        QRectF(0.0, 0.0, _WORDS_PX, 100.0), int(Qt.TextFlag.TextWordWrap), words
    )
    return box.width()


def _mean(numbers: Sequence[float]) -> float:
    return sum(numbers) / len(numbers)
