"""A probe that slips onto the wall: said, kept out of the curve and of the forecast, and right again."""

import math
from collections.abc import Sequence
from dataclasses import replace

import pytest
from hurt_probe import Hurt, Moment, live_setup, played, rows_of, scenario_of, seen, when, when_cooled_to

from candlebench.core.events import ActionKind
from candlebench.core.state import Alarm
from candlebench.practice.whole_melt import PracticeRow

# How much of the way from the wax to the wall a touching probe goes, as in `practice.melt`.
SHARE = 0.6
OF_PROBES = ("probe_doubtful",)
SLIPS = ("first-jug", "no-cable", "big-pail", "probe-on-the-glass", "orange-narrow", "mountain-kitchen")


def _run(name: str, hurts: Sequence[Hurt], at_s: float, to_s: float) -> list[Moment]:
    rows = [row for row in rows_of(name) if row.elapsed_s <= to_s]
    temps_c = seen(rows, scenario_of(name), hurts)
    return list(played(rows, temps_c, live_setup(name), from_s=at_s - 600.0))


def alarm_words(alarm: Alarm) -> str:
    return " ".join((alarm.headline, alarm.reason, alarm.more))


def _worst_k(moments: Sequence[Moment], sound: Sequence[Moment], from_s: float) -> float:
    """How far the hurt curve lies off what the sound probe read, at most."""
    right = {one.at_s: one.shown_c for one in sound}
    track = moments[-1].melt.picture(with_fan=False)
    pairs = zip(track.times_s.tolist(), track.temps_c.tolist(), strict=True)
    return max(abs(c - right[s]) for s, c in pairs if s >= from_s)


@pytest.mark.parametrize("name", SLIPS)
def test_off_the_heat_a_slip_of_less_than_a_kelvin_is_said_within_half_a_minute(name: str) -> None:
    at_s = when_cooled_to(rows_of(name), 76.2)
    hurt = _run(name, [Hurt(at_s, at_s + 100.0, "wall", share=SHARE)], at_s, at_s + 160.0)
    sound = _run(name, [], at_s, at_s + 160.0)
    said_s = [one.at_s - at_s for one in hurt if "probe_doubtful" in one.said]
    assert said_s and said_s[0] <= 30.0
    # No cue that the sound probe does not give within the same time.
    assert {code for one in hurt for code in one.said if code not in OF_PROBES} <= {
        code for one in sound for code in one.said
    }
    # Nothing of it is left in the curve, and back in the middle it is right within a minute. Two probes of
    # one wax scatter by 0.04 K and a digit of 0.1 K each: 0.35 K apart is four of that.
    assert _worst_k(hurt, sound, at_s - 30.0) <= 0.35
    state = hurt[-1].melt.state
    assert state.fresh and state.alarms == ()
    assert state.temp_c == pytest.approx(sound[-1].shown_c, abs=0.35)


@pytest.mark.parametrize("name", SLIPS)
def test_until_it_is_said_the_forecast_moves_by_what_the_step_is_worth_and_after_it_not_at_all(
    name: str,
) -> None:
    at_s = when_cooled_to(rows_of(name), 76.2)
    rows = [row for row in rows_of(name) if row.elapsed_s <= at_s + 100.0]
    here, before = (next(row for row in rows if row.elapsed_s == s) for s in (at_s, at_s - 120.0))
    # The same pace from so much lower is so much sooner, beside what any forecast wanders within its band; a
    # pace that was wrongly learned would be several times that.
    worth_s = SHARE * (here.wax_c - here.jug_c) * 120.0 / (before.wax_c - here.wax_c)
    temps_c = seen(rows, scenario_of(name), [Hurt(at_s, 9e9, "wall", share=SHARE)])
    first = None
    for moment in played(rows, temps_c, live_setup(name), from_s=at_s - 600.0):
        if moment.at_s < at_s - 10.0 or moment.at_s % 5.0:
            continue
        (found,) = moment.melt.foreseen((70.0,))
        assert found is not None and math.isfinite(found.high_s)
        if first is None:
            first = (moment.at_s + found.in_s, 0.5 * (found.high_s - found.low_s))
        moved_s = abs(moment.at_s + found.in_s - first[0])
        said = not moment.melt.state.fresh
        assert moved_s <= first[1] + (0.0 if said else worth_s), moment.at_s - at_s


