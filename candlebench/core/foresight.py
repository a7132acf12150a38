"""Feeds the forecaster with what the melt knows, and answers for any moment after the last reading."""

import copy
import heapq
import math
from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from candlebench.core.forecast.crossing import Crossing
from candlebench.core.forecast.fan import Fan
from candlebench.core.forecast.forecaster import Forecaster
from candlebench.core.forecast.jug import known_loss, usual_loss
from candlebench.core.forecast.room import typed_room
from candlebench.core.forecast.wax_family import family_for, known_family
from candlebench.core.place import Place
from candlebench.core.setup import MeltSetup
from candlebench.core.track import Track

# Closer readings add noise but no knowledge of a jug whose time constant is 40 to 84 min (H29-H32).
CLOSEST_S = 0.25
# A rebuilt forecast needs the recent past only; the filters forget over about 15 min.
REBUILD_S = 3600.0
REBUILD_READINGS = 900
# A probe that slipped is seen within half a minute: so often and so many times the forecaster is set aside.
ASIDE_EVERY_S, ASIDE = 10.0, 5


@dataclass(frozen=True, slots=True)
class Happening:
    """What the forecaster has to be told again when it is rebuilt.

    `drop_c` is None but for oil, and 0 when it is only not known how far the wax may be. `lifted` tells the
    jug being taken off from the knob being turned.
    """

    at_s: float
    drop_c: float | None = None
    spread_c: float = 0.0
    lifted: bool = False


@dataclass(frozen=True, slots=True)
class _Aside:
    """The forecaster before the reading of a moment; `known` counts what it had been told by then."""

    at_s: float
    known: int
    forecaster: Forecaster
    fed_s: float
    fed_beside_s: float


class Foresight:
    """The forecaster of one melt, its memory of what was done, and a cache of its answers."""

    def __init__(self, setup: MeltSetup, boiling_c: float) -> None:
        self._setup = setup
        self._boiling_c = boiling_c
        self._happenings: list[Happening] = []
        self._fed_s = self._fed_beside_s = -math.inf
        # `_lately` is what was told since the oldest one set aside; `_dropped` counts what was let go.
        self._aside: deque[_Aside] = deque()
        self._lately: deque[Happening | tuple[float, float, Place]] = deque()
        self._dropped = 0
        self._cache: dict[float, Crossing | None] = {}
        self._lasting: dict[tuple[float, float], Crossing | None] = {}
        self._fans: dict[float, Fan | None] = {}
        self._fresh()

    def reading(self, elapsed_s: float, temp_c: float) -> None:
        """Take a reading later than all before it."""
        if elapsed_s - self._fed_s < CLOSEST_S:
            return
        if not self._aside or elapsed_s - self._aside[-1].at_s >= ASIDE_EVERY_S:
            self._set_aside(elapsed_s)
        self._forecaster.update(elapsed_s, temp_c)
        self._fed_s = elapsed_s
        self._lately.append((elapsed_s, temp_c, Place.MELT))
        self._forget_answers()

    def beside(self, place: Place, elapsed_s: float, temp_c: float) -> None:
        """Take a reading of the second probe, which hangs in the bath or in the room."""
        if elapsed_s - self._fed_beside_s < CLOSEST_S:
            return
        self._fed_beside_s = elapsed_s
        self._lately.append((elapsed_s, temp_c, place))
        if place is Place.BATH:
            self._forecaster.bath_read(elapsed_s, temp_c)
        else:
            self._forecaster.room_read(elapsed_s, temp_c)
        self._forget_answers()

    def happened(self, happening: Happening) -> None:
        """The heat was changed, or oil went in."""
        self._happenings.append(happening)
        self._tell(happening)
        self._forget_answers()

    def undo(self, at_s: float) -> None:
        """Forget what happened at `at_s` or later; `rebuild` must follow."""
        self._happenings = [h for h in self._happenings if h.at_s < at_s]

    def go_back(self, after_s: float) -> bool:
        """Forget the readings of the wax later than a moment, and nothing else that is known since.

        False when that is too long ago; `rebuild` must follow.
        """
        while self._aside and self._aside[-1].at_s > after_s:
            self._aside.pop()
        if not self._aside:
            return False
        then = self._aside.pop()
        since = list(self._lately)[then.known - self._dropped :]
        self._happenings = [h for h in self._happenings if h.at_s <= after_s or h.drop_c != 0.0]
        self._forecaster, self._fed_s, self._fed_beside_s = then.forecaster, then.fed_s, then.fed_beside_s
        while len(self._lately) > then.known - self._dropped:
            self._lately.pop()
        for one in since:
            if isinstance(one, Happening):
                # What was unsure of those readings goes with them.
                if one.at_s <= after_s or one.drop_c != 0.0:
                    self._tell(one)
            elif one[2] is not Place.MELT:
                self.beside(one[2], one[0], one[1])
            elif one[0] <= after_s:
                self.reading(one[0], one[1])
        self._forget_answers()
        return True

    def _set_aside(self, at_s: float) -> None:
        """Keep the forecaster as it is before the reading of that moment."""
        known = self._dropped + len(self._lately)
        copied = copy.deepcopy(self._forecaster)
        self._aside.append(_Aside(at_s, known, copied, self._fed_s, self._fed_beside_s))
        if len(self._aside) > ASIDE:
            self._aside.popleft()
        while self._dropped < self._aside[0].known:
            self._lately.popleft()
            self._dropped += 1

    def rebuild(self, setup: MeltSetup, boiling_c: float, track: Track, beside: Track | None = None) -> None:
        """Start afresh from the recorded curves: a late reading, another wax or room, an undone oil.

        `beside` is the curve of the second probe, which hangs where the setup says.
        """
        self._setup, self._boiling_c = setup, boiling_c
        self._fresh()
        pending = list(self._happenings)
        for t, temp, place in _in_order(track, beside, setup):
            while pending and pending[0].at_s <= t:
                self._tell(pending.pop(0))
            if place is Place.MELT:
                self.reading(t, temp)
            else:
                self.beside(place, t, temp)
        for late in pending:
            self._tell(late)

    def crossing(self, target_c: float, now_s: float) -> Crossing | None:
        """When `target_c` is crossed, counted from `now_s`; None when not foreseen or already past."""
        if target_c not in self._cache:
            self.prepare((target_c,))
        found = self._cache[target_c]
        return None if found is None else counted_from(found, now_s)

    def prepare(self, targets_c: tuple[float, ...]) -> None:
        """Ask for several targets in one go, which costs little more than asking for one."""
        missing = tuple(t for t in dict.fromkeys(targets_c) if t not in self._cache)
        if missing:
            self._cache.update(zip(missing, self._forecaster.crossings(missing), strict=True))

    def lasts(self, from_c: float, to_c: float) -> Crossing | None:
        """How long the way down from one temperature to another takes; None while that is not known."""
        if (from_c, to_c) not in self._lasting:
            self._lasting[from_c, to_c] = self._forecaster.lasts(from_c, to_c)
        return self._lasting[from_c, to_c]

    def fan(self, horizon_s: float) -> Fan | None:
        """Where the melt is going over the next `horizon_s`; None before the third reading."""
        if self._forecaster.rate_c_per_min is None:
            return None
        if horizon_s not in self._fans:
            fan = self._forecaster.path(horizon_s)
            self._fans[horizon_s] = fan if bool(np.isfinite(fan.median_c).any()) else None
        return self._fans[horizon_s]

    def _fresh(self) -> None:
        self._forecaster = forecaster_for(self._setup, self._boiling_c)
        self._fed_s = self._fed_beside_s = -math.inf
        self._aside.clear()
        self._lately.clear()
        self._dropped = 0
        self._forget_answers()

    def _forget_answers(self) -> None:
        self._cache.clear()
        self._lasting.clear()
        self._fans.clear()

    def _tell(self, happening: Happening) -> None:
        self._lately.append(happening)
        if happening.drop_c is not None:
            self._forecaster.oil_added(happening.at_s, happening.drop_c, happening.spread_c)
        elif happening.lifted:
            self._forecaster.lifted(happening.at_s)
        else:
            self._forecaster.heat_changed(happening.at_s)


