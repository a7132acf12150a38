"""The answer of a forecast: when a temperature will be crossed, and how sure that is."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Crossing:
    """When the melt will cross one temperature.

    Attributes
    ----------
    target_c : float
        The temperature in question.
    low_s, in_s, high_s : float
        5, 50 and 95 % points of the time left, in seconds from `made_at_s`. Infinity when that point is
        not reached within two hours.
    chance : float
        Probability, 0 to 1, that it is crossed within two hours.
    made_at_s : float
        Elapsed time of the reading that the forecast was made at.
    """

    target_c: float
    low_s: float
    in_s: float
    high_s: float
    chance: float
    made_at_s: float
