"""What is typed of each kind of thing in the cupboard."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import date

from candlebench.core.plan.tables import Tables
from candlebench.core.setup import Limits
from candlebench.core.units import Shown
from candlebench.records.cupboard_stock import Stock
from candlebench.words import tr

# Figures are bounded as plans and oils bound them (`core.plan.faults`, `core.materials.oil`); stock and
# prices widely, ours, no source.
_MOST_STOCK = 1_000_000.0
_LIMIT_C = (0.0, 250.0)

Value = str | float | bool | date | None
Values = Mapping[str, Value]


@dataclass(frozen=True, slots=True)
class Field:
    """One field.

    Attributes
    ----------
    key : str
    name : str
        What stands before it.
    kind : str
        'text', 'number', 'whole', 'choice', 'tick' or 'day'.
    unit : str
    low, high : float
        What a number may be.
    needed : bool
        Whether it may not be left empty.
    choices : tuple of (str, str)
        Key and words of each.
    more : bool
        Shown only after 'More'.
    remark : str
        Behind the field.
    """

    key: str
    name: str
    kind: str
    unit: str = ""
    low: float = 0.0
    high: float = _MOST_STOCK
    needed: bool = False
    choices: tuple[tuple[str, str], ...] = ()
    more: bool = False
    remark: str = ""


def fields_of(shelf: str, stock: Stock, tables: Tables, shown: Shown) -> tuple[Field, ...]:
    """Return the fields of a thing on one shelf, in the order they are typed."""
    taught = tr("what melts teach is kept under this name") if shelf == "waxes" else ""
    name = Field("name", tr("Name"), "text", needed=True, remark=taught)
    if shelf == "leftovers":
        return (name, *_leftover_fields(stock, tables), _since())
    unit = {"waxes": "g", "oils": "mL"}.get(shelf, "")
    middle: tuple[Field, ...] = ()
    match shelf:
        case "waxes":
            middle = _wax_fields(tables, shown)
        case "oils":
            middle = _oil_fields(tables, shown)
        case "jars":
            middle = _jar_fields(tables)
        case "wicks":
            middle = _wick_fields(tables)
    plain = tuple(field for field in middle if not field.more)
    more = tuple(field for field in middle if field.more)
    left = Field("left", tr("In stock"), "number" if unit else "whole", unit, needed=True)
    return (name, *plain, left, *_price_fields(unit), _since(), *more, *_last_fields(unit))


LIMITS: tuple[str, ...] = tuple(limit.name for limit in fields(Limits))


def _wax_fields(tables: Tables, shown: Shown) -> tuple[Field, ...]:
    waxes = tuple((name, wax.shown_name) for name, wax in tables.waxes.items())
    low, high = (round(shown.number(c), 1) for c in (25.0, 100.0))
    coldest, hottest = (round(shown.number(c), 1) for c in _LIMIT_C)
    names = {
        "melted_c": tr("Melted above"),
        "oil_low_c": tr("Oil in from"),
        "oil_high_c": tr("Oil in up to"),
        "pour_low_c": tr("Pour from"),
        "pour_high_c": tr("Pour up to"),
        "warn_c": tr("Warn at"),
        "strong_c": tr("Warn strongly at"),
        "stop_c": tr("Stop heating at"),
    }
    return (
        Field("wax", tr("Kind of wax"), "choice", choices=waxes),
        Field("own", tr("My own wax, not bought"), "tick"),
        Field("colour", tr("Colour"), "text"),
        Field("set_c", tr("Seen to set at"), "number", shown.sign, low, high, more=True),
        Field("oil_limit_pct", tr("Oil at most"), "number", "%", 0.0, 30.0, more=True),
        Field("pellets_g_per_ml", tr("Pellets, loosely filled"), "number", "g/mL", 0.2, 1.0, more=True),
        Field("liquid_g_per_ml", tr("Melted, density"), "number", "g/mL", 0.6, 1.2, more=True),
        Field("shrinkage_pct", tr("Shrinks by"), "number", "%", 0.0, 30.0, more=True),
        *(Field(key, names[key], "number", shown.sign, coldest, hottest, more=True) for key in LIMITS),
    )


def _oil_fields(tables: Tables, shown: Shown) -> tuple[Field, ...]:
    oils = tuple((name, oil.shown_name) for name, oil in tables.oils.items())
    low, high = (round(shown.number(c), 1) for c in (0.0, 250.0))
    return (
        Field("oil", tr("Kind of oil"), "choice", choices=(*oils, ("", tr("Another, by its data sheet")))),
        Field("density_g_per_ml", tr("Density"), "number", "g/mL", 0.7, 1.3, remark=tr("of its data sheet")),
        Field("flash_c", tr("Flash point"), "number", shown.sign, low, high, remark=tr("of its data sheet")),
    )


def _jar_fields(tables: Tables) -> tuple[Field, ...]:
    kinds = tuple((name, kind.shown_name) for name, kind in tables.jars.kinds.items())
    return (
        Field("kind", tr("Made of"), "choice", choices=kinds),
        Field("diameter_mm", tr("Inside diameter"), "number", "mm", 10.0, 300.0, needed=True),
        Field("fill_mm", tr("Pour to"), "number", "mm", 5.0, 500.0),
        Field("height_mm", tr("Inside height"), "number", "mm", 5.0, 600.0),
        Field("bottom_mm", tr("Diameter at the bottom"), "number", "mm", 10.0, 300.0, more=True),
        Field("water_fill_g", tr("Weight of water up to the line"), "number", "g", 1.0, 20000.0, more=True),
        Field("water_brim_g", tr("Weight of water up to the rim"), "number", "g", 1.0, 20000.0, more=True),
    )


def _wick_fields(tables: Tables) -> tuple[Field, ...]:
    series = tuple((name, each.shown_name) for name, each in tables.wicks.series.items())
    return (
        Field("series", tr("Kind of wick"), "choice", choices=(*series, ("", tr("Another")))),
        Field("size", tr("Size"), "text", needed=True),
    )


def _leftover_fields(stock: Stock, tables: Tables) -> tuple[Field, ...]:
    waxes = tuple((name, wax.shown_name) for name, wax in tables.waxes.items())
    bottles = tuple((bottle.name, bottle.name) for bottle in stock.cupboard.oils)
    known = {name for name, _ in bottles}
    carried = tuple(
        (oil.name, oil.shown_name)
        for leftover in stock.cupboard.leftovers
        for oil, _ in leftover.oils
        if oil.name not in known
    )
    known |= {name for name, _ in carried}
    oils = tuple((name, oil.shown_name) for name, oil in tables.oils.items() if name not in known)
    choices = (("", tr("None")), *bottles, *dict(carried).items(), *oils)
    return (
        Field("left", tr("In stock"), "number", "g", 0.1, needed=True),
        Field("wax", tr("Kind of wax"), "choice", choices=waxes),
        Field("oil", tr("Oil in it"), "choice", choices=choices),
        Field("share", tr("Share of oil"), "number", "%", 0.0, 30.0, remark=tr("of wax and oil together")),
    )


def _price_fields(unit: str) -> tuple[Field, ...]:
    return (
        Field("paid", tr("Paid"), "number"),
        Field("paid_for", tr("for"), "number", unit or tr("pieces")),
    )


def _since() -> Field:
    return Field("since", tr("Here since"), "day")


def _last_fields(unit: str) -> tuple[Field, ...]:
    remark = tr("empty: a fifth of the most there was")
    return (
        Field("low", tr("Runs low at"), "number" if unit else "whole", unit, more=True, remark=remark),
        Field("full", tr("The bar is full at"), "number" if unit else "whole", unit, more=True),
        Field("note", tr("Note"), "text", more=True),
    )
