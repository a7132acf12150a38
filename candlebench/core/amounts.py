"""What is in the jug, also where the person did not say."""

from typing import NamedTuple

from candlebench.core.forecast.room import typed_room
from candlebench.core.setup import MeltSetup

# What is taken when nobody said: the limit for beeswax (W1's note, design.md: 6 %), a middling jug.
USUAL_OIL_SHARE = 0.06
USUAL_WAX_G = 1000.0


class Amounts(NamedTuple):
    """Grams of wax and of oil, and the temperature of the oil before it goes in."""

    wax_g: float
    oil_g: float
    oil_temp_c: float


def amounts_of(setup: MeltSetup) -> Amounts:
    """Return what is in the jug of a melt; unsaid, it is 6 % of a kilogram, as warm as the room."""
    wax_g = setup.wax_g or USUAL_WAX_G
    room_c = typed_room(setup.room_c).temp_c
    if setup.oil is None:
        return Amounts(wax_g, 0.0, room_c)
    known_g = setup.oil.mass_g if setup.wax_g is not None else None
    return Amounts(wax_g, known_g or USUAL_OIL_SHARE * wax_g, room_c)
