"""What earlier melts taught makes the forecast narrower, and is given up when the melt says otherwise.

Melts: `simulated`, whose physics the forecaster does not share.
"""

import math
from functools import cache

import numpy as np
import pytest
from simulated import SimulatedMelt, cooling_melts

from candlebench.core.forecast.crossing import Crossing
from candlebench.core.forecast.forecaster import Forecaster
from candlebench.core.forecast.jug import Loss
from candlebench.core.forecast.room import Room, typed_room
from candlebench.core.forecast.wax_family import WaxFamily, beeswax_family, known_family
from candlebench.core.known import KnownWax

LOT = KnownWax(knee_c=62.6, knee_sd_k=0.5, width_k=2.2, width_sd_k=0.4, melts=2)
# Where learning stands after two melts of a lot: a knee known to half a kelvin, a width to 0.4 K.
KNEE_SD_K, WIDTH_SD_K = 0.5, 0.4


def test_the_curves_of_a_known_lot_have_its_mean_and_spread() -> None:
    family = known_family("beeswax", LOT)
    assert family.belief.sum() == pytest.approx(1.0)
    for values, mean, sd in (
        (family.knee_c, LOT.knee_c, LOT.knee_sd_k),
        (family.width_k, LOT.width_k, LOT.width_sd_k),
    ):
        middle = float(np.dot(family.belief, values))
        assert middle == pytest.approx(mean, abs=0.05)
        found_sd = math.sqrt(float(np.dot(family.belief, (values - middle) ** 2)))
        # A rest of doubt beside what was learned may widen it, nothing may narrow it.
        assert 0.99 * sd <= found_sd <= 2.0 * sd


def test_a_lot_whose_width_is_hardly_known_has_no_curve_narrower_than_half_a_kelvin() -> None:
    family = known_family("beeswax", KnownWax(62.6, 0.5, 1.0, 2.0, 1))
    assert family.width_k.min() >= 0.5
    assert np.isfinite(family.temp_c).all() and np.isfinite(family.heat_k).all()


@cache
def melts() -> list[SimulatedMelt]:
    return cooling_melts(31, 20, hours=1.2)


Asked = list[tuple[float, Crossing]]


def asked(target_c: float, ahead_s: float, off_k: float | None) -> Asked:
    """Time left and forecast of every melt; with a lot known `off_k` too high, or not at all."""
    rng, found = np.random.default_rng(3), []
    for melt in melts():
        truth_s = melt.crossing_s(target_c, True)
        if truth_s is None or truth_s < ahead_s + 90.0:
            continue
        family: WaxFamily = beeswax_family()
        if off_k is not None:
            knee_c = melt.knee_c + off_k + float(rng.normal(0.0, KNEE_SD_K if off_k == 0.0 else 0.0))
            family = known_family("beeswax", KnownWax(knee_c, KNEE_SD_K, melt.width_k, WIDTH_SD_K, 2))
        forecaster = Forecaster(family, typed_room(melt.room_c), 100.0, melt.lag_s)
        # No closer than five seconds, for time's sake.
        step = max(1, round(5.0 / (melt.times_s[1] - melt.times_s[0])))
        keep = melt.times_s <= truth_s - ahead_s
        times, readings = melt.times_s[keep][::step].tolist(), melt.readings_c[keep][::step].tolist()
        for now_s, temp_c in zip(times, readings, strict=True):
            forecaster.update(now_s, temp_c)
        (crossing,) = forecaster.crossings([target_c])
        if crossing is not None:
            found.append((truth_s - times[-1], crossing))
    return found


def held(found: Asked) -> float:
    """Share inside the band."""
    return float(np.mean([crossing.low_s <= left_s <= crossing.high_s for left_s, crossing in found]))


def half_width(found: Asked) -> float:
    """Median half-width as a share of the time left."""
    return float(np.median([(c.high_s - c.low_s) / 2.0 / left_s for left_s, c in found]))


def test_a_known_lot_narrows_the_band_where_the_wax_begins_to_set_and_it_still_holds() -> None:
    unknown, known = asked(68.0, 300.0, None), asked(68.0, 300.0, 0.0)
    assert len(known) >= 15
    assert half_width(known) < 0.75 * half_width(unknown)
    assert held(known) >= 0.85
    error = [np.median([abs(c.in_s / left_s - 1.0) for left_s, c in found]) for found in (known, unknown)]
    assert error[0] <= error[1]


