"""The head of the plan page: the plan's name, when it was kept, a new plan, and the earlier ones."""

from collections.abc import Callable, Sequence
from datetime import datetime

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QMenu, QPushButton, QWidget

from candlebench.records.plans import KeptPlan
from candlebench.ui.page_frame import role_label
from candlebench.words import tr

LISTED = 12


class PlanHead(QWidget):
    """Emits `named` when the name is typed, `new_wanted`, and `wanted` with a `KeptPlan`.

    Parameters
    ----------
    plans : callable
        Gives the kept plans, the latest first; asked when the list is opened.
    """

    named = Signal()
    new_wanted = Signal()
    wanted = Signal(object)

    def __init__(self, plans: Callable[[], Sequence[KeptPlan]]) -> None:
        super().__init__()
        self._plans = plans
        self.title = QLineEdit()
        self.title.setObjectName("planTitle")
        self.title.setAccessibleName(tr("Name of the plan"))
        self.title.setToolTip(tr("Click to give the plan a name of your own"))
        self._kept = role_label("", "muted", wrap=False)
        self.new = QPushButton(tr("New plan"))
        self.earlier = QPushButton(tr("Earlier plans  ▾"))
        self.menu = QMenu(self.earlier)
        self.earlier.setMenu(self.menu)
        box = QHBoxLayout(self)
        box.setContentsMargins(17, 12, 24, 8)
        box.setSpacing(12)
        box.addWidget(self.title, 1)
        for part in (self._kept, self.new, self.earlier):
            box.addWidget(part)
        self.title.textEdited.connect(self.named)
        self.new.clicked.connect(self.new_wanted)
        self.menu.aboutToShow.connect(self.fill_menu)

    def show_name(self, own: str) -> None:
        """Show her own name for the plan; '' leaves the proposed one."""
        self.title.setText(own)
        self._kept.setText("")

    def propose(self, name: str) -> None:
        """Show what the plan is called without a name of its own."""
        self.title.setPlaceholderText(name)

    def say_kept(self, wall_s: float, now_s: float) -> None:
        """Say when the plan was kept."""
        when, today = (datetime.fromtimestamp(each).astimezone() for each in (wall_s, now_s))
        shape = "%H:%M" if when.date() == today.date() else "%Y-%m-%d"
        self._kept.setText(tr("kept {time}").format(time=when.strftime(shape)))

    def fit(self, wide: bool) -> None:
        """Large text drops when it was kept."""
        self._kept.setVisible(wide)

    def fill_menu(self) -> None:
        """List the kept plans."""
        self.menu.clear()
        plans = self._plans()[:LISTED]
        for kept in plans:
            day = datetime.fromtimestamp(kept.changed_wall_s).astimezone().strftime("%Y-%m-%d %H:%M")
            words = tr("{plan}\t{day}").format(plan=kept.name, day=day)
            self.menu.addAction(words).triggered.connect(lambda _=False, k=kept: self.wanted.emit(k))
        if not plans:
            self.menu.addAction(tr("No plan is kept yet")).setEnabled(False)
