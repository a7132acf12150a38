"""From the bytes of one wire to the events of a melt: parsing, choice of the channel, thinning, troubles.

It knows no port: a serial port and a network socket feed it alike.
"""

from collections.abc import Callable
from typing import Protocol

from candlebench.core.clock import Clock
from candlebench.core.events import ProbeTrouble, Reading, Refused, SourceEvent
from candlebench.thermometers.beside_channel import BesideChannel
from candlebench.thermometers.channel_choice import ChannelChoice
from candlebench.thermometers.flood_gate import FloodGate
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.pace import Pace
from candlebench.thermometers.parsed_line import CHATTER, BadLine, ParsedLine, Value, Why, why_words
from candlebench.thermometers.recent_lines import RecentLine, RecentLines
from candlebench.thermometers.text_lines import LineParser
from candlebench.words import tr

# The wire counts as quiet after this long: a line of 80 signs takes 0.09 s at 9600 baud.
QUIET_S = 0.3
# A melt changes by 0.1 K a second; more readings than these help nobody.
SHORTEST_BETWEEN_READINGS_S = 0.05
SHORTEST_BETWEEN_REFUSALS_S = 0.25
_GARBLED_LINES = 3
_UNDECIDED_LINES = 3
_FAULTS = frozenset({Why.FAULT, Why.IMPOSSIBLE, Why.POWER_ON, Why.CHECKSUM})


class Parser(Protocol):
    """Bytes in, temperatures or the reason why there is none out; `LineParser` is one."""

    def expect_part(self) -> None: ...

    def feed(self, data: bytes) -> list[ParsedLine]: ...

    def flush(self) -> list[ParsedLine]: ...


