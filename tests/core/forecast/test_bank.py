"""The filters against textbook algebra and against numerical integrals."""

import math

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp

from candlebench.core.forecast.bank import Bank, Members
from candlebench.core.forecast.wax_family import liquid_share, plain_body, wax_family


def one_member(exponent: float, walk_per_s: float, around_c: float, around_sd_k: float) -> Members:
    return Members(
        exponent=np.array([exponent]),
        walk_per_s=np.array([walk_per_s]),
        drift_per_s=np.zeros(1),
        settling_sd=np.zeros(1),
        around_c=np.array([around_c]),
        around_sd_k=np.array([around_sd_k]),
        curve=np.zeros(1, dtype=np.intp),
        belief=np.ones(1),
    )


def test_one_step_is_the_extended_kalman_filter_of_the_textbooks() -> None:
    """Dense matrices, F P F' + Q and K = P H' / S, as in any text on Kalman filtering."""
    walk, gap_s, rate, variance = 1e-5, 20.0, 0.02, 0.04
    bank = Bank(one_member(0.0, walk, 21.0, 1.0), plain_body(), falling=True, rate_sd=0.3)
    bank.start(80.0, 0.2, rate)
    bank.predict(gap_s)
    bank.correct(79.3, variance)

    mean = np.array([80.0 - rate * gap_s, math.log(rate), 21.0])
    moves = np.array([[1.0, -rate * gap_s, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]])
    slope = -rate * gap_s
    noise = walk * gap_s * np.array([[slope**2 / 3, slope / 2, 0], [slope / 2, 1, 0], [0, 0, 0]])
    noise[0, 0] += 2e-5 * gap_s
    spread = moves @ np.diag([0.2**2, 0.3**2, 1.0]) @ moves.T + noise
    sees = np.array([[1.0, 0.0, 0.0]])
    total = (sees @ spread @ sees.T)[0, 0] + variance
    gain = spread @ sees.T / total
    mean = mean + gain[:, 0] * (79.3 - mean[0])
    spread = (np.eye(3) - gain @ sees) @ spread
    temp, sd = bank.expected()
    assert temp == pytest.approx(mean[0], rel=1e-9)
    assert sd == pytest.approx(math.sqrt(spread[0, 0]), rel=1e-6)
    assert bank.rate_c_per_s() == pytest.approx(-math.exp(mean[1]), rel=1e-9)


@pytest.mark.parametrize("exponent", [1.1, 1.6])
@pytest.mark.parametrize("target_c", [70.0, 64.0, 58.0, 45.0])
def test_crossing_times_through_the_knee_are_the_integral_of_heat_over_flow(
    exponent: float, target_c: float
) -> None:
    family = wax_family("one lot", [63.0], [1.0])
    bank = Bank(one_member(exponent, 1e-9, 21.0, 1e-4), family, falling=True, rate_sd=1e-3)
    bank.start(80.0, 1e-3, 0.02)
    quantiles, chance = bank.crossings([target_c])
    rate = 0.02 / 59.0**exponent

    def seconds_per_kelvin(temp_c: float) -> float:
        below, here, above = liquid_share(temp_c + np.array([-1e-3, 0.0, 1e-3]), 63.0, 1.0)
        # Proposed curve of the reference on waxes: 1.7 solid, 0.6 more liquid, 180 kJ/kg latent; 2.3 liquid.
        capacity = (1.7 + 0.6 * here + 180.0 * (above - below) / 2e-3) / 2.3
        return float(capacity / (rate * (temp_c - 21.0) ** exponent))

    # The step's slope bends at its knee and the premelting ramp begins 23 K below it.
    truth, _ = quad(seconds_per_kelvin, target_c, 80.0, points=[40.0, 63.0], limit=400, epsrel=1e-4)
    if truth < 7200.0:
        assert quantiles[0, 1] == pytest.approx(truth, rel=0.01)
        assert chance[0] > 0.99
    else:
        assert math.isinf(quantiles[0, 1]) and chance[0] < 0.5


def test_the_prediction_over_a_long_gap_is_the_solution_of_the_law() -> None:
    bank = Bank(one_member(1.3, 1e-9, 21.0, 1e-4), plain_body(), falling=True, rate_sd=1e-3)
    bank.start(85.0, 1e-3, 0.03)
    bank.predict(600.0)
    rate = 0.03 / 64.0**1.3
    solved = solve_ivp(lambda _t, y: -rate * (y - 21.0) ** 1.3, (0.0, 600.0), [85.0], rtol=1e-9)
    assert bank.expected()[0] == pytest.approx(float(solved.y[0, -1]), abs=0.02)


def test_likelihood_finds_the_law_that_made_the_readings() -> None:
    laws = np.array([1.0, 2.0])
    members = Members(
        laws, np.full(2, 1e-9), np.zeros(2), np.zeros(2), np.full(2, 21.0), np.full(2, 0.1),
        np.zeros(2, dtype=np.intp), np.full(2, 0.5),
    )  # fmt: skip
    bank = Bank(members, plain_body(), falling=True, rate_sd=0.5)
    bank.start(90.0, 0.1, 0.03)
    for i in range(1, 60):
        bank.predict(30.0)
        bank.correct(21.0 + 69.0 * math.exp(-30.0 * i / 2000.0), 0.01)
    truth = 2000.0 * math.log((21.0 + 69.0 * math.exp(-1770.0 / 2000.0) - 21.0) / 19.0)
    quantiles, _ = bank.crossings([40.0])
    assert quantiles[0, 1] == pytest.approx(truth, rel=0.04)


def test_a_fading_flow_that_never_gets_there_is_not_foreseen() -> None:
    members = one_member(0.0, 1e-9, 100.0, 0.01)
    fading = Members(
        members.exponent, members.walk_per_s, np.array([-1.0 / 600.0]), members.settling_sd,
        members.around_c, members.around_sd_k, members.curve, members.belief,
    )  # fmt: skip
    bank = Bank(fading, plain_body(), falling=False, rate_sd=0.01)
    bank.start(60.0, 0.1, 0.02)
    quantiles, chance = bank.crossings([65.0, 80.0])
    # h(t) = 60 + 0.02 * 600 (1 - exp(-t / 600)) tops out at 72.
    assert quantiles[0, 1] == pytest.approx(-600.0 * math.log(1.0 - 5.0 / 12.0), rel=0.02)
    assert math.isinf(quantiles[1, 1]) and chance[1] == 0.0


def test_an_unsure_level_spreads_the_time_by_as_much_as_it_takes_to_cool_through_it() -> None:
    """A level known to 0.5 K at 0.02 K/s spreads every crossing by 25 s; far ahead 1.645 of it either way."""
    bank = Bank(one_member(0.0, 1e-12, 21.0, 1e-4), plain_body(), falling=True, rate_sd=1e-3)
    bank.start(80.0, 0.5, 0.02)
    quantiles, _ = bank.crossings([70.0, 79.8])
    half_width_s = (quantiles[0, 2] - quantiles[0, 0]) / 2.0
    # A mixture of few components is pooled from few points: within 3 % of a half-width.
    assert half_width_s == pytest.approx(1.645 * 25.0, rel=0.03)
    # At hand, 10 s ahead, the same 25 s are a log-normal of that mean and variance.
    spread = math.sqrt(math.log1p(2.5**2))
    # In standard deviations, within what so few points can tell.
    for score, found_s in zip((-1.645, 0.0, 1.645), quantiles[1], strict=True):
        found = (math.log(found_s / 10.0) + 0.5 * spread**2) / spread
        assert found == pytest.approx(score, abs=0.08)
