"""Tolerance classes: how they are named, and what is said of a probe that keeps to one or not."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from candlebench.core.errors import BadDataError, FixableError
from candlebench.core.trust.classes import Verdict, find_class, judged, load_classes, tolerance_k
from candlebench.core.trust.figures import load_check_figures, load_lag_figures

GOOD = """
[class.x]
shown_name = "X"
base_k = 0.3
slope = 0.005
row = "T5"
sure = "S"
source = "a table"
"""


def table(folder: Path, text: str) -> Path:
    path = folder / "classes.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_class_is_found_by_name_or_short_name_whatever_the_capitals() -> None:
    assert find_class("b").name == find_class(" PT100-B ").name == "pt100-b"
    assert find_class("k").name == "k-2"
    with pytest.raises(FixableError, match="kitchen-cheap"):
        find_class("gold")


def test_no_short_name_stands_for_two_classes() -> None:
    names = [word.casefold() for each in load_classes().values() for word in (each.name, *each.aliases)]
    assert len(names) == len(set(names))


@given(st.sampled_from(sorted(load_classes())), st.floats(0.0, 150.0), st.floats(0.0, 50.0))
def test_no_class_allows_less_when_it_is_hotter(name: str, temp_c: float, more_k: float) -> None:
    assert 0.0 < tolerance_k(name, temp_c) <= tolerance_k(name, temp_c + more_k)
    assert tolerance_k(name, -temp_c) == tolerance_k(name, temp_c)


@pytest.mark.parametrize(
    ("error_k", "uncertainty_k", "verdict"),
    [
        (0.2, 0.3, Verdict.WITHIN),
        (-0.2, 0.3, Verdict.WITHIN),
        (0.7, 0.3, Verdict.UNDECIDED),
        (-1.0, 0.3, Verdict.UNDECIDED),
        (1.2, 0.3, Verdict.OUTSIDE),
        (-1.2, 0.3, Verdict.OUTSIDE),
    ],
)
def test_a_verdict_is_given_only_when_the_check_can_tell(
    error_k: float, uncertainty_k: float, verdict: Verdict
) -> None:
    assert judged(error_k, uncertainty_k, 0.8) is verdict


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (GOOD.replace("0.3", '"much"'), "class.x needs base_k"),
        (GOOD.replace("0.005", "-1.0"), "class.x needs base_k"),
        (GOOD.replace('source = "a table"', ""), "class.x has no source"),
        (GOOD + 'aliases = "B"\n', "list of names"),
        ("[class]\nx = 3\n", "class.x has no shown_name"),
        ("nothing = 1\n", "has no class"),
    ],
)
def test_a_table_that_is_not_right_is_named_with_its_place(tmp_path: Path, wrong: str, says: str) -> None:
    with pytest.raises(BadDataError, match=says):
        load_classes(table(tmp_path, wrong))


def test_an_own_table_is_read(tmp_path: Path) -> None:
    own = load_classes(table(tmp_path, GOOD))["x"]
    assert own.tolerance_k(100.0) == pytest.approx(0.8) and own.least_k == 0.0


def test_figures_without_a_source_are_refused(tmp_path: Path) -> None:
    path = table(tmp_path, "[check.ice_k]\nvalue = 0.2\n[lag.wax_least]\nvalue = 2.0\n")
    with pytest.raises(BadDataError, match=r"check\.ice_k has no source"):
        load_check_figures(path)
    with pytest.raises(BadDataError, match=r"lag\.wax_least has no source"):
        load_lag_figures(path)
