"""The way back."""

import pytest

from candlebench.ui.trail import Trail


@pytest.mark.parametrize(
    ("ways", "backs"),
    [
        ([], ["melt"]),
        (["plan"], ["melt"]),
        (["plan", "labels", "safety"], ["labels", "plan", "melt"]),
        # By a tab back to a page she came through: what lay after it is forgotten.
        (["plan", "labels", "plan"], ["melt"]),
        (["plan", "labels", "melt", "safety"], ["melt"]),
        (["safety", "safety"], ["melt"]),
        (["plan", "safety", "labels", "safety"], ["plan", "melt"]),
    ],
)
def test_it_leads_back_the_way_she_came_without_going_round(ways: list[str], backs: list[str]) -> None:
    trail, present = Trail(), "melt"
    for page in ways:
        trail.went(present, page)
        present = page
    led = []
    for _ in backs:
        led.append(trail.back)
        trail.went(present, trail.back)
        present = led[-1]
    assert led == backs
