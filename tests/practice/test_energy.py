"""The heat of any practice melt adds up, worked out from its temperatures and not from its own books."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from candlebench.core.events import ActionKind
from candlebench.practice.curves import practice_curve
from candlebench.practice.hands import Hands
from candlebench.practice.melt import PracticeMelt
from candlebench.practice.scenario import Scenario
from candlebench.practice.scenario_file import load_scenario, scenario_names

# Of the heat that melts the wax in the jug, far less than what goes through the bath.
CLOSES_WITHIN = 1e-3
# E21: 282.8 J/g from 20 to 75 degC.
_MELTS_J_PER_G = 282.8

STEPS = (
    ActionKind.HEAT_DOWN,
    ActionKind.OFF_HEAT,
    ActionKind.ON_HEAT,
    ActionKind.OIL_IN,
    ActionKind.STIRRED,
    ActionKind.POURED,
    ActionKind.UNDO,
)


class Books:
    """What the parts of one melt hold, by their temperatures, beside what went in and out of it."""

    def __init__(self, scenario: Scenario) -> None:
        self.melt = PracticeMelt(scenario, seed=3)
        self.hands = Hands(self.melt)
        self.curve = practice_curve(scenario)
        self.start_j = self.held_j()

    def held_j(self) -> float:
        """What all parts hold, from what a thermometer in each would show."""
        melt, scenario = self.melt, self.melt.scenario
        # E22: 4.19 J/g K; O84: oil 1.95 J/g K.
        held = (melt.water_g * 4.19 + scenario.bath.pan_j_per_k) * melt.bath_c
        held += scenario.jug.metal_j_per_k * melt.jug_c
        pieces_g = scenario.wax.mass_g * scenario.wax.pieces_share if melt.pieces_c is not None else 0.0
        left_g = scenario.wax.mass_g
        if melt.jars is not None:
            # A film of 2 %, 5 g at least, stays in the jug.
            left_g *= max(0.02, 5.0 / scenario.wax.mass_g)
        held += (left_g - pieces_g) * float(self.curve.heat_j_per_g(melt.wax_c))
        if melt.pieces_c is not None:
            held += pieces_g * float(self.curve.heat_j_per_g(melt.pieces_c))
        if melt.oil_c is not None:
            held += melt.oil_g * 1.95 * melt.oil_c
        return held

    def gap_share(self) -> float:
        """What does not add up, as a share of the heat that melts the wax."""
        ledger = self.melt.ledger
        into_j = ledger.hob_j + ledger.oil_j
        out_j = ledger.room_j + ledger.steam_j + ledger.poured_j
        gap_j = into_j - out_j - (self.held_j() - self.start_j)
        return abs(gap_j) / (self.melt.scenario.wax.mass_g * _MELTS_J_PER_G)


@pytest.mark.parametrize("name", scenario_names())
def test_every_scenario_closes_its_books_from_cold_to_poured(name: str) -> None:
    books = Books(load_scenario(name))
    plan = {
        2400: ActionKind.OFF_HEAT,
        2700: ActionKind.OIL_IN,
        2760: ActionKind.STIRRED,
        3000: ActionKind.POURED,
    }
    for second in range(0, 3600, 60):
        books.melt.step_to(second)
        assert books.gap_share() < CLOSES_WITHIN
        if second in plan:
            books.hands.do(plan[second])
            assert books.gap_share() < CLOSES_WITHIN
    jars = books.melt.jars
    assert jars is not None
    assert abs(jars.gap_j) < CLOSES_WITHIN * books.melt.ledger.poured_j


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    name=st.sampled_from(scenario_names()),
    done=st.lists(
        st.tuples(
            st.integers(1, 600), st.one_of(st.sampled_from(STEPS), st.floats(0.0, 1.0, allow_nan=False))
        ),
        max_size=12,
    ),
    water_g=st.floats(100.0, 1500.0),
)
def test_whatever_is_pressed_or_turned_the_books_close(
    name: str, done: list[tuple[int, ActionKind | float]], water_g: float
) -> None:
    scenario = load_scenario(name)
    books = Books(replace(scenario, bath=replace(scenario.bath, water_g=water_g)))
    for wait_s, what in done:
        books.melt.step_to(books.melt.elapsed_s + wait_s)
        assert books.gap_share() < CLOSES_WITHIN
        if isinstance(what, ActionKind):
            books.hands.do(what)
        else:
            books.hands.do(ActionKind.HEAT_SET, f"{what}")
        assert books.gap_share() < CLOSES_WITHIN
    books.melt.step_to(books.melt.elapsed_s + 900.0)
    assert books.gap_share() < CLOSES_WITHIN
    assert books.melt.water_g >= 0.0


def test_a_dry_bath_closes_its_books_too() -> None:
    books = Books(load_scenario("dry-bath"))
    books.melt.step_to(45 * 60.0)
    assert books.melt.truth.bath_dry and books.melt.bath_c > 200.0
    assert books.gap_share() < CLOSES_WITHIN
    # Of 240 g nearly all is steam now: 2.26 to 2.4 kJ/g and the warmth it took along.
    assert books.melt.ledger.steam_j == pytest.approx(235.0 * (2260.0 + 4.19 * 100.0), rel=0.02)
