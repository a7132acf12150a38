"""The one protocol behind which every thermometer stands: wire, file, hand and practice alike."""

import threading
from collections.abc import Iterator
from typing import Protocol

from candlebench.core.clock import Clock
from candlebench.core.events import Action, SourceEvent


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
