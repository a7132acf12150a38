"""Alarms stand between the melt and a spoiled batch or a fire."""

from dataclasses import replace

import pytest
from kitchen import LIMITS, SETUP, Hob

from candlebench.core.events import ActionKind, Refused
from candlebench.core.materials.wax import limits_for, load_waxes
from candlebench.core.setup import Oil
from candlebench.core.state import Level, Notice


def _alarm(hob: Hob, code: str) -> tuple[Level, str, str, bool]:
    found = next(alarm for alarm in hob.melt.state.alarms if alarm.code == code)
    return found.level, found.headline, found.reason, found.acknowledged


def _stand(hob: Hob, temp_c: float, seconds: float, every_s: float = 1.0) -> list[Notice]:
    """A steady temperature on a live probe, which trembles: one that stands still is frozen (T39)."""
    count = round(seconds / every_s)
    return hob.feed((temp_c - 0.1 * ((count - i) % 2) for i in range(1, count + 1)), every_s)


def _hot(hob: Hob, temp_c: float) -> Hob:
    """On the heat, at a steady temperature."""
    hob.ramp(60.0, temp_c, 3.0, 5.0)
    _stand(hob, temp_c, 60.0, 2.0)
    _stand(hob, temp_c, 10.0)
    return hob


@pytest.mark.parametrize(
    ("temp_c", "level", "headline", "limit"),
    [
        (81.0, Level.WARNING, "Turn the heat down", "80 °C"),
        (86.0, Level.DANGER, "Take it off the heat now", "85 °C"),
        (96.0, Level.DANGER, "Turn the heat off now", "95 °C"),
    ],
)
def test_too_hot_now_is_said_louder_at_each_limit(
    temp_c: float, level: Level, headline: str, limit: str
) -> None:
    hob = _hot(Hob(), temp_c)
    found = _alarm(hob, "too_hot")
    assert found[:2] == (level, headline)
    assert limit in found[2]
    step = hob.melt.state.step
    assert (step.alarm_code, step.level, step.headline) == ("too_hot", level, headline)


def test_below_every_limit_nothing_stands() -> None:
    assert _hot(Hob(), 79.0).alarms == []


@pytest.mark.parametrize("c_per_min", [1.5, 3.0, 5.0])
def test_too_hot_soon_comes_before_it_happens_and_not_much_too_early(c_per_min: float) -> None:
    hob = Hob(replace(SETUP, wax="none"))
    hob.ramp(60.0, 90.0, c_per_min, 2.0)
    soon_s, notice = hob.first("too_hot_soon")
    happens_s = (85.0 - 60.0) / c_per_min * 60.0
    assert 60.0 <= happens_s - soon_s <= 180.0
    assert "85 °C" in notice.text and "Turn the heat down" in notice.text


def test_a_melt_that_rises_again_is_warned_of_though_it_was_taken_for_lifted_off() -> None:
    hob = Hob()
    hob.ramp(60.0, 78.0, 3.0, 2.0)
    hob.ramp(78.0, 70.0, 1.0, 2.0)
    assert not hob.melt.state.on_heat  # noticed by itself
    assert "too_hot_soon" not in hob.codes("alarm")
    hob.ramp(70.0, 84.5, 2.0, 2.0)
    assert "too_hot_soon" in hob.codes("alarm")


def test_a_jug_that_was_just_lifted_may_rise_a_little_without_a_warning() -> None:
    hob = Hob()
    hob.ramp(60.0, 78.0, 1.0, 2.0)
    hob.do(ActionKind.OFF_HEAT)
    hob.ramp(78.0, 79.0, 1.0, 2.0)
    assert "too_hot_soon" not in hob.codes("alarm")


def test_a_melt_that_cools_by_itself_under_the_strong_limit_is_not_too_hot() -> None:
    hob = _hot(Hob(), 84.0)
    hob.do(ActionKind.OFF_HEAT)
    hob.ramp(84.0, 82.0, 1.0)
    assert hob.alarms == []


