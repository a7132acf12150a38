"""The forecaster of one melt: readings in, crossing times out."""

import math
from collections import deque
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from candlebench.core.forecast.bank import HORIZON_S, Bank
from candlebench.core.forecast.bath_bank import BathBank
from candlebench.core.forecast.beside import BathProbe, RoomProbe
from candlebench.core.forecast.cooling import cooling_bank
from candlebench.core.forecast.crossing import Crossing
from candlebench.core.forecast.fan import Fan, empty_fan, fan_from_crossings
from candlebench.core.forecast.heating import heating_bank
from candlebench.core.forecast.history import ThinnedHistory
from candlebench.core.forecast.jug import Loss
from candlebench.core.forecast.noise import Noise
from candlebench.core.forecast.room import Room
from candlebench.core.forecast.suspects import Suspects, Verdict
from candlebench.core.forecast.trend import Trend
from candlebench.core.forecast.wax_family import WaxFamily

Floats = NDArray[np.float64]

# The curve has turned when the smoothed temperature has left its peak (or its trough) by this much and by
# this many of its standard deviations.
_TURN_K = 0.25
_TURN_SD = 3.0
# The first guess of the rate: from the readings since the peak if they span this much; at least 0.3 K/min.
_SPAN_FOR_SLOPE_S = 20.0
_LEAST_FIRST_SLOPE_C_PER_S = 0.3 / 60.0
# After a longer silence the rate of before says nothing: start afresh.
_LONG_GAP_S = 2400.0
_FAN_TARGETS = 14
# Cold oil runs in and is stirred through within a minute or so; until then a reading may be off by what is
# left of the drop. Common practice, no source.
_MIXES_S = 25.0
# When a jug is lifted off, its wall and the wax at the wall are hotter than the middle, by about what the
# melt rose in the first time; with the second time constant that evens out. So the curve rises on and then
# falls as if it had begun higher. Tried on practice melts of 250 g to 1.5 kg (seed 4).
_WALL_AHEAD_S, _EVENS_OUT_S = 38.0, 25.0
# A turn that nobody told of is noticed at the peak, when about half of that is over.
_LEFT_AT_PEAK = 0.5
_WALL_DOUBT, _LEAST_WALL_SD_K = 0.5, 0.2
_RISE_FADES_S = 120.0
# A bath whose probe shows another level for good may be off by so much from what was foreseen.
_BATH_LEAP_SD_K = 8.0


