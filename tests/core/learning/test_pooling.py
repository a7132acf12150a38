"""Lessons brought together."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from candlebench.core.learning.family import BEESWAX_KNEE, Belief
from candlebench.core.learning.lesson import JugLesson, ProbeLesson, WaxLesson
from candlebench.core.learning.pooling import Said, known_jug, known_probe, known_wax, pooled

FAMILY = BEESWAX_KNEE


def wax(knee_c: float, sd_k: float = 0.3) -> WaxLesson:
    return WaxLesson(knee_c, sd_k, 2.0, 0.4, "cooling")


def test_agreeing_melts_make_it_surer_one_by_one() -> None:
    spreads = [pooled(FAMILY, [Belief(62.5, 0.3)] * n, 0.3).sd for n in range(5)]
    assert spreads == sorted(spreads, reverse=True)
    assert spreads[0] == FAMILY.sd and spreads[4] < 0.25


def test_one_vague_melt_is_drawn_towards_the_family() -> None:
    vague, sharp = (pooled(FAMILY, [Belief(65.0, sd)], 0.3).mean for sd in (1.5, 0.2))
    assert FAMILY.mean < vague < 64.5 < sharp < 65.0


def test_a_melt_that_disagrees_widens_the_spread_and_moves_the_mean_little() -> None:
    agreed = pooled(FAMILY, [Belief(62.5, 0.3)] * 3, 0.3)
    torn = pooled(FAMILY, [Belief(62.5, 0.3)] * 3 + [Belief(65.5, 0.3)], 0.3)
    assert torn.sd > 1.3 * agreed.sd
    assert abs(torn.mean - agreed.mean) < 0.5


def test_two_melts_that_disagree_leave_it_between_them_and_wide() -> None:
    torn = pooled(FAMILY, [Belief(62.0, 0.3), Belief(64.0, 0.3)], 0.3)
    assert 62.3 < torn.mean < 63.7 and torn.sd > 0.5


@given(
    st.lists(st.tuples(st.floats(55.0, 72.0), st.floats(0.1, 2.0)), min_size=1, max_size=6),
    st.floats(-20.0, 20.0),
)
def test_the_result_lies_among_what_went_in_and_moves_with_it(
    pairs: list[tuple[float, float]], shift: float
) -> None:
    lessons = [Belief(*pair) for pair in pairs]
    found = pooled(FAMILY, lessons, 0.3)
    values = [FAMILY.mean, *(x.mean for x in lessons)]
    assert min(values) - 0.1 <= found.mean <= max(values) + 0.1
    assert found.sd > 0.0
    moved = pooled(
        Belief(FAMILY.mean + shift, FAMILY.sd), [Belief(x.mean + shift, x.sd) for x in lessons], 0.3
    )
    assert moved.mean == pytest.approx(found.mean + shift, abs=1e-6)
    assert moved.sd == pytest.approx(found.sd, abs=1e-6)


def test_what_she_says_counts_and_later_melts_move_it() -> None:
    said = known_wax("beeswax", [], Said(63.8))
    assert said is not None
    assert said.knee_c == pytest.approx(63.8, abs=0.01) and said.melts == 0 and said.knee_sd_k < 0.4
    later = known_wax("beeswax", [wax(63.2)], Said(63.8))
    assert later is not None and 63.3 < later.knee_c < 63.7


def test_nothing_known_stays_nothing() -> None:
    assert known_wax("beeswax", []) is None
    assert known_wax("none", [wax(63.0)]) is None
    assert known_jug([], 500.0) is None
    assert known_probe([]) is None


def test_a_jug_known_at_one_fill_is_known_at_another() -> None:
    lessons = [JugLesson(1.0, 0.1, 400.0)] * 3
    same, fuller = known_jug(lessons, 400.0), known_jug(lessons, 1000.0)
    assert same is not None and fuller is not None
    # H29 and H31 of heat.md: 1.06 K/min with 300 g, 0.66 with 1000 g in bright steel.
    assert same.loss_k_per_min == pytest.approx(1.0, rel=0.05)
    assert fuller.loss_k_per_min == pytest.approx(0.72, rel=0.08)
    assert (fuller.fill_g, fuller.melts) == (1000.0, 3)
    assert same.sd_log < 0.15


def test_a_jug_that_was_never_weighed_is_taken_as_filled_as_usual() -> None:
    known = known_jug([JugLesson(0.9, 0.1, 1000.0)], None)
    assert known is not None and known.fill_g == 1000.0


def test_a_probes_lag_is_pooled_as_a_ratio() -> None:
    known = known_probe([ProbeLesson(6.0, 0.2), ProbeLesson(9.0, 0.2)])
    assert known is not None
    assert 6.0 < known.lag_s < 9.5 and known.melts == 2
    assert math.isfinite(known.sd_log) and known.sd_log < 0.4
