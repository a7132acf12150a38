"""How hot, how long."""

from dataclasses import replace

import pytest
from recording import SETUP, Recording, melt

from candlebench.core.debrief.curve import seconds_above
from candlebench.core.debrief.judge import debrief_of
from candlebench.core.events import ActionKind
from candlebench.core.setup import Oil


def test_minutes_above_each_limit_are_those_of_the_straight_lines() -> None:
    # Up to 97 at 5 K/min, down at 1 K/min to 73: above 80 for 17/5 + 17 min, and so on.
    heat = debrief_of(melt(off_c=97.0).events).heat
    assert heat.warn_s == pytest.approx((17 / 5 + 17) * 60.0, abs=2.0)
    assert heat.strong_s == pytest.approx((12 / 5 + 12) * 60.0, abs=2.0)
    assert heat.stop_s == pytest.approx((2 / 5 + 2) * 60.0, abs=2.0)
    assert heat.highest_c == 97.0


def test_time_melted_on_the_heat_ends_when_it_comes_off() -> None:
    heat = debrief_of(melt(off_c=78.0).events).heat
    assert heat.melted_on_heat_s == pytest.approx(10.0 / 5.0 * 60.0, abs=1.0)
    assert heat.off_heat_c == 78.0


def test_the_first_warning_is_lower_once_the_oil_is_in() -> None:
    # Scented flash 82: the warning is 72 with the oil in (F5). Down from 74.8 at 2 K/min it takes 84 s.
    citrus = replace(SETUP, oil=Oil("orange", 43.0, None, 82.0))
    recording = Recording(citrus).ramp(70.0, 79.0, 5.0).do(ActionKind.OFF_HEAT).ramp(79.0, 74.8, 1.0)
    recording.do(ActionKind.OIL_IN).ramp(74.8, 70.0, 2.0).do(ActionKind.POURED)
    heat = debrief_of(recording.events).heat
    assert heat.warn_after_oil_c == 72.0
    assert heat.after_oil_warn_s == pytest.approx(84.0, abs=2.0)
    assert heat.warn_s == heat.after_oil_warn_s


def test_what_the_probe_shows_after_the_pour_is_not_the_wax_in_the_jug() -> None:
    recording = melt()
    before = debrief_of(recording.events).heat
    recording.ramp(69.0, 99.0, 30.0)
    assert debrief_of(recording.events).heat == before


def test_a_sleep_over_the_limit_is_said_and_not_counted() -> None:
    recording = Recording().ramp(70.0, 86.0, 4.0)
    recording.sleep(600.0).read(86.0).ramp(86.0, 84.0, 1.0)
    heat = debrief_of(recording.events).heat
    assert heat.unknown_s == pytest.approx(601.0)
    assert heat.strong_s < 150.0


def test_a_melt_without_a_reading_has_no_highest_temperature() -> None:
    heat = debrief_of(Recording().do(ActionKind.OFF_HEAT).events).heat
    assert heat.highest_c is None and heat.warn_s == 0.0


def test_time_too_hot_is_not_counted_twice_when_the_oil_goes_in_hot() -> None:
    # No lower warning with lavender: above 80 before and after the oil is simply above 80.
    recording = melt(off_c=88.0, oil_c=84.0)
    debrief = debrief_of(recording.events)
    assert debrief.heat.warn_s == pytest.approx(seconds_above(debrief.story.curve, 80.0), abs=1.0)
