"""Lines of text from a thermometer: bytes in, temperatures or the reason why there is none out.

No reading is better than a false one: what cannot be told is refused, and says so. The parser knows no port,
no clock and no thread. The parts: framing (bytes to lines), decoding (bytes to text), tokens (text to labels
and numbers), label_words (what the words mean), readings (which number is the temperature).
"""

import re
from collections import deque

from candlebench.thermometers import text_json, text_nmea
from candlebench.thermometers.fault_values import NEAR_C, impossible, is_power_on
from candlebench.thermometers.label_words import channel_key
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.parsed_line import BadLine, ParsedLine, Value, Why
from candlebench.thermometers.text_decoding import decode, shown
from candlebench.thermometers.text_framing import Frame, Framer, split_endless
from candlebench.thermometers.text_header import Header, as_header, read_row
from candlebench.thermometers.text_one_wire import OneWire, is_one_wire
from candlebench.thermometers.text_readings import HOTTEST_BARE_C, Found, Refusal, read_groups
from candlebench.thermometers.text_tokens import take_apart

__all__ = ["BadLine", "LineParser", "LineSettings", "ParsedLine", "Value", "Why"]

# T38: what boards say of an open, shorted or absent probe.
_FAULT = re.compile(
    r"\b(?:err(?:or|eur|ore)?s?|fail(?:ed|ure|s)?|faults?|fehler|defekt|fout|fel|chyba|błąd|virhe|ошибка|грешка"
    r"|open(?:[ -]circuit)?|short(?:ed|s|[ -]circuit(?:ed)?)?|disconnected|unplugged"
    r"|not (?:found|connected|detected|responding|ready)|no (?:probe|sensor|thermocouple|device|data)s?"
    r"|time[d ]*out|invalid|missing|overload|over[- ]?range|out of range|overflow|ovf|unable|could not|cannot"
    r"|lost|broken|bad)\b",
    re.IGNORECASE,
)
# "err=0" and "error: none" tell that all is well.
_NO_FAULT = re.compile(r"\b(?:err(?:or)?s?|faults?)\s*[:=]\s*(?:0+|none|no|ok|false)\b", re.IGNORECASE)
# Reasons in the order in which they matter to the person.
_URGENCY = (
    Why.FAULT, Why.POWER_ON, Why.IMPOSSIBLE, Why.SCALE, Why.UNIT, Why.UNDECIDED, Why.CUT, Why.NOT_THE_MELT,
    Why.NO_NUMBER,
)  # fmt: skip
_WORTH_A_LINE = _URGENCY[:5]
# How often a shape has to come before a number cut by nothing but pauses is believed whole.
_SHAPES = 3
_MOST_CHANNELS = 32


