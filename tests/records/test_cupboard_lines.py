"""The cupboard's lines: how much is left, what it cost, what is known of it, and what is found."""

import pytest
from full_cupboard import CUPBOARD, STOCK

from candlebench.core.cupboard import Price
from candlebench.core.plan.request import Leftover
from candlebench.core.plan.tables import load_tables
from candlebench.core.units import Shown
from candlebench.records.cupboard_lines import Line, lines_of, mixed_warning, price_words
from candlebench.records.cupboard_stock import KINDS

TABLES = load_tables()


def line(name: str, unit: str = "C", taught: str = "") -> Line:
    every = lines_of(STOCK, TABLES, Shown(unit), lambda lot: taught if lot == "Meadow 7" else "", "EUR")
    return next(each for each in every if each.name == name)


def test_each_thing_has_a_line_shelf_by_shelf() -> None:
    every = lines_of(STOCK, TABLES, Shown())
    assert len(every) == 20
    assert list(dict.fromkeys(each.shelf for each in every)) == list(KINDS)


def test_what_is_left_is_said_against_the_most_there_was() -> None:
    assert line("Pale blocks").left_words == "900 g of 5000 g"
    assert line("Pale blocks").share == pytest.approx(0.18)
    assert line("Soy flakes").left_words == "5000 g" and line("Cone").left_words == "6 of 36"


def test_states_are_words() -> None:
    states = {each.name: each.state for each in lines_of(STOCK, TABLES, Shown()) if each.state}
    assert states == {
        "Pale blocks": "running low",
        "Old ends": "used up",
        "Clove, small": "running low",
        "Cone": "running low",
    }


@pytest.mark.parametrize(
    ("price", "unit", "words"),
    [
        (Price(66.0, 3000.0), "g", "22.00 EUR a kg"),
        (Price(35.0, 100.0), "mL", "0.35 EUR a mL"),
        (Price(3.0, 25.0), "", "0.12 EUR each"),
        (Price(7.5, 100.0), "", "0.075 EUR each"),
        (None, "g", ""),
    ],
)
def test_prices_are_for_one_kilogram_millilitre_or_piece(price: Price | None, unit: str, words: str) -> None:
    assert price_words(price, unit, "EUR") == words


def test_a_lot_says_its_own_figures_and_limits_in_her_unit() -> None:
    figures = "; ".join(line("Meadow 7").figures)
    assert figures == (
        "seen to set at 62.4 °C; oil at most 5 %; oil in at 67–73 °C, pour at 65–68 °C, warn at 78 °C; "
        "pellets 0.58 g/mL"
    )
    assert "pour at 149–154.4 °F" in "; ".join(line("Meadow 7", "F").figures)


def test_what_melts_taught_goes_before_what_was_typed() -> None:
    taught = line("Meadow 7", taught="This lot sets at 62.8 °C.")
    assert taught.learned == "This lot sets at 62.8 °C."
    assert "seen to set" not in "; ".join(taught.figures)
    assert line("Pale blocks", taught="This lot sets at 62.8 °C.").learned == ""


def test_an_oil_without_a_flash_point_says_so() -> None:
    assert line("Garden blend").figures == ("flash point not known", "0.91 g/mL")


def test_a_leftover_says_what_is_in_it_and_warns_when_mixed() -> None:
    assert line("Jug of May").figures == ("95 % Beeswax (228 g)", "5 % Lavender, spring (12 g)")
    assert line("Jug of May").warning == ""
    assert "Mixed waxes" in line("Pot of ends").warning
    spring, orange = CUPBOARD.oils[:2]
    oils = ((spring.essential_oil(), 1.0), (orange.essential_oil(), 1.0))
    assert "Mixed oils" in mixed_warning(Leftover("x", (("beeswax", 90.0),), oils))


@pytest.mark.parametrize(
    ("search", "found"),
    [
        ("", 20),
        ("beeswax", 4),
        ("BEESWAX own", 1),
        ("low", 3),
        ("run low", 3),
        ("drawer", 1),
        ("oils lavender", 1),
        ("wax lots", 5),
        ("zzz", 0),
    ],
)
def test_every_word_of_the_search_has_to_be_there(search: str, found: int) -> None:
    assert sum(each.has(search) for each in lines_of(STOCK, TABLES, Shown())) == found
