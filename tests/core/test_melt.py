"""A melt is the fold of its events: practice melts and written curves through all of its rules."""

from collections.abc import Iterable
from dataclasses import replace

import numpy as np
import pytest
from kitchen import BEGAN_WALL_S, LIMITS, SETUP, Hob

from candlebench.core.events import ActionKind, Gap, ProbeTrouble, Reading, SetupChanged, Stage
from candlebench.core.melt import Melt
from candlebench.core.units import Shown
from candlebench.practice.recipe import setup_of
from candlebench.practice.scenario_file import load_scenario
from candlebench.practice.whole_melt import PracticeRow, whole_melt


@pytest.fixture(scope="module")
def rows() -> list[PracticeRow]:
    return list(whole_melt(load_scenario("first-jug"), 1, every_s=3.0))


def _played(rows: Iterable[PracticeRow], shown: Shown | None = None, deaf: bool = False) -> Hob:
    """The practice melt with its maker's steps; `deaf`: nobody says that it is off the heat."""
    hob = Hob(setup_of(load_scenario("first-jug")), shown or Shown())
    for row in rows:
        hob.read(row.temp_c, row.elapsed_s - hob.now_s)
        if row.did and not (deaf and row.did == "off the heat"):
            hob.do(ActionKind(row.did))
    return hob


@pytest.fixture(scope="module")
def played(rows: list[PracticeRow]) -> Hob:
    return _played(rows)


def test_the_cues_of_a_practice_melt_come_in_order_and_name_the_oil(played: Hob) -> None:
    cues = played.codes("cue")
    wanted = ["ready", "oil_soon", "oil_open", "stirred_enough", "pour_open", "poured"]
    assert [code for code in cues if code in wanted] == wanted
    for code in ("oil_soon", "oil_open"):
        assert "43 g lavender oil (49 mL)" in played.first(code)[1].text
    assert played.melt.finished


def test_the_oil_cue_opens_within_a_few_seconds_of_the_true_crossing(
    played: Hob, rows: list[PracticeRow]
) -> None:
    peak = int(np.argmax([row.wax_c for row in rows]))
    true_s = next(row.elapsed_s for row in rows[peak:] if row.wax_c <= 75.0)
    assert played.first("oil_open")[0] == pytest.approx(true_s, abs=15.0)
    assert 60.0 <= true_s - played.first("oil_soon")[0] <= 300.0


