"""Some of a thing was used, or more of it was added."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QPushButton, QVBoxLayout, QWidget

from candlebench.core.plan.reasoned import with_unit
from candlebench.records.cupboard_lines import Line
from candlebench.ui.cupboard_entry import Entry
from candlebench.ui.cupboard_fields import Field
from candlebench.ui.cupboard_panel import framed_panel, main_button, say
from candlebench.ui.page_frame import role_label
from candlebench.ui.theme import Theme
from candlebench.words import tr


class CupboardAmount(QFrame):
    """Emits `taken` with the difference, below zero for what was used, or `closed`."""

    taken = Signal(float)
    closed = Signal()

    def __init__(self, line: Line) -> None:
        super().__init__()
        self.line = line
        kind = "number" if line.unit else "whole"
        unit = line.unit or tr("pieces")
        self.entry = Entry(Field("amount", tr("How much"), kind, unit, needed=True))
        self._after = role_label("", "muted")
        body = QWidget()
        box = QVBoxLayout(body)
        box.setContentsMargins(0, 0, 8, 0)
        box.setSpacing(10)
        box.addWidget(role_label(tr("{amount} left").format(amount=line.left_words), "lead"))
        box.addWidget(self.entry)
        box.addWidget(self._after)
        box.addStretch(1)
        self.use_it = main_button(tr("It was used"))
        self.put_in = QPushButton(tr("It was added"))
        self.use_up = QPushButton(tr("All of it is used up"))
        self.cancel = QPushButton(tr("Leave it  Esc"))
        buttons = (self.use_it, self.put_in, self.use_up, self.cancel)
        title = tr("{name}: used or added").format(name=line.name)
        _, self._problem = framed_panel(self, title, body, buttons)
        self.entry.changed.connect(self._show_after)
        self.entry.done.connect(lambda: self._take(-1.0))
        self.use_it.clicked.connect(lambda: self._take(-1.0))
        self.put_in.clicked.connect(lambda: self._take(1.0))
        self.use_up.clicked.connect(lambda: self.taken.emit(-line.left))
        self.use_up.setEnabled(line.left > 0.0)
        self.cancel.clicked.connect(self.closed)
        self._show_after()

    def use(self, theme: Theme) -> None:
        """Take another size of text; the style sheet does it all."""

    def take_focus(self) -> None:
        """Let typing begin."""
        self.entry.editor.setFocus()

    def refuse(self, problem: str) -> None:
        """Say that it could not be kept."""
        say(self._problem, problem)

    @property
    def after(self) -> str:
        """What would be left."""
        return self._after.text()

    def _amount(self) -> float | None:
        value = self.entry.value()
        return float(value) if isinstance(value, int | float) else None

    def _show_after(self) -> None:
        amount, line = self._amount(), self.line
        if amount is None:
            self._after.setText(tr("What that leaves is shown here."))
            return
        more = with_unit(line.left + amount, line.unit)
        if amount > line.left:
            text = tr("Used: that is more than there is. If it was added, there are {more}.")
            self._after.setText(text.format(more=more))
            return
        text = tr("If it was used, {less} are left; if it was added, there are {more}.")
        self._after.setText(text.format(less=with_unit(line.left - amount, line.unit), more=more))

    def _take(self, direction: float) -> None:
        problem = self.entry.problem()
        amount = self._amount()
        if not problem and direction < 0.0 and amount is not None and amount > self.line.left:
            text = tr("Only {left} are left: type that much or less.")
            problem = text.format(left=with_unit(self.line.left, self.line.unit))
        self.entry.say(problem)
        if problem or amount is None:
            self.entry.editor.setFocus()
            return
        self.taken.emit(direction * amount)
