"""Everything that happens to a melt is one of these. A melt is the fold of its events, in their order.

Times: `elapsed_s` counts seconds since the melt began on a clock that never steps back (it goes on through
suspend); `wall_s` is the wall clock as Unix time, for people and for marking gaps. In a practice melt or a
replay both run at the chosen speed.
"""

from dataclasses import dataclass
from enum import Enum
from uuid import UUID

from candlebench.core.place import Place
from candlebench.core.setup import MeltSetup


class Stage(Enum):
    """How far the melt has come. The value is the word of the trade."""

    WARMING = "warming"
    MELTED = "melted"
    OFF_HEAT = "off the heat"
    OIL_IN = "oil in"
    STIRRED = "stirred"
    POURED = "poured"


class ActionKind(Enum):
    """What the person did or said."""

    MELTED = "melted"
    HEAT_DOWN = "heat down"
    OFF_HEAT = "off the heat"
    ON_HEAT = "on the heat again"
    OIL_IN = "oil in"
    STIRRED = "stirred"
    POURED = "poured"
    FINISHED = "finished"
    UNDO = "undo"
    ACKNOWLEDGE = "acknowledge"
    NOTE = "note"
    GUESS = "guess"
    HEAT_SET = "heat set"


@dataclass(frozen=True, slots=True)
class MeltBegan:
    """The first event of every melt: what it is made of and what the limits are."""

    elapsed_s: float
    wall_s: float
    setup: MeltSetup


@dataclass(frozen=True, slots=True)
class SetupChanged:
    """The person corrected the room, the wax, the oil or a limit during the melt."""

    elapsed_s: float
    wall_s: float
    setup: MeltSetup


@dataclass(frozen=True, slots=True)
class Reading:
    """One temperature from one probe.

    Attributes
    ----------
    elapsed_s : float
        Seconds since the melt began, when the temperature was true (a number typed "2 minutes ago" lies
        two minutes before the moment it was typed).
    wall_s : float
        The same moment as Unix time.
    temp_c : float
        Probe temperature in degrees Celsius, as read; no smoothing.
    by_hand : bool
        Typed by the person rather than read from a wire or a file.
    place : Place
        Where the probe hangs.
    """

    elapsed_s: float
    wall_s: float
    temp_c: float
    by_hand: bool = False
    place: Place = Place.MELT


@dataclass(frozen=True, slots=True)
class Refused:
    """A line or number that is no temperature, kept as it came. Never shown as a reading."""

    elapsed_s: float
    wall_s: float
    text: str
    why: str
    place: Place = Place.MELT


@dataclass(frozen=True, slots=True)
class KeptOut:
    """A reading that was recorded and not believed: kept out of the curve and of the forecast.

    It stands in the record after its reading, so that what was believed at the time can be told from what was
    read; a melt is folded without it.

    Attributes
    ----------
    reading_s, temp_c : float
        The reading, as read.
    why : str
        The sentence that was said of it.
    place : Place
        Where its probe hangs.
    """

    elapsed_s: float
    wall_s: float
    reading_s: float
    temp_c: float
    why: str
    place: Place = Place.MELT


@dataclass(frozen=True, slots=True)
class ProbeTrouble:
    """The source has trouble, or has got over it.

    Attributes
    ----------
    code : str
        'missing', 'busy', 'permission', 'unplugged', 'garbled', 'undecided', 'silent', 'fault', 'refused',
        'ended' or 'back'.
    text : str
        One sentence for the person: what is wrong and what to do.
    place : Place
        Which probe's source it is.
    """

    elapsed_s: float
    wall_s: float
    code: str
    text: str
    place: Place = Place.MELT


@dataclass(frozen=True, slots=True)
class Action:
    """The person did something.

    `detail` holds an alarm's code for ACKNOWLEDGE, words for NOTE, the temperature in C and the seconds from
    now until the person thinks that it is crossed ("75.0 420") for GUESS, and the share of full power for
    HEAT_SET ("0.6").
    """

    elapsed_s: float
    wall_s: float
    kind: ActionKind
    detail: str = ""


@dataclass(frozen=True, slots=True)
class Gap:
    """Nothing was recorded for `length_s` before this moment; `why` is 'closed' or 'asleep'."""

    elapsed_s: float
    wall_s: float
    length_s: float
    why: str


SourceEvent = Reading | Refused | ProbeTrouble
Event = MeltBegan | SetupChanged | Reading | Refused | KeptOut | ProbeTrouble | Action | Gap


@dataclass(frozen=True, slots=True)
class Recorded:
    """An event with its identity (melt, number), written once and never changed. Numbers count from 0."""

    melt: UUID
    number: int
    event: Event
