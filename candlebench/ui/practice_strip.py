"""The strip over a practice melt: that it is practice, and how fast it runs."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QLabel, QPushButton, QWidget

from candlebench.thermometers.source import ThermometerSource
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

SPEEDS = (1, 5, 20, 60)


class PracticeStrip(QWidget):
    """Hidden unless the source is a practice melt."""

    speed_wanted = Signal(float)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = Theme(LIGHT)
        self.setObjectName("strip")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._words = QLabel(tr("Practice: a simulated melt, nothing is on the hob."))
        self._group = QButtonGroup(self)
        box = QHBoxLayout(self)
        box.setContentsMargins(24, 4, 16, 4)
        box.setSpacing(8)
        box.addWidget(self._words)
        box.addStretch(1)
        self._speed_words = QLabel(tr("Speed"))
        box.addWidget(self._speed_words)
        for speed in SPEEDS:
            button = QPushButton(tr("{speed}×").format(speed=speed))
            button.setCheckable(True)
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            button.setAccessibleName(tr("{speed} times as fast as life").format(speed=speed))
            button.clicked.connect(lambda _=False, s=speed: self.speed_wanted.emit(float(s)))
            self._group.addButton(button, speed)
            box.addWidget(button)
        self.hide()

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        p = theme.palette
        self.setStyleSheet(
            f"QWidget#strip {{ background: {p.accent_soft}; border-bottom: 1px solid {p.line}; }}"
            f"QLabel {{ background: transparent; font-size: {theme.px(15, 1.7)}px; }}"
            f"QPushButton {{ padding: 2px {theme.px(12, 1.4)}px; min-height: {theme.px(20)}px;"
            f" font-size: {theme.px(15, 1.7)}px; }}"
            f"QPushButton:checked {{ background: {p.text}; color: {p.surface}; }}"
        )
        self._words.setText(
            tr("Practice") if theme.large else tr("Practice: a simulated melt, nothing is on the hob.")
        )

    def show_for(self, source: ThermometerSource) -> None:
        """Show the strip for a practice melt, hide it for any other source."""
        # Only a practice melt does the person's steps itself.
        practice = hasattr(source, "apply_action")
        self.setVisible(practice)
        if practice:
            speed = getattr(source.clock, "speed", 1.0)
            button = self._group.button(round(speed))
            if button is not None:
                button.setChecked(True)
