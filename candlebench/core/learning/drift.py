"""A thermometer that has drifted, told from the maker's own fixed point: where her lot of wax melts and sets.

One melt's knee of the lot's curve against what earlier melts said of it. A clear difference is the probe, or
another wax: both are worth a check in ice before the next batch.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from candlebench.core.believed import last_setup
from candlebench.core.events import Event
from candlebench.core.known import KnownWax
from candlebench.core.learning.lesson import WaxLesson, lesson_of
from candlebench.core.learning.pooling import known_wax
from candlebench.core.units import Shown
from candlebench.words import tr, tr_count

# One melt may have been off itself: two have to agree before a third is doubted.
LEAST_MELTS = 2
# Beyond a kitchen probe's own +-1 K (T8), and beyond what the spreads allow. Tried on simulated lots (seed
# 901 of tests/core/forecast/simulated.py): of 38 sound melts the furthest lay 1.4 spreads off.
LEAST_K, LEAST_SDS = 1.2, 2.5
# The same probe hangs elsewhere in the next melt.
PLACE_K = 0.25


@dataclass(frozen=True, slots=True)
class Drift:
    """A melt in which the lot seemed to melt or set elsewhere.

    Attributes
    ----------
    by_k : float
        How much higher than in earlier melts, in kelvin; below 0 for lower.
    sd_k : float
        How sure that is.
    melts : int
        How many earlier melts say otherwise.
    probe : str
        What the person calls the probe of this melt; '' when it has no name.
    """

    by_k: float
    sd_k: float
    melts: int
    probe: str = ""


def drift_of(known: KnownWax | None, lesson: WaxLesson | None, probe: str = "") -> Drift | None:
    """Compare one melt with what earlier ones said of its lot; None when nothing clear can be told.

    Parameters
    ----------
    known : KnownWax or None
        Of the earlier melts.
    lesson : WaxLesson or None
        Of this one.
    probe : str
        The name of its probe.
    """
    if known is None or lesson is None or known.melts < LEAST_MELTS:
        return None
    by_k = lesson.knee_c - known.knee_c
    sd_k = math.hypot(lesson.knee_sd_k, known.knee_sd_k, PLACE_K)
    if abs(by_k) < max(LEAST_K, LEAST_SDS * sd_k):
        return None
    return Drift(by_k, sd_k, known.melts, probe)


def drift_of_melt(events: Iterable[Event]) -> Drift | None:
    """Tell it from the recorded events of one melt, whose setup holds what was known when it began.

    Parameters
    ----------
    events : iterable of Event
        In their order. A lot without a name, or a melt that taught nothing of it, tells nothing. Takes a
        fifth of a second where there is something to compare.
    """
    past = list(events)
    setup = last_setup(past)
    if setup is None or not setup.lot or setup.known.wax is None or setup.known.wax.melts < LEAST_MELTS:
        return None
    return drift_of(setup.known.wax, lesson_of(past).wax, setup.probe)


def latest_drift(wax: str, lessons: Sequence[WaxLesson]) -> Drift | None:
    """Tell whether the last of a lot's melts lies off; None when it agrees with those before it.

    A melt that lay off itself does not make the next one right: it is compared with the ones that agreed.

    Parameters
    ----------
    wax : str
        Name of the wax.
    lessons : sequence of WaxLesson
        Those that are used, the oldest first.
    """
    agreed: list[WaxLesson] = []
    found = None
    for lesson in lessons:
        found = drift_of(known_wax(wax, agreed), lesson)
        if found is None:
            agreed.append(lesson)
    return found


def drift_sentence(drift: Drift, shown: Shown) -> str:
    """'This lot seemed to melt 2.1 °C lower than in 3 earlier melts: “red” may read too low, or ...'"""
    by = f"{abs(shown.difference(drift.by_k)):.1f} {shown.sign}"
    melts = tr_count("{count} earlier melt", "{count} earlier melts", drift.melts).format(count=drift.melts)
    higher = drift.by_k > 0.0
    seemed = tr("This lot seemed to melt {by} higher than in {melts}")
    if not higher:
        seemed = tr("This lot seemed to melt {by} lower than in {melts}")
    if drift.probe:
        probe = tr("“{probe}” may read too high") if higher else tr("“{probe}” may read too low")
    else:
        probe = tr("the probe may read too high") if higher else tr("the probe may read too low")
    text = tr("{seemed}: {probe}, or this is another wax. Check the probe in ice before the next melt.")
    return text.format(seemed=seemed.format(by=by, melts=melts), probe=probe.format(probe=drift.probe))
