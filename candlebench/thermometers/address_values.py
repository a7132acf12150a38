"""The values behind the `?` of an address, each checked; what cannot be is refused with what to write."""

import math

from candlebench.core.errors import FixableError
from candlebench.thermometers.line_settings import LineSettings
from candlebench.words import tr

USUAL_BAUD = 9600
# From the slowest teletype speed that systems still know to the fastest USB adapters (from memory).
SLOWEST_BAUD = 50
FASTEST_BAUD = 4_000_000
SMALLEST_SCALE = 1e-6
LARGEST_SCALE = 1e6
# Ten readings a second are more than a melt has use for; an hour between two is no watching.
SHORTEST_EVERY_S = 0.1
LONGEST_EVERY_S = 3600.0

Query = dict[str, str]


def refuse_unknown(query: Query, known: tuple[str, ...], kind: str) -> None:
    """Raise `FixableError` when a key means nothing for this kind of thermometer."""
    unknown = sorted(set(query) - set(known))
    if unknown:
        raise FixableError(
            tr("“{key}” means nothing for {kind}: it takes {keys}.").format(
                key=unknown[0], kind=kind, keys=", ".join(known)
            )
        )


def baud_in(query: Query, usual: int = USUAL_BAUD) -> int:
    """Return the speed of the port."""
    text = query.get("baud", "")
    if not text:
        return usual
    if not (text.isascii() and text.isdigit() and SLOWEST_BAUD <= int(text[:9]) <= FASTEST_BAUD):
        raise FixableError(
            tr("baud={text} is no speed of a serial port: write one like baud=9600.").format(text=text)
        )
    return int(text)


def unit_in(query: Query, key: str = "unit") -> str | None:
    """Return the unit of temperature, None when none is said."""
    text = query.get(key, "")
    if not text:
        return None
    if text.upper() not in ("C", "F", "K"):
        raise FixableError(
            tr("{key}={text} is no unit of temperature: write C, F or K.").format(key=key, text=text)
        )
    return text.upper()


def scale_in(query: Query) -> float | None:
    """Return what numbers are multiplied by, None when none is said."""
    text = query.get("scale", "")
    if not text:
        return None
    scale = _number(text)
    if not SMALLEST_SCALE <= abs(scale) <= LARGEST_SCALE:
        raise FixableError(tr("scale={text} is no scale: write one like scale=0.1.").format(text=text))
    return scale


def every_s_in(query: Query) -> float:
    """Return the seconds from one question to the next; 1 when none are said."""
    text = query.get("every", "")
    if not text:
        return 1.0
    every_s = _number(text)
    if not SHORTEST_EVERY_S <= every_s <= LONGEST_EVERY_S:
        raise FixableError(
            tr("every={text} is no time in seconds from 0.1 to 3600: write one like every=1.").format(
                text=text
            )
        )
    return every_s


def whole_in(query: Query, key: str, usual: int, lowest: int, highest: int) -> int:
    """Return a whole number within limits."""
    text = query.get(key, "")
    if not text:
        return usual
    if not (text.isascii() and text.isdigit() and lowest <= int(text[:9]) <= highest):
        raise FixableError(
            tr("{key}={text} cannot be: write a whole number from {lowest} to {highest}.").format(
                key=key, text=text, lowest=lowest, highest=highest
            )
        )
    return int(text)


def choice_in(query: Query, key: str, choices: tuple[str, ...]) -> str:
    """Return one of some words, however it was capitalised; the first when none is said."""
    text = query.get(key, "")
    if not text:
        return choices[0]
    found = next((choice for choice in choices if choice.lower() == text.lower()), None)
    if found is None:
        raise FixableError(
            tr("{key}={text} cannot be: write one of {choices}.").format(
                key=key, text=text, choices=", ".join(choices)
            )
        )
    return found


def line_settings_in(query: Query) -> LineSettings:
    """Return what the person said about the lines."""
    return LineSettings(query.get("channel", "").strip() or None, unit_in(query), scale_in(query))


def _number(text: str) -> float:
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return math.nan
