"""Arithmetic on one recorded curve: how long above a limit, when it fell to one, how fast it cooled.

Between two readings the curve is a straight line. Where two readings lie far apart nothing is known of the
time between them, and it is not counted.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from candlebench.core.events import Gap
from candlebench.core.track import FloatArray

# Readings further apart than this, and than five times the usual pace, leave a hole. A person types every few
# minutes (alarms.TYPED_SILENT_S asks again after five). Design decision.
HOLE_S = 300.0
HOLE_PACES = 5.0
# A piece of the curve this long tells its cooling: 1 K at the rates of H29 to H32. Design decision.
LEAST_PIECE_S = 60.0
# Closer to the room than this the logarithm is mostly noise.
LEAST_ABOVE_ROOM_K = 5.0


@dataclass(frozen=True, slots=True)
class Curve:
    """Temperatures over time.

    Attributes
    ----------
    times_s : ndarray, shape (n,)
        Elapsed seconds, not decreasing.
    temps_c : ndarray, shape (n,)
        Degrees Celsius.
    """

    times_s: FloatArray
    temps_c: FloatArray

    def __len__(self) -> int:
        return len(self.times_s)

    def at(self, at_s: float) -> float | None:
        """The temperature at a moment, between the readings around it; None outside the curve."""
        if not len(self) or not self.times_s[0] <= at_s <= self.times_s[-1]:
            return None
        return float(np.interp(at_s, self.times_s, self.temps_c))

    def between(self, from_s: float, to_s: float) -> "Curve":
        """The part between two moments, its ends between the readings; empty where there is none."""
        if not len(self) or to_s <= from_s:
            return Curve(self.times_s[:0], self.temps_c[:0])
        from_s, to_s = max(from_s, float(self.times_s[0])), min(to_s, float(self.times_s[-1]))
        if to_s < from_s:
            return Curve(self.times_s[:0], self.temps_c[:0])
        inside = (self.times_s > from_s) & (self.times_s < to_s)
        times_s = np.concatenate([[from_s], self.times_s[inside], [to_s]])
        ends_c = np.interp([from_s, to_s], self.times_s, self.temps_c)
        return Curve(times_s, np.concatenate([ends_c[:1], self.temps_c[inside], ends_c[1:]]))


NO_CURVE = Curve(np.empty(0), np.empty(0))


def holes(curve: Curve, gaps: Sequence[Gap]) -> tuple[tuple[float, float], ...]:
    """Return the times between neighbouring readings of which nothing is known, as (from, to)."""
    if len(curve) < 2:
        return ()
    steps_s = np.diff(curve.times_s)
    longest_s = max(HOLE_S, HOLE_PACES * float(np.median(steps_s)))
    unknown = steps_s > longest_s
    for gap in gaps:
        begins, ends = curve.times_s[:-1], curve.times_s[1:]
        unknown |= (begins < gap.elapsed_s) & (ends > gap.elapsed_s - gap.length_s)
    return tuple((float(curve.times_s[i]), float(curve.times_s[i + 1])) for i in np.flatnonzero(unknown))


def seconds_above(curve: Curve, limit_c: float, unknown: Sequence[tuple[float, float]] = ()) -> float:
    """Return for how many seconds the curve lay at a limit or above it, without the `unknown` times."""
    if len(curve) < 2:
        return 0.0
    steps_s = np.diff(curve.times_s)
    begin, end = curve.temps_c[:-1] - limit_c, curve.temps_c[1:] - limit_c
    rise = np.abs(end - begin)
    # The share of each step that lies above: all, none, or what is left beyond the crossing.
    share = np.where(
        (begin >= 0.0) & (end >= 0.0),
        1.0,
        np.maximum(np.maximum(begin, end), 0.0) / np.where(rise > 0.0, rise, 1.0),
    )
    known = np.ones(len(steps_s), dtype=bool)
    for from_s, to_s in unknown:
        known &= ~((curve.times_s[:-1] >= from_s) & (curve.times_s[1:] <= to_s))
    return float((steps_s * share)[known].sum())


def falls_to(curve: Curve, temp_c: float) -> float | None:
    """Return when the curve first lies at or below a temperature, None when it never does."""
    below = np.flatnonzero(curve.temps_c <= temp_c)
    if not len(below):
        return None
    place = int(below[0])
    if place == 0:
        return float(curve.times_s[0])
    before_c, after_c = float(curve.temps_c[place - 1]), float(curve.temps_c[place])
    share = (before_c - temp_c) / (before_c - after_c)
    before_s = float(curve.times_s[place - 1])
    return before_s + share * (float(curve.times_s[place]) - before_s)


def spans_within(
    curve: Curve, low_c: float, high_c: float, longest_gap_s: float
) -> tuple[tuple[float, float], ...]:
    """Return when the curve lay in a band, as (from, to) in their order.

    Parameters
    ----------
    curve : Curve
    low_c, high_c : float
        The band's edges belong to it.
    longest_gap_s : float
        Spans that are no further apart than this are one: what a probe's noise leaves out.
    """
    if len(curve) < 2:
        return ()
    times_s, temps_c = curve.times_s, curve.temps_c
    edges_s = [times_s]
    for level_c in (low_c, high_c):
        before, after = temps_c[:-1] - level_c, temps_c[1:] - level_c
        across = before * after < 0.0
        share = before[across] / (before[across] - after[across])
        edges_s.append(times_s[:-1][across] + share * np.diff(times_s)[across])
    all_s = np.unique(np.concatenate(edges_s))
    middle_c = np.interp(0.5 * (all_s[:-1] + all_s[1:]), times_s, temps_c)
    found: list[tuple[float, float]] = []
    for place in np.flatnonzero((middle_c >= low_c) & (middle_c <= high_c)).tolist():
        from_s, to_s = float(all_s[place]), float(all_s[place + 1])
        if found and from_s - found[-1][1] <= longest_gap_s:
            found[-1] = (found[-1][0], to_s)
        else:
            found.append((from_s, to_s))
    return tuple(found)


def cooling_per_s(pieces: Sequence[Curve], room_c: float) -> float | None:
    """Return the rate k of dT/dt = -k (T - room) over pieces of a jug left to cool; None when unknown.

    Newton's law of cooling: over each piece k is the fall of ln(T - room) divided by its length; the pieces
    count by their length.
    """
    fall = length_s = 0.0
    for piece in pieces:
        if len(piece) < 2 or piece.times_s[-1] - piece.times_s[0] < LEAST_PIECE_S:
            continue
        begin_k, end_k = float(piece.temps_c[0]) - room_c, float(piece.temps_c[-1]) - room_c
        if min(begin_k, end_k) < LEAST_ABOVE_ROOM_K:
            continue
        fall += math.log(begin_k / end_k)
        length_s += float(piece.times_s[-1] - piece.times_s[0])
    return fall / length_s if length_s and fall > 0.0 else None


def cooled(from_s: float, from_c: float, room_c: float, rate_per_s: float, for_s: float) -> Curve:
    """Return the curve of a body left to cool by Newton's law from a moment on, every ten seconds."""
    ahead_s = np.arange(0.0, for_s + 10.0, 10.0)
    return Curve(from_s + ahead_s, room_c + (from_c - room_c) * np.exp(-rate_per_s * ahead_s))


def joined(first: Curve, then: Curve) -> Curve:
    """Return one curve that goes on with `then` where `first` ends."""
    later = then.times_s > (first.times_s[-1] if len(first) else -math.inf)
    return Curve(
        np.concatenate([first.times_s, then.times_s[later]]),
        np.concatenate([first.temps_c, then.temps_c[later]]),
    )
