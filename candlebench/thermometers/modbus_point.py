"""Which number of a Modbus device is the temperature, and what its registers mean."""

import math
import struct
from dataclasses import dataclass

from candlebench.thermometers.answers import Answer, NoAnswer, faulty, no_temperature
from candlebench.thermometers.fault_values import HIGHEST_C, LOWEST_C
from candlebench.thermometers.parsed_line import Why
from candlebench.thermometers.sensor_curves import SensorCurve
from candlebench.thermometers.text_units import to_celsius
from candlebench.words import tr

TYPES = ("int16", "uint16", "float32")
ORDERS = ("ABCD", "CDAB", "BADC", "DCBA")
# T37: 0x7FFF, 0x8000 and 0xFFFF, and what lies beside them; the round numbers are what makers write for a
# broken or missing sensor (from memory).
_BREAK_WORDS = frozenset({0x7FFF, 0x7FFE, 0x8000, 0x8001, 0xFFFF, 0xFFFE})
_BREAK_NUMBERS = frozenset({30000, -30000, 31000, 32000, -32000, 9999, -9999, 19999, -19999})
# No probe resolves a ten-thousandth of a degree: bytes in another order look like this.
_SMALLEST = 1e-3


@dataclass(frozen=True, slots=True)
class ModbusPoint:
    """Where the temperature lies.

    Attributes
    ----------
    unit : int
        The device's number on the bus, 0 to 255.
    function : int
        3 (holding registers) or 4 (input registers).
    register : int
        As sent in the request, counted from 0.
    type : str
        One of `TYPES`.
    order : str
        One of `ORDERS`: A is the highest byte of a float32, in the order of their coming. ABCD is the order
        of the Modbus specification.
    scale : float
        What the number is multiplied by.
    degrees : str or None
        'C', 'F' or 'K' after scaling; None when nobody said so, which is taken as C.
    sensor : SensorCurve or None
        Of a bare sensor, when the numbers are ohms or volts after scaling.
    """

    unit: int = 1
    function: int = 4
    register: int = 0
    type: str = "int16"
    order: str = "ABCD"
    scale: float = 1.0
    degrees: str | None = None
    sensor: SensorCurve | None = None

    @property
    def count(self) -> int:
        """How many registers of 16 bits it takes."""
        return 2 if self.type == "float32" else 1


def temperature_of(registers: bytes, point: ModbusPoint, text: str) -> Answer | NoAnswer:
    """Return the temperature that the registers hold.

    Parameters
    ----------
    registers : bytes, 2 or 4
        As they came.
    point : ModbusPoint
    text : str
        The whole answer, to be shown.
    """
    if point.type == "float32":
        number = _float32(registers, point.order)
        if not math.isfinite(number):
            return no_temperature(text, Why.FAULT)
        if number != 0.0 and abs(number) < _SMALLEST:
            return _wrong_kind(text, tr("no such temperature: try another order of the bytes"))
    else:
        word = int.from_bytes(registers, "big")
        signed = word - 0x10000 if point.type == "int16" and word & 0x8000 else word
        if word in _BREAK_WORDS or signed in _BREAK_NUMBERS:
            return faulty(text, tr("{number} stands for a broken or missing sensor").format(number=signed))
        number = float(signed)
    if point.sensor is not None:
        sensed_c = point.sensor.temp_c(number * point.scale)
        if sensed_c is None:
            return no_temperature(text, Why.FAULT)
        return Answer(text, round(sensed_c, 6), stated=True)
    temp_c = to_celsius(number * point.scale, point.degrees or "C")
    if not LOWEST_C <= temp_c <= HIGHEST_C:
        return _impossible(text, point, temp_c)
    return Answer(text, round(temp_c, 6), point.degrees is not None)


def _float32(registers: bytes, order: str) -> float:
    if len(registers) != 4:
        raise ValueError("a float32 takes two registers")
    in_order = bytes(registers[order.index(letter)] for letter in "ABCD")
    (number,) = struct.unpack(">f", in_order)
    return float(number)


def _impossible(text: str, point: ModbusPoint, temp_c: float) -> NoAnswer:
    # Far beyond any sensor's own way of saying that it is broken (T33, T35): the registers are misread.
    if point.type == "float32" and abs(temp_c) > 1e5 and abs(temp_c) < 1e37:
        return _wrong_kind(text, tr("no such temperature: try another order of the bytes"))
    if point.type == "uint16" and temp_c > 0.0 and temp_c > HIGHEST_C and point.scale * 0x8000 <= temp_c:
        return _wrong_kind(text, tr("no such temperature: try type=int16, for numbers below zero"))
    return no_temperature(text, Why.IMPOSSIBLE)


def _wrong_kind(text: str, why: str) -> NoAnswer:
    return NoAnswer(
        text, "undecided", why, tr("The thermometer's numbers are misread: {why}.").format(why=why)
    )
