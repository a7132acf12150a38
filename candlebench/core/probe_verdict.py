"""What becomes of a reading, and of those before it."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from candlebench.core.events import Reading


class Found(Enum):
    """What became of a reading."""

    BELIEVED = "believed"
    HELD = "held"
    KEPT_OUT = "kept out"


@dataclass(frozen=True, slots=True)
class Verdict:
    """What became of a reading, and of those held or believed before it.

    Attributes
    ----------
    found : Found
    joined : sequence of Reading
        Held before and right after all, in the order of time.
    dropped : sequence of Reading
        Held before and kept out for good.
    spread_k : float
        How far the melt may be from where it should be, nobody knows why; 0 where it just goes on.
    doubted_after_s : float or None
        What was believed later than this is not believed any more; None when all of it is.
    """

    found: Found
    joined: Sequence[Reading] = ()
    dropped: Sequence[Reading] = ()
    spread_k: float = 0.0
    doubted_after_s: float | None = None
