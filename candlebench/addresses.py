"""Source addresses, as typed on the console and kept in settings: `scheme:rest?key=value&key=value`."""

from dataclasses import dataclass
from pathlib import Path
from typing import TextIO
from urllib.parse import parse_qsl, quote

from candlebench.core.clock import Clock, LiveClock
from candlebench.core.errors import FixableError
from candlebench.thermometers.source import ThermometerSource
from candlebench.words import tr

LIVE = ("serial", "tcp", "modbus", "scpi", "nmea", "file", "typed")
SCHEMES = (*LIVE, "replay", "practice")


@dataclass(frozen=True, slots=True)
class Address:
    """One address taken apart; query values are percent-decoded."""

    scheme: str
    rest: str
    query: dict[str, str]


def parse_address(text: str) -> Address:
    """Take an address apart.

    Raises
    ------
    FixableError
        Not an address of a known kind.
    """
    scheme, colon, rest = text.strip().partition(":")
    if not colon or scheme not in SCHEMES:
        raise FixableError(
            tr("“{text}” is no thermometer address: write one like {example}.").format(
                text=text,
                example=(
                    "serial:/dev/ttyUSB0?baud=9600, tcp:192.168.1.20:4001, modbus:/dev/ttyUSB0?unit=1, "
                    "scpi:/dev/ttyUSB0?query=READ?, nmea:/dev/ttyUSB0, "
                    "file:/sys/class/hwmon/hwmon0/temp1_input, typed:, replay:melt.csv?speed=60, "
                    "practice:first-jug"
                ),
            )
        )
    path, _, query = rest.partition("?")
    return Address(scheme, path, dict(parse_qsl(query, keep_blank_values=True)))


def write_address(scheme: str, rest: str, query: dict[str, str]) -> str:
    """The reverse of `parse_address`."""
    tail = "&".join(f"{key}={quote(value, safe='/')}" for key, value in query.items() if value)
    return f"{scheme}:{rest}?{tail}" if tail else f"{scheme}:{rest}"


def is_live(text: str) -> bool:
    """Whether the source runs in real time, so that its melt can be taken up again after a restart."""
    return text.partition(":")[0] in LIVE


def open_source(
    text: str,
    from_elapsed_s: float = 0.0,
    unit: str = "C",
    *,
    typed_lines: TextIO | None = None,
    by_itself: bool = False,
) -> ThermometerSource:
    """Return the source an address names.

    Parameters
    ----------
    text : str
        The address.
    from_elapsed_s : float
        Where the melt's clock stands: more than 0 when a melt is taken up again.
    unit : str
        Unit of numbers typed on the console, 'C' or 'F'.
    typed_lines : file or None
        Where `typed:` reads lines from; None in a window, which passes on typed numbers itself.
    by_itself : bool
        Let a practice melt be worked by a simulated maker, as nobody is there to press keys.

    Raises
    ------
    FixableError
        The address cannot be used; the text says what to write.
    """
    address = parse_address(text)
    match address.scheme:
        case "serial":
            from candlebench.thermometers.serial_port import serial_source

            return serial_source(address.rest, address.query, LiveClock(from_elapsed_s))
        case "tcp" | "modbus" | "scpi" | "nmea":
            return _wired(address, LiveClock(from_elapsed_s))
        case "file":
            from candlebench.thermometers.file_source import file_source

            return file_source(address.rest, address.query, LiveClock(from_elapsed_s))
        case "typed":
            from candlebench.thermometers.typed import TypedSource

            return TypedSource(typed_lines, LiveClock(from_elapsed_s), unit)
        case "replay":
            from candlebench.thermometers.replay import ReplaySource

            _refuse_others(address, ("speed",))
            return ReplaySource(Path(address.rest), _speed(address))
        case _:
            from candlebench.thermometers.practice import PracticeSource

            _refuse_others(address, ("speed", "seed"))
            return PracticeSource(
                address.rest or "first-jug", _speed(address), seed=_seed(address), by_itself=by_itself
            )


def _wired(address: Address, clock: Clock) -> ThermometerSource:
    from candlebench.thermometers import wire_address

    open_kind = {
        "tcp": wire_address.tcp_source,
        "modbus": wire_address.modbus_source,
        "scpi": wire_address.scpi_source,
        "nmea": wire_address.nmea_source,
    }[address.scheme]
    return open_kind(address.rest, address.query, clock)


def _refuse_others(address: Address, known: tuple[str, ...]) -> None:
    unknown = set(address.query) - set(known)
    if unknown:
        raise FixableError(
            tr("“{key}” means nothing for {scheme}: it takes {known} only.").format(
                key=min(unknown), scheme=address.scheme, known=tr(" and ").join(known)
            )
        )


def _speed(address: Address) -> float:
    text = address.query.get("speed", "")
    try:
        return float(text.replace(",", ".")) if text else 1.0
    except ValueError as error:
        raise FixableError(
            tr("speed={text} is no number: write one like speed=20.").format(text=text)
        ) from error


def _seed(address: Address) -> int:
    """Which run of chance a practice melt takes: the same seed gives the same melt."""
    text = address.query.get("seed", "") or "0"
    if not text.isdecimal():
        raise FixableError(tr("seed={text} is no whole number: write one like seed=3.").format(text=text))
    return int(text)
