"""The plans she made: one JSON file beside the database, so that a plan can be taken up and poured again.

    {"plans": [{"uuid": "...", "title": "...", "summary": "...", "changed_wall_s": 1.7e9, "request": {...}}]}

A row that this version cannot read stays in the file as it is, like every key that it does not know.
"""

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any
from uuid import UUID

from candlebench.core.errors import BadDataError, CandlebenchError, FixableError
from candlebench.core.plan.request import PlanRequest
from candlebench.core.plan.rows import from_row, to_row
from candlebench.records.set_aside import set_aside
from candlebench.records.whole_file import written_whole
from candlebench.words import tr

FILE_NAME = "plans.json"


@dataclass(frozen=True, slots=True)
class KeptPlan:
    """One plan as it is kept.

    Attributes
    ----------
    uuid : UUID
        What a melt that was begun from it remembers.
    title : str
        What she calls it; '' when she gave it no name.
    summary : str
        '6 jars of 280 g, Lavender', as it stood when it was kept.
    changed_wall_s : float
        When it was last changed, Unix time.
    request : PlanRequest
        What was asked; what it takes is reckoned anew, with the tables and settings of the day.
    """

    uuid: UUID
    title: str
    summary: str
    changed_wall_s: float
    request: PlanRequest

    @property
    def name(self) -> str:
        """Her title, or the summary."""
        return self.title or self.summary


class Plans:
    """The plans of one shop. One program has them open at a time, as it has the database (`DataLock`).

    Parameters
    ----------
    folder : Path
        Where the database lies; it need not exist yet.
    today : date
        For the name of a file that has to be set aside.

    Attributes
    ----------
    faults : tuple of str
        What was wrong with the file, a sentence each; what could be read is there all the same.
    """

    def __init__(self, folder: Path, today: date) -> None:
        self._path = folder / FILE_NAME
        self._whole: dict[str, Any] = {}
        self._unread: list[object] = []
        self._kept: dict[UUID, KeptPlan] = {}
        self._rows: dict[UUID, Mapping[str, Any]] = {}
        # Why the file must not be written over; '' when it may.
        self._closed = ""
        self.faults = tuple(self._load(today))

    def all(self) -> tuple[KeptPlan, ...]:
        """Return the plans, the one changed last first."""
        return tuple(sorted(self._kept.values(), key=lambda plan: plan.changed_wall_s, reverse=True))

    def find(self, uuid: UUID) -> KeptPlan | None:
        """Return the plan of that id; None when there is none."""
        return self._kept.get(uuid)

    def keep(self, plan: KeptPlan) -> None:
        """Write a plan, in the place of an earlier one of the same id.

        Raises
        ------
        FixableError
            The file cannot be written; the plan stays known until the program ends.
        """
        self._kept[plan.uuid] = plan
        self._write()

    def drop(self, uuid: UUID) -> None:
        """Throw a plan away; nothing happens when there is none of that id.

        Raises
        ------
        FixableError
            The file cannot be written.
        """
        if self._kept.pop(uuid, None) is not None:
            self._rows.pop(uuid, None)
            self._write()

    # --- the file -----------------------------------------------------------------------------------------

    def _load(self, today: date) -> list[str]:
        try:
            data = json.loads(self._path.read_text(encoding="utf-8"))
            if not isinstance(data, dict) or not isinstance(data.get("plans", []), list):
                raise ValueError(tr("it holds no list of plans"))
        except FileNotFoundError:
            return []
        except OSError as error:
            self._closed = str(error.strerror or error)
            text = tr("The plans in {path} cannot be read ({why}): allow reading it, then start again.")
            return [text.format(path=self._path, why=self._closed)]
        except (ValueError, RecursionError) as error:
            return [self._put_away(today, str(error))]
        self._whole = data
        faults = [fault for row in data.get("plans", []) if (fault := self._take(row))]
        return faults

    def _take(self, row: object) -> str:
        """Take one row of the file; '' or a sentence with what is wrong with it."""
        try:
            plan = _plan_of(row)
        except CandlebenchError as error:
            self._unread.append(row)
            text = tr("A plan in {path} cannot be read and is left as it is: {why}")
            return text.format(path=self._path, why=error)
        assert isinstance(row, dict)
        self._kept[plan.uuid], self._rows[plan.uuid] = plan, row
        return ""

    def _put_away(self, today: date, why: str) -> str:
        why = " ".join(why.split())
        try:
            aside = set_aside(self._path, today)
        except OSError:
            self._closed = why
            text = tr("The plans in {path} are not right ({why}): move that file away, then start again.")
            return text.format(path=self._path, why=why)
        text = tr("The plans were not right ({why}); the file is kept as {aside}, and a new one is begun.")
        return text.format(why=why, aside=aside)

    def _write(self) -> None:
        if self._closed:
            text = tr("The plan was not kept because {path} is not right ({why}): move that file away.")
            raise FixableError(text.format(path=self._path, why=self._closed))
        rows = [self._row_of(plan) for plan in self._kept.values()]
        try:
            self._path.parent.mkdir(parents=True, exist_ok=True)
            with written_whole(self._path) as stream:
                json.dump(
                    {**self._whole, "plans": [*rows, *self._unread]}, stream, ensure_ascii=False, indent=1
                )
                stream.write("\n")
        except OSError as error:
            text = tr("The plan was not kept in {path} ({why}): allow writing there and free some space.")
            raise FixableError(text.format(path=self._path, why=error.strerror or error)) from error

    def _row_of(self, plan: KeptPlan) -> dict[str, Any]:
        own = {
            "uuid": str(plan.uuid),
            "title": plan.title,
            "summary": plan.summary,
            "changed_wall_s": plan.changed_wall_s,
            "request": to_row(plan.request),
        }
        return {**self._rows.get(plan.uuid, {}), **own}


def _plan_of(row: object) -> KeptPlan:
    if not isinstance(row, dict):
        raise BadDataError(tr("a plan is a table, not {value}").format(value=repr(row)[:80]))
    try:
        uuid = UUID(row["uuid"])
    except (KeyError, ValueError, TypeError, AttributeError) as error:
        raise BadDataError(tr("its uuid is missing or is none")) from error
    changed = row.get("changed_wall_s")
    if isinstance(changed, bool) or not isinstance(changed, int | float) or not math.isfinite(changed):
        raise BadDataError(tr("{uuid}: changed_wall_s is no number").format(uuid=uuid))
    request = from_row(PlanRequest, row.get("request"), f"{uuid}.request")
    return KeptPlan(uuid, str(row.get("title", "")), str(row.get("summary", "")), float(changed), request)
