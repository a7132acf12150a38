"""How pellets pack, what stays behind in jug and on spoon, and what the hob takes."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache
from pathlib import Path
from types import MappingProxyType

from candlebench.core.materials.figure import Figure, data_file, read_figure, read_tables, required
from candlebench.words import tr


@dataclass(frozen=True, slots=True)
class Hob:
    """One kind of hob and the share of its energy that reaches the pan."""

    name: str
    shown_name: str
    efficiency: Figure


@dataclass(frozen=True, slots=True)
class Handling:
    """Figures of `handling.toml`.

    Attributes
    ----------
    packing_loose, packing_tapped : Figure
        Share of the space that pellets fill, poured and tapped.
    jug_left_g, spoon_left_g : Figure
        Wax that does not get into a jar.
    wick_mm : Figure
        Diameter of a wick, for the space that it takes.
    bath_water_g, bath_c, bath_loss_w, melt_min : Figure
        Water in the pan, how hot it gets, the heat it loses, how long a melt takes.
    hobs : Mapping of str to Hob
    """

    packing_loose: Figure
    packing_tapped: Figure
    jug_left_g: Figure
    spoon_left_g: Figure
    wick_mm: Figure
    bath_water_g: Figure
    bath_c: Figure
    bath_loss_w: Figure
    melt_min: Figure
    hobs: Mapping[str, Hob]


@cache
def load_handling(path: Path | None = None) -> Handling:
    """Return the table `resources/data/handling.toml`, or another such file.

    Raises
    ------
    BadDataError
        A figure is missing or has no source.
    """
    path = path or data_file("handling.toml")
    tables = read_tables(path)
    figures = {
        field.name: read_figure(path.name, field.name, tables.get(field.name))
        for field in fields(Handling)
        if field.name != "hobs"
    }
    hobs = {
        name: Hob(
            name,
            tr(required(path.name, f"hob.{name}", table, "shown_name", str)),
            read_figure(path.name, f"hob.{name}", table),
        )
        for name, table in required(path.name, "handling", tables, "hob", dict).items()
    }
    return Handling(hobs=MappingProxyType(hobs), **figures)
