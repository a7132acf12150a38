"""A number of the data tables with where it comes from, and how such tables are read."""

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from candlebench.core.errors import BadDataError
from candlebench.resources_folder import resources_folder
from candlebench.words import tr

_SURE_CODES = frozenset("RSMC")


@dataclass(frozen=True, slots=True)
class Figure:
    """One number with the row it comes from.

    Attributes
    ----------
    value : float
        In the unit that the figure's name ends with.
    row : str
        Row of the reference tables, 'W9'.
    sure : str
        'R' read in the source, 'S' secondary, 'M' from memory, 'C' computed.
    source : str
        Where it comes from, in words.
    to_test : bool
        No figure is known for this material: a place to begin, to be tested.
    low, high : float or None
        The range that sources quote; None where there is only the one number.
    """

    value: float
    row: str
    sure: str
    source: str
    to_test: bool = False
    low: float | None = None
    high: float | None = None

    @property
    def from_memory(self) -> bool:
        """Whether no document stands behind it here."""
        return self.sure == "M"

    def spoken_source(self) -> str:
        """The source as a person reads it, with the row it has in the tables, if it has one."""
        if self.row == "-":
            return self.source
        return tr("{source} (row {row})").format(source=self.source, row=self.row)


def read_tables(path: Path) -> dict[str, Any]:
    """Return the tables of a data file.

    Raises
    ------
    BadDataError
        It cannot be read.
    """
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise BadDataError(
            tr("{file} cannot be read: {why}").format(file=path.name, why=str(error))
        ) from error


def data_file(name: str) -> Path:
    """Return the path of one of the program's own data tables, 'waxes.toml'."""
    return resources_folder() / "data" / name


def read_figure(file: str, place: str, row: Any) -> Figure:
    """Return one figure of a data file.

    Parameters
    ----------
    file, place : str
        Name of the file, and which figure of it: both go into the error's text.
    row : dict
        With `value`, `row`, `sure`, `source`, and if need be `low`, `high` and `test`.

    Raises
    ------
    BadDataError
        It is no number, or has no source.
    """
    problem = None
    if not isinstance(row, dict):
        problem = tr("needs a value, a row and a source")
    elif not is_number(row.get("value")):
        problem = tr("needs a number as its value")
    elif not row.get("row") or not row.get("source"):
        problem = tr("has no source; write the row and the source it comes from")
    elif row.get("sure") not in _SURE_CODES:
        problem = tr("needs R, S, M or C under “sure”")
    elif any(key in row and not is_number(row[key]) for key in ("low", "high")):
        problem = tr("needs numbers as “low” and “high”")
    if problem:
        raise BadDataError(f"{file}: {place} {problem}.")
    return Figure(
        value=float(row["value"]),
        row=str(row["row"]),
        sure=str(row["sure"]),
        source=str(row["source"]),
        to_test=row.get("test") is True,
        low=float(row["low"]) if "low" in row else None,
        high=float(row["high"]) if "high" in row else None,
    )


def is_number(value: Any) -> bool:
    """Whether a value of a data file is a number; true and false are none."""
    return isinstance(value, int | float) and not isinstance(value, bool)


def required(file: str, place: str, table: Any, key: str, kind: type) -> Any:
    """Return `table[key]`, a `kind`.

    Raises
    ------
    BadDataError
        It is missing or of another kind.
    """
    value = table.get(key) if isinstance(table, dict) else None
    if not isinstance(value, kind):
        raise BadDataError(tr("{file}: {place} has no {key}.").format(file=file, place=place, key=key))
    return value
