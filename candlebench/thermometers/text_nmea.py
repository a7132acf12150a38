"""Sentences of NMEA 0183: XDR (transducers) and MTW (water temperature).

Field order after the published descriptions of the sentences; the tests make and parse the same sentences
with the library pynmea2.
"""

import re
from functools import reduce

from candlebench.thermometers.fault_values import impossible
from candlebench.thermometers.parsed_line import BadLine, ParsedLine, Value, Why
from candlebench.thermometers.text_units import to_celsius

_SENTENCE = re.compile(r"\$(?P<body>[A-Z]{2}(?P<kind>[A-Z]{3}),[ -)+-~]*)\*(?P<sum>[0-9A-Fa-f]{2})\s*\Z")


def is_sentence(text: str) -> bool:
    """Whether a line is meant to be a sentence of NMEA 0183."""
    return re.match(r"[$!][A-Z]{2}[A-Z]{3},|\$P[A-Z]{3}", text) is not None


def parse_sentence(text: str) -> list[ParsedLine]:
    """Return the temperatures of one sentence, each with its transducer's name.

    A sentence without a right check sum is refused: a digit may have been lost.
    """
    found = _SENTENCE.match(text.strip())
    if found is None or checksum(found["body"]) != int(found["sum"], 16):
        return [BadLine(text, Why.CHECKSUM)]
    fields = found["body"].split(",")[1:]
    match found["kind"]:
        case "MTW":
            transducers = [("C", fields[0], fields[1] if len(fields) > 1 else "", "")]
        case "XDR":
            whole = len(fields) - len(fields) % 4
            transducers = [
                (fields[i], fields[i + 1], fields[i + 2], fields[i + 3]) for i in range(0, whole, 4)
            ]
        case _:
            return [BadLine(text, Why.NOT_THE_MELT)]
    # Type C is a temperature; the unit says of what kind.
    temperatures = [row for row in transducers if row[0] == "C"]
    if not temperatures:
        return [BadLine(text, Why.NOT_THE_MELT)]
    return [_one(text, *row[1:]) for row in temperatures]


def checksum(body: str) -> int:
    """Return the exclusive or of the characters between `$` and `*`."""
    return reduce(lambda total, sign: total ^ ord(sign), body, 0)


def _one(text: str, number: str, unit: str, name: str) -> ParsedLine:
    if unit not in ("C", "F", "K"):
        return BadLine(text, Why.UNDECIDED)
    if not re.fullmatch(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)", number):
        return BadLine(text, Why.FAULT)
    temp_c = to_celsius(float(number), unit)
    why = impossible(number, temp_c)
    return BadLine(text, why) if why else Value(temp_c, name, unit, text)
