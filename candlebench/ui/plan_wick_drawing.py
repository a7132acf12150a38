"""The jar of a plan from above: where the wicks stand, and the pool that each is to melt."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from candlebench.core.plan.planning import Plan
from candlebench.core.plan.reasoned import number
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

WALL_SHARE = 0.09


class WickDrawing(QWidget):
    """Draws the positions to scale; pale while no plan can be made."""

    def __init__(self) -> None:
        super().__init__()
        self._theme = Theme(LIGHT)
        self._plan: Plan | None = None
        self._valid = False
        self.setAccessibleName(tr("The wicks from above"))
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.updateGeometry()
        self.update()

    def show_plan(self, plan: Plan | None) -> None:
        """Draw a plan; None leaves the last one, pale."""
        self._valid = plan is not None
        self._plan = plan or self._plan
        self.setAccessibleDescription(self._caption() if plan is not None else "")
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(self._theme.px(164, 1.6), self._theme.px(176, 1.6))

    def _caption(self) -> str:
        assert self._plan is not None
        positions = self._plan.wick.positions_mm
        if len(positions) == 1:
            return tr("in the middle")
        # From the middle of the jar; one that stands in the middle does not count.
        ring = max((x * x + y * y) ** 0.5 for x, y in positions)
        return tr("{distance} mm from the middle").format(distance=number(round(ring)))

    def paintEvent(self, event: QPaintEvent) -> None:
        plan, theme = self._plan, self._theme
        if plan is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setOpacity(1.0 if self._valid else 0.35)
        painter.setFont(theme.font(14, stops_at=1.6))
        line = QFontMetricsF(painter.font()).height() + theme.px(4)
        width_mm = plan.jar.width_mm.value
        room = min(self.width(), self.height() - line) - 4.0
        px_per_mm = room / (width_mm * (1.0 + WALL_SHARE))
        middle = QPointF(self.width() / 2.0, 2.0 + room / 2.0)
        painter.setPen(QPen(theme.color("strong_line"), 1.2))
        painter.setBrush(theme.color("sunk"))
        painter.drawEllipse(middle, room / 2.0, room / 2.0)
        inside = width_mm * px_per_mm / 2.0
        painter.setBrush(theme.color("surface"))
        painter.drawEllipse(middle, inside, inside)
        painter.setBrush(theme.color("oil_fill", 0.42))
        painter.drawEllipse(middle, inside, inside)
        pool = _drawn_pool_mm(plan) * px_per_mm / 2.0
        for x_mm, y_mm in plan.wick.positions_mm:
            at = QPointF(middle.x() + x_mm * px_per_mm, middle.y() - y_mm * px_per_mm)
            if len(plan.wick.positions_mm) > 1:
                painter.setPen(QPen(theme.color("oil_edge"), 1.2, Qt.PenStyle.DashLine))
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawEllipse(at, pool, pool)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(theme.color("text"))
            dot = max(3.5, 1.5 * px_per_mm)
            painter.drawEllipse(at, dot, dot)
        if self._valid:
            painter.setPen(theme.color("muted"))
            box = QRectF(0.0, self.height() - line, self.width(), line)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, self._caption())
        painter.end()


def _drawn_pool_mm(plan: Plan) -> float:
    """Width of the circle around each wick that touches the wall: where it stands, not how far it melts."""
    ring = max((x * x + y * y) ** 0.5 for x, y in plan.wick.positions_mm)
    return min(plan.jar.width_mm.value, plan.jar.shape.bottom_mm) - 2.0 * ring
