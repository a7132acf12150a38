"""A thermometer at the end of a wire of any kind: opened, listened to, lost and found again."""

import threading
from collections.abc import Iterator

from candlebench.core.clock import Clock
from candlebench.core.events import ProbeTrouble, SourceEvent
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.recent_lines import RecentLine
from candlebench.thermometers.wire import NotConnectedError, Plug, Talker, Wire, WireLostError
from candlebench.words import tr

RETRY_S = 0.5
# After a plug went in, the system takes a moment to set its permissions; nothing is said of them before.
SETTLING_S = 3.0
# A wire that stays open this long, or over which something comes, is back; one that closes at once is not.
STEADY_S = 1.0
# Ten signs at 9600 baud; nobody sees that a reading is so much late.
GATHER_S = 0.01


class WiredSource:
    """A `ThermometerSource` over a wire, which waits for it when it is gone.

    Parameters
    ----------
    plug : Plug
        Where it is connected.
    talker : Talker
        What is said and heard over the wire.
    clock : Clock
        The melt's clock.
    """

    def __init__(self, plug: Plug, talker: Talker, clock: Clock) -> None:
        self.clock = clock
        self._plug = plug
        self._talker = talker
        self._trouble = ""
        self._gone_s = float("-inf")

    @property
    def label(self) -> str:
        return self._plug.label

    @property
    def channels(self) -> tuple[str, ...]:
        """Names of the channels seen, for the person to choose from."""
        return self._talker.channels

    def recent_lines(self) -> list[RecentLine]:
        """Return the last raw lines with how each was read, the newest last, at most 200."""
        return self._talker.recent_lines()

    def use(self, settings: LineSettings) -> None:
        """Read the lines in another way from now on; the port stays open, as opening resets many boards."""
        self._talker.use(settings)

    def events(self, stop: threading.Event) -> Iterator[SourceEvent]:
        """Yield readings and troubles until `stop` is set. A lost wire is looked for every half second."""
        while not stop.is_set():
            try:
                wire = self._plug.connect(stop)
            except NotConnectedError as error:
                if self._is_news(error):
                    self._trouble = error.code
                    yield self._say(error.code, error.text)
                stop.wait(RETRY_S)
                continue
            try:
                yield from self._until_lost(wire, stop)
            except WireLostError:
                if self._trouble != "unplugged":
                    self._trouble = "unplugged"
                    yield self._say("unplugged", self._plug.gone_words())
                self._gone_s = self.clock.elapsed_s()
                stop.wait(RETRY_S)
            finally:
                wire.close()

    def _until_lost(self, wire: Wire, stop: threading.Event) -> Iterator[SourceEvent]:
        self._talker.reopened()
        opened_s = self.clock.elapsed_s()
        while not stop.is_set():
            if words := self._talker.say():
                wire.write(words)
            data = wire.read()
            if data:
                # What comes in small pieces is read in larger ones, which costs a tenth.
                stop.wait(GATHER_S)
            if self._trouble and (data or self.clock.elapsed_s() - opened_s >= STEADY_S):
                self._trouble = ""
                yield self._say("back", tr("The thermometer at {path} is back.").format(path=self.label))
            yield from self._talker.hear(data)

    def _is_news(self, error: NotConnectedError) -> bool:
        """Whether this trouble was not said yet, and is not just a plug that is still out or settling."""
        if self._trouble == "unplugged":
            settling = self.clock.elapsed_s() - self._gone_s < SETTLING_S
            return error.code != "missing" and not settling
        return error.code != self._trouble

    def _say(self, code: str, text: str) -> ProbeTrouble:
        now_s = self.clock.elapsed_s()
        return ProbeTrouble(now_s, self.clock.wall_s(now_s), code, text)
