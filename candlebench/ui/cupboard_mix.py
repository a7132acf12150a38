"""Two leftovers thrown together into one."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QPushButton, QVBoxLayout, QWidget

from candlebench.core.plan.request import Leftover
from candlebench.core.plan.tables import Tables
from candlebench.core.stock_taking import mixed
from candlebench.records.cupboard_lines import contents_words, mixed_warning
from candlebench.records.cupboard_stock import Stock
from candlebench.ui.cupboard_entry import Choice
from candlebench.ui.cupboard_panel import framed_panel, main_button, say
from candlebench.ui.page_frame import role_label
from candlebench.ui.theme import Theme
from candlebench.words import tr


class CupboardMix(QFrame):
    """Emits `thrown` with what they become and the name of the one that is then gone, or `closed`."""

    thrown = Signal(object, str)
    closed = Signal()

    def __init__(self, leftover: Leftover, stock: Stock, tables: Tables) -> None:
        super().__init__()
        self._leftover, self._tables = leftover, tables
        self._others = [each for each in stock.cupboard.leftovers if each.name != leftover.name]
        self.choice = Choice()
        self.choice.setAccessibleName(tr("Thrown together with"))
        for other in self._others:
            self.choice.addItem(other.name)
        self._contents, self._warning = role_label("", "lead"), role_label("", "warning")
        body = QWidget()
        box = QVBoxLayout(body)
        box.setContentsMargins(0, 0, 8, 0)
        box.setSpacing(8)
        for part in (
            role_label(tr("Thrown together with"), "label"),
            self.choice,
            role_label(tr("Then there is in it"), "label"),
            self._contents,
            self._warning,
        ):
            box.addWidget(part)
        box.addStretch(1)
        self.confirm = main_button(tr("Throw together"))
        self.cancel = QPushButton(tr("Leave it  Esc"))
        title = leftover.name
        _, self._problem = framed_panel(self, title, body, (self.confirm, self.cancel))
        self.choice.currentIndexChanged.connect(self._show)
        self.confirm.clicked.connect(lambda: self.thrown.emit(self.together, self._other.name))
        self.cancel.clicked.connect(self.closed)
        self._show()

    def use(self, theme: Theme) -> None:
        """Take another size of text; the style sheet does it all."""

    def take_focus(self) -> None:
        """Begin at the choice."""
        self.choice.setFocus()

    def refuse(self, problem: str) -> None:
        """Say that it could not be kept."""
        say(self._problem, problem)

    @property
    def together(self) -> Leftover:
        """What they become."""
        return mixed(self._leftover.name, (self._leftover, self._other))

    @property
    def words(self) -> str:
        """What is shown of it."""
        return f"{self._contents.text()}\n{self._warning.text()}".strip()

    @property
    def _other(self) -> Leftover:
        return self._others[self.choice.currentIndex()]

    def _show(self) -> None:
        together = self.together
        self._contents.setText("\n".join(contents_words(together, self._tables)))
        warning = mixed_warning(together)
        self._warning.setText(f"\N{WARNING SIGN} {warning}" if warning else "")
        self._warning.setVisible(bool(warning))
