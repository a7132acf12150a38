"""The oil and the pour against their windows: when each was open on this curve, and when it was done."""

from dataclasses import dataclass, replace

from candlebench.core.amounts import amounts_of
from candlebench.core.cues import oil_window, pour_window
from candlebench.core.debrief.chance import Chance, chance_of, off_by
from candlebench.core.debrief.curve import Curve
from candlebench.core.debrief.jug import chill_c, cooling_of, off_heat_s
from candlebench.core.debrief.moment import moment
from candlebench.core.debrief.story import Story
from candlebench.core.events import Stage
from candlebench.core.materials.wax import oil_window_open, useful_oil_end_c
from candlebench.core.next_step import STIR_S

# A jug off the heat falls by 0.6 to 1.5 K a minute (H29 to H32); half of the least is no noise any more.
COOLS_WITHIN_S, COOLS_BY_K = 120.0, 0.6


@dataclass(frozen=True, slots=True)
class OilVerdict:
    """How the oil went in.

    Attributes
    ----------
    chance : Chance
    done_s, temp_c : float or None
        When, and at what temperature; None when it did not go in, or nothing was read then.
    read_before_s : float
        How long before that the temperature was read; 0 when readings stand close around the moment.
    off_by_c : float or None
        Kelvins above (+) or below (-) the window and its useful end, 0 inside: as `chance` says.
    on_heat : bool
        It went in while the jug stood on the heat.
    stirring_s : float or None
        From the oil to "stirred"; None when that was not said.
    landed_c, landed_off_c : float or None
        Temperature of the stirred melt, and how far outside the pour window.
    """

    chance: Chance
    done_s: float | None
    temp_c: float | None
    read_before_s: float
    off_by_c: float | None
    on_heat: bool
    stirring_s: float | None
    landed_c: float | None
    landed_off_c: float | None


@dataclass(frozen=True, slots=True)
class PourVerdict:
    """How it was poured; as for the oil.

    Attributes
    ----------
    chilled : bool
        Nothing was read since the oil went in: `temp_c` is the reading before, less what cold oil takes.
    """

    chance: Chance
    done_s: float | None
    temp_c: float | None
    read_before_s: float
    chilled: bool
    off_by_c: float | None


def oil_verdict(story: Story, curve: Curve) -> OilVerdict | None:
    """Judge the oil; None for a melt without oil."""
    setup = story.setup
    oil_s = story.at(Stage.OIL_IN)
    if setup.oil is None and oil_s is None:
        return None
    safe = oil_window_open(setup.limits)
    window = oil_window(setup, _useful_end_c(story, curve))
    then = None if oil_s is None else moment(curve, oil_s)
    chance = chance_of(story, curve, window, off_heat_s(story, curve) if safe else None, (oil_s, then))
    temp_c = None if then is None else then.temp_c
    stirred_s = story.at(Stage.STIRRED)
    landed_c = _landed_c(story, curve, oil_s, stirred_s)
    limits = setup.limits
    return OilVerdict(
        chance=chance,
        done_s=oil_s,
        temp_c=temp_c,
        read_before_s=0.0 if then is None else then.read_before_s,
        off_by_c=off_by(temp_c, window.end_c, window.high_c) if safe else None,
        on_heat=_added_on_heat(story, curve, oil_s),
        stirring_s=stirred_s - oil_s if oil_s is not None and stirred_s is not None else None,
        landed_c=landed_c,
        landed_off_c=off_by(landed_c, limits.pour_low_c, limits.pour_high_c),
    )


def pour_verdict(story: Story, curve: Curve) -> PourVerdict:
    """Judge the pouring."""
    window = pour_window(story.setup)
    poured_s = story.at(Stage.POURED)
    then = None if poured_s is None else moment(curve, poured_s)
    oil_s = story.at(Stage.OIL_IN)
    chilled = then is not None and poured_s is not None and oil_s is not None and then.held
    if chilled and then is not None and poured_s is not None and oil_s is not None:
        chilled = poured_s - then.read_before_s <= oil_s
        then = replace(then, temp_c=then.temp_c - chill_c(story)) if chilled else then
    temp_c = None if then is None else then.temp_c
    return PourVerdict(
        chance=chance_of(story, curve, window, _pour_from_s(story, curve), (poured_s, then)),
        done_s=poured_s,
        temp_c=temp_c,
        read_before_s=0.0 if then is None else then.read_before_s,
        chilled=chilled,
        off_by_c=off_by(temp_c, window.low_c, window.high_c),
    )


def _useful_end_c(story: Story, curve: Curve) -> float:
    """Where the oil's window ends, at this jug's own rate of cooling: as the melt itself told it."""
    limits = story.setup.limits
    room_c, rate_per_s = cooling_of(story, curve)
    middle_c = 0.5 * (limits.pour_low_c + limits.pour_high_c)
    per_min = 60.0 * rate_per_s * max(0.0, middle_c - room_c)
    return useful_oil_end_c(limits, *amounts_of(story.setup), cooling_c_per_min=per_min)


def _pour_from_s(story: Story, curve: Curve) -> float | None:
    stirred_s, oil_s = story.at(Stage.STIRRED), story.at(Stage.OIL_IN)
    if stirred_s is not None:
        return stirred_s
    if oil_s is not None:
        poured_s = story.at(Stage.POURED)
        return oil_s + STIR_S if poured_s is None else min(oil_s + STIR_S, poured_s)
    return off_heat_s(story, curve)


def _landed_c(story: Story, curve: Curve, oil_s: float | None, stirred_s: float | None) -> float | None:
    if oil_s is None:
        return None
    landed_s = min(stirred_s if stirred_s is not None else oil_s + STIR_S, story.in_jug_until_s)
    landed = moment(curve, landed_s)
    # A reading from before the oil says nothing of what was stirred.
    return None if landed is None or landed_s - landed.read_before_s <= oil_s else landed.temp_c


def _added_on_heat(story: Story, curve: Curve, oil_s: float | None) -> bool:
    """Never said to be off the heat, and not seen to cool either."""
    if oil_s is None or story.mark(Stage.OFF_HEAT) is not None:
        return False
    before, then = moment(curve, oil_s - COOLS_WITHIN_S), moment(curve, oil_s)
    if before is None or then is None:
        return False
    return then.temp_c > before.temp_c - COOLS_BY_K