def _in_order(track: Track, beside: Track | None, setup: MeltSetup) -> Iterator[tuple[float, float, Place]]:
    """Time, temperature and place of what both probes said lately, thinned, in the order of time."""
    curves = [_thinned(track, Place.MELT)]
    if beside is not None and setup.beside is not None:
        curves.append(_thinned(beside, setup.beside.place))
    return heapq.merge(*curves, key=lambda reading: reading[0])


def _thinned(track: Track, place: Place) -> list[tuple[float, float, Place]]:
    times_s, temps_c = track.last(REBUILD_S)
    step = max(1, math.ceil(len(times_s) / REBUILD_READINGS))
    return [(t, c, place) for t, c in zip(times_s[::step].tolist(), temps_c[::step].tolist(), strict=True)]


def forecaster_for(setup: MeltSetup, boiling_c: float) -> Forecaster:
    """A forecaster that begins with all that is known of the wax, the jug, the probe and the room."""
    known = setup.known
    family = family_for(setup.wax)
    if family is not None and known.wax is not None:
        family = known_family(setup.wax, known.wax)
    loss = None
    if family is not None and known.jug is not None:
        loss = known_loss(known.jug, setup.wax_g)
    elif family is not None and setup.wax_g is not None:
        loss = usual_loss(setup.wax_g)
    lag_s = known.probe.lag_s if known.probe is not None else 0.0
    return Forecaster(family, typed_room(setup.room_c), boiling_c, lag_s, loss, known.widen)


def counted_from(crossing: Crossing, now_s: float) -> Crossing | None:
    """The same forecast counted from a later moment; None once even its late end has passed."""
    passed_s = now_s - crossing.made_at_s
    if passed_s <= 0.0:
        return crossing
    if crossing.high_s <= passed_s:
        return None
    return replace(
        crossing,
        low_s=max(0.0, crossing.low_s - passed_s),
        in_s=max(0.0, crossing.in_s - passed_s),
        high_s=crossing.high_s - passed_s,
        made_at_s=now_s,
    )