def test_a_replayed_melt_is_the_same_melt(played: Hob) -> None:
    for count in (len(played.events) // 3, len(played.events) * 4 // 5):
        live = Melt()
        for event in played.events[:count]:
            live.apply(event)
            live.tick(event.elapsed_s)
        replayed = Melt.replayed(played.events[:count])
        # Asked together, targets share a grid: one more reading makes both melts ask for the same ones.
        now_s = live.now_s + 1.0
        for melt in (live, replayed):
            melt.apply(Reading(now_s, BEGAN_WALL_S + now_s, live.state.temp_c or 0.0, True))
        one, other = live.state, replayed.state
        assert np.array_equal(one.times_s, other.times_s) and np.array_equal(one.temps_c, other.temps_c)
        assert one.forecasts == other.forecasts
        for name in ("stage", "marks", "temp_c", "now_s", "on_heat", "undo", "probe", "step", "gaps"):
            assert getattr(one, name) == getattr(other, name), name


def test_fahrenheit_changes_words_only(rows: list[PracticeRow], played: Hob) -> None:
    cut = [row for row in rows if row.elapsed_s <= played.first("oil_open")[0]][::3]
    celsius, fahrenheit = _played(cut), _played(cut, Shown("F"))
    one, other = celsius.melt.state, fahrenheit.melt.state
    assert (one.marks, one.temp_c, one.forecasts) == (other.marks, other.temp_c, other.forecasts)
    assert [at_s for at_s, _ in celsius.said] == [at_s for at_s, _ in fahrenheit.said]
    assert "167 °F" in fahrenheit.first("oil_soon")[1].text and "75 °C" in celsius.first("oil_soon")[1].text
    assert "°C" not in "".join(notice.text for _, notice in fahrenheit.said)


def test_off_the_heat_is_noticed_in_the_practice_melt_when_nobody_says_so(rows: list[PracticeRow]) -> None:
    off_s = next(row.elapsed_s for row in rows if row.did == "off the heat")
    hob = _played([row for row in rows if off_s - 400.0 < row.elapsed_s < off_s + 300.0], deaf=True)
    mark = hob.melt.state.marks[-1]
    assert (mark.stage, mark.automatic) == (Stage.OFF_HEAT, True)
    assert mark.at_s == pytest.approx(off_s, abs=90.0)
    assert hob.first("off_heat_noticed")[0] <= off_s + 240.0


def test_a_noticed_stage_is_undone_with_one_action_and_stays_undone_until_it_rises_again() -> None:
    hob = Hob()
    hob.ramp(70.0, 84.0, 3.0, 2.0)
    while hob.melt.stage is not Stage.OFF_HEAT:
        hob.read((hob.melt.state.temp_c or 0.0) - 0.04, 2.0)
    assert hob.melt.state.undo == "off the heat"
    hob.do(ActionKind.UNDO)
    assert (hob.melt.stage, hob.melt.state.on_heat) == (Stage.WARMING, True)
    hob.ramp(82.5, 76.0, 1.5, 2.0)
    assert hob.melt.stage is Stage.WARMING
    hob.ramp(76.0, 84.0, 3.0, 2.0)
    hob.ramp(84.0, 81.0, 1.5, 2.0)
    assert hob.melt.stage is Stage.OFF_HEAT


def test_a_correction_of_the_setup_does_not_forget_that_she_disagreed() -> None:
    hob = Hob()
    hob.ramp(70.0, 84.0, 3.0, 2.0)
    while hob.melt.stage is not Stage.OFF_HEAT:
        hob.read((hob.melt.state.temp_c or 0.0) - 0.04, 2.0)
    hob.do(ActionKind.UNDO)
    hob.apply(SetupChanged(hob.now_s, BEGAN_WALL_S + hob.now_s, replace(SETUP, room_c=25.0)))
    hob.ramp(82.5, 76.0, 1.5, 2.0)
    assert hob.melt.stage is Stage.WARMING


def test_after_a_minute_nothing_is_undone() -> None:
    hob = Hob()
    hob.do(ActionKind.MELTED)
    hob.do(ActionKind.UNDO, after_s=61.0)
    assert hob.melt.stage is Stage.MELTED


def _missed_both() -> Hob:
    hob = Hob()
    hob.ramp(70.0, 82.0, 4.0, 5.0)
    hob.do(ActionKind.OFF_HEAT)
    hob.ramp(82.0, 68.5, 1.0, 5.0)
    return hob


def test_oil_cues_run_soon_open_last_call_missed_and_missed_says_warm_again() -> None:
    hob = _missed_both()
    assert [code for code in hob.codes("cue") if code.startswith("oil")] == [
        "oil_soon", "oil_open", "oil_last_call", "oil_missed",
    ]  # fmt: skip
    assert "Warm it again, gently" in hob.first("oil_missed")[1].text
    assert hob.melt.state.step.main is not None
    assert hob.melt.state.step.main.kind is ActionKind.ON_HEAT


def test_pour_cues_come_again_after_it_was_missed_and_warmed_again() -> None:
    hob = Hob(replace(SETUP, oil=None))
    hob.ramp(66.0, 74.0, 4.0, 5.0)
    hob.do(ActionKind.STIRRED)
    hob.ramp(74.0, 67.0, 1.0, 5.0)
    hob.do(ActionKind.ON_HEAT)
    before = len(hob.said)
    hob.ramp(67.0, 73.5, 3.0, 5.0)
    hob.do(ActionKind.OFF_HEAT)
    hob.ramp(73.5, 67.0, 1.0, 5.0)
    codes = [notice.code for _, notice in hob.said]
    for part in (codes[:before], codes[before:]):
        assert [c for c in part if c.startswith("pour_")] == [
            "pour_soon", "pour_open", "pour_last_call", "pour_missed",
        ]  # fmt: skip


def test_a_low_flash_point_leaves_no_window_and_no_button_for_the_oil() -> None:
    assert SETUP.oil is not None
    oil = replace(SETUP.oil, scented_flash_c=75.0)
    hob = Hob(replace(SETUP, oil=oil, limits=replace(LIMITS, oil_high_c=65.0)))
    hob.do(ActionKind.OFF_HEAT)
    hob.ramp(82.0, 72.0, 1.0, 10.0)
    step = hob.melt.state.step
    assert "Do not add" in step.headline and "75 °C" in step.reason
    assert step.main is not None and step.main.kind is ActionKind.POURED
    assert hob.codes("cue")[-1] == "oil_no_safe_window"


def test_a_number_typed_for_two_minutes_ago_is_put_in_its_place() -> None:
    hob = Hob()
    hob.ramp(60.0, 70.0, 2.0, 5.0)
    before = hob.melt.state
    at_s = hob.now_s - 121.0
    hob.apply(Reading(at_s, BEGAN_WALL_S + at_s, 65.9, True))
    after = hob.melt.state
    assert at_s in after.times_s and np.all(np.diff(after.times_s) >= 0.0)
    assert len(after.times_s) == len(before.times_s) + 1
    assert (after.temp_c, after.now_s) == (before.temp_c, before.now_s)
    assert after.track_version == before.track_version + 1


def test_trouble_is_shown_until_readings_return_and_a_gap_is_kept() -> None:
    hob = Hob()
    hob.hold(70.0, 5.0)
    hob.apply(ProbeTrouble(hob.now_s, 0.0, "unplugged", "Plug it in again."))
    assert (hob.melt.state.probe.good, hob.melt.state.probe.text) == (False, "Plug it in again.")
    gap = Gap(hob.now_s + 300.0, 0.0, 300.0, "closed")
    hob.apply(gap)
    hob.read(50.0, 301.0)
    state = hob.melt.state
    assert (state.gaps, state.temp_c, state.probe.good) == ((gap,), 50.0, True)


def test_a_melt_without_a_beginning_is_a_bug() -> None:
    with pytest.raises(ValueError, match="MeltBegan"):
        Melt().apply(Reading(0.0, 0.0, 70.0))
