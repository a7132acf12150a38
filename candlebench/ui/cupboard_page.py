"""The store cupboard: what is in it, what runs low, and everything that is put in, changed or taken out."""

from collections.abc import Callable
from datetime import date, datetime
from typing import Protocol

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import QFrame, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from candlebench.core.errors import CandlebenchError
from candlebench.core.plan.planning import Plan
from candlebench.core.plan.request import Leftover
from candlebench.core.plan.tables import Tables
from candlebench.core.stock_taking import Chosen
from candlebench.core.units import Shown
from candlebench.records.cupboard_lines import Line, lines_of
from candlebench.records.cupboard_stock import KINDS, Stock, Thing
from candlebench.ui.cupboard_amount import CupboardAmount
from candlebench.ui.cupboard_batch import CupboardBatch
from candlebench.ui.cupboard_changes import Change, away, batch, put_in, some, thrown_together
from candlebench.ui.cupboard_empty import CupboardEmpty
from candlebench.ui.cupboard_form import CupboardForm
from candlebench.ui.cupboard_mix import CupboardMix
from candlebench.ui.cupboard_table import CupboardTable
from candlebench.ui.cupboard_tools import CupboardActions, CupboardTools
from candlebench.ui.page_frame import framed_page, role_label
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

Panel = CupboardForm | CupboardAmount | CupboardBatch | CupboardMix

# Pixels at 100 %: with less room what is asked takes the table's place instead of standing beside it.
_BESIDE = 820.0
_PANEL = 400.0


def local_now() -> datetime:
    """The time of the place."""
    return datetime.now().astimezone()


class Store(Protocol):
    """What the page asks of the records."""

    @property
    def stock(self) -> Stock: ...

    @property
    def undo_words(self) -> str: ...

    def change(self, stock: Stock, words: str) -> None: ...

    def undo(self) -> str: ...


