"""A recorded melt as it was believed: the melt's own probe, corrected, without what was kept out."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from candlebench.core.belief import Belief
from candlebench.core.correction import corrected_c
from candlebench.core.events import Event, Gap, KeptOut, MeltBegan, Reading, SetupChanged
from candlebench.core.place import Place
from candlebench.core.setup import MeltSetup
from candlebench.core.units import Shown


def believed(events: Iterable[Event]) -> list[Event]:
    """Return the events of a melt with its readings as they were believed.

    What a second probe said is left out. A correction in the last setup counts for the whole melt. Where the
    record says what was kept out, that holds; older records do not, and their readings are judged again.

    Parameters
    ----------
    events : iterable of Event
        All of one melt, as recorded.
    """
    return [event for _, event in judged(events) if event is not None]


def judged(events: Iterable[Event]) -> Iterator[tuple[Event, Event | None]]:
    """Yield every event of a melt with what `believed` makes of it: itself, a corrected reading, or None."""
    told = list(events)
    setup = last_setup(told)
    out = {event.reading_s for event in told if isinstance(event, KeptOut) and event.place is Place.MELT}
    belief = None if out else Belief(Shown())
    for event in told:
        made: Event | None = event
        if isinstance(event, Reading):
            made = as_believed(event, setup)
            doubted = belief is not None and event.place is Place.MELT and belief.judge(made) is not None
            if event.place is not Place.MELT or event.elapsed_s in out or doubted:
                made = None
        elif isinstance(event, KeptOut):
            made = None
        elif isinstance(event, Gap) and belief is not None:
            belief.forget()
        yield event, made


def as_believed(reading: Reading, setup: MeltSetup | None) -> Reading:
    """Return a reading of the melt's probe with the correction that its setup holds."""
    if setup is None or setup.correction is None or (reading.by_hand and not reads_by_hand(setup)):
        return reading
    return replace(reading, temp_c=corrected_c(reading.temp_c, setup.correction))


def reads_by_hand(setup: MeltSetup) -> bool:
    """Whether the probe of this melt is read by the person, so that what she types is what it shows.

    Beside a probe on a wire, a typed number is another thermometer's.
    """
    return setup.source.startswith("typed:")


def last_setup(events: Sequence[Event]) -> MeltSetup | None:
    """Return the setup that a melt's events end with; None when they hold none."""
    for event in reversed(events):
        if isinstance(event, MeltBegan | SetupChanged):
            return event.setup
    return None
