"""When a window was open on the curve of one melt, and whether a moment lay in it: one rule for both."""

from dataclasses import dataclass

import numpy as np

from candlebench.core.cues import Window
from candlebench.core.debrief.curve import NO_CURVE, Curve, cooled, falls_to, joined, spans_within
from candlebench.core.debrief.jug import cooling_of
from candlebench.core.debrief.moment import STREAM_S, Moment
from candlebench.core.debrief.story import Story

# How far a curve is drawn on past what was done: a jug of 1 kg falls 10 K in a quarter of an hour (H31).
DRAWN_ON_S = 3600.0
# A probe's noise at a window's edge opens and closes it for a few readings. Design decision.
NOISE_S = STREAM_S


@dataclass(frozen=True, slots=True)
class Chance:
    """When a window was open on this curve.

    Attributes
    ----------
    window : Window
        Its `end_c` is where it usefully ends.
    safe : bool
        False when no temperature was safe for the oil at this load.
    spans : tuple of (float, float)
        When the melt was in the window, between `window.high_c` and its useful end.
    opened_s, closed_s : float or None
        When the first of them began and the last one ended; None when it never did.
    best_s : float or None
        The moment that would have been right: half way between both temperatures, `best_c`.
    best_c : float
    drawn_on_s : float or None
        From here on the curve was changed by what was done, and the times are an estimate.
    drawn_on : Curve
        The curve from there until the window closes, had nothing been done; empty where none was needed.
    """

    window: Window
    safe: bool
    spans: tuple[tuple[float, float], ...]
    opened_s: float | None
    closed_s: float | None
    best_s: float | None
    best_c: float
    drawn_on_s: float | None
    drawn_on: Curve = NO_CURVE

    def estimated(self, at_s: float | None) -> bool:
        """Whether a moment lies where the curve was drawn on."""
        return at_s is not None and self.drawn_on_s is not None and at_s > self.drawn_on_s


def chance_of(
    story: Story,
    curve: Curve,
    window: Window,
    from_s: float | None,
    done: tuple[float | None, Moment | None],
) -> Chance:
    """When a window was open from `from_s` on; `done` is when it was used, and what the wax was at then.

    The moment at which it was used is in a span exactly when its temperature is in the window (`off_by`).
    """
    best_c = 0.5 * (window.high_c + window.end_c)
    safe = window.high_c >= window.low_c
    done_s, then = done
    if from_s is None or not safe:
        return Chance(window, safe, (), None, None, None, best_c, None)
    left_alone = _left_alone(story, curve, from_s, done)
    spans = spans_within(left_alone, window.end_c, window.high_c, NOISE_S)
    if done_s is not None and then is not None and done_s >= from_s:
        right = off_by(then.temp_c, window.end_c, window.high_c) == 0.0
        spans = _with_moment(spans, done_s) if right else _without_moment(spans, done_s)
    if not spans:
        return Chance(window, safe, (), None, None, None, best_c, done_s)
    still_open = spans[-1][1] >= float(left_alone.times_s[-1])
    closed_s = None if still_open else spans[-1][1]
    falls_s = (falls_to(left_alone.between(*span), best_c) for span in spans)
    best_s = next((at_s for at_s in falls_s if at_s is not None), None)
    drawn_on = NO_CURVE
    if done_s is not None and closed_s is not None:
        drawn_on = left_alone.between(done_s, closed_s)
    seen_until_s = done_s
    if done_s is not None and then is not None and then.held:
        seen_until_s = done_s - then.read_before_s
    return Chance(window, safe, spans, spans[0][0], closed_s, best_s, best_c, seen_until_s, drawn_on)


def off_by(temp_c: float | None, low_c: float, high_c: float) -> float | None:
    """Kelvins above (+) or below (-) a band, 0 inside it, None when nothing was read.

    What is shown as the band's edge, rounded to a tenth, is inside.
    """
    if temp_c is None:
        return None
    off_c = max(0.0, temp_c - high_c) - max(0.0, low_c - temp_c)
    return off_c if abs(off_c) > 0.05 else 0.0


def _with_moment(spans: tuple[tuple[float, float], ...], at_s: float) -> tuple[tuple[float, float], ...]:
    """The spans, the nearest of them reaching to a moment that rounding left out."""
    if any(from_s <= at_s <= to_s for from_s, to_s in spans):
        return spans
    if not spans:
        return ((at_s, at_s),)
    nearest = min(spans, key=lambda span: min(abs(span[0] - at_s), abs(span[1] - at_s)))
    longer = (min(nearest[0], at_s), max(nearest[1], at_s))
    return tuple(longer if span is nearest else span for span in spans)


def _without_moment(spans: tuple[tuple[float, float], ...], at_s: float) -> tuple[tuple[float, float], ...]:
    """The spans, parted at a moment that lay outside and was taken for noise."""
    parted: list[tuple[float, float]] = []
    for from_s, to_s in spans:
        parted += [(from_s, at_s), (at_s, to_s)] if from_s < at_s < to_s else [(from_s, to_s)]
    return tuple(parted)


def _left_alone(story: Story, curve: Curve, from_s: float, done: tuple[float | None, Moment | None]) -> Curve:
    """The curve as it would have gone on had nothing been added or poured."""
    done_s, then = done
    if done_s is None or then is None:
        return curve.between(from_s, story.end_s if done_s is None else done_s)
    read_s = done_s - then.read_before_s if then.held else done_s
    measured = curve.between(from_s, read_s)
    room_c, rate_per_s = cooling_of(story, curve)
    held = Curve(np.array([max(read_s, min(from_s, done_s)), done_s]), np.array([then.temp_c, then.temp_c]))
    ahead = cooled(done_s, then.temp_c, room_c, rate_per_s, DRAWN_ON_S)
    return joined(joined(measured, held if then.held else NO_CURVE), ahead)
