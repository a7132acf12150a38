"""The jug of one melt: what is in it, when it came off the heat, and how fast it cools by itself."""

import numpy as np

from candlebench.core.amounts import amounts_of
from candlebench.core.debrief.curve import Curve, cooling_per_s, falls_to
from candlebench.core.debrief.story import Story
from candlebench.core.events import Stage
from candlebench.core.forecast.room import typed_room
from candlebench.core.materials.wax import JUG_COOLING_C_PER_MIN, oil_chill_c

# H29 to H32: the rates are given for 75 degC in a room of 20 degC.
_RATED_ABOVE_ROOM_K = 55.0
# Off the heat the jug's metal and the wax even out first; and so do the wax and cold oil. Estimate
SETTLES_S = 90.0


def chill_c(story: Story) -> float:
    """How far the cold oil of this melt lowers it."""
    wax_g, oil_g, oil_temp_c = amounts_of(story.setup)
    return oil_chill_c(wax_g, oil_g, story.setup.limits.oil_high_c, oil_temp_c)


def cooling_of(story: Story, curve: Curve) -> tuple[float, float]:
    """Return the room and the rate (1/s) at which this jug cools, a usual jug's where it was not seen to."""
    room_c = typed_room(story.setup.room_c).temp_c
    rate_per_s = cooling_per_s(_free_pieces(story, curve), room_c)
    return room_c, rate_per_s or JUG_COOLING_C_PER_MIN / 60.0 / _RATED_ABOVE_ROOM_K


def _free_pieces(story: Story, curve: Curve) -> list[Curve]:
    """Where the jug was only cooling, all wax liquid: before the oil, and after it has mixed."""
    off_s, oil_s = off_heat_s(story, curve), story.at(Stage.OIL_IN)
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


def off_heat_s(story: Story, curve: Curve) -> float | None:
    """When it came off the heat; unsaid and unnoticed, the hottest moment before it was used."""
    used_s = story.at(Stage.OIL_IN)
    used_s = story.at(Stage.POURED) if used_s is None else used_s
    off_s = story.at(Stage.OFF_HEAT)
    if off_s is not None or used_s is None:
        return off_s
    before = curve.between(story.turns[0].at_s, used_s)
    return float(before.times_s[int(np.argmax(before.temps_c))]) if len(before) else used_s
