"""The foot of the check page: the one big button, which Space presses, and those beside it."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QWidget

from candlebench.ui.step_button import StepButton
from candlebench.ui.theme import Theme

_MOST_OTHERS = 3
_ABOVE_PX, _BELOW_PX = 10, 14


@dataclass(frozen=True, slots=True)
class Offer:
    """A button: its words, what it does, and fewer words for large text in a small window."""

    words: str
    act: Callable[[], None]
    short: str = ""


@dataclass(frozen=True, slots=True)
class Foot:
    """What can be done at a step."""

    main: Offer | None = None
    others: tuple[Offer, ...] = ()

    def shortened(self) -> "Foot":
        """The same in fewer words."""
        main = None if self.main is None else _shortened(self.main)
        return Foot(main, tuple(_shortened(offer) for offer in self.others))


def _shortened(offer: Offer) -> Offer:
    return replace(offer, words=offer.short or offer.words)


class CheckFoot(QWidget):
    """Shows what can be done; it keeps its height while there is nothing."""

    def __init__(self) -> None:
        super().__init__()
        self._foot = Foot()
        self.main = StepButton()
        self.main.clicked.connect(self.press_main)
        # The keys of the page go on working after a click.
        self.main.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.others = [QPushButton() for _ in range(_MOST_OTHERS)]
        self._box = QHBoxLayout(self)
        self._box.setSpacing(12)
        self._box.addWidget(self.main)
        for number, button in enumerate(self.others):
            button.clicked.connect(lambda _=False, n=number: self._press_other(n))
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            self._box.addWidget(button)
        self._box.addStretch(1)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self.main.use(theme)
        high = theme.px(64, 1.375)
        for button in self.others:
            button.setFixedHeight(high)
        self._box.setContentsMargins(24, _ABOVE_PX, 24, _BELOW_PX)
        self.setFixedHeight(high + _ABOVE_PX + _BELOW_PX)

    def show_foot(self, foot: Foot, room_px: int) -> None:
        """Offer something else, in fewer words when the buttons would be wider than `room_px`."""
        self._foot = foot
        self._name(foot)
        if self._wide_px(foot) > room_px:
            self._name(foot.shortened())
        self.main.setVisible(foot.main is not None)
        for number, button in enumerate(self.others):
            button.setVisible(number < len(foot.others))

    def press_main(self) -> None:
        """Do what the big button says."""
        if self._foot.main is not None:
            self._foot.main.act()

    def _press_other(self, number: int) -> None:
        if number < len(self._foot.others):
            self._foot.others[number].act()

    def _name(self, foot: Foot) -> None:
        if foot.main is not None:
            self.main.show_step(foot.main.words, True)
        for button, offer in zip(self.others, foot.others, strict=False):
            button.setText(offer.words)

    def _wide_px(self, foot: Foot) -> int:
        wide = 0 if foot.main is None else self.main.sizeHint().width()
        for button, _ in zip(self.others, foot.others, strict=False):
            wide += self._box.spacing() + button.sizeHint().width()
        margins = self._box.contentsMargins()
        return wide + margins.left() + margins.right()
