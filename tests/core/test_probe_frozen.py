"""A number that stands to the last digit where it cannot is noticed (T39); a plateau is not."""

import math
import random

import pytest
from kitchen import LIMITS, Hob

from candlebench.core.events import ActionKind
from candlebench.core.probe_frozen import FrozenWatch


def _watch() -> FrozenWatch:
    watch = FrozenWatch()
    watch.limits, watch.room_c = LIMITS, 20.0
    return watch


def _first(watch: FrozenWatch, temps_c: list[float], on_heat: bool, from_s: float = 0.0) -> float | None:
    """Seconds from the beginning of these readings until it is said."""
    for i, temp_c in enumerate(temps_c):
        if watch.frozen_for_s(from_s + i, temp_c, on_heat) is not None:
            return float(i)
    return None


def _scattered(level_c: float, sd_k: float, count: int, step_k: float = 0.1) -> list[float]:
    dice = random.Random(4)
    return [round(round(dice.gauss(level_c, sd_k) / step_k) * step_k, 3) for _ in range(count)]


def test_a_probe_that_scattered_by_a_tenth_and_shows_forty_times_the_same_is_frozen() -> None:
    watch = _watch()
    # On the plateau, where only its own trembling tells.
    assert _first(watch, _scattered(62.0, 0.1, 200), on_heat=True) is None
    found = _first(watch, [62.0] * 80, on_heat=True, from_s=200.0)
    assert found is not None and 20.0 <= found <= 70.0


@pytest.mark.parametrize("step_k", [0.1, 0.5, 1.0])
def test_a_quiet_probe_on_the_plateau_may_stand_for_long(step_k: float) -> None:
    watch = _watch()
    rising = [round(round((50.0 + 0.05 * i) / step_k) * step_k, 3) for i in range(240)]
    assert _first(watch, rising, on_heat=True) is None
    assert _first(watch, [62.0] * 900, on_heat=True, from_s=240.0) is None


@pytest.mark.parametrize(("step_k", "within_s"), [(0.1, 60.0), (0.5, 200.0), (1.0, 400.0)])
def test_off_the_heat_above_the_plateau_it_must_move(step_k: float, within_s: float) -> None:
    watch = _watch()
    falling = [round(round((80.0 - i / 60.0) / step_k) * step_k, 3) for i in range(400)]
    assert _first(watch, falling, on_heat=False) is None
    found = _first(watch, [falling[-1]] * 500, on_heat=False, from_s=400.0)
    assert found is not None and 20.0 <= found <= within_s


def test_a_large_pail_that_cools_slowly_on_a_coarse_display_is_not_frozen() -> None:
    # A time constant of 3 h, slower than any jug of H29 to H32: 0.28 K/min at 70 C.
    watch = _watch()
    pail = [float(round(20.0 + 58.0 * math.exp(-i / 10800.0))) for i in range(2400)]
    assert _first(watch, pail, on_heat=False) is None


def test_what_rose_and_stops_dead_on_the_heat_is_said_unless_the_knob_was_turned() -> None:
    for turned in (False, True):
        watch = _watch()
        assert _first(watch, [round(70.0 + 0.05 * i, 1) for i in range(160)], on_heat=True) is None
        if turned:
            watch.disturbed()
        found = _first(watch, [78.0] * 300, on_heat=True, from_s=160.0)
        assert (found is None) is turned


def test_a_frozen_number_is_taken_back_from_the_curve_and_a_live_one_is_believed_at_once() -> None:
    hob = Hob()
    hob.do(ActionKind.OFF_HEAT)
    hob.feed(round(79.0 - i / 60.0 + 0.06 * math.sin(2.4 * i), 1) for i in range(200))
    before = len(hob.melt.state.times_s)
    version = hob.melt.state.track_version
    hob.hold(75.7, 70.0)
    state = hob.melt.state
    assert "to the last digit" in hob.first("probe_doubtful")[1].text
    # Of the readings that stand only the first is left, which was true.
    assert before - 2 <= len(state.times_s) <= before + 2 and state.track_version > version
    assert not state.fresh and "oil_open" not in hob.codes("cue")
    hob.read(74.4)
    hob.read(74.3)
    assert hob.melt.state.fresh and hob.melt.state.temp_c == 74.3
    hob.feed([74.3, 74.2, 74.3, 74.2, 74.2])
    assert hob.alarms == []


def test_lifting_the_jug_does_not_bring_a_frozen_number_to_life() -> None:
    hob = Hob()
    hob.feed(round(68.0 + 0.06 * i, 1) for i in range(110))
    hob.hold(74.6, 60.0)
    assert "probe_doubtful" in hob.alarms
    hob.do(ActionKind.OFF_HEAT)
    hob.hold(74.6, 60.0)
    assert not any(code.startswith("oil_") for code in hob.codes("cue"))
