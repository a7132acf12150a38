"""A sheet of paper that is filled from top to bottom: wrapped words, tables, pictures, and further pages."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QRectF, QSaveFile, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPageLayout, QPageSize, QPainter, QPdfWriter, QPen

from candlebench.core.errors import FixableError
from candlebench.ui.paper_font import paper_font
from candlebench.ui.theme import Theme
from candlebench.words import tr

PAPERS = {"a4": QPageSize.PageSizeId.A4, "letter": QPageSize.PageSizeId.Letter}
MARGIN_MM = 15.0
# Everything is laid out in CSS pixels, 96 to the inch, as on the screen.
PX_PER_INCH = 96.0
DOTS_PER_INCH = 600
_FOOT_PX = 30.0


@dataclass(frozen=True, slots=True)
class Cell:
    """Words in a table: their font, colour and side."""

    text: str
    font: QFont
    color: str = "text"
    right: bool = False


class Sheet:
    """Paints down the page; begins another when something does not fit.

    Parameters
    ----------
    writer : QPdfWriter
    theme : Theme
    foot : str
        Stands at the foot of every page, before its number.
    """

    def __init__(self, writer: QPdfWriter, painter: QPainter, theme: Theme, foot: str) -> None:
        self.theme = theme
        self.painter = painter
        self._writer, self._foot = writer, foot
        scale = writer.resolution() / PX_PER_INCH
        painter.scale(scale, scale)
        self.width = writer.width() / scale
        self.height = writer.height() / scale
        self.y = 0.0
        self.page = 1
        self._paint_foot()

    @property
    def room_left(self) -> float:
        """What is left of this page, above its foot."""
        return self.height - _FOOT_PX - self.y

    def space(self, height: float) -> None:
        """Leave some room."""
        self.y += height

    def need(self, height: float) -> None:
        """Begin another page when `height` does not fit on this one any more."""
        if self.y > 0.0 and self.y + height > self.height - _FOOT_PX:
            self._writer.newPage()
            self.page += 1
            self.y = 0.0
            self._paint_foot()

    def words(self, text: str, font: QFont, color: str = "text") -> None:
        """A paragraph over the whole width."""
        self.row((Cell(text, font, color),), (self.width,))

    def row(self, cells: Sequence[Cell], widths: Sequence[float], gap: float = 12.0) -> float:
        """Words side by side, each wrapped in its column; returns where the row began."""
        heights = [text_height(cell, width) for cell, width in zip(cells, widths, strict=True)]
        self.need(max(heights))
        x, top = 0.0, self.y
        for cell, width in zip(cells, widths, strict=True):
            self.paint(cell, QRectF(x, top, width, max(heights)))
            x += width + gap
        self.y += max(heights)
        return top

    def paint(self, cell: Cell, box: QRectF) -> None:
        """Words at a place of one's own choice; `y` stays."""
        self.painter.setFont(cell.font)
        self.painter.setPen(QPen(self.theme.color(cell.color)))
        self.painter.drawText(box, _flags(cell), cell.text)

    def line(self) -> None:
        """A thin rule."""
        self.painter.setPen(QPen(self.theme.color("line"), 1))
        self.painter.drawLine(0, round(self.y), round(self.width), round(self.y))

    def picture(self, height: float, paint: Callable[[QPainter, QRectF], None]) -> None:
        """Something painted over the whole width."""
        self.need(height)
        paint(self.painter, QRectF(0.0, self.y, self.width, height))
        self.y += height

    def _paint_foot(self) -> None:
        font = paper_font(self.theme, 11)
        self.painter.setFont(font)
        self.painter.setPen(QPen(self.theme.color("muted")))
        page = tr(" · page {page}").format(page=self.page)
        metrics = QFontMetricsF(font)
        room = self.width - metrics.horizontalAdvance(page)
        foot = metrics.elidedText(self._foot, Qt.TextElideMode.ElideRight, room)
        box = QRectF(0.0, self.height - _FOOT_PX + 8.0, self.width, _FOOT_PX - 8.0)
        self.painter.drawText(box, Qt.AlignmentFlag.AlignLeft, foot + page)


def write_pdf(
    file: str, paper: str, title: str, foot: str, theme: Theme, fill: Callable[[Sheet], None]
) -> None:
    """Write a sheet as a PDF; the file takes its place only when it is wholly written.

    Parameters
    ----------
    file : str
        Path.
    paper : str
        'a4' or 'letter'.
    title, foot : str
        The document's title, and the words at the foot of each page.
    theme : Theme
    fill : callable
        Paints the sheet.

    Raises
    ------
    FixableError
        The file cannot be written; one that was there is as it was.
    """
    write_pages(
        file, paper, title, MARGIN_MM, lambda writer, painter: fill(Sheet(writer, painter, theme, foot))
    )


def write_pages(
    file: str, paper: str, title: str, margin_mm: float, paint: Callable[[QPdfWriter, QPainter], None]
) -> None:
    """Write a PDF of pages painted freely, in dots from the margins' corner; as `write_pdf` otherwise."""
    save = QSaveFile(file)
    # A pipe or /dev/stdout has no place to be renamed to.
    save.setDirectWriteFallback(True)
    if not save.open(QSaveFile.OpenModeFlag.WriteOnly):
        raise _unwritable(file, save.errorString())
    writer = _writer(save, paper, margin_mm)
    writer.setTitle(title)
    painter = _painter(writer)
    try:
        paint(writer, painter)
    except BaseException:
        save.cancelWriting()
        raise
    finally:
        painter.end()
    if not save.commit():
        raise _unwritable(file, save.errorString())


def try_out(paper: str, theme: Theme, foot: str, fill: Callable[[Sheet], None]) -> tuple[int, float]:
    """Paint a sheet to nowhere; returns how many pages it takes, and what is left of the last one."""
    nowhere = QBuffer()
    nowhere.open(QBuffer.OpenModeFlag.WriteOnly)
    writer = _writer(nowhere, paper, MARGIN_MM)
    painter = _painter(writer)
    try:
        sheet = Sheet(writer, painter, theme, foot)
        fill(sheet)
    finally:
        painter.end()
    return sheet.page, sheet.room_left


def _writer(device: QIODevice, paper: str, margin_mm: float) -> QPdfWriter:
    writer = QPdfWriter(device)
    writer.setResolution(DOTS_PER_INCH)
    margins = QMarginsF(margin_mm, margin_mm, margin_mm, margin_mm)
    layout = QPageLayout(
        QPageSize(PAPERS[paper]), QPageLayout.Orientation.Portrait, margins, QPageLayout.Unit.Millimeter
    )
    writer.setPageLayout(layout)
    writer.setCreator("candlebench")
    return writer


def _painter(writer: QPdfWriter) -> QPainter:
    painter = QPainter(writer)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    return painter


def _unwritable(file: str, why: str) -> FixableError:
    text = tr("{file} cannot be written ({why}): choose another place or free some space.")
    return FixableError(text.format(file=file, why=why))


def _flags(cell: Cell) -> int:
    side = Qt.AlignmentFlag.AlignRight if cell.right else Qt.AlignmentFlag.AlignLeft
    return int(side) | int(Qt.AlignmentFlag.AlignTop) | int(Qt.TextFlag.TextWordWrap)


def text_height(cell: Cell, width: float) -> float:
    """How high a cell's words stand when they are wrapped to `width`."""
    box = QRectF(0.0, 0.0, width, 10_000.0)
    return QFontMetricsF(cell.font).boundingRect(box, _flags(cell), cell.text).height()
