"""What a jug loses before its own cooling has been seen, against the tabulated jugs of the reference."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from candlebench.core.forecast.cooling import cooling_bank
from candlebench.core.forecast.forecaster import Forecaster
from candlebench.core.forecast.jug import Loss, known_loss, usual_loss
from candlebench.core.forecast.room import Room
from candlebench.core.forecast.wax_family import beeswax_family
from candlebench.core.known import KnownJug

# H29 to H32 of heat.md: cooling in K/min at 70 C in 20 C air, on an insulating base; bright steel, then
# painted steel or glass.
TABLE = {300.0: (0.96, 1.24), 1000.0: (0.60, 0.85)}
JUG = KnownJug(loss_k_per_min=0.9, fill_g=500.0, sd_log=0.15, melts=2)


@pytest.mark.parametrize("fill_g", TABLE)
def test_an_unknown_jug_lies_between_the_bright_and_the_painted_one_of_the_table(fill_g: float) -> None:
    usual, (bright, painted) = usual_loss(fill_g), TABLE[fill_g]
    assert bright < usual.k_per_min < painted
    # Two standard deviations hold both with room to spare for a draught or a lid.
    for jug in (bright, painted):
        assert abs(math.log(jug / usual.k_per_min)) < usual.sd_log


@pytest.mark.parametrize(
    ("fill_g", "ua_w_per_k", "metal_j_per_k"),
    [(300.0, 0.26, 125.0), (300.0, 0.34, 125.0), (1000.0, 0.50, 225.0), (1000.0, 0.71, 225.0)],
)
def test_an_unknown_jug_loses_the_heat_of_the_tables_conductance_within_its_spread(
    fill_g: float, ua_w_per_k: float, metal_j_per_k: float
) -> None:
    """UA times 50 K over wax (2.3 J/g K, W24) and metal, rows H29 to H32; their UA is that of 75 C."""
    k_per_min = 60.0 * ua_w_per_k * 50.0 / (2.3 * fill_g + metal_j_per_k)
    usual = usual_loss(fill_g)
    assert abs(math.log(k_per_min / usual.k_per_min)) < usual.sd_log


def test_a_known_jug_with_the_fill_it_is_known_at_is_as_it_was() -> None:
    for fill_g in (500.0, None):
        assert known_loss(JUG, fill_g) == Loss(0.9, 0.15)


@settings(max_examples=60, deadline=None)
@given(less=st.floats(50.0, 3000.0), more=st.floats(50.0, 3000.0))
def test_a_fuller_jug_cools_more_slowly_and_a_fill_further_off_is_less_sure(less: float, more: float) -> None:
    less, more = sorted((less, more))
    one, two = known_loss(JUG, less), known_loss(JUG, more)
    assert one.k_per_min >= two.k_per_min
    # The same power of the fill as an unknown jug's.
    assert one.k_per_min / two.k_per_min == pytest.approx(
        usual_loss(less).k_per_min / usual_loss(more).k_per_min
    )
    away = [abs(math.log(fill_g / JUG.fill_g)) for fill_g in (less, more)]
    assert (one.sd_log >= two.sd_log) == (away[0] >= away[1]) or away[0] == pytest.approx(away[1])
    assert min(one.sd_log, two.sd_log) >= JUG.sd_log


@pytest.mark.parametrize("k_per_min", [0.4, 1.1])
def test_a_bank_that_knows_the_loss_begins_with_it_at_once(k_per_min: float) -> None:
    """50 K above the room, where liquid wax loses one kelvin for one kelvin of heat, whatever the law."""
    bank = cooling_bank(beeswax_family(), Room(22.0, 1.0), loss=Loss(k_per_min, 0.2))
    # The first slope, which says something else, is not asked.
    bank.start(72.0, 0.1, 0.05)
    flow = np.exp(bank._rate) * 50.0**bank._members.exponent
    assert 60.0 * flow == pytest.approx(k_per_min, rel=1e-9)
    quantiles, _ = bank.crossings([71.0])
    # The slow premelting of the family holds a little heat as high as that.
    assert quantiles[0, 1] == pytest.approx(60.0 / k_per_min, rel=0.12)


def _asked_after(seconds: float, loss: Loss | None) -> float:
    """Half-width over the median of 70 C, some time into cooling at 0.8 K/min from 85 C."""
    rng = np.random.default_rng(6)
    forecaster = Forecaster(beeswax_family(), Room(21.0, 1.0), 100.0, loss=loss)
    for now_s in np.arange(0.0, seconds + 1.0, 5.0):
        wax_c = 21.0 + 64.0 * math.exp(-0.8 / 60.0 / 50.0 * float(now_s))
        forecaster.update(float(now_s), round(wax_c + float(rng.normal(0.0, 0.15)), 1))
    (crossing,) = forecaster.crossings([72.0])
    assert crossing is not None
    return (crossing.high_s - crossing.low_s) / 2.0 / crossing.in_s


def test_a_known_loss_narrows_the_band_most_when_little_cooling_has_been_seen() -> None:
    known = Loss(0.8, 0.1)
    early = _asked_after(60.0, known) / _asked_after(60.0, None)
    late = _asked_after(480.0, known) / _asked_after(480.0, None)
    assert early < 0.8
    assert early < late <= 1.05
