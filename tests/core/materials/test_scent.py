"""How much scent goes off along a curve."""

import numpy as np
import pytest

from candlebench.core.materials.compound import load_compounds
from candlebench.core.materials.scent import Scented, band, share_lost, transfer_m_per_s

LINALOOL = Scented(load_compounds()["linalool"], 18.0, 282.0)


def held(temp_c: float, seconds: float, count: int = 2) -> tuple[np.ndarray, np.ndarray]:
    return np.linspace(0.0, seconds, count), np.full(count, temp_c)


def test_how_often_the_curve_was_read_changes_nothing() -> None:
    few, many = share_lost(LINALOOL, *held(70.0, 600.0)), share_lost(LINALOOL, *held(70.0, 600.0, 601))
    assert few == pytest.approx(many, rel=1e-9)


def test_losses_of_two_stretches_add_up() -> None:
    whole = share_lost(LINALOOL, *held(80.0, 1200.0))
    half = share_lost(LINALOOL, *held(80.0, 600.0))
    # Of what is left; the mole fraction hardly changes.
    assert 1.0 - whole == pytest.approx((1.0 - half) ** 2, rel=1e-4)


def test_a_falling_curve_loses_between_its_ends() -> None:
    times_s = np.array([0.0, 600.0])
    lost = share_lost(LINALOOL, times_s, np.array([90.0, 60.0]))
    assert share_lost(LINALOOL, *held(60.0, 600.0)) < lost < share_lost(LINALOOL, *held(90.0, 600.0))


def test_nothing_goes_off_in_no_time_or_without_oil() -> None:
    assert share_lost(LINALOOL, np.array([0.0]), np.array([70.0])) == 0.0
    assert share_lost(Scented(LINALOOL.compound, 0.0, 282.0), *held(70.0, 600.0)) == 0.0


def test_a_compound_without_a_vapour_curve_is_refused() -> None:
    unknown = next(each for each in load_compounds().values() if each.vapour is None)
    with pytest.raises(ValueError, match="vapour curve"):
        share_lost(Scented(unknown, 18.0, 282.0), *held(70.0, 600.0))


def test_all_of_it_is_the_most_that_can_go() -> None:
    assert band(0.7) == (0.35, 1.0)
    assert 0.0 < share_lost(LINALOOL, *held(120.0, 1e6)) <= 1.0


def test_the_transfer_coefficient_passes_through_both_given_points() -> None:
    assert transfer_m_per_s(np.array([60.0, 90.0])).tolist() == pytest.approx([2.9e-3, 3.3e-3])
    assert float(transfer_m_per_s(-500.0)) == 0.0
