"""Cues: where the melt stands against the oil window and the pour window, and when to say so."""

from dataclasses import dataclass
from enum import Enum

from candlebench.core.forecast.crossing import Crossing
from candlebench.core.setup import MeltSetup

# Time to weigh the oil or set out the jars before a window opens, and time to do it before it closes.
# Common practice, no source.
SOON_S = 180.0
LAST_CALL_S = 60.0
# A window that was reached is not left again by noise: kitchen probes show 0.1 to 1 K (T8 of the reference).
BACK_ABOVE_C = 0.8
BACK_BELOW_C = 0.4


class Phase(Enum):
    """Where the melt is against a window that it falls into."""

    FAR = "far"
    SOON = "soon"
    OPEN = "open"
    LAST_CALL = "last call"
    MISSED = "missed"
    UNSAFE = "no safe window"


@dataclass(frozen=True, slots=True)
class Window:
    """A band of temperature in which something is to be done.

    `end_c` is where it usefully ends: for the oil that is above `low_c`, where chill and stirring still land
    in the pour window.
    """

    name: str
    low_c: float
    end_c: float
    high_c: float


def oil_window(setup: MeltSetup, end_c: float) -> Window:
    """The oil window of this melt, ending usefully at `end_c` (kept inside the window)."""
    limits = setup.limits
    end_c = min(max(end_c, limits.oil_low_c), max(limits.oil_low_c, limits.oil_high_c - 1.0))
    return Window("oil", limits.oil_low_c, end_c, limits.oil_high_c)


def pour_window(setup: MeltSetup) -> Window:
    """The pour window of this melt."""
    limits = setup.limits
    return Window("pour", limits.pour_low_c, limits.pour_low_c, limits.pour_high_c)


def phase(
    window: Window,
    temp_c: float,
    before: Phase,
    opens: Crossing | None,
    ends: Crossing | None,
) -> Phase:
    """Return where the melt stands.

    Parameters
    ----------
    window : Window
        The band.
    temp_c : float
        The melt's temperature now.
    before : Phase
        Where it stood, so that noise does not make it flicker.
    opens, ends : Crossing or None
        Forecasts of falling to `window.high_c` and to `window.end_c`.
    """
    if window.high_c < window.low_c:
        return Phase.UNSAFE
    inside = before in (Phase.OPEN, Phase.LAST_CALL)
    if temp_c > window.high_c + (BACK_ABOVE_C if inside else 0.0):
        soon = opens is not None and opens.in_s <= SOON_S
        return Phase.SOON if soon or (before is Phase.SOON and opens is not None) else Phase.FAR
    if temp_c < window.low_c or (before is Phase.MISSED and temp_c < window.low_c + BACK_BELOW_C):
        return Phase.MISSED
    last = temp_c <= window.end_c or (ends is not None and ends.in_s <= LAST_CALL_S)
    return Phase.LAST_CALL if last or (before is Phase.LAST_CALL and temp_c < window.high_c) else Phase.OPEN
