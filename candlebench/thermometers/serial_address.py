"""What a `serial:` address says: `serial:/dev/ttyUSB0?baud=9600&channel=melt&unit=F&scale=0.1`."""

import math
from dataclasses import dataclass, field

from candlebench.core.errors import FixableError
from candlebench.thermometers.line_settings import LineSettings
from candlebench.words import tr

USUAL_BAUD = 9600
# From the slowest teletype speed that systems still know to the fastest USB adapters (from memory).
SLOWEST_BAUD = 50
FASTEST_BAUD = 4_000_000
SMALLEST_SCALE = 1e-6
LARGEST_SCALE = 1e6
_KEYS = ("baud", "channel", "unit", "scale")


@dataclass(frozen=True, slots=True)
class SerialAddress:
    """Path, speed and what the person said about the lines."""

    path: str
    baud: int = USUAL_BAUD
    settings: LineSettings = field(default_factory=LineSettings)


def read_address(path: str, query: dict[str, str]) -> SerialAddress:
    """Check the parts of an address.

    Raises
    ------
    FixableError
        No path, a key that means nothing, or a value that cannot be; the text says what to write.
    """
    if not path:
        raise FixableError(tr("Name the port, as in serial:/dev/ttyUSB0?baud=9600."))
    unknown = sorted(set(query) - set(_KEYS))
    if unknown:
        raise FixableError(
            tr("“{key}” means nothing for a serial port: it takes {keys}.").format(
                key=unknown[0], keys=", ".join(_KEYS)
            )
        )
    settings = LineSettings(
        query.get("channel", "").strip() or None, _unit(query.get("unit", "")), _scale(query.get("scale", ""))
    )
    return SerialAddress(path, _baud(query.get("baud", "")), settings)


def _baud(text: str) -> int:
    if not text:
        return USUAL_BAUD
    if not (text.isascii() and text.isdigit() and SLOWEST_BAUD <= int(text[:9]) <= FASTEST_BAUD):
        raise FixableError(
            tr("baud={text} is no speed of a serial port: write one like baud=9600.").format(text=text)
        )
    return int(text)


def _unit(text: str) -> str | None:
    if not text:
        return None
    if text.upper() not in ("C", "F", "K"):
        raise FixableError(tr("unit={text} is no unit of temperature: write C, F or K.").format(text=text))
    return text.upper()


def _scale(text: str) -> float | None:
    if not text:
        return None
    try:
        scale = float(text.replace(",", "."))
    except ValueError:
        scale = math.nan
    if not SMALLEST_SCALE <= abs(scale) <= LARGEST_SCALE:
        raise FixableError(tr("scale={text} is no scale: write one like scale=0.1.").format(text=text))
    return scale
