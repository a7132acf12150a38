"""`candlebench cupboard`: what is in the store cupboard. It changes nothing."""

import json
import os
import shutil
import sys
import textwrap
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from candlebench.core.plan.rows import to_row
from candlebench.core.plan.tables import load_tables
from candlebench.core.units import Shown
from candlebench.records.cupboard import read_cupboard
from candlebench.records.cupboard_lines import Line, lines_of, shelf_words
from candlebench.records.cupboard_stock import KINDS, Stock, amount_of, runs_low
from candlebench.records.folders import data_folder
from candlebench.words import tr


def show_cupboard(data: Path | None, as_json: bool) -> int:
    """Print what is in the cupboard.

    Parameters
    ----------
    data : Path or None
        Data folder, when one was named.
    as_json : bool
        One JSON object: by shelf the things in it, each with `left` and `low` (true when it runs low).

    Returns
    -------
    int
        0.

    Raises
    ------
    FixableError, BadDataError
        The file cannot be read, or something in it is not right.
    """
    folder = data_folder(data, os.environ, sys.platform, Path.home())
    stock = read_cupboard(folder)
    if as_json:
        print(json.dumps(stock_row(stock), ensure_ascii=False))
    elif not stock.count:
        print(tr("The store cupboard in {folder} is empty.").format(folder=folder))
    else:
        width = min(100, shutil.get_terminal_size((88, 24)).columns)
        print("\n".join(stock_lines(lines_of(stock, load_tables(), Shown()), width)))
    return 0


def stock_row(stock: Stock) -> dict[str, Any]:
    """The JSON: amounts in grams, millilitres and pieces."""
    return {
        shelf: [
            to_row(thing)
            | {
                "left": amount_of(thing),
                "low": runs_low(thing, mark),
                "since": None if mark.since is None else mark.since.isoformat(),
            }
            for thing in stock.shelf(shelf)
            for mark in (stock.mark(shelf, thing.name),)
        ]
        for shelf in KINDS
    }


def stock_lines(lines: tuple[Line, ...], width: int = 88) -> Iterator[str]:
    """Yield the cupboard as lines of text, shelf by shelf: name, what is left, what is known."""
    first = min(30, max(len(line.name) for line in lines))
    second = max(len(line.left_words) for line in lines)
    begun = ""
    for line in lines:
        if line.shelf != begun:
            if begun:
                yield ""
            yield shelf_words(line.shelf)
            begun = line.shelf
        day = "" if line.since is None else tr("since {day}").format(day=line.since.isoformat())
        rest = (line.kind, line.price, line.learned, *line.figures, line.warning.rstrip("."), day, line.note)
        state = f"{line.state.upper()}; " if line.state else ""
        start = f"  {line.name:<{first}}  {line.left_words:>{second}}  "
        words = textwrap.wrap(state + "; ".join(part for part in rest if part), max(30, width - len(start)))
        yield (start + "".join(words[:1])).rstrip()
        yield from (" " * len(start) + more for more in words[1:])
