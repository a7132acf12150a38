"""A recorded melt told in order."""

from dataclasses import replace

import pytest
from recording import BEGAN_WALL_S, SETUP, Recording, melt

from candlebench.core.debrief.story import Turn, story_of
from candlebench.core.events import ActionKind, SetupChanged, Stage
from candlebench.core.melt import Melt


def test_the_story_has_the_stages_that_the_melt_itself_has() -> None:
    recording = melt()
    state = Melt.replayed(recording.events).picture(with_fan=False)
    story = story_of(recording.events)
    assert story.marks == state.marks
    assert story.curve.temps_c.tolist() == state.temps_c.tolist()


def test_what_was_undone_did_not_happen() -> None:
    recording = Recording().ramp(70.0, 80.0, 5.0).do(ActionKind.OFF_HEAT)
    recording.ramp(80.0, 79.5, 1.0).do(ActionKind.OIL_IN).read(79.4).do(ActionKind.UNDO)
    story = story_of(recording.events)
    assert story.mark(Stage.OIL_IN) is None
    assert story.at(Stage.OFF_HEAT) == 121.0


def test_an_undone_lift_leaves_the_jug_on_the_heat() -> None:
    recording = Recording().ramp(70.0, 80.0, 5.0).do(ActionKind.OFF_HEAT).read(80.0).do(ActionKind.UNDO)
    recording.ramp(80.0, 82.0, 5.0)
    story = story_of(recording.events)
    assert story.turns == (Turn(0.0, True),)
    assert story.on_heat_spans() == ((0.0, recording.now_s),)


def test_a_jug_lifted_unsaid_is_off_the_heat_from_its_hottest_moment() -> None:
    recording = Recording().ramp(70.0, 80.0, 5.0)
    peak_s = recording.now_s
    recording.ramp(80.0, 76.0, 1.0)
    story = story_of(recording.events)
    mark = story.mark(Stage.OFF_HEAT)
    assert mark is not None and mark.automatic
    assert mark.at_s == pytest.approx(peak_s, abs=3.0)
    assert story.on_heat_spans()[0][1] == mark.at_s


def test_a_second_warming_is_a_second_span_on_the_heat() -> None:
    recording = Recording().ramp(70.0, 78.0, 4.0).do(ActionKind.OFF_HEAT).ramp(78.0, 76.0, 1.0)
    off_s, on_s = 121.0, recording.now_s
    recording.do(ActionKind.ON_HEAT).ramp(76.0, 78.0, 2.0).do(ActionKind.OFF_HEAT)
    assert story_of(recording.events).on_heat_spans() == ((0.0, off_s), (on_s, recording.now_s))


def test_a_reading_that_cannot_be_is_left_out_of_the_curve() -> None:
    recording = Recording().ramp(60.0, 62.0, 2.0).read(400.0).ramp(62.0, 63.0, 2.0)
    assert story_of(recording.events).curve.temps_c.max() == 63.0


def test_a_correction_counts_for_the_whole_melt() -> None:
    recording = Recording().ramp(60.0, 62.0, 2.0)
    corrected = replace(SETUP, room_c=15.0)
    recording.events.append(SetupChanged(recording.now_s, BEGAN_WALL_S, corrected))
    assert story_of(recording.events).setup == corrected


def test_the_knob_and_guesses_are_kept_and_what_cannot_be_read_is_passed_over() -> None:
    recording = Recording().ramp(60.0, 62.0, 2.0).do(ActionKind.HEAT_SET, "0.4").do(ActionKind.HEAT_DOWN)
    recording.do(ActionKind.GUESS, "75.0 420").do(ActionKind.GUESS, "soon")
    story = story_of(recording.events)
    assert [knob.share for knob in story.knobs] == [0.4, None]
    assert [(guess.target_c, guess.in_s) for guess in story.guesses] == [(75.0, 420.0)]


def test_a_melt_without_a_beginning_is_refused() -> None:
    with pytest.raises(ValueError):
        story_of(melt().events[1:])


def test_a_jug_lifted_unsaid_after_a_second_warming_is_noticed_too() -> None:
    recording = Recording().ramp(70.0, 84.0, 5.0).do(ActionKind.OFF_HEAT).ramp(84.0, 72.0, 1.0)
    recording.do(ActionKind.ON_HEAT).ramp(72.0, 78.0, 3.0)
    second_peak_s = recording.now_s
    recording.ramp(78.0, 75.0, 1.0)
    mark = story_of(recording.events).mark(Stage.OFF_HEAT)
    assert mark is not None and mark.automatic
    assert mark.at_s == pytest.approx(second_peak_s, abs=3.0)
