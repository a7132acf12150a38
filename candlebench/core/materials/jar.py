"""Jars: what a straight or tapered one holds up to a height, what it is made of, and what makes it fit."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from candlebench.core.errors import BadDataError
from candlebench.core.materials.figure import Figure, data_file, read_figure, read_tables, required
from candlebench.words import tr

_ML_PER_MM3 = 1e-3


@dataclass(frozen=True, slots=True)
class JarShape:
    """The inside of a jar, a frustum of a cone: straight when both widths are the same.

    Attributes
    ----------
    top_mm, bottom_mm : float
        Inside diameters at `height_mm` and at the bottom.
    height_mm : float
        Inside height to which `top_mm` belongs.
    scale : float
        What the jar was weighed to hold, over what its sizes say; 1 when it was not weighed.
    """

    top_mm: float
    bottom_mm: float
    height_mm: float
    scale: float = 1.0

    def width_mm(self, level_mm: float) -> float:
        """Inside diameter at a height above the bottom."""
        return self.bottom_mm + (self.top_mm - self.bottom_mm) * level_mm / self.height_mm

    def volume_ml(self, level_mm: float) -> float:
        """What it holds up to a height above the bottom.

        Frustum of a cone: V = pi h / 12 (D² + D d + d²), as in any table of solids.
        """
        below, above = self.bottom_mm, self.width_mm(level_mm)
        mm3 = math.pi * level_mm / 12.0 * (below * below + below * above + above * above)
        return self.scale * mm3 * _ML_PER_MM3

    def level_mm(self, volume_ml: float) -> float:
        """The height to which a volume fills it; the inverse of `volume_ml`."""
        mm3 = volume_ml / (self.scale * _ML_PER_MM3)
        slope = (self.top_mm - self.bottom_mm) / self.height_mm
        if abs(slope) < 1e-9:
            return 4.0 * mm3 / (math.pi * self.bottom_mm * self.bottom_mm)
        # From V = pi / (12 slope) (width³ - bottom³).
        return (math.cbrt(12.0 * slope * mm3 / math.pi + self.bottom_mm**3) - self.bottom_mm) / slope


@dataclass(frozen=True, slots=True)
class JarKind:
    """What a jar is made of.

    Attributes
    ----------
    heat_proof : bool or None
        None when the maker must find out.
    step_k : Figure or None
        The largest step from the jar's temperature to the wax's; None where it does not crack, or no figure
        is known.
    note : str
        What to look for, already translated.
    source : str
    """

    name: str
    shown_name: str
    heat_proof: bool | None
    step_k: Figure | None
    note: str
    source: str


@dataclass(frozen=True, slots=True)
class JarTable:
    """The kinds of jar by name, and what makes a jar fit: room below the rim, and depth against opening."""

    kinds: Mapping[str, JarKind]
    headspace_mm: Figure
    depth_per_opening: Figure


@cache
def load_jars(path: Path | None = None) -> JarTable:
    """Return the table `resources/data/jars.toml`, or another such file.

    Raises
    ------
    BadDataError
        The file cannot be read as jars; the text names the place.
    """
    path = path or data_file("jars.toml")
    tables = read_tables(path)
    kinds = required(path.name, "jars", tables, "kind", dict)
    fit = required(path.name, "jars", tables, "fit", dict)
    return JarTable(
        kinds=MappingProxyType({name: _kind(path.name, name, table) for name, table in kinds.items()}),
        headspace_mm=read_figure(path.name, "fit.headspace_mm", fit.get("headspace_mm")),
        depth_per_opening=read_figure(path.name, "fit.depth_per_opening", fit.get("depth_per_opening")),
    )


def _kind(file: str, name: str, table: Any) -> JarKind:
    place = f"kind.{name}"
    heat_proof = table.get("heat_proof") if isinstance(table, dict) else None
    if heat_proof is not None and not isinstance(heat_proof, bool):
        raise BadDataError(
            tr("{file}: {place} must be true, false or left out.").format(
                file=file, place=f"{place}.heat_proof"
            )
        )
    return JarKind(
        name=name,
        shown_name=tr(required(file, place, table, "shown_name", str)),
        heat_proof=heat_proof,
        step_k=read_figure(file, f"{place}.step_k", table["step_k"]) if "step_k" in table else None,
        note=tr(required(file, place, table, "note", str)),
        source=required(file, place, table, "source", str),
    )
