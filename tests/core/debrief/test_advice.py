"""At most two sentences, the weightiest first, with their figures."""

from dataclasses import replace

import pytest
from recording import LIMITS, PLAIN, SETUP, Recording, melt

from candlebench.core.debrief.advice import advice
from candlebench.core.debrief.judge import debrief_of
from candlebench.core.events import ActionKind
from candlebench.core.setup import Oil
from candlebench.core.units import Shown


def said(recording: Recording, unit: str = "C") -> tuple[str, ...]:
    return advice(debrief_of(recording.events), Shown(unit))


@pytest.mark.parametrize("oil_c", [69.0, 71.0, 73.0, 79.0])
@pytest.mark.parametrize("off_c", [79.0, 90.0, 98.0])
def test_never_more_than_two_sentences(off_c: float, oil_c: float) -> None:
    assert 1 <= len(said(melt(off_c=off_c, oil_c=oil_c, stir_s=20.0))) <= 2


def test_a_melt_done_right_is_told_what_to_do_again() -> None:
    first, second = said(melt())
    assert "73 °C, inside its window" in first
    assert "69.5 °C, inside the window" in second


def test_past_the_stop_limit_comes_before_everything() -> None:
    first, _ = said(melt(off_c=97.0, oil_c=84.0))
    assert "97 °C" in first and "95 °C" in first and "never leave it alone" in first


def test_oil_too_hot_says_by_how_much_and_how_long_to_wait() -> None:
    first, _ = said(melt(off_c=84.0, oil_c=81.0, pour_c=74.0))
    assert "81 °C, 6.0 °C too hot" in first
    # Newton's law from there, not quite 1 K/min: 7.9 K to the best moment.
    assert "about 7:55 later" in first


def test_oil_too_cool_says_when_it_was_time() -> None:
    first, second = said(melt(oil_c=68.5, pour_c=64.0))
    # The useful end is at 71.3, the best moment 4.7 K above 68.5 at 1 K/min.
    assert "2.8 °C too cool" in first and "4:40 earlier" in first
    assert "You poured at" in second


def test_oil_late_in_its_window_is_no_praise() -> None:
    first, _ = said(melt(oil_c=70.2, pour_c=67.0))
    assert "too late to leave time for the pour" in first and "67.2 °C" in first


def test_with_a_low_flash_point_heat_after_the_oil_comes_first() -> None:
    citrus = replace(SETUP, oil=Oil("sweet orange", 43.0, None, 81.0))
    first, _ = said(melt(off_c=84.0, oil_c=79.0, setup=citrus))
    assert "catch fire" in first and "under 71 °C" in first


def test_no_safe_temperature_says_what_to_change() -> None:
    closed = replace(SETUP, limits=replace(LIMITS, oil_high_c=66.0), oil=Oil("orange", 60.0, None, 104.0))
    assert "use less of it" in said(melt(setup=closed))[0]


def test_oil_on_the_heat_is_a_danger() -> None:
    recording = Recording().ramp(60.0, 74.0, 4.0).do(ActionKind.OIL_IN).ramp(74.0, 69.0, 2.0)
    assert "take the jug off first" in said(recording.do(ActionKind.POURED))[0]


def test_short_stirring_is_said() -> None:
    assert any("stirred for 0:21" in sentence for sentence in said(melt(stir_s=20.0)))


def test_waiting_that_could_be_saved_is_said_in_minutes() -> None:
    # At 1 K/min, from 83.5 to half way between 75 and 80: 6 min.
    assert any("saves 6:00 of waiting" in sentence for sentence in said(melt(off_c=83.5)))


def test_long_on_the_heat_is_said() -> None:
    recording = Recording(PLAIN).ramp(60.0, 76.0, 4.0).ramp(76.0, 76.5, 0.04).do(ActionKind.OFF_HEAT)
    recording.ramp(76.5, 69.5, 1.0).do(ActionKind.POURED)
    assert "melted on the heat for 14:31" in said(recording)[0]


def test_stirring_too_long_is_named_as_the_cause_before_what_came_of_it() -> None:
    first, second = said(melt(oil_c=73.0, pour_c=66.0, stir_s=170.0))
    assert first.startswith("You stirred for 2:51; a minute is enough. The pour window closed 0:")
    assert "You poured at 66 °C" in second


def test_stirring_out_of_the_window_is_named_too() -> None:
    first, _ = said(melt(oil_c=73.0, pour_c=65.0, stir_s=240.0))
    assert "stirred for 4:01" in first and "had closed by then" in first


def test_oil_late_with_no_time_left_is_the_cause_and_not_the_stirring() -> None:
    first, _ = said(melt(oil_c=70.6, pour_c=66.0, stir_s=130.0))
    assert "too late to leave time for the pour" in first


def test_the_limit_itself_is_reached_and_no_praise() -> None:
    # 85 typed once: alarms.py says danger from the limit on.
    recording = Recording(every_s=100.0).read(70.0).read(85.0).do(ActionKind.OFF_HEAT).read(80.0).read(76.0)
    sentences = " ".join(said(recording))
    assert (
        "It reached 85 °C; from 85 °C on the wax darkens" in sentences and "heat was right" not in sentences
    )


def test_a_melt_that_just_began_is_not_praised() -> None:
    (only,) = said(Recording(every_s=0.0).read(21.0))
    assert "only begun" in only


def test_advice_speaks_in_the_shown_unit() -> None:
    first, _ = said(melt(off_c=84.0, oil_c=81.0, pour_c=74.0), "F")
    assert "177.8 °F, 10.8 °F too hot" in first


def test_a_melt_without_readings_is_told_to_read() -> None:
    assert "No temperature was recorded" in said(Recording().do(ActionKind.OFF_HEAT))[0]


def test_an_oil_left_out_is_said() -> None:
    recording = Recording().ramp(60.0, 79.0, 4.0).do(ActionKind.OFF_HEAT).ramp(79.0, 69.5, 1.0)
    assert "left out" in said(recording.do(ActionKind.POURED))[0]
