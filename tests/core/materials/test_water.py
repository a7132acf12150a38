"""What the boiling point refuses, and how it goes with altitude; figures are checked in tests/outside."""

import pytest

from candlebench.core.errors import FixableError
from candlebench.core.materials.water import boiling_at_pressure_c, local_boiling_c, vapour_pressure_pa


def test_water_boils_cooler_the_higher_the_kitchen() -> None:
    boiling = [local_boiling_c(altitude_m) for altitude_m in range(-500, 9001, 500)]
    assert boiling == sorted(boiling, reverse=True)
    assert len(set(boiling)) == len(boiling)


def test_boiling_is_where_the_vapour_pressure_equals_the_air() -> None:
    for air_pa in (1e3, 61660.0, 101325.0, 1e6):
        assert vapour_pressure_pa(boiling_at_pressure_c(air_pa)) == pytest.approx(air_pa, rel=1e-6)


@pytest.mark.parametrize("altitude_m", [-501.0, 9001.0, 100000.0, float("nan"), float("inf")])
def test_an_altitude_where_nobody_cooks_is_refused_with_what_to_type(altitude_m: float) -> None:
    with pytest.raises(FixableError, match="type metres above the sea"):
        local_boiling_c(altitude_m)


@pytest.mark.parametrize("air_pa", [101.3, 0.0, -1.0, 1e7, float("nan")])
def test_a_pressure_in_another_unit_is_refused_with_what_to_type(air_pa: float) -> None:
    with pytest.raises(FixableError, match="type pascals"):
        boiling_at_pressure_c(air_pa)
