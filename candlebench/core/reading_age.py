"""How old a typed reading is, where the wax may be by now, and when to read the thermometer again."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from candlebench.core.forecast.crossing import Crossing
from candlebench.core.forecast.fan import Fan
from candlebench.core.units import Shown, clock_face
from candlebench.words import tr

# A typed number stands for now about this long: a jug in its windows moves half a degree meanwhile (0.6 to
# 1.5 K/min, H29 to H32). A thermometer on a wire has its own pace and its own silence.
TYPED_FRESH_S = 30.0
# The next reading is asked for when half of the time to the earliest moment of the next change is over, not
# sooner and not later than these. Until two readings tell a rate, after a minute. Design decisions.
SHARE_OF_WAY = 0.5
SOONEST_AGAIN_S = 30.0
LATEST_AGAIN_S = 180.0
NO_RATE_AGAIN_S = 60.0


@dataclass(frozen=True, slots=True)
class ReadingAge:
    """What is known of now when the last reading is some time old.

    Attributes
    ----------
    age_s : float
        Seconds since it was true.
    typed : bool
        Typed by hand; a reading from a wire never grows old here.
    may_be_c : (float, float) or None
        5 and 95 % points of the temperature now; None when that is not known.
    again_in_s : float
        Seconds until the thermometer should be read again; negative once it is due.
    """

    age_s: float = 0.0
    typed: bool = False
    may_be_c: tuple[float, float] | None = None
    again_in_s: float = math.inf

    @property
    def fresh(self) -> bool:
        """Whether it may be taken for now."""
        return not self.typed or self.age_s <= TYPED_FRESH_S

    @property
    def due(self) -> bool:
        """Whether it is time to read again."""
        return self.typed and self.again_in_s <= 0.0


JUST_READ = ReadingAge()


def read_again_after_s(ahead: Iterable[Crossing | None], has_rate: bool) -> float:
    """Return how long after a typed reading the next one is wanted.

    Parameters
    ----------
    ahead : iterable of Crossing or None
        Forecasts of what comes next, counted from the reading.
    has_rate : bool
        Whether the readings so far tell how fast it goes.
    """
    soonest_s = min((crossing.low_s for crossing in ahead if crossing is not None), default=math.inf)
    latest_s = LATEST_AGAIN_S if has_rate else NO_RATE_AGAIN_S
    return min(latest_s, max(SOONEST_AGAIN_S, SHARE_OF_WAY * soonest_s))


def band_now_c(fan: Fan | None, now_s: float) -> tuple[float, float] | None:
    """Return between which temperatures the wax is now by a forecast; None beyond the forecast's end."""
    if fan is None or not len(fan.ahead_s) or now_s - fan.made_at_s > fan.ahead_s[-1]:
        return None
    ahead_s = max(0.0, now_s - fan.made_at_s)
    low_c = float(np.interp(ahead_s, fan.ahead_s, fan.low_c))
    high_c = float(np.interp(ahead_s, fan.ahead_s, fan.high_c))
    return (low_c, high_c) if math.isfinite(low_c) and math.isfinite(high_c) else None


def rises(fan: Fan) -> bool:
    """Whether the forecast goes up."""
    return len(fan.median_c) > 1 and bool(fan.median_c[-1] > fan.median_c[0])


def old_words(age: ReadingAge, shown: Shown) -> str:
    """'The last reading is 4:42 old; the wax may be at 65 to 88 °C.', the second half when it is known."""
    if age.may_be_c is None:
        return tr("The last reading is **{age}** old.").format(age=clock_face(age.age_s))
    return tr("The last reading is **{age}** old; the wax may be at {band}.").format(
        age=clock_face(age.age_s), band=band_words(age.may_be_c, shown)
    )


def band_words(may_be_c: tuple[float, float], shown: Shown) -> str:
    """'65 to 88 °C', in whole degrees that hold both ends."""
    low = math.floor(round(shown.number(may_be_c[0]), 1))
    high = math.ceil(round(shown.number(may_be_c[1]), 1))
    if low == high:
        return f"{low} {shown.sign}"
    return tr("{low} to {high} {unit}").format(low=low, high=high, unit=shown.sign)
