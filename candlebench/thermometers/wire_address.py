"""Sources over a wire, from their addresses: lines of text over TCP, Modbus, SCPI and NMEA 0183 over either.

    tcp:HOST:PORT?channel=melt&unit=F&scale=0.1
    modbus:/dev/ttyUSB0?baud=9600&unit=1&function=4&register=0&type=int16&scale=0.1&every=1
    modbus:tcp:HOST:PORT?unit=1&type=float32&order=CDAB
    modbus:tcp:HOST:PORT?register=0&bath=2
    scpi:/dev/ttyUSB0?baud=9600&query=READ?&every=1
    scpi:tcp:HOST:PORT?query=MEAS:FRES? (@101)&sensor=pt100
    nmea:/dev/ttyUSB0?baud=4800&channel=MELT

Behind `modbus:`, `scpi:` and `nmea:` stands a serial port or `tcp:HOST:PORT`. `bath=` or `room=` names a
second probe on the same wire: a channel, a register or a question. `sensor=` says that numbers are ohms or
volts.
"""

from dataclasses import replace

from candlebench.core.clock import Clock
from candlebench.core.errors import FixableError
from candlebench.core.place import Place
from candlebench.thermometers.address_values import (
    BESIDE_KEYS,
    Query,
    baud_in,
    beside_in,
    choice_in,
    every_s_in,
    line_settings_in,
    refuse_unknown,
    scale_in,
    sensor_in,
    unit_in,
    whole_in,
)
from candlebench.thermometers.asker import Asker
from candlebench.thermometers.line_listener import LineListener
from candlebench.thermometers.modbus_frames import RtuQuestion, TcpQuestion
from candlebench.thermometers.modbus_point import ORDERS, TYPES, ModbusPoint
from candlebench.thermometers.nmea_lines import NmeaParser
from candlebench.thermometers.scpi_answers import ScpiQuestion
from candlebench.thermometers.taking_turns import TakingTurns
from candlebench.thermometers.tcp_wire import TcpPlug
from candlebench.thermometers.wire import Plug, Talker
from candlebench.thermometers.wired_source import WiredSource
from candlebench.words import tr

# NMEA 0183 runs at 4800 baud unless a device says otherwise (from memory).
NMEA_BAUD = 4800
USUAL_QUESTION = "READ?"
_LONGEST_QUESTION = 200
_TCP = "tcp:"
_SENSOR_KEYS = ("sensor", "junction", "beta")
_MODBUS_KEYS = (
    *("baud", "unit", "function", "register", "type", "order", "scale", "every", "degrees"),
    *(*BESIDE_KEYS, *_SENSOR_KEYS),
)
_SCPI_KEYS = ("baud", "query", "every", "unit", "scale", *BESIDE_KEYS, *_SENSOR_KEYS)


def tcp_source(rest: str, query: Query, clock: Clock) -> WiredSource:
    """Return the source of lines of text for `tcp:HOST:PORT?..`.

    Raises
    ------
    FixableError
        As all functions here: something in the address cannot be; the text says what to write.
    """
    refuse_unknown(query, ("channel", "unit", "scale", *BESIDE_KEYS), "tcp:")
    plug = _tcp_plug(rest, "tcp:192.168.1.20:4001")
    return WiredSource(plug, LineListener(line_settings_in(query), clock), clock)


def modbus_source(rest: str, query: Query, clock: Clock) -> WiredSource:
    """Return the source for `modbus:PATH?..` or `modbus:tcp:HOST:PORT?..`."""
    refuse_unknown(query, _MODBUS_KEYS, "modbus:")
    point = ModbusPoint(
        unit=whole_in(query, "unit", 1, 0, 255),
        function=int(choice_in(query, "function", ("4", "3"))),
        register=whole_in(query, "register", 0, 0, 0xFFFF),
        type=choice_in(query, "type", TYPES),
        order=choice_in(query, "order", ORDERS),
        scale=scale_in(query) or 1.0,
        degrees=unit_in(query, "degrees"),
        sensor=sensor_in(query),
    )
    every_s = every_s_in(query)
    over_tcp = rest.startswith(_TCP)

    def asker(of: ModbusPoint) -> Asker:
        _refuse_beyond_the_last(of)
        return Asker(TcpQuestion(of) if over_tcp else RtuQuestion(of), every_s, clock)

    named = beside_in(query)
    beside = None
    if named is not None:
        place, _ = named
        beside = place, asker(replace(point, register=whole_in(query, place.value, 0, 0, 0xFFFF)))
    talker = _talker(asker(point), beside)
    if over_tcp:
        _refuse_baud(query)
        plug: Plug = _tcp_plug(rest.removeprefix(_TCP), "modbus:tcp:192.168.1.20:502")
    else:
        plug = _serial_plug(rest, query, "modbus:/dev/ttyUSB0?baud=9600&unit=1&register=0")
    return WiredSource(plug, talker, clock)