def test_silence_is_said_after_ten_seconds_and_over_when_readings_return() -> None:
    hob = _hot(Hob(), 75.0)
    hob.silence(9.0)
    assert hob.alarms == []
    notices = hob.silence(4.0)
    assert [notice.code for notice in notices] == ["no_reading"]
    assert not hob.melt.state.fresh and not hob.melt.state.probe.good
    _stand(hob, 75.0, 6.0)
    assert hob.alarms == []


def test_a_slow_probe_is_given_five_of_its_own_paces() -> None:
    hob = Hob()
    _stand(hob, 72.0, 900.0, every_s=30.0)
    hob.silence(140.0)
    assert "no_reading" not in hob.alarms
    hob.silence(20.0)
    assert "no_reading" in hob.alarms


def test_one_who_types_is_asked_again_after_five_minutes_only() -> None:
    hob = Hob()
    for temp_c in (70.0, 72.0, 74.0):
        hob.read(temp_c, 60.0, by_hand=True)
    hob.silence(295.0)
    assert "no_reading" not in hob.alarms
    hob.silence(10.0)
    assert "Type what the thermometer shows" in _alarm(hob, "no_reading")[1]


@pytest.mark.parametrize("nonsense_c", [-127.0, 7000.0, 158.0])
def test_impossible_readings_are_left_out_and_said_when_they_go_on(nonsense_c: float) -> None:
    hob = _hot(Hob(), 70.0)
    count = len(hob.melt.state.times_s)
    hob.read(nonsense_c)
    assert hob.alarms == []
    _stand(hob, nonsense_c, 5.0)
    assert "impossible_reading" in hob.alarms
    state = hob.melt.state
    assert (len(state.times_s), state.temp_c) == (count, 70.0)
    _stand(hob, 70.0, 6.0)
    assert hob.alarms == []


def test_a_single_spike_or_a_board_banner_calls_nobody() -> None:
    hob = _hot(Hob(), 70.0)
    for _ in range(5):
        hob.read(85.0)
        hob.apply(Refused(hob.now_s, 0.0, "BOOT v1.2", "no temperature"))
        _stand(hob, 70.0, 5.0)
    assert hob.codes("alarm") == []
    assert float(hob.melt.state.temps_c.max()) <= 70.0


def test_above_the_local_boiling_point_is_a_danger_and_lower_in_the_mountains() -> None:
    # 2000 m: 93.3 degC, ICAO standard atmosphere (79 495 Pa) with the steam tables.
    mountain = replace(
        SETUP, altitude_m=2000.0, limits=replace(LIMITS, stop_c=93.0, strong_c=92.0, warn_c=91.0)
    )
    assert "above_boiling" not in _hot(Hob(), 97.0).alarms
    assert "above_boiling" not in _hot(Hob(mountain), 95.0).alarms
    hob = _hot(Hob(mountain), 97.0)
    assert "above_boiling" in hob.alarms
    assert _alarm(hob, "above_boiling")[0] is Level.DANGER
    assert "93.3 °C" in _alarm(hob, "above_boiling")[2]


def test_still_on_the_heat_ten_minutes_after_all_was_melted() -> None:
    hob = _hot(Hob(), 75.0)
    hob.do(ActionKind.MELTED)
    _stand(hob, 75.0, 590.0, 2.0)
    assert hob.alarms == []
    _stand(hob, 75.0, 20.0, 2.0)
    assert hob.alarms == ["heat_on_long"]
    hob.do(ActionKind.OFF_HEAT)
    _stand(hob, 75.0, 6.0)
    assert hob.alarms == []


def test_a_seen_danger_gives_its_place_back_and_returns_after_a_minute_when_it_persists() -> None:
    hob = _hot(Hob(), 86.0)
    hob.do(ActionKind.ACKNOWLEDGE, "too_hot")
    assert _alarm(hob, "too_hot")[3]
    assert hob.melt.state.step.alarm_code == ""
    assert _stand(hob, 86.0, 55.0) == []
    assert [notice.code for notice in _stand(hob, 86.0, 10.0)] == ["too_hot"]
    assert hob.melt.state.step.alarm_code == "too_hot"


