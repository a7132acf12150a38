"""Two probes behind one wire that answers when it is asked: their questions take turns."""

from candlebench.core.events import SourceEvent
from candlebench.core.place import Place
from candlebench.thermometers.asker import Asker
from candlebench.thermometers.beside_channel import placed
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.recent_lines import RecentLine


class TakingTurns:
    """A `Talker` that asks for the melt's temperature and for that of a second probe.

    One question is open at a time, as an answer does not say which one it belongs to.

    Parameters
    ----------
    melt, beside : Asker
        What is asked of the two.
    place : Place
        Where the second probe hangs.
    """

    def __init__(self, melt: Asker, beside: Asker, place: Place) -> None:
        self._melt, self._beside, self._place = melt, beside, place
        self._asked_last = beside

    @property
    def channels(self) -> tuple[str, ...]:
        """Both are named by their questions: there is nothing to choose from."""
        return ()

    def recent_lines(self) -> list[RecentLine]:
        """Return the last answers for the melt, the newest last."""
        return self._melt.recent_lines()

    def use(self, settings: LineSettings) -> None:
        """How numbers are read stands in the address."""

    def reopened(self) -> None:
        """The wire was opened (again): ask at once."""
        self._melt.reopened()
        self._beside.reopened()

    def say(self) -> bytes:
        """Return the question that has been due for longest, when none is open."""
        if self._melt.is_waiting or self._beside.is_waiting:
            return b""
        others_turn = self._beside if self._asked_last is self._melt else self._melt
        for asker in sorted((self._melt, self._beside), key=lambda a: (a.due_s, a is not others_turn)):
            if question := asker.say():
                self._asked_last = asker
                return question
        return b""

    def hear(self, data: bytes) -> list[SourceEvent]:
        """Give what came to whom was asked last; return the events of both."""
        of_melt = self._asked_last is self._melt
        events = self._melt.hear(data if of_melt else b"")
        of_beside = self._beside.hear(b"" if of_melt else data)
        return events + [placed(event, self._place) for event in of_beside]
