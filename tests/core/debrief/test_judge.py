"""The whole debrief: forecasts, guesses, words."""

import numpy as np
import pytest
from recording import Recording, melt

from candlebench.core.debrief.curve import Curve
from candlebench.core.debrief.foreseen import foretold_rows, guess_row
from candlebench.core.debrief.judge import debrief_of, full_debrief
from candlebench.core.debrief.rows import caption, rows
from candlebench.core.events import ActionKind, Stage
from candlebench.core.state import Level
from candlebench.core.track_record import KeptForecast, Outcome
from candlebench.core.units import Shown


def guessed(in_s: float) -> Recording:
    """Off the heat at 84, a guess for 75 at 80; at 1 K/min it takes 300 s."""
    recording = Recording().ramp(60.0, 84.0, 4.0).do(ActionKind.OFF_HEAT).ramp(84.0, 80.0, 1.0)
    recording.do(ActionKind.GUESS, f"75.0 {in_s:.0f}")
    return recording.ramp(80.0, 73.0, 1.0).do(ActionKind.OIL_IN).ramp(73.0, 70.0, 3.0)


def test_a_guess_is_held_against_the_curve() -> None:
    (outcome,) = debrief_of(guessed(240.0).events).guesses
    assert outcome.took_s == pytest.approx(301.0, abs=1.0)
    assert guess_row(outcome, Shown()).value == "1:01 too early"


def test_the_forecast_of_the_same_moment_stands_beside_the_guess() -> None:
    (outcome,) = full_debrief(guessed(240.0).events).guesses
    assert outcome.forecast_off_s is not None and abs(outcome.forecast_off_s) < 60.0
    assert "the forecast" in guess_row(outcome, Shown()).value


def test_a_guess_for_what_never_came_is_not_judged() -> None:
    recording = Recording().ramp(60.0, 84.0, 4.0).do(ActionKind.OFF_HEAT).ramp(84.0, 80.0, 1.0)
    recording.do(ActionKind.GUESS, "75.0 300").do(ActionKind.OIL_IN).ramp(78.0, 72.0, 1.0)
    (outcome,) = debrief_of(recording.events).guesses
    assert outcome.took_s is None and not guess_row(outcome, Shown()).known


def kept(
    what: str, lead_s: float, in_s: float, took_s: float, made_s: float, outcome: Outcome
) -> KeptForecast:
    return KeptForecast(what, 75.0, lead_s, made_s, 0.8 * in_s, in_s, 1.2 * in_s, 1.0, outcome, took_s)


def test_forecasts_count_at_five_and_two_minutes_when_they_were_settled_in_the_jug() -> None:
    recording = melt()
    story = debrief_of(recording.events).story
    off_s = story.at(Stage.OFF_HEAT)
    assert off_s is not None
    # The curve falls through 75 three minutes after it came off at 78.
    five = kept("oil window opens", 300.0, 190.0, 180.0, off_s, Outcome.INSIDE)
    two = kept("oil window opens", 120.0, 100.0, 120.0, off_s + 60.0, Outcome.LATE)
    ten = kept("oil window opens", 600.0, 500.0, 600.0, off_s - 420.0, Outcome.INSIDE)
    dropped = kept("oil window opens", 300.0, 190.0, 0.0, off_s, Outcome.OVERTAKEN)
    poured = kept("pour window opens", 120.0, 100.0, 5000.0, off_s, Outcome.LATE)
    debrief = debrief_of(recording.events, None, (ten, five, two, dropped, poured))
    assert debrief.foretold == (five, two)
    (row,) = foretold_rows(debrief.foretold)
    assert row.value == (
        "Said 5 min before: 0:10 too late, inside its band; 2 min before: 0:20 too early, outside its band"
    )
    assert row.level is Level.WARNING and "1 of 2" in row.why


