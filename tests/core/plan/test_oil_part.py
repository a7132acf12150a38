"""Flash point, window and skin: what a plan says of its oil."""

import pytest
from workbench import SCENTED, SIX, TABLES, blend, caution, codes_of, planned

from candlebench.core.materials.oil import described_oil, typed_oil
from candlebench.core.materials.wax import oil_window_open
from candlebench.core.plan.request import Basis, OilPart
from candlebench.core.state import Level


@pytest.mark.parametrize("load_pct", [6.0, 8.0])
def test_citrus_in_beeswax_has_no_window_and_the_plan_says_what_to_do(load_pct: float) -> None:
    # waxes.md: nearly closed at 6 %, gone at 8 %; closed at both with the lowest quoted flash point, 43 degC.
    plan = planned(SIX, oils=blend("orange"), load_pct=load_pct, oil_limit_pct=8.0)
    assert not oil_window_open(plan.limits)
    assert plan.oil is not None and plan.oil.most_pct is not None
    first = plan.cautions[0]
    assert (first.code, first.level) == ("no_window", Level.DANGER)
    assert plan.stops == (first,) and planned(SCENTED).stops == ()
    assert "at most 4.5 %" in first.text and "another oil" in first.text
    assert "lavender" in plan.oil.others and "sweet orange" not in plan.oil.others


def test_the_share_that_is_offered_leaves_a_window_and_a_little_more_does_not() -> None:
    closed = planned(SIX, oils=blend("orange"), load_pct=6.0)
    assert closed.oil is not None and closed.oil.most_pct is not None
    most = closed.oil.most_pct.value
    assert oil_window_open(planned(SIX, oils=blend("orange"), load_pct=most).limits)
    assert not oil_window_open(planned(SIX, oils=blend("orange"), load_pct=most + 0.1).limits)


def test_the_offered_share_is_said_in_the_basis_that_was_asked() -> None:
    whole = planned(SIX, oils=blend("orange"), load_pct=6.0).oil
    wax = planned(SIX, oils=blend("orange"), load_pct=6.0, basis=Basis.WAX)
    assert whole is not None and wax.oil is not None and whole.most_pct and wax.oil.most_pct
    share = whole.most_pct.value / 100.0
    assert wax.oil.most_pct.value == pytest.approx(100.0 * share / (1.0 - share), abs=0.11)
    assert "of the wax" in caution(wax, "no_window").text


def test_an_oil_that_no_share_of_helps_is_to_be_changed() -> None:
    plan = planned(SIX, oils=(OilPart(typed_oil("thinner", 0.8, 1.0)),), load_pct=1.0)
    assert plan.oil is not None and plan.oil.most_pct is None
    assert "take another oil" in caution(plan, "no_window").text


def test_lavender_in_beeswax_keeps_its_window_whole() -> None:
    plan = planned(SCENTED)
    assert (plan.limits.oil_low_c, plan.limits.oil_high_c) == (70.0, 75.0)
    assert not {"no_window", "narrow_window", "warn_lower", "open_flame"} & set(codes_of(plan))
    assert plan.oil is not None and plan.oil.most_pct is None and plan.oil.others == ()


def test_a_narrow_window_is_told() -> None:
    plan = planned(SIX, oils=blend("orange"), load_pct=4.2)
    assert oil_window_open(plan.limits)
    assert caution(plan, "narrow_window").level is Level.WARNING
    assert "warn_lower" in codes_of(plan)


def test_an_oil_without_a_flash_point_gets_no_window_from_the_plan() -> None:
    plan = planned(SIX, oils=blend("palmarosa", "lavender"), load_pct=3.0)
    assert plan.oil is not None and plan.oil.flash_c is None and plan.oil.flash_unknown == ("palmarosa",)
    assert caution(plan, "flash_unknown").level is Level.DANGER
    assert plan.melt_oil is not None and plan.melt_oil.scented_flash_c is None


def test_oils_that_catch_fire_in_a_warm_room_put_out_the_hob() -> None:
    # F8: below 60 degC.
    assert "open_flame" in codes_of(planned(SIX, oils=blend("tea-tree"), load_pct=1.0))
    assert "open_flame" not in codes_of(planned(SIX, oils=blend("spike-lavender"), load_pct=1.0))