def test_a_lot_believed_to_set_two_kelvin_too_low_does_not_cost_the_band_above_its_knee() -> None:
    assert held(asked(68.0, 300.0, -2.0)) >= 0.8


@pytest.mark.parametrize(
    "target_c",
    [
        64.0,
        63.0,
    ],
)
def test_a_lot_believed_to_set_two_kelvin_too_high_is_given_up_once_the_knee_was_passed(
    target_c: float,
) -> None:
    found = asked(target_c, 120.0, 2.0)
    assert len(found) >= 15
    assert held(found) >= 0.75


# --- a factor on the bands -------------------------------------------------------------------------------


def cooled(widen: float, lag_s: float = 0.0, loss: Loss | None = None) -> Forecaster:
    """A forecaster that has seen ten minutes of wax cooling from 85 C."""
    rng = np.random.default_rng(5)
    forecaster = Forecaster(beeswax_family(), Room(21.0, 1.0), 100.0, lag_s, loss, widen)
    for i in range(121):
        wax_c = 21.0 + 64.0 * math.exp(-5.0 * i / 3000.0)
        forecaster.update(5.0 * i, round(wax_c + float(rng.normal(0.0, 0.15)), 1))
    return forecaster


def only(forecaster: Forecaster, target_c: float) -> Crossing:
    (crossing,) = forecaster.crossings([target_c])
    assert crossing is not None
    return crossing


@pytest.mark.parametrize("widen", [1.5, 2.0])
def test_a_band_made_wider_is_so_in_ratios_about_the_same_middle(widen: float) -> None:
    plain, wide = cooled(1.0), cooled(widen)
    for target_c in (72.0, 70.0, 67.0):
        one, other = only(plain, target_c), only(wide, target_c)
        assert other.in_s == pytest.approx(one.in_s, rel=1e-9)
        assert other.chance == pytest.approx(one.chance)
        for before, after in ((one.low_s, other.low_s), (one.high_s, other.high_s)):
            assert math.log(after / other.in_s) == pytest.approx(widen * math.log(before / one.in_s))
    one, other = (f.lasts(72.0, 69.0) for f in (plain, wide))
    assert one is not None and other is not None
    assert math.log(other.high_s / other.low_s) == pytest.approx(widen * math.log(one.high_s / one.low_s))


def test_the_fan_is_drawn_as_wide_as_the_crossings_say() -> None:
    """A temperature is at the fan's upper edge when the late end of its crossing has come."""
    fan, narrow = cooled(2.0).path(900.0), cooled(1.0).path(900.0)
    forecaster = cooled(2.0)
    now_c = float(fan.median_c[0])
    targets = np.arange(now_c - 0.1, now_c - 20.0, -0.1)
    crossings = [c for c in forecaster.crossings(targets.tolist()) if c is not None]
    temps = [c.target_c for c in crossings]
    # Straight lines between fourteen temperatures: half a kelvin at most beside the curve they stand for.
    upper = np.interp(fan.ahead_s[4:], [c.high_s for c in crossings], temps)
    assert fan.high_c[4:] == pytest.approx(upper, abs=0.5)
    middle = np.interp(fan.ahead_s[4:], [c.in_s for c in crossings], temps)
    assert fan.median_c[4:] == pytest.approx(middle, abs=0.4)
    assert fan.median_c == pytest.approx(narrow.median_c, abs=1e-6)
    wider = (fan.high_c - fan.median_c)[4:] / (narrow.high_c - narrow.median_c)[4:]
    assert 1.5 < float(np.median(wider)) < 2.5


def test_a_late_end_that_is_widened_beyond_two_hours_is_infinite_like_any_other() -> None:
    plain, wide = cooled(1.0), cooled(3.0)
    for target_c in np.arange(66.0, 40.0, -0.25).tolist():
        one = only(plain, target_c)
        if math.isfinite(one.high_s) and one.in_s * (one.high_s / one.in_s) ** 3.0 > 7200.0:
            assert math.isinf(only(wide, target_c).high_s)
            return
    pytest.fail("no target whose late end was to be widened beyond two hours")


def test_the_lag_of_the_probe_brings_the_crossing_nearer_and_leaves_how_long_a_window_lasts() -> None:
    plain, lagging = cooled(1.0), cooled(1.0, lag_s=15.0)
    assert only(plain, 70.0).in_s - only(lagging, 70.0).in_s == pytest.approx(15.0)
    assert lagging.lasts(72.0, 69.0) == plain.lasts(72.0, 69.0)
