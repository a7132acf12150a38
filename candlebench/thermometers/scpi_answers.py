"""Instruments that speak SCPI: a question as a line of text, a number as the answer; no I/O.

Numbers are the <NRf> of IEEE 488.2 (7.7.2 and 8.7.2 to 8.7.4); infinity and "not a number" are sent as 9.9E37
and 9.91E37 (SCPI-1999, volume 1, 7.2.1.4 and 7.2.1.5); both from memory.
"""

import re

from candlebench.thermometers.answers import Answer, NoAnswer, Noted, Outcome, faulty, no_temperature
from candlebench.thermometers.parsed_line import Why
from candlebench.thermometers.sensor_curves import SensorCurve
from candlebench.thermometers.text_decoding import decode, shown
from candlebench.thermometers.text_units import to_celsius
from candlebench.words import tr

INFINITE = 9.9e37
# An answer of several numbers and units has some 100 signs; what is longer has lost its line end.
_LONGEST_BYTES = 1024
_IDENTITY = "*IDN?"
_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:\s*[Ee]\s*[+-]?\d+)?")
# CEL, FAR and K are the suffixes of IEEE 488.2 table 7-1; the others are what meters write.
_UNIT = re.compile(r"(?:°|DEG(?:REES)?)?\s*(CEL(?:SIUS)?|FAR|FAHRENHEIT|KEL(?:VIN)?|C|F|K)", re.IGNORECASE)
_ERROR = re.compile(r"[+-]?\d+\s*,\s*\".*\"\Z")
_OVERLOAD = re.compile(
    r"[+-]?\s*(?:OL|OVLD|OVERLOAD|OVERRANGE|OPEN|INF(?:INITY)?|NAN|ERR(?:OR)?|-{2,})", re.IGNORECASE
)


class ScpiQuestion:
    """A `Question` for one instrument. It is asked for its name first, which tells whether it answers at all.

    Parameters
    ----------
    query : str
        The question for one temperature: 'READ?', 'MEAS:TEMP? (@101)'.
    unit : str or None
        'C', 'F' or 'K' of numbers that come without one; None when nobody said so, which is taken as C.
    scale : float or None
        What numbers are multiplied by.
    sensor : SensorCurve or None
        Of a bare sensor, when numbers are ohms or volts.
    """

    tries = 1
    # A reading over several mains periods takes up to a second or two (common practice).
    patience_s = 1.6

    def __init__(
        self, query: str, unit: str | None, scale: float | None, sensor: SensorCurve | None = None
    ) -> None:
        self._query = query
        self._unit = unit
        self._scale = scale
        self._sensor = sensor
        self._identity = ""
        self._asks_name = True
        self._waiting = bytearray()
        self._drops_rest = False

    @property
    def give_up_s(self) -> float:
        """A name is answered at once; asking for a number again would break off the measurement."""
        return 0.8 if self._asks_name else 4.0

    def begin(self) -> None:
        """The wire was opened (again)."""
        self._waiting.clear()
        self._drops_rest = False
        self._asks_name = True
        self._identity = ""

    def ask(self) -> bytes:
        """Return the question; what came before it is forgotten."""
        # The rest of an answer must not be taken for a whole one.
        self._drops_rest = self._drops_rest or bool(self._waiting)
        self._waiting.clear()
        return f"{_IDENTITY if self._asks_name else self._query}\n".encode("ascii", "replace")

    def feed(self, data: bytes) -> list[Outcome]:
        """Return what the bytes complete."""
        if len(data) > _LONGEST_BYTES:
            self._waiting += data[:80]
            return [self._cut_off()]
        self._waiting += data
        found: list[Outcome] = []
        if self._drops_rest and (end := re.search(rb"[\r\n]+", self._waiting)):
            found.append(_in_part(shown(bytes(self._waiting[: end.start()]))))
            del self._waiting[: end.end()]
            self._drops_rest = False
        *lines, rest = re.split(rb"[\r\n]+", bytes(self._waiting))
        self._waiting[:] = rest
        for line in lines:
            found += self._take(line)
        return found if len(rest) <= _LONGEST_BYTES else [*found, self._cut_off()]

    def cut(self) -> NoAnswer | Noted | None:
        """An answer without its end may lack digits."""
        if self._asks_name:
            self._asks_name = False
            self._waiting.clear()
            return Noted(_IDENTITY, tr("no answer to the question for its name"), done=True)
        return self._cut_off() if self._waiting else None

    def silent_words(self) -> str:
        """One sentence for an instrument that does not answer."""
        if self._identity:
            return tr("The instrument does not answer {query}: write another question, like MEAS?.").format(
                query=self._query
            )
        return tr("The instrument does not answer: check its cable, its power and the speed (baud).")

    def _take(self, line: bytes) -> list[Outcome]:
        text = decode(line)
        if text is None:
            return [_garbled(line)]
        text = text.strip()
        if not text:
            return []
        if text.upper() in (_IDENTITY, self._query.upper()):
            return [Noted(text, tr("the question, sent back"))]
        if self._asks_name:
            self._asks_name = False
            self._identity = text[:80]
            return [Noted(self._identity, tr("the instrument's name"), done=True)]
        return [number_in(text, self._unit, self._scale, self._sensor)]

    def _cut_off(self) -> NoAnswer:
        text = shown(bytes(self._waiting))
        self._waiting.clear()
        self._drops_rest = True
        return _in_part(text)