def test_the_label_must_name_what_reaches_its_limit() -> None:
    strong, weak, trace = (planned(SCENTED, load_pct=load) for load in (6.0, 1.0, 0.1))
    assert strong.oil is not None and weak.oil is not None and trace.oil is not None
    assert strong.oil.label_texts[0] == "Warning"
    assert weak.oil.label_texts == ("Contains Linalyl acetate, Linalool. May produce an allergic reaction.",)
    assert trace.oil.label_texts == ()
    assert "poison centre" in caution(strong, "skin").why
    assert caution(trace, "skin").level is Level.CALM
    for plan in (strong, weak, trace):
        assert "supplier's safety data sheet and your local rules" in caution(plan, "skin").text


def test_constituents_of_several_oils_add_up() -> None:
    # Limonene 96 % of orange and 70 % of lemon: 2 % of each is 3.32 % of the candle.
    plan = planned(SIX, oils=blend("orange", "lemon"), load_pct=4.0, oil_step_g=0.001)
    assert plan.oil is not None
    limonene = next(each for each in plan.oil.findings if each.compound.name == "limonene")
    assert limonene.pct == pytest.approx(3.32, abs=0.001)


def test_an_unknown_share_is_looked_up_not_guessed() -> None:
    plan = planned(SIX, oils=blend("clove"), load_pct=3.0)
    assert "Isoeugenol" in caution(plan, "skin_unknown").text
    assert "skin_untold" in codes_of(
        planned(SIX, oils=(OilPart(typed_oil("mine", 0.9, 90.0)),), load_pct=3.0)
    )


def test_a_guessed_curve_is_told_with_the_flash_point() -> None:
    typed = planned(SIX, oils=(OilPart(typed_oil("mine", 0.9, 90.0)),), load_pct=3.0).oil
    known = planned(SCENTED).oil
    assert typed is not None and typed.flash_c is not None and known is not None and known.flash_c is not None
    assert "mine is taken to evaporate like Linalool" in typed.flash_c.source
    assert "taken to evaporate" not in known.flash_c.source


def test_at_least_half_may_be_all_of_it() -> None:
    from candlebench.core.plan.oil_part import shares_of_candle_pct

    # O6: peppermint, total menthol at least 50 %.
    assert shares_of_candle_pct({TABLES.oils["peppermint"]: 6.0}, 100.0) == {"menthol": 6.0}


def test_waxes_without_a_figure_say_so() -> None:
    plan = planned(SCENTED, wax="soy-container")
    assert {"guessed_density", "oil_limit"} <= set(codes_of(plan))
    own = planned(SCENTED, wax="soy-container", liquid_g_per_ml=0.87, oil_limit_pct=8.0)
    assert not {"guessed_density", "oil_limit"} & set(codes_of(own))


def test_the_gravest_caution_stands_first() -> None:
    plan = planned(SIX, jar_c=15.0, oils=blend("orange"), load_pct=6.0)
    order = [Level.DANGER, Level.WARNING, Level.CALM]
    grave = [order.index(each.level) for each in plan.cautions]
    assert grave == sorted(grave) and set(grave) == {0, 1, 2}


def test_an_oil_stands_small_inside_a_sentence_and_large_at_the_head_of_a_name() -> None:
    plan = planned(SIX, oils=blend("lavender", "cedarwood-atlas"), load_pct=4.0)
    assert plan.melt_oil is not None
    assert plan.melt_oil.name == "lavender + Atlas cedarwood"
    assert plan.scent == "Lavender + Atlas cedarwood"
    flame = planned(SIX, oils=blend("orange"), load_pct=4.0)
    (caution,) = [each for each in flame.cautions if each.code == "open_flame"]
    assert caution.why.startswith("Sweet orange can catch fire")


def test_a_bottle_keeps_the_name_she_gave_it_inside_a_sentence() -> None:
    plan = planned(SIX, oils=(OilPart(described_oil("Spring of 7", "lavender")),), load_pct=4.0)
    assert plan.melt_oil is not None and plan.melt_oil.name == "Spring of 7"
