"""A line of text taken apart into groups: a label and the numbers that belong to it."""

import re
from dataclasses import dataclass, field
from enum import Enum

from candlebench.thermometers.text_units import unit_after


@dataclass(frozen=True, slots=True)
class Number:
    """One number of a line.

    Attributes
    ----------
    raw : str
        As sent.
    number : float or None
        Its value; None for a word of fault in a number's place (nan, OL, ----).
    step : float
        Worth of its last digit: 0.01 for 23.75, 1 for 23.
    whole : bool
        Sent without a decimal point.
    unit : str
        'C', 'F', 'K', '' or 'other'.
    comma : bool
        Its decimal sign is a comma, which could also part two whole numbers.
    """

    raw: str
    number: float | None
    step: float
    whole: bool
    unit: str
    comma: bool = False


@dataclass(slots=True)
class Group:
    """A label and what follows it. `tied` when a colon or an equals sign ties the two."""

    label: str
    tied: bool
    numbers: list[Number] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Taken:
    """A line taken apart.

    Attributes
    ----------
    groups : tuple of Group
    address : str
        A one-wire sensor's 64-bit address found in the line, or ''.
    broken : bool
        Something in it looks like a number and cannot be one (1.2.3, 20-25, 1,023.75).
    """

    groups: tuple[Group, ...]
    address: str
    broken: bool


_NUMBER = re.compile(
    r"(?<![\w.])(?P<number>[+-]?(?:\d+(?:[.,]\d+|,[+-]\d+)*|\.\d+)(?:[eE][+-]?\d+)?)"
    r"|(?<!\w)(?P<fault>[+-]?(?:nan|inf|infinity|ovf|ol|o\.l\.?|null|none|n/a|err)(?!\w)|\?{2,}|(?<!-)-{2,5}(?![-\w]))",
    re.IGNORECASE,
)
_ADDRESS = re.compile(
    r"\b(?:[0-9A-Fa-f]{16}|[0-9a-f]{2}-[0-9a-f]{12}|[0-9A-Fa-f]{2}(?:[:][0-9A-Fa-f]{2}){7})\b"
)
_STAMPS = re.compile(
    r"\A\s*(?:\[[^\[\]]*[^\[\]\d.,\s+-][^\[\]]*\]\s*)+:?"
    r"|(?<![\w.])\d{4}-\d{2}-\d{2}(?:[T ]+\d{2}:\d{2}(?::\d{2}(?:\.\d+)?)?(?:Z|[+-]\d{2}:?\d{2})?)?(?![\w.])"
    r"|(?<![\w.,])\d{1,4}(?P<part>[-/.])\d{1,2}(?P=part)\d{1,4}(?![\w.]|[-/,]\d)"
    r"|(?<![\w.,:])\d{1,3}:\d{2}:\d{2}(?:\.\d+|,\d{3}(?![\d.]))?(?:\s*[AaPp]\.?[Mm]\b)?(?![\w.:])"
    r"|(?<![\w.,:])(?:[01]?\d|2[0-3]):[0-5]\d(?![\w.:,])(?:\s*[AaPp]\.?[Mm]\b)?"
    r"|(?<![\w.,:])\d{1,3}:\d{2}\.\d+(?![\w.:]|\s*°?[CFK]\b)"
    r"|(?<!\w)(?:[0-9A-Fa-f]{2}:){5}[0-9A-Fa-f]{2}(?!\w)"
)
_TIE = re.compile(r"(?:[:=>]|\bis)[\s\"'(]*\Z")
_LABEL_GOES_ON = re.compile(r"[\"'\])]*\s*(?:[:=](?!\s*\Z)|\))")
_ASIDE_SIGNS = "/@±~^("
_ZERO_LED = re.compile(r"[+-]?0\d+\.")
_THOUSANDS = re.compile(r"[+-]?\d{1,3}(?:,\d{3})+\.\d+\Z")


