"""What stands above a step of a check: a trouble, a melt that reads the probe, or no thermometer at all."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from candlebench.ui.check_feed import Way
from candlebench.ui.check_parts import set_words
from candlebench.ui.page_frame import role_label
from candlebench.words import tr


class CheckNotes(QWidget):
    """Offers to finish the melt, or to choose a thermometer."""

    finish_wanted = Signal()
    thermometer_wanted = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._problem = role_label("", "problem")
        self._words = role_label("", "muted")
        self.finish = QPushButton(tr("Finish that melt first"))
        self.finish.clicked.connect(self.finish_wanted)
        self.choose = QPushButton(tr("Choose a thermometer…"))
        self.choose.clicked.connect(self.thermometer_wanted)
        row = QHBoxLayout()
        row.setSpacing(12)
        row.addWidget(self._words, 1)
        for button in (self.finish, self.choose):
            row.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(6)
        box.addWidget(self._problem)
        box.addLayout(row)
        self._problem.hide()

    def say_problem(self, text: str) -> None:
        """Show what is wrong with the records."""
        set_words(self._problem, text)

    def show_way(self, way: Way, reads: bool, plunges: bool) -> None:
        """Say what there is to know of how the probe is read.

        Parameters
        ----------
        way : Way
        reads, plunges : bool
            Whether this step reads the probe, and whether it is the plunge.
        """
        by_melt, typed = reads and way.by_melt, reads and not way.address
        words = ""
        if typed:
            words = tr("No thermometer with a cable is chosen: type what the probe shows.")
        elif by_melt and plunges:
            words = tr(
                "A melt is reading this probe, and a melt does not believe so quick a jump: finish that melt "
                "first, or take the time with a stopwatch."
            )
        elif by_melt:
            words = tr(
                "A melt is reading this probe: what you do here stands in its record too, and it may warn of "
                "hot wax."
            )
        set_words(self._words, words)
        self.finish.setVisible(by_melt)
        self.choose.setVisible(typed)
        self.setVisible(bool(words or self._problem.text()))
