"""Readings that are taken back leave the forecast as if they had never been read."""

from dataclasses import replace

import numpy as np
import pytest
from kitchen import SETUP

from candlebench.core.foresight import Foresight, Happening
from candlebench.core.place import Place
from candlebench.core.setup import Beside
from candlebench.core.track import Track

OFF_S = 300.0
TARGETS = (75.0, 70.0)


def _fed(until_s: float, hurt_s: float, by_k: float, skip_from_s: float, skip_to_s: float) -> Foresight:
    """A jug taken off at 84 °C, with a probe in the room; some readings are off, and some never come."""
    foresight = Foresight(replace(SETUP, beside=Beside(Place.ROOM)), 100.0)
    at_s = 0.0
    while at_s <= until_s:
        temp_c = 84.0 - 4.0 * max(OFF_S - at_s, 0.0) / 60.0 - max(at_s - OFF_S, 0.0) / 60.0
        if at_s == OFF_S:
            foresight.happened(Happening(at_s, lifted=True))
        if at_s == OFF_S + 95.0:
            foresight.happened(Happening(at_s))
        if not skip_from_s < at_s <= skip_to_s:
            foresight.reading(at_s, round(temp_c + (by_k if at_s > hurt_s else 0.0), 1))
        if at_s % 7.0 == 0.0:
            foresight.beside(Place.ROOM, at_s, 21.0)
        at_s += 1.0
    return foresight


@pytest.mark.parametrize("back_s", [1.0, 9.0, 28.0])
def test_taken_back_they_leave_no_trace_and_what_else_was_told_stays(back_s: float) -> None:
    now_s = OFF_S + 110.0
    hurt = _fed(now_s, now_s - back_s, -3.0, 1e9, 1e9)
    never = _fed(now_s, 1e9, 0.0, now_s - back_s, now_s)
    fooled = hurt.crossing(75.0, now_s)
    assert hurt.go_back(now_s - back_s)
    for target_c in TARGETS:
        right, back = never.crossing(target_c, now_s), hurt.crossing(target_c, now_s)
        assert right is not None and back == right
    assert fooled is not None and fooled != hurt.crossing(75.0, now_s)
    # And it goes on from there as the other one does.
    for after_s in (1.0, 2.0, 30.0):
        for foresight in (hurt, never):
            foresight.reading(now_s + after_s, round(82.0 - (110.0 + after_s) / 60.0, 1))
    assert hurt.crossing(70.0, now_s + 30.0) == never.crossing(70.0, now_s + 30.0)


def test_twice_in_a_row_it_goes_back_from_where_it_is() -> None:
    now_s = OFF_S + 110.0
    hurt = _fed(now_s, now_s - 15.0, -3.0, 1e9, 1e9)
    assert hurt.go_back(now_s - 5.0) and hurt.go_back(now_s - 15.0)
    never = _fed(now_s, 1e9, 0.0, now_s - 15.0, now_s)
    assert hurt.crossing(75.0, now_s) == never.crossing(75.0, now_s)


def test_what_is_too_long_ago_is_said_so() -> None:
    hurt = _fed(OFF_S + 110.0, 1e9, 0.0, 1e9, 1e9)
    assert not hurt.go_back(OFF_S)


def test_what_was_unsure_of_them_goes_with_them_and_oil_does_not() -> None:
    now_s = OFF_S + 60.0

    def unsure(spread_k: float, drop_c: float) -> float:
        foresight = _fed(now_s, 1e9, 0.0, now_s - 10.0, now_s)
        foresight.happened(Happening(now_s - 5.0, drop_c, spread_k))
        assert foresight.go_back(now_s - 10.0)
        crossing = foresight.crossing(75.0, now_s)
        assert crossing is not None
        return crossing.high_s - crossing.low_s

    assert unsure(1.0, 0.0) == unsure(0.0, 0.0)
    assert unsure(1.0, 2.0) > 1.05 * unsure(0.0, 2.0)


def test_what_was_done_stays_known_when_a_rebuilt_forecast_goes_back() -> None:
    setup, lifted_s, oil_s = SETUP, 100.0, 160.0
    times_s = np.arange(0.0, 200.0)
    temps_c = np.round(84.0 - times_s / 60.0, 1)
    found = []
    for rebuilt in (False, True):
        foresight = Foresight(setup, 100.0)
        told = [Happening(lifted_s, lifted=True), Happening(oil_s, 3.0, 1.0)]
        for at_s, temp_c in zip(times_s.tolist(), temps_c.tolist(), strict=True):
            while told and told[0].at_s <= at_s:
                foresight.happened(told.pop(0))
            if at_s <= 150.0 or not 150.0 < at_s < 170.0:
                foresight.reading(at_s, temp_c)
        if rebuilt:
            stays = (times_s <= 150.0) | (times_s >= 170.0)
            foresight.rebuild(setup, 100.0, Track.holding(times_s[stays], temps_c[stays]))
        assert foresight.go_back(152.0)
        crossing = foresight.crossing(70.0, 199.0)
        assert crossing is not None
        found.append(crossing.made_at_s + crossing.in_s)
    assert found[1] == pytest.approx(found[0], rel=0.02)
