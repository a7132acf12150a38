"""How the cells of the cupboard's table are painted: words, a plain bar of what is left, signs."""

import re
from collections.abc import Iterator, Mapping

from PySide6.QtCore import QDate, QLocale, QModelIndex, QPersistentModelIndex, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from candlebench.records.cupboard_lines import Line, shelf_words
from candlebench.ui.shapes import triangle
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

# The table's columns, and the role under which a cell gives its whole row.
NAME, LEFT, PRICE, FIGURES, SINCE = range(5)
LINE = Qt.ItemDataRole.UserRole
_WRAP = Qt.TextFlag.TextWordWrap.value | Qt.AlignmentFlag.AlignLeft.value | Qt.AlignmentFlag.AlignTop.value
# As the style sheet has it for headings.
_EDGE = 10
# Pixels at 100 %.
_TOP, _GAP, _BAR_WIDE, _BAR_HIGH, _SIGN = 9, 3, 70, 8, 12

# Words with the font's size at 100 % and weight, and the name of their colour.
Words = tuple[str, int, int, str]


def day_words(line: Line) -> str:
    """'3 Nov 2026' in the person's own language; '' when it was not said."""
    if line.since is None:
        return ""
    day = QDate(line.since.year, line.since.month, line.since.day)
    return QLocale().toString(day, "d MMM yyyy").replace(" ", "\N{NO-BREAK SPACE}")


