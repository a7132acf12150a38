"""The one next thing to do, why, and the buttons for it. A warning takes the same place."""

import html
import re
from dataclasses import replace

from PySide6.QtCore import QElapsedTimer, QEvent, QObject, QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QMenu,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from candlebench.core.events import ActionKind
from candlebench.core.state import Level, NextStep
from candlebench.ui import shapes
from candlebench.ui.step_button import StepButton
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

MOST_OTHERS = 2
PRESS_AGAIN_MS = 500
# Shares of the usual size that the words are tried at when they have no room.
WORD_SIZES = (1.0, 0.88, 0.77, 0.68, 0.6)
WORD_SIZES_WITH_MORE = WORD_SIZES[:3]
LEAST_GAP_PX = 4
# At large text a card narrower than this leaves the small buttons their words only.
CRAMPED_PX = 700


def rich(text: str) -> str:
    """Words between ** and ** become bold; everything else is shown as it is."""
    return re.sub(r"\*\*(.+?)\*\*", r"<b>\1</b>", html.escape(text, quote=False))


def _held_together(accent: str) -> str:
    """'in about 8½ min' as HTML whose number and unit stay in one line."""
    before, space, unit = html.escape(accent).rpartition(" ")
    return f"{before}&nbsp;{unit}" if space else unit


