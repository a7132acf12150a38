"""One check of one probe: what it showed where the temperature was known."""

import math
from dataclasses import dataclass

from candlebench.core.errors import FixableError
from candlebench.core.trust.points import CheckPoint, PointKind
from candlebench.core.trust.readings import PointReading
from candlebench.core.units import Shown, celsius, fahrenheit
from candlebench.words import tr

# A probe that is off by more than this is not to be corrected: the point was not what it seemed, or the probe
# is broken. Design decision; twice the widest class of thermometry.md (T6, 2.5 K).
MOST_ERROR_K = 5.0
# A number this near to the same temperature in the other unit is that.
OTHER_UNIT_K = 3.0


@dataclass(frozen=True, slots=True)
class CheckedPoint:
    """A check point and what the probe showed there."""

    point: CheckPoint
    reading: PointReading

    @property
    def error_k(self) -> float:
        """What the probe showed minus what was true, in kelvin."""
        return self.reading.read_c - self.point.true_c


@dataclass(frozen=True, slots=True)
class ProbeCheck:
    """One check.

    Attributes
    ----------
    checked_on : str
        The day, ISO 8601 (YYYY-MM-DD).
    points : tuple of CheckedPoint
        At least one.
    class_name : str
        Tolerance class that the probe is sold as, a name of `thermometers.toml`; '' when not known.
    """

    checked_on: str
    points: tuple[CheckedPoint, ...]
    class_name: str = ""

    @property
    def step_k(self) -> float:
        """The step of its display, in kelvin: the finest that any point showed."""
        return min(each.reading.step_k for each in self.points)


def checked(point: CheckPoint, reading: PointReading, shown: Shown) -> CheckedPoint:
    """Return the point with its reading.

    Raises
    ------
    FixableError
        The reading cannot be that of this point; one sentence says what is wrong most likely.
    """
    problem = doubt_about(point, reading.read_c, shown)
    if problem:
        raise FixableError(problem)
    return CheckedPoint(point, reading)


def doubt_about(point: CheckPoint, read_c: float, shown: Shown) -> str:
    """Return why a reading cannot be that of this point, in one sentence; '' when it can be."""
    if not math.isfinite(read_c):
        return tr("That is no temperature: type what the probe shows.")
    if abs(read_c - point.true_c) <= MOST_ERROR_K:
        return ""
    temp, true = shown.temp(read_c), shown.temp(point.true_c)
    if abs(read_c - fahrenheit(point.true_c)) <= OTHER_UNIT_K:
        text = tr(
            "The display shows °F ({number}): set the probe or the program to the same unit, then read again."
        )
        return text.format(number=f"{read_c:.0f}")
    if abs(read_c - celsius(point.true_c)) <= OTHER_UNIT_K:
        text = tr(
            "The display shows °C ({number}): set the probe or the program to the same unit, then read again."
        )
        return text.format(number=f"{fahrenheit(read_c):.0f}")
    match point.kind:
        case PointKind.ICE if read_c > point.true_c:
            text = tr(
                "{temp} in ice is too far from {true}: add crushed ice down to the bottom, stir and wait; "
                "if it stays, the probe is broken."
            )
        case PointKind.ICE:
            text = tr(
                "{temp} in ice is too far below {true}: add cold water without salt and wait until the ice "
                "melts; if it stays, the probe is broken."
            )
        case PointKind.BOILING if read_c < point.true_c:
            text = tr(
                "{temp} in boiling water is too far from {true}: wait for a rolling boil, put the probe "
                "deeper and look at the altitude; if it stays, the probe is broken."
            )
        case PointKind.BOILING:
            text = tr(
                "{temp} in boiling water is too far above {true}: keep the probe off the base and look at "
                "the altitude; if it stays, the probe is broken."
            )
        case _:
            text = tr(
                "{temp} beside {true} is too far apart: stir, hold both tips together and read again; if it "
                "stays, one of the two is broken."
            )
    return text.format(temp=temp, true=true)
