"""What the words beside a number say about it: a temperature, of what, or something else altogether."""

import re
from dataclasses import dataclass
from enum import Enum

from candlebench.thermometers.label_vocabulary import (
    NEUTRAL,
    OTHER,
    PLACE,
    PREPOSITIONS,
    SECONDARY,
    TEMPERATURE,
)
from candlebench.thermometers.text_units import temperature_unit


class Kind(Enum):
    """What a label stands for."""

    NONE = "no label"
    TEMPERATURE = "temperature"
    UNIT = "unit only"
    PLACE = "a place that is warm"
    NUMBER = "a channel's number"
    OTHER = "another quantity"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Label:
    """A label understood.

    Attributes
    ----------
    kind : Kind
    channel : str
        The name without the words for temperature and unit; empty when nothing else is left.
    unit : str
        'C', 'F', 'K' or ''.
    """

    kind: Kind
    channel: str
    unit: str


# Marks in a label that tell of a duty cycle, a share or a rate.
_OTHER_MARKS = re.compile(r"[@%]|/\s*(?:min|s|sec|h)\b")
_CHIP = re.compile(r"[A-Za-z]{2,5}\d{2,}\w*\Z")
_NUMBERED = re.compile(r"(?:T|TC|CH|Temp|TEMP|temp|Ch|Tc|tc)_?\d{1,2}\Z")
_WORD = re.compile(r"[^\W\d_]+\d+\w*|[^\W\d_]+|\d+")
_CAMEL = re.compile(r"(?<=[^\W\d_A-Z])(?=[A-Z])")
_UNIT_IN_LABEL = re.compile(
    r"(?:[(\[]\s*|[°º*]\s*|\bdeg(?:rees?)?[ _]?|(?<=[\s_])|(?<=[Tt]emp)|(?<=TEMP)|(?<=emperature)|\A)"
    r"(?P<unit>[CFK]|(?<=[_°])[cfk]|celsius|fahrenheit|kelvin|Celsius|Fahrenheit|Kelvin)\s*[)\]]?[\s.]*\Z"
)


def understand(text: str, *, as_name: bool = False, loose: bool = False) -> Label:
    """Return what a label means.

    Parameters
    ----------
    text : str
        The words before a number, or the key of a JSON member.
    as_name : bool
        The label is one name made by a programmer (`temp_kotol`), not a phrase: a name that begins with
        the word for temperature goes on with what it is of.
    loose : bool
        Nothing ties the words to the number (no colon, no equals sign, no unit): every word must be known.
    """
    if _OTHER_MARKS.search(text):
        return Label(Kind.OTHER, "", "")
    text = text.rstrip(" \t\"'=:>")
    found = _UNIT_IN_LABEL.search(text)
    unit = temperature_unit(found["unit"]) if found else ""
    rest = (text[: found.start()] if found else text).strip(" \t\"'()[]{}<>*°-–—_.,;:=|")
    words = _words(rest)
    lower = [word.lower() for word in words]
    if any(word in OTHER for word in lower):
        return Label(Kind.OTHER, _name(words), unit)
    if not words:
        return Label(Kind.UNIT if unit else Kind.NONE, "", unit)
    kind = _kind(words, lower, as_name or not re.search(r"\s", rest), loose)
    if kind is Kind.UNKNOWN and any(_is_temperature(word) for word in words):
        return Label(kind, " ".join(words), unit)
    name = _name(words)
    if kind is Kind.UNKNOWN and not name:
        name = " ".join(words)
    return Label(kind, name, unit)


def _words(text: str) -> list[str]:
    parts = _CAMEL.sub(" ", text)
    return [word for word in _WORD.findall(parts.replace("_", " ")) if not _CHIP.match(word)]


def _is_temperature(word: str) -> bool:
    return word == "T" or bool(TEMPERATURE.match(word) or _NUMBERED.match(word))


def _kind(words: list[str], lower: list[str], as_name: bool, loose: bool) -> Kind:
    temps = [i for i, word in enumerate(words) if _is_temperature(word)]
    known = [
        word.isdigit() or word in NEUTRAL or word in PLACE or word in SECONDARY or i in temps
        for i, word in enumerate(lower)
    ]
    if temps:
        last = max(i for i, word in enumerate(words) if not word.isdigit())
        leads_on = any(word in PREPOSITIONS for word in lower[temps[0] + 1 :])
        if all(known) or (not loose and (last in temps or leads_on or (as_name and temps[0] == 0))):
            return Kind.TEMPERATURE
        return Kind.UNKNOWN
    if all(word.isdigit() for word in words):
        return Kind.NUMBER if len(words) == 1 and len(words[0]) <= 2 else Kind.UNKNOWN
    if all(known) and any(word in PLACE or word in SECONDARY for word in lower):
        return Kind.PLACE
    return Kind.UNKNOWN


def _name(words: list[str]) -> str:
    kept = [
        word
        for word in words
        if not (TEMPERATURE.match(word) or word == "T") and word.lower() not in NEUTRAL - {"tc"}
    ]
    return " ".join(kept)


def channel_key(name: str) -> str:
    """Return what two spellings of a channel's name have in common."""
    return " ".join(re.split(r"[\W_]+", name.casefold())).strip()


def is_secondary(channel: str) -> bool:
    """Whether a channel's name says that it is a room, the weather or the board rather than the melt."""
    return any(word.lower() in SECONDARY for word in _words(channel))
