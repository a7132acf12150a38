"""One probe of a melt: what it said, how much of it is believed, its pace and its troubles."""

from dataclasses import replace
from enum import Enum

import numpy as np

from candlebench.core.belief import Belief, Doubt
from candlebench.core.correction import Correction, corrected_c
from candlebench.core.events import KeptOut, ProbeTrouble, Reading, Refused
from candlebench.core.place import Place
from candlebench.core.slope import recent_slope_c_per_min
from candlebench.core.state import ProbeStatus
from candlebench.core.track import Track
from candlebench.core.units import Shown, clock_face
from candlebench.words import tr

# A reading is current for three paces of its probe, at least 3 s; a typed one for two minutes.
CURRENT_S = 3.0
CURRENT_PACES = 3.0
TYPED_CURRENT_S = 120.0
# Readings that cannot be, before it is said; at once when they come as slowly as minutes.
DOUBTS_IN_A_ROW = 3
SLOW_PACE_S = 15.0
# Until the second reading nobody knows whether the source speaks every second or every minute.
UNKNOWN_PACE_S = 15.0


class Heard(Enum):
    """What became of a reading."""

    BELIEVED = "believed"
    LATE = "late"
    KEPT_OUT = "kept out"


class Probe:
    """Listens to one probe and remembers its curve.

    Parameters
    ----------
    place : Place
        Where it hangs.
    shown : Shown
        The unit that its sentences use.
    """

    def __init__(self, place: Place, shown: Shown) -> None:
        self.place = place
        self._belief = Belief(shown)
        self._correction: Correction | None = None
        self._corrects_typed = False
        self._track = Track()
        self._read = Track()
        self._by_hand_s: list[float] = []
        self._version = 0
        self._last: Reading | None = None
        self._read_c: float | None = None
        self._pace_s = UNKNOWN_PACE_S
        self._trouble: ProbeTrouble | None = None
        self._doubt: Doubt | None = None
        self._doubts = 0
        self._why = ""

    # --- what happens -------------------------------------------------------------------------------------

    def use(self, correction: Correction | None, corrects_typed: bool) -> bool:
        """Correct its readings from now on, those of before too; return whether the curve is another now.

        Parameters
        ----------
        correction : Correction or None
            As found when it was checked.
        corrects_typed : bool
            Whether typed numbers are read off this probe too; with a probe on a wire they are another's.
        """
        if (correction, corrects_typed) == (self._correction, self._corrects_typed):
            return False
        self._correction, self._corrects_typed = correction, corrects_typed
        if not len(self._read):
            return False
        self._correct_anew()
        return True

    def show_in(self, shown: Shown) -> None:
        """Write sentences in another unit from now on."""
        self._belief.show_in(shown)

    def forget(self) -> None:
        """After a gap nothing is known about the last temperature."""
        self._belief.forget()

    def told(self, trouble: ProbeTrouble) -> None:
        """Its source has trouble, or has got over it."""
        self._trouble = None if trouble.code == "back" else trouble

    def refused(self, refused: Refused) -> None:
        """A line came that is no temperature."""
        self._doubted(Doubt(float("nan"), refused.elapsed_s, refused.why))

    def read(self, reading: Reading) -> Heard:
        """Take one reading, as it was read."""
        believed = replace(reading, temp_c=self._believed_c(reading))
        doubt = self._belief.judge(believed)
        if doubt is not None:
            self._why = doubt.text
            self._doubted(doubt)
            return Heard.KEPT_OUT
        self._doubt, self._doubts = None, 0
        if reading.by_hand:
            self._by_hand_s.append(reading.elapsed_s)
        self._read.add(reading.elapsed_s, reading.temp_c)
        if not self._track.add(believed.elapsed_s, believed.temp_c):
            self._version += 1
            return Heard.LATE
        if self._last is not None:
            passed_s = reading.elapsed_s - self._last.elapsed_s
            step_s = min(passed_s, 10.0 * self._pace_s) - self._pace_s
            self._pace_s += step_s if len(self._track) == 2 else 0.2 * step_s
        self._last, self._read_c = believed, reading.temp_c
        if self._trouble is not None and self._trouble.code != "ended":
            self._trouble = None
        return Heard.BELIEVED

    def _doubted(self, doubt: Doubt) -> None:
        """One odd number or a board's banner is nothing to be called about; several in a row are."""
        self._doubts += 1
        if self._doubts >= DOUBTS_IN_A_ROW or self._pace_s > SLOW_PACE_S:
            self._doubt = doubt

    def _believed_c(self, reading: Reading) -> float:
        corrects = self._corrects_typed or not reading.by_hand
        return corrected_c(reading.temp_c, self._correction if corrects else None)

    def _correct_anew(self) -> None:
        times_s, temps_c = self._read.times_s, self._read.temps_c.copy()
        if self._correction is not None:
            corrects = np.full(len(times_s), True)
            if not self._corrects_typed:
                corrects = ~np.isin(times_s, self._by_hand_s)
            temps_c[corrects] = self._correction.gain * temps_c[corrects] + self._correction.offset_c
        self._track = Track.holding(times_s, temps_c)
        self._version += 1
        if self._last is not None and self._read_c is not None:
            as_read = replace(self._last, temp_c=self._read_c)
            self._last = replace(self._last, temp_c=self._believed_c(as_read))
        self._belief.forget()

    # --- what is known ------------------------------------------------------------------------------------

    @property
    def last(self) -> Reading | None:
        """The last reading that was believed, corrected."""
        return self._last

    @property
    def read_c(self) -> float | None:
        """The same as the probe shows it."""
        return self._read_c

    @property
    def doubt(self) -> Doubt | None:
        """Why its readings are not believed now; None when they are."""
        return self._doubt

    @property
    def why(self) -> str:
        """What was wrong with the last reading that was kept out."""
        return self._why

    @property
    def pace_s(self) -> float:
        """Usual time between two readings."""
        return self._pace_s

    @property
    def track(self) -> Track:
        """The curve of what was believed."""
        return self._track

    @property
    def version(self) -> int:
        """Counts up when the curve has changed elsewhere than at its end."""
        return self._version

    @property
    def typed(self) -> bool:
        """Whether the last reading was typed by hand."""
        return self._last is not None and self._last.by_hand

    @property
    def rate_c_per_min(self) -> float | None:
        """Slope of the last readings; None when too few tell it."""
        return recent_slope_c_per_min(self._track.times_s, self._track.temps_c, self._pace_s)

    def is_current(self, now_s: float) -> bool:
        """Whether the last reading may be shown as that of now."""
        return self._last is not None and now_s - self._last.elapsed_s <= self._current_for_s()

    def temp_at(self, at_s: float) -> float | None:
        """The first believed temperature at or after a moment; None after the last one."""
        times_s = self._track.times_s
        place = int(times_s.searchsorted(at_s))
        return float(self._track.temps_c[place]) if place < len(times_s) else None

    def status(self, now_s: float) -> ProbeStatus:
        """How the thermometer is, for people."""
        if self._trouble is not None:
            return ProbeStatus(False, self._trouble.text)
        if self._last is None:
            return ProbeStatus(False, tr("No reading yet"))
        age_s = now_s - self._last.elapsed_s
        if self.typed:
            good = age_s <= TYPED_CURRENT_S
            return ProbeStatus(good, tr("Typed by hand, {age} ago").format(age=clock_face(age_s)))
        if age_s > self._current_for_s():
            return ProbeStatus(False, tr("No answer for {age}").format(age=clock_face(age_s)))
        return ProbeStatus(True, tr("Probe answers every {pace:.1f} s").format(pace=self._pace_s))

    def _current_for_s(self) -> float:
        return TYPED_CURRENT_S if self.typed else max(CURRENT_S, CURRENT_PACES * self._pace_s)


def kept_out(reading: Reading, why: str) -> KeptOut:
    """What the record says of a reading that was not believed."""
    return KeptOut(reading.elapsed_s, reading.wall_s, reading.elapsed_s, reading.temp_c, why, reading.place)
