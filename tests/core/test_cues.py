"""Where the melt stands against a window."""

from dataclasses import replace

import pytest
from kitchen import LIMITS, SETUP

from candlebench.core.cues import Phase, Window, oil_window, phase, pour_window
from candlebench.core.forecast.crossing import Crossing

OIL = Window("oil", 70.0, 72.0, 75.0)


def _in(seconds: float) -> Crossing:
    return Crossing(75.0, 0.8 * seconds, seconds, 1.2 * seconds, 1.0, 0.0)


def test_a_fall_through_the_window_goes_far_soon_open_last_call_missed() -> None:
    now, seen = Phase.FAR, []
    for tenth in range(900, 680, -1):
        temp_c = tenth / 10.0
        opens = _in((temp_c - 75.0) * 60.0) if temp_c > 75.0 else None
        ends = _in((temp_c - 72.0) * 60.0) if temp_c > 72.0 else None
        now = phase(OIL, temp_c, now, opens, ends)
        if not seen or seen[-1][0] is not now:
            seen.append((now, temp_c))
    assert seen == [
        (Phase.FAR, 90.0), (Phase.SOON, 78.0), (Phase.OPEN, 75.0),
        (Phase.LAST_CALL, 73.0), (Phase.MISSED, 69.9),
    ]  # fmt: skip


def test_noise_at_an_edge_does_not_make_it_flicker() -> None:
    assert phase(OIL, 75.6, Phase.OPEN, None, None) is Phase.OPEN
    assert phase(OIL, 75.9, Phase.OPEN, None, None) is Phase.FAR
    assert phase(OIL, 70.3, Phase.MISSED, None, None) is Phase.MISSED
    assert phase(OIL, 70.5, Phase.MISSED, None, None) is Phase.LAST_CALL
    assert phase(OIL, 73.5, Phase.LAST_CALL, None, _in(90.0)) is Phase.LAST_CALL
    assert phase(OIL, 76.0, Phase.SOON, _in(200.0), None) is Phase.SOON


def test_crossed_edges_are_no_safe_window_at_any_temperature() -> None:
    crossed = Window("oil", 70.0, 70.0, 65.0)
    assert {phase(crossed, t, Phase.FAR, None, None) for t in (60.0, 67.0, 72.0, 90.0)} == {Phase.UNSAFE}


@pytest.mark.parametrize(("wished_c", "end_c"), [(60.0, 70.0), (72.1, 72.1), (90.0, 74.0)])
def test_the_useful_end_of_the_oil_window_lies_inside_it(wished_c: float, end_c: float) -> None:
    assert oil_window(SETUP, wished_c) == Window("oil", 70.0, end_c, 75.0)


def test_the_pour_window_is_that_of_the_setup() -> None:
    setup = replace(SETUP, limits=replace(LIMITS, pour_low_c=55.0, pour_high_c=60.0))
    assert pour_window(setup) == Window("pour", 55.0, 55.0, 60.0)
