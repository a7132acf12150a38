"""The lag of a probe, from the step it makes when it goes from the room or from ice into stirred hot water.

After the probe went in at t0 a first-order probe shows T = T1 - (T1 - T0) exp(-(t - t0) / tau). A thick one
hangs back before it rises, which a dead time describes: the same with t0 + dead in place of t0. On a ramp
both together are how late it is (row T25). The water cools meanwhile, so T1 may drift in a straight line.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from candlebench.core.errors import FixableError
from candlebench.core.trust.plunge_fit import Step, find_plunge, fit_step
from candlebench.core.units import Shown
from candlebench.words import tr

Floats = NDArray[np.float64]

# tau = t90 / 2.303 for a probe of first order.
_T90_TAUS = math.log(10.0)
# Too small a step hides in eddies and in the last digit.
LEAST_STEP_K = 15.0
LEAST_STEPS_OF_DISPLAY = 20.0
# Readings between 5 and 95 % of the way; fewer do not tell a curve from a jump.
LEAST_ON_THE_WAY = 3
# The end must be seen: this many time constants after the plunge.
SETTLED_TAUS = 4.0
# How well the curve must describe it, as the share of the step left unexplained. As in `learning.probe_step`.
MOST_UNEXPLAINED = 0.03
# The next plunge differs by this much, by hand and by how the water was stirred. From memory.
REPEAT_SD_LOG = 0.1
# A stopwatch hides the dead time and the hand's own delay: rows T11 to T21 lie within two of these.
STOPWATCH_SD_LOG = 0.25
STOPWATCH_S = (0.5, 300.0)
# How long after what she sees a hand stops the watch, and how well she meets 9/10. From memory.
HAND_SD_S = 0.5
_NORMAL_95 = 1.96


class Medium(Enum):
    """What the probe went into."""

    WATER = "water"
    WAX = "wax"


@dataclass(frozen=True, slots=True)
class Plunge:
    """One plunge test.

    Attributes
    ----------
    tested_on : str
        The day, ISO 8601 (YYYY-MM-DD).
    medium : Medium
        Stirred water, or melted wax.
    tau_s, dead_s : float
        Time constant, and by how much it hangs back besides, in seconds; 0 for a probe of first order.
    t50_s, t90_s : float or None
        Seconds until half and nine tenths of the way; None when not seen.
    sd_log : float
        Standard deviation of the logarithm of the lag.
    from_c, to_c, moment_s : float or None
        Where the step began and ended, and when; None with a stopwatch.
    readings : int
        How many readings lie on the way; 0 with a stopwatch.
    """

    tested_on: str
    medium: Medium
    tau_s: float
    dead_s: float
    t50_s: float | None
    t90_s: float | None
    sd_log: float
    from_c: float | None = None
    to_c: float | None = None
    moment_s: float | None = None
    readings: int = 0

    @property
    def lag_s(self) -> float:
        """How late the probe is on a ramp, in seconds (row T25)."""
        return self.dead_s + self.tau_s

    @property
    def low_s(self) -> float:
        """Lower end of the 95 % interval of the lag."""
        return self.lag_s * math.exp(-_NORMAL_95 * self.sd_log)

    @property
    def high_s(self) -> float:
        """Upper end of it."""
        return self.lag_s * math.exp(_NORMAL_95 * self.sd_log)


def plunge_test(
    times_s: Sequence[float] | Floats,
    temps_c: Sequence[float] | Floats,
    tested_on: str,
    medium: Medium = Medium.WATER,
    plunged_at_s: float | None = None,
    shown: Shown | None = None,
) -> Plunge:
    """Find the lag of a probe from readings taken while it was plunged.

    Parameters
    ----------
    times_s, temps_c : sequence of float, shape (n,)
        Readings of some seconds before the plunge until it no longer changes.
    tested_on : str
        The day, ISO 8601.
    medium : Medium
        What it went into.
    plunged_at_s : float or None
        The moment when it went in, where she marked it; else it is taken to be when it began to move, and a
        dead time before that stays hidden.
    shown : Shown or None
        The unit of the sentences; Celsius when None.

    Returns
    -------
    Plunge

    Raises
    ------
    FixableError
        There is no plunge in it, the step is too small, readings come too slowly, or it did not settle.
    """
    shown = shown or Shown()
    times, temps = _in_order(times_s, temps_c)
    found = find_plunge(times, temps, plunged_at_s)
    if found is None:
        raise FixableError(
            tr(
                "No plunge is seen: let the probe be steady for ten seconds, put it into hot water in one "
                "go, and keep reading until it no longer changes."
            )
        )
    _refuse_small(abs(found.rise_k), found.display_step_k, shown)
    if found.on_the_way < LEAST_ON_THE_WAY:
        text = tr(
            "Only {count} readings came on the way, one every {pace} s: let the thermometer send more "
            "often, or use a stopwatch."
        )
        raise FixableError(text.format(count=found.on_the_way, pace=f"{found.pace_s:.1f}"))
    step = fit_step(times, temps, found)
    if times[-1] - step.moment_s - step.dead_s < SETTLED_TAUS * step.tau_s or step.at_the_edge:
        raise FixableError(
            tr("It had not settled at the end: keep the probe in and go on reading, twice as long as now.")
        )
    if step.scatter_k > MOST_UNEXPLAINED * abs(found.rise_k):
        raise FixableError(
            tr("The way up was no smooth curve: put the probe in in one go, deep enough, and stir steadily.")
        )
    return _plunge(step, tested_on, medium)


def plunge_by_stopwatch(t90_s: float, tested_on: str, medium: Medium = Medium.WATER) -> Plunge:
    """Return the lag from the seconds until the display had gone nine tenths of the way.

    Raises
    ------
    FixableError
        It cannot be so many seconds.
    """
    low_s, high_s = STOPWATCH_S
    if not low_s <= t90_s <= high_s:
        text = tr("Nine tenths of the way take between {low} and {high} s: {value} is not such a number.")
        raise FixableError(text.format(low=f"{low_s:g}", high=f"{high_s:g}", value=f"{t90_s:g}"))
    tau_s = t90_s / _T90_TAUS
    sd_log = math.hypot(STOPWATCH_SD_LOG, HAND_SD_S / t90_s)
    return Plunge(tested_on, medium, tau_s, 0.0, None, t90_s, sd_log)


def not_by_typing() -> str:
    """Return why typed readings cannot measure a lag, and what can."""
    return tr(
        "Numbers typed by hand come too slowly for this: take a stopwatch, and type the seconds until the "
        "probe had gone nine tenths of the way."
    )


def nine_tenths_c(from_c: float, to_c: float) -> float:
    """Return the temperature at which to stop the watch, for a probe that goes from one to the other."""
    return from_c + 0.9 * (to_c - from_c)


def plunge_text(plunge: Plunge) -> str:
    """'It follows stirred water 6 s late (4 to 8 s).', with the dead time where there is one."""
    text = tr("It follows stirred water {lag} s late ({low} to {high} s).")
    if plunge.medium is Medium.WAX:
        text = tr("It follows melted wax {lag} s late ({low} to {high} s).")
    words = text.format(lag=_seconds(plunge.lag_s), low=_seconds(plunge.low_s), high=_seconds(plunge.high_s))
    if plunge.dead_s > 0.1 * plunge.tau_s:
        later = tr("For the first {dead} s of them it hardly moves.").format(dead=_seconds(plunge.dead_s))
        return f"{words} {later}"
    return words


def _seconds(seconds: float) -> str:
    return f"{seconds:.1f}" if seconds < 9.95 else f"{seconds:.0f}"


def _in_order(times_s: Sequence[float] | Floats, temps_c: Sequence[float] | Floats) -> tuple[Floats, Floats]:
    times, temps = np.asarray(times_s, dtype=float), np.asarray(temps_c, dtype=float)
    good = np.isfinite(times) & np.isfinite(temps)
    times, temps = times[good], temps[good]
    order = np.argsort(times, kind="stable")
    return times[order], temps[order]


def _refuse_small(step_k: float, display_step_k: float, shown: Shown) -> None:
    least_k = max(LEAST_STEP_K, LEAST_STEPS_OF_DISPLAY * display_step_k)
    if step_k < least_k:
        text = tr(
            "The step was only {step}: go from the room, or from ice, into water that is {least} hotter."
        )
        raise FixableError(text.format(step=shown.drop(step_k), least=shown.drop(least_k)))


def _plunge(step: Step, tested_on: str, medium: Medium) -> Plunge:
    sd_log = math.hypot(step.sd_log, REPEAT_SD_LOG)
    return Plunge(
        tested_on,
        medium,
        round(step.tau_s, 3),
        round(step.dead_s, 3),
        None if step.t50_s is None else round(step.t50_s, 3),
        None if step.t90_s is None else round(step.t90_s, 3),
        round(sd_log, 4),
        round(step.from_c, 3),
        round(step.to_c, 3),
        round(step.moment_s, 3),
        step.readings,
    )
