"""The one next thing to do: a verb, the amounts, and why."""

from dataclasses import replace

import pytest

from candlebench.core.cues import Phase, Window
from candlebench.core.events import ActionKind, Stage
from candlebench.core.forecast.crossing import Crossing
from candlebench.core.materials.wax import limits_for, load_waxes
from candlebench.core.next_step import Situation, next_step, oil_words
from candlebench.core.setup import MeltSetup, Oil
from candlebench.core.state import Alarm, Level
from candlebench.core.units import Shown

LAVENDER = Oil("lavender", 43.0, 49.0, 104.0)


def setup(oil: Oil | None = LAVENDER) -> MeltSetup:
    return MeltSetup(
        "six jars", "beeswax", limits_for(load_waxes()["beeswax"], 0.0, oil), 21.0, 0.0, 677.0, oil
    )


def situation(stage: Stage, temp_c: float, **changes: object) -> Situation:
    plain = Situation(
        setup=setup(),
        shown=Shown(),
        stage=stage,
        stage_s=1000.0,
        now_s=1030.0,
        on_heat=stage in (Stage.WARMING, Stage.MELTED),
        temp_c=temp_c,
        rate_c_per_min=-1.0,
        oil_phase=Phase.FAR,
        pour_phase=Phase.FAR,
        oil=Window("oil", 70.0, 71.4, 75.0),
        pour=Window("pour", 68.0, 68.0, 71.0),
        chill_c=2.6,
        alarm=None,
        foreseen=lambda target_c: Crossing(target_c, 155.0, 190.0, 245.0, 1.0, 1030.0),
        lasts=lambda from_c, to_c: Crossing(
            to_c, 50.0 * (from_c - to_c), 60.0 * (from_c - to_c), 90.0 * (from_c - to_c), 1.0, 1030.0
        ),
    )
    return replace(plain, **changes)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("oil", "words"),
    [
        (LAVENDER, "43 g lavender oil (49 mL)"),
        (Oil("lavender", 43.0), "43 g lavender oil"),
        (Oil("lavender", 107.3, 121.6), "107.3 g lavender oil (122 mL)"),
        (Oil("lavender"), "the lavender oil"),
        (Oil("", 43.0), "43 g oil"),
    ],
)
def test_the_oil_is_named_with_what_is_known_of_it(oil: Oil, words: str) -> None:
    assert oil_words(setup(oil)) == words


def test_while_it_cools_the_step_says_when_the_window_opens_with_its_band() -> None:
    step = next_step(situation(Stage.OFF_HEAT, 78.1, oil_phase=Phase.SOON))
    assert step.headline == "Add 43 g lavender oil (49 mL)"
    assert step.accent == "in about 3 min"
    assert "75 °C" in step.reason and "2:35 and 4:05" in step.reason
    assert not step.now and step.main is not None and step.main.kind is ActionKind.OIL_IN


def test_in_the_window_the_step_is_due_and_tells_the_chill() -> None:
    step = next_step(situation(Stage.OFF_HEAT, 73.4, oil_phase=Phase.OPEN))
    assert step.accent == "now" and step.now
    # 73.4 less 2.6 of chill and a minute of stirring at one kelvin a minute.
    assert "2.6 °C" in step.more and "about 70 °C after stirring" in step.more


def test_a_band_too_wide_to_help_is_not_said() -> None:
    wide = situation(
        Stage.WARMING, 30.0, foreseen=lambda target_c: Crossing(target_c, 500.0, 3000.0, 7000.0, 0.9, 0.0)
    )
    assert "too early" in next_step(wide).reason
    assert next_step(wide).crossing is None


def test_a_missed_window_asks_to_warm_again_gently() -> None:
    step = next_step(situation(Stage.OFF_HEAT, 66.0, oil_phase=Phase.MISSED))
    assert step.headline.startswith("Warm it again, gently")
    assert step.main is not None and step.main.kind is ActionKind.ON_HEAT
    assert step.level is Level.WARNING


def test_with_the_oil_in_it_is_hot_water_with_the_hob_off_or_poured_as_it_is() -> None:
    step = next_step(situation(Stage.STIRRED, 66.0, oil_phase=Phase.MISSED, pour_phase=Phase.MISSED))
    said = step.headline + step.reason + step.more
    for words in (
        "Hot water only",
        "hob off",
        "every flame out",
        "not above 71 °C",
        "top up",
        "flash at 104 °C",
    ):
        assert words in said
    assert "lowest heat" not in said
    assert {step.main and step.main.kind, *(each.kind for each in step.others)} == {
        ActionKind.ON_HEAT, ActionKind.POURED,
    }  # fmt: skip