class LineParser:
    """Turns the bytes of one thermometer into values.

    Parameters
    ----------
    settings : LineSettings
        What the person has said about it.
    """

    def __init__(self, settings: LineSettings | None = None) -> None:
        self._settings = settings or LineSettings()
        self._framer = Framer()
        self._one_wire = OneWire()
        self._header: Header | None = None
        self._last_c: dict[str, float] = {}
        self._last_comma: tuple[int, int] | None = None
        self._tenths: set[str] = set()
        self._has_line_ends = False
        self._after_pause = False
        self._shapes: deque[str] = deque(maxlen=_SHAPES - 1)

    def expect_part(self) -> None:
        """The stream was opened while it was running: its first line is only a part and is dropped."""
        self._framer.expect_part()

    def feed(self, data: bytes) -> list[ParsedLine]:
        """Return what the lines that `data` completes turned out to be, in their order."""
        parsed: list[ParsedLine] = []
        for frame in self._framer.feed(data):
            found = self._parse_frame(frame)
            if frame.how == "ended" and any(isinstance(one, Value) for one in found):
                self._has_line_ends = True
            parsed += found
        return parsed

    def flush(self) -> list[ParsedLine]:
        """The wire has been quiet for a while (0.3 s or more): read what came without a line end.

        Does nothing where readings came with line ends: there, a pause is only a pause.
        """
        frame = self._framer.flush()
        if frame is None or self._has_line_ends:
            return []
        if frame.how == "part":
            self._framer.take()
            return [BadLine(shown(frame.data), Why.CUT)]
        parsed = self._parse_pause(frame)
        if all(isinstance(one, BadLine) and one.why is Why.NO_NUMBER for one in parsed):
            # A label whose number is still being measured.
            return []
        self._framer.take()
        self._after_pause = True
        return parsed

    def _parse_pause(self, frame: Frame) -> list[ParsedLine]:
        if frame.how == "idle":
            records, rest = split_endless(frame.data)
            lines = [*records, rest] if records else [frame.data]
            return [one for line in lines for one in self._parse_line(line)]
        text = decode(frame.data)
        if text is None:
            return [BadLine(shown(frame.data), Why.GARBLED)]
        if not any(sign.isdigit() for sign in text):
            return self._parse_line(frame.data)
        shape = re.sub(r"\d", "9", text)
        seen = self._shapes.count(shape) == _SHAPES - 1
        self._shapes.append(shape)
        return self._parse_line(frame.data) if seen else [BadLine(text, Why.CUT)]

    def _parse_frame(self, frame: Frame) -> list[ParsedLine]:
        cut_by_pause, self._after_pause = self._after_pause, False
        if frame.how == "part" or (cut_by_pause and not frame.data.lstrip().startswith(b"{")):
            garbled = decode(frame.data) is None
            return [BadLine(shown(frame.data), Why.GARBLED if garbled else Why.CUT)]
        if frame.how == "long":
            garbled = decode(frame.data) is None
            return [BadLine(shown(frame.data), Why.GARBLED if garbled else Why.TOO_LONG)]
        return self._parse_line(frame.data)

    def _parse_line(self, data: bytes) -> list[ParsedLine]:
        text = decode(data)
        if text is None:
            return [BadLine(shown(data), Why.GARBLED)]
        text = text.strip()
        if not text:
            return []
        if text_nmea.is_sentence(text):
            return [self._judge_value(one) for one in text_nmea.parse_sentence(text)]
        if is_one_wire(text):
            return [self._judge_value(one) for one in self._one_wire.parse(text)]
        found, refused = self._read(text)
        return self._judged(text, found, refused)

    def _read(self, text: str) -> tuple[list[Found], list[Refusal]]:
        if text_json.is_json(text):
            in_json = text_json.read_json(text, self._settings)
            if in_json is not None:
                return in_json
        if re.match(r"\{|\[\s*[{\"]", text):
            # An object whose end was lost, or the first line of one written over several.
            return [], [Refusal(Why.CUT)]
        if _FAULT.search(_NO_FAULT.sub("", text)):
            return [], [Refusal(Why.FAULT)]
        if self._header is not None:
            row = read_row(text, self._header, self._settings)
            if row is not None:
                return row
        taken = take_apart(text)
        if not taken.groups:
            self._header = as_header(text) or self._header
            return [], [Refusal(Why.UNDECIDED if taken.broken else Why.NO_NUMBER)]
        return read_groups(taken, self._settings)

    def _judged(self, text: str, found: list[Found], refused: list[Refusal]) -> list[ParsedLine]:
        parsed: list[ParsedLine] = []
        for one in found:
            why = self._objection(one)
            if why is None:
                self._remember(one)
                parsed.append(Value(one.temp_c, one.channel, one.unit, text))
            else:
                refused = [*refused, Refusal(why, (one.channel,) if one.channel else ())]
        for refusal in refused:
            if refusal.why is Why.SCALE:
                self._tenths |= {channel_key(name) for name in refusal.channels or ("",)}
        return parsed + _reasons(text, refused or [Refusal(Why.NO_NUMBER)], bool(parsed))

    def _objection(self, one: Found) -> Why | None:
        last_c = self._last_c.get(channel_key(one.channel))
        why = impossible(one.raw, one.temp_c)
        if why is not None:
            return why
        if is_power_on(one.temp_c, last_c):
            return Why.POWER_ON
        far = last_c is None or abs(one.temp_c - last_c) > NEAR_C
        if not one.unit and one.temp_c > HOTTEST_BARE_C and self._settings.scale is None and far:
            return Why.UNIT
        is_whole = not re.search(r"[.,eE]", one.raw)
        if is_whole and not one.unit and channel_key(one.channel) in self._tenths:
            return Why.SCALE
        if one.comma and self._counts_up(one.raw):
            return Why.UNDECIDED
        return None

    def _counts_up(self, raw: str) -> bool:
        """Whether "17,23" then "18,23" shows a counter before a whole number rather than a decimal comma."""
        whole, _, fraction = raw.partition(",")
        now = (int(whole), int(fraction))
        last, self._last_comma = self._last_comma, now
        return last is not None and now[0] == last[0] + 1 and abs(now[1] - last[1]) <= 1

    def _judge_value(self, parsed: ParsedLine) -> ParsedLine:
        """NMEA and one-wire values, which state their unit."""
        if isinstance(parsed, BadLine):
            return parsed
        key = channel_key(parsed.channel)
        why = impossible("", parsed.temp_c)
        if why is None and is_power_on(parsed.temp_c, self._last_c.get(key)):
            why = Why.POWER_ON
        if why is not None:
            return BadLine(parsed.text, why, (parsed.channel,) if parsed.channel else ())
        self._remember(parsed)
        return parsed

    def _remember(self, one: Found | Value) -> None:
        if len(self._last_c) >= _MOST_CHANNELS:
            self._last_c.clear()
        self._last_c[channel_key(one.channel)] = one.temp_c


def _reasons(text: str, refused: list[Refusal], has_values: bool) -> list[ParsedLine]:
    """The one reason that matters most; beside values only what is wrong with another probe."""
    worst = min(refused, key=lambda refusal: _URGENCY.index(refusal.why) if refusal.why in _URGENCY else 9)
    if has_values and worst.why not in _WORTH_A_LINE:
        return []
    channels = tuple(dict.fromkeys(name for refusal in refused for name in refusal.channels))
    return [BadLine(text, worst.why, channels)]
