"""The flash point of scented wax against the worked rows of oils.md (Vidal et al. 2006), and its limits.

No measured flash point of scented wax is known, and no published example of the rule with a solute in wax:
the rows are computed with the rule, so they guard the arithmetic, not the model. Its two ends can be held to
something outside: neat oil flashes at its own flash point, and for small shares the rule is Raoult's law.
"""

import math

import pytest

from candlebench.core.materials.compound import load_compounds
from candlebench.core.materials.flash import OilInWax, scented_flash_c
from candlebench.core.materials.oil import load_oils
from candlebench.core.materials.wax import load_waxes

COMPOUNDS = load_compounds()


def flash_c(compound: str, neat_c: float, load_pct: float, wax_g_per_mol: float) -> float:
    oil = OilInWax(load_pct, COMPOUNDS[compound], neat_c)
    return scented_flash_c([oil], 100.0 - load_pct, wax_g_per_mol)


def test_limonene_in_beeswax_is_the_worked_example() -> None:
    # E25: 95.1, 80.6, 75.3, 71.5, 68.6 degC, +- 0.1 K; mole fraction at 6 % 0.205 +- 0.001. C
    found = [flash_c("limonene", 48.0, load, 550.0) for load in (3.0, 6.0, 8.0, 10.0, 12.0)]
    assert found == pytest.approx([95.1, 80.6, 75.3, 71.5, 68.6], abs=0.1)
    moles = 6.0 / COMPOUNDS["limonene"].molar_g_per_mol
    assert moles / (moles + 94.0 / 550.0) == pytest.approx(0.205, abs=0.001)


@pytest.mark.parametrize(
    ("row", "compound", "neat_c", "wax", "printed_c"),
    [
        ("O50", "limonene", 48.0, "beeswax", [95, 81, 75, 71, 69]),
        ("O51", "limonene", 43.0, "beeswax", [89, 75, 69, 66, 63]),
        ("O52", "limonene", 36.0, "beeswax", [79, 66, 61, 58, 55]),
        ("O53", "limonene", 48.0, "paraffin", [103, 88, 82, 77, 74]),
        ("O54", "limonene", 48.0, "soy-container", [85, 73, 68, 65, 63]),
        ("O55", "cineole", 48.0, "beeswax", [100, 84, 78, 74, 71]),
        ("O56", "linalool", 71.0, "beeswax", [118, 104, 99, 95, 92]),
        ("O57", "menthol", 70.0, "beeswax", [113, 100, 95, 92, 89]),
    ],
)
def test_the_rows_of_the_table_come_out(
    row: str, compound: str, neat_c: float, wax: str, printed_c: list[float]
) -> None:
    molar = load_waxes()[wax].molar_g_per_mol
    found = [flash_c(compound, neat_c, load, molar) for load in (3.0, 6.0, 8.0, 10.0, 12.0)]
    # Printed to the degree.
    assert found == pytest.approx(printed_c, abs=0.6), row


@pytest.mark.parametrize("name", [name for name, oil in load_oils().items() if oil.flash_c is not None])
def test_the_neat_oil_flashes_where_its_data_sheet_says(name: str) -> None:
    oil = load_oils()[name]
    assert oil.flash_c is not None
    alone = OilInWax(50.0, oil.evaporates_like, oil.flash_c.value)
    assert scented_flash_c([alone], 0.0, 550.0) == pytest.approx(oil.flash_c.value, abs=1e-6)


def test_it_flashes_where_raoults_law_brings_the_vapour_of_the_neat_flash_point() -> None:
    # Raoult: x p(T) over the melt equals p(48 degC) over the neat oil, p from O42 (limonene, two-point fit).
    temp_k = 273.15 + flash_c("limonene", 48.0, 6.0, 550.0)
    moles = 6.0 / 136.234
    fraction = moles / (moles + 94.0 / 550.0)
    over_melt = fraction * 200.0 * math.exp(5523.1 * (1.0 / 298.15 - 1.0 / temp_k))
    over_neat = 200.0 * math.exp(5523.1 * (1.0 / 298.15 - 1.0 / 321.15))
    assert over_melt == pytest.approx(over_neat, rel=1e-3)
