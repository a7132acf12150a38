"""What is to be practised."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PracticeWish:
    """A scenario by its name, how many times as fast as life it runs, whether to guess first, and whether a
    second probe hangs in the bath.
    """

    scenario: str = "first-jug"
    speed: int = 20
    guess_first: bool = False
    bath_probe: bool = False
