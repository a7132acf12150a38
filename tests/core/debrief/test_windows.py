"""Oil and pour against their windows."""

from dataclasses import replace

import numpy as np
import pytest
from recording import LIMITS, PLAIN, SETUP, Recording, melt

from candlebench.core.debrief.chance import off_by
from candlebench.core.debrief.curve import Curve
from candlebench.core.debrief.judge import debrief_of
from candlebench.core.events import ActionKind, Stage
from candlebench.core.setup import Oil


def test_a_melt_done_right_is_inside_both_windows() -> None:
    debrief = debrief_of(melt().events)
    assert debrief.oil is not None
    assert (debrief.oil.temp_c, debrief.oil.off_by_c) == (73.0, 0.0)
    assert (debrief.oil.landed_c, debrief.oil.landed_off_c) == (70.0, 0.0)
    assert debrief.oil.stirring_s == pytest.approx(61.0)
    assert (debrief.pour.temp_c, debrief.pour.off_by_c) == (69.5, 0.0)


@pytest.mark.parametrize(("oil_c", "off_c"), [(81.0, 6.0), (75.0, 0.0), (71.6, 0.0)])
def test_oil_is_off_by_what_lies_above_the_window(oil_c: float, off_c: float) -> None:
    oil = debrief_of(melt(off_c=84.0, oil_c=oil_c, pour_c=66.0).events).oil
    assert oil is not None and oil.off_by_c == pytest.approx(off_c)


@pytest.mark.parametrize("oil_c", [69.0, 70.0, 71.0])
def test_oil_is_too_cool_by_what_lies_under_the_useful_end_of_its_window(oil_c: float) -> None:
    # At 1 K/min: 68 + 1 K of stirring + 2.3 K of chill is 71.3.
    oil = debrief_of(melt(off_c=84.0, oil_c=oil_c, pour_c=66.0).events).oil
    assert oil is not None and oil.off_by_c == pytest.approx(oil_c - oil.chance.window.end_c)
    assert oil.chance.window.end_c == pytest.approx(71.3, abs=0.1)


@pytest.mark.parametrize("oil_c", [79.0, 75.2, 75.05, 74.0, 71.5, 71.25, 71.0, 70.0, 68.0])
def test_tick_and_interval_are_one_rule(oil_c: float) -> None:
    oil = debrief_of(melt(off_c=84.0, oil_c=oil_c, pour_c=66.0).events).oil
    assert oil is not None and oil.done_s is not None
    in_a_span = any(from_s <= oil.done_s <= to_s for from_s, to_s in oil.chance.spans)
    assert in_a_span is (oil.off_by_c == 0.0)


def test_the_window_is_not_open_while_a_lifted_jug_rises_above_it() -> None:
    # Lifted at 74 and still rising to 77 from the jug's wall, then down.
    recording = Recording().ramp(60.0, 74.0, 4.0).do(ActionKind.OFF_HEAT).ramp(74.0, 77.0, 3.0)
    recording.ramp(77.0, 73.0, 1.0).do(ActionKind.OIL_IN)
    oil = debrief_of(recording.events).oil
    assert oil is not None and len(oil.chance.spans) == 2
    (_, first_to_s), (then_s, _) = oil.chance.spans
    # 20 s from 74 to 75 at 3 K/min, then 40 s above and two minutes down to 75.
    assert then_s - first_to_s == pytest.approx(40.0 + 120.0, abs=4.0)


def typed(*temps_c: float) -> Recording:
    recording = Recording(every_s=60.0)
    for temp_c in temps_c:
        recording.read(temp_c)
    return recording


def test_a_typed_reading_of_ten_seconds_ago_is_what_the_oil_and_the_pour_are_judged_by() -> None:
    recording = typed(79.0, 76.0).do(ActionKind.OFF_HEAT)
    recording.now_s += 10.0
    recording.do(ActionKind.OIL_IN)
    debrief = debrief_of(recording.events)
    assert debrief.oil is not None
    assert (debrief.oil.temp_c, debrief.oil.read_before_s) == (76.0, 10.0)
    assert debrief.oil.off_by_c == pytest.approx(1.0)
    assert debrief.oil.chance.opened_s is not None and debrief.oil.chance.opened_s > recording.now_s


def test_a_typed_reading_too_old_judges_nothing() -> None:
    recording = typed(79.0, 76.0).do(ActionKind.OFF_HEAT)
    recording.now_s += 130.0
    oil = debrief_of(recording.do(ActionKind.OIL_IN).events).oil
    assert oil is not None and oil.temp_c is None and oil.off_by_c is None


def test_a_pour_without_a_reading_since_the_oil_counts_the_oils_chill() -> None:
    recording = typed(79.0, 76.0).do(ActionKind.OFF_HEAT).do(ActionKind.OIL_IN)
    recording.now_s += 20.0
    debrief = debrief_of(recording.do(ActionKind.POURED).events)
    assert debrief.pour.chilled and debrief.pour.temp_c is not None
    # 43 g of oil at 21 in 677 g of wax: about 2.7 K (O84).
    assert debrief.pour.temp_c == pytest.approx(76.0 - 2.7, abs=0.3)
    assert debrief.oil is not None and debrief.oil.landed_c is None


def test_what_is_typed_after_the_oil_does_not_lower_what_the_oil_went_in_at() -> None:
    recording = typed(79.0, 76.0, 74.0).do(ActionKind.OFF_HEAT)
    recording.now_s += 5.0
    recording.do(ActionKind.OIL_IN).read(71.0)
    oil = debrief_of(recording.events).oil
    assert oil is not None and oil.temp_c == 74.0


