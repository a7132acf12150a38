"""What the lines about checks of probes come to: what is kept of each probe, and what of it is used.

    {"uuid": "...", "probe": "kitchen", "kept_wall_s": 1.7e9, "kind": "check", "check": {}, "correction": {}}
    {"uuid": "...", "probe": "kitchen", "kept_wall_s": 1.7e9, "kind": "plunge", "plunge": {}}
    {"uuid": "...", "probe": "kitchen", "kept_wall_s": 1.7e9, "kind": "forget"}
    {"uuid": "...", "probe": "kitchen", "kept_wall_s": 1.7e9, "kind": "forget", "of": "..."}
    {"uuid": "...", "probe": "kitchen", "kept_wall_s": 1.7e9, "kind": "again", "of": "..."}

Forgetting is a line: without `of` nothing that stands before it for this probe is used any more. So is using
again, `of` a check or plunge test, or of a forgetting, which is undone. A line that stands there twice counts
once.
"""

import json
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any
from uuid import UUID

from candlebench.core.correction import Correction
from candlebench.core.errors import BadDataError, CandlebenchError
from candlebench.core.plan.rows import from_row
from candlebench.core.trust.check import ProbeCheck
from candlebench.core.trust.plunge import Plunge
from candlebench.words import tr

_KINDS = ("check", "plunge", "forget", "again")


@dataclass(frozen=True, slots=True)
class Kept:
    """One check or plunge test as it is kept.

    Attributes
    ----------
    uuid : UUID
        Its identity.
    name : str
        What the person called the probe then.
    kept_wall_s : float
        When it was kept, Unix time.
    what : ProbeCheck or Plunge
    correction : Correction or None
        What the check gave when it was kept; None of a plunge test.
    forgotten : bool
        Kept, but not used.
    """

    uuid: UUID
    name: str
    kept_wall_s: float
    what: ProbeCheck | Plunge
    correction: Correction | None
    forgotten: bool = False


class Book:
    """What is known of each probe; capitals in names do not matter.

    Attributes
    ----------
    faults : list of str
        What could not be read, a sentence each.
    """

    def __init__(self) -> None:
        self.faults: list[str] = []
        self._kept: dict[UUID, Kept] = {}
        # Each forgetting, with what was used until then and not any more.
        self._forgettings: dict[UUID, tuple[UUID, ...]] = {}
        self._seen: set[UUID] = set()

    # --- questions ----------------------------------------------------------------------------------------

    def names(self) -> tuple[str, ...]:
        """Names of the probes of which something is used, as last written, the latest first."""
        latest: dict[str, str] = {}
        for kept in self._kept.values():
            if not kept.forgotten:
                latest.pop(_key(kept.name), None)
                latest[_key(kept.name)] = kept.name
        return tuple(reversed(latest.values()))

    def history(self, name: str) -> tuple[Kept, ...]:
        """Everything that was kept of a probe, in the order in which it was kept."""
        return tuple(kept for kept in self._kept.values() if _key(kept.name) == _key(name))

    def check(self, name: str) -> ProbeCheck | None:
        """The check in force: of the latest day, and of two on one day the one kept last."""
        kept = self._in_force(name)
        return kept.what if kept is not None and isinstance(kept.what, ProbeCheck) else None

    def correction(self, name: str) -> Correction | None:
        """The correction in force, None when the probe was not checked."""
        kept = self._in_force(name)
        return None if kept is None else kept.correction

    def plunge(self, name: str) -> Plunge | None:
        """The latest plunge test."""
        used = [
            kept.what for kept in self.history(name) if isinstance(kept.what, Plunge) and not kept.forgotten
        ]
        return max(reversed(used), key=lambda plunge: plunge.tested_on, default=None)

    def find(self, uuid: UUID) -> Kept | None:
        """One check or plunge test."""
        return self._kept.get(uuid)

    def last_forgetting(self, name: str) -> UUID | None:
        """The latest forgetting of a probe of which something is still not used."""
        forgotten = {kept.uuid for kept in self.history(name) if kept.forgotten}
        return next((one for one, of in reversed(self._forgettings.items()) if forgotten & {*of}), None)

    def _in_force(self, name: str) -> Kept | None:
        used = [
            kept for kept in self.history(name) if isinstance(kept.what, ProbeCheck) and not kept.forgotten
        ]
        return max(reversed(used), key=_day, default=None)

    # --- lines --------------------------------------------------------------------------------------------

    def take_all(self, lines: Iterable[tuple[int, bytes]], path: Path) -> None:
        """Take the numbered lines of a file into account; what is wrong with one spoils no other."""
        for number, data in lines:
            try:
                self._take(json.loads(data))
            except (
                ValueError,
                RecursionError,
                KeyError,
                TypeError,
                AttributeError,
                CandlebenchError,
            ) as error:
                text = tr("Line {number} of {path} cannot be read and is left as it is: {why}")
                self.faults.append(text.format(number=number, path=path, why=error))

    def _take(self, line: Any) -> None:
        if not isinstance(line, dict) or line.get("kind") not in _KINDS:
            raise BadDataError(tr("it is of no kind that is known."))
        name, wall_s, uuid = str(line["probe"]), float(line["kept_wall_s"]), UUID(line["uuid"])
        if uuid in self._seen:
            return
        match line["kind"]:
            case "forget":
                self._forget(uuid, name, line.get("of"))
            case "again":
                self._use_again(UUID(line["of"]))
            case "plunge":
                plunge = from_row(Plunge, line.get("plunge"))
                _refuse_odd(plunge.tested_on, plunge.lag_s > 0.0)
                self._kept[uuid] = Kept(uuid, name, wall_s, plunge, None)
            case _:
                check = from_row(ProbeCheck, line.get("check"))
                correction = from_row(Correction, line.get("correction"))
                fits = bool(check.points) and correction.checked_on == check.checked_on
                _refuse_odd(check.checked_on, fits)
                self._kept[uuid] = Kept(uuid, name, wall_s, check, correction)
        self._seen.add(uuid)

    def _forget(self, uuid: UUID, name: str, of: str | None) -> None:
        used = [kept for kept in self.history(name) if not kept.forgotten and of in (None, str(kept.uuid))]
        for kept in used:
            self._kept[kept.uuid] = replace(kept, forgotten=True)
        self._forgettings[uuid] = tuple(kept.uuid for kept in used)

    def _use_again(self, of: UUID) -> None:
        for uuid in self._forgettings.get(of, (of,)):
            if uuid in self._kept:
                self._kept[uuid] = replace(self._kept[uuid], forgotten=False)


def _refuse_odd(day: str, sound: bool) -> None:
    """Refuse what no version has written: a day that is none, a lag of nothing, a check without points."""
    date.fromisoformat(day)
    if not sound:
        raise BadDataError(tr("its parts do not fit together."))


def _day(kept: Kept) -> str:
    assert isinstance(kept.what, ProbeCheck)
    return kept.what.checked_on


def _key(name: str) -> str:
    return " ".join(name.casefold().split())
