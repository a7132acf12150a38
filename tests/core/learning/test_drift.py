"""A probe that has drifted is told from the melting point of the lot; a sound one never is."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache

import pytest
from melts_of_lots import cooled, heated
from simulated import SimulatedMelt, cooling_melts, heating_melts

from candlebench.core.debrief.advice import advice
from candlebench.core.debrief.judge import debrief_of
from candlebench.core.debrief.rows import rows
from candlebench.core.events import Event, MeltBegan, Reading
from candlebench.core.known import Known, KnownWax
from candlebench.core.learning.drift import Drift, drift_of, drift_of_melt, drift_sentence, latest_drift
from candlebench.core.learning.lesson import WaxLesson, lesson_of
from candlebench.core.learning.pooling import known_wax
from candlebench.core.state import Level
from candlebench.core.units import Shown

# Beeswax of one lot melts at one temperature: 61 to 65 °C from lot to lot (W1 to W4), the same within it.
LOT_C = 63.0


def _lesson(knee_c: float, sd_k: float = 0.3) -> WaxLesson:
    return WaxLesson(knee_c, sd_k, 2.0, 0.4, "cooling")


def _known(melts: int, knee_c: float = LOT_C, sd_k: float = 0.25) -> KnownWax:
    return KnownWax(knee_c, sd_k, 2.0, 0.3, melts)


# --- the rule ---------------------------------------------------------------------------------------------


def test_two_kelvin_off_is_told_and_which_way() -> None:
    low = drift_of(_known(3), _lesson(LOT_C - 2.0), "red")
    assert low is not None and low.by_k == pytest.approx(-2.0) and low.melts == 3
    # The root of 0.3, 0.25 and 0.25 squared.
    assert low.sd_k == pytest.approx(0.4637, abs=1e-3)
    high = drift_of(_known(2), _lesson(LOT_C + 2.0))
    assert high is not None and high.by_k == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("known", "lesson"),
    [
        (None, _lesson(70.0)),
        (_known(3), None),
        # One earlier melt may have been off itself.
        (_known(1), _lesson(LOT_C - 3.0)),
        # Within a kitchen probe's own +-1 K (T8).
        (_known(5, sd_k=0.1), _lesson(LOT_C - 1.1, 0.1)),
        # Not sure enough: 2 K with a spread of 0.9.
        (_known(3), _lesson(LOT_C - 2.0, 0.85)),
    ],
)
def test_what_cannot_be_told_is_not_said(known: KnownWax | None, lesson: WaxLesson | None) -> None:
    assert drift_of(known, lesson) is None


def test_a_probe_that_stays_off_is_told_of_each_time_until_its_melts_are_left_out() -> None:
    sound, low = _lesson(LOT_C), _lesson(LOT_C - 2.5)
    assert latest_drift("beeswax", [sound, sound, sound]) is None
    for lows in (1, 2, 3):
        found = latest_drift("beeswax", [sound, sound, sound, *[low] * lows])
        assert found is not None and found.melts == 3
    assert latest_drift("beeswax", [sound, sound, sound, low, sound]) is None


def test_one_melt_that_lies_off_widens_what_is_known_of_the_lot_and_hardly_moves_it() -> None:
    sound = known_wax("beeswax", [_lesson(LOT_C)] * 3)
    pulled = known_wax("beeswax", [_lesson(LOT_C)] * 3 + [_lesson(LOT_C - 2.5)])
    assert sound is not None and pulled is not None
    assert abs(pulled.knee_c - sound.knee_c) < 0.3
    assert pulled.knee_sd_k > sound.knee_sd_k


# --- simulated lots ---------------------------------------------------------------------------------------


def _of_one_lot(melts: Callable[[int, int], list[SimulatedMelt]], seed: int) -> list[SimulatedMelt]:
    """Melts whose lots are as alike as the batches of one: knees within a quarter of a kelvin."""
    drawn = sorted(melts(seed, 120), key=lambda melt: melt.knee_c)
    best = min(range(len(drawn) - 4), key=lambda i: drawn[i + 4].knee_c - drawn[i].knee_c)
    return drawn[best : best + 5]


@cache
def _lessons(kind: str, seed: int) -> tuple[list[WaxLesson], list[Event]]:
    """What the first melts of a lot taught, and the events of the last one."""
    make, told, to_c = (cooling_melts, cooled, 60.0) if kind == "set" else (heating_melts, heated, 76.0)
    melts = _of_one_lot(make, seed)
    found = [lesson_of(told(melt, to_c)).wax for melt in melts[:-1]]
    return [lesson for lesson in found if lesson is not None], told(melts[-1], to_c)


def _with_known(events: Sequence[Event], lessons: Sequence[WaxLesson], off_k: float) -> list[Event]:
    known = known_wax("beeswax", lessons)
    begun = events[0]
    assert isinstance(begun, MeltBegan)
    setup = replace(begun.setup, lot="spring", probe="red", known=Known(wax=known))
    shifted = [replace(e, temp_c=e.temp_c + off_k) if isinstance(e, Reading) else e for e in events[1:]]
    return [replace(begun, setup=setup), *shifted]


@pytest.mark.parametrize("seed", [311, 312])
def test_of_a_lot_that_set_before_two_kelvin_of_drift_are_told_and_none_where_there_is_none(
    seed: int,
) -> None:
    lessons, last = _lessons("set", seed)
    assert len(lessons) >= 3
    assert drift_of_melt(_with_known(last, lessons, 0.0)) is None
    for off_k in (-2.0, 2.0):
        found = drift_of_melt(_with_known(last, lessons, off_k))
        assert found is not None and found.probe == "red"
        assert found.by_k == pytest.approx(off_k, abs=0.8)


def test_melting_tells_less_and_blames_no_sound_probe() -> None:
    # The hob drives the plateau while wax melts, so one melt alone says where it lies to about 0.8 K.
    told = 0
    for seed in (321, 322, 323, 324):
        lessons, last = _lessons("melted", seed)
        assert len(lessons) >= 3
        assert drift_of_melt(_with_known(last, lessons, 0.0)) is None
        for off_k in (-3.5, 3.5):
            found = drift_of_melt(_with_known(last, lessons, off_k))
            told += found is not None and found.by_k * off_k > 0.0
    assert told >= 4


def test_a_lot_without_a_name_is_compared_with_nothing() -> None:
    lessons, last = _lessons("set", 311)
    events = _with_known(last, lessons, -2.0)
    begun = events[0]
    assert isinstance(begun, MeltBegan)
    assert drift_of_melt([replace(begun, setup=replace(begun.setup, lot="")), *events[1:]]) is None


# --- the words --------------------------------------------------------------------------------------------


def test_the_sentence_says_how_much_what_it_may_be_and_what_to_do() -> None:
    words = drift_sentence(Drift(-2.08, 0.5, 3, "red"), Shown())
    assert "2.1 °C lower than in 3 earlier melts" in words
    assert "“red” may read too low, or this is another wax" in words and "in ice" in words
    words = drift_sentence(Drift(2.0, 0.5, 2), Shown("F"))
    assert "3.6 °F higher" in words and "the probe may read too high" in words


def test_the_debrief_says_it_first_and_has_a_row_for_it() -> None:
    lessons, last = _lessons("set", 311)
    events = _with_known(last, lessons, -2.0)
    debrief = debrief_of(events, drift=drift_of_melt(events))
    assert "may read too low" in advice(debrief, Shown())[0]
    row = rows(debrief, Shown())[-1]
    assert row.level is Level.WARNING and "too low" in row.value and "ice" in row.why
    assert all("ice" not in row.why for row in rows(debrief_of(events), Shown()))