class Sign(QWidget):
    """The warning's shape beside the headline."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = Theme(LIGHT)
        self._level = Level.CALM
        self.hide()

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.setFixedSize(theme.px(30, 1.7), theme.px(30, 1.7))

    def show_level(self, level: Level, wanted: bool) -> None:
        """Show the sign of a level, or nothing."""
        self._level = level
        self.setVisible(wanted)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = QRectF(self.rect()).adjusted(1, 1, -1, -1)
        inside = self._theme.color("surface")
        if self._level is Level.DANGER:
            shapes.stop_sign(painter, box, self._theme.color("danger"), inside)
        else:
            shapes.warning_sign(painter, box, self._theme.color("warning"), inside)
        painter.end()


class NextCard(QFrame):
    """Shows a step; emits the choice that was made."""

    chosen = Signal(object)

    def __init__(self, menu: QMenu, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self._theme = Theme(LIGHT)
        self._step: NextStep | None = None
        self._pressed = QElapsedTimer()
        self._undo_words = ""
        self._main_fitted: tuple[str, int, Theme] | None = None
        self._heading = QLabel(tr("Next"))
        self._headline = QLabel("")
        self._headline.setWordWrap(True)
        self._headline.setTextFormat(Qt.TextFormat.RichText)
        self._sign = Sign()
        self._reason = QLabel("")
        self._reason.setWordWrap(True)
        self._reason.setTextFormat(Qt.TextFormat.RichText)
        self._more = QLabel("")
        self._more.setWordWrap(True)
        self._more.setTextFormat(Qt.TextFormat.RichText)
        self._main = StepButton()
        self._main.clicked.connect(self._press_main)
        self._others = [QPushButton() for _ in range(MOST_OTHERS)]
        for place, button in enumerate(self._others):
            button.clicked.connect(lambda _=False, i=place: self._press_other(i))
        self._undo = QPushButton()
        self._undo.clicked.connect(self._press_undo)
        self._something = QPushButton(tr("Something else…"))
        self._something.setMenu(menu)
        for button in (self._main, *self._others, self._undo, self._something):
            # A click leaves the keys with the page.
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            button.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        headline_row = QHBoxLayout()
        headline_row.setSpacing(12)
        headline_row.addWidget(self._sign, 0, Qt.AlignmentFlag.AlignVCenter)
        headline_row.addWidget(self._headline, 1)
        buttons = QHBoxLayout()
        buttons.setSpacing(12)
        for button in (self._main, *self._others):
            buttons.addWidget(button)
        # These two keep their place at the edge whatever stands before them.
        buttons.addStretch(1)
        buttons.addWidget(self._undo)
        buttons.addWidget(self._something)
        for button in (self._main, *self._others, self._undo, self._something):
            button.installEventFilter(self)
        self._box = QVBoxLayout(self)
        self._box.setSpacing(0)
        self._box.addWidget(self._heading)
        self._box.addSpacing(2)
        self._box.addLayout(headline_row)
        self._box.addSpacing(6)
        self._box.addWidget(self._reason)
        self._box.addSpacing(2)
        self._box.addWidget(self._more)
        self._box.addStretch(1)
        self._box.addLayout(buttons)
        self.setAccessibleName(tr("Next step"))

    @property
    def step(self) -> NextStep | None:
        return self._step

    def use(self, theme: Theme) -> None:
        """Take a theme and the sizes that go with it."""
        self._theme = theme
        self._box.setContentsMargins(24, theme.px(12, 1.2), 24, theme.px(20, 1.0))
        self._heading.setFont(theme.font(14, 600))
        self._sign.use(theme)
        self._main.use(theme)
        self._main_fitted = None
        for button in (*self._others, self._undo, self._something):
            button.setFixedHeight(theme.px(64, 1.375))
        if self._step is not None:
            self.show_step(self._step, "", force=True)

    def show_step(self, step: NextStep, undo: str, force: bool = False) -> None:
        """Bring the card up to date; `undo` names what can be taken back, or is ''."""
        self._show_undo(undo)
        if step == self._step and not force:
            self._fit()
            return
        self._step = step
        palette = self._theme.palette
        level = {Level.CALM: "calm", Level.WARNING: "warning", Level.DANGER: "danger"}[step.level]
        if self.property("level") != level:
            self.setProperty("level", level)
            self.style().polish(self)
        heading = {"warning": palette.warning_text, "danger": palette.danger_text}.get(level, palette.muted)
        self._heading.setText(step.heading)
        self._heading.setStyleSheet(f"color: {heading};")
        accent = (
            f' <span style="color:{palette.accent}">{_held_together(step.accent)}</span>'
            if step.accent
            else ""
        )
        self._headline.setText(rich(step.headline) + accent)
        self._sign.show_level(step.level, step.level is not Level.CALM)
        self._reason.setText(rich(step.reason))
        self._more.setText(rich(step.more))
        self._more.setStyleSheet(f"color: {palette.muted if level == 'calm' else palette.text};")
        self._main.setVisible(step.main is not None)
        if step.main is not None:
            self._main.show_step(step.main.label, step.now)
        for button, choice in zip(self._others, step.others, strict=False):
            button.setText(choice.label)
            button.setFixedWidth(button.sizeHint().width())
        self._fit()
        self._fit_words()
        plain = f"{step.heading}: {step.headline} {step.accent}. {step.reason} {step.more}".replace("**", "")
        self.setAccessibleDescription(plain)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()
        self._fit_words()

    def _fit_words(self) -> None:
        """Leave away the further line where it has no room, then make the words smaller; none is cut off."""
        step, theme = self._step, self._theme
        if step is None:
            return
        width = self.width() - 2 * 24
        wide = width - (0 if self._sign.isHidden() else self._sign.width() + 12)
        margins = self._box.contentsMargins()
        room = self.height() - margins.top() - margins.bottom() - self._heading.sizeHint().height()
        room -= theme.px(64, 1.375) + 2 + 6 + 2 + LEAST_GAP_PX
        # The further line is often a caution: a little smaller with it comes before leaving it away.
        with_more = [(share, True) for share in WORD_SIZES_WITH_MORE if step.more]
        for share, more in (*with_more, *((share, False) for share in WORD_SIZES)):
            self._more.setFont(theme.font(15 * share, 400, 1.75))
            self._headline.setFont(theme.font(30 * share, 700, 1.7))
            self._reason.setFont(theme.font(17 * share, 400, 1.75))
            needed = self._headline.heightForWidth(wide) + self._reason.heightForWidth(width)
            needed += self._more.heightForWidth(width) if more else 0
            if needed <= room:
                break
        self._more.setVisible(more)
        self._reason.setToolTip("" if more else step.more)

    def _fit(self) -> None:
        """Drop buttons that have no room, the least needed first; the menu beside them holds them all.

        Room for the short “Undo” is kept whether it is shown or not: nothing moves when it comes or goes.
        """
        something = tr("…") if self._theme.large else tr("Something else…")
        if self._something.text() != something:
            self._something.setText(something)
            self._something.setAccessibleName(tr("Something else"))
        cramped = self._theme.large and self.width() < CRAMPED_PX
        small = (
            f"padding: 2px 8px; min-width: 32px; font-size: {self._theme.px(16, 1.4)}px;" if cramped else ""
        )
        for button in (self._undo, self._something):
            if button.styleSheet() != small:
                button.setStyleSheet(small)
        self._set_undo(tr("Undo"))
        room = self.width() - 2 * 24 - self._something.sizeHint().width() - 12
        room -= self._undo.sizeHint().width() + 12
        self._fit_main(room)
        room -= self._main.sizeHint().width() if not self._main.isHidden() else 0
        count = len(self._step.others) if self._step is not None else 0
        for place, button in enumerate(self._others):
            if place < count:
                room -= button.sizeHint().width() + 12
            button.setVisible(place < count and room >= 0)
        short_px = self._undo.sizeHint().width()
        if self._undo_words and room >= 0 and not self._theme.large:
            self._set_undo(self._undo_words)
            if self._undo.sizeHint().width() - short_px > room:
                self._set_undo(tr("Undo"))
        self._undo.setVisible(bool(self._undo_words))

    def _set_undo(self, words: str) -> None:
        if self._undo.text() != words:
            self._undo.setText(words)

    def _fit_main(self, room: int) -> None:
        """Write the big button's words smaller where they have no room."""
        fitted = (self._main.text(), room, self._theme)
        if fitted == self._main_fitted:
            return
        self._main_fitted = fitted
        for share in (*WORD_SIZES, 0.5):
            self._main.use(replace(self._theme, scale=self._theme.scale * share))
            if self._main.sizeHint().width() <= room:
                return

    def press(self) -> None:
        """Do what Space does; a second press within half a second is a slip, not the next step."""
        ready = not self._pressed.isValid() or self._pressed.elapsed() >= PRESS_AGAIN_MS
        if self._main.isVisible() and ready:
            self._pressed.restart()
            self._main.click()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """On this card Space is the big button's; Enter presses the button that has the focus."""
        if isinstance(event, QKeyEvent) and event.type() in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
            pressing = event.type() == QEvent.Type.KeyPress and not event.isAutoRepeat()
            if event.key() == Qt.Key.Key_Space:
                if pressing:
                    self.press()
                return True
            if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and isinstance(watched, QPushButton):
                if pressing:
                    watched.click()
                return True
        return super().eventFilter(watched, event)

    def _show_undo(self, undo: str) -> None:
        words = tr("Undo “{step}”").format(step=undo) if undo else ""
        self._undo_words = words
        self._undo.setToolTip(words)

    def _press_main(self) -> None:
        if self._step is not None and self._step.main is not None:
            self.chosen.emit((self._step.main.kind, self._step.alarm_code))

    def _press_other(self, place: int) -> None:
        if self._step is not None and place < len(self._step.others):
            self.chosen.emit((self._step.others[place].kind, self._step.alarm_code))

    def _press_undo(self) -> None:
        self.chosen.emit((ActionKind.UNDO, ""))
