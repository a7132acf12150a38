"""The cupboard with what the shop remembers beside each thing, and the changes that are made to it."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from types import MappingProxyType

from candlebench.core.cupboard import Cupboard, JarStock, LabelStock, OilBottle, WaxLot, WickStock
from candlebench.core.errors import FixableError
from candlebench.core.plan.request import Leftover
from candlebench.words import tr

Thing = WaxLot | OilBottle | JarStock | WickStock | LabelStock | Leftover

# The shelves as fields of `Cupboard`, in its order, with what lies on them and what it is counted in.
KINDS: Mapping[str, type[Thing]] = MappingProxyType(
    {
        "waxes": WaxLot,
        "oils": OilBottle,
        "jars": JarStock,
        "wicks": WickStock,
        "labels": LabelStock,
        "leftovers": Leftover,
    }
)
UNITS: Mapping[str, str] = MappingProxyType(
    {"waxes": "g", "oils": "mL", "jars": "", "wicks": "", "labels": "", "leftovers": "g"}
)

# Of the most that there was; ours, no source. She can type her own for each thing.
LOW_SHARE = 0.2
# So many batches are remembered, a year or more of a small shop. Ours, no source.
MOST_BATCHES = 200
# What rounding leaves of a thing that was used up.
_NOTHING = 1e-6


@dataclass(frozen=True, slots=True)
class Mark:
    """What is remembered of one thing beside its stock.

    Attributes
    ----------
    since : date or None
        When it came in.
    full : float or None
        The most that there was of it, for the bar.
    low : float or None
        With so much left, or less, it runs low; None for `LOW_SHARE` of `full`.
    """

    since: date | None = None
    full: float | None = None
    low: float | None = None


NO_MARK = Mark()


@dataclass(frozen=True, slots=True)
class BatchOut:
    """One batch that was taken out.

    Attributes
    ----------
    mark : str
        Of `core.stock_taking.batch_mark`.
    title : str
        What it was called, for whoever reads the file.
    at : datetime
        When, with its zone.
    """

    mark: str
    title: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Stock:
    """The cupboard; `marks` by shelf and name, `batches` that were taken out, the latest last."""

    cupboard: Cupboard = field(default_factory=Cupboard)
    marks: Mapping[tuple[str, str], Mark] = field(default_factory=lambda: MappingProxyType({}))
    batches: tuple[BatchOut, ...] = ()

    def taken_out(self, mark: str) -> BatchOut | None:
        """The last time that a batch of this mark was taken out, or None."""
        return next((out for out in reversed(self.batches) if out.mark == mark), None)

    def shelf(self, shelf: str) -> tuple[Thing, ...]:
        """What lies on one shelf, in the order it was put there."""
        things: tuple[Thing, ...] = getattr(self.cupboard, shelf)
        return things

    def find(self, shelf: str, name: str) -> Thing | None:
        """The thing of that name, or None."""
        return next((thing for thing in self.shelf(shelf) if thing.name == name), None)

    def mark(self, shelf: str, name: str) -> Mark:
        """What is remembered of it."""
        return self.marks.get((shelf, name), NO_MARK)

    @property
    def count(self) -> int:
        """How many things there are."""
        return sum(len(self.shelf(shelf)) for shelf in KINDS)


def amount_of(thing: Thing) -> float:
    """Return how much is left: grams of wax and leftovers, millilitres of oil, pieces of the rest."""
    match thing:
        case WaxLot():
            return thing.stock_g
        case OilBottle():
            return thing.stock_ml
        case Leftover():
            return thing.mass_g
        case _:
            return float(thing.count)


def with_amount(thing: Thing, amount: float) -> Thing:
    """Return the same thing with another amount left."""
    match thing:
        case WaxLot():
            return replace(thing, stock_g=amount)
        case OilBottle():
            return replace(thing, stock_ml=amount)
        case Leftover():
            return thing.part(amount)
        case _:
            return replace(thing, count=round(amount))


def runs_low(thing: Thing, mark: Mark) -> bool:
    """Whether to buy more soon. A leftover is there to be used up, it never runs low."""
    if isinstance(thing, Leftover):
        return False
    low = mark.low
    if low is None:
        low = LOW_SHARE * (mark.full or 0.0)
    return amount_of(thing) <= low + _NOTHING


def put(stock: Stock, thing: Thing, mark: Mark, instead_of: str = "") -> Stock:
    """Return the stock with a thing on its shelf, in the place of another of that name or at the end.

    Raises
    ------
    FixableError
        The shelf has another thing of that name.
    """
    shelf = shelf_of(thing)
    before = stock.shelf(shelf)
    if thing.name != instead_of and stock.find(shelf, thing.name) is not None:
        raise FixableError(
            tr("There is already one called “{name}”: type another name.").format(name=thing.name)
        )
    if stock.find(shelf, instead_of) is None:
        things = (*before, thing)
    else:
        things = tuple(thing if each.name == instead_of else each for each in before)
    marks = {place: kept for place, kept in stock.marks.items() if place != (shelf, instead_of)}
    marks[shelf, thing.name] = replace(mark, full=max(mark.full or 0.0, amount_of(thing)))
    return _with_shelf(stock, shelf, things, marks)


def taken_away(stock: Stock, shelf: str, name: str) -> Stock:
    """Return the stock without one thing."""
    things = tuple(thing for thing in stock.shelf(shelf) if thing.name != name)
    marks = {place: mark for place, mark in stock.marks.items() if place != (shelf, name)}
    return _with_shelf(stock, shelf, things, marks)


def changed_by(stock: Stock, shelf: str, name: str, difference: float) -> Stock:
    """Return the stock with so much more of one thing, or less below zero; a used-up leftover is gone.

    Raises
    ------
    FixableError
        More was to be taken than there is.
    """
    thing = stock.find(shelf, name)
    if thing is None:
        return stock
    left = amount_of(thing) + difference
    if left < -_NOTHING:
        raise FixableError(tr("There is not so much of “{name}” left.").format(name=name))
    if isinstance(thing, Leftover) and left <= _NOTHING:
        return taken_away(stock, shelf, name)
    return put(stock, with_amount(thing, max(0.0, left)), stock.mark(shelf, name), name)


def with_cupboard(stock: Stock, cupboard: Cupboard) -> Stock:
    """Return the stock with another cupboard, such as after a batch; marks of what is gone go too."""
    names = {(shelf, thing.name) for shelf in KINDS for thing in getattr(cupboard, shelf)}
    marks = MappingProxyType({k: mark for k, mark in stock.marks.items() if k in names})
    return replace(stock, cupboard=cupboard, marks=marks)


def with_batch(stock: Stock, out: BatchOut) -> Stock:
    """Return the stock that remembers a batch, and of the earlier ones the latest."""
    return replace(stock, batches=(*stock.batches, out)[-MOST_BATCHES:])


def shelf_of(thing: Thing) -> str:
    """Return the shelf that a thing lies on."""
    return next(shelf for shelf, kind in KINDS.items() if isinstance(thing, kind))


def free_name(stock: Stock, shelf: str, name: str) -> str:
    """Return the name, with a number behind it when the shelf has one of that name."""
    number, free = 1, name
    while stock.find(shelf, free) is not None:
        number += 1
        free = f"{name} ({number})"
    return free


def _with_shelf(
    stock: Stock, shelf: str, things: tuple[Thing, ...], marks: Mapping[tuple[str, str], Mark]
) -> Stock:
    cupboard = replace(stock.cupboard, **{shelf: things})  # type: ignore[arg-type]
    return replace(stock, cupboard=cupboard, marks=MappingProxyType(dict(marks)))
