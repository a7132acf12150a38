"""The filters against a general-purpose Kalman filter, that of statsmodels (state space).

Where the model is linear both must agree to rounding. The bank is linear in what it holds at each step, so
statsmodels is given the step's own matrices.
"""

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from candlebench.core.forecast import trend
from candlebench.core.forecast.bank import Bank, Members
from candlebench.core.forecast.wax_family import plain_body

filters = pytest.importorskip(
    "statsmodels.tsa.statespace.kalman_filter", reason="statsmodels is the reference here: pip install it"
)

Floats = NDArray[np.float64]

# Random temperature of stirring and eddies, in K2/s, as `bank` grants it: restated, so that a slip shows.
EDDY_K2_PER_S = 2e-5


def reference(
    readings: Floats,
    variances: Floats,
    moves: Floats,
    shifts: Floats,
    walks: Floats,
    first: Floats,
    first_spread: Floats,
) -> tuple[Floats, Floats]:
    """Filtered mean and covariance after each reading.

    Parameters
    ----------
    readings, variances : array, shape (n,)
    moves, walks : array, shape (states, states, n)
        Transition and its noise from each reading to the next; the last is not used.
    shifts : array, shape (states, n)
    first, first_spread : array, shape (states,), (states, states)
        Before the first reading.
    """
    count, states = len(readings), len(first)
    model = filters.KalmanFilter(k_endog=1, k_states=states, k_posdef=states)
    model.bind(np.ascontiguousarray(readings.reshape(1, count)))
    seen = np.zeros((1, states, 1))
    seen[0, 0, 0] = 1.0
    model["design"] = seen
    model["obs_cov"] = np.ascontiguousarray(variances.reshape(1, 1, count))
    model["transition"] = np.ascontiguousarray(moves)
    model["state_intercept"] = np.ascontiguousarray(shifts)
    model["selection"] = np.eye(states)[:, :, None]
    model["state_cov"] = np.ascontiguousarray(walks)
    model.initialize_known(first, first_spread)
    found = model.filter()
    return found.filtered_state, found.filtered_state_cov


@pytest.mark.parametrize("every_s", [1.0, 7.0, 45.0])
def test_the_trend_is_the_kalman_filter_of_a_line_whose_slope_walks(every_s: float) -> None:
    """Integrated random walk: noise of slope q, so that Q = q [[g^3/3, g^2/2], [g^2/2, g]]."""
    rng = np.random.default_rng(int(every_s))
    count, variance = 80, 0.04
    gaps = every_s * rng.uniform(0.5, 1.5, count)
    times = np.cumsum(gaps) - gaps[0]
    readings = 80.0 - 0.015 * times + rng.normal(0.0, 0.15, count)

    moves, walks = np.zeros((2, 2, count)), np.zeros((2, 2, count))
    for i in range(count - 1):
        gap = times[i + 1] - times[i]
        # 0.6 K/min within a minute; a long gap does not let the slope walk on for ever.
        per_s = (0.6 / 60.0) ** 2 / 60.0 / (1.0 + (gap / 60.0) ** 2)
        moves[:, :, i] = [[1.0, gap], [0.0, 1.0]]
        walks[:, :, i] = per_s * np.array([[gap**3 / 3.0, gap**2 / 2.0], [gap**2 / 2.0, gap]])
    # The first reading alone says where it is; of the slope it knows 3 K/min either way.
    wide = np.diag([1e8, 0.05**2])
    means, spreads = reference(
        readings, np.full(count, variance), moves, np.zeros((2, count)), walks, np.zeros(2), wide
    )
    line = trend.Trend()
    for i in range(count):
        line.add(float(times[i]), float(readings[i]), variance)
        if i:
            assert line.temp_c == pytest.approx(means[0, i], abs=1e-5)
            assert line.slope_c_per_s == pytest.approx(means[1, i], abs=1e-6)
            assert line.temp_sd_k == pytest.approx(math.sqrt(spreads[0, 0, i]), rel=1e-5)


def one_member(exponent: float, walk_per_s: float, around_sd_k: float) -> Members:
    return Members(
        exponent=np.array([exponent]),
        walk_per_s=np.array([walk_per_s]),
        drift_per_s=np.zeros(1),
        settling_sd=np.zeros(1),
        around_c=np.array([21.0]),
        around_sd_k=np.array([around_sd_k]),
        curve=np.zeros(1, dtype=np.intp),
        belief=np.ones(1),
    )


