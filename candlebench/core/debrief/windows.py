"""The oil and the pour against their windows: when each was open on this curve, and when it was done."""

from dataclasses import dataclass

import numpy as np

from candlebench.core.cues import Window, oil_window, pour_window
from candlebench.core.debrief.curve import NO_CURVE, Curve, cooled, cooling_per_s, falls_to, joined
from candlebench.core.debrief.story import Story
from candlebench.core.events import Stage
from candlebench.core.forecast.room import typed_room
from candlebench.core.materials.wax import (
    JUG_COOLING_C_PER_MIN,
    oil_chill_c,
    oil_window_open,
    useful_oil_end_c,
)
from candlebench.core.melt import USUAL_OIL_SHARE, USUAL_WAX_G
from candlebench.core.next_step import STIR_S

# How far a curve is drawn on past what was done: a jug of 1 kg falls 10 K in a quarter of an hour (H31).
DRAWN_ON_S = 3600.0
# H29 to H32: the rates are given for 75 degC in a room of 20 degC.
_RATED_ABOVE_ROOM_K = 55.0
# Off the heat the jug's metal and the wax even out first; and so do the wax and cold oil. Estimate
SETTLES_S = 90.0
# A jug off the heat falls by 0.6 to 1.5 K a minute (H29 to H32); half of the least is no noise any more.
COOLS_WITHIN_S, COOLS_BY_K = 120.0, 0.6


@dataclass(frozen=True, slots=True)
class Chance:
    """When a window was open on this curve.

    Attributes
    ----------
    window : Window
        Its `end_c` is where it usefully ends.
    safe : bool
        False when no temperature was safe for the oil at this load.
    opened_s, closed_s : float or None
        When the melt fell into the window and when it fell past its useful end; None when it never did.
    best_s : float or None
        The moment that would have been right: half way between both temperatures, `best_c`.
    best_c : float
    drawn_on_s : float or None
        From here on the curve was changed by what was done, and the times are an estimate.
    drawn_on : Curve
        The curve from there until the window closes, had nothing been done; empty where none was needed.
    """

    window: Window
    safe: bool
    opened_s: float | None
    closed_s: float | None
    best_s: float | None
    best_c: float
    drawn_on_s: float | None
    drawn_on: Curve = NO_CURVE

    def estimated(self, at_s: float | None) -> bool:
        """Whether a moment lies where the curve was drawn on."""
        return at_s is not None and self.drawn_on_s is not None and at_s > self.drawn_on_s


@dataclass(frozen=True, slots=True)
class OilVerdict:
    """How the oil went in.

    Attributes
    ----------
    chance : Chance
    done_s, temp_c : float or None
        When, and at what temperature; None when it did not go in, or nothing was read then.
    off_by_c : float or None
        Kelvins above (+) or below (-) the window, 0 inside.
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
    off_by_c: float | None
    on_heat: bool
    stirring_s: float | None
    landed_c: float | None
    landed_off_c: float | None


@dataclass(frozen=True, slots=True)
class PourVerdict:
    """How it was poured; as for the oil."""

    chance: Chance
    done_s: float | None
    temp_c: float | None
    off_by_c: float | None


def amounts(story: Story) -> tuple[float, float, float]:
    """Grams of wax, grams of oil, and the oil's temperature; where nobody said, as the melt takes it."""
    setup = story.setup
    wax_g = setup.wax_g or USUAL_WAX_G
    room_c = typed_room(setup.room_c).temp_c
    if setup.oil is None:
        return wax_g, 0.0, room_c
    known_g = setup.oil.mass_g if setup.wax_g is not None else None
    return wax_g, known_g or USUAL_OIL_SHARE * wax_g, room_c


def chill_c(story: Story) -> float:
    """How far the cold oil of this melt lowers it."""
    wax_g, oil_g, oil_temp_c = amounts(story)
    return oil_chill_c(wax_g, oil_g, story.setup.limits.oil_high_c, oil_temp_c)


def oil_verdict(story: Story, curve: Curve) -> OilVerdict | None:
    """Judge the oil; None for a melt without oil."""
    setup = story.setup
    oil_s = story.at(Stage.OIL_IN)
    if setup.oil is None and oil_s is None:
        return None
    wax_g, oil_g, oil_temp_c = amounts(story)
    window = oil_window(setup, useful_oil_end_c(setup.limits, wax_g, oil_g, oil_temp_c))
    safe = oil_window_open(setup.limits)
    chance = _chance(story, curve, window, safe, _off_heat_s(story, curve), oil_s)
    temp_c = curve.at(oil_s) if oil_s is not None else None
    stirred_s = story.at(Stage.STIRRED)
    landed_c = _landed_c(story, curve, oil_s, stirred_s)
    limits = setup.limits
    return OilVerdict(
        chance=chance,
        done_s=oil_s,
        temp_c=temp_c,
        off_by_c=off_by(temp_c, window.low_c, window.high_c) if safe else None,
        on_heat=_added_on_heat(story, curve, oil_s),
        stirring_s=stirred_s - oil_s if oil_s is not None and stirred_s is not None else None,
        landed_c=landed_c,
        landed_off_c=off_by(landed_c, limits.pour_low_c, limits.pour_high_c),
    )


