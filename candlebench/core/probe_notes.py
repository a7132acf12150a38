"""Calm notes about a probe: its check is old, or it fell as the jug came off the heat."""

from datetime import UTC, date, datetime

from candlebench.core.correction import Correction
from candlebench.core.probe import Probe
from candlebench.core.suspicion import fell_at_lifting_text
from candlebench.core.units import Shown
from candlebench.words import tr

# A probe is checked once a year. Common practice, no source.
CHECK_HOLDS_DAYS = 366
# A wall that is hotter than its wax gives that up within a minute or so of the lifting; the wax itself, which
# rises on meanwhile, then cools at the rate that the second stretch tells (H29 to H32).
AT_ONCE_S, AFTER_S = 75.0, 150.0
FELL_K = 2.5


def old_check_text(correction: Correction | None, wall_s: float) -> str:
    """Return a sentence when the probe's check is older than a year; '' otherwise."""
    if correction is None:
        return ""
    try:
        checked = date.fromisoformat(correction.checked_on)
    except ValueError:
        return ""
    days = (datetime.fromtimestamp(wall_s, UTC).date() - checked).days
    if days <= CHECK_HOLDS_DAYS:
        return ""
    return tr("The probe was last checked {months} months ago: check it in ice and boiling water.").format(
        months=round(days / 30.44)
    )


class Lifting:
    """Looks, once after each lifting, whether the reading fell with the wall."""

    def __init__(self) -> None:
        self._lifted_s: float | None = None

    def lifted(self, at_s: float) -> None:
        """The jug came off the heat."""
        self._lifted_s = at_s

    def forget(self) -> None:
        """Something else moves the readings now: oil, stirring, the heat again, a gap."""
        self._lifted_s = None

    def fell_text(self, probe: Probe, now_s: float, shown: Shown) -> str:
        """Return a sentence when it fell; '' when not, or not known yet."""
        if self._lifted_s is None or now_s < self._lifted_s + AFTER_S:
            return ""
        at_s, self._lifted_s = self._lifted_s, None
        moments = (at_s, at_s + AT_ONCE_S, at_s + AFTER_S)
        temps_c = [probe.temp_at(moment_s) for moment_s in moments]
        first, second, third = temps_c
        if first is None or second is None or third is None:
            return ""
        # What it cools by itself in the second stretch it cooled in the first one, too.
        cools_k = max(second - third, 0.0) * AT_ONCE_S / (AFTER_S - AT_ONCE_S)
        fell_k = first - second - cools_k
        return fell_at_lifting_text(fell_k, shown) if fell_k >= FELL_K else ""