def number_in(
    text: str, unit: str | None, scale: float | None, sensor: SensorCurve | None = None
) -> Answer | NoAnswer:
    """Return the temperature that an answer states.

    Parameters
    ----------
    text : str
        One line without its end.
    unit : str or None
        'C', 'F' or 'K' of a number that comes without one.
    scale : float or None
        What the number is multiplied by.
    sensor : SensorCurve or None
        Of a bare sensor, when the number is ohms or volts.
    """
    if _ERROR.match(text):
        words = tr("The instrument refuses the question ({text}): write another one, like MEAS?.")
        return NoAnswer(text, "refused", tr("an error message"), words.format(text=text))
    fields = [field.strip().strip('"').strip() for field in text.split(",")]
    if any(field == "" or _OVERLOAD.fullmatch(field) for field in fields):
        return no_temperature(text, Why.FAULT)
    found = _NUMBER.match(fields[0])
    if found is None:
        return _several(text)
    after = [fields[0][found.end() :].strip(), *fields[1:]]
    stated = [_UNIT.fullmatch(field) for field in after if field]
    if len(stated) > 1 or None in stated:
        return _several(text)
    number = float(re.sub(r"\s", "", found[0]))
    if abs(number) >= INFINITE:
        return faulty(text, tr("the instrument reports an overload: look at the probe and its plug"))
    if sensor is not None:
        sensed_c = sensor.temp_c(number * (scale or 1.0))
        if sensed_c is None:
            return no_temperature(text, Why.FAULT)
        return Answer(text, round(sensed_c, 6), stated=True)
    said = next((match[1][0].upper() for match in stated if match), None) or unit
    temp_c = to_celsius(number * (scale or 1.0), said or "C")
    return Answer(text, round(temp_c, 6), said is not None)


def _in_part(text: str) -> NoAnswer:
    why = tr("only a part of an answer")
    return NoAnswer(text, "garbled", why, tr("Answers have no end: check the speed (baud) and the cable."))


def _several(text: str) -> NoAnswer:
    return NoAnswer(
        text,
        "undecided",
        tr("not one number"),
        tr("The answer is not one number: write a question for one, like MEAS:TEMP? (@101)."),
    )


def _garbled(line: bytes) -> NoAnswer:
    why = tr("garbled: another speed (baud) may be right")
    words = tr(
        "Only garbled signs come from the thermometer: try another speed, such as 9600 or 115200 baud."
    )
    return NoAnswer(shown(line), "garbled", why, words)
