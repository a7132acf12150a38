"""What the steps that a person presses do to the practice melt, and what undo takes back."""

from functools import cache

import pytest

from candlebench.core.errors import FixableError
from candlebench.core.events import ActionKind
from candlebench.practice.hands import Hands
from candlebench.practice.melt import PracticeMelt
from candlebench.practice.moment import Snapshot
from candlebench.practice.scenario_file import load_scenario

FIRST_JUG = load_scenario("first-jug")


@cache
def moment(minute: float) -> Snapshot:
    melt = PracticeMelt(FIRST_JUG, seed=1)
    melt.step_to(minute * 60.0)
    return melt.snapshot()


def at_minute(minute: float) -> tuple[PracticeMelt, Hands]:
    melt = PracticeMelt(FIRST_JUG, seed=1)
    melt.restore(moment(minute))
    return melt, Hands(melt)


def later(melt: PracticeMelt, seconds: float) -> PracticeMelt:
    melt.step_to(melt.elapsed_s + seconds)
    return melt


def test_off_the_heat_lifts_the_jug_and_turns_the_hob_off() -> None:
    melt, hands = at_minute(26)
    hands.do(ActionKind.OFF_HEAT)
    assert not melt.on_bath and melt.heat_fraction == 0.0
    assert later(melt, 600.0).wax_c < 80.0


def test_on_the_heat_again_warms_it_gently() -> None:
    melt, hands = at_minute(26)
    hands.do(ActionKind.OFF_HEAT)
    later(melt, 1200.0)
    before_c = melt.wax_c
    hands.do(ActionKind.ON_HEAT)
    assert melt.on_bath and 0.0 < melt.heat_fraction < 1.0
    assert later(melt, 480.0).wax_c > before_c + 3.0


def test_heat_down_turns_the_hob_low_and_never_up() -> None:
    melt, hands = at_minute(5)
    hands.do(ActionKind.HEAT_DOWN)
    assert melt.heat_fraction == FIRST_JUG.hob.low_fraction
    melt.set_heat(0.05)
    hands.do(ActionKind.HEAT_DOWN)
    assert melt.heat_fraction == 0.05


def test_the_knob_goes_where_it_is_turned_up_or_down() -> None:
    melt, hands = at_minute(5)
    for detail, share in (("0.3", 0.3), ("0,85", 0.85), ("1", 1.0), ("0", 0.0)):
        hands.do(ActionKind.HEAT_SET, detail)
        assert melt.heat_fraction == share
    hands.do(ActionKind.HEAT_DOWN)
    assert melt.heat_fraction == 0.0


@pytest.mark.parametrize("detail", ["", "high", "1.5", "-0.1", "nan"])
def test_a_knob_turned_to_no_share_of_full_power_is_refused_and_stays(detail: str) -> None:
    melt, hands = at_minute(5)
    with pytest.raises(FixableError, match="from 0 to 1"):
        hands.do(ActionKind.HEAT_SET, detail)
    assert melt.heat_fraction == 1.0


def test_oil_stirred_and_poured_reach_the_melt() -> None:
    melt, hands = at_minute(24)
    hands.do(ActionKind.OFF_HEAT)
    hands.do(ActionKind.OIL_IN)
    assert melt.oil_g == 43.0
    hands.do(ActionKind.STIRRED)
    later(melt, 60.0)
    assert melt.oil_c == pytest.approx(melt.wax_c, abs=0.3)
    hands.do(ActionKind.POURED)
    assert melt.ledger.poured_j > 100e3


def test_notes_and_acknowledgements_move_nothing() -> None:
    melt, hands = at_minute(20)
    alone, _ = at_minute(20)
    for kind in (ActionKind.NOTE, ActionKind.ACKNOWLEDGE, ActionKind.MELTED, ActionKind.FINISHED):
        hands.do(kind)
    assert later(melt, 60.0).wax_c == later(alone, 60.0).wax_c


@pytest.mark.parametrize(
    "kind", [ActionKind.OFF_HEAT, ActionKind.OIL_IN, ActionKind.STIRRED, ActionKind.POURED, ActionKind.MELTED]
)
def test_undo_makes_the_melt_as_though_the_step_had_not_been_done(kind: ActionKind) -> None:
    melt, hands = at_minute(25)
    alone, _ = at_minute(25)
    hands.do(kind)
    later(melt, 30.0)
    hands.do(ActionKind.UNDO)
    later(alone, 30.0)
    assert melt.elapsed_s == alone.elapsed_s
    assert (melt.wax_c, melt.bath_c, melt.probe_c, melt.oil_g) == (
        alone.wax_c,
        alone.bath_c,
        alone.probe_c,
        alone.oil_g,
    )


def test_undo_takes_back_the_last_step_only_and_each_once() -> None:
    melt, hands = at_minute(25)
    hands.do(ActionKind.OFF_HEAT)
    later(melt, 10.0)
    hands.do(ActionKind.OIL_IN)
    later(melt, 10.0)
    hands.do(ActionKind.UNDO)
    assert melt.oil_g == 0.0 and not melt.on_bath
    hands.do(ActionKind.UNDO)
    assert melt.on_bath
    hands.do(ActionKind.UNDO)
    assert melt.on_bath


def test_a_step_older_than_a_minute_is_not_undone() -> None:
    melt, hands = at_minute(25)
    hands.do(ActionKind.OFF_HEAT)
    later(melt, 61.0)
    hands.do(ActionKind.UNDO)
    assert not melt.on_bath


def test_undoing_a_stage_leaves_the_heat_that_was_turned_down_since() -> None:
    # In a melt, turning the heat down is no stage: undo passes over it.
    melt, hands = at_minute(20)
    hands.do(ActionKind.MELTED)
    later(melt, 10.0)
    hands.do(ActionKind.HEAT_DOWN)
    later(melt, 10.0)
    hands.do(ActionKind.UNDO)
    assert melt.heat_fraction == FIRST_JUG.hob.low_fraction
    other, other_hands = at_minute(20)
    later(other, 10.0)
    other_hands.do(ActionKind.HEAT_DOWN)
    assert later(other, 10.0).wax_c == melt.wax_c


def test_undoing_off_the_heat_keeps_the_knob_where_it_was_turned_since() -> None:
    melt, hands = at_minute(20)
    hands.do(ActionKind.HEAT_SET, "0.8")
    hands.do(ActionKind.OFF_HEAT)
    assert melt.heat_fraction == 0.0
    later(melt, 10.0)
    hands.do(ActionKind.UNDO)
    assert melt.heat_fraction == 0.8 and melt.on_bath
    hands.do(ActionKind.OFF_HEAT)
    later(melt, 5.0)
    hands.do(ActionKind.HEAT_SET, "0.3")
    later(melt, 5.0)
    hands.do(ActionKind.UNDO)
    assert melt.heat_fraction == 0.3 and melt.on_bath
