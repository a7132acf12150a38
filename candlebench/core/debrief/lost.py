"""What cost the time to pour: oil that went in late, or stirring that went on for too long."""

from dataclasses import dataclass

from candlebench.core.debrief.judge import Debrief
from candlebench.core.events import Stage
from candlebench.core.next_step import STIR_S

# Twice as long as it takes; common practice, no source.
STIRRED_LONG_S = 2.0 * STIR_S
# Six jars are not filled sooner (cues.LAST_CALL_S says that it is high time).
LEAST_LEFT_S = 60.0


@dataclass(frozen=True, slots=True)
class Lost:
    """The stirred wax left too little time to pour.

    Attributes
    ----------
    left_s : float or None
        How long the pour window was still open after stirring; None when it had closed before.
    by_stirring : bool
        A minute's stirring would have left more; otherwise it was the oil, or the jug itself.
    """

    left_s: float | None
    by_stirring: bool


def lost_time(debrief: Debrief) -> Lost | None:
    """Return how the time to pour was lost; None when there was enough, or nothing is known of it."""
    oil, stirred_s = debrief.oil, debrief.story.at(Stage.STIRRED)
    if oil is None or oil.stirring_s is None or stirred_s is None or oil.landed_off_c is None:
        return None
    left_s = None
    if oil.landed_off_c >= 0.0:
        chance = debrief.pour.chance
        still_open = chance.closed_s is None and chance.opened_s is not None
        if still_open or (chance.closed_s is not None and chance.closed_s - stirred_s >= LEAST_LEFT_S):
            return None
        left_s = None if chance.closed_s is None else max(0.0, chance.closed_s - stirred_s)
    late = oil.off_by_c is not None and oil.off_by_c < 0.0
    return Lost(left_s, oil.stirring_s > STIRRED_LONG_S and not late)
