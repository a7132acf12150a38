"""A melt whose probe is hurt on the way: nothing false is said or foreseen, and no danger is hidden."""

from collections.abc import Sequence
from dataclasses import replace

import pytest
from hurt_probe import (
    WALL_S,
    Hurt,
    Moment,
    bath_seen,
    live_setup,
    played,
    rows_of,
    scenario_of,
    seen,
)

from candlebench.core.events import (
    Action,
    ActionKind,
    Event,
    Gap,
    KeptOut,
    MeltBegan,
    Reading,
    SetupChanged,
    Stage,
)
from candlebench.core.melt import Melt
from candlebench.core.place import Place
from candlebench.core.setup import Beside
from candlebench.core.state import Level
from candlebench.practice.whole_melt import PracticeRow

FIRST = "first-jug"
HEATING_S, COOLING_S = 1400.0, 2080.0
CUES = {"oil_soon", "oil_open", "oil_closing", "pour_soon", "pour_open", "off_heat_noticed", "ready"}


@pytest.fixture(scope="module")
def rows() -> list[PracticeRow]:
    return rows_of(FIRST)


@pytest.fixture(scope="module")
def sound(rows: list[PracticeRow]) -> list[Moment]:
    return _run(rows, [])


def _run(
    rows: Sequence[PracticeRow], hurts: Sequence[Hurt], from_s: float = 800.0, until_s: float = 1e9
) -> list[Moment]:
    here = [row for row in rows if row.elapsed_s <= until_s]
    return list(played(here, seen(here, scenario_of(FIRST), hurts), live_setup(FIRST), from_s=from_s))


def _said(moments: Sequence[Moment]) -> list[tuple[float, str]]:
    return [(moment.at_s, code) for moment in moments for code in moment.said]


def _at(rows: Sequence[PracticeRow], hurt: Hurt, at_s: float, from_s: float = 800.0) -> Melt:
    return _run(rows, [hurt], from_s, at_s)[-1].melt


def test_a_probe_out_of_the_wax_through_both_windows_says_no_cue_of_either(
    rows: list[PracticeRow], sound: list[Moment]
) -> None:
    # It falls from 77 °C through 75 and 70 °C within 10 s, four minutes before the oil is due.
    hurt = Hurt(COOLING_S, COOLING_S + 100.0, "air")
    said = _said(_run(rows, [hurt], until_s=COOLING_S + 130.0))
    right = _said(sound)
    assert not [code for at_s, code in said if at_s > COOLING_S and code in CUES]
    assert [code for at_s, code in said if at_s > COOLING_S] == ["probe_doubtful"]
    assert any(code == "oil_open" and at_s > COOLING_S + 130.0 for at_s, code in right)


def test_after_it_is_back_the_oil_cue_comes_when_it_comes_without_the_fault(
    rows: list[PracticeRow], sound: list[Moment]
) -> None:
    hurt = Hurt(COOLING_S, COOLING_S + 40.0, "air")
    due = {code: at_s for at_s, code in _said(_run(rows, [hurt]))}
    right = {code: at_s for at_s, code in _said(sound)}
    assert due["oil_open"] == pytest.approx(right["oil_open"], abs=3.0)
    assert due["pour_open"] == pytest.approx(right["pour_open"], abs=3.0)


def test_on_the_heat_a_probe_in_the_air_is_no_jug_off_the_heat(rows: list[PracticeRow]) -> None:
    melt = _at(rows, Hurt(HEATING_S, 9e9, "air"), HEATING_S + 120.0)
    assert melt.state.on_heat and melt.stage is not Stage.OFF_HEAT
    assert [alarm.code for alarm in melt.state.alarms if alarm.code == "probe_doubtful"]


def test_while_it_is_out_the_state_says_so_and_shows_no_number_as_current(rows: list[PracticeRow]) -> None:
    melt = _at(rows, Hurt(COOLING_S, 9e9, "air"), COOLING_S + 40.0)
    state = melt.state
    assert not state.fresh and state.rate_c_per_min is None and not state.probe.good
    assert "out of the wax" in state.probe.doubt
    assert state.temp_c == pytest.approx(77.0, abs=0.5)
    (alarm,) = state.alarms
    assert (alarm.code, alarm.level) == ("probe_doubtful", Level.WARNING)
    assert alarm.reason == state.probe.doubt


def test_the_forecast_goes_on_from_before_and_is_less_sure(
    rows: list[PracticeRow], sound: list[Moment]
) -> None:
    at_s = COOLING_S + 60.0
    (hurt,) = _at(rows, Hurt(COOLING_S, 9e9, "air"), at_s).foreseen((70.0,))
    (right,) = _run(rows, [], until_s=at_s)[-1].melt.foreseen((70.0,))
    assert hurt is not None and right is not None
    assert abs(hurt.in_s - right.in_s) < 0.5 * (right.high_s - right.low_s)
    assert hurt.high_s - hurt.low_s >= right.high_s - right.low_s