@pytest.mark.parametrize("flash_c", [None, 77.0])
def test_where_the_flash_point_leaves_no_room_it_is_poured_and_never_warmed(flash_c: float | None) -> None:
    # Row F5: 10 K under 77 degC lies below the pour window's 68.
    cold = situation(Stage.STIRRED, 66.0, pour_phase=Phase.MISSED, setup=setup(Oil("x", 43.0, None, flash_c)))
    step = next_step(cold)
    assert "Do not warm it" in step.reason
    assert step.main is not None and step.main.kind is ActionKind.POURED and not step.others


def test_a_plain_melt_may_go_back_into_the_bath() -> None:
    step = next_step(situation(Stage.OFF_HEAT, 66.0, pour_phase=Phase.MISSED, setup=setup(None)))
    assert "lowest heat" in step.more and step.headline.startswith("Warm it again, gently")


def test_below_warm_enough_it_is_warmed_and_not_taken_off() -> None:
    step = next_step(situation(Stage.MELTED, 65.8, foreseen=lambda _: None))
    assert (step.headline, step.accent) == ("Warm it gently", "to 75 °C")
    assert next_step(situation(Stage.MELTED, 75.0)).headline == "Take it off the heat"


def test_what_may_be_there_already_is_looked_at_and_not_counted_down() -> None:
    step = next_step(
        situation(
            Stage.WARMING, 62.0, foreseen=lambda target_c: Crossing(target_c, 0.0, 2.0, 250.0, 1.0, 0.0)
        )
    )
    assert "It may be **melted now**: look, and read the thermometer." in step.reason
    assert step.crossing is None and "0:00" not in step.reason


def test_the_end_of_the_oil_window_is_explained() -> None:
    step = next_step(situation(Stage.OFF_HEAT, 73.4, oil_phase=Phase.OPEN))
    assert "Add it above 71.4 °C" in step.reason and "cooler, no time is left to pour" in step.reason
    assert step.crossing_word == "oil at the latest"


def test_no_safe_window_is_said_and_never_invented() -> None:
    orange = Oil("orange", 60.0, None, 75.0)
    step = next_step(situation(Stage.OFF_HEAT, 72.0, oil_phase=Phase.UNSAFE, setup=setup(orange)))
    assert step.headline == "Do not add this much of this oil"
    assert "less oil" in step.more and "75 °C" in step.reason


def test_stirring_counts_a_minute_down_before_it_is_due() -> None:
    early = next_step(situation(Stage.OIL_IN, 71.0))
    assert not early.now and early.accent == "30 s more"
    late = next_step(situation(Stage.OIL_IN, 70.5, now_s=1061.0))
    assert late.now


def test_a_plain_candle_goes_from_off_the_heat_to_pouring() -> None:
    step = next_step(situation(Stage.OFF_HEAT, 70.0, pour_phase=Phase.OPEN, setup=setup(None)))
    assert step.headline == "Pour the jars" and step.now
    assert step.main is not None and step.main.kind is ActionKind.POURED


def test_an_alarm_takes_the_place_until_it_is_seen() -> None:
    alarm = Alarm("too_hot", Level.DANGER, "Danger: too hot", "Take it off the heat now", "why", "", 1000.0)
    hot = situation(Stage.MELTED, 86.0, alarm=alarm)
    step = next_step(hot)
    assert step.headline == "Take it off the heat now" and step.level is Level.DANGER
    assert step.main is not None and step.main.kind is ActionKind.OFF_HEAT
    seen = next_step(replace(hot, alarm=replace(alarm, acknowledged=True)))
    assert seen.alarm_code == "" and seen.level is Level.CALM


def test_fahrenheit_changes_the_words() -> None:
    step = next_step(situation(Stage.OFF_HEAT, 78.1, oil_phase=Phase.SOON, shown=Shown("F")))
    assert "167 °F" in step.reason and "°C" not in step.reason + step.more


def test_once_the_oil_may_go_in_the_step_says_how_long_there_will_be_to_pour() -> None:
    # At one minute a kelvin: 2.6 K of chill and a minute's stirring bring 74.0 to 70.4, 2.4 min above 68.
    step = next_step(situation(Stage.OFF_HEAT, 74.0, oil_phase=Phase.OPEN))
    assert "about 70 °C after stirring" in step.more
    assert "Then you have about 2½ min to pour." in step.more


def test_oil_added_early_leaves_a_wait_before_the_pour() -> None:
    step = next_step(situation(Stage.OFF_HEAT, 75.0, oil_phase=Phase.OPEN, chill_c=0.5))
    assert "Then it can be poured after about 2½ min, for about 3 min." in step.more


def test_without_a_rate_nothing_is_said_of_the_time_to_pour() -> None:
    step = next_step(situation(Stage.OFF_HEAT, 74.0, oil_phase=Phase.OPEN, lasts=lambda *_: None))
    assert "to pour" not in step.more