def _refuse_beyond_the_last(point: ModbusPoint) -> None:
    if point.register + point.count > 0x10000:
        raise FixableError(
            tr("register=65535 is the last one: a float32 begins at register=65534 or before.")
        )


def scpi_source(rest: str, query: Query, clock: Clock) -> WiredSource:
    """Return the source for `scpi:PATH?..` or `scpi:tcp:HOST:PORT?..`."""
    refuse_unknown(query, _SCPI_KEYS, "scpi:")
    unit, scale, sensor, every_s = unit_in(query), scale_in(query), sensor_in(query), every_s_in(query)

    def asker(key: str, question: str) -> Asker:
        return Asker(ScpiQuestion(_question(key, question), unit, scale, sensor), every_s, clock)

    named = beside_in(query)
    beside = None if named is None else (named[0], asker(named[0].value, named[1]))
    talker = _talker(asker("query", query.get("query", "").strip() or USUAL_QUESTION), beside)
    plug = _any_plug(rest, query, "scpi", "query=READ?")
    return WiredSource(plug, talker, clock)


def _talker(melt: Asker, beside: tuple[Place, Asker] | None) -> Talker:
    """Asks for the melt's temperature, and by turns for that of a second probe when there is one."""
    return melt if beside is None else TakingTurns(melt, beside[1], beside[0])


def _question(key: str, text: str) -> str:
    if not (text.isascii() and text.isprintable() and "?" in text and len(text) <= _LONGEST_QUESTION):
        raise FixableError(
            tr("{key}={text} is no question: write one like {key}=READ?.").format(key=key, text=text)
        )
    return text


def nmea_source(rest: str, query: Query, clock: Clock) -> WiredSource:
    """Return the source for `nmea:PATH?..` or `nmea:tcp:HOST:PORT?..`."""
    refuse_unknown(query, ("baud", "channel", *BESIDE_KEYS), "nmea:")
    settings = line_settings_in(query)
    plug = _any_plug(rest, query, "nmea", f"baud={NMEA_BAUD}", NMEA_BAUD)
    return WiredSource(plug, LineListener(settings, clock, NmeaParser), clock)


def _any_plug(rest: str, query: Query, kind: str, tail: str, usual_baud: int | None = None) -> Plug:
    if rest.startswith(_TCP):
        _refuse_baud(query)
        return _tcp_plug(rest.removeprefix(_TCP), f"{kind}:tcp:192.168.1.20:5025")
    return _serial_plug(rest, query, f"{kind}:/dev/ttyUSB0?{tail}", usual_baud)


def _serial_plug(rest: str, query: Query, example: str, usual_baud: int | None = None) -> Plug:
    # Loaded when a port is meant: the parsers here work where pyserial is not installed.
    from candlebench.thermometers.serial_port import SerialPlug

    if not rest:
        raise FixableError(tr("Name the port, as in {example}.").format(example=example))
    return SerialPlug(rest, baud_in(query, usual_baud) if usual_baud else baud_in(query))


def _tcp_plug(rest: str, example: str) -> TcpPlug:
    host, colon, number = rest.rpartition(":")
    host = host.removeprefix("[").removesuffix("]")
    is_port = number.isascii() and number.isdigit() and 0 < int(number[:9]) <= 0xFFFF
    if not (host and colon and is_port) or "/" in host:
        raise FixableError(
            tr("“{text}” names no device in the network: write its name or number and port, as in {example}.")
            .format(text=rest, example=example)
        )  # fmt: skip
    return TcpPlug(host, int(number))


def _refuse_baud(query: Query) -> None:
    if "baud" in query:
        raise FixableError(tr("A device in the network has no baud: leave it out of the address."))
