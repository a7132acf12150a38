"""The curve of a probe's approach to the water it was put into, by least squares.

One part of a probe takes up heat from the next, so that after the step at `start` it shows, with two time
constants a > b in series,

    1 - (a exp(-t / a) - b exp(-t / b)) / (a - b)

of the way; with b = 0 that is a probe of first order. On a ramp it is a + b late. The water cools meanwhile
in a straight line, the drift. Rise and drift enter in a straight way and are solved for at each trial of the
other three (variable projection; G. H. Golub and V. Pereyra 1973, from memory), which Gauss-Newton steps
improve.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

# Time constants tried, seconds: from a bare bead to a thick sheath (rows T11 to T24 of thermometry.md).
SHORTEST_S, LONGEST_S = 0.05, 120.0
# First trials: time constants, starts, and the second time constant as a share of the first.
_TAUS, _STARTS, _SHARES = 24, 61, (0.0, 0.3, 0.8)
# At equal time constants the curve above divides by zero; this near to them it is as good as the same.
_MOST_SHARE = 0.97
_STEPS = 40
# The curve may begin so long before the last reading at rest, when it moves slowly at first.
_EARLIEST_S = 8.0
# A second time constant must explain more than chance would in 1 of 100 (chi square, one degree of freedom).
_WORTH_IT = 6.63
# Eddies keep residuals to one side; at most so much of one is taken to be left at the next.
_MOST_KEPT = 0.9


@dataclass(frozen=True, slots=True)
class Approach:
    """A fitted curve.

    Attributes
    ----------
    tau_s, second_s : float
        The two time constants, the longer first; the second is 0 for a probe of first order.
    start_s : float
        When the step came.
    rise_k, drift : float
        The step, in kelvin, and how the water drifts, in K/s.
    scatter_k : float
        What is left unexplained: standard deviation of a reading, in kelvin.
    square : float
        Sum of its squares.
    spread : array of float, shape (3, 3)
        Covariance of log tau, second as a share of tau, and start.
    """

    tau_s: float
    second_s: float
    start_s: float
    rise_k: float
    drift: float
    scatter_k: float
    square: float
    spread: Floats

    def lag_sd_s(self, from_start: bool) -> float:
        """Standard uncertainty of the lag, with that of the start when the lag is counted from elsewhere."""
        slope = np.array([self.tau_s + self.second_s, self.tau_s, 1.0 if from_start else 0.0])
        return math.sqrt(max(0.0, float(slope @ self.spread @ slope)))


def fit_approach(since_s: Floats, above_k: Floats, floor_k: float) -> Approach:
    """Fit the curve.

    Parameters
    ----------
    since_s : array of float, shape (n,)
        Seconds since the last reading at rest; some may lie before it.
    above_k : array of float, shape (n,)
        How far each reading is above (or below) where it rested.
    floor_k : float
        A reading is no surer than this.

    Returns
    -------
    Approach
        Of first order, unless a second time constant explains clearly more.
    """
    trials = _first_trials(since_s, above_k)
    single = _improved(since_s, above_k, trials[0.0], False)
    double = min(
        (_improved(since_s, above_k, trial, True) for trial in trials.values()),
        key=lambda trial: _square(since_s, above_k, trial),
    )
    gain = _square(since_s, above_k, single) - _square(since_s, above_k, double)
    rest = _residual(since_s, above_k, double)
    noise = max(floor_k**2, _inflated(rest, float(rest @ rest) / max(1, len(rest) - 5)))
    return _approach(since_s, above_k, double if gain > _WORTH_IT * noise else single, floor_k)


def _first_trials(since_s: Floats, above_k: Floats) -> dict[float, Floats]:
    """The best of a coarse grid, for each share of the second time constant."""
    reach_s = float(since_s[-1])
    taus = np.exp(np.linspace(math.log(SHORTEST_S), math.log(min(LONGEST_S, reach_s)), _TAUS))
    # Closer together near the last reading at rest, where a plain probe starts.
    starts = 0.5 * reach_s * np.linspace(0.0, 1.0, _STARTS) ** 2
    found: dict[float, tuple[float, Floats]] = {}
    for share in _SHARES:
        for tau in taus:
            for start in starts[starts <= max(4.0 * tau, starts[1])]:
                trial = np.array([math.log(tau), share, start])
                square = _square(since_s, above_k, trial)
                if share not in found or square < found[share][0]:
                    found[share] = (square, trial)
    return {share: trial for share, (_, trial) in found.items()}


def _improved(since_s: Floats, above_k: Floats, trial: Floats, second: bool) -> Floats:
    """Gauss-Newton steps, damped as K. Levenberg and D. Marquardt do (any text on least squares)."""
    free = [0, 1, 2] if second else [0, 2]
    if not second:
        trial = np.array([trial[0], 0.0, trial[2]])
    rest = _residual(since_s, above_k, trial)
    square, damping = float(rest @ rest), 1e-3
    for _ in range(_STEPS):
        slopes = _slopes(since_s, above_k, trial)[:, free]
        normal, pull = slopes.T @ slopes, slopes.T @ rest
        scale = np.diag(np.maximum(np.diag(normal), 1e-12))
        step = np.zeros(3)
        step[free] = -np.linalg.solve(normal + damping * scale, pull)
        tried = _within(trial + step)
        rest_there = _residual(since_s, above_k, tried)
        square_there = float(rest_there @ rest_there)
        if square_there < square:
            small = square - square_there < 1e-9 * square
            trial, rest, square, damping = tried, rest_there, square_there, max(1e-9, 0.2 * damping)
            if small:
                break
        else:
            damping *= 5.0
            if damping > 1e9:
                break
    return trial


def _within(trial: Floats) -> Floats:
    return np.array(
        [
            min(max(trial[0], math.log(SHORTEST_S)), math.log(LONGEST_S)),
            min(max(trial[1], 0.0), _MOST_SHARE),
            max(trial[2], -_EARLIEST_S),
        ]
    )


def _approach(since_s: Floats, above_k: Floats, trial: Floats, floor_k: float) -> Approach:
    rest = _residual(since_s, above_k, trial)
    square = float(rest @ rest)
    variance = square / max(1, len(rest) - 5)
    slopes = _slopes(since_s, above_k, trial)
    free = [0, 1, 2] if trial[1] > 0.0 else [0, 2]
    spread = np.zeros((3, 3))
    slopes = slopes[:, free]
    # JCGM 100:2008, H.3: covariance of least squares.
    spread[np.ix_(free, free)] = max(_inflated(rest, variance), floor_k**2) * np.linalg.pinv(
        slopes.T @ slopes
    )
    rise_k, drift = _straight(since_s, above_k, trial)[0]
    tau_s = math.exp(trial[0])
    return Approach(
        tau_s,
        tau_s * float(trial[1]),
        float(trial[2]),
        float(rise_k),
        float(drift),
        math.sqrt(variance),
        square,
        spread,
    )


def _inflated(rest: Floats, variance: float) -> float:
    """The variance that independent residuals would need to say as little (first-order correlation)."""
    whole = float(rest @ rest)
    kept = min(max(float(rest[1:] @ rest[:-1]) / whole, 0.0), _MOST_KEPT) if whole > 0.0 else 0.0
    return variance * (1.0 + kept) / (1.0 - kept)


def _square(since_s: Floats, above_k: Floats, trial: Floats) -> float:
    rest = _residual(since_s, above_k, trial)
    return float(rest @ rest)


def _residual(since_s: Floats, above_k: Floats, trial: Floats) -> Floats:
    straight, shapes = _straight(since_s, above_k, trial)
    return np.asarray(shapes @ straight - above_k)


def _slopes(since_s: Floats, above_k: Floats, trial: Floats) -> Floats:
    """How the residuals change with each of the three, by differences that stay in range."""
    here = _residual(since_s, above_k, trial)
    columns = []
    for number, gap in enumerate((1e-4, 1e-4, 1e-4 * math.exp(trial[0]))):
        there = trial.copy()
        there[number] += gap if number != 1 or trial[1] + gap <= _MOST_SHARE else -gap
        columns.append((_residual(since_s, above_k, there) - here) / (there[number] - trial[number]))
    return np.stack(columns, axis=1)


def _straight(since_s: Floats, above_k: Floats, trial: Floats) -> tuple[Floats, Floats]:
    """Return rise and drift that fit best, and the two shapes they belong to, shape (n, 2)."""
    tau_s, share, start_s = math.exp(trial[0]), float(trial[1]), float(trial[2])
    after = np.maximum(since_s - start_s, 0.0)
    slow = np.exp(-after / tau_s)
    fast = np.exp(-after / (share * tau_s)) if share > 1e-6 else np.zeros_like(after)
    rising = 1.0 - (slow - share * fast) / (1.0 - share)
    drifting = after - tau_s * (1.0 + share - (slow - share * share * fast) / (1.0 - share))
    if share <= 1e-6:
        drifting = after - tau_s * (1.0 - slow)
    shapes = np.stack([rising, drifting], axis=1)
    normal = shapes.T @ shapes
    normal += 1e-9 * np.diag(np.diag(normal)) + 1e-12 * np.eye(2)
    return np.asarray(np.linalg.solve(normal, shapes.T @ above_k)), shapes
