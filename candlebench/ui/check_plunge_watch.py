"""Watches a plunge test: lies still, goes in, comes to rest again. No widgets, no clock."""

from dataclasses import dataclass
from enum import Enum

import numpy as np

from candlebench.core.errors import FixableError
from candlebench.core.trust.plunge import Plunge, plunge_test
from candlebench.core.trust.plunge_fit import LEAST_CHANGE_K
from candlebench.core.units import Shown
from candlebench.ui.check_readings import Readings
from candlebench.words import tr

# Lies still when it stays within this for so long; `plunge_fit` wants the same few readings at rest.
STILL_K, STILL_S, STILL_READINGS = 0.6, 10.0, 5
# Longer than any plunge; what lies longer before it does not matter.
REMEMBERED_S = 420.0
# Before it is tried whether the curve is whole, its last half must be flat: move by less than this share.
FLAT_SHARE = 0.03
LEAST_ON_THE_WAY_S = 6.0
# A fit takes a tenth of a second.
TRIED_EVERY_S = 2.0


class Phase(Enum):
    """How far the test has come."""

    WAITING = "waiting"
    READY = "ready"
    GOING = "going"
    DONE = "done"


@dataclass(frozen=True, slots=True)
class PlungeLook:
    """What there is to see: the phase, what to do now, what stands against it, and the result.

    `began_s` is the last moment at rest, None before the probe goes in.
    """

    phase: Phase
    text: str
    problem: str = ""
    plunge: Plunge | None = None
    began_s: float | None = None


class PlungeWatch:
    """The readings of a plunge test."""

    def __init__(self) -> None:
        self._readings = Readings(REMEMBERED_S)
        self.begin()

    def begin(self) -> None:
        """Forget everything, for another plunge."""
        self._readings.clear()
        self._rest_c: float | None = None
        self._rest_s = 0.0
        self._began_s: float | None = None
        self._tried_s = float("-inf")
        self._problem = ""
        self._plunge: Plunge | None = None

    def read(self, at_s: float, temp_c: float) -> None:
        """Take one reading; what comes after the result no longer counts."""
        if self._plunge is not None or (self._readings and at_s <= self._readings.last_s):
            return
        self._readings.add(at_s, temp_c)
        if self._began_s is not None:
            return
        if self._rest_c is not None and abs(temp_c - self._rest_c) >= LEAST_CHANGE_K:
            self._began_s = self._rest_s
        elif self._lies_still():
            self._rest_c, self._rest_s = temp_c, at_s

    @property
    def times_s(self) -> tuple[float, ...]:
        return self._readings.times_s

    @property
    def temps_c(self) -> tuple[float, ...]:
        return self._readings.temps_c

    def look(self, day: str, shown: Shown) -> PlungeLook:
        """Say how it stands; works out the lag when the curve seems whole.

        Parameters
        ----------
        day : str
            Today, ISO 8601.
        shown : Shown
        """
        if self._plunge is None and self._began_s is not None and self._seems_whole():
            self._try(day, shown)
        if self._plunge is not None:
            return PlungeLook(
                Phase.DONE, tr("It has come to rest."), plunge=self._plunge, began_s=self._plunge.moment_s
            )
        if self._began_s is not None:
            text = tr("Keep stirring until it no longer changes.")
            return PlungeLook(Phase.GOING, text, self._problem, began_s=self._began_s)
        if self._rest_c is not None and self._lies_still():
            text = tr("It lies still: put it into the hot water in one go, and stir.")
            return PlungeLook(Phase.READY, text)
        return PlungeLook(Phase.WAITING, tr("Let it lie in the air of the room until it is steady."))

    def _lies_still(self) -> bool:
        readings = self._readings
        if not readings or readings.last_s - readings.first_s < STILL_S:
            return False
        last = readings.between(readings.last_s - STILL_S - 1e-9, readings.last_s)
        if len(last) < STILL_READINGS:
            return False
        return max(last) - min(last) <= STILL_K

    def _seems_whole(self) -> bool:
        """Whether the last half of the way was flat, so that a fit is worth its time."""
        assert self._began_s is not None and self._rest_c is not None
        now_s = self._readings.last_s
        passed_s = now_s - self._began_s
        if passed_s < LEAST_ON_THE_WAY_S or now_s - self._tried_s < TRIED_EVERY_S:
            return False
        times, temps = np.array(self.times_s), np.array(self.temps_c)
        late = temps[times >= now_s - 0.5 * passed_s]
        # The ends of the half by a few readings each, as a display flickers.
        few = max(1, len(late) // 5)
        moved_k = abs(float(np.median(late[-few:]) - np.median(late[:few])))
        return moved_k < FLAT_SHARE * abs(float(np.median(late[-few:])) - self._rest_c)

    def _try(self, day: str, shown: Shown) -> None:
        self._tried_s = self._readings.last_s
        try:
            self._plunge = plunge_test(self.times_s, self.temps_c, day, shown=shown)
        except FixableError as error:
            self._problem = str(error)
