"""The steps of the melt in one line, and the wall-clock time once, for planning."""

from datetime import datetime

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from candlebench.core.events import Stage
from candlebench.core.progress import stage_word
from candlebench.core.state import MeltState
from candlebench.core.units import clock_face
from candlebench.ui import shapes
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr


def wall_clock(wall_s: float) -> str:
    """'10:42' in local time."""
    return datetime.fromtimestamp(wall_s).astimezone().strftime("%H:%M")


class StepLine(QWidget):
    """Done steps have a tick, the present one a ringed dot, later ones a ring."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = Theme(LIGHT)
        self._state: MeltState | None = None
        self._paused = False
        self.setAccessibleName(tr("Steps of the melt"))

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.setFixedHeight(theme.px(32, 1.6))
        self.update()

    def show_state(self, state: MeltState) -> None:
        """Bring the line up to date."""
        self._state = state
        self.setAccessibleDescription(tr("Now: {stage}").format(stage=stage_word(state.stage)))
        self.update()

    def show_paused(self, paused: bool) -> None:
        """Say beside the clock that the melt's time stands still."""
        if paused != self._paused:
            self._paused = paused
            self.update()

    def stages(self) -> list[Stage]:
        """The steps of this melt; a plain candle has no oil."""
        plain = self._state is not None and self._state.setup.oil is None
        return [s for s in Stage if not (plain and s in (Stage.OIL_IN, Stage.STIRRED))]

    def paintEvent(self, event: QPaintEvent) -> None:
        state = self._state
        if state is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        right = self._paint_clock(painter, state)
        self._paint_steps(painter, state, right)
        painter.end()

    def _paint_steps(self, painter: QPainter, state: MeltState, room: float) -> None:
        theme = self._theme
        stages = self.stages()
        present = stages.index(state.stage) if state.stage in stages else 0
        times = {m.stage: m.at_s for m in state.marks}
        x, middle = 0.0, self.height() / 2
        items: list[tuple[str, str, str]] = []
        if theme.large and present > 0:
            items.append(("done", tr("{count} done").format(count=present), ""))
            stages = stages[present:]
            present = 0
        for i, stage in enumerate(stages):
            kind = "done" if i < present else "present" if i == present else "ahead"
            at = clock_face(times[stage]) if stage in times and kind != "ahead" else ""
            items.append((kind, stage_word(stage), at))
        for i, (kind, word, at) in enumerate(items):
            if x + self._width(kind, word, at) > room:
                break
            x = self._paint_item(painter, QPointF(x, middle), kind, word, at)
            if i + 1 < len(items):
                pen = QPen(theme.color("muted" if kind == "done" else "line"), 1)
                painter.setPen(pen)
                painter.drawLine(QPointF(x + 4, middle), QPointF(x + theme.px(28, 1.2), middle))
                x += theme.px(34, 1.2)

    def _width(self, kind: str, word: str, time: str) -> float:
        """Pixels that a step takes, without the line to the next."""
        theme = self._theme
        font = theme.font(16, 700 if kind == "present" else 400, 1.85)
        width = theme.px(22, 1.5) + theme.px(11) + QFontMetricsF(font).horizontalAdvance(word)
        small = theme.font(14, 400, 1.85)
        return width + (theme.px(8) + QFontMetricsF(small).horizontalAdvance(time) if time else 0.0)

    def _paint_item(self, painter: QPainter, at: QPointF, kind: str, word: str, time: str) -> float:
        theme = self._theme
        radius = theme.px(22, 1.5) / 2 - 1.5
        center = QPointF(at.x() + radius + 1.5, at.y())
        if kind == "done":
            shapes.ring(painter, center, radius - 1, theme.color("muted"), theme.color("muted"), 1.5)
            shapes.tick(painter, center, radius * 1.5, theme.color("background"), 2)
        elif kind == "present":
            shapes.ring(painter, center, radius, theme.color("accent"), theme.color("surface"), 2)
            shapes.ring(painter, center, radius * 0.55, theme.color("accent"), theme.color("accent"), 1)
        else:
            shapes.ring(
                painter, center, radius - 1, theme.color("strong_line"), theme.color("background"), 1.5
            )
        x = at.x() + 2 * radius + theme.px(11)
        font = theme.font(16, 700 if kind == "present" else 400, 1.85)
        painter.setFont(font)
        painter.setPen(QPen(theme.color("text" if kind == "present" else "muted")))
        x = self._word(painter, x, word)
        if time:
            painter.setFont(theme.font(14 if kind != "present" or not theme.large else 16, 400, 1.85))
            painter.setPen(QPen(theme.color("muted")))
            x = self._word(painter, x + theme.px(8), time)
        return x

    def _word(self, painter: QPainter, x: float, text: str) -> float:
        width = QFontMetricsF(painter.font()).horizontalAdvance(text)
        box = QRectF(x, 0, width + 2, self.height())
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, text)
        return x + width

    def _paint_clock(self, painter: QPainter, state: MeltState) -> float:
        """Wall-clock time at the right, with what is foreseen; return where it begins."""
        theme, crossing = self._theme, state.step.crossing
        news = ""
        if crossing is not None and crossing.in_s < 7200.0 and not theme.large:
            near = wall_clock(state.now_wall_s + crossing.in_s)
            news = tr("{what} near {time}").format(what=state.step.crossing_word, time=near)
        painter.setFont(theme.font(16, 400, 1.85))
        metrics = QFontMetricsF(painter.font())
        now = wall_clock(state.now_wall_s)
        if self._paused:
            now = tr("paused at {time}").format(time=now)
        x = self.width() - metrics.horizontalAdvance(news) - 1
        painter.setPen(QPen(theme.color("text")))
        if news:
            self._word(painter, x, news)
            x -= theme.px(12)
        x -= metrics.horizontalAdvance(now)
        painter.setPen(QPen(theme.color("muted" if news else "text")))
        self._word(painter, x, now)
        return x - 20
