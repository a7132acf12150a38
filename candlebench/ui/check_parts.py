"""What the steps of a check share: the live number, what to do in order, cautions, a field to type in."""

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from candlebench.core.units import Shown
from candlebench.ui.check_curve import CheckCurve, CurvePicture
from candlebench.ui.now_card import SlopeArrow
from candlebench.ui.page_frame import role_label
from candlebench.ui.plan_rows import Sign
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

# Qt's own largest width.
_ANY_PX = 16777215


def announce(widget: QWidget, text: str) -> None:
    """Let a screen reader say a sentence at once; her eyes and hands are at the pan."""
    event = QAccessibleAnnouncementEvent(widget, text)
    event.setPoliteness(QAccessible.AnnouncementPoliteness.Assertive)
    QAccessible.updateAccessibility(event)


def set_words(label: QLabel, text: str) -> None:
    """Show a text, or nothing and take no room."""
    label.setText(text)
    label.setVisible(bool(text))


class SteadyWrapLabel(QLabel):
    """Wrapped words that keep the room of so many lines, so that nothing below them moves."""

    def __init__(self, role: str, lines: int) -> None:
        super().__init__()
        self.setProperty("role", role)
        self.setWordWrap(True)
        self.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        self._lines = lines

    def minimumSizeHint(self) -> QSize:
        return QSize(super().minimumSizeHint().width(), self._lines * self.fontMetrics().lineSpacing() + 2)

    def heightForWidth(self, width: int) -> int:
        return max(super().heightForWidth(width), self.minimumSizeHint().height())


