"""What is known of the room."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Room:
    """Room temperature with its spread.

    Attributes
    ----------
    temp_c : float
        Best guess in degrees Celsius.
    sd_c : float
        Standard deviation: about 1 when it was typed in, 3 when nobody said.
    """

    temp_c: float
    sd_c: float


# From memory, check before relying on it: rooms in which people work are mostly at 18 to 24 C.
UNKNOWN_ROOM = Room(21.0, 3.0)
# A wall thermometer is not where the jug stands, and rooms drift during a melt.
_TYPED_ROOM_SD_C = 1.0


def typed_room(temp_c: float | None) -> Room:
    """The room as the person typed it; the unknown room when she did not."""
    return UNKNOWN_ROOM if temp_c is None else Room(temp_c, _TYPED_ROOM_SD_C)
