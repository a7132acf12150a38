"""What goes on a label: topics, texts, sizes, and how many find room on a sheet."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum

from candlebench.core.errors import FixableError
from candlebench.core.label_languages import LabelLanguage
from candlebench.core.materials.allergens import EUH208, H317, label_texts
from candlebench.core.plan.planning import Plan
from candlebench.core.plan.tables import Tables
from candlebench.words import tr

# B58, B62: the topics that EN 15494 (as SGS SafeGuards 170/19 quotes it) and ASTM F2058 (trade press) want. S
WANTED = ("attend", "fire", "children")
# B59: advice that EN 15494 leaves to the maker (European Candle Association, pictogram page). R. Burning time
# and wax left are common practice, no source (B25, B27). S
ADVICE = (
    "trim",
    "burn_time",
    "draught",
    "surface",
    "distance",
    "pool",
    "move",
    "snuff",
    "liquid",
    "stop",
)
TOPICS = WANTED + ADVICE
# What a label bears when nothing was chosen: ours, no source.
USUAL = (*WANTED, "trim", "burn_time", "draught")

# B29: common practice, no source (the European Candle Association says about 10). Editable on the label.
TRIM_MM = 6
# B27: 10 to 13 mm, common practice, no source.
LEFT_MM = 10
# B60: the maker states it; 5 and 10 are both in use. From memory, check before relying on it.
DISTANCE_CM = 10

SHEETS_MM = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
# What most printers cannot reach, with some to spare; below, room for the rule. Common practice, no source.
EDGE_MM, FOOT_MM = 10.0, 14.0
# Room for cut marks between labels.
GAP_MM = 4.0
SIZE_MM = (20.0, 180.0)
MOST_LABELS = 500


class Shape(Enum):
    """The outline of a label."""

    ROUND = "round"
    RECTANGLE = "rectangle"


@dataclass(frozen=True, slots=True)
class LabelSize:
    """Outline and size in millimetres; a round label is as wide as it is high."""

    shape: Shape
    width_mm: float
    height_mm: float

    def problem(self) -> str:
        """'' when such a label can be made, else one sentence with what to do."""
        low, high = SIZE_MM
        if all(low <= side <= high for side in (self.width_mm, self.height_mm)):
            return ""
        return tr("Choose a label from {low:.0f} to {high:.0f} mm wide and high.").format(low=low, high=high)


def round_label(diameter_mm: float) -> LabelSize:
    """A round label."""
    return LabelSize(Shape.ROUND, diameter_mm, diameter_mm)


def rectangle(width_mm: float, height_mm: float) -> LabelSize:
    """A rectangular label."""
    return LabelSize(Shape.RECTANGLE, width_mm, height_mm)


# A few to choose from: ours, no source.
SIZES = (
    round_label(40.0),
    round_label(50.0),
    round_label(60.0),
    rectangle(60.0, 40.0),
    rectangle(70.0, 50.0),
    rectangle(90.0, 60.0),
)


class Part(Enum):
    """What of it a label bears: jars often have one on the side and one below."""

    ALL = "all"
    NAME = "name"
    WARNINGS = "warnings"


@dataclass(frozen=True, slots=True)
class Advice:
    """One topic and its words."""

    topic: str
    text: str


@dataclass(frozen=True, slots=True)
class LabelContent:
    """All words of a label. Empty ones are left out.

    Attributes
    ----------
    name, net_mass : str
    heading : str
        Above the warnings.
    warnings : tuple of Advice
    statements : tuple of str
        What the oils' sensitisers lead to.
    lines : tuple of str
        Maker, batch, date.
    pictures : bool
        Whether a drawing stands with each warning.
    """

    name: str = ""
    net_mass: str = ""
    heading: str = ""
    warnings: tuple[Advice, ...] = ()
    statements: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()
    pictures: bool = True

    def part(self, part: Part) -> "LabelContent":
        """Only the name and what is in it, only the warnings, or all."""
        if part is Part.NAME:
            return replace(self, heading="", warnings=())
        if part is Part.WARNINGS:
            return LabelContent(heading=self.heading, warnings=self.warnings, pictures=self.pictures)
        return self


def warning_texts(language: LabelLanguage, tables: Tables) -> dict[str, str]:
    """Return the words of every topic, numbers filled in."""
    numbers = {
        "trim_mm": TRIM_MM,
        "left_mm": LEFT_MM,
        "distance_cm": DISTANCE_CM,
        "hours": f"{tables.wicks.longest_burn_h.value:g}",
    }
    return {topic: language.texts[topic].format(**numbers) for topic in TOPICS}


def statements(plan: Plan, language: LabelLanguage, tables: Tables) -> tuple[str, ...]:
    """Return what the oils of a plan lead to, in a language where its file has the words, else in English."""
    if plan.oil is None:
        return ()
    words = language.texts
    own = {"signal_word": "signal_word", "names": "contains", H317: "h317", EUH208: "euh208"}
    if not all(key in words for key in own.values()):
        return plan.oil.label_texts
    rules = replace(tables.allergens, texts={code: words[key] for code, key in own.items()})
    findings = tuple(
        replace(
            finding,
            compound=replace(
                finding.compound,
                shown_name=language.substances.get(finding.compound.name, finding.compound.shown_name),
            ),
        )
        for finding in plan.oil.findings
    )
    return label_texts(findings, rules)


def statements_line(texts: tuple[str, ...]) -> str:
    """'Warning: Contains Linalool. May cause ...': the statements in one line, the signal word first."""
    if len(texts) > 1 and not texts[0].endswith("."):
        return tr("{signal}: {rest}").format(signal=texts[0], rest=" ".join(texts[1:]))
    return " ".join(texts)


def content_of(plan: Plan, language: LabelLanguage, tables: Tables) -> LabelContent:
    """Return the label that a plan proposes: scent as its name, net mass rounded down, the usual topics."""
    texts = warning_texts(language, tables)
    return LabelContent(
        name=plan.scent or plan.wax.wax.shown_name,
        # Never more than there is.
        net_mass=language.texts["net_mass"].format(grams=math.floor(plan.wax.each_g.value)),
        heading=language.texts["heading"],
        warnings=tuple(Advice(topic, texts[topic]) for topic in USUAL),
        statements=tuple(filter(None, [statements_line(statements(plan, language, tables))])),
    )


def missing_topics(content: LabelContent) -> tuple[str, ...]:
    """Return the topics that the standards want and the content does not bear."""
    there = {warning.topic for warning in content.warnings if warning.text.strip()}
    return tuple(topic for topic in WANTED if topic not in there)


def places_mm(size: LabelSize, sheet: str) -> Sequence[tuple[float, float]]:
    """Return the upper left corners of all labels on one sheet, in mm from its own, row by row.

    The rows and columns stand in the middle of the sheet, `GAP_MM` apart.

    Parameters
    ----------
    size : LabelSize
    sheet : str
        'a4' or 'letter'.

    Raises
    ------
    FixableError
        No such label can be made. (The largest that can finds room on either sheet.)
    """
    if size.problem():
        raise FixableError(size.problem())
    wide, high = SHEETS_MM[sheet]
    room_x, room_y = wide - 2.0 * EDGE_MM, high - EDGE_MM - FOOT_MM
    columns = math.floor((room_x + GAP_MM) / (size.width_mm + GAP_MM))
    rows = math.floor((room_y + GAP_MM) / (size.height_mm + GAP_MM))
    x0 = EDGE_MM + 0.5 * (room_x - columns * (size.width_mm + GAP_MM) + GAP_MM)
    y0 = EDGE_MM + 0.5 * (room_y - rows * (size.height_mm + GAP_MM) + GAP_MM)
    return [
        (x0 + column * (size.width_mm + GAP_MM), y0 + row * (size.height_mm + GAP_MM))
        for row in range(rows)
        for column in range(columns)
    ]