class Forecaster:
    """When will the melt cross a temperature, and how sure is that. No clock: time comes with the readings.

    Parameters
    ----------
    family : WaxFamily or None
        The wax; None for a body without latent heat.
    room : Room
        What is known of the room.
    boiling_c : float
        Local boiling point of water, which the bath cannot pass.
    probe_lag_s : float
        Time constant of the probe, measured or typed in. The wax crosses a temperature so much earlier than
        the probe shows it. With 0 the answer is when the probe will show it.
    loss : Loss, optional
        What is known of the jug's loss; without it the first readings alone say how fast it cools.
    widen : float
        Bands are made wider by this factor on both sides of the middle, in ratios of time.
    """

    def __init__(
        self,
        family: WaxFamily | None,
        room: Room,
        boiling_c: float,
        probe_lag_s: float = 0.0,
        loss: Loss | None = None,
        widen: float = 1.0,
    ) -> None:
        self._probe_lag_s, self._loss, self._widen = probe_lag_s, loss, widen
        self._family, self._room, self._boiling_c = family, room, boiling_c
        self._noise = Noise()
        self._trend = Trend()
        self._suspects = Suspects(room.temp_c)
        self._bank: Bank | BathBank | None = None
        self._falling = False
        self._begun_s = -math.inf
        self._mixing = (math.inf, 0.0)
        self._lifted_s, self._wall_k = math.inf, 0.0
        self._rise_c_per_s = 0.0
        self._last_s: float | None = None
        self._read_s: float | None = None
        self._accepted_s: float | None = None
        self._since_peak = ThinnedHistory(of_peak=True)
        self._since_trough = ThinnedHistory(of_peak=False)
        self._bath_probe = BathProbe()
        self._room_probe = RoomProbe()

    @property
    def temp_c(self) -> float | None:
        """Smoothed temperature at the last reading; None before the third."""
        return self._trend.temp_c if self._trend.count >= 3 else None

    @property
    def rate_c_per_min(self) -> float | None:
        """Smoothed slope at the last reading; None before the third."""
        return self._trend.slope_c_per_s * 60.0 if self._trend.count >= 3 else None

    def update(self, elapsed_s: float, temp_c: float) -> None:
        """Take in one reading. Times may repeat but do not run back: a late reading counts as now."""
        if self._last_s is not None and self._read_s is not None:
            elapsed_s = max(elapsed_s, self._last_s)
            gap_s = elapsed_s - self._last_s
            if elapsed_s - self._read_s > _LONG_GAP_S:
                self._forget()
                gap_s = 0.0
            if self._bank is not None:
                self._bank.predict(gap_s)
        self._last_s = self._read_s = elapsed_s
        verdict = self._suspects.judge(elapsed_s, temp_c, self._expected(), self._noise.reading_sd_k)
        if verdict is Verdict.WAIT:
            return
        if verdict is Verdict.NEW_LEVEL:
            self._take_new_level()
        if verdict is Verdict.TURN:
            self._trend.loosen()
            for held_s, held_c in self._suspects.take()[:-1]:
                self._accept(held_s, held_c)
        self._accept(elapsed_s, temp_c)

    def bath_read(self, elapsed_s: float, temp_c: float) -> None:
        """Take in one reading of a probe in the water bath. Times are those of `update`'s clock.

        While the jug is off the heat it says nothing of the wax, and a body without latent heat is foreseen
        without it: the plain bank's "around" is no bath but what the body would settle at.
        """
        bank = self._bank if isinstance(self._bank, BathBank) else None
        if not self._bath_probe.believes(elapsed_s, temp_c, bank.wax_c() if bank is not None else None):
            return
        if bank is None or self._last_s is None or self._read_s is None:
            return
        if elapsed_s - self._read_s > _LONG_GAP_S:
            return
        if elapsed_s > self._last_s:
            bank.predict(elapsed_s - self._last_s)
            self._last_s = elapsed_s
        if self._bath_probe.leapt:
            bank.bath_leapt(_BATH_LEAP_SD_K)
        bank.correct_bath(temp_c, self._bath_probe.variance_k2)

    def room_read(self, elapsed_s: float, temp_c: float) -> None:
        """Take in one reading of a probe in the room, which counts for more than what was typed."""
        room = self._room_probe.room(elapsed_s, temp_c)
        if room is None:
            return
        if isinstance(self._bank, Bank) and self._falling:
            self._bank.correct_around(room.temp_c, room.sd_c**2, abs(room.temp_c - self._room.temp_c))
        self._room = room

    def oil_added(self, elapsed_s: float, drop_c: float, spread_c: float) -> None:
        """The oil went in: the melt is cooler by `drop_c`, give or take `spread_c`."""
        if self._bank is not None:
            if self._last_s is not None and elapsed_s > self._last_s:
                self._bank.predict(elapsed_s - self._last_s)
                self._last_s = self._read_s = elapsed_s
            self._bank.jump(-drop_c, spread_c)
        self._trend.shift(-drop_c)
        self._since_peak.clear()
        self._since_trough.clear()
        self._suspects.expect_step(abs(drop_c) + 2.0 * spread_c)
        self._mixing = (elapsed_s, abs(drop_c))

    def heat_changed(self, elapsed_s: float) -> None:
        """The person turned the heat down, off or on: the rate may be another from here on.

        A change dated before the curve was seen to turn is in the present bank already and loosens nothing.
        """
        if self._bank is not None and elapsed_s <= self._begun_s:
            return
        if self._bank is not None:
            self._bank.loosen()
        self._trend.loosen()
        self._since_peak.clear()
        self._since_trough.clear()
        self._suspects.expect_step(1.0)

    def lifted(self, elapsed_s: float) -> None:
        """The jug was lifted off the heat: from here on it cools, though it may still rise a little.

        With the jug's loss known beforehand there is a forecast at once; else the curve's turn is awaited.
        """
        if self._bank is not None and self._falling:
            return
        if self._loss is None or self._bank is None or self._last_s is None:
            self.heat_changed(elapsed_s)
            return
        self._since_peak.clear()
        self._since_peak.add(self._last_s, self._trend.temp_c, self._trend.temp_c)
        self._begin(falling=True, wall_k=self._rise_c_per_s * _WALL_AHEAD_S)

    def crossings(self, targets_c: Sequence[float]) -> tuple[Crossing | None, ...]:
        """When each target will be crossed, counted from the last reading; None when past or not foreseen."""
        found: list[Crossing | None] = [None] * len(targets_c)
        if self._bank is None or self._last_s is None:
            return tuple(found)
        ahead = [i for i, target in enumerate(targets_c) if self._is_ahead(target)]
        if not ahead:
            return tuple(found)
        quantiles, chances = self._foreseen([targets_c[i] for i in ahead])
        for row, i in enumerate(ahead):
            low, middle, high = quantiles[row].tolist()
            chance = float(chances[row])
            if np.isfinite(low):
                found[i] = Crossing(float(targets_c[i]), low, middle, high, chance, float(self._last_s))
        return tuple(found)

    def lasts(self, from_c: float, to_c: float) -> Crossing | None:
        """How long it will take from one temperature down to another, counted from when it is at the first.

        None while the melt does not cool, or when the second is not below the first.
        """
        if not isinstance(self._bank, Bank) or not self._falling or self._last_s is None or to_c >= from_c:
            return None
        low, middle, high = self._widened(self._bank.lasts(from_c, to_c)[None, :])[0].tolist()
        return Crossing(to_c, low, middle, high, 1.0, self._last_s) if math.isfinite(low) else None

    def _foreseen(self, targets_c: list[float]) -> tuple[Floats, Floats]:
        """Quantiles, shape (targets, 3), widened as told, and the chances."""
        assert self._bank is not None
        quantiles, chances = self._bank.crossings(targets_c)
        return self._widened(quantiles), chances

    def _widened(self, quantiles: Floats) -> Floats:
        """The same points, shape (targets, 3), further from their middle by the factor."""
        if self._widen == 1.0:
            return quantiles
        middle = quantiles[:, 1:2]
        with np.errstate(divide="ignore", invalid="ignore"):
            wider = middle * (quantiles / middle) ** self._widen
        known = np.isfinite(quantiles) & np.isfinite(middle) & (middle > 0.0)
        return np.where(known, np.where(wider > HORIZON_S, np.inf, wider), quantiles)

    def path(self, horizon_s: float, points: int = 24) -> Fan:
        """Low, middle and high temperature against time ahead, for drawing; consistent with `crossings`."""
        if self._bank is None or self._last_s is None:
            return empty_fan(self._last_s or 0.0)
        now_c = self._bank.wax_c()
        horizon_s = min(horizon_s, HORIZON_S)
        reach = 2.0 * abs(self._bank.rate_c_per_s()) * horizon_s + 1.0
        if self._falling:
            end = max(now_c - reach, self._room.temp_c + 0.5)
        else:
            end = min(now_c + reach, self._boiling_c)
        if (end < now_c) != self._falling:
            return empty_fan(self._last_s)
        targets = np.linspace(now_c, end, _FAN_TARGETS + 1)[1:]
        quantiles, _ = self._foreseen(targets.tolist())
        return fan_from_crossings(now_c, targets, quantiles, horizon_s, points, self._last_s)

    def _is_ahead(self, target_c: float) -> bool:
        assert self._bank is not None
        now_c = self._bank.wax_c()
        if self._falling:
            return target_c < now_c
        return now_c < target_c < self._boiling_c

    def _expected(self) -> tuple[float, float, float] | None:
        """Temperature, its spread and the slope that the next reading should show."""
        if self._bank is None:
            return None
        mean, sd = self._bank.expected()
        return mean - self._wall_left_k(self._last_s or 0.0), sd, self._bank.rate_c_per_s()

    def _accept(self, elapsed_s: float, temp_c: float) -> None:
        gap_s = elapsed_s - self._accepted_s if self._accepted_s is not None else 60.0
        self._accepted_s = elapsed_s
        self._noise.add(elapsed_s, temp_c)
        variance = self._noise.variance(gap_s, self._trend.slope_c_per_s) + self._uneven_var(elapsed_s, gap_s)
        self._trend.add(elapsed_s, temp_c, variance)
        fading = self._rise_c_per_s * math.exp(-gap_s / _RISE_FADES_S)
        self._rise_c_per_s = max(self._trend.slope_c_per_s if self._trend.count > 2 else 0.0, fading)
        self._since_peak.add(elapsed_s, temp_c, self._trend.temp_c)
        self._since_trough.add(elapsed_s, temp_c, self._trend.temp_c)
        if self._bank is not None:
            self._bank.correct(temp_c + self._wall_left_k(elapsed_s), variance)
        self._look_for_a_turn()

    def _wall_left_k(self, elapsed_s: float) -> float:
        """How much the wall still has to give to the middle after the jug was lifted off."""
        if elapsed_s < self._lifted_s:
            return 0.0
        return self._wall_k * math.exp(-(elapsed_s - self._lifted_s) / _EVENS_OUT_S)

    def _uneven_var(self, elapsed_s: float, gap_s: float) -> float:
        """Variance of a reading because oil is not stirred through yet, or the wall is still hotter.

        What is wrong stays wrong for a while, so that many readings are no better than one.
        """
        oil_s, drop_k = self._mixing
        unmixed_k = drop_k * math.exp(-(elapsed_s - oil_s) / _MIXES_S) if elapsed_s >= oil_s else 0.0
        wall_k = _WALL_DOUBT * self._wall_left_k(elapsed_s)
        gap_s = max(gap_s, 0.1)
        return unmixed_k**2 * max(_MIXES_S / gap_s, 1.0) + wall_k**2 * max(_EVENS_OUT_S / gap_s, 1.0)

    def _look_for_a_turn(self) -> None:
        trend = self._trend
        if trend.count < 2:
            return
        least = _TURN_K + _TURN_SD * trend.temp_sd_k
        if self._last_s is not None and 0.0 <= self._last_s - self._lifted_s < 3.0 * _EVENS_OUT_S:
            least += self._wall_k
        falls = trend.slope_c_per_s < 0.0 and self._since_peak.extreme_c - trend.temp_c > least
        rises = trend.slope_c_per_s > 0.0 and trend.temp_c - self._since_trough.extreme_c > least
        if falls and (self._bank is None or not self._falling):
            self._begin(falling=True, wall_k=_LEFT_AT_PEAK * self._rise_c_per_s * _WALL_AHEAD_S)
        elif rises and (self._bank is None or self._falling):
            self._begin(falling=False, wall_k=0.0)

    def _begin(self, falling: bool, wall_k: float) -> None:
        """Start a bank from the readings since the peak or trough; the wall is hotter by `wall_k`."""
        bank: Bank | BathBank
        if falling:
            bank = cooling_bank(self._family, self._room, self._probe_lag_s, self._loss)
        else:
            bank = heating_bank(self._family, self._boiling_c, self._probe_lag_s)
        history = self._since_peak if falling else self._since_trough
        times, temps = history.readings()
        span_s = times[-1] - times[0]
        overall = abs(temps[-1] - temps[0]) / span_s if span_s > _SPAN_FOR_SLOPE_S else 0.0
        slope = max(overall, abs(self._trend.slope_c_per_s), _LEAST_FIRST_SLOPE_C_PER_S)
        self._lifted_s, self._wall_k = times[0], wall_k
        wall_sd_k = _WALL_DOUBT * wall_k + (_LEAST_WALL_SD_K if wall_k > 0.0 else 0.0)
        bank.start(temps[0] + wall_k, math.hypot(self._noise.reading_sd_k, wall_sd_k), slope)
        beside = deque(self._bath_probe.since(times[0]))
        for i in range(1, len(times)):
            gap_s = times[i] - times[i - 1]
            bank.predict(gap_s)
            while beside and isinstance(bank, BathBank) and beside[0][0] <= times[i]:
                _, bath_c, bath_var = beside.popleft()
                bank.correct_bath(bath_c, bath_var)
            level_c = temps[i] + self._wall_left_k(times[i])
            bank.correct(level_c, self._noise.variance(gap_s, slope) + self._uneven_var(times[i], gap_s))
        self._bank, self._falling = bank, falling
        self._begun_s = times[-1]
        (self._since_trough if falling else self._since_peak).clear()

    def _take_new_level(self) -> None:
        """The readings have settled somewhere else and stay there: believe them, keep the rate."""
        readings = self._suspects.take()
        level_c = readings[-1][1]
        if self._bank is not None:
            mean, _ = self._bank.expected()
            self._bank.jump(level_c - mean, 1.0)
        self._trend = Trend()
        self._since_peak.clear()
        self._since_trough.clear()
        for elapsed_s, temp_c in readings[-3:-1]:
            self._trend.add(elapsed_s, temp_c, self._noise.reading_sd_k**2)

    def _forget(self) -> None:
        self._bank = None
        self._trend = Trend()
        self._suspects = Suspects(self._room.temp_c)
        self._since_peak.clear()
        self._since_trough.clear()
