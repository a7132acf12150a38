"""What a view needs to know of a melt: one frozen picture of it."""

from dataclasses import dataclass
from enum import Enum

from candlebench.core.events import ActionKind, Gap, Stage
from candlebench.core.forecast.crossing import Crossing
from candlebench.core.forecast.fan import Fan
from candlebench.core.place import Place
from candlebench.core.setup import MeltSetup
from candlebench.core.track import FloatArray
from candlebench.core.track_record import KeptForecast


class Level(Enum):
    """How loud something is."""

    CALM = "calm"
    WARNING = "warning"
    DANGER = "danger"


@dataclass(frozen=True, slots=True)
class Notice:
    """Something to say once, aloud if there is a sound. `kind` is 'cue' or 'alarm'."""

    kind: str
    code: str
    text: str
    level: Level


@dataclass(frozen=True, slots=True)
class Alarm:
    """An alarm that stands.

    Attributes
    ----------
    code : str
        'too_hot', 'too_hot_soon', 'no_reading', 'impossible_reading', 'probe_doubtful', 'above_boiling',
        'heat_on_long', 'may_be_too_hot'.
    heading, headline, reason, more : str
        'Warning: too hot soon'; what to do; why; a further line.
    since_s : float
        Elapsed time at which it was raised.
    acknowledged : bool
        The person has seen it; it returns by itself if it persists.
    crossing : Crossing or None
        The forecast it speaks of.
    """

    code: str
    level: Level
    heading: str
    headline: str
    reason: str
    more: str
    since_s: float
    acknowledged: bool = False
    crossing: Crossing | None = None


@dataclass(frozen=True, slots=True)
class Choice:
    """A button: what it does and what it says."""

    kind: ActionKind
    label: str


@dataclass(frozen=True, slots=True)
class NextStep:
    """The one next thing to do.

    Attributes
    ----------
    heading : str
        'Next', or the warning that stands in its place.
    headline, accent : str
        A sentence that begins with a verb; `accent` is its last words ('now', '3 min'), shown in colour.
    reason, more : str
        Why; words between ** and ** are strong.
    main : Choice or None
        What Space does. `now` tells whether it is time for it (filled) or only allowed (outlined).
    others : tuple of Choice
        Further buttons beside it.
    level : Level
        Colour and shape of the card.
    alarm_code : str
        The alarm that has taken the place, or ''.
    crossing : Crossing or None
        The forecast the card speaks of; `crossing_word` is its verb ('opens', 'closes').
    """

    heading: str
    headline: str
    accent: str
    reason: str
    more: str
    main: Choice | None
    now: bool
    others: tuple[Choice, ...] = ()
    level: Level = Level.CALM
    alarm_code: str = ""
    crossing: Crossing | None = None
    crossing_word: str = ""


@dataclass(frozen=True, slots=True)
class ProbeStatus:
    """How the thermometer is: `good` when readings come as they should; `text` for people.

    `doubt` says why readings come that are not believed; empty while they are.
    """

    good: bool
    text: str
    doubt: str = ""


@dataclass(frozen=True, slots=True)
class StageMark:
    """A stage that was reached, when, at what temperature, and whether it was noticed by itself."""

    stage: Stage
    at_s: float
    temp_c: float | None
    automatic: bool


@dataclass(frozen=True, slots=True)
class BesideState:
    """The second probe of a melt at one moment. Arrays are views that are never written again."""

    place: Place
    temp_c: float | None
    reading_s: float | None
    fresh: bool
    rate_c_per_min: float | None
    probe: ProbeStatus
    times_s: FloatArray
    temps_c: FloatArray
    track_version: int


@dataclass(frozen=True, slots=True)
class MeltState:
    """One melt at one moment. Arrays are views that are never written again.

    `temp_c` and `temps_c` are corrected when the probe was checked; `read_c` is what the probe shows.
    `heat_since_s` is now until the first reading or step. `lifts` are the times it came off the heat and was
    put back on before the oil: for the chart; `marks` holds what counts.
    """

    setup: MeltSetup
    began_wall_s: float
    now_s: float
    now_wall_s: float
    stage: Stage
    marks: tuple[StageMark, ...]
    on_heat: bool
    heat_since_s: float
    temp_c: float | None
    reading_s: float | None
    fresh: bool
    rate_c_per_min: float | None
    boiling_c: float
    probe: ProbeStatus
    times_s: FloatArray
    temps_c: FloatArray
    track_version: int
    gaps: tuple[Gap, ...]
    forecasts: tuple[Crossing | None, ...]
    fan: Fan | None
    step: NextStep
    alarms: tuple[Alarm, ...]
    undo: str
    finished: bool
    kept_forecasts: tuple[KeptForecast, ...] = ()
    lifts: tuple[StageMark, ...] = ()
    read_c: float | None = None
    beside: BesideState | None = None

    @property
    def age_s(self) -> float | None:
        """Seconds since the last believed reading."""
        return None if self.reading_s is None else max(0.0, self.now_s - self.reading_s)
