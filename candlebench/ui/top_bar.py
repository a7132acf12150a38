"""The bar at the top: the tabs of the pages, how the thermometer is, safety one key away, and the menu."""

from PySide6.QtCore import QPointF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QMenu, QPushButton, QWidget

from candlebench.core.state import ProbeStatus
from candlebench.ui import shapes
from candlebench.ui.tabs import TabRow
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr


class ProbeButton(QPushButton):
    """Ring and words for the thermometer; pressed, it opens the thermometer page."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = Theme(LIGHT)
        self._status = ProbeStatus(False, tr("No thermometer chosen yet"))
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.updateGeometry()

    def show_status(self, status: ProbeStatus) -> None:
        """Bring the words up to date."""
        if status != self._status:
            self._status = status
            self.setAccessibleName(tr("Thermometer: {status}").format(status=status.text))
            self.setToolTip(tr("{status}. Press to choose the thermometer.").format(status=status.text))
            self.updateGeometry()
            self.update()

    def _words(self) -> str:
        text = self._status.text
        if len(text) > 44:
            return tr("Thermometer: see here")
        return text

    def sizeHint(self) -> QSize:
        theme = self._theme
        width = QFontMetricsF(theme.font(15, 400, 1.9)).horizontalAdvance(self._words())
        return QSize(round(width) + theme.px(46), theme.px(36, 1.6))

    def paintEvent(self, event: QPaintEvent) -> None:
        theme, good = self._theme, self._status.good
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        radius = theme.px(8.5, 1.9)
        middle = self.height() / 2
        ring = theme.color("accent" if good else "warning")
        shapes.probe_ring(painter, QPointF(radius + 6, middle), radius, good, ring)
        painter.setFont(theme.font(15, 400, 1.9))
        painter.setPen(QPen(theme.color("text" if good else "warning_text")))
        box = self.rect().adjusted(round(2 * radius) + theme.px(16), 0, 0, 0)
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, self._words())
        if self.hasFocus():
            painter.setPen(QPen(theme.color("accent"), 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(self.rect().adjusted(1, 1, -2, -2), 6, 6)
        painter.end()


class TopBar(QWidget):
    """Emits the name of the page that is wanted: a tab's, 'safety' or 'thermometer'."""

    wanted = Signal(str)

    def __init__(self, menu: QMenu, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("bar")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.tabs = TabRow()
        self.tabs.wanted.connect(self.wanted)
        self.probe = ProbeButton()
        self.probe.clicked.connect(lambda: self.wanted.emit("thermometer"))
        self._safety = QPushButton(tr("Safety  F1"))
        self._safety.setProperty("role", "bar")
        self._safety.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._safety.clicked.connect(lambda: self.wanted.emit("safety"))
        self._menu = QPushButton(tr("Menu"))
        self._menu.setProperty("role", "bar")
        self._menu.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._menu.setMenu(menu)
        box = QHBoxLayout(self)
        box.setContentsMargins(24, 0, 14, 0)
        box.setSpacing(6)
        box.addWidget(self.tabs)
        box.addStretch(1)
        box.addWidget(self.probe)
        box.addSpacing(8)
        box.addWidget(self._safety)
        box.addWidget(self._menu)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self.setFixedHeight(theme.px(48, 1.5))
        self.tabs.use(theme)
        self.probe.use(theme)
        self._fit()

    def open_menu(self) -> None:
        """Open the menu from the keyboard."""
        self._menu.showMenu()

    def show_present(self, page: str) -> None:
        """Mark the tab of the page that is shown."""
        self.tabs.show_present(page)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        """Give the tabs what the thermometer, Safety and the menu leave."""
        others = sum(part.sizeHint().width() for part in (self.probe, self._safety, self._menu))
        self.tabs.fit(self.width() - others - 24 - 14 - 8 - 4 * 6)
