"""How hot it got, for how long, and how long it stood melted on the heat."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from candlebench.core.debrief.curve import Curve, holes, seconds_above
from candlebench.core.debrief.moment import undisturbed_c
from candlebench.core.debrief.story import Story
from candlebench.core.events import Stage
from candlebench.core.materials.wax import warn_after_oil_c


@dataclass(frozen=True, slots=True)
class Heat:
    """What the heat did.

    Attributes
    ----------
    highest_c, highest_s : float or None
        The hottest moment while wax was in the jug; None without a reading.
    warn_s, strong_s, stop_s : float
        Seconds at each limit or above it; the first warning is lower once the oil is in.
    reached_strong, reached_stop : bool
        Whether the hottest moment was at that limit or above it, were it for a single reading.
    warn_after_oil_c : float or None
        The warning that held once the oil was in; None when no oil went in.
    after_oil_highest_c : float or None
        The hottest moment from then on.
    after_oil_warn_s : float
        Seconds above that warning from then on, a part of `warn_s`.
    melted_on_heat_s : float
        Seconds on the heat with all wax melted.
    off_heat_c : float or None
        Temperature when it came off the heat.
    unknown_s : float
        Seconds of which nothing was recorded: the figures above are then the least.
    """

    highest_c: float | None
    highest_s: float | None
    warn_s: float
    strong_s: float
    stop_s: float
    reached_strong: bool
    reached_stop: bool
    warn_after_oil_c: float | None
    after_oil_highest_c: float | None
    after_oil_warn_s: float
    melted_on_heat_s: float
    off_heat_c: float | None
    unknown_s: float


def heat_of(story: Story, curve: Curve) -> Heat:
    """Judge the heat of a melt by a curve of it (what was read, or what was really so)."""
    limits = story.setup.limits
    jug = curve.between(story.turns[0].at_s, story.in_jug_until_s)
    if not len(jug) and len(curve) and curve.times_s[0] <= story.in_jug_until_s:
        # A melt that has just begun: its first reading is all there is.
        jug = Curve(curve.times_s[:1], curve.temps_c[:1])
    unknown = holes(jug, story.gaps)
    oil_s, off_s = story.at(Stage.OIL_IN), story.at(Stage.OFF_HEAT)
    top = int(np.argmax(jug.temps_c)) if len(jug) else None
    before_oil = jug if oil_s is None else jug.between(story.turns[0].at_s, oil_s)
    after_oil = None if oil_s is None else jug.between(oil_s, story.in_jug_until_s)
    scented_warn_c, after_oil_warn_s = None, 0.0
    if after_oil is not None:
        scented_warn_c = warn_after_oil_c(limits, story.setup.oil)
        after_oil_warn_s = seconds_above(after_oil, scented_warn_c, unknown)
    highest_c = None if top is None else float(jug.temps_c[top])
    off_heat_c = None if off_s is None else undisturbed_c(curve, off_s)
    return Heat(
        highest_c=highest_c,
        highest_s=None if top is None else float(jug.times_s[top]),
        warn_s=seconds_above(before_oil, limits.warn_c, unknown) + after_oil_warn_s,
        strong_s=seconds_above(jug, limits.strong_c, unknown),
        stop_s=seconds_above(jug, limits.stop_c, unknown),
        reached_strong=highest_c is not None and highest_c >= limits.strong_c,
        reached_stop=highest_c is not None and highest_c >= limits.stop_c,
        warn_after_oil_c=scented_warn_c,
        after_oil_highest_c=(
            float(after_oil.temps_c.max()) if after_oil is not None and len(after_oil) else None
        ),
        after_oil_warn_s=after_oil_warn_s,
        melted_on_heat_s=_melted_on_heat_s(story, jug, unknown),
        off_heat_c=off_heat_c,
        unknown_s=sum(to_s - from_s for from_s, to_s in unknown),
    )


def _melted_on_heat_s(story: Story, jug: Curve, unknown: Sequence[tuple[float, float]]) -> float:
    spans = (jug.between(from_s, to_s) for from_s, to_s in story.on_heat_spans())
    return sum(seconds_above(span, story.setup.limits.melted_c, unknown) for span in spans)
