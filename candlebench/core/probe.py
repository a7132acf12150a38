"""One probe of a melt: what it said, how much of it is believed, its pace and its troubles."""

import math
from collections.abc import Sequence
from dataclasses import replace
from enum import Enum

import numpy as np

from candlebench.core.belief import Belief, Doubt
from candlebench.core.correction import Correction, corrected_c
from candlebench.core.events import KeptOut, ProbeTrouble, Reading, Refused
from candlebench.core.place import Place
from candlebench.core.probe_frozen import FrozenWatch
from candlebench.core.probe_verdict import Found, Verdict
from candlebench.core.probe_watch import SLOW_PACE_S, ProbeWatch
from candlebench.core.setup import Limits
from candlebench.core.slope import recent_slope_c_per_min
from candlebench.core.state import ProbeStatus
from candlebench.core.suspicion import Fault, Suspicion, came_back_text, frozen_text, waits_text
from candlebench.core.track import Track
from candlebench.core.two_probes import Level
from candlebench.core.units import Shown, clock_face
from candlebench.words import tr

# A reading is current for three paces of its probe, at least 3 s; a typed one for two minutes.
CURRENT_S = 3.0
CURRENT_PACES = 3.0
TYPED_CURRENT_S = 120.0
# Readings that cannot be, before it is said; at once when they come slowly.
DOUBTS_IN_A_ROW = 3
# Until the second reading nobody knows whether the source speaks every second or every minute.
UNKNOWN_PACE_S = 15.0


