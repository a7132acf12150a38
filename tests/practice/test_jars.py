"""Poured jars cool and set from the glass inwards."""

import pytest

from candlebench.core.materials.enthalpy_curve import EnthalpyCurve
from candlebench.practice.curves import with_oil
from candlebench.practice.jars import PouredJars
from candlebench.practice.scenario import Jars

CURVE = EnthalpyCurve()


SIX = Jars(count=6)


def poured(jars: Jars = SIX, each_g: float = 293.0, at_c: float = 70.0) -> PouredJars:
    wax_g = each_g * jars.count
    return PouredJars(jars, wax_g, wax_g * float(CURVE.heat_j_per_g(at_c)), CURVE)


def run(jars: PouredJars, minutes: float, air_times: float = 1.0) -> PouredJars:
    jars.follow(20.0, air_times, minutes * 60.0)
    return jars


def test_the_outside_sets_while_the_middle_is_still_liquid() -> None:
    jars = run(poured(), 60.0)
    shares = jars.wax.liquid_shares
    assert list(shares) == sorted(shares, reverse=True)
    assert shares[0] > 0.6 and shares[-1] < 0.2
    assert jars.middle_c > jars.mean_c > jars.glass_c


def test_a_jar_rests_an_hour_or_two_while_it_sets_and_is_cold_after_hours() -> None:
    # H40: 68 min of latent plateau for that jar, without the cooling around it; H41: 3 to 5 h to cold.
    jars, half_min, minutes = poured(), 0.0, 0.0
    while jars.set_share < 0.9:
        run(jars, 1.0)
        minutes += 1.0
        if not half_min and jars.set_share >= 0.5:
            half_min = minutes
    assert 40.0 < half_min < 100.0
    assert 70.0 < minutes < 180.0
    run(jars, 240.0 - minutes)
    assert jars.mean_c < 33.0


def test_the_glass_takes_its_warmth_at_once_and_no_heat_is_lost() -> None:
    jars = run(poured(), 3.0)
    assert jars.glass_c > 45.0
    for _ in range(40):
        run(jars, 10.0)
    assert abs(jars.gap_j) < 1e-6 * 6 * 293.0 * 200.0


def test_moving_air_and_a_narrow_jar_set_sooner() -> None:
    still, windy = run(poured(), 60.0), run(poured(), 60.0, air_times=2.0)
    narrow = run(poured(Jars(count=6, diameter_mm=50.0)), 60.0)
    assert windy.set_share > still.set_share + 0.1
    assert narrow.set_share > still.set_share


@pytest.mark.parametrize("diameter_mm", [40.0, 200.0])
def test_the_narrowest_and_the_widest_jar_stay_between_room_and_pour(diameter_mm: float) -> None:
    jars = poured(Jars(count=1, diameter_mm=diameter_mm, glass_g=20.0), each_g=100.0)
    for _ in range(120):
        run(jars, 1.0)
        assert 19.9 <= min(jars.wax.temps_c) <= max(jars.wax.temps_c) <= 70.1
        assert 19.9 <= jars.glass_c <= 70.1


def test_oil_in_the_wax_takes_up_warmth_and_does_not_melt() -> None:
    mixed = with_oil(CURVE, 94.0, 6.0)
    # O84: oil 1.95 J/g K.
    expected = 0.94 * (float(CURVE.heat_j_per_g(75.0)) - float(CURVE.heat_j_per_g(30.0))) + 0.06 * 1.95 * 45.0
    assert float(mixed.heat_j_per_g(75.0)) - float(mixed.heat_j_per_g(30.0)) == pytest.approx(
        expected, rel=1e-6
    )
