"""What can be done to the cupboard, each with the sentence that is said of it."""

from collections.abc import Callable
from dataclasses import dataclass

from candlebench.core.cupboard import Cupboard
from candlebench.core.plan.request import Leftover
from candlebench.records.cupboard_stock import (
    BatchOut,
    Mark,
    Stock,
    Thing,
    changed_by,
    put,
    shelf_of,
    taken_away,
    with_batch,
    with_cupboard,
)
from candlebench.words import tr


@dataclass(frozen=True, slots=True)
class Change:
    """One change.

    Attributes
    ----------
    words : str
        What was done, one sentence.
    apply : callable
        The stock after it; raises `FixableError` where it cannot be done.
    row : tuple of (str, str) or None
        Shelf and name of what it was done to, when that is still there.
    """

    words: str
    apply: Callable[[Stock], Stock]
    row: tuple[str, str] | None = None


def put_in(thing: Thing, mark: Mark, before: Thing | None) -> Change:
    """A new thing, or one in the place of another."""
    name = before.name if before is not None else ""
    words = tr("“{name}” was put in.") if before is None else tr("“{name}” was changed.")
    row = (shelf_of(thing), thing.name)
    return Change(words.format(name=thing.name), lambda stock: put(stock, thing, mark, name), row)


def some(shelf: str, name: str, difference: float) -> Change:
    """More of a thing was added, or some was used (below zero)."""
    words = tr("More of “{name}” was added.") if difference > 0.0 else tr("Some of “{name}” was used.")
    return Change(
        words.format(name=name), lambda stock: changed_by(stock, shelf, name, difference), (shelf, name)
    )


def away(shelf: str, name: str) -> Change:
    """A thing is taken out for good."""
    words = tr("“{name}” was taken away.").format(name=name)
    return Change(words, lambda stock: taken_away(stock, shelf, name))


def thrown_together(together: Leftover, gone: str) -> Change:
    """A leftover with another one in it, which is then gone."""

    def apply(stock: Stock) -> Stock:
        mark = stock.mark("leftovers", together.name)
        return put(taken_away(stock, "leftovers", gone), together, mark, together.name)

    words = tr("“{gone}” was thrown together with “{name}”.").format(gone=gone, name=together.name)
    return Change(words, apply, ("leftovers", together.name))


def batch(cupboard: Cupboard, leftover: Leftover | None, words: str, out: BatchOut) -> Change:
    """What a batch took is gone, what it left over is there, and that it was made is remembered."""

    def apply(stock: Stock) -> Stock:
        stock = with_batch(with_cupboard(stock, cupboard), out)
        return stock if leftover is None else put(stock, leftover, Mark(since=out.at.date()))

    return Change(words, apply)
