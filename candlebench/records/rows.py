"""Events as rows of the database and lines of a rescue file."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple
from uuid import UUID

from candlebench.core.errors import BadDataError
from candlebench.core.event_codec import decode, encode, type_word
from candlebench.core.events import ActionKind, Recorded, Refused
from candlebench.words import tr


class Row(NamedTuple):
    """One event as it lies in the database; `body` is JSON of the fields that have no column."""

    melt: str
    number: int
    elapsed_s: float
    wall_s: float
    type: str
    body: str


@dataclass(frozen=True, slots=True)
class MeltSummary:
    """One melt in a list of melts.

    Attributes
    ----------
    uuid : UUID
        Its identity.
    title : str
        What the person called it, last.
    began_wall_s : float
        When it began, Unix time.
    last_elapsed_s : float
        Elapsed time of its latest event.
    event_count : int
        How many events are on disk.
    finished : bool
        The person said that it is finished and did not take that back.
    """

    uuid: UUID
    title: str
    began_wall_s: float
    last_elapsed_s: float
    event_count: int
    finished: bool


def row_of(recorded: Recorded) -> Row:
    """Return the row that holds this event.

    Raises
    ------
    BadDataError
        The event cannot be written (a number that is not finite).
    """
    event = recorded.event
    body = encode(event)
    for in_a_column in ("type", "elapsed_s", "wall_s"):
        del body[in_a_column]
    text = json.dumps(body, allow_nan=False, separators=(",", ":"))
    elapsed_s, wall_s = float(event.elapsed_s), float(event.wall_s)
    return Row(str(recorded.melt), recorded.number, elapsed_s, wall_s, type_word(type(event)), text)


def checked_event(row: Row) -> Recorded:
    """Return the event of a row.

    Raises
    ------
    BadDataError
        The row holds no event that this version understands.
    """
    try:
        body = json.loads(row.body)
        melt = UUID(row.melt)
    except (ValueError, TypeError, AttributeError, RecursionError) as error:
        text = tr("Event {number} of melt {melt} cannot be read: {error}.")
        raise BadDataError(text.format(number=row.number, melt=row.melt, error=error)) from error
    if not isinstance(body, dict):
        text = tr("Event {number} of melt {melt} cannot be read: it is no table of fields.")
        raise BadDataError(text.format(number=row.number, melt=row.melt))
    body |= {"type": row.type, "elapsed_s": row.elapsed_s, "wall_s": row.wall_s}
    return Recorded(melt, row.number, decode(body))


def event_or_refused(row: Row) -> Recorded:
    """Return the event of a row, or a `Refused` that holds the row's text when it cannot be understood.

    One spoilt event must not keep the rest of its melt from being read.
    """
    try:
        return checked_event(row)
    except BadDataError as error:
        refused = Refused(row.elapsed_s, row.wall_s, f"{row.type} {row.body}", str(error))
        return Recorded(UUID(row.melt), row.number, refused)


def line_of(row: Row) -> str:
    """Return a row as one line of JSON, ASCII, without its line end."""
    event = {"type": row.type, "elapsed_s": row.elapsed_s, "wall_s": row.wall_s, **json.loads(row.body)}
    return json.dumps({"melt": row.melt, "number": row.number, "event": event}, allow_nan=False)


def row_of_line(line: bytes) -> Row:
    """Return the row that `line_of` made this line from.

    Raises
    ------
    BadDataError
        It is no such line.
    """
    try:
        data = json.loads(line)
        recorded = Recorded(UUID(data["melt"]), int(data["number"]), decode(data["event"]))
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError) as error:
        raise BadDataError(tr("A line of a rescue file is no event: {error}.").format(error=error)) from error
    return row_of(recorded)


def is_finished(actions: Iterable[str]) -> bool:
    """Say whether the bodies of a melt's actions, in order, leave it finished; an undo takes that back."""
    finished = False
    for body in actions:
        try:
            kind = ActionKind(json.loads(body)["kind"])
        except (ValueError, KeyError, TypeError):
            continue
        if kind is ActionKind.FINISHED:
            finished = True
        elif kind is ActionKind.UNDO:
            finished = False
    return finished