class LineListener:
    """Hears one wire. `hear` and `recent_lines` may be called from two threads.

    Parameters
    ----------
    settings : LineSettings
    clock : Clock
        The melt's clock.
    make_parser : callable
        Makes the parser of this kind of lines, anew whenever the wire is opened.
    """

    def __init__(
        self,
        settings: LineSettings,
        clock: Clock,
        make_parser: Callable[[LineSettings], Parser] = LineParser,
    ) -> None:
        self._settings = settings
        self._clock = clock
        self._make_parser = make_parser
        self._new_settings: LineSettings | None = None
        self._parser = make_parser(settings)
        self._gate = FloodGate()
        self._pace = Pace()
        self._since_reading: Why | None = None
        self._anything = False
        self._choose()
        self._recent = RecentLines()
        self._heard_s = float("-inf")
        self._passed_s = float("-inf")
        self._refused_s = float("-inf")
        self._waiting: Reading | None = None
        self._garbled = 0
        self._undecided = 0
        self._trouble = ""
        self._is_first = True

    def _choose(self) -> None:
        settings = self._settings
        self._choice = ChannelChoice(settings.channel, settings.beside)
        self._beside = (
            BesideChannel(settings.beside, settings.place, self._clock) if settings.beside else None
        )

    @property
    def channels(self) -> tuple[str, ...]:
        """Names of the channels seen, for the person to choose from."""
        return self._choice.channels

    def recent_lines(self) -> list[RecentLine]:
        """Return the last lines, the newest last, at most 200."""
        return self._recent.newest_last()

    def use(self, settings: LineSettings) -> None:
        """Read the lines in another way from the next bytes on."""
        self._new_settings = settings

    def say(self) -> bytes:
        """A thermometer that speaks by itself is asked nothing."""
        return b""

    def reopened(self) -> None:
        """The wire was opened (again): begin a new stream, whose first line may be a part."""
        self._begin_stream()
        # Whoever opened the wire has said that it is back: what is wrong with it has to be said again.
        self._trouble = ""
        self._pace.began(self._heard_s)

    def _begin_stream(self) -> None:
        self._parser = self._make_parser(self._settings)
        self._gate.begin()
        self._heard_s = self._clock.elapsed_s()
        self._waiting = None
        self._is_first = True
        self._garbled = self._undecided = 0
        self._since_reading, self._anything = None, False
        if self._beside is not None:
            self._beside.reopened()

    def _take_settings(self) -> None:
        settings, self._new_settings = self._new_settings, None
        if settings is not None:
            self._settings = settings
            self._choose()
            self._begin_stream()

    def hear(self, data: bytes) -> list[SourceEvent]:
        """Take what came from the wire, which may be nothing, and return what is to be passed on.

        Call it at least every 0.1 s, with b"" when the wire is quiet: time passes only by these calls.
        """
        self._take_settings()
        now_s = self._clock.elapsed_s()
        quiet = now_s - self._heard_s >= QUIET_S
        events: list[SourceEvent] = []
        parsed: list[ParsedLine] = []
        if data:
            if self._is_first and not quiet:
                # Opened in the middle of a line.
                self._parser.expect_part()
            self._is_first = False
            self._anything = True
            self._heard_s = now_s
        if quiet:
            parsed += self._parser.flush()
        passed, is_cut = self._gate.let_through(data, now_s)
        if is_cut:
            # What waits in the parser has lost its rest.
            self._parser.expect_part()
        if passed:
            parsed += self._parser.feed(passed)
        for one in parsed:
            events += self._value(one, now_s) if isinstance(one, Value) else self._bad(one, now_s)
        if now_s - self._passed_s >= SHORTEST_BETWEEN_READINGS_S:
            events += self._pass(now_s)
        return events + self._silence(now_s)

    def _pass(self, now_s: float) -> list[SourceEvent]:
        """The newest reading of each probe."""
        passed = [] if self._beside is None else self._beside.take()
        if self._waiting is not None:
            passed.append(self._waiting)
            self._waiting = None
        if passed:
            self._passed_s = now_s
        return sorted(passed, key=lambda event: event.elapsed_s)

    def _silence(self, now_s: float) -> list[SourceEvent]:
        """Say it once when no reading has come for too long, whatever else may come."""
        if self._trouble or not self._pace.is_overdue(now_s):
            return []
        if self._since_reading is Why.GARBLED:
            return self._trouble_once("garbled", _garbled_words(), now_s)
        if self._since_reading in _FAULTS:
            why = why_words(self._since_reading)
            text = tr("The thermometer sends no temperature: {why}.").format(why=why)
            return self._trouble_once("fault", text, now_s)
        if self._anything:
            text = tr(
                "No temperature is in what comes from there: look at the raw lines, or try another speed."
            )
            return self._trouble_once("silent", text, now_s)
        return self._trouble_once("silent", silent_words(self._pace.silent_s(now_s)), now_s)

    def _value(self, value: Value, now_s: float) -> list[SourceEvent]:
        picked = self._choice.pick(value)
        is_beside = self._beside is not None and self._beside.offer(value)
        self._recent.note(value.text, _said(value, picked is not None or is_beside, self._choice.undecided))
        self._garbled = 0
        if picked is None:
            return self._ask_for_channel(now_s) if self._choice.undecided else []
        self._undecided = 0
        self._pace.heard(now_s)
        self._since_reading, self._anything = None, False
        self._waiting = Reading(now_s, self._clock.wall_s(now_s), picked.temp_c)
        if not self._trouble:
            return []
        self._trouble = ""
        return [self._say("back", tr("The thermometer can be read again."), now_s)]

    def _bad(self, bad: BadLine, now_s: float) -> list[SourceEvent]:
        self._recent.note(bad.text, why_words(bad.why))
        self._choice.offer(bad.channels)
        if bad.why not in CHATTER:
            self._since_reading = bad.why
        events: list[SourceEvent] = []
        if bad.why in (Why.GARBLED, Why.TOO_LONG):
            self._garbled += 1
            if self._garbled >= _GARBLED_LINES:
                events += self._trouble_once("garbled", _garbled_words(), now_s)
        elif bad.why in (Why.UNDECIDED, Why.SCALE, Why.UNIT):
            self._undecided += 1
            if self._undecided >= _UNDECIDED_LINES:
                events += self._ask(bad.why, now_s)
        if bad.why not in CHATTER and now_s - self._refused_s >= SHORTEST_BETWEEN_REFUSALS_S:
            self._refused_s = now_s
            events.append(Refused(now_s, self._clock.wall_s(now_s), bad.text[:200], why_words(bad.why)))
        return events

    def _ask(self, why: Why, now_s: float) -> list[SourceEvent]:
        if why is Why.UNDECIDED:
            return self._ask_for_channel(now_s)
        text = {
            Why.SCALE: tr(
                "The thermometer sends whole numbers that may be tenths: choose the scale, such as 0.1."
            ),
            Why.UNIT: tr("The thermometer's numbers are too high for °C and name no unit: choose the unit."),
        }[why]
        return self._trouble_once("undecided", text, now_s)

    def _ask_for_channel(self, now_s: float) -> list[SourceEvent]:
        names = ", ".join(name or tr("without a name") for name in self._choice.channels)
        if names:
            text = tr("Cannot tell which of these is the melt: {channels}. Choose the channel.").format(
                channels=names
            )
        else:
            text = tr(
                "Cannot tell a temperature in these lines: look at the raw lines and choose the channel."
            )
        return self._trouble_once("undecided", text, now_s)

    def _trouble_once(self, code: str, text: str, now_s: float) -> list[SourceEvent]:
        if self._trouble == code:
            return []
        self._trouble = code
        return [self._say(code, text, now_s)]

    def _say(self, code: str, text: str, now_s: float) -> ProbeTrouble:
        return ProbeTrouble(now_s, self._clock.wall_s(now_s), code, text)


def silent_words(silent_s: float) -> str:
    """What to say of a thermometer from which nothing has come for so many seconds."""
    return tr(
        "Nothing has come from the thermometer for {seconds} s: look at its cable and its power."
    ).format(seconds=f"{silent_s:.0f}")


def _garbled_words() -> str:
    return tr("Only garbled signs come from the thermometer: try another speed, such as 9600 or 115200 baud.")


def _said(value: Value, picked: bool, undecided: bool) -> str:
    """How a value was read, in words."""
    temp = f"{value.temp_c:.2f} °C"
    named = f"{value.channel}: {temp}" if value.channel else temp
    if not value.unit:
        named = tr("{value}, taken as °C").format(value=named)
    if picked:
        return named
    if undecided:
        return tr("{value}; not decided which channel is the melt").format(value=named)
    return tr("{value}; not passed on").format(value=named)
