"""When will the melt cross a temperature, and how sure is that."""

from candlebench.core.forecast.crossing import Crossing
from candlebench.core.forecast.fan import Fan
from candlebench.core.forecast.forecaster import Forecaster
from candlebench.core.forecast.room import UNKNOWN_ROOM, Room, typed_room
from candlebench.core.forecast.wax_family import WaxFamily, beeswax_family, family_for

__all__ = [
    "UNKNOWN_ROOM",
    "Crossing",
    "Fan",
    "Forecaster",
    "Room",
    "WaxFamily",
    "beeswax_family",
    "family_for",
    "typed_room",
]
