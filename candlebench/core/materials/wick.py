"""Wicks: which size to begin a burn test with, how many, where they stand. First guesses, never verdicts."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from candlebench.core.errors import BadDataError
from candlebench.core.materials.figure import (
    Figure,
    data_file,
    is_number,
    read_figure,
    read_tables,
    required,
)
from candlebench.words import tr


@dataclass(frozen=True, slots=True)
class WickSeries:
    """One kind of wick with its sizes from thin to thick, which are names, not millimetres."""

    name: str
    shown_name: str
    sizes: tuple[str, ...]
    source: str

    def beside(self, size: str, steps: int) -> str | None:
        """The size so many steps thicker (thinner, below zero); None past the ends or for a strange size."""
        if size not in self.sizes:
            return None
        index = self.sizes.index(size) + steps
        return self.sizes[index] if 0 <= index < len(self.sizes) else None


@dataclass(frozen=True, slots=True)
class WickStart:
    """Where to begin for one wax and one width of pool."""

    wax: str
    over_mm: float
    up_to_mm: float
    series: str
    size: str
    row: str
    sure: str
    source: str


@dataclass(frozen=True, slots=True)
class PowerLaw:
    """y = factor R^power, R the consumption in g/h; `low`, `high` the y it was fitted on, if stated."""

    factor: float
    power: float
    low: float | None
    high: float | None
    row: str
    source: str

    def at(self, g_per_h: float) -> float:
        """The value at a consumption."""
        return float(self.factor * g_per_h**self.power)

    def g_per_h(self, value: float) -> float:
        """The consumption at a value."""
        return float((value / self.factor) ** (1.0 / self.power))


@dataclass(frozen=True, slots=True)
class WickTable:
    """Series, start sizes and laws of `wicks.toml`."""

    series: Mapping[str, WickSeries]
    starts: tuple[WickStart, ...]
    several_over_mm: Figure
    pool_law: PowerLaw
    flame_law: PowerLaw
    first_burn_mm_per_h: Figure
    longest_burn_h: Figure

    def start(self, wax: str, pool_mm: float) -> WickStart | None:
        """Where to begin for a pool of that width; None where the table has no row for it."""
        for start in self.starts:
            if start.wax == wax and start.over_mm < pool_mm <= start.up_to_mm:
                return start
        return None


def wick_count(width_mm: float, several_over_mm: float) -> int:
    """Return how many wicks share the surface so that none has a pool wider than `several_over_mm`.

    Each takes the same area: pool = width / sqrt(count). Where one is enough is row B28; that the area is
    shared evenly is a proposal, computed.
    """
    return max(1, math.ceil((width_mm / several_over_mm) ** 2 - 1e-9))


def wick_positions_mm(count: int, width_mm: float) -> tuple[tuple[float, float], ...]:
    """Return where the wicks stand, (x, y) in millimetres from the middle, x to the right, y up.

    One stands in the middle. Several stand on a ring, each as far from the wall as from the halfway line to
    its neighbour: equal circles in a circle that touch each other and the wall, ring radius
    R / (1 + sin(pi / count)). From seven on, one of them stands in the middle.
    """
    if count == 1:
        return ((0.0, 0.0),)
    middle = 1 if count >= 7 else 0
    on_ring = count - middle
    ring_mm = 0.5 * width_mm / (1.0 + math.sin(math.pi / on_ring))
    # The first of an odd number stands at the top; an even number stands level.
    start = math.pi / 2.0 if on_ring % 2 else (math.pi / on_ring if on_ring > 2 else 0.0)
    angles = [start + 2.0 * math.pi * index / on_ring for index in range(on_ring)]
    ring = [(ring_mm * math.cos(angle), ring_mm * math.sin(angle)) for angle in angles]
    return tuple([(0.0, 0.0)] * middle + ring)


def burn_rate_g_per_h(before_g: float, after_g: float, hours: float) -> float:
    """Return the consumption of a burn test: mass lost over hours burned (row B30)."""
    return (before_g - after_g) / hours


@cache
def load_wicks(path: Path | None = None) -> WickTable:
    """Return the table `resources/data/wicks.toml`, or the person's own such file.

    Raises
    ------
    BadDataError
        The file cannot be read as wicks; the text names the place.
    """
    path = path or data_file("wicks.toml")
    tables = read_tables(path)
    file = path.name
    series = {
        name: _series(file, name, table)
        for name, table in required(file, "wicks", tables, "series", dict).items()
    }
    return WickTable(
        series=MappingProxyType(series),
        starts=tuple(
            _start(file, f"start {n}", table, series)
            for n, table in enumerate(required(file, "wicks", tables, "start", list), 1)
        ),
        several_over_mm=read_figure(file, "several_over_mm", tables.get("several_over_mm")),
        pool_law=_law(file, "pool_law", tables.get("pool_law")),
        flame_law=_law(file, "flame_law", tables.get("flame_law")),
        first_burn_mm_per_h=read_figure(file, "first_burn_mm_per_h", tables.get("first_burn_mm_per_h")),
        longest_burn_h=read_figure(file, "longest_burn_h", tables.get("longest_burn_h")),
    )


def _series(file: str, name: str, table: Any) -> WickSeries:
    place = f"series.{name}"
    sizes = required(file, place, table, "sizes", list)
    return WickSeries(
        name,
        tr(required(file, place, table, "shown_name", str)),
        tuple(str(size) for size in sizes),
        required(file, place, table, "source", str),
    )


def _start(file: str, place: str, table: Any, series: Mapping[str, WickSeries]) -> WickStart:
    wax, name, size, row, sure, source = (
        required(file, place, table, key, str) for key in ("wax", "series", "size", "row", "sure", "source")
    )
    for key in ("over_mm", "up_to_mm"):
        _number(file, place, table, key)
    if name not in series or size not in series[name].sizes:
        raise BadDataError(
            tr("{file}: {place} names a size that no series lists: {name} {size}.").format(
                file=file, place=place, name=name, size=size
            )
        )
    return WickStart(wax, float(table["over_mm"]), float(table["up_to_mm"]), name, size, row, sure, source)


def _law(file: str, place: str, table: Any) -> PowerLaw:
    row, source = (required(file, place, table, key, str) for key in ("row", "source"))
    return PowerLaw(
        _number(file, place, table, "factor"),
        _number(file, place, table, "power"),
        float(table["low_mm"]) if "low_mm" in table else None,
        float(table["high_mm"]) if "high_mm" in table else None,
        row,
        source,
    )


def _number(file: str, place: str, table: Any, key: str) -> float:
    value = table.get(key) if isinstance(table, dict) else None
    if value is None or not is_number(value):
        raise BadDataError(tr("{file}: {place} has no {key}.").format(file=file, place=place, key=key))
    return float(value)
