"""Temperature series in text files: times and temperatures in columns, as other programs write them."""

import csv
import math
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from candlebench.core.errors import BadDataError, FixableError
from candlebench.core.place import Place
from candlebench.thermometers.series_columns import (
    Columns,
    Row,
    find_columns,
    is_date,
    plain_number,
    too_many_columns,
)
from candlebench.words import tr

_COLDEST_C = -273.15


@dataclass(frozen=True, slots=True)
class SeriesFile:
    """A temperature series.

    Attributes
    ----------
    times_s : tuple of float
        Seconds, as in the file; for dates, seconds since the first. They never fall; equal ones keep their
        order.
    temps_c : tuple of float
        Temperatures in °C, as many as times.
    place : Place
        Where the second probe hung.
    beside : tuple of (float, float)
        Seconds and °C of the second probe; empty without one.
    """

    times_s: tuple[float, ...]
    temps_c: tuple[float, ...]
    place: Place = Place.BATH
    beside: tuple[tuple[float, float], ...] = ()


def read_series(path: str | Path, beside: tuple[Place, str] | None = None) -> SeriesFile:
    """Read a series: a header that names columns, or two bare columns of time and temperature.

    Time is in seconds (or in the unit the header names, or ISO date-times), temperature in °C (or the unit
    the header names). Columns are parted by comma, semicolon or tab; with the last two a decimal comma is
    understood. Other columns, lines that begin with '#', and rows without a temperature are passed over.

    Parameters
    ----------
    path : str or Path
    beside : tuple of Place and str, or None
        Where a second probe hangs, and the name of its column.

    Raises
    ------
    FixableError
        The file is not there or may not be read.
    BadDataError
        It is no such series; the text names the file, the line, and what to do.
    """
    path = Path(path)
    rows, separator = _rows(path, _text(path))
    first_line = rows[0][0]
    try:
        columns = find_columns([cells for _, cells in rows], separator, beside)
    except BadDataError as error:
        raise _at(path, first_line, str(error)) from error
    reader = _RowReader(columns, decimal_commas=separator != ",")
    for line, cells in rows[1:] if columns.has_header else rows:
        try:
            reader.read(cells)
        except BadDataError as error:
            raise _at(path, line, str(error)) from error
    if not reader.times_s:
        raise BadDataError(
            tr("{file} holds no reading: choose a file with a time and a temperature in each line.").format(
                file=path.name
            )
        )
    return SeriesFile(tuple(reader.times_s), tuple(reader.temps_c), columns.place, tuple(reader.beside))


class _RowReader:
    """Takes one row after the other; its complaints do not know their line."""

    def __init__(self, columns: Columns, decimal_commas: bool) -> None:
        self.times_s: list[float] = []
        self.temps_c: list[float] = []
        self.beside: list[tuple[float, float]] = []
        self._latest_s = -math.inf
        self._columns = columns
        self._decimal_commas = decimal_commas
        self._first_date: datetime | None = None

    def read(self, cells: Row) -> None:
        columns = self._columns
        if columns.most_cells is not None and len(cells) > columns.most_cells:
            raise too_many_columns()
        temp_text, beside_text = _cell(cells, columns.temp), _cell(cells, columns.beside)
        if not temp_text and not beside_text:
            return
        temp_c = columns.in_celsius(self._number(temp_text)) if temp_text else None
        beside_c = columns.beside_celsius(self._number(beside_text)) if beside_text else None
        _refuse_below_zero(temp_c, beside_c)
        time_s = self._time_s(_cell(cells, columns.time))
        if time_s < self._latest_s:
            raise BadDataError(tr("the time goes backwards: sort the lines by time, or save one melt a file"))
        self._latest_s = time_s
        if temp_c is not None:
            self.times_s.append(time_s)
            self.temps_c.append(temp_c)
        if beside_c is not None:
            self.beside.append((time_s, beside_c))

    def _time_s(self, cell: str) -> float:
        if not cell:
            raise BadDataError(tr("the time is missing: write seconds, or a date and time"))
        if not is_date(cell):
            if self._first_date is not None:
                raise _two_kinds_of_time()
            return self._number(cell) * self._columns.time_factor
        date = datetime.fromisoformat(cell)
        if self._first_date is None:
            if self.times_s or self.beside:
                raise _two_kinds_of_time()
            self._first_date = date
        try:
            return (date - self._first_date).total_seconds()
        except TypeError as error:
            # One with a time zone, the other without.
            raise _two_kinds_of_time() from error

    def _number(self, cell: str) -> float:
        value = plain_number(cell, self._decimal_commas)
        if value is None or not math.isfinite(value):
            raise BadDataError(
                tr(
                    "“{text}” is no number: write a number, or leave the cell empty where there is no reading"
                ).format(text=cell[:40])
            )
        return value


def _cell(cells: Row, index: int | None) -> str:
    return cells[index] if index is not None and index < len(cells) else ""


def _refuse_below_zero(*temps_c: float | None) -> None:
    for temp_c in temps_c:
        if temp_c is not None and temp_c < _COLDEST_C:
            raise BadDataError(
                tr("{value} °C is below absolute zero: correct or delete that line").format(
                    value=f"{temp_c:g}"
                )
            )


def _two_kinds_of_time() -> BadDataError:
    return BadDataError(tr("times are written in two ways: use seconds, or dates of one kind, throughout"))


def _at(path: Path, line: int, problem: str) -> BadDataError:
    return BadDataError(
        tr("{file}, line {line}: {problem}.").format(file=path.name, line=line, problem=problem)
    )


def _text(path: Path) -> str:
    try:
        data = path.read_bytes()
    except FileNotFoundError as error:
        raise FixableError(
            tr("There is no file {file}: check its name and folder.").format(file=path)
        ) from error
    except (OSError, ValueError) as error:
        raise FixableError(
            tr("{file} cannot be opened ({why}): choose a file that you may read.").format(
                file=path, why=getattr(error, "strerror", None) or str(error)
            )
        ) from error
    text = _decoded(data)
    if text is None:
        raise BadDataError(
            tr("{file} is no text file: save the table as CSV and choose that.").format(file=path.name)
        )
    return text


def _decoded(data: bytes) -> str | None:
    try:
        if data.startswith((b"\xff\xfe", b"\xfe\xff")):
            return data.decode("utf-16")
        if b"\0" not in data:
            return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        # A degree sign in an older code; its digits are those of any other. Much of it odd: no text.
        odd = sum(byte < 9 or 13 < byte < 32 or byte > 126 for byte in data)
        if b"\0" not in data and odd <= 0.1 * len(data):
            return data.decode("latin-1")
    return None


def _rows(path: Path, text: str) -> tuple[list[tuple[int, Row]], str]:
    """Return the lines that hold something as (line number, cells), and the separator."""
    lines = [
        (number, line)
        for number, line in enumerate(text.splitlines(), start=1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    if not lines:
        raise BadDataError(
            tr("{file} is empty: choose a file with a time and a temperature in each line.").format(
                file=path.name
            )
        )
    sample = [line for _, line in lines[:20]]
    separator = next((mark for mark in ";\t" if all(mark in line for line in sample)), ",")
    rows = []
    for number, line in lines:
        try:
            cells = next(csv.reader([line], delimiter=separator, skipinitialspace=True))
        except csv.Error as error:
            raise _at(path, number, str(error)) from error
        rows.append((number, [cell.strip() for cell in cells]))
    return rows, separator
