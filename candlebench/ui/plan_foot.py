"""The foot of the plan page: start the melt, the papers, and the one thing to mind first. It never moves."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QPushButton, QSizePolicy, QWidget

from candlebench.core.plan.planning import Plan
from candlebench.core.plan.reasoned import Caution, Fault
from candlebench.core.state import Level
from candlebench.ui.plan_field import SteadyLabel
from candlebench.ui.plan_rows import Sign
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr, tr_count

# The words stand beside the buttons from this width on, in pixels at 100 % text.
WIDE_PX = 860
# Lower than this, at 100 % text, the fields need every line.
LOW_PX = 360


class PlanFoot(QWidget):
    """Emits `start_wanted`, `paper_wanted` with 'batch' or 'labels', `cautions_wanted`."""

    start_wanted = Signal()
    paper_wanted = Signal(str)
    cautions_wanted = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._theme = Theme(LIGHT)
        self._said, self._line_px = "", 0
        self.start = QPushButton(tr("Start this melt"))
        self.start.setProperty("role", "start")
        self.batch = QPushButton(tr("Batch sheet"))
        self.labels = QPushButton(tr("Labels"))
        self.start.setToolTip(tr("Ctrl+Enter"))
        self.batch.setToolTip(tr("Ctrl+P"))
        self.labels.setToolTip(tr("Ctrl+Shift+P"))
        self.start.setAccessibleDescription(tr("Key: Ctrl and Enter"))
        self.batch.setAccessibleDescription(tr("Key: Ctrl and P"))
        self.labels.setAccessibleDescription(tr("Key: Ctrl, Shift and P"))
        self.sign, self.words = Sign(), SteadyLabel("body", lines=2)
        self.words.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        self.more = QPushButton(tr("see all"))
        self.more.setProperty("role", "link")
        self.more.setCursor(Qt.CursorShape.PointingHandCursor)
        # Its place is kept, so that the words beside it are not set anew.
        policy = self.more.sizePolicy()
        policy.setRetainSizeWhenHidden(True)
        self.more.setSizePolicy(policy)
        self._lay_out()
        self.start.clicked.connect(self.start_wanted)
        self.batch.clicked.connect(lambda: self.paper_wanted.emit("batch"))
        self.labels.clicked.connect(lambda: self.paper_wanted.emit("labels"))
        self.more.clicked.connect(self.cautions_wanted)
        self.show_state(None, ())

    def _lay_out(self) -> None:
        buttons = QHBoxLayout()
        buttons.setSpacing(12)
        for button in (self.start, self.batch, self.labels):
            button.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
            buttons.addWidget(button)
        said = QHBoxLayout()
        said.setSpacing(10)
        said.addWidget(self.sign, 0, Qt.AlignmentFlag.AlignVCenter)
        said.addWidget(self.words, 1, Qt.AlignmentFlag.AlignVCenter)
        said.addWidget(self.more, 0, Qt.AlignmentFlag.AlignVCenter)
        self._buttons = buttons
        self._box = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._box.setContentsMargins(24, 12, 24, 16)
        self._box.setSpacing(20)
        self._box.addLayout(buttons)
        self._box.addLayout(said, 1)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        for part in (self.sign, self.words):
            part.use(theme)
        for button in (self.start, self.batch, self.labels):
            button.setFixedHeight(theme.px(60, 1.2))

    def fit(self, width: int, height: int) -> None:
        """The words beside the buttons, or above them where there is no room; cut to a line in a low page."""
        beside = width >= self._theme.px(WIDE_PX)
        directions = QBoxLayout.Direction
        self._box.setDirection(directions.LeftToRight if beside else directions.BottomToTop)
        self._box.setSpacing(20 if beside else 8)
        low = not beside and height < self._theme.px(LOW_PX)
        self.words.keep_lines(1 if low else 2)
        self._box.setContentsMargins(24, 6 if low else 12, 24, 8 if low else 16)
        rest = self.sign.sizeHint().width() + self.more.sizeHint().width() + 2 * 10 + 2 * 24
        self._line_px = width - rest if low else 0
        self._say(self._said, str(self.words.property("role")))
        # Buttons stay at the left when they have a line of their own.
        self._box.setAlignment(
            self._buttons, Qt.AlignmentFlag.AlignVCenter if beside else Qt.AlignmentFlag.AlignLeft
        )

    def _say(self, text: str, role: str) -> None:
        """Show what is to be minded; in a low page one line of it, and all of what is wrong."""
        if text != self._said:
            self.words.forget_height()
        self._said = text
        shown = text
        if self._line_px and role != "problem":
            cut = Qt.TextElideMode.ElideRight
            shown = self.words.fontMetrics().elidedText(text, cut, self._line_px)
        self.words.say(shown, role)
        self.words.setToolTip(text if shown != text else "")
        self.words.setAccessibleName(text)

    def show_state(
        self, plan: Plan | None, faults: tuple[Fault, ...], cautions: tuple[Caution, ...] = ()
    ) -> None:
        """Offer what can be done with the plan, and say what stands against it or is to be minded first."""
        startable = plan is not None and not plan.stops
        self.start.setEnabled(startable)
        self.batch.setEnabled(plan is not None)
        self.labels.setEnabled(plan is not None)
        self.more.setVisible(len(cautions) > 1)
        self.more.setText(tr_count("see it", "see all {n}", len(cautions)).format(n=len(cautions)))
        if plan is None:
            self.sign.show_kind("danger" if faults else "")
            self._say(faults[0].text if faults else "", "problem")
            return
        if plan.stops:
            self.sign.show_kind("danger")
            self._say(plan.stops[0].text, "problem")
            return
        warnings = [caution for caution in cautions if caution.level is Level.WARNING]
        first = warnings[0] if warnings else next(iter(cautions), None)
        self.sign.show_kind("warning" if warnings else "note" if first else "")
        self._say(first.text if first else "", "warning" if warnings else "body")
