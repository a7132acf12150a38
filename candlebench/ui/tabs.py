"""The tabs of the pages she works on; where they have no room they become one button with a menu."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QIcon, QKeyEvent, QPainter, QPaintEvent, QPen, QPixmap
from PySide6.QtWidgets import QHBoxLayout, QMenu, QPushButton, QSizePolicy, QWidget

from candlebench.ui import shapes
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

# The pages' names and words, in the order of the work; a page joins with a line here.
TABS: tuple[tuple[str, str], ...] = (
    ("plan", tr("Plan")),
    ("melt", tr("Melt")),
    ("practice", tr("Practice")),
    ("cupboard", tr("Store cupboard")),
)

# The sign of danger before a tab's words.
SIGN_PX = 18


class Tab(QPushButton):
    """A tab that is joined to the page below it while it is the present one."""

    def __init__(self, words: str, parent: QWidget | None = None) -> None:
        super().__init__(words, parent)
        self._theme = Theme(LIGHT)
        self._danger = False
        self.setCheckable(True)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.updateGeometry()

    def show_danger(self, danger: bool) -> None:
        """Show the octagon before the words, or not; its room is always there, so that no tab moves."""
        if danger != self._danger:
            self._danger = danger
            self.setAccessibleName(tr("{page}: danger").format(page=self.text()) if danger else self.text())
            self.update()

    def sizeHint(self) -> QSize:
        width = QFontMetricsF(self._theme.font(16, 700, 1.9)).horizontalAdvance(self.text())
        return QSize(round(width) + self._theme.px(44), self._theme.px(40, 1.5))

    def nextCheckState(self) -> None:
        # The page that is shown decides which tab is checked, not the click.
        pass

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        theme, present = self._theme, self.isChecked()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if present:
            painter.setPen(QPen(theme.color("line"), 1))
            painter.setBrush(theme.color("background"))
            painter.drawRoundedRect(self.rect().adjusted(0, 8, -1, 14), 8, 8)
        if self.hasFocus():
            painter.setPen(QPen(theme.color("accent"), 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(self.rect().adjusted(6, 13, -7, -6), 5, 5)
        painter.setFont(theme.font(16, 700 if present else 400, 1.9))
        painter.setPen(QPen(theme.color("text" if present else "muted")))
        painter.drawText(self.rect().adjusted(0, 7, 0, 0), Qt.AlignmentFlag.AlignCenter, self.text())
        if self._danger:
            words_px = painter.fontMetrics().horizontalAdvance(self.text())
            left = (self.width() - words_px) / 2
            middle = QPointF(left - theme.px(13, 1.9), self.height() / 2 + 3.5)
            _sign(painter, middle, theme)
        painter.end()


def _sign(painter: QPainter, middle: QPointF, theme: Theme) -> None:
    """The octagon that says danger, as large as the room before the words allows."""
    size = theme.px(SIGN_PX, 1.9)
    box = QRectF(middle.x() - size / 2, middle.y() - size / 2, size, size)
    shapes.stop_sign(painter, box, theme.color("danger"), theme.color("surface"))


class TabRow(QWidget):
    """Emits the name of the page that is wanted; `fit` folds the tabs into one button."""

    wanted = Signal(str)

    def __init__(self, tabs: tuple[tuple[str, str], ...] = TABS, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = Theme(LIGHT)
        self._present = self._danger = ""
        self.tabs: dict[str, Tab] = {}
        self.folded = QPushButton()
        self.folded.setProperty("role", "bar")
        self.folded.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        menu = QMenu(self.folded)
        box = QHBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        for place, (name, words) in enumerate(tabs, start=1):
            tab = Tab(words)
            tab.setToolTip(tr("Ctrl+{digit}").format(digit=place))
            tab.clicked.connect(lambda _=False, n=name: self.wanted.emit(n))
            menu.addAction(words).triggered.connect(lambda _=False, n=name: self.wanted.emit(n))
            self.tabs[name] = tab
            box.addWidget(tab)
        self.folded.setMenu(menu)
        self.folded.hide()
        box.addWidget(self.folded)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self._name_folded()
        for tab in self.tabs.values():
            tab.use(theme)

    def show_present(self, page: str) -> None:
        """Mark the tab of the page that is shown; none for a page without a tab."""
        self._present = page
        for name, tab in self.tabs.items():
            tab.setChecked(name == page)
        self._name_folded()

    def show_danger(self, page: str, danger: bool) -> None:
        """Put the sign of danger on a page's tab, or take it away."""
        if danger == bool(self._danger):
            return
        self._danger = page if danger else ""
        self.tabs[page].show_danger(danger)
        self._name_folded()

    def _name_folded(self) -> None:
        """The one button names the page that is shown, and carries the sign of danger for all of them."""
        tab = self.tabs.get(self._present)
        words = tr("{page}  ▾").format(page=tab.text() if tab else tr("Pages"))
        # Room between the sign and the words.
        self.folded.setText(f" {words}" if self._danger else words)
        name = tr("Pages: {page}").format(page=tab.text() if tab else tr("none of them"))
        self.folded.setAccessibleName(tr("{pages}, danger").format(pages=name) if self._danger else name)
        self.folded.setIcon(self._danger_icon() if self._danger else QIcon())

    def _danger_icon(self) -> QIcon:
        size = self._theme.px(SIGN_PX, 1.9)
        self.folded.setIconSize(QSize(size, size))
        picture = QPixmap(size, size)
        picture.fill(Qt.GlobalColor.transparent)
        painter = QPainter(picture)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        _sign(painter, QPointF(size / 2, size / 2), self._theme)
        painter.end()
        return QIcon(picture)

    def fit(self, room: int) -> None:
        """Show the tabs when they take at most `room` pixels, else the one button."""
        fits = sum(tab.sizeHint().width() for tab in self.tabs.values()) <= room
        for tab in self.tabs.values():
            tab.setVisible(fits)
        self.folded.setVisible(not fits)

    def beside(self, page: str, step: int) -> str:
        """The name of the page `step` tabs further, around the end; the first from a page without a tab."""
        names = list(self.tabs)
        return names[(names.index(page) + step) % len(names)] if page in names else names[0]

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(Qt.Key(event.key()), 0)
        focused = next((n for n, tab in self.tabs.items() if tab.hasFocus()), "")
        if step and focused:
            self.tabs[self.beside(focused, step)].setFocus(Qt.FocusReason.TabFocusReason)
        else:
            super().keyPressEvent(event)
