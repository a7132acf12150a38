"""The oils: what the table holds, how one is found, and what is typed in its place."""

from pathlib import Path

import pytest

from candlebench.core.errors import BadDataError, FixableError
from candlebench.core.materials.compound import load_compounds, molar_mass_g_per_mol
from candlebench.core.materials.oil import (
    described_oil,
    find_oil,
    load_oils,
    typed_oil,
    vapour_pressure_pa,
    with_data_sheet,
)
from candlebench.resources_folder import resources_folder

OILS = load_oils()


def test_every_oil_of_the_tables_is_there_with_its_row() -> None:
    # oils.md, O1 to O19.
    assert [oil.density_kg_per_m3.row for oil in OILS.values()] == [f"O{n}" for n in range(1, 20)]


@pytest.mark.parametrize("oil", OILS.values(), ids=list(OILS))
def test_every_figure_of_an_oil_lies_in_its_range_and_has_a_source(oil) -> None:  # type: ignore[no-untyped-def]
    density = oil.density_kg_per_m3
    assert density.low <= density.value <= density.high
    # 20/20 relative density is against water of 998.2 kg/m3: no essential oil is far from it.
    assert density.low > 800.0 and density.high < 1100.0
    for figure in (density, oil.flash_c):
        assert figure is None or (figure.source and figure.sure in "RSMC")
    assert oil.evaporates_like.vapour is not None and oil.like_source
    for part in oil.constituents:
        assert part.source and part.row.startswith("O")
        assert part.low_pct is None or part.high_pct is None or part.low_pct <= part.high_pct


def test_the_flash_point_of_an_oil_is_the_lowest_that_is_quoted() -> None:
    # "Values that sources disagree on", 6 and 7: the data sheet's figure, if none the lowest quoted.
    quoted = {"lavender": 68.0, "orange": 43.0, "eucalyptus": 44.0, "rosemary": 40.0, "lemon": 46.0}
    assert {name: OILS[name].flash_c.value for name in quoted} == quoted  # type: ignore[union-attr]
    for oil in OILS.values():
        assert oil.flash_c is None or oil.flash_c.low in (None, oil.flash_c.value)


def test_an_oil_without_a_flash_figure_has_none_rather_than_a_guess() -> None:
    assert OILS["palmarosa"].flash_c is None
    assert [name for name, oil in OILS.items() if oil.flash_c is None] == ["palmarosa"]


def test_above_a_temperature_is_not_taken_as_that_temperature() -> None:
    assert {name for name, oil in OILS.items() if oil.flash_at_least} == {
        "clove",
        "cedarwood-atlas",
        "cedarwood-virginia",
        "cedarwood-texas",
        "patchouli",
    }


def test_density_falls_with_warmth() -> None:
    # O24: about -0.8 kg/m3 per K.
    assert OILS["lavender"].density_g_per_ml() == pytest.approx(0.883)
    assert OILS["lavender"].density_g_per_ml(30.0) == pytest.approx(0.875)


@pytest.mark.parametrize(
    ("said", "name"),
    [
        ("lavender", "lavender"),
        ("Lavender", "lavender"),
        ("TEA TREE", "tea-tree"),
        ("tea_tree", "tea-tree"),
        ("sweet orange", "orange"),
        ("Citrus sinensis", "orange"),
        (" clove  bud ", "clove"),
    ],
)
def test_an_oil_is_found_by_name_alias_and_plant(said: str, name: str) -> None:
    assert find_oil(said).name == name


def test_a_misspelt_oil_is_refused_with_the_nearest_and_what_can_be_typed() -> None:
    with pytest.raises(FixableError, match=r"lavendr.*is it lavender\?.*density and the flash point"):
        find_oil("lavendr")


def test_an_oil_like_no_other_is_refused_with_the_names_there_are() -> None:
    with pytest.raises(FixableError, match=r"choose one of lavender, .*petitgrain.*density"):
        find_oil("xyzzy")


def test_an_oil_can_be_typed_from_its_data_sheet() -> None:
    oil = typed_oil("evening garden", 0.95, 88.0)
    assert (oil.name, oil.table_name) == ("evening garden", "")
    assert oil.density_g_per_ml() == pytest.approx(0.95)
    assert oil.flash_c is not None and oil.flash_c.value == 88.0
    assert oil.like_guessed and oil.constituents == ()


