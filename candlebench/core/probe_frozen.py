"""Notices a display that shows the same number to the last digit where it cannot (T39).

Two ways to know. A probe that trembles up and down does not stop: the calmest half minute that it has ever
had says how likely so many equal readings are. And a melt moves: off the heat, outside its melting interval
where nothing holds it, the number must change once it has lost a few digits; on the heat what rose goes on.
On a plateau, near boiling or after the knob was turned a coarse display may stand for long, and nothing is
said.
"""

import math
from collections import deque

from candlebench.core.forecast.noise import Noise
from candlebench.core.forecast.room import UNKNOWN_ROOM
from candlebench.core.setup import Limits

# Blocks of readings from which the restlessness is learned, and how many must be known.
BLOCK, LEAST_BLOCKS = 30, 4
# So unlikely must it be by its own trembling; and not before so many readings and seconds.
LOG_CHANCE = math.log(1e-8)
LEAST_READINGS, LEAST_S = 25, 20.0
# Nearer to the room the room itself, a few kelvin off what was typed, may hold the number.
ABOVE_ROOM_K = 15.0
# Off the heat: slowest cooling of a large lidded pail, a time constant of 3 h (jugs need 40 to 84 min, H29 to
# H32), times three for a turn of the curve; so many digits of it.
SLOWEST_S, DIGITS = 3.0 * 3600.0, 3.0
OFF_HEAT_LEAST_S = 45.0
# On the heat: what rose at 1 K/min and more stops within a digit for so long only when the knob is turned.
RISING_C_PER_S, RISING_DIGITS, ON_HEAT_LEAST_S = 1.0 / 60.0, 12.0, 45.0
# The slope before the number stood still: over so long, and over so many digits, or it tells nothing.
BEFORE_S, LONG_BEFORE_S, BEFORE_DIGITS = 45.0, 240.0, 3.0
TOGETHER_S = 1.0
# Faster than any melt, 21 K/min: a probe on its way into the wax.
FASTEST_C_PER_S = 0.35
# So much slower over the last digits than over up to so many times as many it is settling.
SETTLES_SHARE, SETTLES_OVER = 0.6, 5
# Melting wax holds the temperature in this much above and below its interval; so does a bath near boiling.
ABOVE_MELTED_K, BELOW_MELTED_K, UNDER_BOILING_K = 1.0, 15.0, 8.0
LEAST_DIGIT_K = 0.02
WATER_BOILS_C = 100.0
FASTER_THAN_S = 15.0


