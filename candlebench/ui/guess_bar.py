"""The row that asks for a guess, and then shows it beside the forecast."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QPushButton, QSizePolicy, QWidget

from candlebench.core.errors import FixableError
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

if TYPE_CHECKING:
    # Guesses are loaded with the first melt, not with the window.
    from candlebench.core.guesses import Outcome, Question


class MinutesField(QLineEdit):
    """Where the guess is typed. Escape skips it."""

    skipped = Signal()

    def event(self, event: QEvent) -> bool:
        # The window's own Escape would come first and leave the page.
        if event.type() == QEvent.Type.ShortcutOverride and event.key() == Qt.Key.Key_Escape:
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.skipped.emit()
        else:
            super().keyPressEvent(event)


class GuessBar(QWidget):
    """Emits `guessed` with the seconds, or `skipped`. Hidden when nothing is asked.

    `changed` tells that it takes more or less room.
    """

    guessed = Signal(float)
    skipped = Signal()
    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = Theme(LIGHT)
        self.setObjectName("guess")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._words = QLabel("")
        self._words.setWordWrap(True)
        self._words.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self._field = MinutesField()
        self._field.setPlaceholderText(tr("minutes"))
        self._field.setMaxLength(6)
        self._take = QPushButton(tr("That is my guess  Enter"))
        self._skip = QPushButton(tr("Skip  Esc"))
        self._field.returnPressed.connect(self._submit)
        self._field.skipped.connect(self.skipped)
        self._take.clicked.connect(self._submit)
        self._skip.clicked.connect(self.skipped)
        box = QHBoxLayout(self)
        box.setContentsMargins(20, 6, 12, 6)
        box.setSpacing(12)
        box.addWidget(self._words, 1)
        for part in (self._field, self._take, self._skip):
            box.addWidget(part)
        self.hide()

    @property
    def asking(self) -> bool:
        """Whether a question is open."""
        return not self.isHidden() and not self._field.isHidden()

    @property
    def text(self) -> str:
        """What the row says."""
        return self._words.text() if not self.isHidden() else ""

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        p = theme.palette
        self.setStyleSheet(
            f"QWidget#guess {{ background: {p.accent_soft}; border: 1px solid {p.accent};"
            f" border-radius: 10px; }}"
            f"QLabel {{ background: transparent; font-size: {theme.px(17, 1.6)}px; color: {p.text}; }}"
            f"QPushButton {{ padding: 2px {theme.px(12, 1.4)}px; min-height: {theme.px(26, 1.6)}px;"
            f" font-size: {theme.px(16, 1.6)}px; }}"
            f"QLineEdit {{ min-height: {theme.px(24, 1.6)}px; font-size: {theme.px(17, 1.6)}px; }}"
        )
        self._field.setFixedWidth(theme.px(108, 1.6))
        self._take.setText(tr("Guess  Enter") if theme.large else tr("That is my guess  Enter"))
        self._skip.setText(tr("Skip") if theme.large else tr("Skip  Esc"))

    def ask(self, asked: "Question") -> None:
        """Ask when the window opens; `take_focus` gives it the keys."""
        words = {
            "oil": tr("When do you think the oil window opens? In how many minutes?"),
            "pour": tr("When do you think the pour window opens? In how many minutes?"),
        }[asked.window]
        self._words.setText(words)
        self._field.clear()
        self._field.setAccessibleName(words)
        for part in (self._field, self._take, self._skip):
            part.show()
        self.show()
        self.changed.emit()

    def take_focus(self) -> None:
        """Let digits go into the field."""
        self._field.setFocus()

    def show_guess(self, came: "Outcome") -> None:
        """Show the guess beside the forecast until the window opens."""
        from candlebench.core.guesses import said_words

        self._rest(said_words(came))

    def close_bar(self) -> None:
        """Nothing is asked and nothing is open."""
        self._rest("")

    def _rest(self, words: str) -> None:
        self._words.setText(words)
        for part in (self._field, self._take, self._skip):
            part.hide()
        # A guess that stands is a line of facts; at large text the message and the curve's mark say it.
        self.setVisible(bool(words) and not self._theme.large)
        self.changed.emit()

    def _submit(self) -> None:
        from candlebench.core.guesses import minutes_typed

        try:
            in_s = minutes_typed(self._field.text())
        except FixableError as error:
            self._words.setText(str(error))
            self._field.selectAll()
            self._field.setFocus()
            return
        self.guessed.emit(in_s)
