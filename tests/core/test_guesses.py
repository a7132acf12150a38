"""Guesses: when they are asked, what is hidden until then, how they are kept, and how they are judged."""

import math
from dataclasses import replace

import numpy as np
import pytest
from kitchen import Hob

from candlebench.core.errors import FixableError
from candlebench.core.events import Action, ActionKind, Stage
from candlebench.core.forecast.crossing import Crossing
from candlebench.core.guesses import (
    Guess,
    Outcome,
    Question,
    fell_to_s,
    guess_detail,
    minutes_typed,
    outcome,
    outcome_words,
    outcomes,
    question,
    read_guess,
    too_late_to_ask,
    veiled,
    window_ahead,
)
from candlebench.core.state import Level
from candlebench.core.units import Shown

OIL, POUR = Question("oil", 75.0), Question("pour", 71.0)
FORECAST = Crossing(75.0, 350.0, 380.0, 430.0, 1.0, 100.0)


def off_the_heat(hob: Hob, cooled_s: float = 180.0) -> Hob:
    """A jug that was lifted at 84 °C and falls by 1 °C a minute."""
    hob.ramp(70.0, 84.0, 4.0)
    hob.do(ActionKind.MELTED)
    hob.do(ActionKind.OFF_HEAT)
    hob.ramp(84.0, 84.0 - cooled_s / 60.0, 1.0)
    return hob


def test_the_oil_window_is_asked_about_once_the_fall_can_be_seen() -> None:
    hob = off_the_heat(Hob(), cooled_s=80.0)
    state = hob.melt.state
    assert window_ahead(state) == OIL and state.step.crossing is not None
    assert question(state) is None, "the jug's wall still gives heat"
    hob.ramp(84.0 - 80.0 / 60.0, 81.0, 1.0)
    assert question(hob.melt.state) == OIL


def test_nothing_is_asked_on_the_heat() -> None:
    hob = Hob()
    hob.ramp(60.0, 74.0, 2.0)
    assert window_ahead(hob.melt.state) is None
    assert question(hob.melt.state) is None


def test_nothing_is_asked_when_the_window_opens_at_once_or_is_open() -> None:
    hob = off_the_heat(Hob())
    hob.ramp(81.0, 75.5, 1.0)
    assert window_ahead(hob.melt.state) == OIL
    assert question(hob.melt.state) is None, "half a minute is too short to guess"
    hob.ramp(75.5, 74.0, 1.0)
    assert window_ahead(hob.melt.state) is None


def test_after_the_oil_the_pour_window_is_next() -> None:
    hob = off_the_heat(Hob())
    hob.ramp(81.0, 74.5, 1.0)
    hob.do(ActionKind.OIL_IN)
    hob.read(73.0)
    assert window_ahead(hob.melt.state) == POUR
    hob.do(ActionKind.POURED)
    assert window_ahead(hob.melt.state) is None


def test_the_veil_hides_fan_time_and_band_and_nothing_else() -> None:
    hob = off_the_heat(Hob())
    state = hob.melt.state
    assert state.fan is not None and state.step.crossing is not None and state.step.accent
    hidden = veiled(state, Shown())
    assert hidden.fan is None and hidden.step.crossing is None and hidden.step.accent == ""
    assert set(hidden.forecasts) == {None}
    assert "75 °C" in hidden.step.reason and "min" not in hidden.step.reason
    assert ":" not in hidden.step.reason, "no duration is left in it"
    assert hidden.step.headline == state.step.headline and hidden.step.main == state.step.main
    assert hidden.temp_c == state.temp_c and list(hidden.temps_c) == list(state.temps_c)


def test_the_veil_speaks_fahrenheit_to_those_who_do() -> None:
    assert "167 °F" in veiled(off_the_heat(Hob()).melt.state, Shown("F")).step.reason


def test_before_the_question_the_card_says_that_it_comes() -> None:
    state = off_the_heat(Hob(), cooled_s=60.0).melt.state
    hidden = veiled(state, Shown(), asking=False)
    assert question(state) is None
    assert "75 °C" in hidden.step.reason and "In about a minute you are asked" in hidden.step.reason
    assert hidden.step.crossing is None and hidden.step.accent == "" and hidden.fan is None


def test_a_window_too_near_for_a_guess_is_not_asked_about_and_need_not_be_hidden() -> None:
    hob = off_the_heat(Hob(), cooled_s=400.0)
    assert not too_late_to_ask(hob.melt.state)
    hob.ramp(84.0 - 400.0 / 60.0, 75.5, 1.0)
    state = hob.melt.state
    assert state.step.crossing is not None and state.step.crossing.in_s < 60.0
    assert question(state) is None and too_late_to_ask(state)


def test_an_alarm_is_never_hidden_but_it_leaks_no_forecast() -> None:
    hob = off_the_heat(Hob())
    hob.silence(60.0)
    state = hob.melt.state
    assert state.step.alarm_code and state.step.level is not Level.CALM
    assert state.step.crossing is not None, "the chart and the line of steps would show it"
    assert veiled(state, Shown()).step == replace(state.step, crossing=None, crossing_word="")
    assert question(state) is None, "what is wrong comes first"


