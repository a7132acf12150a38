"""What the next step is made from, and the words that several steps share."""

from collections.abc import Callable
from dataclasses import dataclass

from candlebench.core.cues import Phase, Window
from candlebench.core.events import Stage
from candlebench.core.forecast.crossing import Crossing
from candlebench.core.reading_age import JUST_READ, ReadingAge
from candlebench.core.setup import MeltSetup
from candlebench.core.state import Alarm
from candlebench.core.units import Shown, between
from candlebench.words import tr

# One minute of stirring carries the oil through the jug. Common practice, no source.
STIR_S = 60.0
# A band whose ends are further apart than this is no help at the hob; short ones always are. Design decision.
VAGUE_TIMES = 5.0
VAGUE_S = 300.0
# What is foreseen within this is said as "now, perhaps": no one reads a clock that finely. Design decision.
PERHAPS_NOW_S = 10.0


@dataclass(frozen=True, slots=True)
class Situation:
    """What the next step is made from."""

    setup: MeltSetup
    shown: Shown
    stage: Stage
    stage_s: float
    now_s: float
    on_heat: bool
    temp_c: float | None
    rate_c_per_min: float | None
    oil_phase: Phase
    pour_phase: Phase
    oil: Window
    pour: Window
    chill_c: float
    alarm: Alarm | None
    foreseen: Callable[[float], Crossing | None]
    lasts: Callable[[float, float], Crossing | None]
    age: ReadingAge = JUST_READ


def oil_words(setup: MeltSetup) -> str:
    """'43 g lavender oil (49 mL)', as far as it was said; grams to the tenth, as they are weighed."""
    oil = setup.oil
    if oil is None:
        return tr("the oil")
    name = tr("{name} oil").format(name=oil.name) if oil.name else tr("oil")
    if oil.mass_g is None:
        return tr("the {oil}").format(oil=name)
    grams = f"{oil.mass_g:.1f}".removesuffix(".0")
    if oil.volume_ml is None:
        return tr("{grams} g {oil}").format(grams=grams, oil=name)
    return tr("{grams} g {oil} ({ml:.0f} mL)").format(grams=grams, oil=name, ml=oil.volume_ml)


def warm_enough_c(setup: MeltSetup) -> float:
    """Where more heat brings nothing: the top of the first window that the melt will fall into."""
    return setup.limits.oil_high_c if setup.oil is not None else setup.limits.pour_high_c


def sayable_at(situation: Situation, target_c: float) -> Crossing | None:
    """A forecast worth saying; one whose late end is many times its early one says nothing yet."""
    crossing = situation.foreseen(target_c)
    if crossing is None or crossing.high_s > max(VAGUE_TIMES * crossing.low_s, VAGUE_S):
        return None
    return crossing


def perhaps_now(crossing: Crossing | None) -> bool:
    """Whether it may have happened by now."""
    return crossing is not None and crossing.in_s < PERHAPS_NOW_S


def likely(crossing: Crossing | None) -> str:
    """', likely between 2:35 and 4:05 from now' or nothing."""
    if crossing is None:
        return ""
    return tr(", likely between {band} from now").format(band=between(crossing.low_s, crossing.high_s))
