"""Watches a probe's readings at one step: whether it has arrived and stands still. No widgets, no clock."""

from dataclasses import dataclass

from candlebench.core.trust.check import MOST_ERROR_K, doubt_about
from candlebench.core.trust.points import CheckPoint, PointKind
from candlebench.core.trust.readings import PointReading
from candlebench.core.trust.settling import settling
from candlebench.core.units import Shown
from candlebench.ui.check_readings import Readings
from candlebench.words import tr

# What settling looks at, and a little more to show beside it.
REMEMBERED_S = 150.0
# A step of the slope arrow: what a display of tenths shows within half a minute.
_MOVES_K = 0.2
_SLOPE_S = 10.0


@dataclass(frozen=True, slots=True)
class Look:
    """What there is to see of a probe at a step.

    Attributes
    ----------
    text : str
        What to do or wait for, one sentence.
    slope : int or None
        1 rising, -1 falling, 0 steady, None when too few readings tell.
    reading : PointReading or None
        What it shows, once it has settled near the step's temperature.
    doubtful : bool
        It has settled, but not where it should be; `text` says what to do.
    """

    text: str
    slope: int | None = None
    reading: PointReading | None = None
    doubtful: bool = False


class Watch:
    """The readings since a step began."""

    def __init__(self) -> None:
        self._readings = Readings(REMEMBERED_S)
        self._low_c = self._high_c = 0.0

    def begin(self) -> None:
        """Forget everything: the probe goes somewhere else."""
        self._readings.clear()

    def read(self, at_s: float, temp_c: float) -> None:
        """Take one reading; one that lies before the last is left out."""
        if self._readings and at_s < self._readings.last_s:
            return
        if not self._readings:
            self._low_c = self._high_c = temp_c
        self._low_c, self._high_c = min(self._low_c, temp_c), max(self._high_c, temp_c)
        self._readings.add(at_s, temp_c)

    @property
    def times_s(self) -> tuple[float, ...]:
        return self._readings.times_s

    @property
    def temps_c(self) -> tuple[float, ...]:
        return self._readings.temps_c

    def look(self, point: CheckPoint | None, shown: Shown) -> Look:
        """Say how it stands.

        Parameters
        ----------
        point : CheckPoint or None
            Where it should come to; None when that is not known before.
        shown : Shown
        """
        if not self._readings:
            return Look(tr("No reading yet."))
        found = settling(self.times_s, self.temps_c, shown)
        slope = self._slope()
        latest_c = self._readings.last_c
        away = point is not None and bool(doubt_about(point, latest_c, shown))
        if point is not None and away and self._high_c - self._low_c < MOST_ERROR_K:
            # It lies where it lay when the step began.
            return Look(_put_in(point), slope)
        if found.reading is None:
            return Look(found.text, slope)
        if point is not None:
            doubt = doubt_about(point, found.reading.read_c, shown)
            if doubt:
                return Look(doubt, slope, doubtful=True)
        return Look(found.text, slope, found.reading)

    def _slope(self) -> int | None:
        """By comparing now with ten seconds ago; half a minute's worth of the display is a slope."""
        now_s = self._readings.last_s
        before = self._readings.between(now_s - 1.5 * _SLOPE_S, now_s - 0.5 * _SLOPE_S)
        if not before:
            return None
        moved_k = self._readings.last_c - sum(before) / len(before)
        return 0 if abs(moved_k) < _MOVES_K else (1 if moved_k > 0 else -1)


def _put_in(point: CheckPoint) -> str:
    match point.kind:
        case PointKind.ICE:
            return tr("It is not in the ice yet: put it in now.")
        case PointKind.BOILING:
            return tr("It is not in the boiling water yet: hold it in now.")
        case PointKind.BESIDE:
            return tr("It is not in the jug of the other one yet: put it in now.")
