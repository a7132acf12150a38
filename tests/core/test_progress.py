"""Stages set, noticed and undone."""

import pytest

from candlebench.core.events import Action, ActionKind, Stage
from candlebench.core.progress import Progress

STEPS = [
    (ActionKind.MELTED, Stage.MELTED),
    (ActionKind.OFF_HEAT, Stage.OFF_HEAT),
    (ActionKind.OIL_IN, Stage.OIL_IN),
    (ActionKind.STIRRED, Stage.STIRRED),
    (ActionKind.POURED, Stage.POURED),
]


def _do(progress: Progress, kind: ActionKind, at_s: float, temp_c: float | None = 80.0) -> Progress:
    return progress.after(Action(at_s, 1e9 + at_s, kind), temp_c)


def _all(until: ActionKind) -> Progress:
    progress = Progress.begun(0.0)
    for number, (kind, _) in enumerate(STEPS, 1):
        progress = _do(progress, kind, 100.0 * number)
        if kind is until:
            return progress
    raise AssertionError(until)


@pytest.mark.parametrize(("kind", "stage"), STEPS)
def test_one_action_sets_a_stage_and_a_minute_takes_it_back(kind: ActionKind, stage: Stage) -> None:
    before = Progress.begun(0.0)
    after = _do(before, kind, 100.0, 81.5)
    assert after.stage is stage
    assert (after.marks[-1].at_s, after.marks[-1].temp_c, after.marks[-1].automatic) == (100.0, 81.5, False)
    assert after.undone(160.0) == before
    assert after.undone(160.1) is after


@pytest.mark.parametrize(("kind", "stage"), STEPS)
def test_only_melted_leaves_it_on_the_heat(kind: ActionKind, stage: Stage) -> None:
    assert _do(Progress.begun(0.0), kind, 50.0).on_heat is (stage is Stage.MELTED)


def test_a_whole_melt_has_one_mark_a_stage_in_order() -> None:
    assert [mark.stage for mark in _all(ActionKind.POURED).marks] == list(Stage)


def test_two_quick_slips_are_undone_one_after_the_other() -> None:
    begun = Progress.begun(0.0)
    progress = _do(_do(begun, ActionKind.MELTED, 10.0), ActionKind.OFF_HEAT, 20.0)
    assert progress.undone(30.0).stage is Stage.MELTED
    assert progress.undone(30.0).undone(31.0) == begun


def test_what_was_noticed_can_be_undone_for_a_minute_after_it_was_said() -> None:
    noticed = _all(ActionKind.MELTED).reached(Stage.OFF_HEAT, 300.0, 84.0, noticed_s=400.0)
    assert (noticed.stage_s, noticed.marks[-1].automatic) == (300.0, True)
    assert noticed.undone(459.0).stage is Stage.MELTED
    assert not noticed.can_undo(461.0)


def test_warmed_again_before_the_oil_it_is_melted_and_after_the_oil_it_stays() -> None:
    before_oil = _do(_all(ActionKind.OFF_HEAT), ActionKind.ON_HEAT, 900.0)
    assert (before_oil.stage, before_oil.on_heat, before_oil.melted_s) == (Stage.MELTED, True, 900.0)
    assert Stage.OFF_HEAT not in [mark.stage for mark in before_oil.marks]
    stirred = _do(_all(ActionKind.STIRRED), ActionKind.ON_HEAT, 900.0)
    assert (stirred.stage, stirred.on_heat) == (Stage.STIRRED, True)
    off = _do(stirred, ActionKind.OFF_HEAT, 1000.0)
    assert (off.stage, off.on_heat, off.heat_since_s, off.word) == (
        Stage.STIRRED,
        False,
        1000.0,
        "off the heat",
    )
    assert off.undone(1010.0) == stirred


def test_a_lift_that_was_taken_back_stays_known_though_it_counts_no_more() -> None:
    off = _all(ActionKind.OFF_HEAT)
    again = _do(off, ActionKind.ON_HEAT, 900.0)
    assert [(mark.stage, mark.at_s) for mark in again.lifts] == [(Stage.OFF_HEAT, 200.0)]
    twice = _do(_do(again, ActionKind.OFF_HEAT, 1000.0), ActionKind.ON_HEAT, 1100.0)
    assert [mark.at_s for mark in twice.lifts] == [200.0, 1000.0]
    assert again.undone(910.0).lifts == ()


def test_on_the_heat_counts_from_when_it_is_known() -> None:
    begun = Progress.begun(0.0)
    assert begun.heated_from(75.0).heat_since_s == 75.0
    assert begun.heated_from(75.0).stage_s == 0.0


def test_a_note_or_heat_down_moves_nothing() -> None:
    begun = Progress.begun(0.0)
    assert _do(begun, ActionKind.NOTE, 5.0) is begun
    assert _do(begun, ActionKind.HEAT_DOWN, 5.0) is begun
