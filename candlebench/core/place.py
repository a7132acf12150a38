"""Where a probe hangs."""

from enum import Enum


class Place(Enum):
    """Where a probe hangs: every melt has one in the wax, and may have a second one elsewhere."""

    MELT = "melt"
    BATH = "bath"
    ROOM = "room"
