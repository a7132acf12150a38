"""Which columns of a table hold time and temperature, in what units, and how a number is written."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from candlebench.core.errors import BadDataError
from candlebench.core.place import Place
from candlebench.core.units import celsius
from candlebench.words import tr

Row = list[str]

# Names without their unit, by what they hold; the first that fits in this order is taken.
_TIME_NAMES = (
    *("elapsed", "elapsed_time", "time_elapsed", "time", "seconds", "minutes", "hours", "timestamp"),
    *("datetime", "date_time", "wall_time", "date", "t"),
)
_TEMP_NAMES = ("temp", "temperature")
_TIME_UNITS = {
    **{"ms": 0.001, "s": 1.0, "sec": 1.0, "secs": 1.0, "seconds": 1.0},
    **{"min": 60.0, "mins": 60.0, "minutes": 60.0, "h": 3600.0, "hr": 3600.0, "hours": 3600.0},
}
_TEMP_UNITS = {
    **{"c": "C", "degc": "C", "celsius": "C", "f": "F", "degf": "F", "fahrenheit": "F"},
    **{"k": "K", "kelvin": "K"},
}
_ZERO_C_IN_K = 273.15

_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?")
_DECIMAL_COMMA = re.compile(r"[+-]?\d*,\d+([eE][+-]?\d+)?")


@dataclass(frozen=True, slots=True)
class Columns:
    """Where time and temperature stand.

    Attributes
    ----------
    time, temp : int
        Indices of the columns.
    has_header : bool
        The first row holds names.
    time_factor : float
        Seconds in one unit of time.
    temp_unit : str
        'C', 'F' or 'K'.
    most_cells : int or None
        More cells than this in a row mean that commas are decimals; None where that cannot be.
    beside : int or None
        Index of a second probe's column, which hangs at `place`; `beside_unit` is its unit.
    """

    time: int
    temp: int
    has_header: bool
    time_factor: float = 1.0
    temp_unit: str = "C"
    most_cells: int | None = None
    beside: int | None = None
    place: Place = Place.BATH
    beside_unit: str = "C"

    def in_celsius(self, value: float) -> float:
        """Return a temperature of this table in °C."""
        return _celsius(value, self.temp_unit)

    def beside_celsius(self, value: float) -> float:
        """Return a temperature of the second probe in °C."""
        return _celsius(value, self.beside_unit)


def _celsius(value: float, unit: str) -> float:
    if unit == "F":
        return celsius(value)
    return value - _ZERO_C_IN_K if unit == "K" else value


def find_columns(rows: Sequence[Row], separator: str, beside: tuple[Place, str] | None = None) -> Columns:
    """Find the columns by the header, or take the first two of a table without one.

    Parameters
    ----------
    rows : sequence of rows
        All of the table.
    separator : str
        What parts its cells.
    beside : tuple of Place and str, or None
        Where a second probe hangs and the name of its column, with or without its unit.

    Raises
    ------
    BadDataError
        There is no time or no temperature, or commas may be decimals; the text does not name a line.
    """
    first = rows[0]
    if len(first) < 2:
        raise BadDataError(
            tr("there are no times: put a time and a temperature in each line, with a comma between")
        )
    if any(is_date(cell) or plain_number(cell, separator != ",") is not None for cell in first):
        # More than two bare columns and not one decimal point: '60,70,5' may be 60 s and 70.5 °C.
        no_point = not any("." in cell for row in rows for cell in row)
        if separator == "," and no_point and any(len(row) > 2 for row in rows):
            raise too_many_columns()
        if beside is not None:
            raise _no_such_column(beside[1])
        return Columns(0, 1, has_header=False)
    names = [_name_and_unit(cell) for cell in first]
    place, column = _find_beside(first, names, beside)
    return _by_names(names, separator, place, column)


def _find_beside(
    header: Row, names: list[tuple[str, str]], beside: tuple[Place, str] | None
) -> tuple[Place, int | None]:
    """Where the second probe hangs, and its column."""
    if beside is None:
        return Place.BATH, None
    place, wanted = beside
    for index, cell in enumerate(header):
        if wanted.lower() in (cell.strip().lower(), names[index][0]):
            return place, index
    raise _no_such_column(wanted)


def _no_such_column(name: str) -> BadDataError:
    return BadDataError(
        tr("no column is called {name}: write a name of the table's first line").format(name=name)
    )


def _by_names(names: list[tuple[str, str]], separator: str, place: Place, beside: int | None) -> Columns:
    time = _find_time(names)
    temp = _find_temp(names, (time, beside))
    if time is None and temp in (None, 0) and names[0][0].startswith(_TEMP_NAMES):
        raise BadDataError(tr("there is no column of times: name one “elapsed_s” and give seconds"))
    if time is None:
        time = 0
    if temp is None or temp == time:
        others = [index for index in range(len(names)) if index not in (time, beside)]
        if not others:
            raise BadDataError(tr("there is no column of the melt's temperature: name one “temp_c”"))
        temp = others[0]
    name, unit = names[time]
    return Columns(
        time=time,
        temp=temp,
        has_header=True,
        time_factor=_TIME_UNITS.get(unit or name, 1.0),
        temp_unit=_TEMP_UNITS.get(names[temp][1], "C"),
        most_cells=len(names) if separator == "," else None,
        beside=beside,
        place=place,
        beside_unit=_TEMP_UNITS.get(names[beside][1], "C") if beside is not None else "C",
    )


def _find_time(names: list[tuple[str, str]]) -> int | None:
    for wanted in _TIME_NAMES:
        for index, (name, unit) in enumerate(names):
            # 'T_C' is no time.
            if name == wanted and unit not in _TEMP_UNITS:
                return index
    return None


def _find_temp(names: list[tuple[str, str]], taken: tuple[int | None, ...]) -> int | None:
    others = [(index, name, unit) for index, (name, unit) in enumerate(names) if index not in taken]
    for index, name, _ in others:
        if name in _TEMP_NAMES:
            return index
    for index, name, unit in others:
        if name.startswith(_TEMP_NAMES) or unit in _TEMP_UNITS:
            return index
    return None


def _name_and_unit(cell: str) -> tuple[str, str]:
    """Part 'Temp (°C)', 'temp_C', 'time [min]' into a plain name and a plain unit."""
    plain = re.sub(r"[^a-z0-9]+", "_", cell.lower().replace("°", "")).strip("_").replace("deg_", "deg")
    name, _, unit = plain.rpartition("_")
    return (name, unit) if name and (unit in _TIME_UNITS or unit in _TEMP_UNITS) else (plain, "")


def too_many_columns() -> BadDataError:
    """The complaint about a table in which commas part columns and perhaps decimals too."""
    return BadDataError(
        tr(
            "there are more columns than expected: if commas mark decimals, save the table with semicolons"
            " between columns"
        )
    )


def plain_number(cell: str, decimal_commas: bool) -> float | None:
    """Return the number in a cell, or None when it holds something else."""
    text = cell.replace(",", ".") if decimal_commas and _DECIMAL_COMMA.fullmatch(cell) else cell
    return float(text) if _NUMBER.fullmatch(text) else None


def is_date(cell: str) -> bool:
    """Tell whether a cell holds an ISO date, with or without a time; eight bare digits are a number."""
    if not re.match(r"\d{4}-\d", cell):
        return False
    try:
        datetime.fromisoformat(cell)
    except ValueError:
        return False
    return True