def test_a_seen_warning_that_becomes_a_danger_is_said_at_once() -> None:
    hob = _hot(Hob(), 81.0)
    hob.do(ActionKind.ACKNOWLEDGE)
    _stand(hob, 81.0, 5.0)
    assert hob.ramp(81.0, 86.0, 30.0)[-1].level is Level.DANGER
    assert not _alarm(hob, "too_hot")[3]


def test_a_danger_nobody_has_seen_is_said_again_every_half_minute() -> None:
    hob = _hot(Hob(), 86.0)
    said = [notice.code for notice in _stand(hob, 86.0, 120.0)]
    assert said == ["too_hot"] * 4


@pytest.mark.parametrize(("flash_c", "limit_c"), [(104.0, 80.0), (88.0, 78.0)])
def test_with_the_oil_in_it_is_too_hot_at_80_or_ten_under_the_flash_point(
    flash_c: float, limit_c: float
) -> None:
    # Rows F5 and W1: once the oil is in, warn at the lower of 80 degC and 10 K under the scented flash point.
    oil = Oil("x", 43.0, 49.0, flash_c)
    setup = replace(SETUP, oil=oil, limits=limits_for(load_waxes()["beeswax"], 0.0, oil))
    hob = _hot(Hob(setup), 74.0)
    hob.do(ActionKind.OIL_IN)
    hob.do(ActionKind.ON_HEAT)
    hob.ramp(72.0, limit_c - 0.3, 2.0)
    assert "too_hot" not in hob.alarms
    hob.ramp(limit_c - 0.3, limit_c + 0.3, 2.0)
    assert "vapours can catch fire" in _alarm(hob, "too_hot")[2]


def _typed(hob: Hob, temps_c: tuple[float, ...], every_s: float = 60.0) -> Hob:
    for temp_c in temps_c:
        hob.read(temp_c, every_s, by_hand=True)
    return hob


def test_an_old_typed_reading_warns_once_the_forecast_may_have_passed_the_limit() -> None:
    hob = _typed(Hob(), (45.0, 50.0, 54.5, 58.0, 61.1))
    crossing = hob.melt.foreseen((85.0,))[0]
    assert crossing is not None
    hob.silence(crossing.low_s - 5.0)
    assert "may_be_too_hot" not in hob.alarms
    hob.silence(8.0)
    level, headline, reason, seen = _alarm(hob, "may_be_too_hot")
    assert (level, seen) == (Level.WARNING, False)
    assert "turn the heat down" in headline and "85 °C" in reason and "old" in reason
    step = hob.melt.state.step
    assert step.alarm_code == "may_be_too_hot"
    assert step.main is not None and step.main.kind is ActionKind.HEAT_DOWN
    # It stands on even when the whole band is past, and goes with the next reading.
    hob.silence(2400.0)
    assert "may_be_too_hot" in hob.alarms
    hob.read(70.0, 1.0, by_hand=True)
    assert "may_be_too_hot" not in hob.alarms


def test_off_the_heat_an_old_reading_is_no_danger() -> None:
    hob = _typed(Hob(), (70.0, 74.0, 78.0, 81.0))
    hob.do(ActionKind.OFF_HEAT)
    _typed(hob, (81.0, 80.0, 79.0, 78.0))
    hob.silence(280.0)
    assert "may_be_too_hot" not in hob.alarms


def test_a_reading_from_a_wire_has_its_silence_and_is_never_reckoned_on() -> None:
    hob = Hob()
    hob.ramp(45.0, 61.0, 4.0, 2.0)
    hob.silence(600.0)
    assert hob.alarms == ["no_reading"]


def test_while_an_alarm_waits_to_be_cleared_it_names_the_reading_of_now() -> None:
    hob = _hot(Hob(), 86.0)
    hob.do(ActionKind.OFF_HEAT)
    hob.read(80.0, 1.0, by_hand=True)
    reason = _alarm(hob, "too_hot")[2]
    assert "80 °C" in reason and "85 °C" not in reason and "86" not in reason
    hob.silence(5.0)
    assert "too_hot" not in hob.alarms


def test_alarms_do_not_flicker_at_their_limit() -> None:
    hob = _hot(Hob(), 80.2)
    hob.feed([80.2, 79.9] * 30)
    assert hob.codes("alarm").count("too_hot") == 1
