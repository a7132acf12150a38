"""What the wax was at when something was done: by the readings around it, or by the last one before."""

from dataclasses import dataclass

import numpy as np

from candlebench.core.debrief.curve import HOLE_S, Curve
from candlebench.core.probe import TYPED_CURRENT_S

# Readings this near to each other are a stream: between them the curve is known. Kitchen probes send one to
# six a minute at least (T8). Design decision.
STREAM_S = 15.0


@dataclass(frozen=True, slots=True)
class Moment:
    """The temperature at a moment.

    Attributes
    ----------
    temp_c : float
    read_before_s : float
        How old the reading behind it was; 0 when readings stand close around the moment.
    held : bool
        It is that reading itself, and no line between two.
    """

    temp_c: float
    read_before_s: float
    held: bool


def moment(curve: Curve, at_s: float) -> Moment | None:
    """Return what the wax was at; None when nothing was read within two minutes before or five around.

    A reading typed by hand counts as long as the melt took it for current. The next one says little of what
    was so before, when oil went in between.
    """
    place = int(np.searchsorted(curve.times_s, at_s, side="right"))
    if place == 0:
        return None
    age_s, last_c = at_s - float(curve.times_s[place - 1]), float(curve.temps_c[place - 1])
    step_s = float(curve.times_s[place] - curve.times_s[place - 1]) if place < len(curve) else np.inf
    if age_s == 0.0:
        return Moment(last_c, 0.0, held=False)
    between_c = float(np.interp(at_s, curve.times_s, curve.temps_c))
    if step_s <= STREAM_S:
        return Moment(between_c, 0.0, held=False)
    if age_s <= TYPED_CURRENT_S:
        return Moment(last_c, age_s, held=True)
    return Moment(between_c, age_s, held=False) if step_s <= HOLE_S else None


def undisturbed_c(curve: Curve, at_s: float) -> float | None:
    """Return what the wax was at when nothing was put in or poured: between the readings, or the last one."""
    between_c = curve.at(at_s)
    if between_c is not None:
        return between_c
    then = moment(curve, at_s)
    return None if then is None else then.temp_c
