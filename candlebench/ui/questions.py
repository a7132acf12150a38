"""Questions that need an answer before something is lost. They do not stop the melt behind them."""

from collections.abc import Callable
from enum import Enum

from PySide6.QtWidgets import QMessageBox, QWidget


class Answer(Enum):
    """What the person answered; closing the question is a no."""

    YES = "yes"
    NO = "no"


class Questions:
    """Asks one question at a time over a window."""

    def __init__(self, window: QWidget) -> None:
        self._window = window
        self.open_box: QMessageBox | None = None

    def ask(self, question: str, more: str, yes: str, no: str, answered: Callable[[Answer], None]) -> None:
        """Ask; `answered` is called with the answer. No is what Enter and Escape choose."""
        if self.open_box is not None:
            return
        box = QMessageBox(self._window)
        box.setIcon(QMessageBox.Icon.NoIcon)
        box.setText(f"<b>{question}</b>")
        box.setInformativeText(more)
        yes_button = box.addButton(yes, QMessageBox.ButtonRole.AcceptRole)
        no_button = box.addButton(no, QMessageBox.ButtonRole.RejectRole)
        box.setDefaultButton(no_button)
        box.setEscapeButton(no_button)
        self.open_box = box

        def done(_result: int) -> None:
            answer = Answer.YES if box.clickedButton() is yes_button else Answer.NO
            self.open_box = None
            box.deleteLater()
            answered(answer)

        box.finished.connect(done)
        box.open()
