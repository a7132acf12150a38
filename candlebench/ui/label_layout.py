"""Where the words and pictures of a label stand: as large as fits, never smaller than can be read."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from candlebench.core.labels import LabelContent, LabelSize, Shape
from candlebench.ui.label_flow import LINE, Flow, LetterWidths, Picture, Words

# 1.2 mm is the least x-height of Reg. (EU) 1169/2011 Annex IV for food, and of ECHA's guidance for labels
# under Reg. (EC) 1272/2008; from memory, check before relying on it.
LEAST_X_HEIGHT_MM = 1.2
# What follows is ours, no source: letters, and the room between the cut and the words.
MOST_LETTER_MM = 5.0
INSET_MM = 2.5
_STEP_MM = 0.05
_NAME = 1.4
_GAP = 0.45
_PICTURE_LINES, _LEAST_PICTURE_MM, _MOST_PICTURE_MM = 2.1, 5.0, 9.0
_MOST_COLUMNS = 3
_MOST_SPREAD_MM = 2.0
_STAYS_WHOLE = 18
_NO_BREAK = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True, slots=True)
class LaidOut:
    """A label ready to be painted.

    Attributes
    ----------
    words : tuple of Words
    pictures : tuple of Picture
    letter_mm : float
        Size of the plain letters.
    too_long : tuple of str
        Texts that found no room even in the smallest letters; empty when all is there.
    """

    words: tuple[Words, ...]
    pictures: tuple[Picture, ...]
    letter_mm: float
    too_long: tuple[str, ...]


def lay_out(content: LabelContent, size: LabelSize, widths: LetterWidths) -> LaidOut:
    """Return where everything stands, in the largest letters with which all finds room.

    Without any such, the least letters are taken and `too_long` names the texts that are not there.
    """
    lay = _lay_round if size.shape is Shape.ROUND else _lay_rectangle
    least = LEAST_X_HEIGHT_MM / widths.x_height
    steps = max(0, math.floor((MOST_LETTER_MM - least) / _STEP_MM))
    # Halving: what fits in large letters fits in smaller ones.
    low, high = 0, steps + 1
    best = lay(content, size, widths, least)
    if best.too_long:
        return best
    while high - low > 1:
        middle = (low + high) // 2
        tried = lay(content, size, widths, least + middle * _STEP_MM)
        if tried.too_long:
            high = middle
        else:
            low, best = middle, tried
    return best


def _lay_round(content: LabelContent, size: LabelSize, widths: LetterWidths, letter_mm: float) -> LaidOut:
    """One below another, centred, begun so high that as much is left free above as below."""
    radius, inner = 0.5 * size.width_mm, 0.5 * size.width_mm - INSET_MM

    def edges(y_mm: float, high_mm: float) -> tuple[float, float]:
        off = max(abs(y_mm - radius), abs(y_mm + high_mm - radius))
        half = math.sqrt(max(0.0, inner * inner - off * off))
        return radius - half, radius + half

    best: tuple[tuple[float, float], Flow] | None = None
    for step in range(round(2.0 * inner)):
        begin = INSET_MM + 0.5 * step
        flow = Flow(widths, letter_mm, edges, radius + inner, begin, True)
        _fill_round(flow, content)
        tops = [each.y_mm - each.letter_mm for each in flow.words] + [each.y_mm for each in flow.pictures]
        above = min(tops, default=begin)
        rank = float(len(flow.too_long)), abs(above + flow.y_mm - 2.0 * radius)
        if best is None or rank < best[0]:
            best = rank, flow
    assert best is not None, "a label is some millimetres wide"
    return _laid_out(best[1])


def _fill_round(flow: Flow, content: LabelContent) -> None:
    letter, texts = flow.letter_mm, [advice.text for advice in content.warnings if advice.text.strip()]
    if content.name:
        flow.paragraph([content.name], _NAME, bold=True)
    flow.paragraph([content.net_mass])
    if content.heading and texts:
        flow.gap(_GAP * letter)
        flow.paragraph([content.heading], bold=True)
    if texts:
        flow.gap(_GAP * letter)
        topics = [advice.topic for advice in content.warnings if advice.text.strip()]
        flow.row_of_pictures(
            ["warning", *(topics if content.pictures else ())], _picture_mm(letter), texts[0]
        )
    flow.gap(_GAP * letter)
    flow.paragraph(texts)
    for others in (content.statements, content.lines):
        flow.gap(_GAP * letter)
        flow.paragraph(_one_behind_the_other(others))


def _lay_rectangle(content: LabelContent, size: LabelSize, widths: LetterWidths, letter_mm: float) -> LaidOut:
    """The name, then the warnings in as many columns as take the least height, then the small print."""
    tries = [
        _rectangle_flow(content, size, widths, letter_mm, columns, 0.0)
        for columns in range(1, _MOST_COLUMNS + 1)
    ]
    columns, flow = min(enumerate(tries, start=1), key=lambda each: (len(each[1].too_long), each[1].y_mm))
    free = size.height_mm - INSET_MM - flow.y_mm
    if flow.too_long or free <= 0.0:
        return _laid_out(flow)
    spread = min(_MOST_SPREAD_MM, free / 4.0)
    laid = _laid_out(_rectangle_flow(content, size, widths, letter_mm, columns, spread))
    return laid if not laid.too_long else _laid_out(flow)


def _rectangle_flow(
    content: LabelContent,
    size: LabelSize,
    widths: LetterWidths,
    letter_mm: float,
    columns: int,
    spread_mm: float,
) -> Flow:
    left, right = INSET_MM, size.width_mm - INSET_MM
    bottom = size.height_mm - INSET_MM
    flow = Flow(widths, letter_mm, lambda y, high: (left, right), bottom, INSET_MM, False)
    advices = [advice for advice in content.warnings if advice.text.strip()]
    gap = _GAP * letter_mm + spread_mm
    _name_and_mass(flow, content, left, right)
    if advices:
        flow.gap(gap)
        _heading(flow, content, left, right)
        flow.grid(advices, columns, _picture_mm(letter_mm) if content.pictures else 0.0)
    for others in (content.statements, content.lines):
        if any(text.strip() for text in others):
            flow.gap(gap)
            flow.paragraph(_one_behind_the_other(others))
    return flow


def _name_and_mass(flow: Flow, content: LabelContent, left: float, right: float) -> None:
    """The net mass at the end of the name's line when there is room, else below it."""
    letter, mass = flow.letter_mm, content.net_mass.strip()
    flow.paragraph([content.name], _NAME, bold=True)
    wide = flow.widths.of(mass, False) * letter
    if flow.words and mass and not flow.too_long:
        last = flow.words[-1]
        if last.x_mm + flow.widths.of(last.text, True) * last.letter_mm + 2.0 * letter + wide <= right:
            flow.words.append(Words(mass, right - wide, last.y_mm, letter, False))
            return
    flow.paragraph([mass])


