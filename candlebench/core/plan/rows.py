"""Requests and cupboards as plain dictionaries that JSON and TOML can carry, and back.

A field that is None is left out, a field that is not known is passed over, and a missing field takes its
default, so that a file of a later or an earlier version can be read. An oil is kept as the four values that
describe it.
"""

import math
from collections.abc import Callable
from dataclasses import MISSING, fields, is_dataclass
from enum import Enum
from types import UnionType
from typing import Any, TypeVar, get_args, get_origin, get_type_hints

from candlebench.core.errors import BadDataError
from candlebench.core.materials.figure import Figure
from candlebench.core.materials.oil import EssentialOil, described_oil
from candlebench.words import tr

Kind = TypeVar("Kind")


def to_row(thing: Any) -> dict[str, Any]:
    """Return a `PlanRequest`, a `Cupboard` or a part of one as a plain dictionary.

    Of an oil the figures typed from its data sheet are kept, the table's are not: a corrected table counts
    for old plans too.
    """
    row = _plain(thing)
    if not isinstance(row, dict):
        raise TypeError(f"{type(thing).__name__} is no record")
    return row


def from_row(kind: type[Kind], row: object, place: str = "") -> Kind:
    """Return a record of that kind from its plain dictionary.

    Parameters
    ----------
    kind : type
        `PlanRequest`, `Cupboard`, `Leftover`, `WaxLot`, ...
    row : object
        What `to_row` gave, as JSON or TOML read it back.
    place : str
        Where it stands, for the error's text.

    Raises
    ------
    BadDataError
        It is no such record; the text names the field.
    FixableError
        It names an oil that the table does not know, without its own density.
    """
    if not isinstance(row, dict):
        raise _bad(place or kind.__name__, tr("a record"), row)
    hints = get_type_hints(kind)
    given = {}
    for field in fields(kind):  # type: ignore[arg-type]
        where = f"{place}.{field.name}" if place else field.name
        if field.name in row:
            given[field.name] = _read(hints[field.name], row[field.name], where)
        elif field.default is MISSING and field.default_factory is MISSING:
            if type(None) not in get_args(hints[field.name]):
                raise _bad(where, tr("a value"), None)
            given[field.name] = None
    return kind(**given)


def _plain(value: Any) -> Any:
    if isinstance(value, EssentialOil):
        described: dict[str, Any] = {"name": value.name, "table_name": value.table_name}
        density = _typed(value.density_kg_per_m3)
        flash_c = None if value.flash_c is None else _typed(value.flash_c)
        if density is not None:
            described["density_g_per_ml"] = density / 1000.0
        if flash_c is not None:
            described["flash_c"] = flash_c
        return described
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, tuple):
        return [_plain(each) for each in value]
    if is_dataclass(value) and not isinstance(value, type):
        pairs = ((field.name, getattr(value, field.name)) for field in fields(value))
        return {name: _plain(each) for name, each in pairs if each is not None}
    return value


def _typed(figure: Figure) -> float | None:
    """The figure when it was typed; None when the table has it."""
    return figure.value if figure.row == "-" else None


def _read(hint: Any, value: Any, place: str) -> Any:
    kinds = [each for each in get_args(hint) if each is not type(None)]
    if get_origin(hint) is UnionType:
        return None if value is None else _read(kinds[0], value, place)
    if get_origin(hint) is tuple:
        return _read_tuple(get_args(hint), value, place)
    if hint is EssentialOil:
        return _read_oil(value, place)
    if isinstance(hint, type) and issubclass(hint, Enum):
        return _read_enum(hint, value, place)
    if is_dataclass(hint) and isinstance(hint, type):
        return from_row(hint, value, place)
    return _SIMPLE[hint](value, place)


def _read_tuple(kinds: tuple[Any, ...], value: Any, place: str) -> tuple[Any, ...]:
    if not isinstance(value, list | tuple):
        raise _bad(place, tr("a list"), value)
    if len(kinds) == 2 and kinds[1] is Ellipsis:
        return tuple(_read(kinds[0], each, f"{place}[{n}]") for n, each in enumerate(value))
    if len(value) != len(kinds):
        raise _bad(place, tr("{count} values").format(count=len(kinds)), value)
    return tuple(
        _read(kind, each, f"{place}[{n}]") for n, (kind, each) in enumerate(zip(kinds, value, strict=True))
    )


def _read_oil(value: Any, place: str) -> EssentialOil:
    if not isinstance(value, dict):
        raise _bad(place, tr("an oil"), value)
    numbers = {
        key: None if value.get(key) is None else _number(value[key], f"{place}.{key}")
        for key in ("density_g_per_ml", "flash_c")
    }
    name, table_name = (_text(value.get(key), f"{place}.{key}") for key in ("name", "table_name"))
    return described_oil(name, table_name, numbers["density_g_per_ml"], numbers["flash_c"])


def _read_enum(kind: type[Enum], value: Any, place: str) -> Enum:
    for member in kind:
        if member.value == value:
            return member
    raise _bad(place, tr("one of {names}").format(names=", ".join(str(each.value) for each in kind)), value)


def _number(value: Any, place: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise _bad(place, tr("a number"), value)
    return float(value)


def _whole(value: Any, place: str) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise _bad(place, tr("a whole number"), value)
    return value


def _text(value: Any, place: str) -> str:
    if not isinstance(value, str):
        raise _bad(place, tr("a text"), value)
    return value


def _truth(value: Any, place: str) -> bool:
    if not isinstance(value, bool):
        raise _bad(place, tr("true or false"), value)
    return value


_SIMPLE: dict[Any, Callable[[Any, str], Any]] = {float: _number, int: _whole, str: _text, bool: _truth}


def _bad(place: str, expected: str, value: object) -> BadDataError:
    text = tr("{place}: {expected} was expected, not {value}.")
    return BadDataError(text.format(place=place, expected=expected, value=repr(value)[:80]))
