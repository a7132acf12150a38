"""Readings that cannot be the wax: a spike, a probe out of it, a power-on value. They wait for company."""

import math
from enum import Enum

# A melt does not leave its curve faster than this by itself: 6 K/min, or twice what it has done lately.
_PLAUSIBLE_C_PER_S = 0.1
_LATELY_S = 300.0
# So much of it is granted while readings come often; with rare readings the whole gap counts.
_GRANTED_DENSE_S = 8.0
_DENSE_S = 45.0
_LEAST_GATE_K = 0.6
_GATE_SD = 4.5
_BACK_GATE_K, _BACK_GATE_SD = 0.15, 2.0
# So long it is watched on its way back, and so little it may still move from one half of that to the other.
_ARRIVES_S, _ARRIVED_K = 10.0, 0.1
# How long a new level must hold before it is believed: longer than a probe is lifted out and dries.
_HOLD_S = 90.0
# A reading that is far nearer to the room than to the melt is a probe in the air; wait longer.
_AIR_HOLD_S = 600.0
# Readings that left the curve no faster than a melt can are a turn of the melt: believed after this long.
_TURN_S = 15.0
_MOST_KEPT = 200

Held = list[tuple[float, float]]


class Verdict(Enum):
    """What to do with a reading."""

    ACCEPT = "accept"
    WAIT = "wait"
    TURN = "turn"
    NEW_LEVEL = "new level"


class Suspects:
    """Holds back readings far from the forecast until they have held their level for a while."""

    def __init__(self, room_c: float) -> None:
        self._room_c = room_c
        self._held: Held = []
        self._accepted: tuple[float, float] | None = None
        self._allowed_k = 0.0
        self._speed_c_per_s = 0.0
        self._judged_s = self._now_s = 0.0
        self._gradual = True

    def expect_step(self, by_k: float) -> None:
        """A step of about this size is announced: do not hold it back."""
        self._allowed_k = by_k

    def take(self) -> Held:
        """Hand over the held readings and forget them."""
        held, self._held = self._held, []
        return held

    def judge(
        self,
        elapsed_s: float,
        temp_c: float,
        expected: tuple[float, float, float] | None,
        reading_sd_k: float,
    ) -> Verdict:
        """Decide about one reading.

        Parameters
        ----------
        elapsed_s, temp_c : float
            The reading.
        expected : tuple of three floats or None
            Mean, spread and slope (per second) that the forecast expects now; None before it knows.
        reading_sd_k : float
            Scatter of one reading.

        Returns
        -------
        Verdict
            After TURN and NEW_LEVEL the held readings, this one last, wait in `take`.
        """
        since_s = elapsed_s - self._accepted[0] if self._accepted is not None else 0.0
        if expected is not None:
            fade = math.exp(-(elapsed_s - self._judged_s) / _LATELY_S)
            self._speed_c_per_s = max(self._speed_c_per_s * fade, abs(expected[2]))
        self._judged_s = self._now_s = elapsed_s
        if expected is None or self._is_near(temp_c, expected, reading_sd_k, since_s):
            self._held.clear()
            self._allowed_k *= math.exp(-since_s / 60.0)
            self._accept(elapsed_s, temp_c)
            return Verdict.ACCEPT
        now = (elapsed_s, temp_c)
        if self._held and not self._could_follow(self._held[-1], now, reading_sd_k):
            self._held.clear()
        if self._accepted is None or not self._could_follow(self._accepted, now, reading_sd_k):
            self._gradual = False
        self._held.append(now)
        del self._held[1:-_MOST_KEPT]
        return self._verdict_on_held(temp_c, expected[0])

    def _verdict_on_held(self, temp_c: float, mean_c: float) -> Verdict:
        held_s = self._held[-1][0] - self._held[0][0]
        verdict = Verdict.WAIT
        in_air = abs(temp_c - self._room_c) < abs(temp_c - mean_c)
        if self._gradual and len(self._held) >= 3 and held_s >= _TURN_S:
            verdict = Verdict.TURN
        elif len(self._held) >= 2 and held_s >= (_AIR_HOLD_S if in_air else _HOLD_S):
            verdict = Verdict.NEW_LEVEL
        if verdict is not Verdict.WAIT:
            self._accept(*self._held[-1])
        return verdict

    def _accept(self, elapsed_s: float, temp_c: float) -> None:
        self._accepted = (elapsed_s, temp_c)
        self._gradual = True

    def _speed(self) -> float:
        return max(_PLAUSIBLE_C_PER_S, 2.0 * self._speed_c_per_s)

    def _is_near(
        self, temp_c: float, expected: tuple[float, float, float], reading_sd_k: float, since_s: float
    ) -> bool:
        mean, sd, _ = expected
        if self._held and not self._gradual:
            # On its way back into the wax a probe is near long before it is right: it has to have arrived.
            near_k = _BACK_GATE_K + _BACK_GATE_SD * math.hypot(sd, reading_sd_k)
            if abs(temp_c - mean) > near_k:
                return False
            return self._has_arrived(temp_c, reading_sd_k) or abs(temp_c - mean) <= 0.3 * near_k
        rare = since_s > _DENSE_S and not self._held
        granted_s = since_s if rare else min(since_s, _GRANTED_DENSE_S)
        gate = _LEAST_GATE_K + _GATE_SD * math.hypot(sd, reading_sd_k) + self._speed() * granted_s
        return abs(temp_c - mean) <= gate + self._allowed_k

    def _has_arrived(self, temp_c: float, reading_sd_k: float) -> bool:
        """Whether the held readings no longer come nearer faster than a melt moves."""
        now_s = self._now_s
        before = [one for one in self._held if now_s - one[0] <= _ARRIVES_S]
        if not before or now_s - before[0][0] < 0.5 * _ARRIVES_S:
            return len(self._held) < 2 or now_s - self._held[-1][0] > _ARRIVES_S
        half = max(1, len(before) // 2)
        earlier = sum(c for _, c in before[:half]) / half
        later = (sum(c for _, c in before[half:]) + temp_c) / (len(before) - half + 1)
        apart_k = 1.5 * reading_sd_k * math.sqrt(1.0 / half + 1.0 / (len(before) - half + 1))
        return abs(later - earlier) <= _ARRIVED_K + apart_k

    def _could_follow(
        self, before: tuple[float, float], now: tuple[float, float], reading_sd_k: float
    ) -> bool:
        """Whether the later reading can be the same melt as the earlier one."""
        reach = _LEAST_GATE_K + 4.0 * reading_sd_k + self._speed() * (now[0] - before[0])
        return abs(now[1] - before[1]) <= reach
