"""Jugs and pans worked out from material, weight and size, against the tabulated jugs and the defaults."""

from dataclasses import fields

import pytest

from candlebench.practice.scenario import Bath, Jug
from candlebench.practice.vessels import MATERIALS, bath_of, jug_of


@pytest.mark.parametrize(
    ("wax_g", "diameter_mm", "weight_g", "material", "ua_w_per_k"),
    [
        # H29 to H32: wall emissivity 0.2 is bright steel, 0.9 is glass; +- 30 %.
        (300.0, 100.0, 250.0, "steel", 0.26),
        (300.0, 100.0, 250.0, "glass", 0.34),
        (1000.0, 120.0, 450.0, "steel", 0.50),
        (1000.0, 120.0, 450.0, "glass", 0.71),
    ],
)
def test_a_jug_loses_what_the_tabulated_jugs_lose(
    wax_g: float, diameter_mm: float, weight_g: float, material: str, ua_w_per_k: float
) -> None:
    jug = jug_of(material, weight_g, diameter_mm, wax_g)
    assert jug.wall_w_per_k + jug.top_w_per_k == pytest.approx(ua_w_per_k, rel=0.15)


def test_steel_and_glass_jugs_weigh_in_as_tabulated() -> None:
    # H29: 250 g of steel are 125 J/K. H23: soda-lime glass 720 to 800 J/kg K.
    assert jug_of("steel", 250.0, 100.0, 300.0).metal_j_per_k == pytest.approx(125.0)
    assert 0.72 <= jug_of("glass", 1000.0, 100.0, 300.0).metal_j_per_k / 1000.0 <= 0.80


def test_the_defaults_are_the_jug_and_the_pan_that_they_say() -> None:
    jug = jug_of("steel", 350.0, 130.0, 700.0)
    bath = bath_of("steel", 700.0, 200.0, jug)
    for made, usual in ((jug, Jug()), (bath, Bath())):
        for field in fields(usual):
            value = getattr(usual, field.name)
            if isinstance(value, float) and field.name not in ("draught", "base_w_per_k", "open_m2"):
                assert getattr(made, field.name) == pytest.approx(value, rel=0.35), field.name


def test_a_glass_wall_lets_less_heat_through_than_a_metal_one() -> None:
    glass, steel, aluminium = (jug_of(m, 500.0, 120.0, 500.0) for m in ("glass", "steel", "aluminium"))
    assert glass.to_liquid_w_per_k < 0.8 * steel.to_liquid_w_per_k
    assert steel.to_liquid_w_per_k < aluminium.to_liquid_w_per_k < 1.02 * steel.to_liquid_w_per_k


def test_conductivity_and_specific_heat_are_in_the_tabulated_ranges() -> None:
    # H23, H25, H26.
    ranges = {
        "glass": (0.72, 0.80, 1.0, 1.1),
        "aluminium": (0.9, 0.9, 230, 230),
        "steel": (0.48, 0.50, 14, 16),
    }
    for name, (low_cp, high_cp, low_k, high_k) in ranges.items():
        assert low_cp <= MATERIALS[name].j_per_g_k <= high_cp
        assert low_k <= MATERIALS[name].w_per_m_k <= high_k


def test_a_jug_as_wide_as_its_pan_leaves_no_water_open() -> None:
    jug = jug_of("steel", 350.0, 200.0, 700.0)
    assert bath_of("steel", 700.0, 200.0, jug).open_m2 == 0.0