@pytest.mark.parametrize(("density", "flash"), [(883.0, 68.0), (0.0, 68.0), (0.88, 800.0), (0.88, -5.0)])
def test_impossible_figures_of_a_typed_oil_are_refused(density: float, flash: float) -> None:
    with pytest.raises(FixableError, match="type"):
        typed_oil("mine", density, flash)


def test_the_data_sheet_of_a_lot_goes_before_the_table() -> None:
    oil = with_data_sheet(OILS["clove"], flash_c=96.0)
    assert oil.flash_c is not None and oil.flash_c.value == 96.0 and not oil.flash_at_least
    assert oil.density_kg_per_m3 == OILS["clove"].density_kg_per_m3
    assert with_data_sheet(OILS["palmarosa"], density_g_per_ml=0.89).density_g_per_ml() == pytest.approx(0.89)
    assert with_data_sheet(OILS["palmarosa"]) == OILS["palmarosa"]


def test_four_values_describe_an_oil_wholly() -> None:
    bottle = described_oil("lavender 2026", "lavender", 0.88, 72.0)
    assert (bottle.name, bottle.shown_name, bottle.table_name) == ("lavender 2026",) * 2 + ("lavender",)
    assert bottle.constituents == OILS["lavender"].constituents
    assert described_oil("lavender", "lavender") == OILS["lavender"]
    assert described_oil("mine", "", 0.9, None).flash_c is None
    with pytest.raises(FixableError, match="density"):
        described_oil("mine", "")


def test_an_oil_evaporates_like_its_leading_compound() -> None:
    assert vapour_pressure_pa("orange", 70.0) == vapour_pressure_pa("limonene", 70.0)
    assert vapour_pressure_pa("Lavender", 70.0) == vapour_pressure_pa("linalool", 70.0)
    with pytest.raises(FixableError):
        vapour_pressure_pa("xyzzy", 70.0)


def test_citrus_evaporates_faster_than_lavender_and_that_than_clove() -> None:
    # O44 to O49, relative loss at 70 degC.
    speeds = [vapour_pressure_pa(name, 70.0) for name in ("eucalyptus", "orange", "lavender", "clove")]
    assert speeds == sorted(speeds, reverse=True)


def test_a_molar_mass_is_the_sum_of_its_atoms() -> None:
    # Abridged atomic weights (IUPAC 2021): 10 x 12.011 + 18 x 1.008 + 15.999.
    assert molar_mass_g_per_mol("C10H18O") == pytest.approx(154.253)
    assert molar_mass_g_per_mol("CH4") == pytest.approx(16.043)


def test_a_curve_knows_where_it_was_fitted() -> None:
    menthol = load_compounds()["menthol"].vapour
    assert menthol is not None and not menthol.within(70.0) and menthol.within(120.0)
    linalool = load_compounds()["linalool"].vapour
    assert linalool is not None and linalool.within(70.0)


@pytest.mark.parametrize(
    ("find", "put", "place"),
    [
        ('evaporates_like = "linalool"', 'evaporates_like = "water"', "lavender.evaporates_like"),
        ('compound = "linalool"', 'compound = "lavendol"', "lavender.lavendol"),
        ("low_pct = 25.0", "low_pct = 250.0", "lavender.linalool.low_pct"),
        ("value = 883.0", 'value = "light"', "lavender.density_kg_per_m3 needs a number"),
        ('shown_name = "Lavender"', "", "lavender has no shown_name"),
    ],
)
def test_a_damaged_table_of_oils_is_refused_by_name(find: str, put: str, place: str, tmp_path: Path) -> None:
    text = (resources_folder() / "data" / "oils.toml").read_text(encoding="utf-8")
    assert find in text
    damaged = tmp_path / "oils.toml"
    damaged.write_text(text.replace(find, put, 1), encoding="utf-8")
    with pytest.raises(BadDataError, match=r"oils\.toml") as caught:
        load_oils(damaged)
    assert place in str(caught.value)