def test_on_the_heat_a_slow_probe_that_nears_the_hot_wall_is_no_melt_that_races() -> None:
    # 14 s of lag, as a thick kitchen probe has in wax (T24).
    rows = rows_of("no-cable")
    at_s = next(row.elapsed_s for row in rows if row.wax_c >= 76.0)
    hurt = _run("no-cable", [Hurt(at_s, at_s + 100.0, "wall", share=SHARE)], at_s, at_s + 60.0)
    said_s = [one.at_s - at_s for one in hurt if "probe_doubtful" in one.said]
    assert said_s and said_s[0] <= 35.0
    found = hurt[-1].melt.state.alarms
    assert any("may touch the wall" in alarm_words(alarm) for alarm in found)


def test_what_lasts_is_believed_in_the_end_and_the_way_back_leaves_the_forecast_standing() -> None:
    name = "first-jug"
    at_s = when_cooled_to(rows_of(name), 77.0)
    back_s = at_s + 200.0
    hurt = _run(name, [Hurt(at_s, back_s, "wall", share=SHARE)], at_s, back_s + 100.0)
    believed = [one for one in hurt if at_s + 170.0 <= one.at_s < back_s]
    assert all(one.melt.state.fresh for one in believed[-10:])
    for one in hurt:
        if one.at_s >= back_s:
            (found,) = one.melt.foreseen((70.0,))
            assert found is not None and math.isfinite(found.in_s), one.at_s - back_s
    sound = _run(name, [], at_s, back_s + 100.0)
    assert hurt[-1].melt.state.temp_c == pytest.approx(sound[-1].shown_c, abs=0.35)


def test_stirring_that_was_told_is_no_slip() -> None:
    name = "first-jug"
    rows = rows_of(name)
    at_s = when_cooled_to(rows, 76.2)
    stirs = [_stirs(row, at_s) for row in rows if row.elapsed_s <= at_s + 60.0]
    temps_c = seen(stirs, scenario_of(name), [Hurt(at_s, 9e9, "wall", share=SHARE)])
    moments = list(played(stirs, temps_c, live_setup(name), from_s=at_s - 600.0))
    assert not any("probe_doubtful" in one.said for one in moments)
    assert moments[-1].melt.state.fresh


def _stirs(row: PracticeRow, at_s: float) -> PracticeRow:
    return replace(row, did=ActionKind.STIRRED.value) if row.elapsed_s == at_s else row


def test_of_a_probe_lifted_out_no_reading_on_the_way_is_left_in_the_curve() -> None:
    for name in ("first-jug", "no-cable"):
        at_s = when_cooled_to(rows_of(name), 76.2)
        hurt = _run(name, [Hurt(at_s, at_s + 40.0, "air")], at_s, at_s + 40.0)
        sound = _run(name, [], at_s, at_s + 40.0)
        assert any("probe_doubtful" in one.said for one in hurt)
        assert _worst_k(hurt, sound, at_s - 30.0) <= 0.25


def test_its_sentence_says_by_how_much() -> None:
    at_s = when_cooled_to(rows_of("big-pail"), 76.2)
    hurt = _run("big-pail", [Hurt(at_s, 9e9, "wall", share=SHARE)], at_s, at_s + 60.0)
    (alarm,) = hurt[-1].melt.state.alarms
    assert alarm.code == "probe_doubtful"
    # 0.7 K colder there: the practice jug's wall, measured off the same melt.
    assert "fell by 0.6 °C" in alarm_words(alarm) or "fell by 0.7 °C" in alarm.message


@pytest.mark.parametrize("by_k", [-4.0, 4.0, -12.0])
def test_one_odd_number_while_the_oil_is_stirred_costs_itself_and_nothing_more(by_k: float) -> None:
    # Stirring changes the pace; what is near again at once was never away.
    rows = rows_of("big-pail")
    at_s = when(rows, ActionKind.STIRRED) + 3.0
    hurt = _run("big-pail", [Hurt(at_s, at_s + 1.0, by_k=by_k)], at_s, at_s + 60.0)
    blind = [one.at_s - at_s for one in hurt if one.at_s >= at_s and one.melt.state.probe.doubt]
    assert not blind or max(blind) <= 2.0
    assert at_s not in hurt[-1].melt.state.times_s.tolist()
    assert {at_s + 1.0, at_s + 2.0} <= set(hurt[-1].melt.state.times_s.tolist())
