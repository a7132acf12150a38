"""The list of practice melts: a title and what is met in each; arrow keys choose, Enter begins."""

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QPainter, QPen
from PySide6.QtWidgets import (
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from candlebench.practice.scenario import Scenario
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

_NOTE = Qt.ItemDataRole.UserRole
_NAME = Qt.ItemDataRole.UserRole + 1


class ScenarioRow(QStyledItemDelegate):
    """Paints a row: the title, and a note in a smaller line; without one the title is centred."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme = Theme(LIGHT)

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        lines = QFontMetricsF(self.theme.font(17, 600, 1.7)).height()
        lines += QFontMetricsF(self.theme.font(14, 400, 1.7)).height()
        return QSize(100, round(lines) + 20)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        theme = self.theme
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        focused = chosen and bool(option.state & QStyle.StateFlag.State_HasFocus)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = QRectF(option.rect).adjusted(4, 2, -4, -2)
        if chosen:
            painter.setPen(QPen(theme.color("accent"), 2 if focused else 1))
            painter.setBrush(theme.color("accent_soft"))
            painter.drawRoundedRect(box, 8, 8)
        inside = box.adjusted(14, 7, -12, -7)
        note = index.data(_NOTE) or ""
        title_place = Qt.AlignmentFlag.AlignTop if note else Qt.AlignmentFlag.AlignVCenter
        title, small = theme.font(17, 700 if chosen else 600, 1.7), theme.font(14, 400, 1.7)
        for font, color, text, align in (
            (title, "text", index.data(), title_place),
            (small, "muted", note, Qt.AlignmentFlag.AlignBottom),
        ):
            painter.setFont(font)
            painter.setPen(QPen(theme.color("text" if chosen and color == "muted" else color)))
            room = QFontMetricsF(font).elidedText(text, Qt.TextElideMode.ElideRight, inside.width())
            painter.drawText(inside, align | Qt.AlignmentFlag.AlignLeft, room)
        painter.restore()


class ScenarioList(QListWidget):
    """Emits the name of the scenario that is looked at, and `begun` when Enter is pressed on it."""

    looked_at = Signal(str)
    begun = Signal()

    def __init__(self, scenarios: tuple[Scenario, ...], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("scenarios")
        self.setAccessibleName(tr("Practice melts"))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(self.ScrollMode.ScrollPerPixel)
        self._row = ScenarioRow(self)
        self.setItemDelegate(self._row)
        for scenario in scenarios:
            item = QListWidgetItem(scenario.title)
            item.setData(_NAME, scenario.name)
            item.setToolTip(scenario.title)
            self.addItem(item)
        self.currentItemChanged.connect(lambda item, _: item and self.looked_at.emit(item.data(_NAME)))
        self.itemDoubleClicked.connect(lambda _: self.begun.emit())

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._row.theme = theme
        p = theme.palette
        self.setStyleSheet(
            f"QListWidget#scenarios {{ background: {p.surface}; border: 1px solid {p.line};"
            f" border-radius: 10px; padding: 6px 2px; }}"
        )
        self.scheduleDelayedItemsLayout()

    def row_px(self) -> int:
        """How tall a row is."""
        return self._row.sizeHint(QStyleOptionViewItem(), QModelIndex()).height()

    def note(self, name: str, words: str) -> None:
        """Show a note under the title of a scenario."""
        for place in range(self.count()):
            item = self.item(place)
            if item.data(_NAME) == name:
                item.setData(_NOTE, words)
                item.setData(Qt.ItemDataRole.AccessibleDescriptionRole, words)

    def look_at(self, name: str) -> None:
        """Choose a scenario, the first when there is none of that name."""
        names = [self.item(place).data(_NAME) for place in range(self.count())]
        if names:
            self.setCurrentRow(names.index(name) if name in names else 0)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.begun.emit()
        else:
            super().keyPressEvent(event)
