"""Statements for sensitisers against the worked example and Reg. (EC) 1272/2008 as the tables quote it."""

import pytest

from candlebench.core.materials.allergens import load_allergen_rules, statement_for
from candlebench.core.materials.compound import Sensitiser, load_compounds
from candlebench.core.materials.oil import find_oil
from candlebench.core.plan.planning import make_plan
from candlebench.core.plan.request import OilPart, PlanRequest
from candlebench.core.plan.tables import load_tables

RULES = load_allergen_rules()


@pytest.mark.parametrize(("load_pct", "pct", "statement"), [(10.0, 0.10, "EUH208"), (8.0, 0.08, "")])
def test_one_percent_of_eugenol_in_a_fragrance(load_pct: float, pct: float, statement: str) -> None:
    # E10: published, common practice, no source; exact, including that 0.10 % counts. Row O83: share in the
    # oil times load. 1 % x 10 % is 0.10000000000000002 or 0.1 in binary, whichever way it is computed.
    eugenol = load_compounds()["eugenol"].sensitiser
    assert eugenol is not None
    for share_pct in (1.0 * load_pct / 100.0, load_pct * 0.01 * 1.0, pct):
        assert share_pct == pytest.approx(pct)
        assert statement_for(eugenol, share_pct, RULES) == statement


def test_a_share_that_only_binary_fractions_put_below_the_limit_still_counts() -> None:
    # 0.3 x 1/3 and 0.1 x 1/10 x 10: a hair under 0.1.
    under = 0.1 * (1.0 - 2**-52)
    assert under < 0.1
    assert statement_for(Sensitiser("1B", None, "O59", "S", "a test"), under, RULES) == "EUH208"


@pytest.mark.parametrize(
    ("oil", "share_pct", "compound", "printed_pct"),
    # O76 to O78: 6 % lavender with 35 % linalool is 2.1 %; orange with 95 % limonene 5.7 %; clove with 82 %
    # eugenol 4.9 %. All H317, class 1B from memory.
    [
        ("lavender", 35.0, "linalool", 2.1),
        ("orange", 95.0, "limonene", 5.7),
        ("clove", 82.0, "eugenol", 4.9),
    ],
)
def test_six_percent_of_a_natural_oil_is_more_than_euh208(
    oil: str, share_pct: float, compound: str, printed_pct: float
) -> None:
    sensitiser = load_compounds()[compound].sensitiser
    assert sensitiser is not None
    assert share_pct * 0.06 == pytest.approx(printed_pct, abs=0.05)
    assert statement_for(sensitiser, share_pct * 0.06, RULES) == "H317"
    # The plan reckons with the most that the tables allow, so it finds at least as much.
    plan = make_plan(PlanRequest(75.0, 80.0, oils=(OilPart(find_oil(oil)),), load_pct=6.0), load_tables())
    assert plan.oil is not None
    finding = next(each for each in plan.oil.findings if each.compound.name == compound)
    assert finding.statement == "H317" and finding.pct is not None
    assert printed_pct - 0.05 <= finding.pct <= 1.1 * printed_pct
