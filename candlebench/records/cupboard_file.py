"""The cupboard as a TOML file that a person can read and correct: one table a thing, one line a figure."""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import fields, replace
from datetime import date, datetime
from types import MappingProxyType
from typing import Any

import tomli_w

from candlebench.core.cupboard import Cupboard
from candlebench.core.errors import BadDataError, CandlebenchError
from candlebench.core.plan.reasoned import number
from candlebench.core.plan.rows import from_row, to_row
from candlebench.records.cupboard_stock import KINDS, BatchOut, Mark, Stock, Thing, amount_of, free_name
from candlebench.words import tr

# A lorry's load: what lies above is a slip of the finger.
MOST = 1e7
_FORMAT = 1
BATCHES = "batches"
_MARK_NAMES = tuple(each.name for each in fields(Mark))


def to_text(stock: Stock) -> str:
    """Return the file's text."""
    parts = [
        "# The store cupboard of candlebench: grams, millilitres, pieces, degrees Celsius, millimetres.\n"
        "# It may be corrected by hand while the program is closed.\n"
        f"format = {_FORMAT}\n"
    ]
    for shelf in KINDS:
        for thing in stock.shelf(shelf):
            mark = stock.mark(shelf, thing.name)
            pairs = {name: getattr(mark, name) for name in _MARK_NAMES}
            # What is not filled in takes no line; a kind that is '' means something and stays.
            usual = {each.name for each in fields(thing) if each.default == ""}
            row = {key: value for key, value in to_row(thing).items() if value != "" or key not in usual}
            row |= {name: value for name, value in pairs.items() if value is not None}
            parts.append(f"[[{shelf}]]\n{_lines(row)}")
    for out in stock.batches:
        row = {"mark": out.mark, "title": out.title, "at": out.at}
        parts.append(f"[[{BATCHES}]]\n{_lines(row)}")
    return "\n".join(parts)


def from_text(text: str) -> tuple[Stock, tuple[str, ...]]:
    """Return the stock in a file's text, and a sentence for each thing that had to be left out or renamed.

    Raises
    ------
    BadDataError
        The text is no TOML at all; the sentence names the line.
    """
    try:
        data = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise BadDataError(" ".join(str(error).split())) from error
    stock, faults = Stock(), []
    for shelf in KINDS:
        rows = data.get(shelf, [])
        if not isinstance(rows, list):
            faults.append(tr("{shelf} must be a list of tables").format(shelf=shelf))
            continue
        for place, row in enumerate(rows):
            try:
                thing, mark = _thing(shelf, row)
            except CandlebenchError as error:
                faults.append(_named(text, shelf, place, row, str(error)))
                continue
            free = free_name(stock, shelf, thing.name)
            if free != thing.name:
                faults.append(_named(text, shelf, place, row, tr("the name stands there twice")))
                thing = from_row(KINDS[shelf], {**row, "name": free})
            stock = _with(stock, shelf, thing, mark)
    batches = data.get(BATCHES, [])
    # Only a reminder: what is not right in it is no fault of the stock.
    outs = [_batch(row) for row in batches] if isinstance(batches, list) else []
    return replace(stock, batches=tuple(out for out in outs if out is not None)), tuple(faults)


def _batch(row: Any) -> BatchOut | None:
    if not isinstance(row, Mapping):
        return None
    mark, title, at = row.get("mark"), row.get("title", ""), row.get("at")
    good = isinstance(mark, str) and isinstance(title, str) and isinstance(at, datetime)
    return BatchOut(str(mark), str(title), at) if good and isinstance(at, datetime) else None


def _with(stock: Stock, shelf: str, thing: Thing, mark: Mark) -> Stock:
    shelves = {each: stock.shelf(each) for each in KINDS}
    shelves[shelf] = (*shelves[shelf], thing)
    marks = dict(stock.marks)
    if mark != Mark():
        marks[shelf, thing.name] = mark
    return Stock(Cupboard(**shelves), MappingProxyType(marks))  # type: ignore[arg-type]


def _lines(row: Mapping[str, Any], prefix: str = "") -> str:
    """A row's keys, one a line; of a table within it as `price.paid`."""
    text = ""
    for name, value in row.items():
        if isinstance(value, Mapping):
            text += _lines(value, f"{prefix}{name}.")
        else:
            text += prefix + tomli_w.dumps({name: value})
    return text


def _thing(shelf: str, row: Any) -> tuple[Thing, Mark]:
    thing: Thing = from_row(KINDS[shelf], row, shelf)
    if not thing.name.strip():
        raise BadDataError(tr("the name is missing"))
    least = 0.0 if shelf != "leftovers" else 1e-6
    if not least <= amount_of(thing) <= MOST:
        text = tr("how much is left must be a number from 0 to {most}")
        raise BadDataError(text.format(most=number(MOST)))
    if any(grams < 0.0 for _, grams in (*getattr(thing, "waxes", ()), *getattr(thing, "oils", ()))):
        raise BadDataError(tr("no amount in it may be below 0"))
    return thing, Mark(_day(row.get("since")), _amount(row, "full"), _amount(row, "low"))


def _day(value: Any) -> date | None:
    if value is None or (isinstance(value, date) and not isinstance(value, datetime)):
        return value
    raise BadDataError(tr("since must be a day like 2026-11-25"))


def _amount(row: Mapping[str, Any], name: str) -> float | None:
    value = row.get(name)
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0.0 <= value <= MOST:
        raise BadDataError(
            tr("{name} must be a number from 0 to {most}").format(name=name, most=number(MOST))
        )
    return float(value)


def _named(text: str, shelf: str, place: int, row: Any, why: str) -> str:
    """'line 12, Meadow 7: ...' for the place-th table of a shelf."""
    name = str(row.get("name", "?")) if isinstance(row, Mapping) else "?"
    line = _line_of(text, shelf, place, re.search(rf"{shelf}\.(\w+)", why))
    why = why.rstrip(".")
    if line is None:
        return tr("{name}: {why}").format(name=name, why=why)
    return tr("line {line}, {name}: {why}").format(line=line, name=name, why=why)


def _line_of(text: str, shelf: str, place: int, key: re.Match[str] | None) -> int | None:
    """The line of a key in the place-th `[[shelf]]`, of its heading when the key is not there."""
    heads = [i for i, line in enumerate(text.split("\n")) if re.match(rf"\s*\[\[\s*{shelf}\s*\]\]", line)]
    if place >= len(heads):
        return None
    for i, line in enumerate(text.split("\n")[heads[place] + 1 :], start=heads[place] + 2):
        if line.lstrip().startswith("[["):
            break
        if key and re.match(rf"\s*{key[1]}\b", line):
            return i
    return heads[place] + 1