def test_a_wall_reading_above_a_limit_still_raises_its_alarm_and_says_that_it_may_be_the_wall(
    rows: list[PracticeRow],
) -> None:
    moments = _run(rows, [Hurt(HEATING_S, 9e9, "wall")], until_s=HEATING_S + 40.0)
    first_s = next(at_s for at_s, code in _said(moments) if code == "too_hot")
    over_s = next(m.at_s for m in moments if m.at_s > HEATING_S and m.shown_c > 80.0)
    assert first_s - over_s <= 3.0
    alarms = {alarm.code: alarm for alarm in moments[-1].melt.state.alarms}
    assert alarms["too_hot"].level is Level.DANGER
    assert "may touch the wall" in alarms["too_hot"].reason
    assert "hang it into the middle" in alarms["probe_doubtful"].reason.lower()


def test_a_probe_on_the_wall_does_not_make_the_wax_all_melted(rows: list[PracticeRow]) -> None:
    # 55 °C in the wax, ten K more at the wall: over the end of the melting interval, but by the wall alone.
    at_s = next(row.elapsed_s for row in rows if row.wax_c > 56.0)
    moments = _run(rows, [Hurt(at_s, at_s + 60.0, "wall")], max(0.0, at_s - 600.0), at_s + 59.0)
    assert max(m.shown_c for m in moments) > 70.0
    assert not {code for _, code in _said(moments)} & {"ready"}


def test_a_melt_that_really_races_raises_its_alarm_as_before(rows: list[PracticeRow]) -> None:
    melt = Melt()
    melt.apply(MeltBegan(0.0, WALL_S, live_setup(FIRST)))
    said: list[tuple[float, str]] = []
    for i in range(260):
        temp_c = 66.0 + 0.1 * (i % 2) if i < 120 else round(66.0 + 0.3 * (i - 120), 1)
        said += [(temp_c, n.code) for n in melt.apply(Reading(float(i), WALL_S + i, temp_c))]
    assert next(temp_c for temp_c, code in said if code == "too_hot") <= 80.6
    assert "probe_doubtful" not in {code for _, code in said}


def test_a_replay_believes_the_same_and_taking_up_after_a_gap_starts_afresh(rows: list[PracticeRow]) -> None:
    hurts = [Hurt(HEATING_S, HEATING_S + 30.0, "wall"), Hurt(COOLING_S, COOLING_S + 50.0, "air")]
    here = [row for row in rows if row.elapsed_s <= COOLING_S + 20.0]
    temps_c = seen(here, scenario_of(FIRST), hurts)
    live, events = Melt(), list[Event]([MeltBegan(0.0, WALL_S, live_setup(FIRST))])
    live.apply(events[0])
    for row, temp_c in zip(here, temps_c, strict=True):
        wall_s = WALL_S + row.elapsed_s
        happened: list[Event] = [Reading(row.elapsed_s, wall_s, temp_c)]
        if row.did:
            happened.append(Action(row.elapsed_s, wall_s, ActionKind(row.did)))
        for event in happened:
            live.apply(event)
            events += [event, *live.left_out]
    again = Melt.replayed(events)
    assert again.state.times_s.tolist() == live.state.times_s.tolist()
    assert again.state.temps_c.tolist() == live.state.temps_c.tolist()
    assert again.state.probe.doubt == live.state.probe.doubt != ""
    said = [event for event in events if isinstance(event, KeptOut)]
    kept = {event.reading_s for event in said}
    assert kept and not kept & set(live.state.times_s.tolist())
    assert len(kept) == len(said)
    later_s = COOLING_S + 900.0
    again.apply(Gap(later_s, WALL_S + later_s, 880.0, "closed"))
    again.apply(Reading(later_s + 1.0, WALL_S + later_s + 1.0, 60.0))
    assert again.state.temp_c == 60.0 and again.state.fresh and again.state.probe.doubt == ""


def test_readings_that_come_ten_a_second_are_held_and_let_go_the_same_way() -> None:
    rows = rows_of(FIRST, every_s=0.5)
    hurt = Hurt(COOLING_S, COOLING_S + 40.0, "air")
    moments = _run(rows, [hurt], from_s=COOLING_S - 300.0, until_s=COOLING_S + 120.0)
    assert [c for s, c in _said(moments) if s > COOLING_S and c in CUES | {"probe_doubtful"}] == [
        "probe_doubtful"
    ]
    assert moments[-1].melt.state.fresh


# --- two probes -------------------------------------------------------------------------------------------


def _two(
    rows: Sequence[PracticeRow], hurt: Hurt | None, until_s: float, baths_c: Sequence[float] | None = None
) -> list[Moment]:
    here = [row for row in rows if row.elapsed_s <= until_s]
    baths_c = bath_seen(here) if baths_c is None else baths_c
    temps_c = seen(here, scenario_of(FIRST), [hurt] if hurt else [])
    return list(played(here, temps_c, live_setup(FIRST), baths_c, from_s=HEATING_S - 600.0))