class CellPainter(QStyledItemDelegate):
    """`folded` holds the columns without room, whose words stand under the name."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = Theme(LIGHT)
        self.folded: frozenset[int] = frozenset()

    def use(self, theme: Theme) -> None:
        """Take other colours or another size of text."""
        self._theme = theme

    def height(self, content: str | Line, widths: Mapping[int, int]) -> int:
        """The height of a row in columns of these widths."""
        px = self._theme.px
        if isinstance(content, str):
            return px(44)
        heights = [
            sum(
                self._words_height(words, width - 2 * _EDGE) + px(_GAP)
                for words in self._words(content, column)
            )
            - px(_GAP)
            for column, width in widths.items()
            if width and column != LEFT
        ]
        lines = QFontMetricsF(self._theme.font(16)).height() + QFontMetricsF(self._theme.font(15)).height()
        return round(max(*heights, lines + px(_GAP)) + 2 * px(_TOP))

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        return QSize(self._theme.px(120), self._theme.px(44))

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        content, theme = index.data(LINE), self._theme
        rect, state = QRectF(option.rect), option.state
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if isinstance(content, str):
            self._paint_heading(painter, rect, content, first=index.row() == 0)
        else:
            selected = bool(state & QStyle.StateFlag.State_Selected)
            painter.fillRect(rect, theme.color("accent_soft" if selected else "surface"))
            painter.setPen(QPen(theme.color("line"), 1))
            painter.drawLine(rect.bottomLeft(), rect.bottomRight())
            if selected and index.column() == NAME:
                painter.fillRect(QRectF(rect.left(), rect.top(), 4, rect.height()), theme.color("accent"))
            inner = rect.adjusted(_EDGE, theme.px(_TOP), -_EDGE, -theme.px(_TOP))
            if index.column() == LEFT:
                self._paint_left(painter, inner, content)
            else:
                self._paint_words(painter, inner, self._words(content, index.column()))
        painter.restore()

    def _words(self, line: Line, column: int) -> Iterator[Words]:
        """What stands in a cell, one below another."""
        if column == NAME:
            yield line.name, 17, 600, "text"
            price = line.price if PRICE in self.folded else ""
            facts = ", ".join(part for part in (line.kind, price, self._day(line)) if part)
            if facts:
                yield facts, 15, 400, "muted"
            if FIGURES in self.folded:
                # The rest stands in the form, one Enter away; here it would fill the screen with one row.
                yield from self._taught(line)
        elif column == PRICE and line.price:
            yield line.price, 16, 400, "text"
        elif column == FIGURES:
            if line.figures:
                figures = ", ".join(line.figures)
                yield figures[0].upper() + figures[1:], 15, 400, "text"
            yield from self._taught(line)
            if line.note:
                yield line.note, 15, 400, "muted"
        elif column == SINCE and line.since:
            yield day_words(line), 15, 400, "muted"

    def _day(self, line: Line) -> str:
        if SINCE not in self.folded or line.since is None:
            return ""
        return tr("here since {day}").format(day=day_words(line))

    def _taught(self, line: Line) -> Iterator[Words]:
        if line.learned:
            yield line.learned, 15, 400, "text"
        if line.warning:
            yield "\N{WARNING SIGN} " + line.warning, 15, 600, "warning_text"

    def _words_height(self, words: Words, width: float) -> float:
        text, size, weight, _ = words
        return _wrapped_height(self._theme.font(size, weight), _kept_together(text), width)

    def _paint_words(self, painter: QPainter, inner: QRectF, every: Iterator[Words]) -> None:
        top = inner.top()
        for words in every:
            text, size, weight, color = words
            painter.setFont(self._theme.font(size, weight))
            painter.setPen(QPen(self._theme.color(color)))
            height = self._words_height(words, inner.width())
            painter.drawText(QRectF(inner.left(), top, inner.width(), height), _WRAP, _kept_together(text))
            top += height + self._theme.px(_GAP)

    def _paint_left(self, painter: QPainter, inner: QRectF, line: Line) -> None:
        theme = self._theme
        font = theme.font(16, 600)
        painter.setFont(font)
        painter.setPen(QPen(theme.color("text")))
        high = QFontMetricsF(font).height()
        painter.drawText(QRectF(inner.left(), inner.top(), inner.width(), high), _WRAP, line.left_words)
        below = QFontMetricsF(theme.font(15))
        middle = inner.top() + high + theme.px(_GAP) + below.height() / 2.0
        wide = min(float(theme.px(_BAR_WIDE)), inner.width())
        low = bool(line.state)
        if line.full:
            self._paint_bar(painter, QRectF(inner.left(), middle, wide, theme.px(_BAR_HIGH)), line.share, low)
        if not low:
            return
        sign = theme.px(_SIGN)
        left = inner.left() + (wide + sign if line.full else sign / 2.0)
        triangle(painter, QPointF(left, middle), sign, theme.color("warning"))
        painter.setFont(theme.font(15, 600))
        painter.setPen(QPen(theme.color("warning_text")))
        room = QRectF(left + sign * 0.8, middle - below.height() / 2.0, 0.0, below.height())
        room.setRight(inner.right() + _EDGE)
        painter.drawText(room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, line.state)

    def _paint_bar(self, painter: QPainter, bar: QRectF, share: float, low: bool) -> None:
        theme = self._theme
        bar = bar.translated(0.5, 0.5 - bar.height() / 2.0)
        painter.setPen(QPen(theme.color("strong_line"), 1))
        painter.setBrush(theme.color("background"))
        painter.drawRect(bar)
        inside = bar.adjusted(1.5, 1.5, -1.5, -1.5)
        inside.setWidth(inside.width() * share)
        painter.fillRect(inside, theme.color("warning" if low else "muted"))

    def _paint_heading(self, painter: QPainter, rect: QRectF, shelf: str, first: bool) -> None:
        theme = self._theme
        painter.fillRect(rect, theme.color("surface"))
        painter.setPen(QPen(theme.color("line"), 1))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        painter.setFont(theme.font(18, 700))
        painter.setPen(QPen(theme.color("text")))
        inner = rect.adjusted(_EDGE, 0, 0, -theme.px(7))
        painter.drawText(inner, Qt.AlignmentFlag.AlignBottom | Qt.AlignmentFlag.AlignLeft, shelf_words(shelf))


def _kept_together(text: str) -> str:
    """The text with its numbers tied to their units."""
    return re.sub(r"(?<=\d) (?=%|°|g\b|kg\b|mm\b|mL\b)", "\N{NO-BREAK SPACE}", text)


def _wrapped_height(font: QFont, text: str, width: float) -> float:
    return QFontMetricsF(font).boundingRect(QRectF(0.0, 0.0, max(width, 1.0), 1e5), _WRAP, text).height()
