"""A heat-up with a probe in the bath against the exact solution of two lumps of heat.

Liquid wax and its bath exchange heat by one contact; the hob drives the bath, which loses heat to the room:

    dT/dt = k (b - T),   db/dt = p - kappa k (b - T) - l (b - room)

It is linear, so that scipy.linalg.expm gives it exactly; neither its steps nor its losses are the
forecaster's, whose bath steams (H19). Figures: contact of 3 to 5 min (H10 of heat.md), a hob that gives 0.4
to 0.6 kW to 1.2 kg of water and its pan (H9: up to 0.4 kW at a low simmer), losses of 2 %/min (H13, H20).
"""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.linalg import expm

from candlebench.core.forecast.crossing import Crossing
from candlebench.core.forecast.forecaster import Forecaster
from candlebench.core.forecast.room import typed_room
from candlebench.core.forecast.wax_family import beeswax_family

Floats = NDArray[np.float64]

ROOM_C, KAPPA, LOSS_PER_S = 21.0, 0.5, 0.02 / 60.0


def exact(contact_s: float, drive_k_per_min: float, start_c: float, bath_c: float, seconds: int) -> Floats:
    """Wax and bath each second, shape (seconds + 1, 2)."""
    k, p = 1.0 / contact_s, drive_k_per_min / 60.0
    rates = np.array(
        [
            [-k, k, 0.0],
            [KAPPA * k, -KAPPA * k - LOSS_PER_S, p + LOSS_PER_S * ROOM_C],
            [0.0, 0.0, 0.0],
        ]
    )
    one_second = expm(rates)
    states = np.empty((seconds + 1, 3))
    states[0] = start_c, bath_c, 1.0
    for second in range(seconds):
        states[second + 1] = one_second @ states[second]
    return states[:, :2]


def foreseen(curve: Floats, now_s: int, off_k: float | None, target_c: float) -> Crossing:
    """The forecast from readings every 5 s in tenths; the bath's probe is off by `off_k`, or not there."""
    forecaster = Forecaster(beeswax_family(), typed_room(ROOM_C), 100.0)
    rng = np.random.default_rng(12)
    for second in range(0, now_s + 1, 5):
        scatter = rng.normal(0.0, 0.05, 2)
        if off_k is not None:
            forecaster.bath_read(float(second), round(float(curve[second, 1] + off_k + scatter[1]), 1))
        forecaster.update(float(second), round(float(curve[second, 0] + scatter[0]), 1))
    (found,) = forecaster.crossings([target_c])
    assert found is not None
    return found


CASES = [
    (contact_s, drive, ahead_k)
    for contact_s in (180.0, 240.0, 300.0)
    for drive in (4.0, 6.5)
    for ahead_k in (3.0, 6.0)
]


@pytest.mark.parametrize("off_k", [-1.0, 0.0, 1.0])
@pytest.mark.parametrize(("contact_s", "drive", "ahead_k"), CASES)
def test_with_the_bath_read_two_lumps_are_foreseen_within_8_per_cent(
    contact_s: float, drive: float, ahead_k: float, off_k: float
) -> None:
    """T8: a kitchen probe is off by 1 K as a rule. The bath stays below its boiling point."""
    curve = exact(contact_s, drive, 69.0, 74.0, 900)
    now_s = 240
    target_c = float(curve[now_s, 0]) + ahead_k
    right_s = float(np.interp(target_c, curve[:, 0], np.arange(901))) - now_s
    assert float(np.interp(right_s + now_s, np.arange(901), curve[:, 1])) < 100.0
    found = foreseen(curve, now_s, off_k, target_c)
    assert found.in_s == pytest.approx(right_s, rel=0.08)
    assert found.low_s <= right_s <= found.high_s


def test_on_the_whole_the_bath_brings_the_middle_nearer_to_the_exact_time() -> None:
    seeing, blind = [], []
    for contact_s, drive, ahead_k in CASES:
        curve = exact(contact_s, drive, 69.0, 74.0, 900)
        target_c = float(curve[150, 0]) + ahead_k
        right_s = float(np.interp(target_c, curve[:, 0], np.arange(901))) - 150.0
        for off_k, errors in ((0.5, seeing), (None, blind)):
            errors.append(abs(foreseen(curve, 150, off_k, target_c).in_s / right_s - 1.0))
    assert np.mean(seeing) < np.mean(blind)
