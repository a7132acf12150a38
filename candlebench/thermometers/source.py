"""The one protocol behind which every thermometer stands: wire, file, hand and practice alike."""

import logging
import threading
from collections.abc import Iterator
from typing import Protocol

from candlebench.core.clock import Clock
from candlebench.core.errors import CandlebenchError
from candlebench.core.events import Action, ProbeTrouble, SourceEvent
from candlebench.words import tr

log = logging.getLogger(__name__)


class ThermometerSource(Protocol):
    """Somewhere readings come from.

    Attributes
    ----------
    label : str
        For people: 'practice: a first small jug', '/dev/ttyUSB0'.
    clock : Clock
        The melt's time; a replay or a practice melt brings its own, scaled one.
    """

    @property
    def label(self) -> str: ...

    @property
    def clock(self) -> Clock: ...

    def events(self, stop: threading.Event) -> Iterator[SourceEvent | Action]:
        """Yield readings and troubles, stamped with `clock`, until the source ends or `stop` is set.

        A practice melt that is worked by a simulated maker yields her Actions too.

        Blocks, in a thread of its own; looks at `stop` at least five times a second.
        """
        ...


def events_of(source: ThermometerSource, stop: threading.Event) -> Iterator[SourceEvent | Action]:
    """Yield a source's events; when it fails, the last one says so."""
    try:
        yield from source.events(stop)
        return
    except CandlebenchError as error:
        text = str(error)
    except Exception:
        log.exception("the thermometer's thread failed")
        text = tr("Reading the thermometer failed inside the program: see the log file, type by hand.")
    if not stop.is_set():
        yield _trouble(source, text)


def ended(source: ThermometerSource) -> ProbeTrouble:
    """What is said of a source that has come to its end by itself."""
    return _trouble(source, tr("The readings have ended."))


def _trouble(source: ThermometerSource, text: str) -> ProbeTrouble:
    elapsed_s = source.clock.elapsed_s()
    return ProbeTrouble(elapsed_s, source.clock.wall_s(elapsed_s), "ended", text)
