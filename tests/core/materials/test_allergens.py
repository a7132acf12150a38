"""Which statement a share of a sensitiser leads to."""

from pathlib import Path

import pytest

from candlebench.core.errors import BadDataError
from candlebench.core.materials.allergens import (
    find_sensitisers,
    label_texts,
    load_allergen_rules,
    statement_for,
)
from candlebench.core.materials.compound import Sensitiser, load_compounds
from candlebench.resources_folder import resources_folder

RULES = load_allergen_rules()
COMPOUNDS = load_compounds()


def sensitiser(category: str, from_pct: float | None = None) -> Sensitiser:
    return Sensitiser(category, from_pct, "O59", "S", "a test")


@pytest.mark.parametrize(
    ("category", "pct", "statement"),
    # O59, O60: Reg. (EC) 1272/2008 Annex I Tables 3.4.5 and 3.4.6, as quoted.
    [
        ("1A", 0.009, ""),
        ("1A", 0.01, "EUH208"),
        ("1A", 0.099, "EUH208"),
        ("1A", 0.1, "H317"),
        ("1B", 0.09, ""),
        ("1B", 0.1, "EUH208"),
        ("1B", 0.99, "EUH208"),
        ("1B", 1.0, "H317"),
        ("1", 0.1, "EUH208"),
        ("1", 1.0, "H317"),
        ("", 5.0, ""),
    ],
)
def test_a_share_leads_to_the_statement_of_its_class(category: str, pct: float, statement: str) -> None:
    assert statement_for(sensitiser(category), pct, RULES) == statement


@pytest.mark.parametrize(
    ("pct", "statement"), [(0.0009, ""), (0.001, "EUH208"), (0.009, "EUH208"), (0.01, "H317")]
)
def test_a_limit_of_its_own_counts_and_a_tenth_of_it_names_the_substance(pct: float, statement: str) -> None:
    # O59: "with a specific limit, from one tenth of it"; O72: isoeugenol 0.01 %.
    assert statement_for(sensitiser("1A", 0.01), pct, RULES) == statement


def test_the_gravest_stand_first_and_what_is_unknown_last() -> None:
    found = find_sensitisers({"linalool": 0.5, "isoeugenol": None, "limonene": 2.0}, COMPOUNDS, RULES)
    assert [(finding.compound.name, finding.statement) for finding in found] == [
        ("limonene", "H317"),
        ("linalool", "EUH208"),
        ("isoeugenol", ""),
    ]
    assert found[2].pct is None and "data sheet" in found[2].why
    assert all(finding.source for finding in found)


def test_what_is_no_sensitiser_of_the_tables_is_not_found() -> None:
    assert find_sensitisers({"cineole": 5.0, "menthol": 3.0}, COMPOUNDS, RULES) == ()


def test_the_label_names_what_causes_h317_and_what_only_reaches_euh208() -> None:
    found = find_sensitisers({"linalool": 0.5, "limonene": 2.0}, COMPOUNDS, RULES)
    assert label_texts(found, RULES) == (
        "Warning",
        "Contains Limonene.",
        "May cause an allergic skin reaction.",
        "Contains Linalool. May produce an allergic reaction.",
    )


def test_below_all_limits_the_label_says_nothing() -> None:
    assert label_texts(find_sensitisers({"linalool": 0.05}, COMPOUNDS, RULES), RULES) == ()


def test_a_damaged_table_of_limits_is_refused_by_name(tmp_path: Path) -> None:
    text = (resources_folder() / "data" / "allergens.toml").read_text(encoding="utf-8")
    damaged = tmp_path / "allergens.toml"
    damaged.write_text(text.replace("h317_from_pct = 0.1", "", 1), encoding="utf-8")
    with pytest.raises(BadDataError, match=r"allergens\.toml: class\.1A has no h317_from_pct"):
        load_allergen_rules(damaged)
