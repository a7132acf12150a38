"""The debrief on paper: the same words and the same curve as on the page, as a PDF."""

from dataclasses import replace
from uuid import UUID

from PySide6.QtCore import QLocale, QPointF
from PySide6.QtGui import QPainter

from candlebench.core.debrief.advice import advice
from candlebench.core.debrief.attempt import Attempt, attempt_of, compared, scenario_of
from candlebench.core.debrief.foreseen import foreseen_rows
from candlebench.core.debrief.judge import Debrief
from candlebench.core.debrief.rows import Row, caption, rows
from candlebench.core.state import Level
from candlebench.core.units import Shown
from candlebench.ui import shapes
from candlebench.ui.attempts_table import cells, headings, when
from candlebench.ui.debrief_curve import paint_debrief
from candlebench.ui.paper_font import paper_font
from candlebench.ui.paper_sheet import Cell, Sheet, write_pdf
from candlebench.ui.safety_page import safety_table
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

PAPER = Theme(replace(LIGHT, name="paper", background="#FFFFFF", surface="#FFFFFF"))
_CURVE_PX = 330.0
# Territories that print on Letter paper, after Unicode CLDR; from memory, check before relying on it.
_LETTER = frozenset(["BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"])


def write_debrief_pdf(
    file: str,
    debrief: Debrief,
    attempts: tuple[Attempt, ...],
    shown: Shown,
    paper: str = "a4",
) -> None:
    """Write the debrief as a PDF (needs a QGuiApplication for its fonts).

    Parameters
    ----------
    file : str
        Path.
    debrief : Debrief
    attempts : tuple of Attempt
        Earlier attempts, the latest first; not this one.
    shown : Shown
    paper : str
        'a4' or 'letter'.

    Raises
    ------
    FixableError
        The file cannot be written.
    """
    title = tr("Debrief: {title}").format(title=debrief.story.setup.title)
    foot = tr("candlebench, {title}").format(title=title)
    write_pdf(file, paper, title, foot, PAPER, lambda sheet: _fill(sheet, debrief, attempts, shown, title))


def usual_paper() -> str:
    """Return the paper of the person's own country: 'letter' or 'a4'."""
    territory = QLocale().name().rpartition("_")[2]
    return "letter" if territory in _LETTER else "a4"


def suggested_name(debrief: Debrief) -> str:
    """Return a file name for the PDF, without what file systems do not take."""
    title = "".join(c if c.isalnum() or c in " -," else " " for c in debrief.story.setup.title)
    return " ".join([*title.split(), when(debrief.story.began_wall_s, "yyyy-MM-dd HHmm")]) + ".pdf"


def _fill(sheet: Sheet, debrief: Debrief, attempts: tuple[Attempt, ...], shown: Shown, title: str) -> None:
    theme = sheet.theme
    sheet.words(title, paper_font(theme, 22, 700))
    sheet.words(_made_of(debrief, shown), paper_font(theme, 13), "muted")
    sheet.space(12)
    _heading(sheet, tr("For next time"))
    for sentence in advice(debrief, shown):
        sheet.words(sentence, paper_font(theme, 16))
        sheet.space(2)
    now = attempt_of(UUID(int=0), debrief)
    if attempts:
        sheet.words(compared(now, attempts[0], shown), paper_font(theme, 14), "muted")
    sheet.space(8)
    sheet.picture(_CURVE_PX, lambda painter, box: paint_debrief(painter, box, debrief, theme, shown))
    sheet.words(caption(debrief), paper_font(theme, 12), "muted")
    sheet.space(10)
    _heading(sheet, tr("What happened"))
    _rows(sheet, rows(debrief, shown))
    foreseen = foreseen_rows(debrief, shown)
    if foreseen:
        sheet.space(8)
        _heading(sheet, tr("Foreseen and guessed"))
        _rows(sheet, foreseen, value_px=262.0)
    sheet.space(8)
    _attempts(sheet, now, attempts, shown)
    sheet.space(8)
    _notes(sheet)


