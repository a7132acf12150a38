"""Sentences for the person under the bar: some go by themselves, a trouble stands until it is over."""

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

# Long enough to read two lines twice.
GOES_AFTER_MS = 15000
MOST = 3


class MessageBar(QWidget):
    """Newest sentence first; hidden when there is nothing to say."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = Theme(LIGHT)
        self._sentences: list[str] = []
        self._trouble = ""
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setObjectName("messages")
        self._words = QLabel("")
        self._words.setWordWrap(True)
        self._words.setTextFormat(Qt.TextFormat.PlainText)
        self._close = QPushButton(tr("Read"))
        self._close.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._close.clicked.connect(self.clear)
        box = QHBoxLayout(self)
        box.setContentsMargins(24, 8, 16, 8)
        box.addWidget(self._words, 1)
        box.addWidget(self._close)
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
            f"QWidget#messages {{ background: {p.accent_soft}; border-bottom: 1px solid {p.line}; }}"
            f"QLabel {{ background: transparent; color: {p.text}; font-size: {theme.px(16, 1.6)}px; }}"
        )

    @property
    def text(self) -> str:
        """What is shown."""
        return self._words.text() if not self.isHidden() else ""

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
        self._words.setText("\n".join(lines))
        self.setAccessibleName("\n".join(lines))
        self._close.setVisible(bool(self._sentences))
        self.setVisible(bool(lines))
