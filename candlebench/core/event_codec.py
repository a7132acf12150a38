"""Events as plain dictionaries that JSON can carry, and back.

The journal, a rescue file and a later broker all use this one form: a `type` word and the event's own fields
by name. A field that is not known is passed over and an optional field that is missing takes its default, so
that a file written by a later or an earlier version can still be read.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import MISSING, dataclass, fields, is_dataclass
from enum import Enum
from types import UnionType
from typing import Any, get_args, get_origin, get_type_hints

from candlebench.core.errors import BadDataError
from candlebench.core.events import (
    Action,
    Event,
    Gap,
    KeptOut,
    MeltBegan,
    ProbeTrouble,
    Reading,
    Refused,
    SetupChanged,
)
from candlebench.words import tr

_Convert = Callable[[object, str], Any]


@dataclass(frozen=True, slots=True)
class _Field:
    """How one field of a record is written and read."""

    name: str
    write: _Convert
    read: _Convert
    required: bool


def _bad(place: str, expected: str, value: object) -> BadDataError:
    text = tr("{place}: {expected} was expected, not {value}.")
    return BadDataError(text.format(place=place, expected=expected, value=repr(value)[:80]))


def _number(value: object, place: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise _bad(place, tr("a number"), value)
    try:
        number = float(value)
    except OverflowError:
        raise _bad(place, tr("a finite number"), value) from None
    if not math.isfinite(number):
        raise _bad(place, tr("a finite number"), value)
    return number


def _count(value: object, place: str) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise _bad(place, tr("a whole number"), value)
    return value


def _text(value: object, place: str) -> str:
    if not isinstance(value, str):
        raise _bad(place, tr("a text"), value)
    return value


def _truth(value: object, place: str) -> bool:
    if not isinstance(value, bool):
        raise _bad(place, tr("true or false"), value)
    return value


def _words_of(kind: type[Enum]) -> tuple[_Convert, _Convert]:
    """How one of a few words is written and read."""
    choices = ", ".join(str(each.value) for each in kind)

    def write(value: object, place: str) -> str:
        if not isinstance(value, kind):
            raise _bad(place, tr("one of {choices}").format(choices=choices), value)
        return str(value.value)

    def read(value: object, place: str) -> Enum:
        try:
            return kind(value)
        except ValueError:
            raise _bad(place, tr("one of {choices}").format(choices=choices), value) from None

    return write, read


def _or_none(convert: _Convert) -> _Convert:
    def convert_or_none(value: object, place: str) -> Any:
        return None if value is None else convert(value, place)

    return convert_or_none


def _converters(kind: Any) -> tuple[_Convert, _Convert]:
    """How a field of the annotated `kind` is written and read."""
    if get_origin(kind) is UnionType:
        (inner,) = [part for part in get_args(kind) if part is not type(None)]
        write, read = _converters(inner)
        return _or_none(write), _or_none(read)
    if is_dataclass(kind) and isinstance(kind, type):
        record = _Record(kind)
        return record.write, record.read
    if isinstance(kind, type) and issubclass(kind, Enum):
        return _words_of(kind)
    plain: dict[Any, _Convert] = {float: _number, int: _count, str: _text, bool: _truth}
    return plain[kind], plain[kind]


class _Record:
    """Reads and writes one dataclass; which fields it has is looked up once."""

    def __init__(self, kind: type) -> None:
        hints = get_type_hints(kind)
        self._kind = kind
        self._fields = tuple(
            _Field(field.name, *_converters(hints[field.name]), required=field.default is MISSING)
            for field in fields(kind)
        )

    def write(self, record: object, place: str) -> dict[str, object]:
        if not isinstance(record, self._kind):
            raise _bad(place, self._kind.__name__, record)
        return {f.name: f.write(getattr(record, f.name), f"{place}.{f.name}") for f in self._fields}

    def read(self, data: object, place: str) -> Any:
        if not isinstance(data, Mapping):
            raise _bad(place, tr("a table of fields"), data)
        values: dict[str, object] = {}
        for field in self._fields:
            if field.name in data:
                values[field.name] = field.read(data[field.name], f"{place}.{field.name}")
            elif field.required:
                raise BadDataError(tr("{place}: {name} is missing.").format(place=place, name=field.name))
        return self._kind(**values)


# The words are written to disk: a word is never changed and never used again for something else.
_WORDS: dict[type, str] = {
    MeltBegan: "melt began",
    SetupChanged: "setup changed",
    Reading: "reading",
    Refused: "refused",
    KeptOut: "kept out",
    ProbeTrouble: "probe trouble",
    Action: "action",
    Gap: "gap",
}
_RECORDS = {word: _Record(kind) for kind, word in _WORDS.items()}


def type_word(kind: type) -> str:
    """Return the word that stands for a type of event: 'reading', 'action', 'melt began' ..."""
    return _WORDS[kind]


def encode(event: Event) -> dict[str, object]:
    """Return the event as a dictionary of plain values that JSON can carry.

    Parameters
    ----------
    event : Event
        Any event; every number in it must be finite.

    Returns
    -------
    dict
        `type` (a word) and the event's fields by name; records within records are nested dictionaries.

    Raises
    ------
    BadDataError
        A value has the wrong type or is not finite; the text names the field.
    """
    word = type_word(type(event))
    return {"type": word, **_RECORDS[word].write(event, word)}


def decode(data: Mapping[str, object]) -> Event:
    """Return the event that `encode` made this dictionary from.

    Parameters
    ----------
    data : mapping
        `type` and the fields by name. Unknown fields are passed over, missing optional ones take their
        defaults.

    Returns
    -------
    Event

    Raises
    ------
    BadDataError
        The type is unknown, a field is missing, or a value is of the wrong type or not finite.
    """
    word = data.get("type")
    record = _RECORDS.get(word) if isinstance(word, str) else None
    if record is None:
        raise BadDataError(tr("An event of the unknown type {word}.").format(word=repr(word)[:80]))
    event: Event = record.read(data, str(word))
    return event