class FrozenWatch:
    """Counts equal readings of one probe.

    Attributes
    ----------
    limits : Limits or None
        Of the melt: `melted_c` is the end of its melting interval. None: nothing is known of what melts.
    boiling_c : float
        Local boiling point.
    room_c : float
        What the air around is, as far as it is known.
    """

    def __init__(self) -> None:
        self.limits: Limits | None = None
        self.boiling_c, self.room_c = WATER_BOILS_C, UNKNOWN_ROOM.temp_c
        self._noise = Noise()
        self._blocks = 0
        self._least_trembling = 1.0
        self._before_c = self._step_before_k = 0.0
        self._restart_block()
        self.restart()

    def restart(self) -> None:
        """A gap: nothing is known of the last number."""
        self._value_c: float | None = None
        self._from_s = self._last_s = 0.0
        self._count = 0
        self._moved: deque[tuple[float, float]] = deque()
        self._slope_before: float | None = None
        self._disturbed = self._is = False

    def disturbed(self) -> None:
        """Something was done: what rose or fell may stand now, and how fast it went says nothing any more."""
        self._disturbed = True
        self._moved.clear()
        self._slope_before = None

    def frozen_for_s(self, at_s: float, temp_c: float, on_heat: bool) -> float | None:
        """Take one reading, as read; how long the number stands already, when that cannot be."""
        self._learn(at_s, temp_c)
        if temp_c != self._value_c:
            self._changed(at_s, temp_c)
            return None
        self._count += 1
        self._last_s = at_s
        stands_s = at_s - self._from_s
        if self._count > 1 and stands_s / (self._count - 1) > FASTER_THAN_S:
            return None
        # Once it is, nothing that is done makes the same number alive again.
        self._is = self._is or self._cannot_stop(stands_s) or self._must_move(stands_s, temp_c, on_heat)
        return stands_s if self._is else None

    @property
    def stands_since_s(self) -> float:
        """When the present number was first read."""
        return self._from_s

    def _changed(self, at_s: float, temp_c: float) -> None:
        moved = self._moved
        if not moved or at_s - moved[-1][0] >= TOGETHER_S:
            moved.append((at_s, temp_c))
        while at_s - moved[0][0] > LONG_BEFORE_S:
            moved.popleft()
        self._slope_before = None
        self._value_c, self._from_s, self._count, self._disturbed = temp_c, at_s, 1, False
        self._is = False

    def _slope_c_per_s(self, temp_c: float) -> float:
        """The slowest that it moved over its last few digits before it stood; 0 when that is not known.

        A probe that was put into the wax nears it ever more slowly, and then may stand.
        """
        if self._slope_before is None:
            digit_k = max(self._noise.step_k, LEAST_DIGIT_K)
            slopes, least_k = [], BEFORE_DIGITS * digit_k
            for at_s, from_c in reversed(self._moved):
                if abs(temp_c - from_c) >= least_k and at_s < self._from_s:
                    slopes.append((temp_c - from_c) / (self._from_s - at_s))
                    least_k += BEFORE_DIGITS * digit_k
            tells = bool(slopes) and self._from_s - self._moved[0][0] >= BEFORE_S
            settles = tells and abs(slopes[0]) < SETTLES_SHARE * max(map(abs, slopes[:SETTLES_OVER]))
            slowest = min(slopes, key=abs) if tells else 0.0
            self._slope_before = slowest if abs(slowest) <= FASTEST_C_PER_S and not settles else 0.0
        return self._slope_before

    def _learn(self, at_s: float, temp_c: float) -> None:
        if self._count <= BLOCK:
            self._noise.add(at_s, temp_c)
        self._read += 1
        step_k = temp_c - self._before_c
        if step_k != 0.0:
            # Back and forth is trembling; on and on is only the melt.
            self._turns += step_k * self._step_before_k < 0.0
            self._step_before_k = step_k
        self._before_c = temp_c
        if self._read > BLOCK:
            # A block that the present standing still spoils says nothing of before.
            if self._count < BLOCK // 2:
                self._least_trembling = min(self._least_trembling, self._turns / BLOCK)
                self._blocks += 1
            self._restart_block()

    def _restart_block(self) -> None:
        self._read, self._turns = 0, 0

    def _cannot_stop(self, stands_s: float) -> bool:
        """By its own trembling."""
        if self._count < LEAST_READINGS or stands_s < LEAST_S or self._blocks < LEAST_BLOCKS:
            return False
        return self._count * math.log(1.0 - self._least_trembling) < LOG_CHANCE

    def _must_move(self, stands_s: float, temp_c: float, on_heat: bool) -> bool:
        """By what a melt does."""
        if self._disturbed or self.limits is None:
            return False
        melted_c, digit_k = self.limits.melted_c, max(self._noise.step_k, LEAST_DIGIT_K)
        if melted_c - BELOW_MELTED_K < temp_c < melted_c + ABOVE_MELTED_K:
            return False
        if not on_heat:
            slowest = max(temp_c - self.room_c, 0.0) / SLOWEST_S
            falls = max(slowest, -0.5 * self._slope_c_per_s(temp_c))
            cools = temp_c > melted_c or temp_c > self.room_c + ABOVE_ROOM_K
            return cools and stands_s > max(OFF_HEAT_LEAST_S, DIGITS * digit_k / falls)
        if stands_s <= ON_HEAT_LEAST_S or temp_c > self.boiling_c - UNDER_BOILING_K:
            return False
        rose = self._slope_c_per_s(temp_c)
        return rose >= RISING_C_PER_S and stands_s > RISING_DIGITS * digit_k / rose
