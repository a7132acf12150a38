"""A maker who works by herself, for a first look and for the console: she goes by the probe alone."""

from candlebench.core.events import ActionKind
from candlebench.core.setup import Limits

# A degree under the strong warning, and a little over a minute to stir: estimates of a steady hand.
_OFF_UNDER_STRONG_K = 1.0
_STIRRING_S = 60.0
# She empties the jug and looks at it for five minutes before she calls it done.
_AFTER_POURING_S = 300.0
_HER_STEPS = frozenset({ActionKind.OFF_HEAT, ActionKind.OIL_IN, ActionKind.STIRRED, ActionKind.POURED})


class Maker:
    """Says what she does at each reading: off the heat, oil in, stirred, poured, finished.

    Parameters
    ----------
    limits : Limits
        Windows of the melt.
    oil_end_c : float or None
        Where oil can still go in and the melt be poured in its window; None for a melt without oil.
    """

    def __init__(self, limits: Limits, oil_end_c: float | None) -> None:
        self._limits = limits
        self._oil_end_c = oil_end_c
        self._done: ActionKind | None = None
        self._done_s = 0.0

    def at(self, elapsed_s: float, temp_c: float) -> ActionKind | None:
        """Return what she does at this reading, or None."""
        kind = self._next(elapsed_s - self._done_s, temp_c)
        if kind is not None:
            self._done, self._done_s = kind, elapsed_s
        return kind

    def saw(self, kind: ActionKind, elapsed_s: float) -> None:
        """Somebody else did a step; she goes on from there."""
        if kind is ActionKind.ON_HEAT:
            self._done = None
        elif kind in _HER_STEPS:
            self._done, self._done_s = kind, elapsed_s

    def _next(self, since_s: float, temp_c: float) -> ActionKind | None:
        limits = self._limits
        match self._done:
            case None:
                hot = temp_c >= limits.strong_c - _OFF_UNDER_STRONG_K
                return ActionKind.OFF_HEAT if hot else None
            case ActionKind.OFF_HEAT if self._oil_end_c is not None:
                # In the middle between the edge where it opens and where it is too late for pouring.
                aim_c = 0.5 * (limits.oil_high_c + max(self._oil_end_c, limits.oil_low_c))
                return ActionKind.OIL_IN if temp_c <= aim_c else None
            case ActionKind.OIL_IN:
                return ActionKind.STIRRED if since_s >= _STIRRING_S else None
            case ActionKind.OFF_HEAT | ActionKind.STIRRED:
                middle_c = 0.5 * (limits.pour_low_c + limits.pour_high_c)
                return ActionKind.POURED if temp_c <= middle_c else None
            case ActionKind.POURED:
                return ActionKind.FINISHED if since_s >= _AFTER_POURING_S else None
            case _:
                return None