class CupboardPage(QWidget):
    """The page.

    Parameters
    ----------
    store : Store
        Keeps every change at once.
    tables : Tables
    shown : Shown
    theme : Theme
    back : callable
        To the melt.
    today : callable
        The day on which things come in.
    lot_sentence : callable, optional
        By a lot's name, what melts taught about it; '' when nothing is known.
    currency : str
        Behind prices.
    plan : callable, optional
        The plan that stands on the plan's page, or None: what 'A batch was made' takes.
    now : callable
        The time at which a batch is taken out, with its zone.
    """

    def __init__(
        self,
        store: Store,
        tables: Tables,
        shown: Shown,
        theme: Theme,
        back: Callable[[], None],
        today: Callable[[], date],
        lot_sentence: Callable[[str], str] | None = None,
        currency: str = "",
        plan: Callable[[], Plan | None] | None = None,
        now: Callable[[], datetime] = local_now,
    ) -> None:
        super().__init__()
        self._store, self._tables, self._shown, self._theme = store, tables, shown, Theme(LIGHT)
        self._now = now
        self._today, self._lot_sentence, self._currency, self._plan = today, lot_sentence, currency, plan
        self.panel: Panel | None = None
        self._can_mix = False
        self.tools, self.below = CupboardTools(), CupboardActions()
        self.table, self.empty = CupboardTable(shown), CupboardEmpty()
        self._nothing_found = role_label(
            tr("Nothing in the cupboard is like that: Esc shows everything again."), "lead"
        )
        self._nothing_found.setContentsMargins(20, 10, 20, 10)
        self._card = QFrame()
        self._card.setObjectName("card")
        inside = QVBoxLayout(self._card)
        inside.setContentsMargins(1, 6, 1, 6)
        inside.addWidget(self._nothing_found, 0, Qt.AlignmentFlag.AlignTop)
        inside.addWidget(self.table, 1)
        self._middle = QHBoxLayout()
        self._middle.setSpacing(16)
        self._middle.addWidget(self._card, 1)
        self._middle.addWidget(self.empty, 1, Qt.AlignmentFlag.AlignTop)
        body = QWidget()
        outer = QVBoxLayout(body)
        outer.setContentsMargins(24, 4, 24, 16)
        outer.setSpacing(10)
        outer.addWidget(self.tools)
        outer.addLayout(self._middle, 1)
        outer.addWidget(self.below)
        framed_page(self, tr("Store cupboard"), body, back)
        self._connect()
        self.use(theme)
        self.refresh()

    def _connect(self) -> None:
        self.tools.narrowed.connect(self.refresh)
        self.tools.search.returnPressed.connect(self.table.setFocus)
        self.tools.put_in.connect(self.add_to)
        self.empty.wanted.connect(self.add_to)
        for part in (self.tools, self.below, self.table):
            part.wanted.connect(self._do)
        self.table.turned.connect(self._show_actions)
        for keys, slot in (("Ctrl+F", self.tools.search.setFocus), ("Ctrl+Z", self.take_back)):
            shortcut = QShortcut(QKeySequence(keys), self)
            shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            shortcut.activated.connect(slot)

    # --- showing ------------------------------------------------------------------------------------------

    def use(self, theme: Theme) -> None:
        """Take other colours or another size of text."""
        self._theme = theme
        for part in (self.table, self.empty, self.tools, self.below):
            part.use(theme)
        if self.panel is not None:
            self.panel.use(theme)
        self._fit()

    def take_focus(self) -> None:
        """Let the keyboard begin in the table, or at the first button of an empty cupboard."""
        if self.panel is not None:
            self.panel.take_focus()
        elif self.table.lines:
            self.table.setFocus()
        elif self._store.stock.count:
            self.tools.search.setFocus()
        else:
            self.empty.take_focus()

    def refresh(self, keep: tuple[str, str] | None = None) -> None:
        """Show what is in the cupboard, the row of shelf and name `keep` as the present one."""
        present = self.table.present
        if keep is None and present is not None:
            keep = present.shelf, present.name
        stock = self._store.stock
        lines = lines_of(stock, self._tables, self._shown, self._lot_sentence, self._currency)
        self.tools.show_low(sum(bool(line.state) for line in lines))
        found = tuple(
            line
            for line in lines
            if line.has(self.tools.search.text()) and (line.state or not self.tools.only_low.isChecked())
        )
        self.table.show_lines(found, keep)
        self._nothing_found.setVisible(not found)
        self.table.setVisible(bool(found))
        self._show_actions()
        self._fit()

    @property
    def said(self) -> str:
        """The sentence about what was done last."""
        return self.below.sentence.text()

    def _show_actions(self) -> None:
        present = self.table.present if self.table.lines else None
        undone = self._store.undo_words
        leftovers = len(self._store.stock.cupboard.leftovers)
        self._can_mix = present is not None and present.shelf == "leftovers" and leftovers > 1
        can = {"use": bool(present), "change": bool(present), "take away": bool(present)}
        can |= {"mix": self._can_mix, "undo": bool(undone)}
        for wish, allowed in can.items():
            self.below.buttons[wish].setEnabled(allowed)
            self.tools.entries[wish].setEnabled(allowed)
        self.below.buttons["undo"].setToolTip(undone)
        self.below.buttons["undo"].setAccessibleDescription(undone)
        planned = self._plan is not None and self._plan() is not None
        self.tools.allow_batch(self._plan is not None, planned)
        self._fit()

    def _fit(self) -> None:
        """Lay out what is asked beside the table, or in its place where there is no room."""
        empty, asked = self._store.stock.count == 0, self.panel is not None
        beside = self.width() >= self._theme.px(_BESIDE)
        shown = beside or not asked
        self._card.setVisible(not empty and shown)
        self.empty.setVisible(empty and shown)
        self.empty.fill_first(not asked)
        room = self.width() - 48
        folded = max(self.tools.room(), self.below.room()) > room
        self.tools.fold(folded)
        self.tools.setVisible(not empty and shown)
        self.below.fold(folded or empty, self._can_mix)
        self.below.setVisible(shown and bool(self.said or not (folded or empty)))
        if self.panel is not None:
            wide = self._theme.px(_PANEL)
            self.panel.setMaximumWidth(wide if beside else 16777215)
            self.panel.setMinimumWidth(wide if beside else 0)
            self._middle.setStretchFactor(self.panel, 0 if beside else 1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    # --- asking -------------------------------------------------------------------------------------------

    def add_to(self, shelf: str) -> None:
        """Ask for a new thing on a shelf."""
        self._ask_for(shelf, None)

    def batch_was_made(self, plan: Plan, chosen: Chosen | None = None) -> None:
        """Ask what a batch took; `chosen` where that is known already."""
        panel = CupboardBatch(plan, self._store.stock, chosen, self._now())
        panel.made.connect(lambda cupboard, left, words, out: self._change(batch(cupboard, left, words, out)))
        self._open(panel)

    def _ask_batch(self) -> None:
        plan = self._plan() if self._plan is not None else None
        if plan is not None:
            self.batch_was_made(plan)

    def _do(self, wish: str) -> None:
        line = self.table.present
        if wish == "add":
            self.add_to(line.shelf if line else next(iter(KINDS)))
        elif wish == "undo":
            self.take_back()
        elif wish == "batch":
            self._ask_batch()
        elif line is not None:
            asking = {"change": self._ask_change, "use": self._ask_amount, "mix": self._ask_mix}
            asking.get(wish, self._take_away)(line)

    def _take_away(self, line: Line) -> None:
        self._change(away(line.shelf, line.name))

    def _ask_change(self, line: Line) -> None:
        self._ask_for(line.shelf, self._store.stock.find(line.shelf, line.name))

    def _ask_for(self, shelf: str, thing: Thing | None) -> None:
        panel = CupboardForm(shelf, thing, self._store.stock, self._tables, self._shown, self._today())
        panel.kept.connect(lambda made, mark: self._change(put_in(made, mark, thing)))
        self._open(panel)

    def _ask_amount(self, line: Line) -> None:
        panel = CupboardAmount(line)
        panel.taken.connect(lambda by: self._change(some(line.shelf, line.name, by)))
        self._open(panel)

    def _ask_mix(self, line: Line) -> None:
        leftover = self._store.stock.find(line.shelf, line.name)
        if isinstance(leftover, Leftover) and self._can_mix:
            panel = CupboardMix(leftover, self._store.stock, self._tables)
            panel.thrown.connect(lambda together, gone: self._change(thrown_together(together, gone)))
            self._open(panel)

    def _open(self, panel: Panel) -> None:
        self._close_panel()
        self.panel = panel
        panel.closed.connect(self.close_panel)
        panel.use(self._theme)
        panel.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)
        self._middle.addWidget(panel)
        self._fit()
        panel.show()
        panel.take_focus()

    def close_panel(self) -> None:
        """Take away what is asked; the keyboard goes back to the table."""
        self._close_panel()
        self._fit()
        self.take_focus()

    def _close_panel(self) -> None:
        if self.panel is not None:
            self._middle.removeWidget(self.panel)
            self.panel.hide()
            self.panel.deleteLater()
            self.panel = None

    # --- changing -----------------------------------------------------------------------------------------

    def take_back(self) -> None:
        """Undo the last change."""
        try:
            words = self._store.undo()
        except CandlebenchError as error:
            self._say(str(error), problem=True)
            return
        if words:
            self._close_panel()
            self._say(tr("Taken back: {words}").format(words=words))
            self.refresh()
            self.take_focus()

    def _change(self, change: Change) -> None:
        """Make a change and keep it, or say beside it why it cannot be."""
        try:
            self._store.change(change.apply(self._store.stock), change.words)
        except CandlebenchError as error:
            if self.panel is not None:
                self.panel.refuse(str(error))
            else:
                self._say(str(error), problem=True)
            return
        self._close_panel()
        self._say(change.words)
        self.refresh(change.row)
        if change.row is not None and change.row not in {(x.shelf, x.name) for x in self.table.lines}:
            # What was just put in is to be seen, whatever was searched for.
            self.tools.clear()
            self.refresh(change.row)
        self.take_focus()

    def _say(self, words: str, problem: bool = False) -> None:
        self.below.say(words, problem)
        self._fit()

    # --- Esc ----------------------------------------------------------------------------------------------

    def event(self, event: QEvent) -> bool:
        # The window's own Esc leaves the page: here it first closes what is asked, then clears the search.
        overrides = event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent)
        if overrides and event.key() == Qt.Key.Key_Escape and (self.panel is not None or self.tools.narrows):  # type: ignore[attr-defined]
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() != Qt.Key.Key_Escape:
            super().keyPressEvent(event)
        elif self.panel is not None:
            self.close_panel()
        else:
            self.tools.clear()
            self.take_focus()
