"""Numbers typed by hand: what they mean, and a source that reads them line by line."""

import codecs
import io
import os
import queue
import re
import select
import threading
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TextIO

from candlebench.core.clock import Clock
from candlebench.core.errors import FixableError
from candlebench.core.events import Reading, Refused, SourceEvent
from candlebench.core.units import celsius
from candlebench.words import tr

# From a cold store to where a kitchen hob has long set off every alarm: beeswax flashes at 204 degC (W35).
_LOWEST_C = -40.0
_HIGHEST_C = 250.0
# Above this a number without its unit is far more likely Fahrenheit: a water bath ends at 100 degC.
_LIKELY_FAHRENHEIT_ABOVE = 150.0
_LONGEST_AGO_S = 24 * 3600.0
_ZERO_C_IN_K = 273.15
# A source looks at `stop` at least five times a second, see `ThermometerSource`.
_LONGEST_WAIT_S = 0.2

_NUMBER = r"[+-]?\d{1,9}(?:[.,]\d{0,9})?"
_TYPED = re.compile(
    rf"(?P<number>{_NUMBER})\s*(?:(?:°|deg(?:rees)?\.?)?\s*(?P<unit>[cfk])(?:elsius|ahrenheit|elvin)?\b|°)?"
    rf"(?:\s+(?P<ago>-?\d{{1,6}}(?:[.,]\d{{0,3}})?)\s*(?P<ago_unit>seconds?|secs?|s|minutes?|mins?|m|hours?|h)\.?"
    rf"(?:\s+ago)?)?",
    re.IGNORECASE,
)
_SECONDS_IN = {"s": 1.0, "m": 60.0, "h": 3600.0}


@dataclass(frozen=True, slots=True)
class TypedReading:
    """A typed temperature in °C and how many seconds ago it was read."""

    temp_c: float
    ago_s: float


def parse_typed(text: str, unit: str = "C") -> TypedReading:
    """Read a temperature as typed: '70', '70,5', '158F', '70 2 minutes ago', '70 -2m'.

    Parameters
    ----------
    text : str
        What was typed.
    unit : str
        'C' or 'F': what a number without a unit means.

    Raises
    ------
    FixableError
        It is no temperature of wax, or it looks like Fahrenheit though Celsius is set; the text says what to
        type.
    """
    shown = " ".join(text.split())
    if not shown:
        raise FixableError(tr("Nothing is typed yet: type a temperature, like 70.5, and press Enter."))
    match = _TYPED.fullmatch(shown.replace("−", "-"))
    if match is None:
        raise _no_temperature(shown)
    number = float(match["number"].replace(",", "."))
    said = (match["unit"] or "").upper()
    if not said and unit == "C" and _LIKELY_FAHRENHEIT_ABOVE < number <= _HIGHEST_C * 9 / 5 + 32:
        typed = match["number"]
        raise FixableError(
            tr(
                "{number} looks like Fahrenheit: type {number}F, or {number}C if it really is that hot."
            ).format(number=typed)
        )
    temp_c = _in_celsius(number, said or unit)
    if not _LOWEST_C <= temp_c <= _HIGHEST_C:
        raise _no_temperature(shown)
    return TypedReading(temp_c, _ago_s(match))


def _in_celsius(number: float, unit: str) -> float:
    if unit == "F":
        return celsius(number)
    # Kelvin has two decimals at most on any display; the sum would show more.
    return round(number - _ZERO_C_IN_K, 6) if unit == "K" else number


def _ago_s(match: re.Match[str]) -> float:
    if match["ago"] is None:
        return 0.0
    ago_s = abs(float(match["ago"].replace(",", "."))) * _SECONDS_IN[match["ago_unit"][0].lower()]
    if ago_s > _LONGEST_AGO_S:
        raise FixableError(tr("That is more than a day ago: type when it was read, like 70.5 2 minutes ago."))
    return ago_s


def _no_temperature(shown: str) -> FixableError:
    return FixableError(
        tr("{text} is no temperature of wax: type it in °C, like 70.5, or in °F, like 158F.").format(
            text=shown if len(shown) <= 40 else shown[:39] + "…"
        )
    )


class TypedSource:
    """Readings typed as lines into a text stream, such as the console's standard input.

    Parameters
    ----------
    stream : TextIO or None
        A stream of the system (a terminal, a pipe) is watched so that `stop` is heeded within a fifth of a
        second; one in memory is read straight. None when the numbers are typed elsewhere, as in the window:
        then nothing comes from here, and it does not end.
    clock : Clock
        The melt's time.
    unit : str
        'C' or 'F': what a number without a unit means.
    """

    def __init__(self, stream: TextIO | None, clock: Clock, unit: str = "C") -> None:
        self.label = tr("typed by hand")
        self.clock = clock
        self._stream = stream
        self._unit = unit

    def events(self, stop: threading.Event) -> Iterator[SourceEvent]:
        """Yield a Reading or a Refused for each line that holds something, until the stream ends."""
        if self._stream is None:
            stop.wait()
            return
        for line in _lines(self._stream, stop):
            if stop.is_set():
                return
            if line.strip():
                yield self._event(line.strip())

    def _event(self, line: str) -> SourceEvent:
        now_s = self.clock.elapsed_s()
        try:
            typed = parse_typed(line, self._unit)
            at_s = now_s - typed.ago_s
            if at_s < 0.0:
                raise FixableError(tr("That was before this melt began: type the temperature of now."))
        except FixableError as error:
            return Refused(now_s, self.clock.wall_s(now_s), line, str(error))
        return Reading(at_s, self.clock.wall_s(at_s), typed.temp_c, by_hand=True)


def _lines(stream: TextIO, stop: threading.Event) -> Iterator[str]:
    try:
        descriptor = stream.fileno()
    except (OSError, io.UnsupportedOperation):
        yield from stream
        return
    # Windows can wait for sockets only, not for a console or a pipe.
    watched = _lines_by_thread(stream, stop) if os.name == "nt" else _lines_by_select(descriptor, stop)
    yield from watched


def _lines_by_select(descriptor: int, stop: threading.Event) -> Iterator[str]:
    decoder = codecs.getincrementaldecoder("utf-8")("replace")
    begun = ""
    while not stop.is_set():
        # The stream's own reading would block past `stop`, and would hide lines in its buffer from select.
        if not select.select([descriptor], [], [], _LONGEST_WAIT_S)[0]:
            continue
        data = os.read(descriptor, 4096)
        begun += decoder.decode(data, final=not data)
        *whole, begun = begun.split("\n")
        yield from whole
        if not data:
            if begun:
                yield begun
            return


def _lines_by_thread(stream: TextIO, stop: threading.Event) -> Iterator[str]:
    """A thread blocks in the stream's place; it ends with the stream, or with the program."""
    lines: queue.SimpleQueue[str | None] = queue.SimpleQueue()

    def read_on() -> None:
        for line in stream:
            lines.put(line)
        lines.put(None)

    threading.Thread(target=read_on, name="typed numbers", daemon=True).start()
    while not stop.is_set():
        try:
            line = lines.get(timeout=_LONGEST_WAIT_S)
        except queue.Empty:
            continue
        if line is None:
            return
        yield line
