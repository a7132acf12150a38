"""Source addresses, as typed on the console and kept in settings: `scheme:rest?key=value&key=value`."""

import os
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TextIO
from urllib.parse import parse_qsl, quote

from candlebench.core.clock import Clock, LiveClock
from candlebench.core.errors import FixableError
from candlebench.core.place import Place
from candlebench.core.setup import Beside
from candlebench.words import tr

if TYPE_CHECKING:
    # What the values mean is loaded when a thermometer is opened; to tell live from practice takes none.
    from candlebench.thermometers.line_settings import LineSettings
    from candlebench.thermometers.source import ThermometerSource

LIVE = ("serial", "tcp", "modbus", "scpi", "nmea", "file", "typed")
SCHEMES = (*LIVE, "replay", "practice")
# Thermometers that send lines of text by themselves.
_LINES = ("serial", "tcp", "nmea")


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
    clock: Clock | None = None,
) -> "ThermometerSource":
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
    clock : Clock or None
        The clock of a running melt that a second thermometer is to go by; None for a clock of its own.

    Raises
    ------
    FixableError
        The address cannot be used; the text says what to write.
    """
    from candlebench.thermometers import address_values as values

    address = parse_address(text)
    live = clock or LiveClock(from_elapsed_s)
    match address.scheme:
        case "serial":
            from candlebench.thermometers.serial_port import serial_source

            return serial_source(address.rest, address.query, live)
        case "tcp" | "modbus" | "scpi" | "nmea":
            return _wired(address, live)
        case "file":
            from candlebench.thermometers.file_source import file_source

            return file_source(address.rest, address.query, live)
        case "typed":
            from candlebench.thermometers.typed import TypedSource

            return TypedSource(typed_lines, live, unit)
        case "replay":
            from candlebench.thermometers.replay import ReplaySource

            _refuse_others(address, ("speed", *values.BESIDE_KEYS))
            beside = values.beside_in(address.query)
            return ReplaySource(Path(address.rest), _speed(address), beside=beside)
        case _:
            from candlebench.thermometers.practice import PracticeSource

            _refuse_others(address, ("speed", "seed", *values.BESIDE_KEYS))
            return PracticeSource(
                address.rest or "first-jug",
                _speed(address),
                seed=_seed(address),
                by_itself=by_itself,
                beside=_practised_beside(address),
            )


def beside_of(text: str) -> Beside | None:
    """Return the second probe that an address names on its own wire; None when it names none.

    Raises
    ------
    FixableError
        It is no address, or names two.
    """
    from candlebench.thermometers.address_values import beside_in

    named = beside_in(parse_address(text).query)
    return None if named is None else Beside(named[0])


def open_beside(beside: Beside, source: str, clock: Clock) -> "ThermometerSource":
    """Return the thermometer of a second probe, which goes by the melt's clock.

    Parameters
    ----------
    beside : Beside
        With an address of its own.
    source : str
        The address of the melt's thermometer.
    clock : Clock
        The melt's.

    Raises
    ------
    FixableError
        It cannot be read beside the other one; the text says what to do.
    """
    if not is_live(source):
        raise FixableError(
            tr("A practice melt or a replay runs in its own time: no thermometer can be read beside it.")
        )
    if not is_live(beside.source) or parse_address(beside.source).scheme == "typed":
        raise FixableError(
            tr("A second probe needs a cable: choose a thermometer that is plugged in or in the network.")
        )
    if same_place(source, beside.source):
        raise FixableError(
            tr(
                "Both probes cannot be read from {place} twice: choose another place, or name the second "
                "one's channel in the first one's address, like bath=T2."
            ).format(place=parse_address(source).rest)
        )
    return open_source(beside.source, clock=clock)


def same_place(one: str, other: str) -> bool:
    """Whether two addresses lead to one port, file or peer, where only one of them can be read.

    Behind one place in the network several devices may stand that are asked one by one: Modbus.
    """
    addresses = parse_address(one), parse_address(other)
    if "typed" in (address.scheme for address in addresses):
        return False
    first, second = (address.rest.removeprefix("tcp:") for address in addresses)
    if first.startswith("/"):
        return os.path.realpath(first) == os.path.realpath(second)
    return first == second and not all(address.scheme == "modbus" for address in addresses)


def read_anew(before: str, after: str) -> "LineSettings | None":
    """How the lines of an open wire are to be read, when two addresses differ in nothing else.

    The wire then stays open, as opening it resets many boards. None when it has to be opened.
    """
    first, second = parse_address(before), parse_address(after)
    if first.scheme not in _LINES or (first.scheme, first.rest) != (second.scheme, second.rest):
        return None
    if first.query.get("baud") != second.query.get("baud"):
        return None
    from candlebench.thermometers.address_values import line_settings_in

    return line_settings_in(second.query)


def _practised_beside(address: Address) -> Place | None:
    from candlebench.thermometers.address_values import beside_in

    named = beside_in(address.query)
    if named is None:
        return None
    place, text = named
    if text != "yes":
        raise FixableError(
            tr("{key}={text} cannot be: write {key}=yes for a second probe in a practice melt.").format(
                key=place.value, text=text
            )
        )
    return place


def _wired(address: Address, clock: Clock) -> "ThermometerSource":
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
                key=min(unknown), scheme=address.scheme, known=", ".join(known)
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
