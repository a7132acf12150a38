"""Essential oils: how dense they are, how they evaporate, where they flash, what they are made of."""

import difflib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from candlebench.core.errors import BadDataError, FixableError
from candlebench.core.materials.compound import Compound, load_compounds
from candlebench.core.materials.figure import (
    Figure,
    data_file,
    is_number,
    read_figure,
    read_tables,
    required,
)
from candlebench.words import tr

# O24: about -0.8 kg/m3 per K, 10 to 40 degC; from memory, check before relying on it. M
DENSITY_SLOPE_KG_PER_M3_K = -0.8
DENSITY_AT_C = 20.0
# Of a typed oil nothing but density and flash is known: it is taken as linalool, the middle one of rows O44
# to O49. The neat flash point matters more than the curve (oils.md, below O57). C, a proposal
TYPED_OIL_EVAPORATES_LIKE = "linalool"


@dataclass(frozen=True, slots=True)
class Constituent:
    """Part of an oil.

    Attributes
    ----------
    compound : Compound
    low_pct, high_pct : float or None
        Its share of the oil by mass; None where only the data sheet of the lot gives it.
    row, sure, source : str
        As in `Figure`.
    """

    compound: Compound
    low_pct: float | None
    high_pct: float | None
    row: str
    sure: str
    source: str


@dataclass(frozen=True, slots=True)
class EssentialOil:
    """One kind of oil. (`core.setup.Oil` is the oil of one melt.)

    Attributes
    ----------
    name : str
        Its name in files and on the console: 'tea-tree'.
    shown_name, botanical : str
        Its name for people, already translated, and the plant's.
    aliases : tuple of str
        Other names it is found by.
    density_kg_per_m3 : Figure
        At 20 °C.
    flash_c : Figure or None
        The lowest figure quoted for the neat oil; None when the tables have none.
    flash_at_least : bool
        It is only known to lie above `flash_c`.
    evaporates_like : Compound
        The compound whose vapour pressure stands for the whole oil.
    like_source : str
        Why that one.
    like_guessed : bool
        No row of the tables pairs the two.
    constituents : tuple of Constituent
    table_name : str
        Its name in `oils.toml`, whatever a bottle is called; '' for an oil known from its data sheet only.
    """

    name: str
    shown_name: str
    botanical: str
    aliases: tuple[str, ...]
    density_kg_per_m3: Figure
    flash_c: Figure | None
    flash_at_least: bool
    evaporates_like: Compound
    like_source: str
    like_guessed: bool
    constituents: tuple[Constituent, ...]
    table_name: str = ""

    def density_g_per_ml(self, temp_c: float = DENSITY_AT_C) -> float:
        """Density, falling by 0.8 kg/m³ a kelvin (row O24)."""
        return (self.density_kg_per_m3.value + DENSITY_SLOPE_KG_PER_M3_K * (temp_c - DENSITY_AT_C)) / 1000.0

    def vapour_pressure_pa(self, temp_c: float) -> float:
        """Vapour pressure of the neat oil, taken as the compound it evaporates like (rows O44 to O49)."""
        assert self.evaporates_like.vapour is not None
        return self.evaporates_like.vapour.pressure_pa(temp_c)


@cache
def load_oils(path: Path | None = None) -> Mapping[str, EssentialOil]:
    """Return the oils of `resources/data/oils.toml`, or of another such file, by name in file order.

    Raises
    ------
    BadDataError
        The file cannot be read as oils; the text names the oil and the figure.
    """
    path = path or data_file("oils.toml")
    compounds = load_compounds()
    return MappingProxyType(
        {name: _oil(path.name, name, table, compounds) for name, table in read_tables(path).items()}
    )


def find_oil(name: str, oils: Mapping[str, EssentialOil] | None = None) -> EssentialOil:
    """Return the oil of that name, plant or alias; capitals, spaces and hyphens do not matter.

    Raises
    ------
    FixableError
        No such oil; the text names the nearest and says what can be typed instead.
    """
    oils = load_oils() if oils is None else oils
    names = {_plain(word): oil for oil in oils.values() for word in _names_of(oil)}
    found = names.get(_plain(name))
    if found is not None:
        return found
    near = difflib.get_close_matches(_plain(name), names, n=1, cutoff=0.6)
    if near:
        nearest = names[near[0]].name
        raise FixableError(
            tr(
                "No oil is called “{name}”: is it {nearest}? If not, type the density and the flash point "
                "from its data sheet."
            ).format(name=name, nearest=nearest)
        )
    raise FixableError(
        tr(
            "No oil is called “{name}”: choose one of {names}, or type the density and the flash point from "
            "its data sheet."
        ).format(name=name, names=", ".join(oils))
    )


