"""One melt as a CSV file, for a spreadsheet or for playing it again."""

import csv
from collections.abc import Iterable
from datetime import UTC, datetime, tzinfo
from pathlib import Path

from candlebench.core.believed import judged
from candlebench.core.errors import FixableError
from candlebench.core.event_codec import type_word
from candlebench.core.events import (
    Action,
    Event,
    Gap,
    KeptOut,
    MeltBegan,
    ProbeTrouble,
    Reading,
    Recorded,
    Refused,
    SetupChanged,
)
from candlebench.core.place import Place
from candlebench.records.whole_file import written_whole
from candlebench.words import tr

COLUMNS = ("elapsed_s", "wall_time", "temp_c", "by_hand", "event", "detail", "believed_c")


def export_csv(events: Iterable[Recorded], file: Path, zone: tzinfo | None = None) -> int:
    """Write the events of a melt as CSV (RFC 4180, UTF-8), one row each, in the order of their times.

    A reading typed "2 minutes ago" so comes where it belongs, and the file can be played again; events of one
    moment keep their order.

    `temp_c` is what the probe in the wax showed, `believed_c` the same as it was believed: corrected, and
    empty when it was kept out. With a second probe there is a column `bath_c` or `room_c` for what that one
    showed. These and `by_hand` ('yes' or 'no') are empty in other rows. Numbers are written with all the
    digits that it takes to read the same number again.

    Parameters
    ----------
    events : iterable of Recorded
        The melt.
    file : Path
        Takes the place of an existing file only when it is wholly written.
    zone : tzinfo or None
        For `wall_time`; None for the machine's own.

    Returns
    -------
    int
        Number of rows below the header.

    Raises
    ------
    FixableError
        The file cannot be written; one that was there is as it was.
    """
    count = 0
    try:
        told = list(judged(recorded.event for recorded in events))
        heard = {event.place for event, _ in told if isinstance(event, Reading)}
        places = [place for place in (Place.BATH, Place.ROOM) if place in heard]
        with written_whole(file) as stream:
            writer = csv.writer(stream)
            writer.writerow((*COLUMNS, *(f"{place.value}_c" for place in places)))
            for event, made in sorted(told, key=lambda pair: pair[0].elapsed_s):
                beside = tuple(_read_at(event, place) for place in places)
                writer.writerow((*_cells(event, zone), _read_at(made, Place.MELT), *beside))
                count += 1
    except OSError as error:
        text = tr("{file} cannot be written ({why}): choose another place or free some space.")
        raise FixableError(text.format(file=file, why=error.strerror or error)) from error
    return count


def _cells(event: Event, zone: tzinfo | None) -> tuple[str, ...]:
    temp_c, by_hand = _read_at(event, Place.MELT), ""
    if isinstance(event, Reading):
        by_hand = "yes" if event.by_hand else "no"
    wall_time = datetime.fromtimestamp(event.wall_s, UTC).astimezone(zone).isoformat(timespec="milliseconds")
    return repr(float(event.elapsed_s)), wall_time, temp_c, by_hand, type_word(type(event)), _detail(event)


def _read_at(event: Event | None, place: Place) -> str:
    """What the probe there showed; empty when the event is no reading of it."""
    return repr(float(event.temp_c)) if isinstance(event, Reading) and event.place is place else ""


def _detail(event: Event) -> str:
    """What there is to say about an event, on one line."""
    match event:
        case Reading():
            words = ""
        case MeltBegan(setup=setup) | SetupChanged(setup=setup):
            words = f"{setup.title}; {setup.wax}"
        case KeptOut(why=why):
            words = why
        case Refused(text=text, why=why):
            words = f"{text}; {why}"
        case ProbeTrouble(code=code, text=text):
            words = f"{code}; {text}"
        case Action(kind=kind, detail=detail):
            words = f"{kind.value}; {detail}" if detail else kind.value
        case Gap(length_s=length_s, why=why):
            words = f"{why}; {length_s!r} s"
    return "".join(letter if letter.isprintable() else ascii(letter)[1:-1] for letter in words)
