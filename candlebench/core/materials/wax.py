"""The waxes a person can choose, with their proposed windows and limits, and what cold oil does to them."""

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from pathlib import Path
from types import MappingProxyType
from typing import Any

from candlebench.core.errors import BadDataError
from candlebench.core.materials.figure import Figure, data_file, read_figure, read_tables
from candlebench.core.materials.water import local_boiling_c
from candlebench.core.setup import Limits, Oil
from candlebench.words import tr

# F5, W1: stay this far below the estimated flash point of the scented wax, itself +- 10 K (F28). C (proposal)
FLASH_MARGIN_K = 10.0
# O84: specific heat of essential oils, middle of 1.8 to 2.1 J/g K; from memory, check before relying on it. M
OIL_J_PER_G_K = 1.95
# H29: a small steel jug, 250 g at 0.5 J/g K. C
SMALL_JUG_J_PER_K = 125.0
# H29 to H32: a jug off the heat at 75 degC in a 20 degC room loses 0.7 to 1.4 K a minute. C, +- 30 %
JUG_COOLING_C_PER_MIN = 1.0
# Common practice, no source: a minute of stirring after the oil.
STIRRING_MIN = 1.0

_LIMIT_NAMES = tuple(field.name for field in fields(Limits))
_NEEDED_FIGURES = (
    *_LIMIT_NAMES,
    "liquid_j_per_g_k",
    "liquid_kg_per_m3_at_70c",
    "liquid_slope_kg_per_m3_k",
    "molar_g_per_mol",
    "oil_limit_pct",
)
_KNOWN_FIGURES = (*_NEEDED_FIGURES, "flash_c", "solid_kg_per_m3")
# W15: the density lines are anchored there.
_DENSITY_AT_C = 70.0


@dataclass(frozen=True, slots=True)
class Wax:
    """One kind of wax.

    Attributes
    ----------
    name : str
        Its name in files and addresses: 'beeswax'.
    shown_name : str
        Its name for people, already translated.
    limits : Limits
        Proposed windows and limits at sea level without oil.
    figures : Mapping[str, Figure]
        Every figure with its source, by name: the limits' names, and 'flash_c', 'liquid_j_per_g_k',
        'liquid_kg_per_m3_at_70c', 'liquid_slope_kg_per_m3_k', 'solid_kg_per_m3', 'molar_g_per_mol' and
        'oil_limit_pct'. 'flash_c' and 'solid_kg_per_m3' may be missing.
    flash_c : float or None
        Flash point of the plain wax; None when no figure is at hand.
    liquid_j_per_g_k : float
        Specific heat of the melted wax.
    note : str
        What a maker should know before relying on the figures, already translated.
    """

    name: str
    shown_name: str
    limits: Limits
    figures: Mapping[str, Figure]
    flash_c: float | None
    liquid_j_per_g_k: float
    note: str

    @property
    def to_test(self) -> tuple[str, ...]:
        """Names of the figures that are only a place to begin for this wax."""
        return tuple(name for name, figure in self.figures.items() if figure.to_test)

    @property
    def molar_g_per_mol(self) -> float:
        """Average molar mass, for the flash point of scented wax."""
        return self.figures["molar_g_per_mol"].value

    @property
    def oil_limit_pct(self) -> float:
        """The most oil it is to hold, in per cent of wax and oil together."""
        return self.figures["oil_limit_pct"].value

    def liquid_g_per_ml(self, temp_c: float) -> float:
        """Density of the melted wax, on a line through 70 °C (row W15 for beeswax)."""
        slope = self.figures["liquid_slope_kg_per_m3_k"].value
        at_70 = self.figures["liquid_kg_per_m3_at_70c"].value
        return (at_70 + slope * (temp_c - _DENSITY_AT_C)) / 1000.0

    def solid_g_per_ml(self) -> float | None:
        """Density of the set wax at room temperature; None where no figure is at hand."""
        figure = self.figures.get("solid_kg_per_m3")
        return None if figure is None else figure.value / 1000.0

    def shrinkage(self, pour_c: float) -> float | None:
        """Share of its volume that the wax loses from the pour to the set candle (row W20).

        None where one of the two densities is not known of this wax.
        """
        solid = self.solid_g_per_ml()
        if solid is None or self.figures["liquid_kg_per_m3_at_70c"].to_test:
            return None
        return 1.0 - self.liquid_g_per_ml(pour_c) / solid


def load_waxes(path: Path | None = None) -> dict[str, Wax]:
    """Return the waxes of `resources/data/waxes.toml`, or of another such file, by name in file order.

    Raises
    ------
    BadDataError
        The file cannot be read as waxes; the text names the wax and the figure.
    """
    path = path or data_file("waxes.toml")
    return {name: _wax(path.name, name, table) for name, table in read_tables(path).items()}


