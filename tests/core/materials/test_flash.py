"""How the flash point of scented wax moves with the oil; the numbers are checked in tests/outside."""

import pytest

from candlebench.core.materials.compound import load_compounds
from candlebench.core.materials.flash import (
    OilInWax,
    estimate_flash,
    most_oil_share,
    scented_flash_c,
)

LIMONENE = load_compounds()["limonene"]
LINALOOL = load_compounds()["linalool"]
BEESWAX_G_PER_MOL = 550.0


def orange(mass_g: float, flash_c: float = 43.0) -> OilInWax:
    return OilInWax(mass_g, LIMONENE, flash_c)


def test_the_neat_oil_flashes_where_it_flashes() -> None:
    assert scented_flash_c([orange(100.0)], 0.0, BEESWAX_G_PER_MOL) == pytest.approx(43.0, abs=1e-6)


def test_more_oil_lowers_the_flash_point() -> None:
    temps_c = [scented_flash_c([orange(share)], 100.0 - share, BEESWAX_G_PER_MOL) for share in (1, 3, 6, 12)]
    assert temps_c == sorted(temps_c, reverse=True)


def test_the_same_oil_in_two_bottles_counts_once() -> None:
    one = scented_flash_c([orange(6.0)], 94.0, BEESWAX_G_PER_MOL)
    two = scented_flash_c([orange(2.0), orange(4.0)], 94.0, BEESWAX_G_PER_MOL)
    assert two == pytest.approx(one)


def test_a_blend_flashes_between_its_oils_and_nearer_the_one_that_catches_first() -> None:
    lavender = OilInWax(6.0, LINALOOL, 71.0)
    low = scented_flash_c([orange(6.0)], 94.0, BEESWAX_G_PER_MOL)
    high = scented_flash_c([lavender], 94.0, BEESWAX_G_PER_MOL)
    both = scented_flash_c([orange(3.0), OilInWax(3.0, LINALOOL, 71.0)], 94.0, BEESWAX_G_PER_MOL)
    assert low < both < high
    assert both - low < high - both


def test_a_trace_of_oil_does_not_lift_it_above_the_plain_wax() -> None:
    assert scented_flash_c([orange(0.001)], 100.0, BEESWAX_G_PER_MOL, 204.0) == 204.0


def test_the_band_is_ten_degrees_and_the_spread_of_the_neat_oil() -> None:
    flash = estimate_flash([orange(6.0)], [48.0], 94.0, BEESWAX_G_PER_MOL, 204.0)
    best_c = scented_flash_c([orange(6.0, 48.0)], 94.0, BEESWAX_G_PER_MOL)
    assert flash.low_c == pytest.approx(flash.value_c - 10.0)
    assert flash.high_c == pytest.approx(best_c + 10.0)


def test_the_most_oil_is_where_the_flash_point_is_just_high_enough() -> None:
    def flash_at(share: float) -> float:
        return scented_flash_c([orange(100.0 * share)], 100.0 * (1.0 - share), BEESWAX_G_PER_MOL)

    share = most_oil_share(flash_at, 80.0, 0.08)
    assert share is not None and flash_at(share) == pytest.approx(80.0, abs=1e-6)
    assert flash_at(share + 0.001) < 80.0


def test_no_share_is_found_where_none_helps_and_all_of_it_where_all_is_well() -> None:
    assert most_oil_share(lambda share: 50.0, 80.0, 0.08) is None
    assert most_oil_share(lambda share: 120.0, 80.0, 0.08) == 0.08