def test_a_wax_probe_that_slips_into_the_bath_is_told_from_one_at_the_wall(rows: list[PracticeRow]) -> None:
    melt = _two(rows, Hurt(HEATING_S, 9e9, "bath"), HEATING_S + 60.0)[-1].melt
    assert "slipped into the water" in melt.state.probe.doubt
    assert float(melt.state.temps_c.max()) < 75.0
    assert melt.state.beside is not None and melt.state.beside.probe.good


def test_two_probes_that_change_places_are_said_and_both_kept_out(rows: list[PracticeRow]) -> None:
    here = [row for row in rows if row.elapsed_s <= HEATING_S + 90.0]
    wax_c, bath_c = seen(here, scenario_of(FIRST)), bath_seen(here)
    swapped_wax = [b if r.elapsed_s >= HEATING_S else w for r, w, b in zip(here, wax_c, bath_c, strict=True)]
    swapped_bath = [w if r.elapsed_s >= HEATING_S else b for r, w, b in zip(here, wax_c, bath_c, strict=True)]
    moments = list(played(here, swapped_wax, live_setup(FIRST), swapped_bath, from_s=HEATING_S - 600.0))
    state = moments[-1].melt.state
    assert "changed places" in state.probe.doubt
    assert state.beside is not None and not state.beside.probe.good
    assert float(state.temps_c.max()) < 75.0 < float(state.beside.temps_c[-1])


def test_a_bath_probe_that_falls_out_of_the_water_is_the_baths_matter_alone(rows: list[PracticeRow]) -> None:
    here = [row for row in rows if row.elapsed_s <= HEATING_S + 60.0]
    baths_c = bath_seen(here)
    out = [
        round(20.0 + (b - 20.0) * 2.718281828 ** (-max(r.elapsed_s - HEATING_S, 0.0) / 40.0), 1)
        for r, b in zip(here, baths_c, strict=True)
    ]
    state = _two(rows, None, HEATING_S + 60.0, out)[-1].melt.state
    assert state.probe.good and state.fresh
    assert state.beside is not None and "out of the water" in state.beside.probe.doubt
    assert [a.reason for a in state.alarms if a.code == "probe_doubtful"] == [state.beside.probe.doubt]


def test_a_bath_above_the_boiling_point_is_a_danger(rows: list[PracticeRow]) -> None:
    here = [row for row in rows if row.elapsed_s <= HEATING_S + 240.0]
    baths_c = bath_seen(here)
    # A dry pan: 10 K/min from then on.
    dry = [round(b + max(r.elapsed_s - HEATING_S, 0.0) / 6.0, 1) for r, b in zip(here, baths_c, strict=True)]
    moments = _two(rows, None, HEATING_S + 240.0, dry)
    over_s = next(m.at_s for m, b in zip(moments, dry, strict=True) if m.at_s > HEATING_S and b > 102.6)
    said_s = next(at_s for at_s, code in _said(moments) if code == "above_boiling")
    assert said_s - over_s <= 5.0
    alarm = next(a for a in moments[-1].melt.state.alarms if a.code == "above_boiling")
    assert alarm.level is Level.DANGER and "in the bath" in alarm.reason


def test_a_sound_melt_with_a_probe_in_the_bath_says_nothing_of_its_probes(rows: list[PracticeRow]) -> None:
    moments = _two(rows, None, 1e9)
    assert not {code for _, code in _said(moments)} & {"probe_doubtful", "impossible_reading"}
    assert len(moments[-1].melt.state.times_s) == sum(m.at_s >= HEATING_S - 600.0 for m in moments)


def test_a_room_probe_only_answers_for_itself() -> None:
    setup = replace(live_setup(FIRST), beside=Beside(Place.ROOM))
    melt = Melt()
    melt.apply(MeltBegan(0.0, WALL_S, setup))
    for i in range(300):
        room_c = 21.0 if i < 150 else 27.0
        melt.apply(Reading(float(i), WALL_S + i, 70.0 - 0.1 * (i % 2)))
        melt.apply(Reading(i + 0.5, WALL_S + i + 0.5, room_c, place=Place.ROOM))
    state = melt.state
    assert state.probe.good and state.beside is not None and state.beside.probe.good
    assert state.beside.temp_c == 27.0 and state.alarms == ()


def test_a_second_probe_that_is_taken_out_of_the_setup_and_named_again_keeps_its_curve(
    rows: list[PracticeRow],
) -> None:
    here = rows[: int(HEATING_S)]
    moments = list(played(here, seen(here, scenario_of(FIRST)), live_setup(FIRST), bath_seen(here)))
    melt = moments[-1].melt
    before = melt.beside
    assert before is not None
    for beside in (None, Beside(Place.BATH)):
        changed = SetupChanged(HEATING_S, WALL_S + HEATING_S, replace(melt.setup, beside=beside))
        melt.apply(changed)
    after = melt.beside
    assert after is not None and len(after.times_s) == len(before.times_s)
    # As after a gap: nothing is known of where the water is now, and any number may come first.
    melt.apply(Reading(HEATING_S + 5.0, WALL_S + HEATING_S + 5.0, 40.0, place=Place.BATH))
    after = melt.beside
    assert after is not None and len(after.times_s) == len(before.times_s) + 1
