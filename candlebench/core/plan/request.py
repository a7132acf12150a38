"""What a person asks of a plan."""

from dataclasses import dataclass, field
from enum import Enum

from candlebench.core.materials.oil import EssentialOil
from candlebench.core.setup import Limits


class Basis(Enum):
    """What the share of oil is a share of (rows O79 and O80)."""

    WHOLE = "whole"
    WAX = "wax"


class Verdict(Enum):
    """What an own burn test said of a wick."""

    GOOD = "good"
    TOO_SMALL = "too small"
    TOO_BIG = "too big"


@dataclass(frozen=True, slots=True)
class OilPart:
    """One oil of a blend. `parts` counts against the other oils': 70 and 30, or 2 and 1, are both right."""

    oil: EssentialOil
    parts: float = 1.0


@dataclass(frozen=True, slots=True)
class OwnBurn:
    """The result of an own burn test, which goes before the table.

    Attributes
    ----------
    wax : str
        Name of the wax.
    width_mm : float
        Inside width of the jar at the surface.
    count : int
        Wicks in it.
    series, size : str
        As in the wick table, or her own words.
    verdict : Verdict
    """

    wax: str
    width_mm: float
    count: int
    series: str
    size: str
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Leftover:
    """Wax left from earlier, to be melted again.

    Attributes
    ----------
    name : str
    waxes : tuple of (str, float)
        Grams of each wax in it, by name.
    oils : tuple of (EssentialOil, float)
        Grams of each oil in it.
    """

    name: str
    waxes: tuple[tuple[str, float], ...]
    oils: tuple[tuple[EssentialOil, float], ...] = ()

    @property
    def wax_g(self) -> float:
        """Wax in it."""
        return sum(mass_g for _, mass_g in self.waxes)

    @property
    def oil_g(self) -> float:
        """Oil in it, if none has gone off."""
        return sum(mass_g for _, mass_g in self.oils)

    @property
    def mass_g(self) -> float:
        """All of it."""
        return self.wax_g + self.oil_g

    def part(self, mass_g: float) -> "Leftover":
        """So many grams of it, with everything in the same proportion."""
        share = mass_g / self.mass_g
        return Leftover(
            self.name,
            tuple((name, grams * share) for name, grams in self.waxes),
            tuple((oil, grams * share) for oil, grams in self.oils),
        )


@dataclass(frozen=True, slots=True)
class Prices:
    """What things cost, each None when not said. Any currency, `currency` is only repeated.

    Attributes
    ----------
    currency : str
    wax_per_kg : float or None
    oil_per_ml : tuple of (str, float)
        By the oil's name.
    wick_each, jar_each, label_each : float or None
        Per wick, jar and label.
    energy_per_kwh, work_per_h : float or None
    work_min : float or None
        Hands-on time of the whole batch; None when it is not counted.
    hob : str
        'electric', 'gas' or 'induction'.
    margin_pct : float
        Share of the selling price that is left over the cost.
    """

    currency: str = ""
    wax_per_kg: float | None = None
    oil_per_ml: tuple[tuple[str, float], ...] = ()
    wick_each: float | None = None
    jar_each: float | None = None
    label_each: float | None = None
    energy_per_kwh: float | None = None
    work_per_h: float | None = None
    work_min: float | None = None
    hob: str = "electric"
    margin_pct: float = 0.0


@dataclass(frozen=True, slots=True)
class PlanRequest:
    """One batch as it is asked for. Every None is filled from the tables.

    Attributes
    ----------
    diameter_mm : float
        Inside width at the top: at `height_mm`, or at the fill line when that is None.
    fill_mm : float or None
        How high it is poured; None when `water_fill_g` says how much that is.
    bottom_mm : float or None
        Inside width at the bottom; None for a straight jar.
    height_mm : float or None
        Inside height up to the rim.
    water_fill_g, water_brim_g : float or None
        Water it was weighed to hold up to the fill line, or up to the rim (then with `height_mm`).
    jar_kind : str
        Name in `jars.toml`.
    jar_c : float or None
        Temperature of the jar when it is poured into; None for the room's.
    count : int
        Candles.
    wax : str
        Name in `waxes.toml`.
    lot : str
        What she calls the lot.
    pour_c : float or None
        None for the middle of the pour window.
    limits : Limits or None
        The lot's own windows and limits.
    liquid_g_per_ml, shrinkage_pct, pellets_g_per_ml, oil_limit_pct : float or None
        The lot's own figures.
    oils : tuple of OilPart
    load_pct : float
        Oil in all, as a share of `basis`.
    basis : Basis
    leftovers : tuple of Leftover
        Melted in with the fresh wax.
    pool_mm : float or None
        Width of the melt pool that is aimed at; None for the whole surface.
    wick_count : int or None
        Her own number of wicks.
    wick_size : str
        Her own size; '' to be guessed.
    own_burns : tuple of OwnBurn
        The latest last.
    jug_left_g, spoon_left_g, wick_mm : float or None
    wax_step_g, oil_step_g : float
        Step of the scale that weighs each.
    room_c, altitude_m : float
    prices : Prices
    """

    diameter_mm: float
    fill_mm: float | None = None
    bottom_mm: float | None = None
    height_mm: float | None = None
    water_fill_g: float | None = None
    water_brim_g: float | None = None
    jar_kind: str = "glass"
    jar_c: float | None = None
    count: int = 1
    wax: str = "beeswax"
    lot: str = ""
    pour_c: float | None = None
    limits: Limits | None = None
    liquid_g_per_ml: float | None = None
    shrinkage_pct: float | None = None
    pellets_g_per_ml: float | None = None
    oil_limit_pct: float | None = None
    oils: tuple[OilPart, ...] = ()
    load_pct: float = 0.0
    basis: Basis = Basis.WHOLE
    leftovers: tuple[Leftover, ...] = ()
    pool_mm: float | None = None
    wick_count: int | None = None
    wick_size: str = ""
    own_burns: tuple[OwnBurn, ...] = ()
    jug_left_g: float | None = None
    spoon_left_g: float | None = None
    wick_mm: float | None = None
    wax_step_g: float = 1.0
    oil_step_g: float = 0.1
    room_c: float = 20.0
    altitude_m: float = 0.0
    prices: Prices = field(default_factory=Prices)
