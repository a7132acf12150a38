"""What a `serial:` address says: `serial:/dev/ttyUSB0?baud=9600&channel=melt&unit=F&scale=0.1`."""

from dataclasses import dataclass, field

from candlebench.core.errors import FixableError
from candlebench.thermometers.address_values import (
    BESIDE_KEYS,
    USUAL_BAUD,
    baud_in,
    line_settings_in,
    refuse_unknown,
)
from candlebench.thermometers.line_settings import LineSettings
from candlebench.words import tr

_KEYS = ("baud", "channel", *BESIDE_KEYS, "unit", "scale")


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
    refuse_unknown(query, _KEYS, tr("a serial port"))
    return SerialAddress(path, baud_in(query), line_settings_in(query))
