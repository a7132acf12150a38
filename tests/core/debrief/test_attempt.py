"""One attempt beside the one before."""

from dataclasses import replace
from uuid import UUID

import pytest
from recording import melt

from candlebench.core.debrief.attempt import Attempt, attempt_of, compared, scenario_of
from candlebench.core.debrief.judge import debrief_of
from candlebench.core.debrief.phrases import how_long, lasted, off_words, scent_words, times_words
from candlebench.core.units import Shown

RIGHT = attempt_of(UUID(int=1), debrief_of(melt().events))
WRONG = attempt_of(UUID(int=2), debrief_of(melt(off_c=88.0, oil_c=80.0, pour_c=73.0).events))


def test_an_attempt_holds_the_figures_of_its_debrief() -> None:
    assert (RIGHT.oil_off_c, RIGHT.pour_off_c, RIGHT.highest_c) == (0.0, 0.0, 78.0)
    assert WRONG.oil_off_c == 5.0 and WRONG.pour_off_c == 2.0 and WRONG.too_hot_s > 300.0


def test_what_got_better_is_said() -> None:
    said = compared(RIGHT, WRONG, Shown())
    assert said.startswith("Better than last time") and "oil inside" in said and "never too hot" in said


def test_what_got_worse_is_said() -> None:
    assert compared(WRONG, RIGHT, Shown()).startswith("Last time was better: oil 5.0 °C too hot")


def test_better_and_worse_stand_in_one_sentence() -> None:
    mixed = replace(RIGHT, pour_off_c=-3.0)
    assert compared(mixed, WRONG, Shown()).endswith("not so good: pour 3.0 °C too cool.")


@pytest.mark.parametrize("other", [RIGHT, replace(RIGHT, oil_off_c=0.2), replace(RIGHT, oil_off_c=None)])
def test_a_change_within_luck_is_no_change(other: Attempt) -> None:
    assert compared(other, RIGHT, Shown()) == "Much the same as last time."


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
    assert [how_long(s) for s in (0.0, 90.0, 595.6, 3780.0)] == ["never", "1:30", "9:56", "1:03:00"]
    assert [lasted(s) for s in (25.0, 480.0)] == ["0:25", "8:00"]
    assert off_words(-1.0, Shown("F")) == "1.8 °F too cool"


def test_scent_is_said_no_finer_than_the_estimate_knows_it() -> None:
    # Good to a factor of two: of 0.4 % lost it may be 0.8 %, of 0.7 % more than one per cent.
    assert scent_words(0.996, 0.992) == "more than 99 %"
    assert scent_words(0.993, 0.986) == "about 99 %"
    assert scent_words(0.82, 0.64) == "about 82 %"
    assert scent_words(1.0, 0.985) == "about 99 %"


def test_the_loss_beside_a_good_run_is_said_in_words() -> None:
    said = [times_words(times).partition(" the loss")[0] for times in (1.5, 2.2, 7.1, 12.3)]
    assert said == ["one and a half times", "twice", "seven times", "12 times"]
    assert times_words(1.1) == "no more lost than in a good run"
