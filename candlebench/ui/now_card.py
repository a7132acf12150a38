"""The largest thing on the page: the temperature now, how fast it moves, and a number typed by hand."""

import html

from PySide6.QtCore import QEvent, QRectF, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QLineEdit, QStackedWidget, QVBoxLayout, QWidget

from candlebench.core.events import Stage
from candlebench.core.state import MeltState
from candlebench.core.units import Shown, clock_face
from candlebench.ui import shapes
from candlebench.ui.now_beside import WORD_SIZES, BesideLine
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

# The probe's own display rounds to a tenth: a correction below half of one changes nothing that is seen.
SHOWS_ANOTHER_K = 0.05


class SlopeArrow(QWidget):
    """Rising, falling or level."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = Theme(LIGHT)
        self._slope: int | None = None

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.setFixedSize(theme.px(20), theme.px(20))

    def show_slope(self, slope: int | None) -> None:
        """1 rising, -1 falling, 0 level, None unknown."""
        self.setVisible(slope is not None)
        if slope != self._slope:
            self._slope = slope
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._slope is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = QRectF(self.rect()).adjusted(2, 2, -2, -2)
        shapes.slope_arrow(painter, box, self._slope, self._theme.color("text"), self._theme.px(2))
        painter.end()


class ReadingEntry(QLineEdit):
    """Where typed digits go. Escape drops them."""

    dropped = Signal()

    def event(self, event: QEvent) -> bool:
        # The window's own Escape would come first, and leave what was typed standing.
        if event.type() == QEvent.Type.ShortcutOverride and event.key() == Qt.Key.Key_Escape:
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.clear()
            self.dropped.emit()
            return
        super().keyPressEvent(event)


class NowCard(QFrame):
    """Shows a state; emits what was typed."""

    typed = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self._theme = Theme(LIGHT)
        self._label = QLabel(tr("Now"))
        self._label.setProperty("role", "label")
        self._shows = QLabel("")
        self._shows.setProperty("role", "muted")
        self._temp = QLabel("–")
        self._temp.setTextFormat(Qt.TextFormat.RichText)
        self._arrow = SlopeArrow()
        self._rate = QLabel("")
        self._heat = QLabel("")
        self._hint = QLabel("")
        self._hint.setProperty("role", "muted")
        self._hint.setWordWrap(True)
        self._entry = ReadingEntry()
        self._entry.setAccessibleName(tr("Reading by hand"))
        self._entry.returnPressed.connect(self._submit)
        self._entry.dropped.connect(self.close_entry)
        self._foot = QStackedWidget()
        self._foot.addWidget(self._hint)
        self._foot.addWidget(self._entry)
        self._problem = ""
        self.beside = BesideLine()
        self.beside.hide()
        self._has_beside = False
        self._bottom = QWidget()
        bottom = QVBoxLayout(self._bottom)
        bottom.setContentsMargins(0, 0, 0, 0)
        bottom.setSpacing(0)
        bottom.addWidget(self.beside)
        bottom.addWidget(self._foot, 1)
        head = QHBoxLayout()
        head.addWidget(self._label)
        head.addStretch(1)
        head.addWidget(self._shows)
        rate_row = QHBoxLayout()
        rate_row.setSpacing(8)
        rate_row.addWidget(self._arrow)
        rate_row.addWidget(self._rate, 1)
        self._box = QVBoxLayout(self)
        self._box.setSpacing(0)
        self._box.addLayout(head)
        self._box.addWidget(self._temp)
        self._box.addStretch(2)
        self._box.addLayout(rate_row)
        self._box.addSpacing(4)
        self._box.addWidget(self._heat)
        self._box.addStretch(1)
        self._box.addWidget(self._bottom)
        self.setAccessibleName(tr("Temperature now"))

    def use(self, theme: Theme) -> None:
        """Take a theme and the sizes that go with it."""
        self._theme = theme
        self._box.setContentsMargins(20, theme.px(14, 1.2), 16, theme.px(12, 1.2))
        self._label.setFont(theme.font(14, 600))
        self._arrow.use(theme)
        self._temp.setFixedHeight(theme.px(88, 1.4))
        self.beside.use(theme)
        self._bottom.setFixedHeight(theme.px(42, 1.7))

    def set_size(self, width_px: int, height_px: int) -> None:
        """Take the room that the page gives."""
        self.setFixedSize(width_px, height_px)
        self._fit_words()

    def show_state(self, state: MeltState, shown: Shown) -> None:
        """Bring the card up to date."""
        theme, palette = self._theme, self._theme.palette
        number = "–" if state.temp_c is None else f"{shown.number(state.temp_c):.1f}"
        color = palette.text if state.fresh else palette.muted
        self._temp.setText(
            f'<span style="font-size:{theme.px(80, 1.4)}px; font-weight:600; color:{color}">{number}</span>'
            f'<span style="font-size:{theme.px(34, 1.5)}px; color:{palette.muted}">&nbsp;{shown.sign}</span>'
        )
        self._show_rate(state, shown)
        on_off = tr("on the heat for {time}") if state.on_heat else tr("off the heat for {time}")
        self._heat.setText(on_off.format(time=clock_face(max(0.0, state.now_s - state.heat_since_s))))
        if state.stage is Stage.POURED:
            self._heat.setText(tr("poured"))
        elif state.reading_s is None and len(state.marks) == 1:
            # Nobody has said yet that the hob is lit.
            self._heat.setText("")
        if not self._problem:
            hint = tr("Type a reading: e.g. {number} Enter").format(number=f"{shown.number(73.4):.1f}")
            if self._hint.text() != hint:
                self._hint.setText(hint)
        self._show_as_read(state, shown)
        self._show_beside(state, shown)
        self._fit_words()
        said = tr("{number} {unit}, {rate}").format(number=number, unit=shown.sign, rate=self._rate.text())
        self._temp.setAccessibleName(said)
        others = [words for words in (self._shows.text(), self.beside.text) if words]
        self.setAccessibleDescription(". ".join([said, *others]))

    def _show_as_read(self, state: MeltState, shown: Shown) -> None:
        """The probe's own display, where a correction makes another number of it."""
        read_c = state.read_c
        if read_c is None or state.temp_c is None or not state.fresh:
            self._shows.setText("")
            return
        words = tr("probe shows {number}").format(number=f"{shown.number(read_c):.1f}")
        self._shows.setText(words if abs(read_c - state.temp_c) >= SHOWS_ANOTHER_K else "")

    def _show_beside(self, state: MeltState, shown: Shown) -> None:
        self._has_beside = state.beside is not None
        if state.beside is None:
            self.beside.clear()
        else:
            self.beside.show_beside(state.beside, state.now_s, shown, self._room_px())
        self._make_room()

    def _make_room(self) -> None:
        """What is being typed, or is wrong with it, takes the place of the second probe."""
        free = not self._problem and not self.typing
        self.beside.setVisible(self._has_beside and free)

    def _show_rate(self, state: MeltState, shown: Shown) -> None:
        if state.temp_c is not None and not state.fresh:
            self._arrow.show_slope(None)
            self._rate.setText(self._read_ago(state))
            return
        from candlebench.core.alarms import FALLING_C_PER_MIN

        rate = state.rate_c_per_min
        if rate is None:
            self._arrow.show_slope(None)
            none = tr("no reading yet") if self._theme.large else tr("waiting for readings")
            self._rate.setText(none if state.temp_c is None else self._read_ago(state))
            return
        per = tr("/min") if self._theme.large else tr(" a minute")
        amount = f"{abs(shown.difference(rate)):.1f} {shown.sign}{per}"
        if abs(rate) < -FALLING_C_PER_MIN:
            self._arrow.show_slope(0)
            self._rate.setText(tr("steady"))
        elif rate > 0:
            self._arrow.show_slope(1)
            self._rate.setText(tr("rising {amount}").format(amount=amount))
        else:
            self._arrow.show_slope(-1)
            self._rate.setText(tr("falling {amount}").format(amount=amount))

    def _read_ago(self, state: MeltState) -> str:
        return tr("read {age} ago").format(age=clock_face(state.age_s or 0.0))

    def _fit_words(self) -> None:
        """Write a line smaller where it has no room: none is cut off."""
        room = self._room_px()
        arrow = 0 if self._arrow.isHidden() else self._arrow.width() + 8
        for label, at_100, stops_at, taken in (
            (self._rate, 18.0, 1.75, arrow),
            (self._heat, 16.0, 1.9, 0),
            (self._hint, 15.0, 1.7, 0),
            (self._shows, 14.0, 1.7, self._label.sizeHint().width() + 8),
        ):
            for share in WORD_SIZES:
                font = self._theme.font(at_100 * share, 400, stops_at)
                # A sentence about what was typed wraps, and is written as HTML.
                long = label is self._hint and self._problem
                if long or QFontMetricsF(font).horizontalAdvance(label.text()) <= room - taken - 2:
                    break
            # The style sheet of the window gives sizes to some roles: said here, it counts.
            size = f"font-size: {font.pixelSize()}px;"
            if label.styleSheet() != size:
                label.setStyleSheet(size)

    def _room_px(self) -> int:
        margins = self._box.contentsMargins()
        return self.width() - margins.left() - margins.right()

    @property
    def typing(self) -> bool:
        """Whether a number is being typed."""
        return self._foot.currentWidget() is self._entry

    def take_focus(self) -> None:
        """Let the keys go on into the number that is being typed."""
        self._entry.setFocus()

    def start_typing(self, first: str) -> None:
        """Open the entry with the key that was pressed."""
        self._problem = ""
        self._foot.setCurrentWidget(self._entry)
        self._entry.setText(first)
        self._entry.setFocus()
        self._entry.end(False)
        self._make_room()

    def close_entry(self) -> None:
        """Show the hint again and give the keys back to the page."""
        self._foot.setCurrentWidget(self._hint)
        parent = self.parentWidget()
        if parent is not None and self._entry.hasFocus():
            parent.setFocus()
        self._make_room()

    def say_problem(self, sentence: str) -> None:
        """Show why the number was not taken; the text stays to be corrected."""
        self._problem = sentence
        self._hint.setText(
            f'<span style="color:{self._theme.palette.danger_text}">{html.escape(sentence)}</span>'
        )
        self._make_room()

    def clear_problem(self) -> None:
        """The number was taken."""
        self._problem = ""
        self._make_room()

    def _submit(self) -> None:
        text = self._entry.text()
        self._entry.clear()
        self.close_entry()
        self.typed.emit(text)
