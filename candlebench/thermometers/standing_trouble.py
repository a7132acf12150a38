"""Whether what goes wrong with a thermometer that is asked has to be said, and whether it is over."""

from candlebench.core.clock import Clock
from candlebench.core.events import ProbeTrouble
from candlebench.words import tr

# One answer lost on the way is nothing to be told of; after this long without one, the number shown is stale.
TROUBLE_AFTER_S = 1.5


class StandingTrouble:
    """Says each trouble once, and when it is over.

    Parameters
    ----------
    clock : Clock
        The melt's clock.
    tries : int
        After how many failures in a row something is said.
    """

    def __init__(self, clock: Clock, tries: int) -> None:
        self._clock = clock
        self._tries = tries
        self._said = ""
        self._code = ""
        self._alike = 0
        self._failures = 0
        self._good_s = clock.elapsed_s()

    def begin(self) -> None:
        """The wire was opened: whoever opened it has said that it is back."""
        self._said = self._code = ""
        self._alike = self._failures = 0
        self._good_s = self._clock.elapsed_s()

    def good(self) -> list[ProbeTrouble]:
        """A temperature came; return what is to be said."""
        was, self._said, self._code = self._said, "", ""
        self._alike = self._failures = 0
        self._good_s = self._clock.elapsed_s()
        return [self._event("back", tr("The thermometer can be read again."))] if was else []

    def failed(self, code: str, sentence: str) -> list[ProbeTrouble]:
        """No temperature came; return what is to be said."""
        self._failures += 1
        self._alike = self._alike + 1 if code == self._code else 1
        self._code = code
        # Troubles that take turns are one trouble.
        enough = self._alike >= self._tries if self._said else self._failures >= self._tries
        waited = self._clock.elapsed_s() - self._good_s >= TROUBLE_AFTER_S
        if code == self._said or not enough or not waited:
            return []
        self._said = code
        return [self._event(code, sentence)]

    def _event(self, code: str, text: str) -> ProbeTrouble:
        now_s = self._clock.elapsed_s()
        return ProbeTrouble(now_s, self._clock.wall_s(now_s), code, text)
