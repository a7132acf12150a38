"""The line from what a probe shows to what is true, and how sure it is.

The points are weighed by their own uncertainty (JCGM 100:2008, GUM); between two of them that is the straight
line through both. With one point, or with points close together, only the offset is told.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from candlebench.core.correction import Correction
from candlebench.core.trust.check import CheckedPoint, ProbeCheck
from candlebench.core.trust.figures import load_check_figures
from candlebench.core.trust.points import COVERAGE

Floats = NDArray[np.float64]

# Points closer than this tell no slope: two kitchen points with 0.3 K each would leave 3 K at 85 C. Design
# decision.
CLOSE_K = 20.0
# The range of a melt, in which the correction is used.
MELT_C = (60.0, 95.0)
# Read once, a flickering last digit may have been its neighbour. From memory.
READ_ONCE_STEPS = 0.5
_FLAT = 1.0 / math.sqrt(3.0)
# A reading lies anywhere within its last digit: JCGM 100:2008, 4.3.7 and F.2.2.1.
_DIGIT = 1.0 / math.sqrt(12.0)
# 95 % points of chi square for 1 to 6 degrees of freedom, as in any table of it.
_CHI_SQUARE_95 = (3.84, 5.99, 7.81, 9.49, 11.07, 12.59)


@dataclass(frozen=True, slots=True)
class Shares:
    """What makes a corrected temperature uncertain: standard uncertainties in kelvin, none correlated.

    Attributes
    ----------
    points_k : float
        How well ice, boiling water or the other thermometer were made.
    air_k : float
        The air pressure, through the boiling point.
    readings_k : float
        Scatter and last digit at the check points.
    digit_k : float
        The last digit in the melt.
    line_k : float
        What a straight line does not follow; with one point, the slope that is not known.
    """

    points_k: float
    air_k: float
    readings_k: float
    digit_k: float
    line_k: float

    @property
    def together_k(self) -> float:
        """The combined standard uncertainty, in kelvin."""
        return math.hypot(self.points_k, self.air_k, self.readings_k, self.digit_k, self.line_k)


def correction_of(check: ProbeCheck) -> Correction:
    """Return the correction that a check gives.

    Parameters
    ----------
    check : ProbeCheck
        With one point or more.

    Returns
    -------
    Correction
        Its uncertainty is the largest of the range of a melt, two standard ones, rounded up to 0.01 K.
    """
    line = _line(check)
    worst_k = max(uncertainty_k(check, read_c) for read_c in np.arange(MELT_C[0], MELT_C[1] + 0.5, 1.0))
    rounded_k = math.ceil(round(100.0 * worst_k, 6)) / 100.0
    offset_c = line.true_c - line.gain * line.read_c
    return Correction(round(line.gain, 6), round(offset_c, 4), rounded_k, check.checked_on)


def uncertainty_k(check: ProbeCheck, read_c: float) -> float:
    """Half-width of the 95 % interval of what is true where the probe shows `read_c`, in kelvin."""
    return COVERAGE * shares_at(check, read_c).together_k


def shares_at(check: ProbeCheck, read_c: float) -> Shares:
    """Return what makes the corrected temperature uncertain where the probe shows `read_c`."""
    line = _line(check)
    weights = line.weights + line.tilts * (read_c - line.read_c)
    scale = line.disagreement
    return Shares(
        scale * _joined(weights, [each.point.own_sd_k for each in check.points]),
        scale * _joined(weights, [each.point.air_sd_k for each in check.points]),
        scale * _joined(weights, [reading_sd_k(each, check.step_k) for each in check.points]),
        line.gain * check.step_k * _DIGIT,
        _off_line_k(check, line, read_c) * _FLAT,
    )


def tells_slope(check: ProbeCheck) -> bool:
    """Whether the points lie far enough apart to tell more than an offset."""
    shown_c = [each.reading.read_c for each in check.points]
    return max(shown_c) - min(shown_c) >= CLOSE_K


def disagree(check: ProbeCheck) -> bool:
    """Whether more points than a line needs lie further from it than their uncertainties allow."""
    return _line(check).disagreement > 1.0


@dataclass(frozen=True, slots=True)
class _Line:
    """true = true_c + gain (read - read_c); point i moves it by weights[i] + tilts[i] (read - read_c)."""

    gain: float
    read_c: float
    true_c: float
    weights: Floats
    tilts: Floats
    disagreement: float


def _line(check: ProbeCheck) -> _Line:
    """Weighted least squares, weights from the points' own variances (any text on regression)."""
    read = np.array([each.reading.read_c for each in check.points])
    true = np.array([each.point.true_c for each in check.points])
    variance = np.array([each.point.sd_k**2 + reading_sd_k(each, check.step_k) ** 2 for each in check.points])
    weights = 1.0 / variance
    weights /= weights.sum()
    read_c, true_c = float(weights @ read), float(weights @ true)
    gain, tilts, free = 1.0, np.zeros(len(read)), len(read) - 1
    if tells_slope(check):
        away = read - read_c
        tilts = weights * away / float(weights @ away**2)
        gain, free = float(tilts @ true), len(read) - 2
    rest = true - true_c - gain * (read - read_c)
    chi_square = float(np.sum(rest**2 / variance))
    limit = _CHI_SQUARE_95[min(free, len(_CHI_SQUARE_95)) - 1] if free else math.inf
    # Points that disagree are less sure than they seem, by the factor that would make them agree (Birge's
    # ratio).
    disagreement = math.sqrt(chi_square / free) if chi_square > limit else 1.0
    return _Line(gain, read_c, true_c, weights, tilts, disagreement)


def _joined(weights: Floats, sd_k: list[float]) -> float:
    """JCGM 100:2008, 5.1.2: independent parts, each with how much it moves the result."""
    return float(np.sqrt(np.sum((weights * np.array(sd_k)) ** 2)))


def reading_sd_k(each: CheckedPoint, step_k: float) -> float:
    """Return the standard uncertainty of what was read at a point, on a display with that step."""
    scatter_k = READ_ONCE_STEPS * step_k if each.reading.scatter_k is None else each.reading.scatter_k
    return math.hypot(step_k * _DIGIT, scatter_k)


def _off_line_k(check: ProbeCheck, line: _Line, read_c: float) -> float:
    """How far the truth may lie off the line at most: a parabola through the outermost points (row T1)."""
    figures = load_check_figures()
    if not tells_slope(check):
        return figures.gain_per_k.value * abs(read_c - line.read_c)
    shown_c = [each.reading.read_c for each in check.points]
    low_c, high_c = min(shown_c), max(shown_c)
    return figures.curvature_k.value * abs((read_c - low_c) * (high_c - read_c)) * 4.0 / 100.0**2
