"""A probe on its way back into the wax passes near the forecast long before it is right."""

import math
import random

import pytest

from candlebench.core.forecast.suspects import Suspects, Verdict

EXPECTED = (75.0, 0.15, -0.017)


@pytest.mark.parametrize(("lag_s", "short_by_k"), [(6.0, 0.2), (15.0, 0.45)])
def test_readings_count_again_only_when_the_probe_has_arrived(lag_s: float, short_by_k: float) -> None:
    dice, suspects = random.Random(2), Suspects(21.0)
    now_s = 0.0
    for _ in range(60):
        suspects.judge(now_s, 75.0 + dice.gauss(0.0, 0.1), EXPECTED, 0.1)
        now_s += 1.0
    # T22: 33 s in air for a probe of 3 mm; T24: 5 to 15 s in stirred wax.
    for i in range(30):
        air_c = 21.0 + 54.0 * math.exp(-(i + 1) / 33.0)
        assert i < 2 or suspects.judge(now_s, air_c, EXPECTED, 0.1) is Verdict.WAIT
        now_s += 1.0
    accepted = []
    for i in range(120):
        short_k = 32.0 * math.exp(-i / lag_s)
        reading_c = 75.0 - short_k + dice.gauss(0.0, 0.1)
        if suspects.judge(now_s, reading_c, EXPECTED, 0.1) is Verdict.ACCEPT:
            accepted.append(short_k)
        now_s += 1.0
    assert len(accepted) > 50
    assert max(accepted) <= short_by_k


def test_after_a_single_spike_the_next_reading_counts() -> None:
    suspects = Suspects(21.0)
    for second in range(20):
        suspects.judge(float(second), 75.0, EXPECTED, 0.1)
    assert suspects.judge(20.0, 85.0, EXPECTED, 0.1) is Verdict.WAIT
    assert suspects.judge(21.0, 75.1, EXPECTED, 0.1) is Verdict.ACCEPT
