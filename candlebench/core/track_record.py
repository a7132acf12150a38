"""Forecasts that were made, and what became of them: kept at ten, five and two minutes ahead."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import Enum

import numpy as np

from candlebench.core.crossing_watch import CrossingWatch
from candlebench.core.forecast.crossing import Crossing
from candlebench.core.units import about
from candlebench.words import tr

# A maker plans by ten minutes, gets ready at five and stands by at two. Design decision.
LEADS_S = (600.0, 300.0, 120.0)
# A forecast that jumps past a lead by more than this share of it was not made at that lead.
FRESH_SHARE = 0.8
# What is looked back on, and when the bands are widened: under 80 % of at least ten, so that 90 % would hold.
LAST = 20
ENOUGH = 10
HOLDS_AT_LEAST = 0.8
SHOULD_HOLD = 0.9
WIDEST = 3.0


class Outcome(Enum):
    """What became of a forecast."""

    WAITING = "waiting"
    INSIDE = "inside"
    EARLY = "early"
    LATE = "late"
    OVERTAKEN = "overtaken by what was done"


@dataclass(frozen=True, slots=True)
class KeptForecast:
    """One forecast as it was made, and what became of it.

    Attributes
    ----------
    what : str
        What was foreseen: 'melted', 'warm enough', 'strong limit', 'oil window opens', ...
    target_c, lead_s : float
        The temperature, and which lead it stands for: 600, 300 or 120 s.
    made_s : float
        Elapsed time at which it was made.
    low_s, in_s, high_s : float
        5, 50 and 95 % points, seconds from `made_s`; `high_s` may be infinite.
    widen : float
        How much the bands were widened then.
    outcome : Outcome
    took_s : float or None
        How long it took, seconds from `made_s`; at least so long when it had not come by the end. None while
        waiting or when it was overtaken.
    """

    what: str
    target_c: float
    lead_s: float
    made_s: float
    low_s: float
    in_s: float
    high_s: float
    widen: float = 1.0
    outcome: Outcome = Outcome.WAITING
    took_s: float | None = None

    @property
    def settled(self) -> bool:
        """It came true or did not; nothing that was done came in between."""
        return self.outcome in (Outcome.INSIDE, Outcome.EARLY, Outcome.LATE)

    @property
    def miss_s(self) -> float | None:
        """Seconds between the middle of the forecast and what happened."""
        return None if self.took_s is None else abs(self.took_s - self.in_s)

    def stretch(self) -> float:
        """By what factor its band, unwidened, would have had to be wider to just hold; on the log scale."""
        if self.took_s is None or self.outcome is Outcome.OVERTAKEN:
            return 0.0
        took, middle = max(self.took_s, 1.0), max(self.in_s, 1.0)
        edge = self.high_s if took > middle else max(self.low_s, 1.0)
        half = abs(math.log(edge / middle)) if math.isfinite(edge) else math.inf
        return self.widen * abs(math.log(took / middle)) / max(half, 1e-3)


class TrackRecord:
    """Keeps the forecasts of one melt, and settles them by its readings. No clock of its own."""

    def __init__(self) -> None:
        self._kept: list[KeptForecast] = []
        self._said: set[tuple[str, float]] = set()
        self._watches: dict[float, CrossingWatch] = {}

    @property
    def kept(self) -> tuple[KeptForecast, ...]:
        """All forecasts kept so far, in the order they were made."""
        return tuple(self._kept)

    def look(
        self,
        targets: Sequence[tuple[str, float]],
        foreseen: Callable[[float], Crossing | None],
        temp_c: float,
        widen: float,
    ) -> None:
        """Keep a forecast that has just come to one of the leads.

        Parameters
        ----------
        targets : sequence of (str, float)
            What may be foreseen now, with its temperature in degrees Celsius.
        foreseen : callable
            Forecast of a temperature, counted from now.
        temp_c : float
            The last reading, for the direction.
        widen : float
            How much the bands are widened.
        """
        for what, target_c in targets:
            crossing = foreseen(target_c)
            if crossing is None:
                continue
            lead_s = _lead(crossing.in_s)
            if lead_s is None or (what, lead_s) in self._said:
                continue
            self._said.add((what, lead_s))
            self._kept.append(
                KeptForecast(
                    what,
                    target_c,
                    lead_s,
                    crossing.made_at_s,
                    crossing.low_s,
                    crossing.in_s,
                    crossing.high_s,
                    widen,
                )
            )
            self._watches.setdefault(target_c, CrossingWatch(target_c, falling=temp_c > target_c))

    def reading(self, elapsed_s: float, temp_c: float, lag_s: float) -> None:
        """Take a believed reading; `lag_s` is how long after the wax the probe shows a temperature."""
        for target_c, watch in list(self._watches.items()):
            at_s = watch.crossed(elapsed_s, temp_c)
            if at_s is not None:
                del self._watches[target_c]
                self._settle(target_c, at_s - lag_s)

    def disturbed(self, at_s: float) -> None:
        """Something was done that the forecasts could not know of: those that wait are dropped."""
        self._kept = [_dropped(kept, at_s) for kept in self._kept]
        self._watches.clear()
        self._said.clear()

    def as_left(self, at_s: float) -> tuple[KeptForecast, ...]:
        """All forecasts as they stand when the melt is left at this moment."""
        return tuple(_dropped(kept, at_s) for kept in self._kept)

    def _settle(self, target_c: float, at_s: float) -> None:
        for i, kept in enumerate(self._kept):
            if kept.outcome is Outcome.WAITING and kept.target_c == target_c:
                took_s = at_s - kept.made_s
                outcome = Outcome.INSIDE
                if took_s < kept.low_s:
                    outcome = Outcome.EARLY
                elif took_s > kept.high_s:
                    outcome = Outcome.LATE
                self._kept[i] = replace(kept, outcome=outcome, took_s=took_s)


def _dropped(kept: KeptForecast, at_s: float) -> KeptForecast:
    """A forecast that nothing more will be heard of; one whose band is over by then has failed."""
    if kept.outcome is not Outcome.WAITING:
        return kept
    passed_s = at_s - kept.made_s
    if passed_s > kept.high_s:
        return replace(kept, outcome=Outcome.LATE, took_s=passed_s)
    return replace(kept, outcome=Outcome.OVERTAKEN)


def _lead(in_s: float) -> float | None:
    return next((lead for lead in LEADS_S if FRESH_SHARE * lead < in_s <= lead), None)


@dataclass(frozen=True, slots=True)
class Score:
    """How the last forecasts fared.

    Attributes
    ----------
    last : tuple of KeptForecast
        The last settled ones, at most twenty, the oldest first.
    held : int
        How many were inside their band.
    miss_s : float or None
        Median of the misses in seconds; None when nothing is settled.
    widen : float
        Factor for the bands of the next melt, 1 to 3.
    """

    last: tuple[KeptForecast, ...]
    held: int
    miss_s: float | None
    widen: float

    @property
    def sentence(self) -> str:
        """'Of your last 20 forecasts 18 were inside the band, typical miss 14 s.'"""
        if self.miss_s is None:
            return tr("No forecast has been compared with what happened yet.")
        if len(self.last) > 1:
            text = tr("Of your last {count} forecasts {held} were inside the band, typical miss {miss}.")
        elif self.held:
            text = tr("Your last forecast was inside the band, {miss} off.")
        else:
            text = tr("Your last forecast was outside the band, {miss} off.")
        return text.format(count=len(self.last), held=self.held, miss=_seconds(self.miss_s))

    @property
    def widen_sentence(self) -> str:
        """Why bands are wider than they would be; '' when they are not."""
        if self.widen <= 1.0:
            return ""
        return tr(
            "Too few of the last forecasts were inside their band, so bands are shown {factor:.1f} times as "
            "wide until enough hold again."
        ).format(factor=self.widen)


def score_of(kept: Sequence[KeptForecast]) -> Score:
    """Sum up forecasts, the oldest first.

    Parameters
    ----------
    kept : sequence of KeptForecast
        Of one melt or of many; only the settled ones count.

    Returns
    -------
    Score
    """
    last = tuple([forecast for forecast in kept if forecast.settled][-LAST:])
    held = sum(forecast.outcome is Outcome.INSIDE for forecast in last)
    misses = sorted(forecast.miss_s for forecast in last if forecast.miss_s is not None)
    return Score(last, held, float(np.median(misses)) if misses else None, widen_for(last))


def widen_for(last: Sequence[KeptForecast]) -> float:
    """Factor by which bands must be wider for 90 % of these forecasts to hold; 1 when 80 % held as made.

    Judged by the bands as they would have been unwidened, so that widening does not undo itself as soon as
    it works.
    """
    if len(last) < ENOUGH:
        return 1.0
    stretches = np.array([forecast.stretch() for forecast in last])
    if float(np.mean(stretches <= 1.0)) >= HOLDS_AT_LEAST:
        return 1.0
    return float(np.clip(np.quantile(stretches, SHOULD_HOLD), 1.0, WIDEST))


def _seconds(seconds: float) -> str:
    return tr("{seconds:.0f} s").format(seconds=seconds) if seconds < 99.5 else about(seconds)