def test_on_the_heat_nothing_is_hidden() -> None:
    hob = Hob()
    hob.ramp(55.0, 64.0, 1.0)
    state = hob.melt.state
    assert state.step.crossing is not None
    assert veiled(state, Shown()) is state


@pytest.mark.parametrize(
    ("text", "seconds"), [("8", 480.0), (" 7.5 ", 450.0), ("7,5", 450.0), ("7:30", 450.0), ("0:45", 45.0)]
)
def test_minutes_are_read_as_people_write_them(text: str, seconds: float) -> None:
    assert minutes_typed(text) == pytest.approx(seconds)


@pytest.mark.parametrize("text", ["", "soon", "0", "-3", "7:75", "7:x", "nan", "1e9", "8:nan"])
def test_what_is_no_number_of_minutes_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(FixableError, match="8 or 7:30"):
        minutes_typed(text)


def test_a_guess_is_read_back_from_its_event() -> None:
    action = Action(100.0, 0.0, ActionKind.GUESS, guess_detail(75.0, 480.0))
    assert action.detail == "75.0 480"
    assert read_guess(action) == Guess(75.0, 100.0, 480.0)


@pytest.mark.parametrize("detail", ["", "75", "75 soon", "75 nan", "75 1 2"])
def test_a_damaged_guess_is_none(detail: str) -> None:
    assert read_guess(Action(0.0, 0.0, ActionKind.GUESS, detail)) is None
    assert read_guess(Action(0.0, 0.0, ActionKind.NOTE, "75.0 480")) is None


def test_the_crossing_lies_between_the_readings_around_it() -> None:
    times_s, temps_c = np.array([0.0, 60.0, 120.0, 180.0]), np.array([78.0, 76.0, 74.0, 73.0])
    assert fell_to_s(times_s, temps_c, 75.0, 0.0) == pytest.approx(90.0)
    assert fell_to_s(times_s, temps_c, 72.0, 0.0) is None
    assert fell_to_s(times_s, temps_c, 75.0, 120.0) is None, "it was below already"


def test_a_guess_is_late_or_early_by_the_difference() -> None:
    times_s, temps_c = np.array([100.0, 500.0, 520.0]), np.array([82.0, 75.5, 74.5])
    came = outcome(Guess(75.0, 100.0, 480.0), FORECAST, times_s, temps_c)
    assert came.took_s == pytest.approx(410.0)
    assert came.guess_off_s == pytest.approx(70.0)
    assert came.forecast_off_s == pytest.approx(-30.0)
    assert came.band_held
    assert outcome_words(OIL, came) == (
        "The oil window opened after 6:50. You said 8:00, the forecast said 6:20 (5:50 to 7:10)."
    )


def test_what_heat_or_oil_disturbed_is_not_judged() -> None:
    times_s, temps_c = np.array([100.0, 500.0, 520.0]), np.array([82.0, 75.5, 74.5])
    came = outcome(Guess(75.0, 100.0, 480.0), FORECAST, times_s, temps_c, disturbed_s=505.0)
    assert came == Outcome(Guess(75.0, 100.0, 480.0), FORECAST, None)
    assert (came.guess_off_s, came.forecast_off_s, came.band_held) == (None, None, None)
    assert outcome_words(OIL, came) == ""


def test_a_recorded_melt_tells_what_guess_and_forecast_were_worth() -> None:
    hob = off_the_heat(Hob())
    at_s, foretold = hob.now_s, hob.melt.state.step.crossing
    assert foretold is not None
    hob.apply(Action(at_s, 0.0, ActionKind.GUESS, guess_detail(75.0, 300.0)))
    hob.ramp(81.0, 74.0, 1.0)
    (came,) = outcomes(hob.events)
    assert came.guess == Guess(75.0, at_s, 300.0)
    # 6 °C at 1 °C a minute.
    assert came.took_s == pytest.approx(360.0, abs=2.0)
    assert came.guess_off_s == pytest.approx(-60.0, abs=2.0)
    assert came.forecast is not None and came.forecast.in_s == pytest.approx(foretold.in_s, rel=0.02)
    assert math.isfinite(came.forecast.high_s)


def test_a_guess_that_the_oil_cut_short_is_not_judged_later() -> None:
    hob = off_the_heat(Hob())
    hob.apply(Action(hob.now_s, 0.0, ActionKind.GUESS, guess_detail(75.0, 300.0)))
    hob.ramp(81.0, 77.0, 1.0)
    hob.do(ActionKind.OIL_IN)
    hob.ramp(77.0, 73.0, 2.0)
    assert hob.melt.stage is Stage.OIL_IN
    (came,) = outcomes(hob.events)
    assert came.took_s is None


def test_a_melt_without_guesses_has_no_outcomes() -> None:
    assert outcomes(off_the_heat(Hob()).events) == ()
