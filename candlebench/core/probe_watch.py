"""Watches one probe for readings that cannot be the melt: out of the wax, stepped up at the wall, jumped.

What leaves its path is held for a moment. It is dropped when the path is met again, joined late when it turns
out to be the melt, and said when it does what only a faulty probe does:

* in the air a probe nears the room with a time constant of 33 to 87 s (T22, T23; up to 200 s is granted for
  still air), where the smallest jug needs 40 min (H29 to H32) and a glass of water with a fan 15;
* a melt on a hob rises steadily; a probe that slips onto the wall steps up and stands.

A high reading is never hidden from the alarms: see `high_c`.
"""

import math
from dataclasses import dataclass, field, replace

from candlebench.core.events import Reading
from candlebench.core.forecast.room import UNKNOWN_ROOM
from candlebench.core.place import Place
from candlebench.core.probe_level import LevelWatch
from candlebench.core.probe_path import ProbePath
from candlebench.core.probe_recent import RATE_OVER_S, RATE_READINGS, SETTLED_OVER_S, Recent
from candlebench.core.probe_verdict import Found, Verdict
from candlebench.core.suspicion import Fault, Suspicion, jumped_text, out_text, stepped_text, wall_text
from candlebench.core.units import Shown

# Off its path: more than noise and more than a jug can fall, 8 K/min (as `noticing`), or rise, 21 K/min.
OFF_K, OFF_SD = 0.1, 3.0
FALLS_K_PER_S, RISES_K_PER_S = 8.0 / 60.0, 0.35
DENSE_K_PER_S, DENSE_S = 0.05, 5.0
HIGH_K = 1.0
# So far off, and back with the next reading, is the noise of a probe that is in the wax.
NOISE_K, NOISE_SD = 0.3, 5.0
# A melt in the first readings, or colder than this, may do anything: pellets sink, a probe is put in.
YOUNG_S, COOL_C = 20.0, 50.0
# A probe that is put from the room into hot wax is on its way for so long: two lags of a slow one (T24).
PUT_IN_S = 60.0
# Below this above the room nothing tells wax from air.
NEAR_ROOM_K = 15.0
NEAR_ROOM_SHARE = 0.4
# A fall towards the room faster than this is a probe in the air, slower than that a vessel (see above).
AIR_S, VESSEL_S = 250.0, 500.0
# How long and how far before it is said, so that oil and stirring, over within seconds, are not.
OUT_AFTER_S, OUT_K = 12.0, 5.0
# Where a fall is heading, as a share of the way to the room, from how it slows down.
HEADS_FOR_ROOM = 0.55
# A step as large as this within a reading is a contact, not heat.
CLIFF_K, CLIFF_S = 10.0, 5.0
# What has levelled off elsewhere is believed after so long; a probe that lies in the air after ten minutes.
SMALL_K, SMALL_HOLDS_S = 4.0, 5.0
HOLDS_S, AIR_HOLDS_S = 30.0, 1200.0
# A level that was so far off its path says nothing of how fast the melt goes.
LEVEL_K = 0.5
# What fell a little off the heat waits so long until it goes on as before: three lags of a slow probe (T24).
SETTLES_WITHIN_S = 30.0
_HOLDS_S = {
    Fault.WALL: 300.0,
    Fault.STEPPED: 120.0,
    Fault.IN_THE_BATH: AIR_HOLDS_S,
    Fault.SWAPPED: AIR_HOLDS_S,
}
# These go far; the melt may have cooled a good part of that way meanwhile.
_AWAY = frozenset({Fault.OUT, Fault.JUMPED})
# Oil and stirring move the readings by more than this: what was asked about is answered.
TOLD_K = 0.8
WALL_K, STEP_UP_AFTER_S = 3.0, 20.0
# A melt that is heated more leaves its line ever faster; a step has slowed down below this share of its mean.
GOES_ON_RISING = 0.75
# Off the heat, where nothing but stirring and oil makes a step down, and those are told.
STEP_DOWN_K, COOLS_K_PER_S = 0.4, 0.01
# What fell had begun to when the last reading was believed that still seemed to lie on the path.
LEFT_BEFORE_S = 1.5
LONGEST_HELD_S = 90.0
# Nearer than this share of the furthest it was off, it is coming back.
STANDS_SHARE = 0.6
# On the way back a probe is near the wax long before it is right: it has to have slowed down, too.
FAR_K = 2.0
BACK_K, BACK_SD, BACK_K_PER_S = 0.06, 0.7, 0.02
# So much it may still be short of the wax then.
RETURNED_K = 0.3
SETTLED_K_PER_S = 0.005
FAR_BACK_K, FAR_BACK_K_PER_S = 1.0, 0.07
SLOW_PACE_S = 15.0
# A typed number this close to what the probe says bears it out.
TYPED_AGREES_K = 2.0


