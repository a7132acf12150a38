"""The cupboard as one table: a heading a shelf, a row a thing; columns without room fold into the name."""

from collections.abc import Mapping
from types import MappingProxyType

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QFrame, QHeaderView, QTableView

from candlebench.core.units import Shown
from candlebench.records.cupboard_lines import Line, shelf_words
from candlebench.ui.cupboard_cells import FIGURES, LEFT, LINE, NAME, PRICE, SINCE, CellPainter, day_words
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

Index = QModelIndex | QPersistentModelIndex

# Pixels at 100 %: with less room than the first, prices and days fold into the name; than the second, all.
ROOMY, NARROW = 980.0, 640.0
COLUMN_COUNT = 5


def headings() -> tuple[str, ...]:
    """The columns' names."""
    return (tr("Name"), tr("Left"), tr("Price"), tr("What is known of it"), tr("Here since"))


def spoken(line: Line) -> str:
    """A row as a screen reader says it."""
    since = tr("here since {day}").format(day=day_words(line)) if line.since else ""
    left = tr("{amount} left").format(amount=line.left_words)
    parts = (
        line.name,
        line.kind,
        left,
        line.state,
        line.price,
        line.learned,
        *line.figures,
        line.warning,
        since,
        line.note,
    )
    return ", ".join(part for part in parts if part)


class CupboardModel(QAbstractTableModel):
    """Rows are headings (a shelf's name) and lines."""

    def __init__(self) -> None:
        super().__init__()
        self.rows: list[str | Line] = []

    def show(self, lines: tuple[Line, ...]) -> None:
        """Show other lines."""
        self.beginResetModel()
        self.rows = []
        shelf = ""
        for line in lines:
            if line.shelf != shelf:
                shelf = line.shelf
                self.rows.append(shelf)
            self.rows.append(line)
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else COLUMN_COUNT

    def flags(self, index: Index) -> Qt.ItemFlag:
        if isinstance(self.rows[index.row()], str):
            # Arrow keys pass a heading over.
            return Qt.ItemFlag.NoItemFlags
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        row = self.rows[index.row()]
        if role == LINE:
            return row
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return shelf_words(row) if isinstance(row, str) else spoken(row)
        if role == Qt.ItemDataRole.ToolTipRole and isinstance(row, Line):
            return "\n".join(
                part for part in (row.name, row.learned, *row.figures, row.warning, row.note) if part
            )
        if role == Qt.ItemDataRole.DisplayRole:
            if isinstance(row, str):
                return shelf_words(row) if index.column() == NAME else ""
            return (row.name, row.left_words, row.price, ", ".join(row.figures), day_words(row))[
                index.column()
            ]
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        if orientation == Qt.Orientation.Horizontal:
            if role == Qt.ItemDataRole.DisplayRole:
                return headings()[section]
            if role == Qt.ItemDataRole.TextAlignmentRole:
                return Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        return None


# What a key does with the row it is pressed on.
KEYS: Mapping[Qt.Key, str] = MappingProxyType(
    {
        Qt.Key.Key_Return: "change",
        Qt.Key.Key_Enter: "change",
        Qt.Key.Key_F2: "change",
        Qt.Key.Key_U: "use",
        Qt.Key.Key_Delete: "take away",
        Qt.Key.Key_Backspace: "take away",
        Qt.Key.Key_Insert: "add",
        Qt.Key.Key_A: "add",
        Qt.Key.Key_T: "mix",
    }
)


class CupboardTable(QTableView):
    """Emits what is wanted with the present row: 'change', 'use', 'take away', 'mix' or 'add'."""

    wanted = Signal(str)
    turned = Signal()

    def __init__(self, shown: Shown) -> None:
        super().__init__()
        self._theme = Theme(LIGHT)
        self._shown = shown
        self._model = CupboardModel()
        self.painter = CellPainter(self)
        self.setModel(self._model)
        self.setItemDelegate(self.painter)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setShowGrid(False)
        self.setTabKeyNavigation(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.verticalHeader().hide()
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.horizontalHeader().setHighlightSections(False)
        self.horizontalHeader().setDefaultAlignment(
            Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        )
        self.setAccessibleName(tr("What is in the cupboard"))
        self.doubleClicked.connect(lambda _: self.wanted.emit("change"))
        self.selectionModel().currentRowChanged.connect(lambda *_: self.turned.emit())

    def use(self, theme: Theme) -> None:
        """Take other colours or another size of text."""
        self._theme = theme
        self.painter.use(theme)
        self._fit()

    def show_lines(self, lines: tuple[Line, ...], keep: tuple[str, str] | None = None) -> None:
        """Show other lines; the row of shelf and name `keep` becomes the present one, else the nearest."""
        place = self.currentIndex().row()
        self._model.show(lines)
        self.clearSpans()
        for row, content in enumerate(self._model.rows):
            if isinstance(content, str):
                self.setSpan(row, 0, 1, COLUMN_COUNT)
        self._fit()
        wanted = next(
            (n for n, x in enumerate(self._model.rows) if isinstance(x, Line) and (x.shelf, x.name) == keep),
            None,
        )
        self._go_to(place if wanted is None else wanted)

    @property
    def present(self) -> Line | None:
        """The line the keyboard is on."""
        row = self.currentIndex().row()
        content = self._model.rows[row] if 0 <= row < len(self._model.rows) else None
        return content if isinstance(content, Line) else None

    @property
    def lines(self) -> tuple[Line, ...]:
        """What is shown."""
        return tuple(row for row in self._model.rows if isinstance(row, Line))

    def _go_to(self, place: int) -> None:
        rows = [n for n, row in enumerate(self._model.rows) if isinstance(row, Line)]
        if rows:
            nearest = min(rows, key=lambda n: abs(n - max(place, 0)))
            self.setCurrentIndex(self._model.index(nearest, NAME))
            self.scrollTo(self._model.index(nearest, NAME))

    def _fit(self) -> None:
        """Share the width out, fold what has no room, and give each row the height its words take."""
        room, px = self.viewport().width(), self._theme.px
        roomy, narrow = room >= px(ROOMY), room < px(NARROW)
        # The words of these two are short and of one length: the rest goes to the name and the figures.
        fixed = {LEFT: px(186), PRICE: px(150) if roomy else 0, SINCE: px(120) if roomy else 0}
        rest = room - sum(fixed.values())
        fixed[FIGURES] = 0 if narrow else round(rest * 0.56)
        fixed[NAME] = rest - fixed[FIGURES]
        for column, width in fixed.items():
            self.setColumnHidden(column, width == 0)
            if width:
                self.setColumnWidth(column, width)
        self.painter.folded = frozenset(column for column, width in fixed.items() if width == 0)
        for row, content in enumerate(self._model.rows):
            self.setRowHeight(row, self.painter.height(content, fixed))
        if self.currentIndex().isValid():
            # Qt reckons the length of the list with the new heights only later.
            self.updateGeometries()
            self.scrollTo(self.currentIndex())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if self.present is None:
            self._go_to(0)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        wish = KEYS.get(Qt.Key(event.key()))
        plain = event.modifiers() in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier)
        if wish and plain and (self.present is not None or wish == "add"):
            self.wanted.emit(wish)
            return
        super().keyPressEvent(event)
