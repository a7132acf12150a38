"""Words and pictures of a label set one below another, between edges that may depend on the height.

All in millimetres from the label's upper left corner.
"""

import math
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from PySide6.QtGui import QFont, QFontMetricsF

from candlebench.core.labels import Advice

# From line to line, for letters of 1 mm.
LINE = 1.18
_MEASURED_PX = 200
_DOWN_MM = 0.2
_HAIR_MM = 1e-6
# A number stays with its unit.
_UNIT, _KEPT = re.compile(r"(\d) (?=(?:mm|cm|g|kg|h|mL)\b)"), "\\1\N{NO-BREAK SPACE}"


@dataclass(frozen=True, slots=True)
class Words:
    """One line of words: left end and baseline, the height of its letters."""

    text: str
    x_mm: float
    y_mm: float
    letter_mm: float
    bold: bool


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing in a square."""

    topic: str
    x_mm: float
    y_mm: float
    side_mm: float


class LetterWidths:
    """How wide words are, plain and bold, for each millimetre of letter height.

    Parameters
    ----------
    font : callable
        Gives the label's font for a size in px and a weight of 400 or 700.
    """

    def __init__(self, font: Callable[[float, int], QFont]) -> None:
        self._metrics = {
            bold: QFontMetricsF(font(_MEASURED_PX, 700 if bold else 400)) for bold in (False, True)
        }
        self._known: dict[tuple[str, bool], float] = {}
        plain = self._metrics[False]
        self.x_height = plain.xHeight() / _MEASURED_PX
        self.ascent = plain.ascent() / _MEASURED_PX
        self.descent = plain.descent() / _MEASURED_PX

    def of(self, text: str, bold: bool) -> float:
        """Width of a text with letters of 1 mm."""
        if (text, bold) not in self._known:
            self._known[text, bold] = self._metrics[bold].horizontalAdvance(text) / _MEASURED_PX
        return self._known[text, bold]


@dataclass(slots=True)
class Flow:
    """Words and pictures set one below another between two edges that depend on the height."""

    widths: LetterWidths
    letter_mm: float
    edges: Callable[[float, float], tuple[float, float]]
    bottom_mm: float
    y_mm: float
    centred: bool
    words: list[Words] = field(default_factory=list)
    pictures: list[Picture] = field(default_factory=list)
    too_long: list[str] = field(default_factory=list)

    def paragraph(self, texts: Sequence[str], scale: float = 1.0, bold: bool = False) -> None:
        """Texts run on one behind the other, wrapped."""
        waiting = [(word, text) for text in texts for word in _UNIT.sub(_KEPT, text).split(" ") if word]
        letter = self.letter_mm * scale
        high = letter * LINE
        while waiting:
            if self.y_mm + high > self.bottom_mm + _HAIR_MM:
                self._leave(text for _, text in waiting)
                return
            left, right = self.edges(self.y_mm, high)
            taken = self._fitting([word for word, _ in waiting], right - left, letter, bold)
            if not taken:
                if not self._wider_below(high):
                    self._leave(text for _, text in waiting)
                    return
                self.y_mm += _DOWN_MM
                continue
            line = " ".join(word for word, _ in waiting[:taken])
            del waiting[:taken]
            width = self.widths.of(line, bold) * letter
            x = 0.5 * (left + right - width) if self.centred else left
            self.words.append(Words(line, x, self.y_mm + self._baseline(letter), letter, bold))
            self.y_mm += high

    def row_of_pictures(self, topics: Sequence[str], side_mm: float, name: str) -> None:
        """Pictures side by side, in as many rows as it takes."""
        waiting, gap = list(topics), 0.22 * side_mm
        while waiting:
            left, right = self.edges(self.y_mm, side_mm)
            across = min(len(waiting), math.floor((right - left + gap + _HAIR_MM) / (side_mm + gap)))
            if across < 1 or self.y_mm + side_mm > self.bottom_mm + _HAIR_MM:
                if across < 1 and self._wider_below(side_mm):
                    self.y_mm += _DOWN_MM
                    continue
                self._leave([name])
                return
            # Evenly over the rows that are left: 4 and 3 rather than 6 and 1.
            across = math.ceil(len(waiting) / math.ceil(len(waiting) / across))
            width = across * (side_mm + gap) - gap
            x = 0.5 * (left + right - width) if self.centred else left
            for place, topic in enumerate(waiting[:across]):
                self.pictures.append(Picture(topic, x + place * (side_mm + gap), self.y_mm, side_mm))
            del waiting[:across]
            self.y_mm += side_mm + (gap if waiting else 0.0)

    def grid(self, advices: Sequence[Advice], columns: int, side_mm: float) -> None:
        """Each picture with its words to the right, in columns; no pictures with `side_mm` 0."""
        left, right = self.edges(self.y_mm, side_mm)
        gap = 0.7 * self.letter_mm
        wide = (right - left - (columns - 1) * 1.6 * gap) / columns
        indent = side_mm + gap if side_mm else 0.0
        for first in range(0, len(advices), columns):
            row = [
                (advice, left + place * (wide + 1.6 * gap))
                for place, advice in enumerate(advices[first : first + columns])
            ]
            heights = [self._beside(a, x + indent, wide - indent, 0.0).y_mm for a, x in row]
            tallest = max(side_mm, *heights)
            if self.y_mm + tallest > self.bottom_mm + _HAIR_MM:
                self._leave(advice.text for advice, _ in row)
                self.y_mm += tallest
                continue
            middle = self.y_mm + 0.5 * tallest
            for (advice, x), high in zip(row, heights, strict=True):
                inner = self._beside(advice, x + indent, wide - indent, middle - 0.5 * high)
                self.words += inner.words
                self._leave(inner.too_long)
                # Without room for its words a picture would stick out, and say nothing.
                if side_mm and not inner.too_long:
                    self.pictures.append(Picture(advice.topic, x, middle - 0.5 * side_mm, side_mm))
            self.y_mm += tallest + 0.35 * self.letter_mm

    def _beside(self, advice: Advice, x_mm: float, wide_mm: float, y_mm: float) -> "Flow":
        """The words of one cell, from `y_mm` on."""
        edges = x_mm, x_mm + wide_mm
        inner = Flow(self.widths, self.letter_mm, lambda y, high: edges, math.inf, y_mm, False)
        inner.paragraph([advice.text])
        return inner

    def gap(self, height_mm: float) -> None:
        """Leave some room, unless nothing is above it."""
        if self.words or self.pictures:
            self.y_mm += height_mm

    def _wider_below(self, high_mm: float) -> bool:
        """A circle is wider further down; elsewhere what is too wide here will never fit."""
        left, right = self.edges(self.y_mm, high_mm)
        lower_left, lower_right = self.edges(self.y_mm + _DOWN_MM, high_mm)
        return lower_right - lower_left > right - left

    def _fitting(self, words: Sequence[str], room_mm: float, letter: float, bold: bool) -> int:
        taken = 0
        while (
            taken < len(words)
            and self.widths.of(" ".join(words[: taken + 1]), bold) * letter <= room_mm + _HAIR_MM
        ):
            taken += 1
        return taken

    def _leave(self, texts: Iterable[str]) -> None:
        self.too_long += [text for text in dict.fromkeys(texts) if text not in self.too_long]

    def _baseline(self, letter: float) -> float:
        """From a line's top: the letters stand in its middle."""
        ascent, descent = self.widths.ascent, self.widths.descent
        return letter * (0.5 * (LINE - ascent - descent) + ascent)