def _heading(flow: Flow, content: LabelContent, left: float, right: float) -> None:
    """The word over the warnings, a triangle before it."""
    if not content.heading.strip():
        return
    before, edges = len(flow.words), flow.edges
    side = 1.1 * flow.letter_mm
    begin = left + side + 0.5 * flow.letter_mm
    flow.edges = lambda y, high: (begin, right)
    flow.paragraph([content.heading], bold=True)
    flow.edges = edges
    if len(flow.words) > before:
        top = flow.words[before].y_mm - 0.93 * flow.letter_mm
        flow.pictures.append(Picture("warning", left, top, side))
    flow.y_mm += 0.25 * flow.letter_mm


def _picture_mm(letter_mm: float) -> float:
    return min(_MOST_PICTURE_MM, max(_LEAST_PICTURE_MM, _PICTURE_LINES * LINE * letter_mm))


def _one_behind_the_other(texts: Sequence[str]) -> list[str]:
    """Short texts stay whole; those without a full stop get a dot between them."""
    there = [text.strip() for text in texts if text.strip()]
    kept = [text.replace(" ", _NO_BREAK) if len(text) <= _STAYS_WHOLE else text for text in there]
    return [
        text if text.endswith((".", "!", "?")) or place == len(there) - 1 else f"{text}{_NO_BREAK}·"
        for place, text in enumerate(kept)
    ]


def _laid_out(flow: Flow) -> LaidOut:
    too_long = tuple(text.removesuffix(f"{_NO_BREAK}·").replace(_NO_BREAK, " ") for text in flow.too_long)
    return LaidOut(tuple(flow.words), tuple(flow.pictures), flow.letter_mm, too_long)