class Heard(Enum):
    """What became of a reading.

    LATE: the curve is another elsewhere than at its end. HELD: it waits until more is known. Whether what was
    believed before it was taken back is told by `doubted_after_s`.
    """

    BELIEVED = "believed"
    LATE = "late"
    HELD = "held"
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
        self._shown = shown
        self._belief = Belief(shown)
        self._watch = ProbeWatch(place, shown)
        self._frozen = FrozenWatch()
        self._stuck: Suspicion | None = None
        self._watched = place is not Place.ROOM
        self._correction: Correction | None = None
        self._corrects_typed = False
        self._track = Track()
        self._read = Track()
        self._by_hand_s: list[float] = []
        self._version = 0
        self._last: Reading | None = None
        self._read_c: float | None = None
        self._heard: Reading | None = None
        self._heard_s = -math.inf
        self._pace_s = UNKNOWN_PACE_S
        self._paces = 0
        self._trouble: ProbeTrouble | None = None
        self._doubt: Doubt | None = None
        self._doubts = 0
        self._held: list[Reading] = []
        self._new: list[Reading] = []
        self._left_out: list[KeptOut] = []
        self._spread_k = 0.0
        self._doubted_after_s: float | None = None

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

    def hangs_in(self, room_c: float, limits: Limits | None, boiling_c: float) -> None:
        """What is around it, as far as known; `limits` are those of what it hangs in, None for water."""
        self._watch.room_c = self._frozen.room_c = room_c
        self._frozen.limits, self._frozen.boiling_c = limits, boiling_c

    def announce(self, at_s: float, by_k: float, for_s: float) -> None:
        """Something was done that moves the readings by up to `by_k`, either way, within `for_s`."""
        self._watch.announce(at_s, by_k, for_s)
        self._frozen.disturbed()

    def watch_no_more(self) -> None:
        """The jug is empty: from here on the probe may lie where it likes."""
        self._forget_doubts()
        self._watched = False

    def watch_again(self) -> None:
        """The last step was undone: it hangs in the wax."""
        self._watched = self.place is not Place.ROOM

    def show_in(self, shown: Shown) -> None:
        """Write sentences in another unit from now on."""
        self._shown = self._watch.shown = shown
        self._belief.show_in(shown)

    def forget(self) -> None:
        """After a gap nothing is known about the last temperature."""
        self._belief.forget()
        self._forget_doubts()

    def blame(self, suspicion: Suspicion) -> None:
        """The two probes, seen together, tell what is wrong with this one."""
        self._drop_held(suspicion.text)
        self._watch.blame(suspicion)

    def told(self, trouble: ProbeTrouble) -> None:
        """Its source has trouble, or has got over it."""
        self._trouble = None if trouble.code == "back" else trouble

    def refused(self, refused: Refused) -> None:
        """A line came that is no temperature."""
        self._doubted(Doubt(float("nan"), refused.elapsed_s, refused.why))

    def read(self, reading: Reading, on_heat: bool = True) -> Heard:
        """Take one reading, as it was read; `on_heat` is whether the jug stands on the heat."""
        self._new, self._spread_k, self._doubted_after_s = [], 0.0, None
        believed = replace(reading, temp_c=self._believed_c(reading))
        self._heard_s = max(self._heard_s, reading.elapsed_s)
        doubt = self._belief.judge(believed)
        if doubt is not None:
            self._leave_out(reading, doubt.text)
            self._doubted(doubt)
            return Heard.KEPT_OUT
        self._doubt, self._doubts = None, 0
        late = self._last is not None and reading.elapsed_s < self._last.elapsed_s
        if not late:
            self._learn_pace(believed)
        if not self._watched or reading.by_hand or late:
            return self._typed_or_late(reading, believed)
        return self._watched_reading(reading, believed, on_heat)

    def _typed_or_late(self, reading: Reading, believed: Reading) -> Heard:
        if reading.by_hand:
            self._by_hand_s.append(reading.elapsed_s)
            if self._watch.bears_out(believed.temp_c):
                self._forget_doubts()
        return self._take(reading, believed)

    def _watched_reading(self, reading: Reading, believed: Reading, on_heat: bool) -> Heard:
        stood_s = self._frozen.frozen_for_s(believed.elapsed_s, believed.temp_c, on_heat)
        if stood_s is not None:
            return self._standing(reading, believed, stood_s)
        self._stuck = None
        verdict = self._watch.read(believed, on_heat, self._pace_s)
        suspicion = self._watch.suspicion
        why = suspicion.text if suspicion is not None else came_back_text()
        self._drop_held(why, len(verdict.dropped))
        if verdict.doubted_after_s is not None and self._take_back(verdict.doubted_after_s, why):
            self._doubted_after_s = verdict.doubted_after_s
        if verdict.found is Found.BELIEVED:
            return self._believe(reading, believed, verdict)
        self._belief.forget()
        if verdict.found is Found.HELD:
            self._held.append(reading)
            return Heard.HELD
        self._leave_out(reading, why)
        return Heard.KEPT_OUT

    def _believe(self, reading: Reading, believed: Reading, verdict: Verdict) -> Heard:
        heard = Heard.BELIEVED
        held, self._held = self._held, []
        self._spread_k = verdict.spread_k
        for raw, right in zip(held, verdict.joined, strict=True):
            if self._take(raw, right) is Heard.LATE:
                heard = Heard.LATE
        return Heard.LATE if self._take(reading, believed) is Heard.LATE else heard

    def _take(self, reading: Reading, believed: Reading) -> Heard:
        """Put it into the curve."""
        self._read.add(reading.elapsed_s, reading.temp_c)
        if not self._track.add(believed.elapsed_s, believed.temp_c):
            self._version += 1
            return Heard.LATE
        self._new.append(believed)
        self._last, self._read_c = believed, reading.temp_c
        if self._trouble is not None and self._trouble.code != "ended":
            self._trouble = None
        return Heard.BELIEVED

    def _standing(self, reading: Reading, believed: Reading, stood_s: float) -> Heard:
        """The same number for longer than can be: what was believed of it meanwhile is taken back."""
        text = frozen_text(self.place, reading.temp_c, stood_s, self._shown)
        since_s = self._frozen.stands_since_s
        first = self._stuck is None
        self._stuck = Suspicion(Fault.FROZEN, since_s, text)
        self._drop_held(text)
        self._leave_out(reading, text)
        if not first:
            return Heard.KEPT_OUT
        self._watch.restart()
        self._belief.forget()
        if self._take_back(since_s, text):
            self._doubted_after_s = since_s
        return Heard.KEPT_OUT

    def _take_back(self, since_s: float, why: str) -> bool:
        """Take what was believed after a moment out of the curve again, but not what was typed."""
        times_s, read_c = self._read.times_s, self._read.temps_c
        stays = (times_s <= since_s) | np.isin(times_s, self._by_hand_s)
        if bool(stays.all()) or not bool(stays.any()):
            return False
        zero_wall_s = self._last.wall_s - self._last.elapsed_s if self._last is not None else 0.0
        for at_s, temp_c in zip(times_s[~stays].tolist(), read_c[~stays].tolist(), strict=True):
            self._leave_out(Reading(at_s, zero_wall_s + at_s, temp_c, place=self.place), why)
        temps_c = self._track.temps_c[stays]
        self._read = Track.holding(times_s[stays], read_c[stays])
        self._track = Track.holding(times_s[stays], temps_c)
        self._version += 1
        if self._last is not None:
            last_s = float(times_s[stays][-1])
            by_hand = last_s in self._by_hand_s
            self._last = Reading(last_s, zero_wall_s + last_s, float(temps_c[-1]), by_hand, self.place)
            self._read_c = float(self._read.temps_c[-1])
        return True

    def _learn_pace(self, believed: Reading) -> None:
        if self._heard is not None:
            passed_s = believed.elapsed_s - self._heard.elapsed_s
            step_s = min(passed_s, 10.0 * self._pace_s) - self._pace_s
            self._pace_s += step_s if self._paces == 0 else 0.2 * step_s
            self._paces += 1
        self._heard = believed

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
        self._forget_doubts()

    def _forget_doubts(self) -> None:
        self._drop_held(came_back_text())
        self._watch.restart()
        self._frozen.restart()
        self._stuck = None

    def _leave_out(self, reading: Reading, why: str) -> None:
        self._left_out.append(kept_out(reading, why))

    def _drop_held(self, why: str, count: int | None = None) -> None:
        """Leave the first `count` of those that wait out for good; all of them without one."""
        for reading in self._held[:count]:
            self._leave_out(reading, why)
        self._held = [] if count is None else self._held[count:]

    # --- what is known ------------------------------------------------------------------------------------

    @property
    def new(self) -> Sequence[Reading]:
        """What the last reading put at the end of the curve, corrected: itself, and held ones before it."""
        return self._new

    @property
    def spread_k(self) -> float:
        """How far the melt may be, since the last reading, from where it was expected; mostly 0."""
        return self._spread_k

    @property
    def doubted_after_s(self) -> float | None:
        """With the last reading, what was believed later than this was taken back; None when nothing was."""
        return self._doubted_after_s

    @property
    def unsure_k(self) -> float:
        """How far the melt may be from what the last believed reading says; 0 while it goes on as before."""
        return self._watch.unsure_k if self._watched else 0.0

    def take_left_out(self) -> tuple[KeptOut, ...]:
        """Hand over what the record is to say of readings that are not believed, once."""
        left_out, self._left_out = tuple(self._left_out), []
        return left_out

    @property
    def last(self) -> Reading | None:
        """The last reading that was believed, corrected."""
        return self._last

    @property
    def heard_s(self) -> float:
        """When it last said a number, believed or not; minus infinity before."""
        return self._heard_s

    @property
    def read_c(self) -> float | None:
        """The same as the probe shows it."""
        return self._read_c

    @property
    def doubt(self) -> Doubt | None:
        """Why its readings cannot be; None when they can."""
        return self._doubt

    @property
    def suspicion(self) -> Suspicion | None:
        """What seems to be wrong with it now; None when nothing does."""
        return self._stuck or self._watch.suspicion

    @property
    def waits(self) -> bool:
        """Whether readings come that are neither believed nor kept out yet."""
        return bool(self._held)

    @property
    def blind(self) -> bool:
        """Whether nothing is known of now though numbers come: nothing is due by what was believed before."""
        doubted = self.suspicion is not None or self._doubt is not None or self.waits
        return doubted and not self.typed

    @property
    def high_c(self) -> float | None:
        """What its last readings all reached above its path, doubted as they are; None when they did not."""
        return self._watch.high_c

    @property
    def level(self) -> Level | None:
        """Where it was and where it is, for a comparison with the other probe; None before it is known."""
        before_c = self._watch.before_c
        if before_c is None or self._heard is None or self._stuck is not None:
            return None
        return Level(before_c, self._heard.temp_c, self._watch.left_s, self._heard.elapsed_s)

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
        if self._last is None or (self.suspicion is not None and not self.typed):
            return False
        return now_s - self._last.elapsed_s <= self._current_for_s()

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
        if self.suspicion is not None:
            return ProbeStatus(False, self.suspicion.text, self.suspicion.text)
        age_s = now_s - self._last.elapsed_s
        if self.typed:
            good = age_s <= TYPED_CURRENT_S
            return ProbeStatus(good, tr("Typed by hand, {age} ago").format(age=clock_face(age_s)))
        if age_s > self._current_for_s():
            if self._held and self._heard is not None and now_s - self._heard_s <= self._current_for_s():
                text = waits_text(self._heard.temp_c, self._shown)
                return ProbeStatus(False, text, text)
            return ProbeStatus(False, tr("No answer for {age}").format(age=clock_face(age_s)))
        return ProbeStatus(True, tr("Probe answers every {pace:.1f} s").format(pace=self._pace_s))

    def _current_for_s(self) -> float:
        return TYPED_CURRENT_S if self.typed else max(CURRENT_S, CURRENT_PACES * self._pace_s)


def kept_out(reading: Reading, why: str) -> KeptOut:
    """What the record says of a reading that was not believed."""
    return KeptOut(reading.elapsed_s, reading.wall_s, reading.elapsed_s, reading.temp_c, why, reading.place)
