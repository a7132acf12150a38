"""Whether a probe has settled at a check point, from its readings so far."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from candlebench.core.trust.readings import PointReading
from candlebench.core.units import Shown
from candlebench.words import tr

Floats = NDArray[np.float64]

# The last stretch is looked at: the shortest of these that shows a steady probe. Over half a minute a probe
# of 30 s that still moves by STILL_K has 0.09 K to go; a noisy one needs longer to show that it stands.
STRETCHES_S = (30.0, 45.0, 60.0, 90.0, 120.0)
LEAST_READINGS = 4
# What it may still move over the stretch, or half a step of its display where that is more: a last digit that
# changed in the middle of it moves the straight line by one and a half steps, one that flickers by little.
# Design decision.
STILL_K = 0.15
_STILL_STEPS = 0.5
# A coarse display hides how a slow probe creeps: on its way to 0, one of 30 s shows 1 for half a minute.
_COARSE_K, _COARSE_S = 0.3, 60.0
# Readings never lie exactly a stretch apart.
_COVERS = 0.99


@dataclass(frozen=True, slots=True)
class Settling:
    """How far a probe has settled.

    Attributes
    ----------
    settled : bool
    reading : PointReading or None
        Its mean over the last stretch; None until it has settled.
    text : str
        What to do or wait for now, one sentence for people.
    """

    settled: bool
    reading: PointReading | None
    text: str


def settling(times_s: Sequence[float] | Floats, temps_c: Sequence[float] | Floats, shown: Shown) -> Settling:
    """Say whether a probe has settled.

    Parameters
    ----------
    times_s, temps_c : sequence of float, shape (n,)
        All readings since it was put there, in their order; they may come at any pace.
    shown : Shown
        The unit of the sentence.

    Returns
    -------
    Settling
    """
    times, temps = np.asarray(times_s, dtype=float), np.asarray(temps_c, dtype=float)
    good = np.isfinite(times) & np.isfinite(temps)
    times, temps = times[good], temps[good]
    if not len(times):
        return Settling(False, None, tr("No reading yet: put the probe in and wait."))
    step_k = display_step_k(temps)
    may_move_k = max(STILL_K, _STILL_STEPS * step_k)
    least_s = _COARSE_S if step_k > _COARSE_K else STRETCHES_S[0]
    looked, stood_s = False, 0.0
    for stretch_s in STRETCHES_S:
        seen = times >= times[-1] - stretch_s
        # The reading before the stretch covers its beginning.
        began_s = times[max(0, int(np.argmax(seen)) - 1)]
        if seen.sum() < LEAST_READINGS or times[-1] - began_s < _COVERS * stretch_s:
            continue
        looked, course = True, _course(times[seen], temps[seen])
        stands = abs(course.moved_k) + course.moved_sd_k <= may_move_k
        if stands and stretch_s >= least_s:
            return Settling(True, _reading(temps[seen], course, step_k), _settled_text(temps[seen], shown))
        stood_s = stretch_s if stands else stood_s
    if looked and not stood_s:
        return Settling(False, None, _moving_text(times, temps, shown))
    passed_s = float(times[-1] - times[0])
    if not looked and passed_s >= STRETCHES_S[0] and len(times) >= LEAST_READINGS:
        text = tr("Readings come too slowly for this: type what it shows when it stands.")
        return Settling(False, None, text)
    left_s = least_s - stood_s if looked else STRETCHES_S[0] - passed_s
    text = tr("Hold it still for another {seconds} s.")
    return Settling(False, None, text.format(seconds=max(5, 5 * math.ceil(left_s / 5.0))))


def display_step_k(temps_c: Floats) -> float:
    """Return the step that a display seems to have, in kelvin: the smallest change between readings."""
    changes = np.diff(np.unique(np.round(temps_c, 6)))
    changes = changes[changes > 1e-5]
    # A probe that always said the same does not show its step; 0.1 K is that of most displays. From memory.
    return float(changes.min()) if len(changes) else _decimal_step_k(temps_c)


def _decimal_step_k(temps_c: Floats) -> float:
    """The step of a value that never changed: its last decimal, a tenth at most."""
    value = float(temps_c[-1])
    return next((step for step in (0.1, 0.01) if abs(value / step - round(value / step)) < 1e-6), 0.01)


@dataclass(frozen=True, slots=True)
class _Course:
    """How a stretch of readings went: by how much it moved, how sure that is, and the scatter about it."""

    moved_k: float
    moved_sd_k: float
    scatter_k: float


def _course(times_s: Floats, temps_c: Floats) -> _Course:
    """Fit a straight line; eddies keep readings to one side, so fewer of them count."""
    since_s = times_s - times_s.mean()
    sum_squares = float(since_s @ since_s)
    if sum_squares <= 0.0:
        return _Course(0.0, math.inf, 0.0)
    slope = float(since_s @ temps_c) / sum_squares
    rest = temps_c - temps_c.mean() - slope * since_s
    scatter_k = math.sqrt(float(rest @ rest) / max(1, len(rest) - 2))
    kept = float(rest[1:] @ rest[:-1]) / float(rest @ rest) if scatter_k > 1e-9 else 0.0
    kept = min(max(kept, 0.0), 0.9)
    # Variance of a mean of AR(1) readings, large n: (1 + r) / (1 - r) times that of independent ones.
    inflated = scatter_k * math.sqrt((1.0 + kept) / (1.0 - kept))
    span_s = float(times_s[-1] - times_s[0])
    return _Course(slope * span_s, inflated / math.sqrt(sum_squares) * span_s, inflated)


def _reading(temps_c: Floats, course: _Course, step_k: float) -> PointReading:
    # Type A of the mean (JCGM 100:2008, 4.2.3), and what is left to go: at most as much again as it moved,
    # anywhere between.
    count = len(temps_c)
    scatter_k = math.hypot(course.scatter_k / math.sqrt(count), abs(course.moved_k) / math.sqrt(3.0))
    return PointReading(float(temps_c.mean()), step_k, scatter_k, count)


def _settled_text(temps_c: Floats, shown: Shown) -> str:
    return tr("Settled at {temp}.").format(temp=f"{shown.number(float(temps_c.mean())):.1f} {shown.sign}")


def _moving_text(times_s: Floats, temps_c: Floats, shown: Shown) -> str:
    stretch_s = next(
        (each for each in STRETCHES_S if (times_s >= times_s[-1] - each).sum() >= LEAST_READINGS),
        STRETCHES_S[-1],
    )
    seen = times_s >= times_s[-1] - stretch_s
    course = _course(times_s[seen], temps_c[seen])
    moved = shown.drop(abs(course.moved_k))
    if abs(course.moved_k) > 2.0 * course.moved_sd_k:
        text = tr("Still rising, {moved} in the last {seconds} s: wait.")
        if course.moved_k < 0.0:
            text = tr("Still falling, {moved} in the last {seconds} s: wait.")
        return text.format(moved=moved, seconds=f"{stretch_s:.0f}")
    swing = shown.drop(float(temps_c[seen].max() - temps_c[seen].min()))
    return tr("It goes up and down by {swing}: stir, and keep the tip off the glass.").format(swing=swing)
