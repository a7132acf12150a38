"""The lesson of one melt: what its own readings say about the lot of wax, the jug and the probe."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from candlebench.core.events import Event
from candlebench.core.forecast.room import typed_room
from candlebench.core.forecast.wax_family import WaxFamily, plain_body, wax_family
from candlebench.core.learning.course import Course, Span, course_of
from candlebench.core.learning.curve_fit import EXPONENT, Drive, Fit, fit_curve
from candlebench.core.learning.family import FAMILY_WIDTH, USUAL_FILL_G, Belief, knee_of_family
from candlebench.core.learning.probe_step import probe_lag
from candlebench.core.learning.smoothing import Binned, binned
from candlebench.core.track import FloatArray as Floats
from candlebench.words import tr

# Draughts: gusts of some minutes, from a still room to an open door. Tuned on seeds 1 to 3 of the simulated
# melts (tests/core/forecast/simulated.py), reported on others.
COOLING_GUSTS = (0.03, 0.1, 0.25)
COOLING_WALK_PER_ROOT_H = 0.05
# On the heat the knob is turned by hand and solid wax takes heat poorly. Same tuning, on its heat-ups.
HEATING_GUSTS = (0.3, 1.0)
HEATING_WALK_PER_ROOT_H = 1.0
GUST_S = 300.0
# Candidates: how far about the family's knee, how many at a time, and how close to one another in the end.
REACH_SD = 3.5
KNEES = 25
CLOSE_K = 0.4
WIDTHS_K = np.array((0.75, 1.25, 1.75, 2.25, 3.0, 4.0))
# The part of the heat-up that shows the plateau, against the family's knee.
HEATING_FROM_K, HEATING_TO_K = -18.0, 5.0
# What the law of the fit does not know (vessel, skewness, latent heat of a lot) shows in a knee as this much,
# and its own spread is too small by this factor. Same tuning.
KNEE_DOUBT_K, WIDTH_DOUBT_K = 0.25, 0.2
COOLING_SPREAD, HEATING_SPREAD = 1.3, 1.2
# The same jug on another day: another draught, another lid, another place on the bench. From memory.
JUG_DOUBT_LOG = 0.1
# Less than this says more about the draught of a moment than about the jug.
LEAST_COOLING_S = 240.0
LEAST_FALL_K = 1.5
LEAST_BINS = 5
# A lesson must narrow what was believed before by this much, else the melt said nothing.
LEARNED_SHARE = 0.9
AT_ABOVE_ROOM_K = 50.0
# A worse mean square than this is no jug of wax left alone: it was poured without saying so, or the probe was
# taken out. Simulated melts (seeds 61 to 63) lie at 0.3 to 1.5, the open series of paraffin at 2.1, practice
# melts poured in silence at 3.4 to 7.7.
MOST_MISFIT = 2.7
# Above this the readings on a plateau's far side say nothing about the curve, but much about the jug.
LIQUID_ABOVE_KNEE_K = 3.0
# So far below the knee the wax has set, and the jug may stand there until morning.
SET_BELOW_KNEE_K = 12.0
SETTLED_S = 30.0


@dataclass(frozen=True, slots=True)
class WaxLesson:
    """Knee and width of a lot's curve by one melt; `seen` is 'cooling' or 'melting'."""

    knee_c: float
    knee_sd_k: float
    width_k: float
    width_sd_k: float
    seen: str


@dataclass(frozen=True, slots=True)
class JugLesson:
    """Heat lost 50 K above the room by one melt, in kelvin of liquid wax per minute, with `fill_g` in it."""

    loss_k_per_min: float
    sd_log: float
    fill_g: float


@dataclass(frozen=True, slots=True)
class ProbeLesson:
    """Time constant of the probe by one step into the wax."""

    lag_s: float
    sd_log: float


@dataclass(frozen=True, slots=True)
class Lesson:
    """What one melt taught; None where it taught nothing, with the reason beside it.

    Attributes
    ----------
    wax, jug, probe : lesson or None
    wax_why, jug_why, probe_why : str
        One sentence, '' where there is a lesson.
    """

    wax: WaxLesson | None
    wax_why: str
    jug: JugLesson | None
    jug_why: str
    probe: ProbeLesson | None
    probe_why: str