_BELIEVED, _HELD, _KEPT_OUT = Verdict(Found.BELIEVED), Verdict(Found.HELD), Verdict(Found.KEPT_OUT)


@dataclass(slots=True)
class _Away:
    """The readings since they left their path, and what is thought of them.

    `near` counts the last held ones that lay on the path again; `fastest` is the fastest fall in K/s with the
    temperature at it, negated so that of equal ones the later counts.
    """

    held: list[Reading] = field(default_factory=list)
    near: int = 0
    suspicion: Suspicion | None = None
    low: bool = True
    slow: bool = False
    recent: Recent = field(default_factory=Recent)
    fastest: tuple[float, float] = (0.0, 0.0)
    furthest_k: float = 0.0
    told_of_step: bool = False


class ProbeWatch:
    """Judges the readings of one probe, one after another.

    Parameters
    ----------
    place : Place
        MELT or BATH.
    shown : Shown
        The unit that its sentences use.

    Attributes
    ----------
    room_c : float
        What the air around is, as far as it is known.
    """

    def __init__(self, place: Place, shown: Shown) -> None:
        self.room_c = UNKNOWN_ROOM.temp_c
        self.shown = shown
        self._place = place
        self._path = ProbePath()
        self._allowed: list[tuple[float, float, float]] = []
        self._put_in_s = self._done_s = -math.inf
        self._away = _Away()
        self._levels = LevelWatch()

    # --- what happens -------------------------------------------------------------------------------------

    def announce(self, at_s: float, by_k: float, for_s: float) -> None:
        """Something was done that moves the readings by up to `by_k`, either way, within `for_s`."""
        self._allowed = [one for one in self._allowed if one[0] + one[2] > at_s]
        self._allowed.append((at_s, by_k, for_s))
        self._done_s = at_s
        self._levels.announce(at_s, for_s)
        if self._away.suspicion is not None and self._away.suspicion.kind is Fault.STEPPED:
            self._away.told_of_step = by_k >= TOLD_K

    def restart(self) -> None:
        """What was before says nothing about what comes: a gap, another correction."""
        self._path.restart()
        self._levels.restart()
        self._put_in_s = -math.inf
        self._forget_doubt()

    def bears_out(self, temp_c: float) -> bool:
        """Whether another thermometer's number agrees with what is doubted now."""
        return self._doubts and abs(self._away.recent.readings[-1][1] - temp_c) <= TYPED_AGREES_K

    def blame(self, suspicion: Suspicion) -> None:
        """A second probe tells what is wrong with what is held or doubted; held readings are dropped."""
        self._away.held = []
        self._away.suspicion = suspicion

    def read(self, reading: Reading, on_heat: bool, pace_s: float) -> Verdict:
        """Judge one reading, later than all before it."""
        at_s, temp_c = reading.elapsed_s, reading.temp_c
        if self._path.last_s is None:
            return self._take(reading)
        if self._away.suspicion is not None:
            return self._doubted(reading, pace_s)
        off_k = self._off_k(at_s, temp_c)
        on_path = self._is_on_path(off_k, at_s)
        if not self._away.held:
            if on_path:
                return self._follows_path(reading, on_heat)
            if self._may_be_anything(off_k, at_s):
                return self._follow(reading, off_k)
            return self._hold(reading, off_k, on_heat, pace_s)
        if self._away.furthest_k > FAR_K and on_path and not self._is_late(reading):
            # On its way back it is near long before it is right.
            self._away.recent.add(at_s, temp_c, self._path)
            was_one = self._away.near > 0 and len(self._away.held) - self._away.near == 1
            # A single odd number, and back at once: nothing that hangs in the air warms up so fast.
            at_once = was_one and self._since_s(at_s) <= CLIFF_S
            if not at_once and not self._is_back(temp_c - self._path.expected_c(at_s), at_s, pace_s):
                self._away.held.append(reading)
                self._away.near += 1
                return _HELD
        if on_path:
            return self._go_on(reading, on_heat)
        if self._may_be_anything(off_k, at_s):
            return self._join(reading)
        if (off_k < 0.0) != self._away.low:
            dropped = self._away.held
            self._forget_doubt()
            return replace(self._hold(reading, off_k, on_heat, pace_s), dropped=dropped)
        return self._hold(reading, off_k, on_heat, pace_s)

    def _follows_path(self, reading: Reading, on_heat: bool) -> Verdict:
        """One by one they lie on the line; have they left it slowly, all together?"""
        self._take(reading)
        at_s, temp_c = reading.elapsed_s, reading.temp_c
        if on_heat or self._place is not Place.MELT or temp_c - self.room_c < NEAR_ROOM_K:
            self._levels.restart()
            return _BELIEVED
        step = self._levels.add(at_s, temp_c, self._path.reading_sd_k, self._path.step_k)
        if step is None:
            return _BELIEVED
        self._levels.restart()
        if step.by_k > 0.0:
            # Nothing off the heat is hotter than the wax: it hung too cold before, and hangs right again.
            self._path.go_on_elsewhere()
            return replace(self._take(reading), spread_k=step.by_k, doubted_after_s=step.after_s)
        self._path.go_back(step.before)
        self._away.recent.add(at_s, temp_c, self._path)
        self._away.furthest_k = -step.by_k
        text = stepped_text(self._place, step.by_k, self.shown)
        self._away.suspicion = Suspicion(Fault.STEPPED, step.after_s, text)
        return Verdict(Found.KEPT_OUT, doubted_after_s=step.after_s)

    def _go_on(self, reading: Reading, on_heat: bool) -> Verdict:
        """It follows its path again."""
        if self._away.furthest_k <= NOISE_K + NOISE_SD * self._path.reading_sd_k + self._path.step_k:
            # Held as it could have been the first of a fall; it was the noise of one.
            joined = self._away.held
            self._forget_doubt()
            for each in joined:
                self._follows_path(each, on_heat=on_heat)
            verdict = self._follows_path(reading, on_heat)
            if verdict.found is Found.KEPT_OUT:
                return replace(verdict, dropped=joined)
            return replace(verdict, joined=joined)
        was_out = self._away.furthest_k > FAR_K and self._since_s(reading.elapsed_s) > RATE_OVER_S
        # What was near after a single odd reading, or for long, was no way back.
        near = self._away.near if len(self._away.held) - self._away.near == 1 or self._is_late(reading) else 0
        dropped, joined = (
            self._away.held[: len(self._away.held) - near],
            self._away.held[len(self._away.held) - near :],
        )
        for each in joined:
            self._path.add(each.elapsed_s, each.temp_c)
        self._forget_doubt()
        self._take(reading)
        spread_k = RETURNED_K if was_out else 0.0
        return Verdict(Found.BELIEVED, joined=joined, dropped=dropped, spread_k=spread_k)

    def _hold(self, reading: Reading, off_k: float, on_heat: bool, pace_s: float) -> Verdict:
        """Wait for company, or for what it does next."""
        self._away.low, self._away.slow = off_k < 0.0, pace_s > SLOW_PACE_S
        self._away.furthest_k = max(self._away.furthest_k, abs(off_k))
        self._away.recent.add(reading.elapsed_s, reading.temp_c, self._path)
        self._away.held.append(reading)
        self._away.near = 0
        if self._away.low:
            return self._low_verdict(reading, on_heat, pace_s)
        return self._high_verdict(reading, on_heat)

    # --- what is known ------------------------------------------------------------------------------------

    @property
    def suspicion(self) -> Suspicion | None:
        """What seems to be wrong with the probe now; None when nothing does."""
        return self._away.suspicion

    @property
    def unsure_k(self) -> float:
        """How far the melt may be from what the last believed reading says; 0 while it goes on as before."""
        return self._levels.unsure_k

    @property
    def left_s(self) -> float | None:
        """When the readings left their path; None while they follow it."""
        if self._away.suspicion is not None:
            return self._away.suspicion.since_s
        return self._away.held[0].elapsed_s if self._away.held else None

    @property
    def before_c(self) -> float | None:
        """Where the path ended, or stands now; None before the first reading."""
        return None if self._path.last_s is None else self._path.expected_c(self._path.last_s)

    @property
    def high_c(self) -> float | None:
        """A temperature that the last readings, doubted or held, all reached, when they lie above the path.

        It may be the wall; it may be the wax. One odd reading counts for nothing, two of three do.
        """
        readings = self._away.recent.readings
        if not self._doubts or self._away.low or (len(readings) < 2 and not self._away.slow):
            return None
        last = sorted(temp_c for _, temp_c in list(readings)[-3:])
        return last[0] if len(last) < 3 else last[1]

    # --- on the path or off it ----------------------------------------------------------------------------

    @property
    def _doubts(self) -> bool:
        return self._away.suspicion is not None or bool(self._away.held)

    def _take(self, reading: Reading) -> Verdict:
        self._path.add(reading.elapsed_s, reading.temp_c)
        return _BELIEVED

    def _off_k(self, at_s: float, temp_c: float) -> float:
        """How far it is off the path. What rose and only stops has not fallen: the heat was turned off."""
        path = self._path
        expected_c = path.expected_c(at_s)
        if temp_c >= expected_c or path.slope_c_per_s <= 0.0:
            return temp_c - expected_c
        return min(temp_c - min(path.expected_c(path.last_s or 0.0), path.last_c), 0.0)

    def _since_s(self, at_s: float) -> float:
        last_s = self._path.last_s
        return at_s - last_s if last_s is not None else 0.0

    def _is_late(self, reading: Reading) -> bool:
        """Whether it has been off its path for so long that waiting tells nothing more."""
        return self._since_s(reading.elapsed_s) > LONGEST_HELD_S

    def _allowed_k(self, at_s: float) -> float:
        now = (by_k for from_s, by_k, for_s in self._allowed if from_s <= at_s <= from_s + for_s)
        return max(now, default=0.0)

    def _is_on_path(self, off_k: float, at_s: float) -> bool:
        path = self._path
        scatter_k = OFF_SD * path.reading_sd_k + 0.5 * path.step_k
        since_s, slope = self._since_s(at_s), 2.0 * abs(path.slope_c_per_s)
        if self._away.held:
            # Held ones do not widen what is granted: else a fall would overtake itself.
            since_s = min(since_s, self._away.held[0].elapsed_s - (path.last_s or 0.0))
        if off_k < 0.0:
            # Between readings a second apart even a jug that was just lifted hardly bends.
            bends_k = DENSE_K_PER_S * min(since_s, DENSE_S) + FALLS_K_PER_S * max(since_s - DENSE_S, 0.0)
            gate_k = OFF_K + scatter_k + max(bends_k, slope * since_s)
        else:
            gate_k = HIGH_K + scatter_k + max(RISES_K_PER_S, slope) * since_s
        return abs(off_k) <= gate_k

    def _may_be_anything(self, off_k: float, at_s: float) -> bool:
        """Whether nobody can say how fast it may move here."""
        path = self._path
        level_c = path.expected_c(path.last_s or 0.0)
        if path.known_for_s < YOUNG_S:
            return True
        if off_k > 0.0:
            return level_c < COOL_C or at_s < self._put_in_s + PUT_IN_S
        return level_c - self.room_c < NEAR_ROOM_K

    def _follow(self, reading: Reading, off_k: float) -> Verdict:
        """Go along with a reading off the path; the line of before says nothing any more."""
        self._levels.restart()
        if off_k > FAR_K and reading.elapsed_s >= self._put_in_s + PUT_IN_S:
            self._put_in_s = reading.elapsed_s
        self._path.go_on_elsewhere()
        return self._take(reading)

    def _join(self, reading: Reading, new_level_k: float = 0.0) -> Verdict:
        """What was held is the melt."""
        joined, self._away.held = self._away.held, []
        joined = [each for each in joined if each is not reading]
        self._levels.restart()
        self._path.go_on_elsewhere()
        for each in joined:
            self._path.add(each.elapsed_s, each.temp_c)
        self._take(reading)
        self._forget_doubt()
        return Verdict(Found.BELIEVED, joined=joined, spread_k=new_level_k if new_level_k > LEVEL_K else 0.0)

    # --- held ---------------------------------------------------------------------------------------------

    def _low_verdict(self, reading: Reading, on_heat: bool, pace_s: float) -> Verdict:
        at_s, temp_c = reading.elapsed_s, reading.temp_c
        from_s = self._path.last_s or 0.0
        from_c = self._path.expected_c(from_s)
        span_s, fell_k = at_s - from_s, -self._off_k(at_s, temp_c)
        rate = -self._away.recent.rate_c_per_s(self._path)
        if len(self._away.held) >= RATE_READINGS:
            # The first one alone, seen from the end of a line, may tell any rate.
            self._away.fastest = max(self._away.fastest, (rate, -temp_c))
        if self._is_out(temp_c, from_c, span_s, fell_k - self._allowed_k(at_s), rate):
            return self._suspect(Fault.OUT, reading, out_text(self._place))
        if self._near_room(temp_c, from_c):
            first = self._away.held[0]
            cliff = first.elapsed_s - from_s <= CLIFF_S and from_c - first.temp_c >= CLIFF_K
            if len(self._away.held) >= RATE_READINGS and (cliff or span_s > LONGEST_HELD_S):
                return self._suspect(Fault.JUMPED, reading, jumped_text(self._place, temp_c, self.shown))
            return _HELD
        if fell_k < STANDS_SHARE * self._away.furthest_k:
            # On its way back; what takes too long is the melt.
            return self._join(reading, fell_k) if span_s > LONGEST_HELD_S else _HELD
        falls_on = rate > max(temp_c - self.room_c, 1.0) / AIR_S
        if not on_heat and not falls_on and self._stepped_down(fell_k - self._allowed_k(at_s)):
            if span_s < OUT_AFTER_S:
                return _HELD
            return self._suspect(Fault.STEPPED, reading, stepped_text(self._place, fell_k, self.shown))
        holds_s = SMALL_HOLDS_S if fell_k <= SMALL_K else HOLDS_S
        level = rate < max(temp_c - self.room_c, 1.0) / VESSEL_S and self._away.recent.steady_s >= holds_s
        if level and not on_heat and not self._away.slow and span_s <= SETTLES_WITHIN_S:
            # A contact with the wall: half of a lag's way down looks like a jug that cools fast.
            level = self._is_settled(at_s)
        if level or (span_s > LONGEST_HELD_S and len(self._away.held) >= RATE_READINGS):
            return self._join(reading, fell_k)
        return _HELD

    def _is_out(self, temp_c: float, from_c: float, span_s: float, fell_k: float, rate: float) -> bool:
        """Whether it falls as only a probe in the air does."""
        if fell_k < OUT_K or not self._in_air(from_c, temp_c, span_s):
            return False
        if self._away.slow:
            return True
        falls = rate > max(temp_c - self.room_c, 1.0) / AIR_S
        return falls and span_s >= OUT_AFTER_S and self._heads_out(temp_c, rate)

    def _stepped_down(self, fell_k: float) -> bool:
        """Whether it stands lower than it did, though it only cooled."""
        path = self._path
        scatter_k = 4.0 * path.reading_sd_k + path.step_k
        cooled = path.slope_c_per_s <= COOLS_K_PER_S and not self._away.slow
        return cooled and fell_k > STEP_DOWN_K + scatter_k and self._away.recent.steady_s >= SMALL_HOLDS_S

    def _in_air(self, from_c: float, to_c: float, span_s: float) -> bool:
        """Whether a fall is too fast for any vessel, from its two ends alone."""
        start_k, end_k = from_c - self.room_c, max(to_c - self.room_c, 1.0)
        return start_k > NEAR_ROOM_K and span_s < AIR_S * math.log(max(start_k / end_k, 1.0))

    def _heads_out(self, temp_c: float, rate: float) -> bool:
        """Whether the fall slows down only as one that ends near the room does."""
        fastest, at_c = self._away.fastest[0], -self._away.fastest[1]
        if rate >= 0.95 * fastest:
            return True
        end_c = (temp_c * fastest - at_c * rate) / (fastest - rate)
        from_c = self._path.expected_c(self._path.last_s or 0.0)
        return end_c < from_c - HEADS_FOR_ROOM * (from_c - self.room_c)

    def _near_room(self, temp_c: float, from_c: float) -> bool:
        return temp_c < self.room_c + NEAR_ROOM_SHARE * max(from_c - self.room_c, 0.0)

    def _high_verdict(self, reading: Reading, on_heat: bool) -> Verdict:
        at_s, temp_c = reading.elapsed_s, reading.temp_c
        span_s, rose_k = self._since_s(at_s), temp_c - self._path.expected_c(at_s)
        rate, steady_s = self._away.recent.rate_c_per_s(self._path), self._away.recent.steady_s
        if rose_k < STANDS_SHARE * self._away.furthest_k:
            return self._join(reading, rose_k) if span_s > LONGEST_HELD_S else _HELD
        if rose_k < WALL_K and span_s >= 0.5 * STEP_UP_AFTER_S:
            return self._join(reading, rose_k)
        if span_s >= STEP_UP_AFTER_S and rate - self._path.slope_at(at_s) >= GOES_ON_RISING * rose_k / span_s:
            return self._join(reading, rose_k)
        if steady_s >= SMALL_HOLDS_S and rose_k >= WALL_K and span_s >= 0.5 * STEP_UP_AFTER_S:
            if on_heat and self._place is Place.MELT:
                return self._suspect(Fault.WALL, reading, wall_text(rose_k, self.shown))
            if steady_s >= HOLDS_S:
                return self._join(reading, rose_k)
        if span_s > LONGEST_HELD_S:
            return self._join(reading, rose_k)
        return _HELD

    def _suspect(self, kind: Fault, reading: Reading, text: str) -> Verdict:
        dropped, self._away.held = self._away.held, []
        self._away.suspicion = Suspicion(kind, dropped[0].elapsed_s, text)
        self._away.recent.steady_anew()
        before_s = self._path.go_back_by(LEFT_BEFORE_S) if self._away.low else None
        dropped = [each for each in dropped if each is not reading]
        return Verdict(Found.KEPT_OUT, dropped=dropped, doubted_after_s=before_s)

    # --- said ---------------------------------------------------------------------------------------------

    def _doubted(self, reading: Reading, pace_s: float) -> Verdict:
        at_s, temp_c = reading.elapsed_s, reading.temp_c
        self._away.recent.add(at_s, temp_c, self._path)
        off_k = temp_c - self._path.expected_c(at_s)
        self._away.low = off_k < 0.0
        self._away.furthest_k = max(self._away.furthest_k, abs(off_k))
        steady_s = self._away.recent.steady_s
        if self._is_back(off_k, at_s, pace_s):
            self._forget_doubt()
            self._path.go_on_elsewhere()
            self._take(reading)
            return Verdict(Found.BELIEVED, spread_k=RETURNED_K)
        from_c = self._path.expected_c(self._path.last_s or 0.0)
        near_room = self._near_room(temp_c, from_c)
        kind = self._away.suspicion.kind if self._away.suspicion is not None else Fault.JUMPED
        holds_s = AIR_HOLDS_S if near_room else _HOLDS_S.get(kind, HOLDS_S)
        # What stepped down and goes by where it was, upwards, is the melt that is heated again.
        rose = kind is Fault.STEPPED and off_k > FAR_K
        if rose or steady_s >= max(holds_s, 2.0 * pace_s) or self._away.told_of_step:
            return self._join(reading, abs(off_k))
        return _KEPT_OUT

    def _is_back(self, off_k: float, at_s: float, pace_s: float) -> bool:
        """Whether it has met its path again and stays there, rather than only passing by."""
        path = self._path
        sd_k, since_s = path.reading_sd_k, self._since_s(at_s)
        near_k = BACK_K + BACK_SD * sd_k + 0.25 * path.step_k
        slow = pace_s > SLOW_PACE_S
        if slow:
            return abs(off_k) <= near_k + BACK_K_PER_S * since_s
        readings = self._away.recent.readings
        before = readings[-2] if len(readings) > 1 else None
        if before is not None and abs(off_k) <= near_k:
            # Two in a row that agree: a contact that is good again, or the end of the way back.
            moved_k = abs(readings[-1][1] - before[1])
            if moved_k <= near_k and abs(before[1] - path.expected_c(before[0])) <= near_k:
                return True
        far_k = FAR_BACK_K + BACK_SD * sd_k + path.step_k + FAR_BACK_K_PER_S * since_s
        if self._away.suspicion is not None:
            # What stands elsewhere is settled, too: it must have come most of the way back.
            near = STANDS_SHARE if self._away.suspicion.kind in _AWAY else 0.4
            far_k = min(far_k, near * self._away.furthest_k)
        long_enough = at_s - readings[0][0] >= 0.8 * SETTLED_OVER_S or len(readings) > 2 * RATE_READINGS
        return long_enough and abs(off_k) <= far_k and self._is_settled(at_s)

    def _is_settled(self, at_s: float) -> bool:
        """Whether it goes on as fast as its path did; nothing is known of that once something was done."""
        path = self._path
        sd_k = math.hypot(path.reading_sd_k, 0.3 * path.step_k)
        rate, rate_sd = self._away.recent.rate_and_sd(SETTLED_OVER_S, sd_k, path)
        slope = path.slope_at(at_s) if self._done_s <= (path.last_s or 0.0) else 0.0
        return abs(rate - slope) <= SETTLED_K_PER_S + rate_sd

    def _forget_doubt(self) -> None:
        self._away = _Away()
