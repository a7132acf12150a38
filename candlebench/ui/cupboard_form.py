"""The form for one thing in the cupboard: to put it in, or to change what is known of it."""

from datetime import date

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QGridLayout, QLineEdit, QPushButton, QScrollArea, QWidget

from candlebench.core.errors import CandlebenchError
from candlebench.core.plan.request import Leftover
from candlebench.core.plan.tables import Tables
from candlebench.core.units import Shown
from candlebench.records.cupboard_lines import contents_words, mixed_warning
from candlebench.records.cupboard_stock import Mark, Stock, Thing
from candlebench.ui.cupboard_empty import thing_words
from candlebench.ui.cupboard_entry import Entry
from candlebench.ui.cupboard_fields import Field, Values, fields_of
from candlebench.ui.cupboard_panel import framed_panel, main_button, say
from candlebench.ui.cupboard_values import is_mixed, problems_of, thing_of, values_of
from candlebench.ui.page_frame import role_label
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

# Pixels at 100 %: with less room, one field a row.
_TWO_WIDE = 330.0


class CupboardForm(QFrame):
    """Emits `kept` with the thing and its mark, or `closed`."""

    kept = Signal(object, object)
    closed = Signal()

    def __init__(
        self, shelf: str, thing: Thing | None, stock: Stock, tables: Tables, shown: Shown, today: date
    ) -> None:
        super().__init__()
        self.shelf, self.thing = shelf, thing
        self._stock, self._shown = stock, shown
        self._theme = Theme(LIGHT)
        mark = stock.mark(shelf, thing.name) if thing is not None else Mark(since=today)
        fields = fields_of(shelf, stock, tables, shown)
        if isinstance(thing, Leftover) and is_mixed(thing):
            fields = tuple(field for field in fields if field.key not in ("wax", "oil", "share"))
        self._body = QWidget()
        self.entries = {field.key: Entry(field, self._body) for field in fields}
        values: Values = {"since": today} if thing is None else values_of(thing, mark, shown)
        for key, entry in self.entries.items():
            entry.show_value(values.get(key))
            entry.done.connect(self.keep)
        self._more = QPushButton(_more_words(shelf), self._body)
        self._more.setProperty("role", "bar")
        self._more.clicked.connect(self._show_more)
        self._folded = not any(values.get(field.key) not in (None, "") for field in fields if field.more)
        self._contents = role_label("", "muted")
        self._contents.setParent(self._body)
        if isinstance(thing, Leftover):
            warning = mixed_warning(thing)
            signed = (f"\N{WARNING SIGN} {warning}",) if warning else ()
            self._contents.setText("\n".join((*contents_words(thing, tables), *signed)))
        self._grid = QGridLayout(self._body)
        self._grid.setContentsMargins(0, 0, 8, 0)
        self._grid.setHorizontalSpacing(14)
        self._grid.setVerticalSpacing(10)
        self._columns = 0
        self.save = main_button(tr("Put it in") if thing is None else tr("Keep the change"))
        self.cancel = QPushButton(tr("Leave it  Esc"))
        self.save.clicked.connect(self.keep)
        self.cancel.clicked.connect(self.closed)
        title = thing_words(shelf) if thing is None else tr("Change {name}").format(name=thing.name)
        _, self._problem = framed_panel(self, title, self._body, (self.save, self.cancel))
        self._arrange(2)

    def use(self, theme: Theme) -> None:
        """Take another size of text."""
        self._theme = theme
        self._fit()

    def take_focus(self) -> None:
        """Let typing begin: at the name of a new thing, at the amount of a known one."""
        self._go_to("name" if self.thing is None else "left")
        editor = self.entries["left"].editor
        if self.thing is not None and isinstance(editor, QLineEdit):
            editor.selectAll()

    def keep(self) -> None:
        """Emit the thing, or mark what cannot be and go to the first of it."""
        problems = {key: entry.problem() for key, entry in self.entries.items() if entry.problem()}
        values = {key: entry.value() for key, entry in self.entries.items()}
        if not problems:
            problems = problems_of(self.shelf, values)
        for key, entry in self.entries.items():
            entry.say(problems.get(key, ""))
        if problems:
            self._go_to(next(key for key in self.entries if key in problems))
            return
        try:
            thing, mark = thing_of(self.shelf, values, self._stock, self._shown, self.thing)
        except CandlebenchError as error:
            say(self._problem, str(error))
            return
        self.kept.emit(thing, mark)

    def refuse(self, problem: str) -> None:
        """Say that it could not be kept, at the name when that is taken."""
        name = str(self.entries["name"].value())
        if self._stock.find(self.shelf, name) is not None:
            self.entries["name"].say(problem)
            self._go_to("name")
        else:
            say(self._problem, problem)

    @property
    def problem(self) -> str:
        """What stands under the form as wrong."""
        return self._problem.text()

    def _go_to(self, key: str) -> None:
        entry = self.entries[key]
        if entry.field.more and self._folded:
            self._show_more()
        entry.editor.setFocus()
        # The field is where it will stay once the layout has made room for the sentence.
        QTimer.singleShot(0, self, lambda: self._scroll().ensureWidgetVisible(entry))

    def _scroll(self) -> QScrollArea:
        area = self.findChild(QScrollArea)
        assert isinstance(area, QScrollArea)
        return area

    def _show_more(self) -> None:
        self._folded = False
        self._arrange(self._columns)
        next(entry for entry in self.entries.values() if entry.field.more).editor.setFocus()

    def _arrange(self, columns: int) -> None:
        """Lay the fields out; names and choices take a whole row."""
        self._columns = columns
        while self._grid.takeAt(0) is not None:
            pass
        row = column = 0
        fields = [entry for entry in self.entries.values() if not (entry.field.more and self._folded)]
        for entry in self.entries.values():
            entry.setVisible(entry in fields)
        parts: list[tuple[QWidget, bool]] = [(entry, _is_wide(entry.field)) for entry in fields]
        self._contents.setVisible(bool(self._contents.text()))
        parts += [(self._contents, True)] if self._contents.text() else []
        has_more = any(entry.field.more for entry in self.entries.values())
        parts += [(self._more, True)] if has_more and self._folded else []
        self._more.setVisible(has_more and self._folded)
        before: QWidget = self
        for part, wide in parts:
            if column and (wide or columns == 1):
                row, column = row + 1, 0
            self._grid.addWidget(part, row, column, 1, 2 if wide and columns == 2 else 1)
            column += 2 if wide else 1
            if column >= columns:
                row, column = row + 1, 0
            editor = part.editor if isinstance(part, Entry) else part
            if before is not self:
                QWidget.setTabOrder(before, editor)
            before = editor
        for place in range(2):
            self._grid.setColumnStretch(place, 1 if place < columns else 0)
        for place in range(self._grid.rowCount()):
            self._grid.setRowStretch(place, 0)
        self._grid.setRowStretch(row + 1, 1)

    def _fit(self) -> None:
        columns = 2 if self.width() - 40 >= self._theme.px(_TWO_WIDE) else 1
        if columns != self._columns:
            self._arrange(columns)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()


def _is_wide(field: Field) -> bool:
    return field.kind in ("choice", "tick") or field.key in ("name", "note")


def _more_words(shelf: str) -> str:
    return {
        "waxes": tr("More: its own figures and limits, a note  ▾"),
        "jars": tr("More: taper, weighed with water, a note  ▾"),
    }.get(shelf, tr("More: when it runs low, a note  ▾"))