def pour_verdict(story: Story, curve: Curve) -> PourVerdict:
    """Judge the pouring."""
    window = pour_window(story.setup)
    poured_s = story.at(Stage.POURED)
    temp_c = curve.at(poured_s) if poured_s is not None else None
    return PourVerdict(
        chance=_chance(story, curve, window, True, _pour_from_s(story, curve), poured_s),
        done_s=poured_s,
        temp_c=temp_c,
        off_by_c=off_by(temp_c, window.low_c, window.high_c),
    )


def off_by(temp_c: float | None, low_c: float, high_c: float) -> float | None:
    """Kelvins above (+) or below (-) a band, 0 inside it, None when nothing was read.

    A tenth of a kelvin is no fault: probes show no less.
    """
    if temp_c is None:
        return None
    off_c = max(0.0, temp_c - high_c) - max(0.0, low_c - temp_c)
    return off_c if abs(off_c) >= 0.1 else 0.0


def _chance(
    story: Story, curve: Curve, window: Window, safe: bool, from_s: float | None, done_s: float | None
) -> Chance:
    best_c = 0.5 * (window.high_c + window.end_c)
    if from_s is None or not safe:
        return Chance(window, safe, None, None, None, best_c, None)
    left_alone = _left_alone(story, curve, from_s, done_s)
    opened_s = falls_to(left_alone, window.high_c)
    closed_s = falls_to(left_alone, window.end_c)
    best_s = falls_to(left_alone, best_c)
    begins_c = left_alone.at(from_s)
    if begins_c is not None and begins_c < window.low_c:
        # It was below the window from the start: there was no chance.
        opened_s = closed_s = best_s = None
    drawn_on = NO_CURVE
    if done_s is not None and closed_s is not None:
        drawn_on = left_alone.between(done_s, closed_s)
    return Chance(window, safe, opened_s, closed_s, best_s, best_c, done_s, drawn_on)


def _left_alone(story: Story, curve: Curve, from_s: float, done_s: float | None) -> Curve:
    """The curve as it would have gone on had nothing been added or poured."""
    recorded_until_s = story.end_s if done_s is None else done_s
    measured = curve.between(from_s, recorded_until_s)
    begin_c = curve.at(recorded_until_s)
    if done_s is None or begin_c is None:
        return measured
    room_c, rate_per_s = cooling_of(story, curve)
    return joined(measured, cooled(done_s, begin_c, room_c, rate_per_s, DRAWN_ON_S))


def cooling_of(story: Story, curve: Curve) -> tuple[float, float]:
    """Return the room and the rate (1/s) at which this jug cools, a usual jug's where it was not seen to."""
    room_c = typed_room(story.setup.room_c).temp_c
    rate_per_s = cooling_per_s(_free_pieces(story, curve), room_c)
    return room_c, rate_per_s or JUG_COOLING_C_PER_MIN / 60.0 / _RATED_ABOVE_ROOM_K


def _free_pieces(story: Story, curve: Curve) -> list[Curve]:
    """Where the jug was only cooling, all wax liquid: before the oil, and after it has mixed."""
    off_s, oil_s = _off_heat_s(story, curve), story.at(Stage.OIL_IN)
    pieces: list[tuple[float, float]] = []
    if off_s is not None:
        pieces.append((off_s + SETTLES_S, oil_s if oil_s is not None else story.in_jug_until_s))
    if oil_s is not None:
        pieces.append((oil_s + SETTLES_S, story.in_jug_until_s))
    found = []
    for from_s, to_s in pieces:
        piece = curve.between(from_s, to_s)
        liquid_until_s = falls_to(piece, story.setup.limits.melted_c)
        found.append(piece if liquid_until_s is None else piece.between(from_s, liquid_until_s))
    return found


def _off_heat_s(story: Story, curve: Curve) -> float | None:
    """When it came off the heat; unsaid and unnoticed, the hottest moment before it was used."""
    used_s = story.at(Stage.OIL_IN)
    used_s = story.at(Stage.POURED) if used_s is None else used_s
    off_s = story.at(Stage.OFF_HEAT)
    if off_s is not None or used_s is None:
        return off_s
    before = curve.between(story.turns[0].at_s, used_s)
    return float(before.times_s[int(np.argmax(before.temps_c))]) if len(before) else used_s


def _pour_from_s(story: Story, curve: Curve) -> float | None:
    stirred_s, oil_s = story.at(Stage.STIRRED), story.at(Stage.OIL_IN)
    if stirred_s is not None:
        return stirred_s
    if oil_s is not None:
        poured_s = story.at(Stage.POURED)
        return oil_s + STIR_S if poured_s is None else min(oil_s + STIR_S, poured_s)
    return _off_heat_s(story, curve)


def _landed_c(story: Story, curve: Curve, oil_s: float | None, stirred_s: float | None) -> float | None:
    if oil_s is None:
        return None
    landed_s = stirred_s if stirred_s is not None else oil_s + STIR_S
    return curve.at(min(landed_s, story.in_jug_until_s))


def _added_on_heat(story: Story, curve: Curve, oil_s: float | None) -> bool:
    """Never said to be off the heat, and not seen to cool either."""
    if oil_s is None or story.mark(Stage.OFF_HEAT) is not None:
        return False
    before_c, then_c = curve.at(oil_s - COOLS_WITHIN_S), curve.at(oil_s)
    return before_c is not None and then_c is not None and then_c > before_c - COOLS_BY_K
