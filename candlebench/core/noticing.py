"""Noticing from the curve alone that the jug came off the heat."""

from candlebench.core.setup import Limits

# A fall that is no probe noise and no stirring: 1 K under the peak (kitchen probes show 0.1 to 1 K, T8 of the
# reference), 40 s after it, and not faster than a jug can cool. A jug on an insulating base falls 0.6 to
# 1.5 K/min (H29-H32); a probe lifted out of the wax falls tens of K a minute. Thresholds tried on the
# practice melt and on the water series; they are proposals.
FALL_C = 1.0
LASTS_S = 40.0
FASTEST_C_PER_MIN = 8.0
RISES_AGAIN_C = 1.0


class OffHeatNoticer:
    """Watches for the turn from rising to falling; told when the person disagrees."""

    def __init__(self, limits: Limits) -> None:
        self._limits = limits
        self._peak_c = -1e9
        self._peak_s = 0.0
        self._falling_since = 0
        self._recent: list[float] = []
        self._waits_above_c: float | None = None

    def use(self, limits: Limits) -> None:
        """Go on with corrected limits."""
        self._limits = limits

    def disagreed(self, temp_c: float) -> None:
        """The person undid it: be silent until the melt has risen again."""
        self._waits_above_c = temp_c + RISES_AGAIN_C
        self.restart()

    def restart(self) -> None:
        """Forget the peak (the jug went back on the heat, or nothing was read for long)."""
        self._peak_c = -1e9
        self._falling_since = 0
        self._recent.clear()

    def noticed(self, elapsed_s: float, temp_c: float) -> float | None:
        """Take one reading; return the elapsed time of the peak when the jug has come off the heat."""
        self._recent = [*self._recent[-2:], temp_c]
        level_c = sorted(self._recent)[len(self._recent) // 2]
        if self._waits_above_c is not None:
            if level_c < self._waits_above_c:
                return None
            self._waits_above_c = None
        if level_c >= self._peak_c:
            self._peak_c, self._peak_s, self._falling_since = level_c, elapsed_s, 0
            return None
        self._falling_since += 1
        passed_s = elapsed_s - self._peak_s
        fell_c = self._peak_c - level_c
        hot_enough = self._peak_c >= self._limits.melted_c
        lasts = passed_s >= LASTS_S and self._falling_since >= 3
        possible = fell_c <= FASTEST_C_PER_MIN * passed_s / 60.0
        return self._peak_s if hot_enough and lasts and possible and fell_c >= FALL_C else None