def lesson_of(events: Iterable[Event]) -> Lesson:
    """Draw the lesson of a melt from its recorded events.

    Parameters
    ----------
    events : iterable of Event
        All events of one melt in their order.

    Returns
    -------
    Lesson

    Raises
    ------
    ValueError
        The events do not begin with `MeltBegan`.
    """
    course = course_of(events)
    off_heat = [span for span in course.spans if not span.on_heat]
    wax, wax_why = _wax_lesson(course, _settled(course, off_heat))
    jug, jug_why = _jug_lesson(course, _settled(course, [span for span in off_heat if not span.oil_in]))
    found = probe_lag(course.raw_times_s, course.raw_temps_c, course.setup.limits.melted_c)
    if found is None:
        why = tr("The probe was not put into hot wax while it was being read.")
        return Lesson(wax, wax_why, jug, jug_why, None, why)
    return Lesson(wax, wax_why, jug, jug_why, ProbeLesson(*found), "")


def fit_wax(stretches: list[Binned], before: Belief, wax: str, drive: Drive) -> Fit:
    """Weigh curves of a wax by a melt's stretches, looking closer until the candidates lie close enough.

    Parameters
    ----------
    stretches : list of Binned
        Parts of the melt.
    before : Belief
        Knee of the wax as far as known before, which goes into the result.
    wax : str
        Name of the wax.
    drive : Drive
        Cooling in a room, or heating.
    """
    low, high = before.mean - REACH_SD * before.sd, before.mean + REACH_SD * before.sd
    while True:
        knees = np.linspace(low, high, KNEES)
        fit = fit_curve(stretches, _candidates(wax, knees, before), drive)
        step = float(knees[1] - knees[0])
        if step <= CLOSE_K:
            return fit
        reach = max(REACH_SD * fit.knee_sd_k, 2.0 * step)
        low, high = fit.knee_c - reach, fit.knee_c + reach


def _candidates(wax: str, knees_c: Floats, before: Belief) -> WaxFamily:
    """Curves to be weighed, each pair of knee and width with the belief in it before the melt."""
    # The widths do not lie evenly: each stands for the stretch up to halfway to its neighbours.
    belief = np.outer(
        np.exp(-0.5 * ((knees_c - before.mean) / before.sd) ** 2),
        np.gradient(WIDTHS_K) * np.exp(-0.5 * ((WIDTHS_K - FAMILY_WIDTH.mean) / FAMILY_WIDTH.sd) ** 2),
    ).ravel()
    pairs = [(float(knee), float(width)) for knee in knees_c for width in WIDTHS_K]
    return wax_family(wax, [p[0] for p in pairs], [p[1] for p in pairs], belief.tolist())


def _settled(course: Course, spans: list[Span]) -> list[Binned]:
    """Cooling spans from their peak on, without the first moments in which jug and wax even out."""
    found = []
    for span in spans:
        times, temps = course.within(span)
        if len(times):
            after = times >= times[int(np.argmax(temps))] + SETTLED_S
            if after.any():
                found.append(binned(times[after], temps[after]))
    return found


def _wax_lesson(course: Course, cooling: list[Binned]) -> tuple[WaxLesson | None, str]:
    wax = course.setup.wax
    before = knee_of_family(wax)
    if before is None:
        return None, tr("This body has no latent heat.")
    cooling = [part for b in cooling if (part := _above(b, before.mean - SET_BELOW_KNEE_K)) is not None]
    room_c = typed_room(course.setup.room_c).temp_c
    found: list[WaxLesson] = []
    fits: list[Fit] = []
    if cooling and min(float(b.temps_c.min()) for b in cooling) < before.mean + LIQUID_ABOVE_KNEE_K:
        drive = Drive(room_c, COOLING_GUSTS, GUST_S, COOLING_WALK_PER_ROOT_H)
        fits.append(fit_wax(cooling, before, wax, drive))
        found += _told(fits[-1], before, COOLING_SPREAD, "cooling")
    heating = _heating(course, before)
    if heating is not None:
        drive = Drive(None, HEATING_GUSTS, GUST_S, HEATING_WALK_PER_ROOT_H)
        fits.append(fit_wax([heating], before, wax, drive))
        found += _told(fits[-1], before, HEATING_SPREAD, "melting")
    if found:
        return min(found, key=lambda lesson: lesson.knee_sd_k), ""
    if any(fit.misfit > MOST_MISFIT for fit in fits):
        return None, tr("It did not run like a jug of wax left alone: was it poured without saying so?")
    return None, tr("The melt was not watched while the wax melted or set.")


