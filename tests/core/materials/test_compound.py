"""The table of compounds, and how a damaged one is refused."""

from pathlib import Path

import pytest

from candlebench.core.errors import BadDataError
from candlebench.core.materials.compound import load_compounds
from candlebench.resources_folder import resources_folder

SENSITISERS = {
    # oils.md, O66 to O75, from memory there.
    "limonene": "1B",
    "linalool": "1B",
    "linalyl-acetate": "1B",
    "citral": "1",
    "geraniol": "1",
    "citronellol": "1B",
    "eugenol": "1B",
    "isoeugenol": "1A",
    "cinnamal": "1A",
    "benzyl-salicylate": "1B",
    "farnesol": "1B",
    "coumarin": "1B",
}


def test_the_sensitisers_have_the_classes_of_the_tables() -> None:
    found = {
        name: compound.sensitiser.category
        for name, compound in load_compounds().items()
        if compound.sensitiser is not None and compound.sensitiser.category
    }
    assert found == SENSITISERS


def test_only_isoeugenol_has_a_limit_of_its_own() -> None:
    limits = {
        name: compound.sensitiser.from_pct
        for name, compound in load_compounds().items()
        if compound.sensitiser is not None and compound.sensitiser.from_pct is not None
    }
    # O72.
    assert limits == {"isoeugenol": 0.01}


@pytest.mark.parametrize(
    ("find", "put", "place"),
    [
        ('formula = "C10H16"', 'formula = "C10H16N"', "limonene.formula"),
        ("slope_k = 5523.1", "", "limonene.vapour has no slope_k"),
        ("b = 4768.3129", "", "linalyl-acetate.vapour has no b"),
        ('class = "1B"', 'class = "2"', "limonene.sensitiser.class"),
        ('cas = "5989-27-5"', "", "limonene has no cas"),
    ],
)
def test_a_damaged_table_of_compounds_is_refused_by_name(
    find: str, put: str, place: str, tmp_path: Path
) -> None:
    text = (resources_folder() / "data" / "compounds.toml").read_text(encoding="utf-8")
    assert find in text
    damaged = tmp_path / "compounds.toml"
    damaged.write_text(text.replace(find, put, 1), encoding="utf-8")
    with pytest.raises(BadDataError, match=r"compounds\.toml") as caught:
        load_compounds(damaged)
    assert place in str(caught.value)
