"""The head of the plan page: name, when it was kept, a new plan, the same anew, and the earlier ones."""

from collections.abc import Callable, Sequence
from datetime import datetime

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QMenu, QPushButton, QWidget

from candlebench.records.plans import KeptPlan
from candlebench.ui.page_frame import role_label
from candlebench.words import tr

LISTED = 12


class PlanHead(QWidget):
    """Emits what is wanted: `named` when the name is typed, and with a `KeptPlan` `wanted` and `unwanted`.

    Parameters
    ----------
    plans : callable
        Gives the kept plans, the latest first; asked when the list is opened.
    """

    named = Signal()
    new_wanted = Signal()
    anew_wanted = Signal()
    wanted = Signal(object)
    unwanted = Signal(object)
    undo_wanted = Signal()

    def __init__(self, plans: Callable[[], Sequence[KeptPlan]]) -> None:
        super().__init__()
        self._plans, self._gone = plans, ""
        self.title = QLineEdit()
        self.title.setObjectName("planTitle")
        self.title.setAccessibleName(tr("Name of the plan"))
        self.title.setToolTip(tr("Click to give the plan a name of your own"))
        self._kept = role_label("", "muted", wrap=False)
        self.undo = QPushButton(tr("Undo"))
        self.undo.hide()
        self.new = QPushButton(tr("New plan"))
        self.anew = QPushButton(tr("Plan it anew"))
        self.anew.setToolTip(tr("Begins a new plan with all of this one in it; this one stays as it is."))
        self.anew.setAccessibleDescription(self.anew.toolTip())
        self.earlier = QPushButton(tr("Earlier plans  ▾"))
        self.menu = QMenu(self.earlier)
        self.earlier.setMenu(self.menu)
        box = self._box = QHBoxLayout(self)
        box.setSpacing(12)
        box.addWidget(self.title, 1)
        for part in (self._kept, self.undo, self.new, self.anew, self.earlier):
            box.addWidget(part)
        self.title.textEdited.connect(self.named)
        self.new.clicked.connect(self.new_wanted)
        self.anew.clicked.connect(self.anew_wanted)
        self.undo.clicked.connect(self.undo_wanted)
        self.menu.aboutToShow.connect(self.fill_menu)

    def show_name(self, own: str) -> None:
        """Show her own name for the plan; '' leaves the proposed one."""
        self.title.setText(own)
        self._kept.setText("")

    def say_gone(self, name: str) -> None:
        """Say that a plan was thrown away and offer it back; '' takes the offer away."""
        self._gone = name
        self.undo.setVisible(bool(name))
        words = tr("“{name}” was thrown away").format(name=name) if name else ""
        self.undo.setToolTip(words)
        self.undo.setAccessibleDescription(words)
        if name:
            self._kept.setText(tr("thrown away"))

    def propose(self, name: str) -> None:
        """Show what the plan is called without a name of its own."""
        self.title.setPlaceholderText(name)

    def say_kept(self, wall_s: float, now_s: float) -> None:
        """Say when the plan was kept."""
        when, today = (datetime.fromtimestamp(each).astimezone() for each in (wall_s, now_s))
        shape = "%H:%M" if when.date() == today.date() else "%Y-%m-%d"
        self._kept.setText(tr("kept {time}").format(time=when.strftime(shape)))

    def fit(self, wide: bool, roomy: bool) -> None:
        """Large text drops when it was kept, and leaves planning anew to the menu, as a smaller page does."""
        # In the column below each other it is the column that has the margins.
        self._box.setContentsMargins(*((17, 12, 24, 8) if wide else (0, 8, 0, 0)))
        self._kept.setVisible(wide)
        self.anew.setVisible(roomy)

    def fill_menu(self) -> None:
        """List the kept plans."""
        self.menu.clear()
        plans = self._plans()[:LISTED]
        for kept in plans:
            self.menu.addAction(_words(kept)).triggered.connect(lambda _=False, k=kept: self.wanted.emit(k))
        if not plans:
            self.menu.addAction(tr("No plan is kept yet")).setEnabled(False)
        self.menu.addSeparator()
        self.menu.addAction(tr("Plan this one anew")).triggered.connect(lambda: self.anew_wanted.emit())
        away = self.menu.addMenu(tr("Throw away"))
        away.setEnabled(bool(plans))
        for kept in plans:
            away.addAction(_words(kept)).triggered.connect(lambda _=False, k=kept: self.unwanted.emit(k))
        if self._gone:
            words = tr("Undo: bring “{name}” back").format(name=self._gone)
            self.menu.addAction(words).triggered.connect(lambda: self.undo_wanted.emit())


def _words(kept: KeptPlan) -> str:
    day = datetime.fromtimestamp(kept.changed_wall_s).astimezone().strftime("%Y-%m-%d %H:%M")
    # A menu would take a single & for the mark of a key.
    return tr("{plan}\t{day}").format(plan=kept.name.replace("&", "&&"), day=day)