def _heating(course: Course, before: Belief) -> Binned | None:
    """The longest span on the heat, from solid wax to just above the plateau."""
    best: Binned | None = None
    for span in course.spans:
        times, temps = course.within(span)
        if not span.on_heat or len(times) < LEAST_BINS:
            continue
        above = np.flatnonzero(temps > before.mean + HEATING_TO_K)
        last = int(above[0]) if len(above) else len(times)
        below = np.flatnonzero(temps[:last] < before.mean + HEATING_FROM_K)
        first = int(below[-1]) + 1 if len(below) else 0
        if not len(below) or not len(above) or last - first < LEAST_BINS:
            continue
        part = binned(times[first:last], temps[first:last])
        if len(part.times_s) >= LEAST_BINS and (best is None or len(part.times_s) > len(best.times_s)):
            best = part
    return best


def _told(fit: Fit, before: Belief, spread: float, seen: str) -> list[WaxLesson]:
    """What the readings alone say: the belief that went into the fit is taken out of its result again."""
    knee = _without(Belief(fit.knee_c, fit.knee_sd_k), before)
    if knee is None or fit.misfit > MOST_MISFIT:
        return []
    width = _without(Belief(fit.width_k, fit.width_sd_k), FAMILY_WIDTH) or FAMILY_WIDTH
    return [
        WaxLesson(
            knee.mean,
            math.hypot(spread * knee.sd, KNEE_DOUBT_K),
            width.mean,
            math.hypot(spread * width.sd, WIDTH_DOUBT_K),
            seen,
        )
    ]


def _without(after: Belief, before: Belief) -> Belief | None:
    """Divide one normal belief by another; None when the readings added next to nothing."""
    if after.sd > LEARNED_SHARE * before.sd:
        return None
    sharpness = after.sd**-2.0 if after.sd > 1e-3 else 1e6
    own = sharpness - before.sd**-2.0
    return Belief((after.mean * sharpness - before.mean * before.sd**-2.0) / own, own**-0.5)


def _jug_lesson(course: Course, before_oil: list[Binned]) -> tuple[JugLesson | None, str]:
    knee = knee_of_family(course.setup.wax)
    liquid_c = -math.inf if knee is None else knee.mean + LIQUID_ABOVE_KNEE_K
    parts = [part for b in before_oil if (part := _above(b, liquid_c)) is not None]
    passed_s = sum(float(p.times_s[-1] - p.times_s[0]) for p in parts)
    fell_k = sum(float(p.temps_c[0] - p.temps_c[-1]) for p in parts)
    if passed_s < LEAST_COOLING_S or fell_k < LEAST_FALL_K:
        return None, tr("It did not stand off the heat long enough before the oil went in.")
    drive = Drive(typed_room(course.setup.room_c).temp_c, COOLING_GUSTS, GUST_S, COOLING_WALK_PER_ROOT_H)
    if knee is None:
        fit = fit_curve(parts, plain_body(), drive)
    else:
        fit = fit_wax(parts, knee, course.setup.wax, drive)
    if fit.misfit > MOST_MISFIT:
        return None, tr("It did not cool like a jug left alone.")
    loss = math.exp(fit.log_rate) * AT_ABOVE_ROOM_K**EXPONENT * 60.0
    room_log = EXPONENT * typed_room(course.setup.room_c).sd_c / AT_ABOVE_ROOM_K
    sd_log = math.sqrt(fit.log_rate_sd**2 + room_log**2 + JUG_DOUBT_LOG**2)
    return JugLesson(loss, sd_log, course.setup.wax_g or USUAL_FILL_G), ""


def _above(part: Binned, temp_c: float) -> Binned | None:
    under = np.flatnonzero(part.temps_c < temp_c)
    end = int(under[0]) if len(under) else len(part.times_s)
    if end < LEAST_BINS:
        return None
    return Binned(part.times_s[:end], part.temps_c[:end], part.sds_k[:end])
