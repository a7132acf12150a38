"""The tabs of the pages she works on; where they have no room they become one button with a menu."""

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QMenu, QPushButton, QSizePolicy, QWidget

from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

# The pages' names and words, in the order of the work; a page joins with a line here.
TABS: tuple[tuple[str, str], ...] = (
    ("plan", tr("Plan")),
    ("melt", tr("Melt")),
    ("practice", tr("Practice")),
    ("cupboard", tr("Store cupboard")),
)


class Tab(QPushButton):
    """A tab that is joined to the page below it while it is the present one."""

    def __init__(self, words: str, parent: QWidget | None = None) -> None:
        super().__init__(words, parent)
        self._theme = Theme(LIGHT)
        self.setCheckable(True)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.updateGeometry()

    def sizeHint(self) -> QSize:
        width = QFontMetricsF(self._theme.font(16, 700, 1.9)).horizontalAdvance(self.text())
        return QSize(round(width) + self._theme.px(44), self._theme.px(40, 1.5))

    def nextCheckState(self) -> None:
        # The page that is shown decides which tab is checked, not the click.
        pass

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
        painter.end()


class TabRow(QWidget):
    """Emits the name of the page that is wanted; `fit` folds the tabs into one button."""

    wanted = Signal(str)

    def __init__(self, tabs: tuple[tuple[str, str], ...] = TABS, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.tabs: dict[str, Tab] = {}
        self.folded = QPushButton()
        self.folded.setProperty("role", "bar")
        self.folded.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        menu = QMenu(self.folded)
        box = QHBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        for name, words in tabs:
            tab = Tab(words)
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
        for tab in self.tabs.values():
            tab.use(theme)

    def show_present(self, page: str) -> None:
        """Mark the tab of the page that is shown; none for a page without a tab."""
        present = ""
        for name, tab in self.tabs.items():
            tab.setChecked(name == page)
            present = tab.text() if name == page else present
        words = tr("{page}  ▾").format(page=present or tr("Pages"))
        self.folded.setText(words)
        self.folded.setAccessibleName(tr("Pages: {page}").format(page=present or tr("none of them")))

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
