"""A short memory of the curve that thins itself out instead of growing."""

import math

_MOST = 64


class ThinnedHistory:
    """Readings since a peak or a trough, at most 64 of them; when full, every second one is dropped."""

    def __init__(self, of_peak: bool) -> None:
        self._sign = 1.0 if of_peak else -1.0
        self.clear()

    def clear(self) -> None:
        """Forget everything."""
        self._times: list[float] = []
        self._temps: list[float] = []
        self._spacing_s = 0.0
        self._waiting: tuple[float, float] | None = None
        self.extreme_c = -self._sign * math.inf

    def add(self, elapsed_s: float, temp_c: float, smoothed_c: float) -> None:
        """Remember a reading; it becomes the first when the smoothed curve is at a new peak or trough."""
        if self._sign * smoothed_c >= self._sign * self.extreme_c:
            self.clear()
            self.extreme_c = smoothed_c
        self._waiting = (elapsed_s, temp_c)
        if self._times and elapsed_s - self._times[-1] < self._spacing_s:
            return
        self._times.append(elapsed_s)
        self._temps.append(temp_c)
        self._waiting = None
        if len(self._times) > _MOST:
            span = self._times[-1] - self._times[0]
            self._times, self._temps = self._times[::2], self._temps[::2]
            self._spacing_s = max(1.5 * span / _MOST, 1e-3)

    def readings(self) -> tuple[list[float], list[float]]:
        """Times in seconds and temperatures in degrees Celsius, the last reading always among them."""
        if self._waiting is None:
            return list(self._times), list(self._temps)
        return [*self._times, self._waiting[0]], [*self._temps, self._waiting[1]]
