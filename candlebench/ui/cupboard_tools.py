"""The rows above and below the cupboard's table; where they have no room they fold into one menu."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QMenu, QPushButton, QSizePolicy, QWidget

from candlebench.records.cupboard_stock import KINDS
from candlebench.ui.cupboard_empty import thing_words
from candlebench.ui.page_frame import role_label
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

_GAP = 12
# Pixels at 100 % that a search, or a sentence, is to have beside the buttons.
_SEARCH = 220.0
_SENTENCE = 120.0


def wishes() -> dict[str, tuple[str, str]]:
    """What can be done with the present row: words and key."""
    return {
        "use": (tr("Used or added…"), "U"),
        "change": (tr("Change…"), tr("Enter")),
        "take away": (tr("Take away"), tr("Del")),
        "mix": (tr("Throw together…"), "T"),
    }


class CupboardTools(QWidget):
    """Above the table: search, what runs low, putting in, a batch, and a menu of everything.

    Emits `wanted` with a wish of `wishes`, 'undo' or 'batch'; `put_in` with a shelf; `narrowed` when other
    rows are to be shown.
    """

    wanted = Signal(str)
    put_in = Signal(str)
    narrowed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._theme = Theme(LIGHT)
        self.search = QLineEdit()
        self.search.setPlaceholderText(tr("Find a name, kind, colour or oil  Ctrl+F"))
        self.search.setAccessibleName(tr("Find in the cupboard"))
        self.search.textChanged.connect(lambda _: self.narrowed.emit())
        self.only_low = QPushButton()
        self.only_low.setCheckable(True)
        self.only_low.toggled.connect(lambda _: self.narrowed.emit())
        self.add = QPushButton(tr("Put in…"))
        self.add.setToolTip(tr("The key Ins in the table puts another one on the same shelf."))
        self.add.setMenu(QMenu(self.add))
        self._fill_shelves(self.add.menu())
        self.batch = QPushButton(tr("A batch was made…"))
        self.batch.clicked.connect(lambda: self.wanted.emit("batch"))
        self.folded = QPushButton(tr("Actions  ▾"))
        menu = QMenu(self.folded)
        self.folded.setMenu(menu)
        self.entries = {wish: menu.addAction(f"{words}\t{key}") for wish, (words, key) in wishes().items()}
        self.entries["undo"] = menu.addAction(tr("Undo\tCtrl+Z"))
        menu.addSeparator()
        self.entries["batch"] = menu.addAction(tr("A batch was made…"))
        for wish, entry in self.entries.items():
            entry.triggered.connect(lambda _=False, w=wish: self.wanted.emit(w))
        self.entries["low"] = menu.addAction(tr("Only what runs low"))
        self.entries["low"].triggered.connect(lambda: self.only_low.toggle())
        menu.addSeparator()
        self._fill_shelves(menu)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(_GAP)
        row.addWidget(self.search, 1)
        for button in self._buttons:
            row.addWidget(button)
        row.addWidget(self.folded)

    def use(self, theme: Theme) -> None:
        """Take another size of text."""
        self._theme = theme

    def room(self) -> int:
        """The pixels that this row would fill."""
        return self._theme.px(_SEARCH) + sum(b.sizeHint().width() + _GAP for b in self._buttons)

    def fold(self, folded: bool) -> None:
        """Put everything into one menu, or show the buttons."""
        self.folded.setVisible(folded)
        for button in (self.only_low, self.add, self.batch):
            button.setVisible(not folded and (button is not self.batch or self.entries["batch"].isVisible()))

    def allow_batch(self, offered: bool, allowed: bool) -> None:
        """Whether a batch can be taken out at all, and whether there is a plan that says what of."""
        self.entries["batch"].setVisible(offered)
        self.entries["batch"].setEnabled(allowed)
        self.batch.setEnabled(allowed)
        self.batch.setToolTip("" if allowed else tr("Make a plan first: it says what a batch takes."))

    def show_low(self, count: int) -> None:
        """Say how many things run low."""
        self.only_low.setText(tr("Running low: {n}").format(n=count) if count else tr("Nothing runs low"))
        can = count > 0 or self.only_low.isChecked()
        self.only_low.setEnabled(can)
        self.entries["low"].setEnabled(can)

    def clear(self) -> None:
        """Show everything again."""
        self.search.clear()
        self.only_low.setChecked(False)

    @property
    def narrows(self) -> bool:
        """Whether not everything is shown."""
        return bool(self.search.text()) or self.only_low.isChecked()

    @property
    def _buttons(self) -> tuple[QPushButton, ...]:
        return self.only_low, self.add, self.batch

    def _fill_shelves(self, menu: QMenu) -> None:
        for shelf in KINDS:
            entry = menu.addAction(thing_words(shelf))
            entry.triggered.connect(lambda _=False, s=shelf: self.put_in.emit(s))


class CupboardActions(QWidget):
    """Below the table: what can be done with the present row, the sentence about the last change, undo."""

    wanted = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self._theme = Theme(LIGHT)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(_GAP)
        self.buttons: dict[str, QPushButton] = {}
        for wish, (words, key) in wishes().items():
            self.buttons[wish] = QPushButton(f"{words}  {key}")
            row.addWidget(self.buttons[wish])
        self.sentence = role_label("", "muted")
        self.sentence.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        row.addWidget(self.sentence, 1)
        self.buttons["undo"] = QPushButton(tr("Undo  Ctrl+Z"))
        row.addWidget(self.buttons["undo"])
        for wish, button in self.buttons.items():
            button.clicked.connect(lambda _=False, w=wish: self.wanted.emit(w))

    def use(self, theme: Theme) -> None:
        """Take another size of text."""
        self._theme = theme

    def room(self) -> int:
        """The pixels that this row would fill."""
        return self._theme.px(_SENTENCE) + sum(b.sizeHint().width() + _GAP for b in self.buttons.values())

    def fold(self, folded: bool, can_mix: bool) -> None:
        """Leave only the sentence and undo, or show the buttons."""
        for wish, button in self.buttons.items():
            button.setVisible(wish == "undo" or (not folded and (wish != "mix" or can_mix)))

    def say(self, words: str, problem: bool = False) -> None:
        """Say what was done, or why it could not be."""
        self.sentence.setText(words)
        self.sentence.setProperty("role", "problem" if problem else "muted")
        self.sentence.style().unpolish(self.sentence)
        self.sentence.style().polish(self.sentence)
