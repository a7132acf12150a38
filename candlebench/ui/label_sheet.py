"""Labels on a sheet to be cut, as a PDF."""

from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPdfWriter, QPen

from candlebench.core.errors import FixableError
from candlebench.core.labels import EDGE_MM, MOST_LABELS, SHEETS_MM, LabelContent, LabelSize, Shape, places_mm
from candlebench.ui.debrief_paper import PAPER
from candlebench.ui.label_drawing import PX_PER_MM, letter_widths, paint_cut_marks, paint_label
from candlebench.ui.label_layout import LaidOut, lay_out
from candlebench.ui.paper_font import paper_font
from candlebench.ui.paper_sheet import DOTS_PER_INCH, write_pages
from candlebench.words import tr, tr_count

_DOTS_PER_MM = DOTS_PER_INCH / 25.4
# A line of this length at the foot tells whether the printer kept the size.
RULE_MM = 50.0
_FOOT_LETTER_MM = 2.8
_NAMED = 2


@dataclass(frozen=True, slots=True)
class LabelJob:
    """What is to be printed.

    Attributes
    ----------
    content : LabelContent
    size : LabelSize
    sheet : str
        'a4' or 'letter'.
    count : int
        How many labels.
    """

    content: LabelContent
    size: LabelSize
    sheet: str
    count: int


def write_labels(file: str, job: LabelJob) -> int:
    """Write the labels as a PDF (needs a QGuiApplication for its fonts); returns how many sheets.

    Raises
    ------
    FixableError
        A text finds no room, the label is larger than the sheet, or the file cannot be written.
    """
    if not 1 <= job.count <= MOST_LABELS:
        raise FixableError(tr("Print from 1 to {most} labels at a time.").format(most=MOST_LABELS))
    places = places_mm(job.size, job.sheet)
    laid = lay_out(job.content, job.size, letter_widths())
    if laid.too_long:
        raise FixableError(too_long_words(laid))
    pages = -(-job.count // len(places))

    def paint(writer: QPdfWriter, painter: QPainter) -> None:
        for page in range(pages):
            if page:
                writer.newPage()
            rest = job.count - page * len(places)
            for x, y in places[:rest]:
                painter.save()
                painter.translate(x * _DOTS_PER_MM, y * _DOTS_PER_MM)
                paint_label(painter, laid, _DOTS_PER_MM)
                paint_cut_marks(painter, job.size, _DOTS_PER_MM)
                painter.restore()
            _paint_foot(painter, job)

    title = tr("Labels: {name}").format(name=job.content.name or job.content.heading)
    write_pages(file, job.sheet, title, 0.0, paint)
    return pages


def size_words(size: LabelSize) -> str:
    """'70 × 50 mm', 'round, 40 mm'."""
    if size.shape is Shape.ROUND:
        return tr("round, {width:g} mm").format(width=size.width_mm)
    return tr("{width:g} × {height:g} mm").format(width=size.width_mm, height=size.height_mm)


def too_long_words(laid: LaidOut) -> str:
    """Say which texts find no room, and what to do; '' when all do."""
    if not laid.too_long:
        return ""
    texts = tr(", ").join(tr("“{text}”").format(text=text) for text in laid.too_long[:_NAMED])
    more = len(laid.too_long) - _NAMED
    if more > 0:
        texts += tr_count(" and {n} more", " and {n} more", more).format(n=more)
    return tr(
        "Too long for this size: {texts}. Shorten the texts, take topics or pictures off, choose a larger "
        "label, or print name and warnings on two labels."
    ).format(texts=texts)


def _paint_foot(painter: QPainter, job: LabelJob) -> None:
    """How to print it, and a line to lay a ruler on."""
    painter.save()
    painter.scale(_DOTS_PER_MM / PX_PER_MM, _DOTS_PER_MM / PX_PER_MM)
    wide, high = (side * PX_PER_MM for side in SHEETS_MM[job.sheet])
    left, y = EDGE_MM * PX_PER_MM, high - 8.5 * PX_PER_MM
    painter.setPen(QPen(PAPER.color("muted"), 0.2 * PX_PER_MM))
    rule = RULE_MM * PX_PER_MM
    painter.drawLine(QLineF(left, y, left + rule, y))
    for x in (left, left + rule):
        painter.drawLine(QLineF(x, y - PX_PER_MM, x, y + PX_PER_MM))
    painter.setFont(paper_font(PAPER, _FOOT_LETTER_MM * PX_PER_MM))
    text = tr(
        "Print at 100 %, not fitted to the page: this line is {rule:.0f} mm long. "
        "Labels {size}, cut at the marks."
    ).format(rule=RULE_MM, size=size_words(job.size))
    at = QPointF(left + rule + 4.0 * PX_PER_MM, y - 3.0 * PX_PER_MM)
    box = QRectF(at.x(), at.y(), wide - EDGE_MM * PX_PER_MM - at.x(), 6.0 * PX_PER_MM)
    painter.drawText(box, int(Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextWordWrap), text)
    painter.restore()
