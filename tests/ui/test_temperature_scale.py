"""The scale of temperatures on the batch sheet: its marks, and words that stand apart."""

from itertools import pairwise

import numpy as np
import pytest
from core.plan.workbench import SCENTED, SIX, blend, planned
from hypothesis import given, settings
from hypothesis import strategies as st

from candlebench.ui.temperature_scale import apart, limit_marks

CENTERS = st.lists(st.floats(0.0, 600.0), min_size=1, max_size=6).map(sorted)


@given(CENTERS, st.floats(20.0, 80.0))
def test_words_never_overlap_and_stay_on_the_paper(centers: list[float], width: float) -> None:
    lefts = apart(centers, [width] * len(centers), 0.0, 680.0)
    assert all(after - before >= width + 7.99 for before, after in pairwise(lefts))
    assert lefts[0] >= 0.0 and lefts[-1] + width <= 680.0 + 1e-6


@given(CENTERS)
@settings(deadline=None)
def test_words_are_moved_as_little_in_all_as_scipy_moves_them(centers: list[float]) -> None:
    """Least squares under an order is isotonic regression: `scipy.optimize.isotonic_regression`."""
    optimize = pytest.importorskip("scipy.optimize")
    width, gap = 60.0, 8.0
    taken = (width + gap) * np.arange(len(centers))
    best = optimize.isotonic_regression(np.array(centers) - width / 2.0 - taken).x + taken
    assert apart(centers, [width] * len(centers), -1e6, 1e6) == pytest.approx(best.tolist(), abs=1e-6)


def test_words_with_room_stand_under_their_marks() -> None:
    assert apart([100.0, 300.0], [40.0, 60.0], 0.0, 600.0) == [80.0, 270.0]


def test_limits_rise_and_the_gravest_stays_where_they_fall_together() -> None:
    temps = [mark.temp_c for mark in limit_marks(planned(SIX))]
    assert temps == [68.0, 80.0, 85.0, 95.0]
    # At 5500 m water boils near 81 degC (US Standard Atmosphere with IAPWS-95): stop and strong warning meet.
    high = limit_marks(planned(SIX, altitude_m=5500.0))
    assert [mark.words for mark in high][-1] == "stop heating"
    assert len({round(mark.temp_c, 1) for mark in high}) == len(high) == 3


def test_the_warning_with_oil_stands_on_the_scale_where_it_is_lower() -> None:
    # O50: limonene in beeswax flashes far below plain wax.
    orange = limit_marks(planned(SIX, oils=blend("orange"), load_pct=3.0))
    assert any(mark.words == "warning with the oil in" and mark.temp_c < 80.0 for mark in orange)
    assert not any("oil" in mark.words for mark in limit_marks(planned(SCENTED)))
