"""One attempt beside the one before."""

from dataclasses import replace
from uuid import UUID

import pytest
from recording import melt

from candlebench.core.debrief.attempt import Attempt, attempt_of, compared, scenario_of
from candlebench.core.debrief.judge import debrief_of
from candlebench.core.debrief.phrases import lasted, minutes, off_words, percents
from candlebench.core.units import Shown

RIGHT = attempt_of(UUID(int=1), debrief_of(melt().events))
WRONG = attempt_of(UUID(int=2), debrief_of(melt(off_c=88.0, oil_c=80.0, pour_c=73.0).events))


def test_an_attempt_holds_the_figures_of_its_debrief() -> None:
    assert (RIGHT.oil_off_c, RIGHT.pour_off_c, RIGHT.highest_c) == (0.0, 0.0, 78.0)
    assert WRONG.oil_off_c == 5.0 and WRONG.pour_off_c == 2.0 and WRONG.too_hot_s > 300.0


def test_what_got_better_is_said() -> None:
    said = compared(RIGHT, WRONG, Shown())
    assert said.startswith("Better than last time") and "oil inside" in said and "0 min" in said


def test_what_got_worse_is_said() -> None:
    assert compared(WRONG, RIGHT, Shown()).startswith("Last time was better: oil 5.0 °C too hot")


def test_better_and_worse_stand_in_one_sentence() -> None:
    mixed = replace(RIGHT, pour_off_c=-3.0)
    assert compared(mixed, WRONG, Shown()).endswith("not so good: pour 3.0 °C too cool.")


@pytest.mark.parametrize("other", [RIGHT, replace(RIGHT, oil_off_c=0.2), replace(RIGHT, oil_off_c=None)])
def test_a_change_within_luck_is_no_change(other: Attempt) -> None:
    assert compared(other, RIGHT, Shown()) == "As last time."


@pytest.mark.parametrize(
    ("source", "name"),
    [
        ("practice:first-jug?speed=20", "first-jug"),
        ("practice:first-jug", "first-jug"),
        ("typed:", ""),
        ("", ""),
    ],
)
def test_the_scenario_is_read_from_the_source(source: str, name: str) -> None:
    assert scenario_of(source) == name


def test_phrases_carry_their_units() -> None:
    assert [minutes(s) for s in (0.0, 90.0, 596.0, 780.0)] == ["0 min", "1.5 min", "9.9 min", "13 min"]
    assert [lasted(s) for s in (25.0, 480.0)] == ["25 s", "8 min"]
    assert off_words(-1.0, Shown("F")) == "1.8 °F too cool"


def test_per_cent_show_that_something_went_off() -> None:
    assert percents(0.9987, 0.9993, 0.9997) == ("99.87", "99.93", "99.97")
    assert percents(0.963, 0.982, 0.991) == ("96.3", "98.2", "99.1")
    assert percents(0.6, 0.8, 0.9) == ("60", "80", "90")