def _wax(file: str, name: str, table: Any) -> Wax:
    if not isinstance(table, dict) or not isinstance(table.get("shown_name"), str):
        raise BadDataError(tr("{file}: wax {wax} has no shown_name.").format(file=file, wax=name))
    figures: dict[str, Figure] = {}
    for key, row in table.items():
        if key in ("shown_name", "note", "source"):
            continue
        if key not in _KNOWN_FIGURES:
            raise BadDataError(
                tr("{file}: {place} is not a known figure; write one of {names}.").format(
                    file=file, place=f"{name}.{key}", names=", ".join(_KNOWN_FIGURES)
                )
            )
        figures[key] = read_figure(file, f"{name}.{key}", row)
    for needed in _NEEDED_FIGURES:
        if needed not in figures:
            raise BadDataError(tr("{file}: {place} is missing.").format(file=file, place=f"{name}.{needed}"))
    return Wax(
        name=name,
        shown_name=tr(table["shown_name"]),
        limits=Limits(**{limit: figures[limit].value for limit in _LIMIT_NAMES}),
        figures=MappingProxyType(figures),
        flash_c=figures["flash_c"].value if "flash_c" in figures else None,
        liquid_j_per_g_k=figures["liquid_j_per_g_k"].value,
        note=tr(table["note"]) if table.get("note") else "",
    )


def limits_for(wax: Wax, altitude_m: float = 0.0, oil: Oil | None = None) -> Limits:
    """Return the limits of one melt: the wax's own, lowered by the altitude and by the oil.

    Heating stops at the lower of the wax's limit and the local boiling point (row F3). The oil window's upper
    edge stays 10 K under the estimated flash point of the scented wax (rows W1 and F6); it may fall below the
    lower edge, see `oil_window_open`.

    Raises
    ------
    FixableError
        The altitude is impossible.
    """
    plain = wax.limits
    stop_c = min(plain.stop_c, local_boiling_c(altitude_m))
    oil_high_c = plain.oil_high_c
    if oil is not None and oil.scented_flash_c is not None:
        oil_high_c = min(oil_high_c, oil.scented_flash_c - FLASH_MARGIN_K)
    return replace(
        plain,
        oil_high_c=oil_high_c,
        warn_c=min(plain.warn_c, stop_c),
        strong_c=min(plain.strong_c, stop_c),
        stop_c=stop_c,
    )


def oil_window_open(limits: Limits) -> bool:
    """Tell whether any temperature is safe for the oil: false when the window's edges have crossed (F6)."""
    return limits.oil_high_c >= limits.oil_low_c


def warn_after_oil_c(limits: Limits, oil: Oil | None) -> float:
    """Return where to warn once the oil is in: 10 K under the scented wax's flash point at most (F5)."""
    if oil is None or oil.scented_flash_c is None:
        return limits.warn_c
    return min(limits.warn_c, oil.scented_flash_c - FLASH_MARGIN_K)


def oil_chill_c(
    wax_g: float,
    oil_g: float,
    temp_c: float,
    oil_temp_c: float,
    *,
    wax_j_per_g_k: float = 2.3,
    pot_j_per_k: float = SMALL_JUG_J_PER_K,
) -> float:
    """Return how far cold oil, mixed in, lowers the melt, in kelvin.

    Parameters
    ----------
    wax_g, oil_g : float
        Masses in the jug, in grams.
    temp_c, oil_temp_c : float
        Temperatures of the melt and of the oil before mixing.
    wax_j_per_g_k : float
        Specific heat of the melted wax; 2.3 for beeswax (row W24).
    pot_j_per_k : float
        Heat capacity of the jug; 125 J/K for a small steel one (row H29).

    Notes
    -----
    Row O84: drop = m_o c_o (T - T_o) / (m_w c_w + C_pot + m_o c_o). For a melt that stays liquid.
    """
    return _oil_share_of_heat(wax_g, oil_g, wax_j_per_g_k, pot_j_per_k) * (temp_c - oil_temp_c)


def useful_oil_end_c(
    limits: Limits,
    wax_g: float,
    oil_g: float,
    oil_temp_c: float,
    *,
    wax_j_per_g_k: float = 2.3,
    pot_j_per_k: float = SMALL_JUG_J_PER_K,
    cooling_c_per_min: float = JUG_COOLING_C_PER_MIN,
    stirring_min: float = STIRRING_MIN,
) -> float:
    """Return the lowest temperature at which the oil still can go in and the melt be poured in its window.

    The oil chills the melt (`oil_chill_c`), stirring takes a minute in which it cools further, and what is
    left must not lie below the pour window. Never below the oil window's own lower edge. About 72 °C for
    6 % of oil in beeswax.
    """
    share = _oil_share_of_heat(wax_g, oil_g, wax_j_per_g_k, pot_j_per_k)
    after_chill_c = limits.pour_low_c + cooling_c_per_min * stirring_min
    return max(limits.oil_low_c, (after_chill_c - share * oil_temp_c) / (1.0 - share))


def _oil_share_of_heat(wax_g: float, oil_g: float, wax_j_per_g_k: float, pot_j_per_k: float) -> float:
    oil_j_per_k = oil_g * OIL_J_PER_G_K
    return oil_j_per_k / (wax_g * wax_j_per_g_k + pot_j_per_k + oil_j_per_k)
