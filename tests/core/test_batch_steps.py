"""The steps of a batch: their order, their numbers, and what they say when something stands against them."""

from dataclasses import replace

import pytest
from plan.workbench import SCENTED, SIX, TABLES, blend, planned

from candlebench.core.batch_steps import (
    batch_steps,
    big_amounts,
    clean_up_steps,
    leftover_label,
    sheet_cautions,
    standing_cautions,
)
from candlebench.core.materials.figure import data_file
from candlebench.core.materials.oil import find_oil
from candlebench.core.plan.planning import Plan, make_plan
from candlebench.core.plan.request import Leftover, PlanRequest
from candlebench.core.state import Level
from candlebench.core.units import Shown
from candlebench.core.warm_with_oil import warm_with_oil_words

C, F = Shown(), Shown("F")


def texts(plan: Plan, shown: Shown = C) -> list[str]:
    return [step.text for step in batch_steps(plan, shown)]


def place(steps: list[str], words: str) -> int:
    return next(number for number, text in enumerate(steps) if words in text)


def test_the_amounts_are_those_of_the_plan() -> None:
    plan = planned(SCENTED, lot="Meadow 7")
    amounts = big_amounts(plan)
    assert [each.name for each in amounts] == ["Beeswax", "Lavender", "Wicks", "Jars"]
    assert amounts[0].amount == plan.wax.weigh_g.shown and amounts[0].note == "Meadow 7"
    assert plan.oil is not None
    assert amounts[1].amount == plan.oil.weigh_g.shown and plan.oil.volume_ml.shown in amounts[1].note
    # E23: 297 g in each of six jars of 75 x 80 mm.
    assert amounts[3].amount == "6" and amounts[3].note.startswith("297 g each")


def test_a_wick_for_each_hole_is_counted() -> None:
    plan = planned(SIX, wick_count=3)
    assert next(each.amount for each in big_amounts(plan) if each.name == "Wicks") == "18"


def test_oil_comes_off_the_heat_and_before_the_pour() -> None:
    steps = texts(planned(SCENTED))
    order = [
        "Weigh",
        "Melt it",
        "off the heat",
        "Add the oil at 70–75 °C",
        "Stir",
        "Pour at 68–71 °C",
        "Trim",
    ]
    places = [place(steps, words) for words in order]
    assert places == sorted(places) and len(set(places)) == len(places)


def test_with_the_oil_in_the_sheet_says_the_rule_of_the_melt_page() -> None:
    plan = planned(SCENTED)
    why = next(step.why for step in batch_steps(plan, C) if step.text.startswith("Add the oil"))
    assert plan.melt_oil is not None
    assert warm_with_oil_words(plan.limits, plan.melt_oil, C) in why
    assert "Estimated to flash at" in why and "warning at 80 °C" in why


def test_the_safety_page_says_the_same_rule() -> None:
    text = data_file("safety.toml").read_text(encoding="utf-8")
    for words in (
        "Hot water only",
        "hob off",
        "every flame out",
        "estimated flash point",
        "top up the rough tops",
    ):
        assert words.lower() in text.lower()


def test_85_degrees_are_called_by_the_word_of_the_chart() -> None:
    melt = next(step.why for step in batch_steps(planned(SIX), C) if "Melt it" in step.text)
    assert "darkens at 85 °C" in melt and "strong" not in melt


def test_a_plain_candle_has_no_step_with_oil() -> None:
    steps = texts(planned(SIX))
    assert not any("oil" in text for text in steps)
    assert any("Pour at" in text for text in steps)


def test_without_a_window_no_step_adds_the_oil() -> None:
    # 6 % of a citrus oil in beeswax leaves none (rows O50 to O52).
    plan = planned(SIX, oils=blend("orange"), load_pct=6.0)
    assert plan.stops
    steps = texts(plan)
    assert not any(text.startswith(("Add the oil", "Weigh the oil", "Stir")) for text in steps)
    assert any(text.startswith("Do not add the oil") for text in steps)
    assert sheet_cautions(plan)[0].level is Level.DANGER


def test_an_unknown_flash_point_gives_no_window_either() -> None:
    plan = planned(SIX, oils=blend("palmarosa"), load_pct=3.0)
    assert any(text.startswith("Do not add the oil") for text in texts(plan))


def test_all_temperatures_follow_the_setting() -> None:
    plan = make_plan(replace(SCENTED, jar_c=5.0), TABLES, F)
    said = " ".join(f"{step.text} {step.why}" for step in batch_steps(plan, F))
    assert "°C" not in said
    # 70 to 75 degC and 68 to 71 degC, by F = 9/5 C + 32.
    assert "158–167 °F" in said and "154.4–159.8 °F" in said


def test_oil_in_leftovers_brings_the_lower_warning_from_the_start() -> None:
    tin = Leftover("Tin 3", (("beeswax", 900.0),), ((find_oil("orange"), 60.0),))
    plain, scented = planned(SIX), planned(SIX, leftovers=(tin,))
    melt = [next(s for s in batch_steps(plan, C) if "Melt it" in s.text).why for plan in (plain, scented)]
    assert "Warning at 80 °C" in melt[0]
    assert scented.oil is not None and scented.oil.flash_c is not None
    assert scented.oil.flash_c.value - 10.0 < 80.0
    assert f"Warning at {C.temp(round(scented.oil.flash_c.value - 10.0, 1))}" in melt[1]


def test_cold_glass_is_warmed_before_it_is_filled() -> None:
    steps = batch_steps(planned(SIX, jar_c=5.0), C)
    assert "Warm to" in steps[0].why and "before the pour" in steps[0].why


def test_clean_up_keeps_wax_out_of_drains_and_dishwashers() -> None:
    said = " ".join(f"{step.text} {step.why}" for step in clean_up_steps(planned(SCENTED)))
    for words in ("never down a drain", "cool", "with paper", "no dishwasher", "Keep the jug for wax"):
        assert words.lower() in said.lower()


def test_leftovers_are_labelled_with_the_share_of_each_oil() -> None:
    assert leftover_label(planned(SCENTED)) == "Beeswax with 6 % Lavender"
    assert leftover_label(planned(SIX)) == "Beeswax, no oil"
    mixed = planned(SIX, oils=blend("lavender", "clove"), load_pct=5.0)
    assert leftover_label(mixed) == "Beeswax with 2.5 % Lavender, 2.5 % Clove bud"


def test_fire_and_burns_stand_on_every_sheet() -> None:
    fire, burn = standing_cautions()
    assert "never water" in fire  # F10
    assert "20 minutes" in burn  # F16


@pytest.mark.parametrize("request_", [SIX, SCENTED])
def test_a_reading_is_written_down_wherever_a_window_counts(request_: PlanRequest) -> None:
    for step in batch_steps(planned(request_), C):
        if step.text.startswith(("Add the oil", "Pour at", "Take the jug off")):
            assert step.writes_temp and step.writes_time
