"""Everything in a practice melt that changes, and the balance of its heat."""

import copy
from collections.abc import Sequence
from dataclasses import dataclass, field

from candlebench.practice.jars import PouredJars
from candlebench.practice.probe import Probe

# Places in the state: heats and ledgers in J, water in g, hob in W.
BATH, WATER, JUG, WAX, PIECES, OIL, HOB, HOB_SUM, ROOM_SUM, STEAM_SUM = range(10)
PLACES = 10


@dataclass(slots=True)
class Moment:
    """Everything that changes."""

    elapsed_s: float
    tick: int
    state: list[float]
    probe: Probe
    heat_fraction: float = 1.0
    on_bath: bool = True
    oil_g: float = 0.0
    stirred_at_s: float | None = None
    poured: bool = False
    waft: float = 0.0
    oil_brought_j: float = 0.0
    poured_j: float = 0.0
    start_j: float = 0.0
    jars: PouredJars | None = None
    # When each happening began, by its place in the scenario.
    began_s: dict[int, float] = field(default_factory=dict)

    @property
    def stirred_s(self) -> float | None:
        """How long ago it was stirred; None when it was not since the oil went in."""
        return None if self.stirred_at_s is None else self.elapsed_s - self.stirred_at_s


@dataclass(frozen=True, slots=True)
class Ledger:
    """Where the heat has gone since the start, in J; `gained_j` is what the parts now hold more than then."""

    hob_j: float
    oil_j: float
    room_j: float
    steam_j: float
    poured_j: float
    gained_j: float

    @property
    def gap_j(self) -> float:
        """What does not add up."""
        return self.hob_j + self.oil_j - self.room_j - self.steam_j - self.poured_j - self.gained_j


class Snapshot:
    """A moment of one practice melt that it can go back to."""

    def __init__(self, now: Moment, elapsed_s: float) -> None:
        self._now = copy.deepcopy(now)
        self.elapsed_s = elapsed_s

    def copy(self) -> Moment:
        return copy.deepcopy(self._now)


def stored_j(state: Sequence[float]) -> float:
    """Return the heat of all parts."""
    return state[BATH] + state[JUG] + state[WAX] + state[PIECES] + state[OIL]
