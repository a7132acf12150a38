"""What lessons and debriefs look at is what the melt believed, by its own probe and as corrected."""

from dataclasses import replace

import pytest
from kitchen import LIMITS

from candlebench.core.believed import believed
from candlebench.core.correction import Correction
from candlebench.core.debrief.story import story_of
from candlebench.core.events import Event, KeptOut, MeltBegan, Reading, SetupChanged
from candlebench.core.learning.course import course_of
from candlebench.core.place import Place
from candlebench.core.setup import MeltSetup

SETUP = MeltSetup("shelf pair", "beeswax", LIMITS, source="serial:/dev/ttyUSB0")
BEGAN = MeltBegan(0.0, 1000.0, SETUP)
CORRECTION = Correction(1.0, -1.5, 0.4, "2026-11-20")


def read(at_s: float, temp_c: float, **more: object) -> Reading:
    return replace(Reading(at_s, 1000.0 + at_s, temp_c), **more)  # type: ignore[arg-type]


def temps_of(events: list[Event]) -> list[float]:
    return [event.temp_c for event in believed(events) if isinstance(event, Reading)]


def test_a_second_probe_is_no_part_of_the_melts_curve() -> None:
    events = [BEGAN, read(1.0, 70.0), read(1.5, 92.0, place=Place.BATH), read(2.0, 70.1)]
    assert temps_of(events) == [70.0, 70.1]
    assert story_of(events).curve.temps_c.tolist() == [70.0, 70.1]
    beside = story_of(events).beside
    assert beside is not None and beside[0] is Place.BATH and beside[1].temps_c.tolist() == [92.0]
    course = course_of(events)
    assert course.temps_c.tolist() == course.raw_temps_c.tolist() == [70.0, 70.1]


def test_what_the_record_says_was_kept_out_stays_out_and_the_rest_stays_in() -> None:
    # The record rules: 80.0 three seconds later would be doubted if it were judged again.
    out = KeptOut(2.0, 1002.0, 2.0, 55.0, "out of the wax")
    events = [BEGAN, read(1.0, 60.0), read(2.0, 55.0), out, read(3.0, 80.0)]
    assert temps_of(events) == [60.0, 80.0]
    assert course_of(events).raw_temps_c.tolist() == [60.0, 55.0, 80.0]


def test_an_older_record_that_says_nothing_is_judged_again() -> None:
    assert temps_of([BEGAN, read(1.0, 70.0), read(2.0, 400.0), read(3.0, 70.1)]) == [70.0, 70.1]


def test_a_correction_named_late_counts_for_the_whole_melt_and_not_for_another_thermometer() -> None:
    changed = SetupChanged(3.0, 1003.0, replace(SETUP, correction=CORRECTION))
    events = [BEGAN, read(1.0, 70.0), read(2.0, 70.0, by_hand=True), changed, read(4.0, 71.0)]
    assert temps_of(events) == pytest.approx([68.5, 70.0, 69.5])


def test_numbers_typed_in_a_melt_without_a_wire_are_what_its_probe_shows() -> None:
    typed = replace(SETUP, source="typed:", correction=CORRECTION)
    assert temps_of([MeltBegan(0.0, 1000.0, typed), read(1.0, 70.0, by_hand=True)]) == [68.5]
