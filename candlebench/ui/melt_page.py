"""The page at the hob: the reading, the next step, the curve, the steps. Keys work without looking."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QMenu, QVBoxLayout, QWidget

from candlebench.core.events import ActionKind
from candlebench.core.place import Place
from candlebench.core.state import MeltState
from candlebench.core.units import Shown
from candlebench.ui.curve_view import CurveView
from candlebench.ui.guess_bar import GuessBar
from candlebench.ui.next_card import NextCard
from candlebench.ui.now_card import NowCard
from candlebench.ui.step_line import StepLine, wall_clock
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

if TYPE_CHECKING:
    from candlebench.core.guesses import Outcome

# A curve lower than the first leaves the line of steps away; lower than the second it cannot be read.
USUAL_PLOT_PX, LEAST_PLOT_PX = 130, 100
# The two cards; in a window narrower than the last the left one gives room to the words beside it.
CARDS_PX, NOW_PX, NARROW_PX = 228, 300, 1100

# One key each, as hands are waxy. Digits are readings, so letters it is.
KEYS: dict[str, tuple[ActionKind, str]] = {
    "M": (ActionKind.MELTED, tr("All melted")),
    "H": (ActionKind.HEAT_DOWN, tr("Heat is down")),
    "O": (ActionKind.OFF_HEAT, tr("Off the heat")),
    "B": (ActionKind.ON_HEAT, tr("Back on the heat")),
    "I": (ActionKind.OIL_IN, tr("Oil is in")),
    "S": (ActionKind.STIRRED, tr("Stirred")),
    "P": (ActionKind.POURED, tr("Poured")),
    "A": (ActionKind.ACKNOWLEDGE, tr("I have seen the warning")),
    "U": (ActionKind.UNDO, tr("Undo the last step")),
}


class MeltPage(QWidget):
    """Shows a state. `acted` carries (ActionKind, detail), `typed` what was typed.

    `unused_key` carries the key and the text of a press that means nothing on this page.
    """

    acted = Signal(object)
    typed = Signal(str)
    unused_key = Signal(int, str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme, self._shown = Theme(LIGHT), Shown()
        self._state: MeltState | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(tr("Melt"))
        self._title = QLabel("")
        self._title.setProperty("role", "title")
        self._about = QLabel("")
        self._about.setProperty("role", "muted")
        self._alarms = QLabel("")
        self._alarms.setProperty("role", "warning")
        self.menu = QMenu(self)
        self._fill_menu()
        self.menu.aboutToHide.connect(self.take_focus)
        self.now = NowCard()
        self.next = NextCard(self.menu)
        self.guess = GuessBar()
        self.curve = CurveView()
        self.steps = StepLine()
        self._plot_card = QFrame()
        self._plot_card.setObjectName("card")
        plot_box = QVBoxLayout(self._plot_card)
        plot_box.setContentsMargins(2, 2, 2, 2)
        plot_box.addWidget(self.curve)
        self._title_row = QWidget()
        title_box = QHBoxLayout(self._title_row)
        title_box.setContentsMargins(0, 0, 0, 0)
        title_box.addWidget(self._title)
        title_box.addStretch(1)
        title_box.addWidget(self._alarms)
        title_box.addSpacing(16)
        title_box.addWidget(self._about)
        cards = QHBoxLayout()
        cards.setSpacing(16)
        cards.addWidget(self.now)
        cards.addWidget(self.next, 1)
        self._box = QVBoxLayout(self)
        self._box.addWidget(self._title_row)
        self._box.addLayout(cards)
        self._box.addWidget(self.guess)
        self._box.addWidget(self._plot_card, 1)
        self._box.addWidget(self.steps)
        self.next.chosen.connect(self._choose)
        self.guess.changed.connect(self._fit)
        self.now.typed.connect(self.typed)

    def use(self, theme: Theme, shown: Shown) -> None:
        """Take a theme and a unit."""
        self._theme, self._shown = theme, shown
        edge = 20 if theme.large else 24
        self._box.setContentsMargins(edge, 12, edge, 14)
        self._box.setSpacing(14 if theme.large else 16)
        self._title_row.setFixedHeight(theme.px(36))
        self._title_row.setVisible(not theme.large)
        for part in (self.now, self.next, self.guess, self.steps):
            part.use(theme)
        self.curve.use(theme, shown)
        self._fit()
        if self._state is not None:
            self.show_state(self._state)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        """Leave away what has no room: first the line of steps, then a curve too low to be read."""
        theme, margins, space = self._theme, self._box.contentsMargins(), self._box.spacing()
        cards = theme.px(CARDS_PX, 1.5)
        room = self.height() - margins.top() - margins.bottom() - cards - space
        if not self._title_row.isHidden():
            room -= self._title_row.height() + space
        if not self.guess.isHidden():
            width = self.width() - margins.left() - margins.right()
            room -= self.guess.layout().totalHeightForWidth(width) + space
        steps = self.steps.height() + space
        has_curve = room >= theme.px(LEAST_PLOT_PX, 1.5)
        self._plot_card.setVisible(has_curve)
        self.steps.setVisible(room - steps >= (theme.px(USUAL_PLOT_PX, 1.3) if has_curve else -space))
        # Without the curve the cards take what is left, so that large words have room.
        spare = 0 if has_curve else min(max(room - steps + space, 0), cards // 3)
        self.now.set_size(theme.px(NOW_PX, 1.1 if self.width() < NARROW_PX else 1.3), cards + spare)
        self.next.setFixedHeight(cards + spare)

    def show_state(self, state: MeltState) -> None:
        """Bring the page up to date."""
        self._state = state
        self._title.setText(state.setup.title)
        self._about.setText(self._about_words(state))
        seen = [a.heading.split(": ", 1)[-1] for a in state.alarms if a.acknowledged]
        self._alarms.setText(tr("Seen: {alarms}").format(alarms="; ".join(seen)) if seen else "")
        self.now.show_state(state, self._shown)
        self.next.show_step(state.step, state.undo)
        self.curve.show_state(state)
        self.steps.show_state(state)

    def take_focus(self) -> None:
        """Listen to the keys; digits go on into a reading being typed, else into a guess that is asked."""
        if self.now.typing:
            self.now.take_focus()
        elif self.guess.asking:
            self.guess.take_focus()
        else:
            self.setFocus()

    def show_guess(self, guess: "Outcome | None") -> None:
        """Show an open guess beside the forecast, or none."""
        if guess is None:
            self.guess.close_bar()
        else:
            self.guess.show_guess(guess)
        self.curve.show_guess(guess.guess if guess is not None else None)

    def show_paused(self, paused: bool) -> None:
        """Say beside the clocks that the melt's time stands still, or no more."""
        self.steps.show_paused(paused)
        self.curve.show_paused(paused)

    @property
    def state(self) -> MeltState | None:
        return self._state

    def _about_words(self, state: MeltState) -> str:
        setup = state.setup
        parts = [
            tr("{grams:.0f} g {wax}").format(grams=setup.wax_g, wax=setup.wax) if setup.wax_g else setup.wax
        ]
        measured = state.beside is not None and state.beside.place is Place.ROOM
        if setup.room_c is not None and not measured:
            parts.append(tr("room {temp}").format(temp=self._shown.temp(setup.room_c)))
        parts.append(tr("began {time}").format(time=wall_clock(state.began_wall_s)))
        return "  ·  ".join(parts)

    def _fill_menu(self) -> None:
        for key, (kind, words) in KEYS.items():
            action = self.menu.addAction(words)
            # Shown only: the page itself listens, so that keys act only while it has the focus.
            action.setText(f"{words}\t{key}")
            action.triggered.connect(lambda _=False, k=kind: self.acted.emit((k, "")))
        self.menu.addSeparator()

    def _choose(self, choice: tuple[ActionKind, str]) -> None:
        kind, alarm_code = choice
        if alarm_code and kind is not ActionKind.ACKNOWLEDGE and kind is not ActionKind.UNDO:
            self.acted.emit((ActionKind.ACKNOWLEDGE, alarm_code))
        self.acted.emit((kind, alarm_code if kind is ActionKind.ACKNOWLEDGE else ""))
        self.setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        text, modifiers = event.text(), event.modifiers()
        plain = modifiers in (
            Qt.KeyboardModifier.NoModifier,
            Qt.KeyboardModifier.ShiftModifier,
            Qt.KeyboardModifier.KeypadModifier,
        )
        if plain and event.key() == Qt.Key.Key_Space:
            if not event.isAutoRepeat():
                self.next.press()
        elif plain and text and (text.isdigit() or text in "-+"):
            self.now.start_typing(text)
        elif plain and text.upper() in KEYS and not event.isAutoRepeat():
            self.acted.emit((KEYS[text.upper()][0], ""))
        elif plain and text.upper() == "W":
            self.curve.toggle_whole()
        elif event.key() == Qt.Key.Key_Z and modifiers == Qt.KeyboardModifier.ControlModifier:
            self.acted.emit((ActionKind.UNDO, ""))
        elif plain and event.key() not in (Qt.Key.Key_Escape, Qt.Key.Key_Tab):
            self.unused_key.emit(event.key(), text)
            super().keyPressEvent(event)
        else:
            super().keyPressEvent(event)