def test_a_whole_melt_keeps_its_own_forecasts() -> None:
    debrief = full_debrief(melt(off_c=84.0).events)
    assert {each.lead_s for each in debrief.foretold} <= {300.0, 120.0}
    assert any(each.what == "oil window opens" for each in debrief.foretold)


def test_rows_say_what_is_an_estimate() -> None:
    debrief = debrief_of(melt(off_c=90.0, oil_c=81.0, pour_c=75.0).events)
    by_name = {row.name: row for row in rows(debrief, Shown())}
    assert "~" in by_name["Oil in"].why
    assert "estimate" in by_name["Scent kept"].why and "open jug" in by_name["Scent kept"].why
    assert by_name["Oil in"].level is Level.WARNING
    assert "true temperature" not in caption(debrief)
    assert "local rules come first" in caption(debrief)


def test_rows_have_a_unit_with_every_temperature() -> None:
    debrief = debrief_of(melt().events)
    values = {row.name: row.value for row in rows(debrief, Shown("F"))}
    assert values["Oil in"] == "163.4 °F, inside"
    assert values["Highest"] == "172.4 °F"


def test_past_the_stop_limit_a_row_shows_danger() -> None:
    debrief = debrief_of(melt(off_c=97.0).events)
    by_name = {row.name: row for row in rows(debrief, Shown())}
    assert by_name["Highest"].level is Level.DANGER and by_name["Too hot"].level is Level.DANGER


def test_a_single_reading_at_the_limit_has_reached_it() -> None:
    recording = Recording(every_s=60.0).read(70.0).read(85.0).do(ActionKind.OFF_HEAT).read(80.0)
    debrief = debrief_of(recording.events)
    by_name = {row.name: row for row in rows(debrief, Shown())}
    assert debrief.heat.reached_strong and not debrief.heat.reached_stop
    assert by_name["Highest"].level is Level.WARNING and by_name["Too hot"].level is Level.WARNING
    assert "just reached 85 °C" in by_name["Too hot"].why


def test_a_melt_that_just_began_shows_its_reading_and_judges_nothing() -> None:
    recording = Recording(every_s=0.0).read(21.0)
    by_name = {row.name: row for row in rows(debrief_of(recording.events), Shown())}
    assert by_name["Highest"].value == "21 °C"
    assert not any(row.known for row in by_name.values())
    empty = {row.name: row for row in rows(debrief_of(Recording().events), Shown())}
    assert not empty["Too hot"].known and not empty["Kept melted"].known


def test_a_row_says_how_old_the_reading_was() -> None:
    recording = Recording(every_s=60.0).read(79.0).read(76.0).do(ActionKind.OFF_HEAT)
    recording.now_s += 10.0
    by_name = {row.name: row for row in rows(debrief_of(recording.do(ActionKind.OIL_IN).events), Shown())}
    assert by_name["Oil in"].value == "76 °C (read 0:10 before), 1.0 °C too hot"
    assert by_name["Oil in"].level is Level.WARNING and "never open" not in by_name["Oil in"].why


def test_stirring_that_cost_the_pour_window_is_no_tick() -> None:
    long, right = (debrief_of(melt(oil_c=73.0, pour_c=66.0, stir_s=s).events) for s in (165.0, 60.0))
    stirred = {row.name: row for row in rows(long, Shown())}["Stirred"]
    assert stirred.level is Level.WARNING and "closed 0:" in stirred.why
    assert {row.name: row for row in rows(right, Shown())}["Stirred"].level is Level.CALM


def test_an_empty_truth_is_no_truth() -> None:
    debrief = debrief_of(melt().events, Curve(np.empty(0), np.empty(0)))
    assert debrief.truth is None and debrief.judged is debrief.story.curve


def test_every_kind_of_unfinished_melt_can_be_put_into_words() -> None:
    whole = melt().events
    for count in range(1, len(whole), 7):
        debrief = debrief_of(whole[:count])
        assert rows(debrief, Shown())
