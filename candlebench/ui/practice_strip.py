"""The strip over a practice melt: that it is practice, the knob, how fast it runs, a pause, a skip ahead."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QButtonGroup,
    QHBoxLayout,
    QLabel,
    QMenu,
    QPushButton,
    QSizePolicy,
    QSlider,
    QWidget,
)

from candlebench.core.units import Shown
from candlebench.ui.jug_glance import JugGlance, Look
from candlebench.ui.probe_display import ProbeDisplay
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

SPEEDS = (1, 5, 20, 60, 120)
# Typed numbers cannot keep up with more.
FASTEST_TYPED = 5
SKIP_S = 300.0
# How far the arrow keys turn the knob, and the steps its menu offers, in per cent of full power.
KNOB_STEP = 10
KNOB_MENU = (100, 80, 60, 40, 20, 10, 0)
EDGE_LEFT, EDGE_RIGHT, GAP = 24, 16, 8


class PracticeStrip(QWidget):
    """Hidden unless a practice melt runs. What it is told to show comes from that melt."""

    speed_wanted = Signal(float)
    heat_wanted = Signal(float)
    pause_wanted = Signal(bool)
    skip_wanted = Signal(float)
    # Space was pressed here, which belongs to the melt's next step; a menu closed, the keys are free again.
    step_wanted = Signal()
    keys_free = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme, self._shown = Theme(LIGHT), Shown()
        self.setObjectName("strip")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._speed, self._percent, self._paused = 20, 0, False
        self._made, self._cable, self._has_sign = False, True, True
        self.hide()

    # --- parts --------------------------------------------------------------------------------------------

    def _make(self) -> None:
        """Make the parts when the first practice melt begins: a start without one need not wait for them."""
        self._made = True
        self._words = QLabel("")
        self._words.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Preferred)
        self.display = ProbeDisplay()
        self.jug = JugGlance()
        self._stands = QLabel(tr("Paused"))
        self._stands.setObjectName("stands")
        keep = self._stands.sizePolicy()
        keep.setRetainSizeWhenHidden(True)
        keep.setHorizontalPolicy(QSizePolicy.Policy.Fixed)
        keep.setVerticalPolicy(QSizePolicy.Policy.Fixed)
        self._stands.setSizePolicy(keep)
        self._make_knob()
        self._make_speeds()
        self.pause = self._button(self._toggle_pause)
        self.pause.setToolTip(tr("Let the practice melt stand still, or go on. Key R"))
        self.skip = self._button(lambda: self.skip_wanted.emit(SKIP_S))
        self.skip.setToolTip(tr("Run ahead; it stops by itself when there is something to do. Key J"))
        box = QHBoxLayout(self)
        box.setContentsMargins(EDGE_LEFT, 4, EDGE_RIGHT, 4)
        box.setSpacing(GAP)
        box.addWidget(self._words)
        box.addWidget(self.display)
        box.addWidget(self.jug)
        box.addStretch(1)
        box.addWidget(self._stands)
        for part in (self._heat, self.knob, self.knob_menu):
            box.addWidget(part)
        box.addSpacing(GAP)
        for part in (*self._speeds(), self.speed_menu):
            box.addWidget(part)
        box.addWidget(self.pause)
        box.addWidget(self.skip)
        for button in self.findChildren(QPushButton):
            button.installEventFilter(self)
        for menu in (self.knob_menu.menu(), self.speed_menu.menu()):
            menu.aboutToHide.connect(self.keys_free)
        self.use(self._theme, self._shown)

    def _button(self, pressed: Callable[[], object] | None = None) -> QPushButton:
        button = QPushButton()
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        button.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        if pressed is not None:
            button.clicked.connect(lambda: pressed())
        return button

    def _make_knob(self) -> None:
        self._heat = QLabel("")
        self._heat.setToolTip(tr("The hob's knob, in per cent of full power. Keys Up and Down"))
        self.knob = QSlider(Qt.Orientation.Horizontal)
        self.knob.setRange(0, 100)
        self.knob.setSingleStep(KNOB_STEP)
        self.knob.setPageStep(KNOB_STEP)
        self.knob.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.knob.setAccessibleName(tr("Heat, per cent of full power"))
        self.knob.setToolTip(self._heat.toolTip())
        self.knob.valueChanged.connect(self._knob_moved)
        self.knob.sliderReleased.connect(lambda: self._turn(self.knob.value()))
        self.knob_menu = self._button()
        menu = QMenu(self.knob_menu)
        for percent in KNOB_MENU:
            words = tr("Off") if percent == 0 else tr("{percent} %").format(percent=percent)
            menu.addAction(words).triggered.connect(lambda _=False, p=percent: self._turn(p))
        self.knob_menu.setMenu(menu)

    def _make_speeds(self) -> None:
        self._speed_words = QLabel(tr("Speed"))
        self._group = QButtonGroup(self)
        self.speed_menu = self._button()
        menu = QMenu(self.speed_menu)
        for speed in SPEEDS:
            button = self._button()
            button.setText(tr("{speed}×").format(speed=speed))
            button.setCheckable(True)
            button.setAccessibleName(tr("{speed} times as fast as life").format(speed=speed))
            button.setToolTip(tr("{speed} times as fast as life. Keys Left and Right").format(speed=speed))
            button.clicked.connect(lambda _=False, s=speed: self._run_at(s))
            self._group.addButton(button, speed)
            words = tr("{speed} times as fast as life").format(speed=speed)
            action = menu.addAction(words)
            action.setData(speed)
            action.triggered.connect(lambda _=False, s=speed: self._run_at(s))
        self.speed_menu.setMenu(menu)

    def _speeds(self) -> list[QWidget]:
        return [self._speed_words, *(self._group.button(speed) for speed in SPEEDS)]

    # --- what it shows ------------------------------------------------------------------------------------

    def use(self, theme: Theme, shown: Shown) -> None:
        """Take a theme and a unit."""
        self._theme, self._shown = theme, shown
        if not self._made:
            return
        p = theme.palette
        # Even numbers, and a radius below the half: Qt draws a handle square whose radius is more than that.
        groove, handle = 2 * (theme.px(4, 1.5) // 2), 2 * (theme.px(18, 1.5) // 2)
        self.setStyleSheet(
            f"QWidget#strip {{ background: {p.accent_soft}; border-bottom: 1px solid {p.line}; }}"
            f"QLabel {{ background: transparent; font-size: {theme.px(15, 1.7)}px; }}"
            f"QPushButton {{ padding: 2px {theme.px(12, 1.2)}px; min-height: {theme.px(20)}px;"
            f" font-size: {theme.px(15, 1.7)}px; }}"
            f"QPushButton:checked {{ background: {p.text}; color: {p.surface}; }}"
            f"QPushButton#paused {{ background: {p.warning_soft}; color: {p.warning_text};"
            f" border: 1px solid {p.warning}; }}"
            f"QLabel#stands {{ background: {p.warning_soft}; color: {p.warning_text}; font-weight: 700;"
            f" border: 1px solid {p.warning}; border-radius: 6px; padding: 1px {theme.px(8, 1.4)}px; }}"
            f"QSlider {{ background: transparent; }}"
            f"QSlider::groove:horizontal {{ background: {p.strong_line}; height: {groove}px;"
            f" border-radius: {groove // 2}px; }}"
            f"QSlider::sub-page:horizontal {{ background: {p.accent}; border-radius: {groove // 2}px; }}"
            f"QSlider::handle:horizontal {{ background: {p.surface}; border: 2px solid {p.accent};"
            f" width: {handle - 4}px; height: {handle - 4}px; margin: -{(handle - groove) // 2}px 0;"
            f" border-radius: {handle // 2 - 1}px; }}"
            f"QSlider::handle:horizontal:focus {{ background: {p.accent}; }}"
        )
        self.knob.setFixedWidth(theme.px(110, 1.4))
        self.knob.setFixedHeight(theme.px(26, 1.6))
        self.display.use(theme, shown)
        self.jug.use(theme)
        self._show_all()

    def begin(self, speed: float, cable: bool) -> None:
        """A practice melt begins; without a cable its thermometer is drawn."""
        if not self._made:
            self._make()
        self._speed, self._cable = round(speed), cable
        self.display.setVisible(not cable)
        self.show_look(Look.LUMPS)
        for can in SPEEDS:
            self._group.button(can).setEnabled(can in self._runs_at())
        for action in self.speed_menu.menu().actions():
            action.setEnabled(action.data() in self._runs_at())
        self.show()
        self._show_all()

    def end(self) -> None:
        """No practice melt runs."""
        self.hide()

    def show_melt(self, heat: float, speed: float, paused: bool, probe_c: float) -> None:
        """Follow the melt: knob (0 to 1), speed, whether it stands still, what its thermometer shows."""
        now = (round(100.0 * heat), round(speed), paused)
        self.display.show_temp(probe_c)
        if now != (self._percent, self._speed, self._paused) and not self.knob.isSliderDown():
            self._percent, self._speed, self._paused = now
            self._show_all()

    def show_look(self, look: Look) -> None:
        """Show what is in the jug."""
        self.jug.show_look(look)

    def _show_all(self) -> None:
        percent = tr("{percent} %").format(percent=self._percent)
        self._heat.setText(tr("Heat {percent}").format(percent=percent))
        # As wide as it can become, so that nothing moves when the number does.
        widest = tr("Heat {percent}").format(percent=tr("{percent} %").format(percent=100))
        self._heat.setMinimumWidth(self._heat.fontMetrics().horizontalAdvance(widest) + 4)
        self.knob.blockSignals(True)
        self.knob.setValue(self._percent)
        self.knob.blockSignals(False)
        self.knob_menu.setText(tr("Heat {percent} ▾").format(percent=percent))
        button = self._group.button(self._speed)
        if button is not None:
            button.setChecked(True)
        self.speed_menu.setText(tr("{speed}× ▾").format(speed=self._speed))
        self.speed_menu.setAccessibleName(tr("{speed} times as fast as life").format(speed=self._speed))
        self.pause.setText(tr("Go on") if self._paused else tr("Pause"))
        self._fit()

    # --- what she wants -----------------------------------------------------------------------------------

    def press(self, key: int, text: str) -> bool:
        """Take a key that the page had no use for; return whether it meant something here."""
        if self.isHidden() or not self.isEnabled():
            return False
        arrows = {Qt.Key.Key_Up: KNOB_STEP, Qt.Key.Key_Down: -KNOB_STEP}
        if key in arrows:
            self._turn(min(max(self._percent + arrows[Qt.Key(key)], 0), 100))
        elif key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            self._run_at(self._next_speed(1 if key == Qt.Key.Key_Right else -1))
        elif text.upper() == "R":
            self._toggle_pause()
        elif text.upper() == "J":
            self.skip_wanted.emit(SKIP_S)
        else:
            return False
        return True

    def _next_speed(self, step: int) -> int:
        speeds = self._runs_at()
        near = min(range(len(speeds)), key=lambda i: abs(speeds[i] - self._speed))
        return speeds[min(max(near + step, 0), len(speeds) - 1)]

    def _runs_at(self) -> tuple[int, ...]:
        """The speeds that can be chosen in this melt."""
        return tuple(speed for speed in SPEEDS if self._cable or speed <= FASTEST_TYPED)

    def _run_at(self, speed: int) -> None:
        self._speed = speed
        self._show_all()
        self.speed_wanted.emit(float(speed))

    def _toggle_pause(self) -> None:
        self.pause_wanted.emit(not self._paused)

    def _knob_moved(self, percent: int) -> None:
        if self.knob.isSliderDown():
            # While it is dragged only the number follows; the hob is turned when she lets go.
            self._heat.setText(tr("Heat {percent}").format(percent=tr("{percent} %").format(percent=percent)))
        else:
            self._turn(percent)

    def _turn(self, percent: int) -> None:
        if percent != self._percent:
            self._percent = percent
            self._show_all()
            self.heat_wanted.emit(percent / 100.0)

    # --- room ---------------------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if self._made:
            self._fit()

    def showEvent(self, event: QShowEvent) -> None:
        # Before it is shown its parts do not know how large the style sheet makes them.
        super().showEvent(event)
        if self._made:
            self._fit()

    def minimumSizeHint(self) -> QSize:
        # What has no room is folded into menus: the strip never makes the window wider.
        return QSize(200, super().minimumSizeHint().height())

    def _fit(self) -> None:
        """Fold what has no room, the least needed first; 'Practice' itself always stands."""
        self._steady_pause()
        room = self.width() - EDGE_LEFT - EDGE_RIGHT
        short, long = tr("Practice"), tr("Practice: simulated, nothing is on the hob.")
        skip, small = tr("Skip 5 min"), tr("+5 min")
        for words, knob, speeds, skip_words, stem, jug, sign in (
            (long, True, True, skip, True, 2, True),
            (long, True, True, skip, True, 1, True),
            (short, True, True, skip, True, 2, True),
            (short, True, True, skip, True, 1, True),
            (short, True, False, skip, True, 2, True),
            (short, True, False, skip, True, 1, True),
            (short, False, False, skip, True, 1, True),
            (short, False, False, small, True, 1, False),
            (short, False, False, small, False, 1, False),
            (short, False, False, small, False, 0, False),
        ):
            self.display.draw_stem(stem)
            self.jug.be_wordy(jug > 0, lead=jug > 1)
            self._has_sign = sign
            self._fold(words, knob, speeds, skip_words)
            if self._needed() <= room:
                break
        self._show_stands()

    def _steady_pause(self) -> None:
        """Make the pause button as wide as either of its words needs, so that nothing moves."""
        present, needed = self.pause.text(), []
        for words in (tr("Pause"), tr("Go on")):
            self.pause.setText(words)
            needed.append(self.pause.sizeHint().width())
        self.pause.setText(present)
        self.pause.setMinimumWidth(max(needed))

    def _show_stands(self) -> None:
        """Say that the melt stands still: beside the knob, or where that has no room on the button itself."""
        keep = self._stands.sizePolicy()
        keep.setRetainSizeWhenHidden(self._has_sign)
        self._stands.setSizePolicy(keep)
        self._stands.setVisible(self._paused and self._has_sign)
        name = "paused" if self._paused and not self._has_sign else ""
        if self.pause.objectName() != name:
            self.pause.setObjectName(name)
            self.pause.style().unpolish(self.pause)
            self.pause.style().polish(self.pause)

    def _fold(self, words: str, knob: bool, speeds: bool, skip: str) -> None:
        self._words.setText(words)
        for part in (self._heat, self.knob):
            part.setVisible(knob)
        self.knob_menu.setVisible(not knob)
        for part in self._speeds():
            part.setVisible(speeds)
        self.speed_menu.setVisible(not speeds)
        self.skip.setText(skip)
        self.skip.setAccessibleName(tr("Skip five minutes ahead"))

    def _needed(self) -> int:
        parts = [self._words, self.display, self._heat, self.knob, self.knob_menu, *self._speeds()]
        parts += [self.speed_menu, self.pause, self.skip]
        widths = [self._width_of(part) for part in parts if not part.isHidden()]
        # "Paused" keeps its place, so that nothing moves when it comes.
        widths += [self._width_of(self.jug), *([self._width_of(self._stands)] if self._has_sign else [])]
        return sum(widths) + GAP * (len(widths) + 2)

    def _width_of(self, part: QWidget) -> int:
        return max(part.minimumWidth(), min(part.sizeHint().width(), part.maximumWidth()))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """As on the whole melt page Space is the next step's; Enter presses the button that has the focus."""
        if isinstance(event, QKeyEvent) and event.type() in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
            pressing = event.type() == QEvent.Type.KeyPress and not event.isAutoRepeat()
            if event.key() == Qt.Key.Key_Space:
                if pressing:
                    self.step_wanted.emit()
                return True
            if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and isinstance(watched, QPushButton):
                if pressing:
                    watched.click()
                return True
        return super().eventFilter(watched, event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Space:
            self.step_wanted.emit()
        elif not self.press(event.key(), event.text()):
            super().keyPressEvent(event)
