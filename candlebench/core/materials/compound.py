"""The substances that oils are made of: molar mass, vapour pressure, and whether they sensitise the skin."""

import math
import re
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

ZERO_C_IN_K = 273.15
ROOM_K = 298.15
# Abridged standard atomic weights (IUPAC 2021), g/mol.
_ATOM_G_PER_MOL = {"C": 12.011, "H": 1.008, "O": 15.999}


@dataclass(frozen=True, slots=True)
class VapourCurve:
    """Vapour pressure of one compound: ln(p/Pa) = a - b / (T/K + c).

    Attributes
    ----------
    valid_low_c, valid_high_c : float or None
        Where it was fitted; None for a line through two points.
    row, source : str
        Where the coefficients come from.
    """

    a: float
    b: float
    c: float
    valid_low_c: float | None
    valid_high_c: float | None
    row: str
    source: str

    def pressure_pa(self, temp_c: float) -> float:
        """Vapour pressure in pascals."""
        return math.exp(self.a - self.b / (temp_c + ZERO_C_IN_K + self.c))

    def within(self, temp_c: float) -> bool:
        """Whether the curve was fitted there rather than drawn on."""
        if self.valid_low_c is None or self.valid_high_c is None:
            return True
        return self.valid_low_c <= temp_c <= self.valid_high_c


@dataclass(frozen=True, slots=True)
class Sensitiser:
    """How a substance counts for the skin.

    Attributes
    ----------
    category : str
        '1A', '1B', '1' without a sub-class; '' where only the data sheet tells.
    from_pct : float or None
        Specific limit of the hazard statement, in per cent of the candle; None for the general one.
    row, sure, source : str
        As in `Figure`.
    """

    category: str
    from_pct: float | None
    row: str
    sure: str
    source: str


@dataclass(frozen=True, slots=True)
class Compound:
    """One substance. `molar_g_per_mol` is computed from the formula; what no table gives is None."""

    name: str
    shown_name: str
    formula: str
    cas: str
    vapour: VapourCurve | None
    sensitiser: Sensitiser | None
    density_kg_per_m3: Figure | None
    flash_c: Figure | None

    @property
    def molar_g_per_mol(self) -> float:
        """Molar mass."""
        return molar_mass_g_per_mol(self.formula)


def molar_mass_g_per_mol(formula: str) -> float:
    """Return the molar mass of a formula of carbon, hydrogen and oxygen, 'C10H18O'.

    Source: abridged standard atomic weights, IUPAC 2021.
    """
    atoms = re.findall(r"([A-Z])(\d*)", formula)
    return sum(_ATOM_G_PER_MOL[atom] * int(count or 1) for atom, count in atoms)


@cache
def load_compounds(path: Path | None = None) -> Mapping[str, Compound]:
    """Return the compounds of `resources/data/compounds.toml`, or of another such file, by name.

    Raises
    ------
    BadDataError
        The file cannot be read as compounds; the text names the compound and what is wrong.
    """
    path = path or data_file("compounds.toml")
    return MappingProxyType(
        {name: _compound(path.name, name, table) for name, table in read_tables(path).items()}
    )


def _compound(file: str, name: str, table: Any) -> Compound:
    formula = required(file, name, table, "formula", str)
    if not re.fullmatch(r"([CHO]\d*)+", formula):
        raise BadDataError(
            tr("{file}: {place} is no formula of carbon, hydrogen and oxygen.").format(
                file=file, place=f"{name}.formula"
            )
        )
    return Compound(
        name=name,
        shown_name=tr(required(file, name, table, "shown_name", str)),
        formula=formula,
        cas=required(file, name, table, "cas", str),
        vapour=_curve(file, f"{name}.vapour", table["vapour"]) if "vapour" in table else None,
        sensitiser=_sensitiser(file, f"{name}.sensitiser", table["sensitiser"])
        if "sensitiser" in table
        else None,
        density_kg_per_m3=_optional_figure(file, name, table, "density_kg_per_m3"),
        flash_c=_optional_figure(file, name, table, "flash_c"),
    )


def _optional_figure(file: str, name: str, table: dict[str, Any], key: str) -> Figure | None:
    return read_figure(file, f"{name}.{key}", table[key]) if key in table else None


def _curve(file: str, place: str, table: Any) -> VapourCurve:
    row, source = (required(file, place, table, key, str) for key in ("row", "source"))
    for key in ("pa_at_25c", "slope_k") if "pa_at_25c" in table else ("a", "b", "c"):
        if not is_number(table.get(key)):
            raise BadDataError(tr("{file}: {place} has no {key}.").format(file=file, place=place, key=key))
    if "pa_at_25c" in table:
        slope_k = float(table["slope_k"])
        a = math.log(float(table["pa_at_25c"])) + slope_k / ROOM_K
        return VapourCurve(a, slope_k, 0.0, None, None, row, source)
    return VapourCurve(
        float(table["a"]),
        float(table["b"]),
        float(table["c"]),
        float(required(file, place, table, "valid_low_k", float)) - ZERO_C_IN_K,
        float(required(file, place, table, "valid_high_k", float)) - ZERO_C_IN_K,
        row,
        source,
    )


def _sensitiser(file: str, place: str, table: Any) -> Sensitiser:
    category = required(file, place, table, "class", str)
    if category not in ("", "1", "1A", "1B"):
        raise BadDataError(
            tr("{file}: {place} is no class of skin sensitisers; write 1, 1A, 1B or nothing.").format(
                file=file, place=f"{place}.class"
            )
        )
    row, sure, source = (required(file, place, table, key, str) for key in ("row", "sure", "source"))
    limit = table.get("from_pct")
    return Sensitiser(category, float(limit) if limit is not None else None, row, sure, source)
