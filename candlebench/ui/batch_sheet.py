"""The batch sheet: amounts, windows, steps to tick off, cautions, clean-up and room for notes, as a PDF."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QFont, QFontMetricsF, QPen

from candlebench.core.batch_steps import (
    BigAmount,
    Step,
    batch_steps,
    big_amounts,
    clean_up_steps,
    sheet_cautions,
    standing_cautions,
)
from candlebench.core.plan.planning import Plan
from candlebench.core.plan.reasoned import Caution
from candlebench.core.plan.to_melt import plan_title
from candlebench.core.state import Level
from candlebench.core.units import Shown
from candlebench.ui import shapes
from candlebench.ui.debrief_paper import PAPER
from candlebench.ui.paper_font import paper_font
from candlebench.ui.paper_sheet import Cell, Sheet, text_height, try_out, write_pdf
from candlebench.ui.temperature_scale import HEIGHT_PX, TemperatureScale
from candlebench.words import tr

# Boxes in a row; more of them are shared out evenly over the rows.
_ACROSS = 5
_WRITE_PX = 92.0
_RULE_PX = 26.0
_WHY_GAP_PX = 1.0
# A box and a line to write on, apart from the next.
_LEAST_STEP_PX = 20.0
_LEAST_RULES, _MOST_RULES = 3, 9


@dataclass(frozen=True, slots=True)
class _Sizes:
    """Letters and gaps in px: the larger ones when all finds room with them."""

    step: float
    why: float
    amount: float
    gap: float


_TRIES = (_Sizes(14.0, 12.0, 24.0, 6.0), _Sizes(13.0, 11.0, 22.0, 3.0), _Sizes(12.0, 11.0, 19.0, 1.5))


def write_batch_sheet(file: str, plan: Plan, shown: Shown, paper: str = "a4", title: str = "") -> None:
    """Write the batch sheet of a plan (needs a QGuiApplication for its fonts).

    Parameters
    ----------
    file : str
        Path.
    plan : Plan
    shown : Shown
        °C or °F.
    paper : str
        'a4' or 'letter'.
    title : str
        What she calls the batch; a name is made when it is empty.

    Raises
    ------
    FixableError
        The file cannot be written.
    """
    title = title or plan_title(plan)
    foot = tr("candlebench, batch sheet: {title}").format(title=title)
    # Of those with the fewest pages the one with the largest letters, which comes first.
    sizes = min(_TRIES, key=lambda each: _pages(paper, foot, _Filling(plan, shown, title, each)))
    write_pdf(file, paper, title, foot, PAPER, _Filling(plan, shown, title, sizes).fill)


def _pages(paper: str, foot: str, filling: "_Filling") -> int:
    return try_out(paper, PAPER, foot, filling.fill)[0]


class _Filling:
    """Fills one sheet with one plan."""

    def __init__(self, plan: Plan, shown: Shown, title: str, sizes: _Sizes) -> None:
        self._plan, self._shown, self._title, self._sizes = plan, shown, title, sizes

    def fill(self, sheet: Sheet) -> None:
        """Paint it all."""
        plan, gap = self._plan, self._sizes.gap
        self._head(sheet)
        self._amounts(sheet, _set_out(plan))
        sheet.space(4 + gap)
        sheet.picture(
            HEIGHT_PX,
            lambda painter, box: TemperatureScale(painter, box, plan, sheet.theme, self._shown).paint(),
        )
        sheet.space(2 + gap)
        stops = [caution for caution in sheet_cautions(plan) if caution.level is Level.DANGER]
        self._cautions(sheet, stops)
        sheet.space(8 if stops else 0)
        self._heading(sheet, tr("Steps"))
        self._steps(sheet, batch_steps(plan, self._shown))
        sheet.space(4 + gap)
        self._heading(sheet, tr("Watch out for"))
        self._cautions(sheet, [each for each in sheet_cautions(plan) if each.level is not Level.DANGER])
        for text in standing_cautions():
            self._bullet(sheet, text, "", Level.CALM)
        sheet.space(4 + gap)
        self._heading(sheet, tr("Clean up, and use again"))
        self._steps(sheet, clean_up_steps(plan))
        sheet.space(4 + gap)
        self._notes(sheet)

    def _head(self, sheet: Sheet) -> None:
        theme = sheet.theme
        sheet.words(self._title, paper_font(theme, 22, 700))
        sheet.space(8)
        font = paper_font(theme, 12)
        third = (sheet.width - 2 * 12.0) / 3.0
        top = sheet.row([Cell(text, font, "muted") for text in _written_heads()], [third] * 3)
        sheet.painter.setPen(QPen(theme.color("strong_line"), 0.8))
        for place, text in enumerate(_written_heads()):
            x = place * (third + 12.0)
            begin = x + _advance(font, text) + 6.0
            y = top + text_height(Cell(text, font), third)
            sheet.painter.drawLine(QLineF(begin, y, x + third, y))
        sheet.space(8 + self._sizes.gap)

    def _amounts(self, sheet: Sheet, amounts: Sequence[BigAmount]) -> None:
        theme = sheet.theme
        rows = math.ceil(len(amounts) / _ACROSS)
        across = math.ceil(len(amounts) / rows)
        width = (sheet.width - (across - 1) * 12.0) / across
        small, note = paper_font(theme, 12, 600), paper_font(theme, 12)
        big = paper_font(theme, self._sizes.amount, 700)
        for first in range(0, len(amounts), across):
            row = amounts[first : first + across]
            cells = [
                [
                    Cell(each.name, small, "muted"),
                    Cell(each.amount, big),
                    Cell(each.note or " ", note, "muted"),
                ]
                for each in row
            ]
            heights = [max(text_height(column[line], width - 16.0) for column in cells) for line in range(3)]
            high = sum(heights) + 16.0
            sheet.need(high)
            for place, column in enumerate(cells):
                self._amount_box(sheet, QRectF(place * (width + 12.0), sheet.y, width, high), column, heights)
            sheet.space(high + 8.0)

    def _amount_box(self, sheet: Sheet, box: QRectF, column: list[Cell], heights: list[float]) -> None:
        painter = sheet.painter
        painter.setPen(QPen(sheet.theme.color("line"), 1.0))
        painter.setBrush(sheet.theme.color("surface"))
        painter.drawRoundedRect(box, 6.0, 6.0)
        y = box.top() + 6.0
        for cell, height in zip(column, heights, strict=True):
            sheet.paint(cell, QRectF(box.left() + 8.0, y, box.width() - 16.0, height))
            y += height + 2.0

    def _steps(self, sheet: Sheet, steps: Sequence[Step]) -> None:
        theme, sizes = sheet.theme, self._sizes
        strong, small, note = (
            paper_font(theme, sizes.step, 600),
            paper_font(theme, sizes.why),
            paper_font(theme, 11),
        )
        writing = any(step.writes_time or step.writes_temp for step in steps)
        text_px = sheet.width - 52.0 - (2 * (_WRITE_PX + 8.0) if writing else 0.0)
        for number, step in enumerate(steps, start=1):
            text, why = Cell(step.text, strong), Cell(step.why, small, "muted")
            text_high = text_height(text, text_px)
            high = text_high + (text_height(why, text_px) + _WHY_GAP_PX if step.why else 0.0)
            high = max(high, _LEAST_STEP_PX)
            sheet.need(high)
            top = sheet.y
            sheet.painter.setPen(QPen(theme.color("text"), 1.2))
            sheet.painter.setBrush(theme.color("surface"))
            sheet.painter.drawRoundedRect(QRectF(0.0, top + 1.5, 14.0, 14.0), 2.5, 2.5)
            sheet.paint(Cell(f"{number}", strong, "muted", right=True), QRectF(18.0, top, 22.0, text_high))
            sheet.paint(text, QRectF(52.0, top, text_px, text_high))
            if step.why:
                sheet.paint(why, QRectF(52.0, top + text_high + _WHY_GAP_PX, text_px, high - text_high))
            x = sheet.width - 2 * _WRITE_PX - 8.0
            if step.writes_time:
                self._to_write(sheet, Cell(tr("at"), note, "muted"), x, top)
            if step.writes_temp:
                self._to_write(
                    sheet, Cell(self._shown.sign, note, "muted", right=True), x + _WRITE_PX + 8.0, top
                )
            sheet.space(high + sizes.gap)

    def _to_write(self, sheet: Sheet, cell: Cell, x: float, top: float) -> None:
        """A line to write on, with its word before or its unit behind."""
        high = text_height(cell, _WRITE_PX)
        taken = _advance(cell.font, cell.text) + 5.0
        sheet.paint(cell, QRectF(x, top + 3.0, _WRITE_PX, high))
        begin, end = (x, x + _WRITE_PX - taken) if cell.right else (x + taken, x + _WRITE_PX)
        sheet.painter.setPen(QPen(sheet.theme.color("strong_line"), 0.8))
        sheet.painter.drawLine(QLineF(begin, top + 17.0, end, top + 17.0))

    def _cautions(self, sheet: Sheet, cautions: Sequence[Caution]) -> None:
        for caution in cautions:
            self._bullet(sheet, caution.text, caution.why, caution.level)

    def _bullet(self, sheet: Sheet, text: str, why: str, level: Level) -> None:
        theme, sizes = sheet.theme, self._sizes
        strong, small = paper_font(theme, sizes.why + 1.0, 600), paper_font(theme, sizes.why)
        width = sheet.width - 24.0
        words, reason = Cell(text, strong), Cell(why, small, "muted")
        if level is Level.DANGER:
            words = Cell(tr("Stop: {what}").format(what=text), strong, "danger_text")
        text_high = text_height(words, width)
        high = text_high + (text_height(reason, width) + _WHY_GAP_PX if why else 0.0)
        sheet.need(high)
        at = QPointF(7.0, sheet.y + 9.0)
        if level is Level.DANGER:
            shapes.octagon(sheet.painter, at, 13.0, theme.color("danger"))
        elif level is Level.WARNING:
            shapes.triangle(sheet.painter, at, 12.0, theme.color("warning"))
        else:
            shapes.ring(sheet.painter, at, 2.6, theme.color("strong_line"), theme.color("surface"), 1.2)
        sheet.paint(words, QRectF(24.0, sheet.y, width, text_high))
        if why:
            sheet.paint(reason, QRectF(24.0, sheet.y + text_high + _WHY_GAP_PX, width, high - text_high))
        sheet.space(high + sizes.gap * 0.6)

    def _heading(self, sheet: Sheet, text: str) -> None:
        sheet.need(60)
        sheet.words(text, paper_font(sheet.theme, 15, 700))
        sheet.space(2)

    def _notes(self, sheet: Sheet) -> None:
        """Ruled lines down to the foot of the page."""
        sheet.need(24.0 + _LEAST_RULES * _RULE_PX)
        self._heading(sheet, tr("Notes"))
        sheet.painter.setPen(QPen(sheet.theme.color("line"), 1.0))
        for _ in range(min(_MOST_RULES, int(sheet.room_left / _RULE_PX))):
            sheet.space(_RULE_PX)
            sheet.painter.drawLine(QLineF(0.0, sheet.y, sheet.width, sheet.y))


def _set_out(plan: Plan) -> tuple[BigAmount, ...]:
    """What is to be weighed and counted, the wax for topping up before the wicks and jars."""
    amounts, top_up = big_amounts(plan), plan.wax.top_up_g
    name = tr("Top-up")
    if top_up is None or any(each.name == name for each in amounts):
        return amounts
    share = tr("extra, with the same share of oil") if plan.oil is not None else tr("extra wax, kept warm")
    return (*amounts[:-2], BigAmount(name, top_up.shown, share), *amounts[-2:])


def _written_heads() -> tuple[str, str, str]:
    return tr("Date"), tr("Batch"), tr("Made by")


def _advance(font: QFont, text: str) -> float:
    return QFontMetricsF(font).horizontalAdvance(text)
