"""Several melts' lessons brought together with what was believed before: shrinkage that expects slips.

Each lesson is the truth, plus what differs from melt to melt, plus its own spread with heavy tails (a probe
at the wall, a mixed-up lot). A melt that disagrees with the others, or with the family, therefore widens the
result instead of dragging it along.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from candlebench.core.forecast.jug import LOSS_BY_FILL, USUAL_SD_LOG
from candlebench.core.known import KnownJug, KnownProbe, KnownWax
from candlebench.core.learning.family import (
    FAMILY_WIDTH,
    PROBE_LAG_S,
    PROBE_SD_LOG,
    USUAL_FILL_G,
    Belief,
    knee_of_family,
    log_loss_of_family,
)
from candlebench.core.learning.lesson import JugLesson, ProbeLesson, WaxLesson

# Degrees of freedom of the tails: about one lesson in twenty off by more than three of its spreads.
TAILS = 4.0
# How much a lot, a jug and a probe differ from melt to melt, as what is believed most (half-normal scale).
# Common practice, no source: one lot is one batch; a jug stands in another draught each day.
KNEE_DIFFERS_K, WIDTH_DIFFERS_K, LOSS_DIFFERS_LOG, LAG_DIFFERS_LOG = 0.3, 0.3, 0.15, 0.3
# What she says herself is meant to about this.
SAID_KNEE_SD_K, SAID_LOSS_SD_LOG, SAID_LAG_SD_LOG = 0.3, 0.15, 0.25
# What is wrong in the same way in every melt (the law of the fit, the place of the probe) no number of melts
# takes away. Tuned on seeds 1 to 3 of the simulated melts.
SHARED_DOUBT_K = 0.15
# Older melts say little that the last ones do not.
MOST_LESSONS = 20
_POINTS = 801


@dataclass(frozen=True, slots=True)
class Said:
    """A value that the person gave by hand, in the quantity's own unit."""

    value: float


def pooled(before: Belief, lessons: Sequence[Belief], differs: float) -> Belief:
    """Bring lessons together with the belief before them.

    Parameters
    ----------
    before : Belief
        The family's, or what the person said.
    lessons : sequence of Belief
        One a melt.
    differs : float
        Half-normal scale of the standard deviation from melt to melt.

    Returns
    -------
    Belief
        Mean and standard deviation of the posterior, summed over a grid of values and of differences.
    """
    if not lessons:
        return before
    values = [lesson.mean for lesson in lessons]
    low = min([before.mean - 6.0 * before.sd, *(v - 2.0 * before.sd for v in values)])
    high = max([before.mean + 6.0 * before.sd, *(v + 2.0 * before.sd for v in values)])
    grid = np.linspace(low, high, _POINTS)
    spread = np.linspace(0.0, 4.0 * differs, 13)[:, None]
    # The family too has tails: a lot may be stranger than any before it.
    log_weight = -0.5 * (TAILS + 1.0) * np.log1p(((grid - before.mean) / before.sd) ** 2 / TAILS)
    log_weight = log_weight - 0.5 * (spread / differs) ** 2
    for lesson in lessons[-MOST_LESSONS:]:
        scale = np.hypot(lesson.sd, spread)
        off = (grid - lesson.mean) / scale
        log_weight = log_weight - np.log(scale) - 0.5 * (TAILS + 1.0) * np.log1p(off**2 / TAILS)
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    mean = float((weight * grid).sum())
    return Belief(mean, math.sqrt(float((weight * (grid - mean) ** 2).sum())))


def known_wax(wax: str, lessons: Sequence[WaxLesson], said: Said | None = None) -> KnownWax | None:
    """What is known of a lot; None when there is neither a lesson nor a word, or no latent heat.

    Parameters
    ----------
    wax : str
        Name of the wax, for its family.
    lessons : sequence of WaxLesson
        Of the melts with this lot, the oldest first; those before `said` are left out by the caller.
    said : Said or None
        Knee in degrees Celsius, by hand.
    """
    family = knee_of_family(wax)
    if family is None or (not lessons and said is None):
        return None
    before = family if said is None else Belief(said.value, SAID_KNEE_SD_K)
    knee = pooled(before, [Belief(x.knee_c, x.knee_sd_k) for x in lessons], KNEE_DIFFERS_K)
    widths = [Belief(x.width_k, x.width_sd_k) for x in lessons]
    width = pooled(FAMILY_WIDTH, widths, WIDTH_DIFFERS_K)
    return KnownWax(knee.mean, math.hypot(knee.sd, SHARED_DOUBT_K), width.mean, width.sd, len(lessons))


def known_jug(
    lessons: Sequence[JugLesson], fill_g: float | None, said: Said | None = None
) -> KnownJug | None:
    """What is known of a jug for a melt of `fill_g`; None when there is neither a lesson nor a word.

    Each lesson is carried to the fill of this melt with the family's exponent. `said` is in kelvin of liquid
    wax a minute, for this fill.
    """
    if not lessons and said is None:
        return None
    fill = fill_g or (lessons[-1].fill_g if lessons else USUAL_FILL_G)
    family = log_loss_of_family(fill)
    before = family if said is None else Belief(math.log(said.value), SAID_LOSS_SD_LOG)
    here = [
        Belief(math.log(x.loss_k_per_min) + LOSS_BY_FILL * math.log(fill / x.fill_g), x.sd_log)
        for x in lessons
    ]
    loss = pooled(before, here, LOSS_DIFFERS_LOG)
    return KnownJug(math.exp(loss.mean), fill, min(loss.sd, USUAL_SD_LOG), len(lessons))


def known_probe(lessons: Sequence[ProbeLesson], said: Said | None = None) -> KnownProbe | None:
    """What is known of a probe; `said` is its time constant in seconds."""
    if not lessons and said is None:
        return None
    before = (
        Belief(math.log(PROBE_LAG_S), PROBE_SD_LOG)
        if said is None
        else Belief(math.log(said.value), SAID_LAG_SD_LOG)
    )
    lag = pooled(before, [Belief(math.log(x.lag_s), x.sd_log) for x in lessons], LAG_DIFFERS_LOG)
    return KnownProbe(math.exp(lag.mean), lag.sd, len(lessons))
