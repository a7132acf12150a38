"""The curve of a debriefed melt: what was done, and when each window was open. For the page and for paper."""

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from candlebench.core.debrief.judge import Debrief
from candlebench.core.units import Shown
from candlebench.ui.debrief_beside import paint_beside
from candlebench.ui.debrief_ground import paint_ground
from candlebench.ui.debrief_gutter import paint_gutter
from candlebench.ui.debrief_lanes import paint_lanes
from candlebench.ui.debrief_marks import paint_course, paint_marks
from candlebench.ui.debrief_scene import picture_of
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr


class DebriefCurve(QWidget):
    """The picture on the page."""

    def __init__(self, debrief: Debrief, shown: Shown, spoken: str) -> None:
        super().__init__()
        self._debrief, self._shown = debrief, shown
        self._theme = Theme(LIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName(tr("The curve of this melt"))
        self.setAccessibleDescription(spoken)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(self._theme.px(900, 1.2), self._theme.px(230, 1.8))

    def minimumSizeHint(self) -> QSize:
        return QSize(480, self._theme.px(220, 1.8))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        paint_debrief(painter, QRectF(self.rect()), self._debrief, self._theme, self._shown)
        painter.end()


def paint_debrief(painter: QPainter, whole: QRectF, debrief: Debrief, theme: Theme, shown: Shown) -> None:
    """Paint the picture into `whole`."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    picture = picture_of(whole, debrief, theme, shown)
    paint_ground(painter, picture)
    if picture.beside is not None:
        paint_beside(painter, picture.beside, picture.frame, theme)
    paint_course(painter, picture)
    paint_marks(painter, picture)
    paint_gutter(painter, debrief, picture.frame, theme, shown)
    paint_lanes(painter, debrief, picture.frame, theme)
    painter.restore()
