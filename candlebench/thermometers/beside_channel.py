"""The second probe on one wire: which values are its own, and when its silence is said."""

from dataclasses import replace

from candlebench.core.clock import Clock
from candlebench.core.events import ProbeTrouble, Reading, Refused, SourceEvent
from candlebench.core.place import Place
from candlebench.thermometers.channel_choice import ChannelChoice
from candlebench.thermometers.pace import Pace
from candlebench.thermometers.parsed_line import Value
from candlebench.thermometers.place_words import probe_words
from candlebench.words import tr


class BesideChannel:
    """Picks the values of a named channel beside the melt's.

    Parameters
    ----------
    name : str
        The channel as the person chose it.
    place : Place
        Where its probe hangs.
    clock : Clock
        The melt's clock.
    """

    def __init__(self, name: str, place: Place, clock: Clock) -> None:
        self._choice = ChannelChoice(name)
        self._place, self._clock = place, clock
        self._pace = Pace()
        self._waiting: Reading | None = None
        self._is_silent = False

    def reopened(self) -> None:
        """The wire was opened (again)."""
        self._waiting, self._is_silent = None, False
        self._pace.began(self._clock.elapsed_s())

    def offer(self, value: Value) -> bool:
        """Take a value when it is this probe's; tell whether it is."""
        picked = self._choice.pick(value)
        if picked is None:
            return False
        now_s = self._clock.elapsed_s()
        self._pace.heard(now_s)
        self._waiting = Reading(now_s, self._clock.wall_s(now_s), picked.temp_c, place=self._place)
        return True

    def take(self) -> list[SourceEvent]:
        """Return the newest reading that waits, and what is to be said of the probe."""
        reading, self._waiting = self._waiting, None
        now_s = self._clock.elapsed_s()
        if reading is not None:
            said = [self._say("back", tr("It can be read again."), now_s)] if self._is_silent else []
            self._is_silent = False
            return [*said, reading]
        if self._is_silent or not self._pace.is_overdue(now_s):
            return []
        self._is_silent = True
        text = tr("Nothing has come from it for {seconds} s: look at its cable and its plug.")
        return [self._say("silent", text.format(seconds=f"{self._pace.silent_s(now_s):.0f}"), now_s)]

    def _say(self, code: str, text: str, now_s: float) -> ProbeTrouble:
        text = f"{probe_words(self._place)}: {text}"
        return ProbeTrouble(now_s, self._clock.wall_s(now_s), code, text, self._place)


def placed(event: SourceEvent, place: Place) -> SourceEvent:
    """The same event of a probe that hangs elsewhere; what is said of it names it."""
    match event:
        case Reading() | Refused():
            return replace(event, place=place)
        case ProbeTrouble():
            return replace(event, place=place, text=f"{probe_words(place)}: {event.text}")
