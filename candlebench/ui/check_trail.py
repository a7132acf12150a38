"""The steps of a check in one line: each a button with its mark; where they have no room, one menu."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QMenu, QPushButton, QSizePolicy, QWidget

from candlebench.ui import shapes
from candlebench.ui.check_course import Step, step_words
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

_MARK_PX, _GAP_PX, _EDGE_PX = 18, 8, 10


class TrailButton(QPushButton):
    """One step: a tick when done, a ringed dot while it is the present one, else a ring."""

    def __init__(self, step: Step) -> None:
        super().__init__(step_words(step))
        self._theme = Theme(LIGHT)
        self._present, self._value = False, ""
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.updateGeometry()
        self.update()

    def show_state(self, present: bool, value: str) -> None:
        """`value` is what was found there, '' while nothing was."""
        self._present, self._value = present, value
        state = tr("done, {value}").format(value=value) if value else tr("to do")
        if present:
            state = tr("present step")
        self.setAccessibleName(f"{self.text()}: {state}")
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        theme = self._theme
        width = QFontMetricsF(theme.font(16, 700, 1.6)).horizontalAdvance(self.text())
        if self._value:
            width += QFontMetricsF(theme.font(15, 400, 1.6)).horizontalAdvance(self._value) + _GAP_PX
        return QSize(round(width) + theme.px(_MARK_PX) + _GAP_PX + 2 * _EDGE_PX, theme.px(36, 1.6))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        theme = self._theme
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if self.hasFocus() or self.underMouse():
            painter.setPen(QPen(theme.color("accent" if self.hasFocus() else "strong_line"), 2))
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 6, 6)
        size = theme.px(_MARK_PX)
        middle = QPointF(_EDGE_PX + size / 2, self.height() / 2)
        self._paint_mark(painter, middle, size / 2 - 1)
        x = _EDGE_PX + size + _GAP_PX
        painter.setFont(theme.font(16, 700 if self._present else 400, 1.6))
        painter.setPen(theme.color("text" if self._present or self._value else "muted"))
        wide = painter.fontMetrics().horizontalAdvance(self.text())
        painter.drawText(QRectF(x, 0, wide + 4, self.height()), Qt.AlignmentFlag.AlignVCenter, self.text())
        if self._value:
            painter.setFont(theme.font(15, 400, 1.6))
            painter.setPen(theme.color("muted"))
            left = x + wide + _GAP_PX
            box = QRectF(left, 0, self.width() - left, self.height())
            painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, self._value)
        painter.end()

    def _paint_mark(self, painter: QPainter, middle: QPointF, radius: float) -> None:
        theme = self._theme
        background = theme.color("background")
        if self._present:
            accent = theme.color("accent")
            shapes.ring(painter, middle, radius, accent, background, 2.0)
            shapes.ring(painter, middle, radius * 0.5, accent, accent, 1.0)
        elif self._value:
            ink = theme.color("muted")
            shapes.ring(painter, middle, radius, ink, ink, 1.0)
            shapes.tick(painter, middle, radius * 1.2, background, 2.0)
        else:
            shapes.ring(painter, middle, radius, theme.color("strong_line"), background, 1.5)


class StepTrail(QWidget):
    """`wanted` carries the step that she chose."""

    wanted = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self._theme = Theme(LIGHT)
        self.buttons = {step: TrailButton(step) for step in Step}
        self.folded = QPushButton()
        self.folded.setStyleSheet(f"margin-left: {_EDGE_PX}px;")
        menu = QMenu(self.folded)
        self._box = QHBoxLayout(self)
        # The first mark stands below the title: a button has an edge of its own.
        self._box.setContentsMargins(24 - _EDGE_PX, 0, 24 - _EDGE_PX, 4)
        self._box.setSpacing(2)
        for step, button in self.buttons.items():
            button.clicked.connect(lambda _=False, s=step: self.wanted.emit(s))
            menu.addAction(step_words(step)).triggered.connect(lambda _=False, s=step: self.wanted.emit(s))
            self._box.addWidget(button)
        self.folded.setMenu(menu)
        self._box.addWidget(self.folded)
        self._box.addStretch(1)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        for button in self.buttons.values():
            button.use(theme)

    def show_state(self, present: Step, values: dict[Step, str]) -> None:
        """Mark the present step, and show what was found at the others."""
        for step, button in self.buttons.items():
            button.show_state(step is present, values.get(step, ""))
        number = list(Step).index(present) + 1
        text = tr("Step {number} of {count}: {step}  ▾")
        self.folded.setText(text.format(number=number, count=len(Step), step=step_words(present)))
        self.fit()

    def fit(self) -> None:
        """Show all steps where there is room, else the one button."""
        margins = self._box.contentsMargins()
        room = self.width() - margins.left() - margins.right()
        needed = sum(button.sizeHint().width() + self._box.spacing() for button in self.buttons.values())
        fits = needed <= room
        for button in self.buttons.values():
            button.setVisible(fits)
        self.folded.setVisible(not fits)
