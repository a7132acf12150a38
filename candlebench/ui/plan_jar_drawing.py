"""The jar of a plan, cut through the middle and drawn to scale: how high it is poured, where it sets."""

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from candlebench.core.plan.planning import Plan
from candlebench.core.plan.reasoned import number
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr, tr_count

# Drawn above the fill line when the jar's height is not known.
UNKNOWN_MM = 12.0
# A wick stands out of the wax by so much in the drawing.
WICK_ABOVE_MM = 8.0
WALL_SHARE = 0.045


@dataclass(frozen=True, slots=True)
class _Scale:
    """Where a millimetre of the jar lies: `y` counts up from the inside of the bottom."""

    middle_px: float
    floor_px: float
    px_per_mm: float

    def at(self, x_mm: float, y_mm: float) -> QPointF:
        return QPointF(self.middle_px + x_mm * self.px_per_mm, self.floor_px - y_mm * self.px_per_mm)


class JarDrawing(QWidget):
    """Draws a plan's jar; pale and without numbers while no plan can be made."""

    def __init__(self) -> None:
        super().__init__()
        self._theme = Theme(LIGHT)
        self._plan: Plan | None = None
        self._valid = False
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.updateGeometry()
        self.update()

    def show_plan(self, plan: Plan | None) -> None:
        """Draw a plan; None leaves the last jar, pale."""
        self._valid = plan is not None
        self._plan = plan or self._plan
        self.setAccessibleName(tr("Drawing of the jar"))
        self.setAccessibleDescription("" if plan is None else _in_words(plan))
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(self._theme.px(216, 1.5), self._theme.px(188, 1.5))

    def minimumSizeHint(self) -> QSize:
        return QSize(self._theme.px(110, 1.5), self._theme.px(188, 1.5))

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._plan is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setOpacity(1.0 if self._valid else 0.35)
        scale = self._scale(self._plan)
        self._draw_glass(painter, self._plan, scale)
        self._draw_wax(painter, self._plan, scale)
        self._draw_wicks(painter, self._plan, scale)
        if self._valid:
            self._draw_sizes(painter, self._plan, scale)
        painter.end()

    def _scale(self, plan: Plan) -> _Scale:
        theme, metrics = self._theme, QFontMetricsF(self._theme.font(14))
        words = max(metrics.horizontalAdvance(text) for _, text in _levels(plan))
        left = metrics.horizontalAdvance(number(_top_mm(plan))) + theme.px(20)
        right, above, below = words + theme.px(17), metrics.height() + theme.px(16), theme.px(6)
        wide_mm = max(plan.jar.shape.bottom_mm, plan.jar.shape.width_mm(_top_mm(plan)))
        room_x = max(20.0, self.width() - left - right)
        room_y = max(20.0, self.height() - above - below)
        wall = 2.0 * WALL_SHARE
        px_per_mm = min(
            room_x / (wide_mm * (1.0 + wall)), room_y / (_top_mm(plan) + 2.0 * WALL_SHARE * wide_mm)
        )
        used_y = (_top_mm(plan) + 2.0 * WALL_SHARE * wide_mm) * px_per_mm
        floor = above + 0.5 * (room_y - used_y) + _top_mm(plan) * px_per_mm
        return _Scale(left + room_x / 2.0, floor, px_per_mm)

    def _draw_glass(self, painter: QPainter, plan: Plan, scale: _Scale) -> None:
        theme, shape, top = self._theme, plan.jar.shape, _top_mm(plan)
        wall = WALL_SHARE * max(shape.bottom_mm, shape.width_mm(top))
        outer_top, outer_bottom = shape.width_mm(top) / 2.0 + wall, shape.bottom_mm / 2.0 + wall
        inner_top, inner_bottom = shape.width_mm(top) / 2.0, shape.bottom_mm / 2.0
        glass = QPolygonF(
            [
                scale.at(-outer_top, top),
                scale.at(-inner_top, top),
                scale.at(-inner_bottom, 0.0),
                scale.at(inner_bottom, 0.0),
                scale.at(inner_top, top),
                scale.at(outer_top, top),
                scale.at(outer_bottom, -2.0 * wall),
                scale.at(-outer_bottom, -2.0 * wall),
            ]
        )
        painter.setBrush(theme.color("sunk"))
        painter.setPen(QPen(theme.color("strong_line"), 1.2))
        painter.drawPolygon(glass)
        if not plan.jar.rim_known:
            # The rim was not measured: the wall ends open.
            painter.setPen(QPen(theme.color("surface"), 2.5, Qt.PenStyle.DotLine))
            for side in (-1.0, 1.0):
                painter.drawLine(scale.at(side * outer_top, top), scale.at(side * inner_top, top))

    def _draw_wax(self, painter: QPainter, plan: Plan, scale: _Scale) -> None:
        theme, fill = self._theme, plan.jar.fill_mm.value
        half, floor = plan.jar.width_mm.value / 2.0, plan.jar.shape.bottom_mm / 2.0
        body = [scale.at(-half, fill), scale.at(half, fill), scale.at(floor, 0.0), scale.at(-floor, 0.0)]
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(theme.color("oil_fill", 0.42))
        painter.drawPolygon(QPolygonF(body))
        painter.setPen(QPen(theme.color("oil_edge"), 1.8))
        painter.drawLine(body[0], body[1])
        if plan.wax.set_level_mm is not None:
            level = plan.wax.set_level_mm.value
            at_level = plan.jar.shape.width_mm(level) / 2.0
            painter.setPen(QPen(theme.color("oil_edge"), 1.2, Qt.PenStyle.DashLine))
            painter.drawLine(scale.at(-at_level, level), scale.at(at_level, level))

    def _draw_wicks(self, painter: QPainter, plan: Plan, scale: _Scale) -> None:
        theme = self._theme
        width = max(3.0, 2.0 * scale.px_per_mm)
        foot = min(plan.jar.shape.bottom_mm * 0.1, 7.0)
        tip = plan.jar.fill_mm.value + WICK_ABOVE_MM
        painter.setBrush(Qt.BrushStyle.NoBrush)
        # Of two that stand one behind the other one is seen.
        for x_mm in sorted({round(x, 1) for x, _ in plan.wick.positions_mm}):
            pen = QPen(theme.color("text"), width)
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
            painter.setPen(pen)
            painter.drawLine(scale.at(x_mm, 0.0), scale.at(x_mm, tip))
            painter.setPen(QPen(theme.color("strong_line"), max(2.5, width * 0.8)))
            painter.drawLine(scale.at(x_mm - foot, 0.8), scale.at(x_mm + foot, 0.8))

    def _draw_sizes(self, painter: QPainter, plan: Plan, scale: _Scale) -> None:
        theme, top = self._theme, _top_mm(plan)
        shape = plan.jar.shape
        painter.setFont(theme.font(14))
        text, muted = theme.color("text"), theme.color("muted")
        # Across the opening.
        half = shape.width_mm(top) / 2.0
        left, right = scale.at(-half, top), scale.at(half, top)
        y = left.y() - theme.px(8)
        painter.setPen(QPen(muted, 1.0))
        painter.drawLine(QPointF(left.x(), y), QPointF(right.x(), y))
        for x in (left.x(), right.x()):
            painter.drawLine(QPointF(x, y - 4.0), QPointF(x, y + 4.0))
        painter.setPen(text)
        width_words = tr("{width} mm").format(width=number(shape.width_mm(top)))
        box = QRectF(0.0, y - theme.px(24), 2.0 * scale.middle_px, theme.px(22))
        painter.drawText(box, Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignVCenter, width_words)
        self._draw_height(painter, plan, scale)
        self._draw_levels(painter, plan, scale)

    def _draw_height(self, painter: QPainter, plan: Plan, scale: _Scale) -> None:
        """Along the left wall: the jar's height, or the fill line's where that is all that is known."""
        theme, shape = self._theme, plan.jar.shape
        high = _top_mm(plan) if plan.jar.rim_known else plan.jar.fill_mm.value
        widest = max(shape.bottom_mm, shape.width_mm(_top_mm(plan)))
        x = scale.at(-widest * (0.5 + WALL_SHARE), 0.0).x() - theme.px(8)
        low, up = scale.at(0.0, 0.0).y(), scale.at(0.0, high).y()
        painter.setPen(QPen(theme.color("muted"), 1.0))
        painter.drawLine(QPointF(x, low), QPointF(x, up))
        for y in (low, up):
            painter.drawLine(QPointF(x - 4.0, y), QPointF(x + 4.0, y))
        painter.setPen(theme.color("text"))
        box = QRectF(0.0, (low + up) / 2.0 - theme.px(11), x - theme.px(7), theme.px(22))
        painter.drawText(box, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, number(high))

    def _draw_levels(self, painter: QPainter, plan: Plan, scale: _Scale) -> None:
        """Names of the two levels beside the right wall, kept apart."""
        theme, shape = self._theme, plan.jar.shape
        line = QFontMetricsF(painter.font()).height()
        wall = WALL_SHARE * max(shape.bottom_mm, shape.width_mm(_top_mm(plan)))
        last = float("-inf")
        for index, (level, words) in enumerate(_levels(plan)):
            edge = scale.at(shape.width_mm(level) / 2.0 + wall, level)
            y = max(edge.y(), last + line)
            last = y
            x = edge.x() + theme.px(10)
            painter.setPen(QPen(theme.color("oil_edge"), 1.2))
            painter.drawLine(QPointF(edge.x() + 2.0, edge.y()), QPointF(x - 2.0, y))
            painter.setPen(theme.color("muted" if index else "text"))
            box = QRectF(x + 3.0, y - line / 2.0, self.width() - x, line)
            painter.drawText(box, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, words)


def _top_mm(plan: Plan) -> float:
    if plan.jar.rim_known:
        return plan.jar.shape.height_mm
    return plan.jar.fill_mm.value + UNKNOWN_MM


def _levels(plan: Plan) -> list[tuple[float, str]]:
    fill = plan.jar.fill_mm.value
    levels = [(fill, tr("pour to {level}").format(level=number(fill)))]
    if plan.wax.set_level_mm is not None:
        sets = plan.wax.set_level_mm.value
        levels.append((sets, tr("sets near {level}").format(level=number(round(sets)))))
    return levels


def _in_words(plan: Plan) -> str:
    wicks = int(plan.wick.count.value)
    text = tr_count(
        "{width} mm wide, poured to {fill} mm, {n} wick",
        "{width} mm wide, poured to {fill} mm, {n} wicks",
        wicks,
    )
    return text.format(width=number(plan.jar.width_mm.value), fill=number(plan.jar.fill_mm.value), n=wicks)
