"""Sentences laid over the page, so that nothing moves: some go by themselves, a trouble stays."""

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

# Long enough to read two lines twice.
GOES_AFTER_MS = 15000
MOST = 3
EDGE_PX, BORDER_PX = 8, 1


class MessageBar(QWidget):
    """Newest sentence first; hidden when there is nothing to say. `changed` asks for its place anew."""

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = Theme(LIGHT)
        self._sentences: list[str] = []
        self._trouble = ""
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setObjectName("messages")
        self._words, self._standing = QLabel(""), QLabel("")
        for label in (self._standing, self._words):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.hide()
        self._close = QPushButton(tr("Close"))
        self._close.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._close.setAccessibleName(tr("Close the message"))
        self._close.clicked.connect(self.clear)
        # The words keep their width whether the button is there or not.
        policy = self._close.sizePolicy()
        policy.setRetainSizeWhenHidden(True)
        self._close.setSizePolicy(policy)
        lines = QVBoxLayout()
        lines.setSpacing(2)
        lines.addWidget(self._standing)
        lines.addWidget(self._words)
        box = QHBoxLayout(self)
        box.setContentsMargins(24, EDGE_PX, 16, EDGE_PX)
        box.addLayout(lines, 1)
        box.addWidget(self._close, 0, Qt.AlignmentFlag.AlignVCenter)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(GOES_AFTER_MS)
        self._timer.timeout.connect(self.clear)
        self.hide()

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        p = theme.palette
        self.setStyleSheet(
            f"QWidget#messages {{ background: {p.accent_soft}; border: {BORDER_PX}px solid {p.strong_line};"
            f" border-left: none; border-right: none; }}"
            f"QLabel {{ background: transparent; color: {p.text}; font-size: {theme.px(16, 1.6)}px; }}"
            f"QPushButton {{ font-size: {theme.px(16, 1.6)}px; min-height: {theme.px(22, 1.6)}px;"
            f" padding: {theme.px(4, 1.2)}px {theme.px(14, 1.2)}px; }}"
        )
        self.changed.emit()

    @property
    def text(self) -> str:
        """What is shown."""
        return self.accessibleName() if not self.isHidden() else ""

    def height_at(self, width: int) -> int:
        """The height in pixels at a width in pixels."""
        # What was just said is not in the layout before the next turn of Qt's loop otherwise.
        self.layout().activate()
        return max(self.layout().totalHeightForWidth(width), self.layout().totalMinimumSize().height())

    def standing_height_at(self, width: int) -> int:
        """The height in pixels of a standing trouble alone, which must not cover the page for good."""
        if not self._trouble:
            return 0
        margins = self.layout().contentsMargins()
        room = width - margins.left() - margins.right() - self._close.sizeHint().width()
        words = self._standing.heightForWidth(room - self.layout().spacing())
        return max(words, self._close.sizeHint().height()) + 2 * (EDGE_PX + BORDER_PX)

    def say(self, sentence: str) -> None:
        """Show a sentence for a while."""
        if sentence and sentence not in self._sentences:
            self._sentences = [sentence, *self._sentences][:MOST]
        self._timer.start()
        self._show()

    def stand(self, trouble: str) -> None:
        """Show a trouble until it is over (said as '')."""
        self._trouble = trouble
        self._show()

    def clear(self) -> None:
        """Drop what was said; a standing trouble stays."""
        self._timer.stop()
        self._sentences.clear()
        self._show()

    def _show(self) -> None:
        lines = [self._trouble] if self._trouble else []
        lines += self._sentences
        self._standing.setText(self._trouble)
        self._standing.setVisible(bool(self._trouble))
        self._words.setText("\n".join(self._sentences))
        self._words.setVisible(bool(self._sentences))
        self.setAccessibleName("\n".join(lines))
        self._close.setVisible(bool(self._sentences))
        self.setVisible(bool(lines))
        self.changed.emit()


class MessagedPages(QWidget):
    """The pages with the messages over them, at the head or at the foot.

    A trouble that stands takes room of its own, so that it does not cover a page for good.
    """

    def __init__(self, pages: QWidget, messages: MessageBar) -> None:
        super().__init__()
        self._messages, self._at_foot = messages, False
        self._box = QVBoxLayout(self)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.addWidget(pages)
        messages.setParent(self)
        messages.hide()
        messages.changed.connect(self._place)

    def put_at_foot(self, wanted: bool) -> None:
        """Lay the messages over the foot of the page, or over its head."""
        self._at_foot = wanted
        self._place()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._place()

    def _place(self) -> None:
        messages = self._messages
        shown = not messages.isHidden()
        height = min(messages.height_at(self.width()), self.height()) if shown else 0
        taken = min(messages.standing_height_at(self.width()), height)
        above, below = (0, taken) if self._at_foot else (taken, 0)
        self._box.setContentsMargins(0, above, 0, below)
        if shown:
            messages.setGeometry(0, self.height() - height if self._at_foot else 0, self.width(), height)
            messages.raise_()