def typed_oil(name: str, density_g_per_ml: float, flash_c: float | None) -> EssentialOil:
    """Return an oil of which only the data sheet's density (at 20 °C) and flash point are known.

    Raises
    ------
    FixableError
        A density or a flash point that no oil has.
    """
    # The tables' oils lie between 0.84 and 1.06 g/mL; fragrance oils reach a little further.
    if not 0.7 <= density_g_per_ml <= 1.3:
        raise FixableError(
            tr("{density} g/mL is no oil: type grams per millilitre, from 0.7 to 1.3.").format(
                density=f"{density_g_per_ml:g}"
            )
        )
    if flash_c is not None and not 0.0 <= flash_c <= 250.0:
        raise FixableError(
            tr("A flash point of {flash} °C cannot be: type °C from the data sheet, from 0 to 250.").format(
                flash=f"{flash_c:g}"
            )
        )
    sheet = tr("typed from the data sheet")
    compound = load_compounds()[TYPED_OIL_EVAPORATES_LIKE]
    return EssentialOil(
        name=name,
        shown_name=name,
        botanical="",
        aliases=(),
        density_kg_per_m3=Figure(density_g_per_ml * 1000.0, "-", "S", sheet),
        flash_c=None if flash_c is None else Figure(flash_c, "-", "S", sheet),
        flash_at_least=False,
        evaporates_like=compound,
        like_source=tr("not known: taken as {compound}").format(compound=compound.shown_name),
        like_guessed=True,
        constituents=(),
    )


def with_data_sheet(
    oil: EssentialOil, density_g_per_ml: float | None = None, flash_c: float | None = None
) -> EssentialOil:
    """Return the oil with its own data sheet's figures in place of the tables'; None keeps the table's.

    Raises
    ------
    FixableError
        As for `typed_oil`.
    """
    sheet = typed_oil(
        oil.name,
        oil.density_g_per_ml() if density_g_per_ml is None else density_g_per_ml,
        flash_c,
    )
    if density_g_per_ml is not None:
        oil = replace(oil, density_kg_per_m3=sheet.density_kg_per_m3)
    if flash_c is not None:
        oil = replace(oil, flash_c=sheet.flash_c, flash_at_least=False)
    return oil


def described_oil(
    name: str, table_name: str, density_g_per_ml: float | None = None, flash_c: float | None = None
) -> EssentialOil:
    """Return an oil as a shop describes it: a kind of the table under its own name, with its own figures.

    These four values are all that needs to be kept of an oil to have it again.

    Parameters
    ----------
    name : str
        What she calls it.
    table_name : str
        Name in `oils.toml`; '' for an oil that only its data sheet describes.
    density_g_per_ml, flash_c : float or None
        Its data sheet's; None keeps the table's.

    Raises
    ------
    FixableError
        The table does not have it, a figure is impossible, or the density of an oil outside the table is
        missing.
    """
    if table_name:
        oil = with_data_sheet(find_oil(table_name), density_g_per_ml, flash_c)
        return replace(oil, name=name, shown_name=oil.shown_name if name == oil.name else name)
    if density_g_per_ml is None:
        raise FixableError(tr("Type the density on the data sheet of “{name}”.").format(name=name))
    return typed_oil(name, density_g_per_ml, flash_c)


def vapour_pressure_pa(name: str, temp_c: float) -> float:
    """Return the vapour pressure in pascals of an oil or a compound by its name.

    An oil evaporates like its leading compound (rows O44 to O49), a compound by its own curve.

    Raises
    ------
    FixableError
        Neither an oil nor a compound with a known curve.
    """
    compound = load_compounds().get(name)
    if compound is not None and compound.vapour is not None:
        return compound.vapour.pressure_pa(temp_c)
    return find_oil(name).vapour_pressure_pa(temp_c)


def _names_of(oil: EssentialOil) -> tuple[str, ...]:
    return (oil.name, oil.shown_name, oil.botanical, *oil.aliases)


def _plain(name: str) -> str:
    return " ".join(name.casefold().replace("-", " ").replace("_", " ").split())


def _oil(file: str, name: str, table: Any, compounds: Mapping[str, Compound]) -> EssentialOil:
    like = required(file, name, table, "evaporates_like", str)
    if like not in compounds or compounds[like].vapour is None:
        raise BadDataError(
            tr("{file}: {place} names no compound with a vapour pressure.").format(
                file=file, place=f"{name}.evaporates_like"
            )
        )
    flash = table.get("flash_c")
    return EssentialOil(
        name=name,
        shown_name=tr(required(file, name, table, "shown_name", str)),
        botanical=str(table.get("botanical", "")),
        aliases=tuple(str(alias) for alias in table.get("aliases", ())),
        density_kg_per_m3=read_figure(file, f"{name}.density_kg_per_m3", table.get("density_kg_per_m3")),
        flash_c=None if flash is None else read_figure(file, f"{name}.flash_c", flash),
        flash_at_least=isinstance(flash, dict) and flash.get("at_least") is True,
        evaporates_like=compounds[like],
        like_source=required(file, name, table, "like_source", str),
        like_guessed=table.get("guess") is True,
        constituents=tuple(_constituent(file, name, row, compounds) for row in table.get("constituents", ())),
        table_name=name,
    )


def _constituent(file: str, name: str, row: Any, compounds: Mapping[str, Compound]) -> Constituent:
    compound = required(file, f"{name}.constituents", row, "compound", str)
    place = f"{name}.{compound}"
    if compound not in compounds:
        raise BadDataError(
            tr("{file}: {place} is not in the table of compounds.").format(file=file, place=place)
        )
    shares = {key: row.get(key) for key in ("low_pct", "high_pct")}
    for key, share in shares.items():
        if share is not None and not (is_number(share) and 0.0 <= share <= 100.0):
            raise BadDataError(
                tr("{file}: {place} needs a share from 0 to 100 %.").format(file=file, place=f"{place}.{key}")
            )
    row_id, sure, source = (required(file, place, row, key, str) for key in ("row", "sure", "source"))
    return Constituent(compounds[compound], shares["low_pct"], shares["high_pct"], row_id, sure, source)