def _made_of(debrief: Debrief, shown: Shown) -> str:
    """When, and what of."""
    setup = debrief.story.setup
    parts = [when(debrief.story.began_wall_s, "d MMM yyyy HH:mm"), setup.wax]
    if setup.wax_g is not None:
        parts[-1] = tr("{wax} {grams:.0f} g").format(wax=setup.wax, grams=setup.wax_g)
    if setup.oil is not None:
        oil = setup.oil.name or tr("oil")
        if setup.oil.mass_g is not None:
            oil = tr("{oil} {grams:.0f} g").format(oil=oil, grams=setup.oil.mass_g)
        parts.append(oil)
    if setup.room_c is not None:
        parts.append(tr("room {temp}").format(temp=shown.temp(round(setup.room_c, 1))))
    if scenario_of(setup.source):
        parts.append(tr("practice: a simulated melt"))
    return tr(", ").join(parts)


def _heading(sheet: Sheet, text: str) -> None:
    sheet.need(60)
    sheet.words(text, paper_font(sheet.theme, 16, 700))
    sheet.space(2)


def _rows(sheet: Sheet, shown_rows: tuple[Row, ...], value_px: float = 178.0) -> None:
    theme = sheet.theme
    small, bold, name = paper_font(theme, 13), paper_font(theme, 14, 600), paper_font(theme, 13, 600)
    indent, name_px = 16.0, 122.0
    why_px = sheet.width - indent - name_px - value_px - 3 * 12.0
    for row in shown_rows:
        top = sheet.row(
            (
                Cell("", small),
                Cell(row.name, name, "muted"),
                Cell(row.value, bold),
                Cell(row.why, small, "muted"),
            ),
            (indent, name_px, value_px, why_px),
        )
        _mark(sheet.painter, row, theme, QPointF(6.0, top + 8.0))
        sheet.space(3)


def _mark(painter: QPainter, row: Row, theme: Theme, at: QPointF) -> None:
    if not row.known:
        shapes.ring(painter, at, 2.6, theme.color("strong_line"), theme.color("surface"), 1.2)
    elif row.level is Level.CALM:
        shapes.tick(painter, at, 11, theme.color("accent"), 1.6)
    elif row.level is Level.WARNING:
        shapes.triangle(painter, at, 11, theme.color("warning"))
    else:
        shapes.octagon(painter, at, 12, theme.color("danger"))


def _attempts(sheet: Sheet, now: Attempt, earlier: tuple[Attempt, ...], shown: Shown) -> None:
    theme = sheet.theme
    _heading(sheet, tr("Attempts, and how far outside the windows"))
    widths = [sheet.width * share - 12.0 for share in (0.25, 0.14, 0.14, 0.15, 0.15, 0.17)]
    widths[-1] += 12.0
    table = [(headings(shown), paper_font(theme, 12, 600), "muted")]
    table += [
        (cells(each, shown, each is now), paper_font(theme, 13, 600 if each is now else 400), "text")
        for each in (now, *earlier)
    ]
    for texts, font, color in table:
        sheet.row([Cell(text, font, color, right=place > 0) for place, text in enumerate(texts)], widths)
        sheet.space(2)


def _notes(sheet: Sheet) -> None:
    """What is an estimate, and the cautions."""
    theme = sheet.theme
    sheet.line()
    sheet.space(4)
    for text in (
        tr(
            "Estimates: times marked ~ are drawn on from this jug’s own cooling. The scent kept is computed "
            "from vapour pressures for an open jug in still air, good to a factor of two; a lid keeps more. "
            "Windows and limits are proposals: your suppliers’ data sheets come first."
        ),
        tr("Never leave melting wax alone. If wax burns: heat off, lid on, never water."),
        str(safety_table()["defer"]),
    ):
        sheet.words(text, paper_font(theme, 11), "muted")
        sheet.space(2)