def test_a_bank_with_a_sure_rate_is_a_level_with_a_known_drift() -> None:
    """Linear altogether: statsmodels' local level with an intercept, irregular gaps, changing variances."""
    rng = np.random.default_rng(3)
    rate, count = 0.02, 60
    gaps = rng.uniform(2.0, 40.0, count)
    variances = rng.uniform(0.01, 0.2, count)
    readings = 80.0 - rate * (np.cumsum(gaps) - gaps[0]) + rng.normal(0.0, 0.1, count)
    bank = Bank(one_member(0.0, 0.0, 1e-9), plain_body(), falling=True, rate_sd=1e-9)
    bank.start(80.0, 0.4, rate)
    following = np.append(gaps[1:], 1.0)
    means, spreads = reference(
        readings,
        variances,
        np.ones((1, 1, count)),
        -rate * following.reshape(1, count),
        (EDDY_K2_PER_S * following).reshape(1, 1, count),
        np.array([80.0]),
        np.array([[0.16]]),
    )
    for i in range(count):
        if i:
            bank.predict(float(gaps[i]))
        bank.correct(float(readings[i]), float(variances[i]))
        mean, sd = bank.expected()
        assert mean == pytest.approx(means[0, i], abs=1e-6)
        assert sd == pytest.approx(math.sqrt(spreads[0, 0, i]), rel=1e-6)


@pytest.mark.parametrize("exponent", [0.0, 1.0])
def test_level_rate_and_room_of_a_bank_are_followed_by_statsmodels_step_for_step(exponent: float) -> None:
    """The extended filter: at each step the matrices are the derivatives of h' = -exp(r) (h - e)^n.

    For n = 0 and n = 1 over one gap they are known in closed form: with k = exp(r) and D = exp(-k gap),
    dh'/dh = D, dh'/dr = -k gap D (h - e), dh'/de = 1 - D; for n = 0: 1, -k gap and 0.
    """
    rng = np.random.default_rng(5)
    every_s, count, variance, walk = 10.0, 70, 0.02, 1e-3
    bank = Bank(one_member(exponent, walk, 1.0), plain_body(), falling=True, rate_sd=0.4)
    first_rate = 0.02
    bank.start(80.0, 0.3, first_rate)
    times = every_s * np.arange(count)
    readings = 21.0 + 59.0 * np.exp(-times / 2400.0) + rng.normal(0.0, 0.1, count)

    mean = np.array([80.0, math.log(first_rate / 59.0**exponent), 21.0])
    moves, shifts = np.zeros((3, 3, count)), np.zeros((3, count))
    walks = np.zeros((3, 3, count))
    truth = []
    for i in range(count):
        bank.correct(float(readings[i]), variance)
        truth.append((*bank.expected(), bank.rate_c_per_s()))
        mean = np.array([bank._heat[0], bank._rate[0], bank._around[0]])
        speed, over = math.exp(mean[1]), mean[0] - mean[2]
        if exponent == 0.0:
            row, after = [1.0, -speed * every_s, 0.0], mean[0] - speed * every_s
            by_rate = -speed * every_s
        else:
            stays = math.exp(-speed * every_s)
            by_rate = -speed * every_s * stays * over
            row, after = [stays, by_rate, 1.0 - stays], mean[2] + stays * over
        moves[:, :, i] = [row, [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]
        shifts[:, i] = np.array([after, mean[1], mean[2]]) - moves[:, :, i] @ mean
        # The rate walks evenly through the gap, and the heat follows it: 1/3 and 1/2 of the end's share.
        walks[:2, :2, i] = (
            walk * every_s * np.array([[by_rate**2 / 3.0, by_rate / 2.0], [by_rate / 2.0, 1.0]])
        )
        walks[0, 0, i] += EDDY_K2_PER_S * every_s
        bank.predict(every_s)
    means, spreads = reference(
        readings,
        np.full(count, variance),
        moves,
        shifts,
        walks,
        np.array([80.0, math.log(first_rate / 59.0**exponent), 21.0]),
        np.diag([0.09, 0.16, 1.0]),
    )
    for i, (level_c, sd_k, slope) in enumerate(truth):
        assert level_c == pytest.approx(means[0, i], abs=2e-3)
        assert sd_k == pytest.approx(math.sqrt(spreads[0, 0, i]), rel=5e-3)
        flow = math.exp(means[1, i]) * (means[0, i] - means[2, i]) ** exponent
        assert slope == pytest.approx(-flow, rel=5e-3)
