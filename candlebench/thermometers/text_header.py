"""The heading of a table of numbers, such as "Time (s), Temperature (C)": it names the columns below."""

from dataclasses import dataclass

from candlebench.thermometers.label_words import Kind, Label, understand
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.parsed_line import Why
from candlebench.thermometers.text_readings import Found, Refusal, merge_units, read_one
from candlebench.thermometers.text_tokens import Number, take_apart

_KNOWN = (Kind.TEMPERATURE, Kind.OTHER, Kind.PLACE, Kind.UNIT)
_LONGEST_WORDS = 4


@dataclass(frozen=True, slots=True)
class Header:
    """The columns of a table and the sign that parts them."""

    labels: tuple[Label, ...]
    separator: str


def as_header(text: str) -> Header | None:
    """Return the columns when a line is a heading: only known words, and a temperature among them."""
    separator = next((sign for sign in "\t;|," if sign in text), "")
    if not separator or any(sign in text for sign in ":="):
        return None
    fields = [field.strip() for field in text.split(separator)]
    if not fields[-1]:
        fields.pop()
    if len(fields) < 2 or any(not field or len(field.split()) > _LONGEST_WORDS for field in fields):
        return None
    labels = tuple(understand(field, as_name=True) for field in fields)
    if all(label.kind in _KNOWN for label in labels) and any(
        label.kind is Kind.TEMPERATURE for label in labels
    ):
        return Header(labels, separator)
    return None


def read_row(text: str, header: Header, settings: LineSettings) -> tuple[list[Found], list[Refusal]] | None:
    """Return the temperatures of a row below a heading; None when the line is no such row."""
    fields = [field.strip() for field in text.split(header.separator)]
    if len(fields) == len(header.labels) + 1 and not fields[-1]:
        fields.pop()
    if len(fields) != len(header.labels):
        return None
    found: list[Found] = []
    refused: list[Refusal] = []
    for field, label in zip(fields, header.labels, strict=True):
        taken = take_apart(field)
        numbers = [one for group in taken.groups for one in group.numbers]
        if taken.broken or any(group.label for group in taken.groups) or len(numbers) > 1:
            return None
        if not numbers:
            if any(letter.isalpha() for letter in field):
                return None
            numbers = [Number("", None, 1.0, False, "")]
        outcome = read_one(label, numbers, settings)
        if isinstance(outcome, Refusal):
            refused.append(outcome)
        else:
            found += outcome
    merged = merge_units(found)
    if isinstance(merged, Refusal):
        return [], [Refusal(Why.UNDECIDED)]
    return merged, refused
