"""What a probe showed at a check point: typed by hand, once or several times, or settled from a stream."""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from candlebench.core.errors import FixableError
from candlebench.core.units import Shown
from candlebench.words import tr

_NUMBER = re.compile(r"[+-]?(\d+)(?:[.,](\d*))?|[+-]?[.,](\d+)")


@dataclass(frozen=True, slots=True)
class PointReading:
    """What a probe showed at one point.

    Attributes
    ----------
    read_c : float
        The mean of it, in C.
    step_k : float
        The step of its display, as far as the readings show it, in kelvin.
    scatter_k : float or None
        Standard uncertainty of the mean from scatter, drift and eddies; None when it was read once.
    count : int
        How many readings are in it.
    """

    read_c: float
    step_k: float
    scatter_k: float | None
    count: int


def typed_reading(texts: Sequence[str], shown: Shown) -> PointReading:
    """Return what was typed, one number or several of the same point.

    Parameters
    ----------
    texts : sequence of str
        '0.4', '99,1'; the decimals say how fine the display is.
    shown : Shown
        The unit that she reads and types.

    Raises
    ------
    FixableError
        One of them is no number.
    """
    numbers = [_number(text) for text in texts]
    step_k = shown.back(max(10.0 ** -max(_decimals(text) for text in texts), 1e-3)) - shown.back(0.0)
    temps_c = [shown.back(number) for number in numbers]
    mean_c = sum(temps_c) / len(temps_c)
    if len(temps_c) == 1:
        return PointReading(mean_c, step_k, None, 1)
    # JCGM 100:2008, 4.2.2 and 4.2.3.
    spread = sum((temp - mean_c) ** 2 for temp in temps_c) / (len(temps_c) - 1)
    return PointReading(mean_c, step_k, math.sqrt(spread / len(temps_c)), len(temps_c))


def is_typed_number(text: str) -> bool:
    """Whether a text is a number as `typed_reading` takes it."""
    return _NUMBER.fullmatch(text.strip()) is not None


def _number(text: str) -> float:
    if not is_typed_number(text):
        raise FixableError(
            tr("“{text}” is no temperature: type what the probe shows, like 0.4.").format(text=text)
        )
    return float(text.strip().replace(",", "."))


def _decimals(text: str) -> int:
    match = _NUMBER.fullmatch(text.strip())
    return 0 if match is None else len(match[2] or match[3] or "")