class LivePanel(QFrame):
    """What the probe shows now, whether it moves, and the last two minutes."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("card")
        self.setAccessibleName(tr("The probe now"))
        self._theme, self._shown = Theme(LIGHT), Shown()
        self._label = role_label(tr("The probe shows"), "label")
        self._number = QLabel("–")
        self._number.setTextFormat(Qt.TextFormat.RichText)
        self._arrow = SlopeArrow()
        self._sign = Sign("warning")
        self._sign.show_kind("warning")
        self._sign.hide()
        self._words = SteadyWrapLabel("lead", 3)
        self.curve = CheckCurve(150, grows=True)
        number = QVBoxLayout()
        number.setSpacing(4)
        number.addWidget(self._label)
        number.addWidget(self._number)
        self._say = QWidget()
        words = QHBoxLayout(self._say)
        words.setContentsMargins(0, 0, 0, 0)
        words.setSpacing(8)
        for mark in (self._arrow, self._sign):
            words.addWidget(mark, 0, Qt.AlignmentFlag.AlignTop)
        words.addWidget(self._words, 1)
        self._box = QBoxLayout(QBoxLayout.Direction.TopToBottom, self)
        self._box.addLayout(number)
        self._box.addWidget(self._say)
        self._box.addWidget(self.curve, 1000)
        # Without the curve the rest stays at the top.
        self._box.addStretch(1)
        self._flat = self._has_curve = False

    def use(self, theme: Theme, shown: Shown) -> None:
        """Take a theme and a unit."""
        self._theme, self._shown = theme, shown
        self._box.setContentsMargins(20, theme.px(14, 1.2), 16, theme.px(12, 1.2))
        self._number.setFixedHeight(theme.px(84, 1.4))
        self._arrow.use(theme)
        self._sign.use(theme)
        self.curve.use(theme, shown)

    def lie_flat(self, flat: bool, width_px: int) -> None:
        """Take the whole width, above the card, or stand beside it, `width_px` wide."""
        self._flat = flat
        direction = QBoxLayout.Direction
        self._box.setDirection(direction.LeftToRight if flat else direction.TopToBottom)
        self._box.setSpacing(24 if flat else 8)
        # Beside the number the words begin where its digits do, not where its name does.
        self._say.setContentsMargins(0, self._theme.px(24) if flat else 0, 0, 0)
        self._box.setStretchFactor(self._say, 10_000 if flat else 0)
        self.setMinimumWidth(0 if flat else width_px)
        self.setMaximumWidth(_ANY_PX if flat else width_px)
        policy = QSizePolicy.Policy
        self.setSizePolicy(policy.Preferred, policy.Fixed if flat else policy.Preferred)
        self.curve.setVisible(self._has_curve and not flat)

    def show_now(
        self, temp_c: float | None, fresh: bool, slope: int | None, words: str, doubtful: bool
    ) -> None:
        """Bring the number and the sentence up to date; a doubtful one has a sign in place of the arrow."""
        theme, shown = self._theme, self._shown
        number = "–" if temp_c is None else f"{shown.number(temp_c):.1f}"
        color = theme.palette.text if fresh else theme.palette.muted
        muted, large, small = theme.palette.muted, theme.px(76, 1.4), theme.px(32, 1.5)
        self._number.setText(
            f'<span style="font-size:{large}px;font-weight:600;color:{color}">{number}</span>'
            f'<span style="font-size:{small}px;color:{muted}">&nbsp;{shown.sign}</span>'
        )
        self._number.setAccessibleName(f"{number} {shown.sign}")
        self._arrow.show_slope(slope if fresh and not doubtful else None)
        self._sign.setVisible(doubtful)
        if words != self._words.text():
            self._words.setText(words)

    def show_curve(self, picture: CurvePicture | None) -> None:
        """Draw the last readings, or leave the curve away."""
        self._has_curve = picture is not None
        self.curve.setVisible(self._has_curve and not self._flat)
        if picture is not None:
            self.curve.show_picture(picture)


class GuideList(QWidget):
    """Sentences in their order, numbered, and below them what can hurt, each with its sign."""

    def __init__(self, steps: Sequence[str], cautions: Sequence[str]) -> None:
        super().__init__()
        self._signs: list[Sign] = []
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(6)
        grid.setColumnStretch(1, 1)
        top = Qt.AlignmentFlag.AlignTop
        for row, text in enumerate(steps):
            number = role_label(f"{row + 1}", "label", wrap=False)
            grid.addWidget(number, row, 0, top | Qt.AlignmentFlag.AlignHCenter)
            grid.addWidget(role_label(text, "lead"), row, 1)
        for row, text in enumerate(cautions, start=len(steps) + 1):
            sign = Sign("warning")
            sign.show_kind("warning")
            self._signs.append(sign)
            grid.addWidget(sign, row, 0, top)
            grid.addWidget(role_label(text, "warning"), row, 1)
        if cautions:
            grid.setRowMinimumHeight(len(steps), 4)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        for sign in self._signs:
            sign.use(theme)


class TypedRow(QWidget):
    """A field for what she reads off the probe herself. `given` carries the text."""

    given = Signal(str)

    def __init__(self, words: str, unit: str, button: str, hint: str = "") -> None:
        super().__init__()
        name = role_label(words, "lead", wrap=False)
        self.field = QLineEdit()
        self.field.setAccessibleName(f"{words}, {unit}")
        self.field.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.field.setMaxLength(60)
        name.setBuddy(self.field)
        self._take = QPushButton(button)
        self._take.setAccessibleDescription(words)
        self._take.clicked.connect(self._give)
        self.field.returnPressed.connect(self._give)
        self._hint = role_label(hint, "muted")
        row = QHBoxLayout()
        row.setSpacing(12)
        for part in (self.field, role_label(unit, "muted", wrap=False), self._take):
            row.addWidget(part)
        row.addStretch(1)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 4, 0, 0)
        box.setSpacing(6)
        box.addWidget(name)
        box.addLayout(row)
        box.addWidget(self._hint)
        self._hint.setVisible(bool(hint))

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self.field.setFixedWidth(theme.px(150, 1.5))

    def start_typing(self, text: str) -> None:
        """Go on from a key that was pressed elsewhere on the page."""
        self.field.setFocus()
        self.field.setText(text)

    def clear(self) -> None:
        """Leave the field empty."""
        self.field.clear()

    def _give(self) -> None:
        if self.field.text().strip():
            self.given.emit(self.field.text().strip())
        else:
            self.field.setFocus()