def test_the_window_was_open_when_the_curve_was_in_it() -> None:
    # Off at 78 (121 + 216 s in), down at 1 K/min: 75 three minutes later.
    recording = melt(oil_c=69.0)
    debrief = debrief_of(recording.events)
    off_s = debrief.story.at(Stage.OFF_HEAT)
    assert debrief.oil is not None and off_s is not None
    chance = debrief.oil.chance
    assert chance.opened_s == pytest.approx(off_s + 180.0, abs=2.0)
    # The useful end is about 71.4: what is left of the window after chill and stirring.
    assert chance.closed_s == pytest.approx(off_s + (78.0 - chance.window.end_c) * 60.0, abs=2.0)
    assert chance.best_s is not None and chance.opened_s < chance.best_s < chance.closed_s
    assert not chance.estimated(chance.closed_s)


def test_oil_too_early_leaves_an_estimate_of_when_it_would_have_been_right() -> None:
    # At 1 K/min the window opens 6 min after 81; the drawn-on curve cools by Newton's law from that rate.
    oil = debrief_of(melt(off_c=90.0, oil_c=81.0, pour_c=75.0).events).oil
    assert oil is not None and oil.chance.opened_s is not None and oil.done_s is not None
    assert oil.chance.estimated(oil.chance.opened_s)
    assert oil.chance.opened_s - oil.done_s == pytest.approx(360.0, rel=0.15)


def test_a_pour_too_hot_leaves_an_estimate_of_how_long_to_wait() -> None:
    pour = debrief_of(melt(oil_c=74.9, pour_c=73.0, stir_s=30.0).events).pour
    assert pour.off_by_c is not None and pour.off_by_c > 0.0
    assert pour.chance.opened_s is not None and pour.done_s is not None
    wait_s = pour.chance.opened_s - pour.done_s
    assert wait_s == pytest.approx(pour.off_by_c * 60.0, rel=0.25)


def test_a_jug_below_the_window_from_the_start_never_had_a_chance() -> None:
    pour = debrief_of(melt(oil_c=70.0, pour_c=60.0).events).pour
    assert pour.chance.opened_s is None and pour.off_by_c is not None and pour.off_by_c < 0.0


def test_oil_late_in_its_window_lands_under_the_pour_window() -> None:
    oil = debrief_of(melt(oil_c=70.2, pour_c=67.0).events).oil
    assert oil is not None and oil.off_by_c is not None and oil.off_by_c < 0.0
    assert oil.chance.closed_s is not None and oil.done_s is not None and oil.chance.closed_s < oil.done_s
    assert oil.landed_off_c == pytest.approx(-0.8)


def test_where_no_temperature_is_safe_nothing_is_called_right() -> None:
    closed = replace(SETUP, limits=replace(LIMITS, oil_high_c=66.0), oil=Oil("orange", 60.0, None, 76.0))
    oil = debrief_of(melt(setup=closed).events).oil
    assert oil is not None and not oil.chance.safe
    assert oil.off_by_c is None and oil.chance.best_s is None


def test_oil_added_on_the_heat_is_seen() -> None:
    recording = Recording().ramp(60.0, 74.0, 4.0).do(ActionKind.OIL_IN).ramp(74.0, 71.0, 2.0)
    oil = debrief_of(recording.events).oil
    assert oil is not None and oil.on_heat


def test_a_jug_seen_to_cool_is_not_accused_of_standing_on_the_heat() -> None:
    # Typed every two minutes and "off the heat" never said.
    recording = Recording(every_s=120.0)
    for temp_c in (70.0, 76.0, 80.0, 78.0, 76.0, 74.0):
        recording.read(temp_c)
    oil = debrief_of(recording.do(ActionKind.OIL_IN).events).oil
    assert oil is not None and not oil.on_heat
    assert oil.chance.opened_s is not None


def test_a_plain_candle_has_a_pour_and_no_oil() -> None:
    debrief = debrief_of(melt(setup=PLAIN).events)
    assert debrief.oil is None
    assert debrief.pour.off_by_c == 0.0 and debrief.pour.chance.opened_s is not None


def test_a_melt_that_was_never_poured_is_judged_as_far_as_it_came() -> None:
    recording = Recording().ramp(60.0, 79.0, 4.0).do(ActionKind.OFF_HEAT).ramp(79.0, 72.0, 1.0)
    debrief = debrief_of(recording.events)
    assert debrief.pour.done_s is None and debrief.pour.off_by_c is None
    assert debrief.oil is not None and debrief.oil.chance.opened_s is not None


def test_the_truth_is_judged_where_it_is_known() -> None:
    recording = melt(oil_c=75.0)
    times_s = np.arange(0.0, recording.now_s + 1.0)
    story = debrief_of(recording.events).story
    truth = Curve(times_s, np.interp(times_s, story.curve.times_s, story.curve.temps_c) - 1.5)
    oil = debrief_of(recording.events, truth).oil
    assert oil is not None and oil.temp_c == pytest.approx(73.5)


def test_less_than_a_tenth_of_a_kelvin_is_no_fault() -> None:
    assert off_by(75.05, 70.0, 75.0) == 0.0
    assert off_by(75.2, 70.0, 75.0) == pytest.approx(0.2)
    assert off_by(None, 70.0, 75.0) is None
