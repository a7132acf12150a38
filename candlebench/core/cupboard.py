"""The store cupboard: what is in it. What a batch takes out of it is in `stock_taking`."""

from dataclasses import dataclass

from candlebench.core.errors import FixableError
from candlebench.core.materials.oil import EssentialOil, described_oil
from candlebench.core.plan.request import Leftover
from candlebench.core.setup import Limits
from candlebench.words import tr


@dataclass(frozen=True, slots=True)
class Price:
    """What was paid for how much: 22.00 for 1000 g, 4.50 for 10 mL, 3.00 for 25 wicks.

    Raises
    ------
    FixableError
        A sum below zero, or an amount that is not above it.
    """

    paid: float
    amount: float

    def __post_init__(self) -> None:
        if not (self.paid >= 0.0 and self.amount > 0.0):
            raise FixableError(tr("Type what was paid, 0 or more, and for how much, more than 0."))

    @property
    def each(self) -> float:
        """For one gram, millilitre or piece."""
        return self.paid / self.amount


@dataclass(frozen=True, slots=True)
class WaxLot:
    """One lot of wax.

    Attributes
    ----------
    name : str
        What she calls it, 'Meadow 7'.
    wax : str
        Name in `waxes.toml`.
    stock_g : float
    own : bool
        Own wax rather than bought.
    colour : str
    set_c : float or None
        Setting temperature seen in melts.
    price : Price or None
        Per gram.
    limits : Limits or None
        Its own windows and limits.
    oil_limit_pct, pellets_g_per_ml, liquid_g_per_ml, shrinkage_pct : float or None
        Its own figures.
    note : str
    """

    name: str
    wax: str
    stock_g: float
    own: bool = False
    colour: str = ""
    set_c: float | None = None
    price: Price | None = None
    limits: Limits | None = None
    oil_limit_pct: float | None = None
    pellets_g_per_ml: float | None = None
    liquid_g_per_ml: float | None = None
    shrinkage_pct: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class OilBottle:
    """One bottle of oil.

    Attributes
    ----------
    name : str
        What she calls it.
    oil : str
        Name in `oils.toml`; '' for one that only its data sheet describes.
    stock_ml : float
    price : Price or None
        Per millilitre.
    density_g_per_ml, flash_c : float or None
        Its own data sheet's, which go before the table's.
    """

    name: str
    oil: str
    stock_ml: float
    price: Price | None = None
    density_g_per_ml: float | None = None
    flash_c: float | None = None
    note: str = ""

    def essential_oil(self) -> EssentialOil:
        """The oil as a plan wants it, under the bottle's own name.

        Raises
        ------
        FixableError
            The oil is not in the table and its density was not typed, or a figure is impossible.
        """
        return described_oil(self.name, self.oil, self.density_g_per_ml, self.flash_c)


@dataclass(frozen=True, slots=True)
class JarStock:
    """Jars of one kind, with the sizes a plan takes over; `kind` is a name in `jars.toml`."""

    name: str
    count: int
    diameter_mm: float
    fill_mm: float | None = None
    bottom_mm: float | None = None
    height_mm: float | None = None
    water_fill_g: float | None = None
    water_brim_g: float | None = None
    kind: str = "glass"
    price: Price | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class WickStock:
    """Wicks of one size, by the piece."""

    name: str
    series: str
    size: str
    count: int
    price: Price | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class LabelStock:
    """Labels of one kind."""

    name: str
    count: int
    price: Price | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Cupboard:
    """All that is in stock. Names are unique within a shelf."""

    waxes: tuple[WaxLot, ...] = ()
    oils: tuple[OilBottle, ...] = ()
    jars: tuple[JarStock, ...] = ()
    wicks: tuple[WickStock, ...] = ()
    labels: tuple[LabelStock, ...] = ()
    leftovers: tuple[Leftover, ...] = ()
