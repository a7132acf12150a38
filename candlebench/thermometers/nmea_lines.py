"""A wire that carries sentences of NMEA 0183 and nothing else: whatever has no right check sum is refused."""

from candlebench.thermometers.fault_values import is_power_on
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.parsed_line import BadLine, ParsedLine, Value, Why
from candlebench.thermometers.text_decoding import decode, shown
from candlebench.thermometers.text_framing import Framer
from candlebench.thermometers.text_nmea import is_sentence, parse_sentence

_MOST_CHANNELS = 32


class NmeaParser:
    """Turns the bytes of one talker or a whole bus into values. Units and names stand in the sentences.

    Parameters
    ----------
    settings : LineSettings
        Nothing of it is needed here; the channel is chosen by whoever listens.
    """

    def __init__(self, settings: LineSettings | None = None) -> None:
        self._framer = Framer()
        self._last_c: dict[str, float] = {}

    def expect_part(self) -> None:
        """The stream was opened while it was running: its first line is only a part and is dropped."""
        self._framer.expect_part()

    def feed(self, data: bytes) -> list[ParsedLine]:
        """Return what the sentences that `data` completes turned out to be, in their order."""
        parsed: list[ParsedLine] = []
        for frame in self._framer.feed(data):
            text = decode(frame.data)
            if text is None:
                parsed.append(BadLine(shown(frame.data), Why.GARBLED))
            elif frame.how != "ended":
                parsed.append(BadLine(shown(frame.data), Why.CUT if frame.how == "part" else Why.TOO_LONG))
            elif not is_sentence(text.strip()):
                parsed.append(BadLine(text.strip()[:80], Why.NO_NUMBER))
            else:
                parsed += [self._judged(one) for one in parse_sentence(text.strip())]
        return parsed

    def flush(self) -> list[ParsedLine]:
        """The wire is quiet: a sentence ends with its line end only."""
        return []

    def _judged(self, parsed: ParsedLine) -> ParsedLine:
        if isinstance(parsed, BadLine):
            return parsed
        if is_power_on(parsed.temp_c, self._last_c.get(parsed.channel)):
            return BadLine(parsed.text, Why.POWER_ON, (parsed.channel,) if parsed.channel else ())
        if isinstance(parsed, Value) and len(self._last_c) < _MOST_CHANNELS:
            self._last_c[parsed.channel] = parsed.temp_c
        return parsed