def take_apart(text: str) -> Taken:
    """Take a line apart. Dates, times of day, log prefixes and addresses of hardware are left out."""
    found = _ADDRESS.search(text)
    address = found[0] if found else ""
    if found:
        text = f"{text[: found.start()]}|{text[found.end() :]}"
    text = _STAMPS.sub(" ", text)
    groups: list[Group] = []
    broken = False
    label = ""
    done = 0
    for match in _NUMBER.finditer(text):
        between = text[done : match.start()]
        unit, end = unit_after(text, match.end())
        role = _role(text, match, between, unit, end)
        if role is _Role.LABEL:
            label += text[done : match.end()]
            done = match.end()
            continue
        done = end
        numbers = _numbers(match[0], unit, match["fault"] is not None) if role is _Role.VALUE else []
        if role is _Role.BROKEN or numbers is None:
            broken = True
            continue
        if not numbers:
            continue
        label += between
        tied = bool(_TIE.search(label))
        if tied or label.strip(" \t,;|\"'()[]{}°*") or not groups:
            groups.append(Group(_last_piece(label), tied))
        groups[-1].numbers += numbers
        label = ""
    return Taken(tuple(_without_ordinals(groups)), address, broken)


class _Role(Enum):
    """What a number in a line is there for."""

    VALUE = "value"
    LABEL = "part of a name"
    ASIDE = "a target, a duty cycle, an uncertainty"
    BROKEN = "not to be understood"


def _role(text: str, match: re.Match[str], between: str, unit: str, end: int) -> _Role:
    sign = between.rstrip()[-1:]
    raw = match[0]
    if unit == "word" or sign == "#":
        return _Role.LABEL
    if raw.isdigit() and len(raw) <= 3 and unit == "" and _LABEL_GOES_ON.match(text, end):
        return _Role.LABEL
    if between.rstrip().endswith(("+/-", "+-")):
        return _Role.ASIDE
    if sign and sign in _ASIDE_SIGNS and unit in ("", "other"):
        return _Role.ASIDE
    # A range, a power or the dash of "melt - 63.5", which may also be a minus.
    if (sign and sign in "-<$\\") or text[end : end + 1] in ("-", "^", "\\"):
        return _Role.BROKEN
    return _Role.VALUE


def _numbers(raw: str, unit: str, is_fault: bool) -> list[Number] | None:
    """The numbers of one run of digits, points and commas; None when it cannot be told what it is."""
    if is_fault:
        return [Number(raw, None, 1.0, False, unit)]
    mantissa = re.split(r"[eE]", raw)[0]
    if "," not in mantissa:
        return [_number(raw, unit)] if mantissa.count(".") <= 1 else None
    parts = raw.split(",")
    if any(part.count(".") > 1 or _ZERO_LED.match(part) for part in parts) or _THOUSANDS.match(mantissa):
        return None
    if len(parts) == 2 and parts[1].isdigit() and "." not in parts[0]:
        return [_number(raw.replace(",", "."), unit, raw, comma=True)]
    return [_number(part, unit if i == len(parts) - 1 else "") for i, part in enumerate(parts)]


def _number(text: str, unit: str, raw: str = "", *, comma: bool = False) -> Number:
    mantissa, _, exponent = text.lower().partition("e")
    decimals = len(mantissa.partition(".")[2])
    step = 10.0 ** (int(exponent or 0) - decimals) if len(exponent) < 4 else 1.0
    whole = "." not in mantissa and not exponent
    return Number(raw or text, float(text), step, whole, unit, comma)


def _last_piece(label: str) -> str:
    """The part of a label after the last separator that still has words; the others belong before."""
    pieces = [piece for piece in re.split(r"[,;|\t]", label) if re.search(r"\w|@|%", piece)]
    return pieces[-1].strip() if pieces else ""


def _without_ordinals(groups: list[Group]) -> list[Group]:
    """Join the 1 of "device 1 (index 0) is: 23.75" to the label where it stands."""
    if not any(group.tied for group in groups):
        return groups
    kept: list[Group] = []
    words = ""
    for group in groups:
        first = group.numbers[0]
        only_ordinals = all(one.whole and one.unit == "" and one.number is not None for one in group.numbers)
        if not group.tied and group.label and only_ordinals and len(first.raw) <= 2:
            words += f"{group.label} {' '.join(one.raw for one in group.numbers)} "
            continue
        kept.append(Group(f"{words}{group.label}".strip(), group.tied, group.numbers))
        words = ""
    return kept
