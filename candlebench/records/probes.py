"""The checks and plunge tests of each probe: a file of lines beside the database, only ever added to.

    {"uuid": "...", "probe": "kitchen", "kept_wall_s": 1.7e9, "kind": "check", "check": {}, "correction": {}}
    {"uuid": "...", "probe": "kitchen", "kept_wall_s": 1.7e9, "kind": "plunge", "plunge": {}}
    {"uuid": "...", "probe": "kitchen", "kept_wall_s": 1.7e9, "kind": "forget"}
    {"uuid": "...", "probe": "kitchen", "kept_wall_s": 1.7e9, "kind": "forget", "of": "..."}

A line is written in one go and flushed to the disk, so that a check on the console may be kept while a window
is open, and a program that is cut short spoils no line but its own. What cannot be read stays in the file.
Forgetting is a line too: without `of` nothing that stands before it for this probe is used any more.
"""

import json
import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

from candlebench.core.correction import Correction
from candlebench.core.errors import BadDataError, CandlebenchError, FixableError
from candlebench.core.plan.rows import from_row, to_row
from candlebench.core.trust.check import ProbeCheck
from candlebench.core.trust.line import correction_of
from candlebench.core.trust.plunge import Plunge
from candlebench.words import tr

FILE_NAME = "probes.jsonl"
_KINDS = ("check", "plunge", "forget")


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


class Probes:
    """What is known of each probe. The file is read anew for each question; capitals in names do not matter.

    Parameters
    ----------
    folder_of : callable
        The data folder, which need not exist yet.
    """

    def __init__(self, folder_of: Callable[[], Path]) -> None:
        self._folder_of = folder_of

    @property
    def path(self) -> Path:
        """The file."""
        return self._folder_of() / FILE_NAME

    # --- reading ------------------------------------------------------------------------------------------

    def names(self) -> tuple[str, ...]:
        """Names of the probes of which something is used, as last written, the latest first.

        Raises
        ------
        FixableError
            The file may not be read.
        """
        latest: dict[str, str] = {}
        for kept in self._all()[0]:
            if not kept.forgotten:
                latest.pop(_key(kept.name), None)
                latest[_key(kept.name)] = kept.name
        return tuple(reversed(latest.values()))

    def history(self, name: str) -> tuple[Kept, ...]:
        """Everything that was kept of a probe, in the order in which it was kept.

        Raises
        ------
        FixableError
            The file may not be read.
        """
        return tuple(kept for kept in self._all()[0] if _key(kept.name) == _key(name))

    def check(self, name: str) -> ProbeCheck | None:
        """The check in force: of the latest day, and of two on one day the one kept last.

        Raises
        ------
        FixableError
            The file may not be read.
        """
        kept = self._in_force(name)
        return kept.what if kept is not None and isinstance(kept.what, ProbeCheck) else None

    def correction(self, name: str) -> Correction | None:
        """The correction in force, None when the probe was not checked.

        Raises
        ------
        FixableError
            The file may not be read.
        """
        kept = self._in_force(name)
        return None if kept is None else kept.correction

    def plunge(self, name: str) -> Plunge | None:
        """The latest plunge test.

        Raises
        ------
        FixableError
            The file may not be read.
        """
        used = [
            kept.what for kept in self.history(name) if isinstance(kept.what, Plunge) and not kept.forgotten
        ]
        return max(reversed(used), key=lambda plunge: plunge.tested_on, default=None)

    def faults(self) -> tuple[str, ...]:
        """What could not be read, a sentence each; the lines stay in the file as they are.

        Raises
        ------
        FixableError
            The file may not be read.
        """
        return tuple(self._all()[1])

    def _in_force(self, name: str) -> Kept | None:
        used = [
            kept for kept in self.history(name) if isinstance(kept.what, ProbeCheck) and not kept.forgotten
        ]
        return max(reversed(used), key=_day, default=None)

    # --- writing ------------------------------------------------------------------------------------------

    def keep(self, name: str, what: ProbeCheck | Plunge, wall_s: float) -> Kept:
        """Keep a check, with its correction, or a plunge test.

        Parameters
        ----------
        name : str
            What the person calls the probe.
        what : ProbeCheck or Plunge
        wall_s : float
            Unix time now.

        Raises
        ------
        FixableError
            The probe has no name, or the file cannot be written.
        """
        name = " ".join(name.split())
        if not name:
            raise FixableError(tr("Give the probe a name first, so that its check is found again."))
        correction = correction_of(what) if isinstance(what, ProbeCheck) else None
        kept = Kept(uuid4(), name, wall_s, what, correction)
        line = _line("check" if correction else "plunge", kept.uuid, name, wall_s)
        if correction is None:
            line["plunge"] = to_row(what)
        else:
            line |= {"check": to_row(what), "correction": to_row(correction)}
        self._append(line)
        return kept

    def forget(self, name: str, wall_s: float) -> None:
        """Use nothing any more that was kept of a probe so far.

        Raises
        ------
        FixableError
            Nothing is used of such a probe, or the file cannot be written.
        """
        if all(kept.forgotten for kept in self.history(name)):
            raise FixableError(tr("No check of a probe called “{name}” is kept.").format(name=name))
        self._append(_line("forget", uuid4(), " ".join(name.split()), wall_s))

    def forget_one(self, uuid: UUID, wall_s: float) -> None:
        """Use one check or plunge test no more.

        Raises
        ------
        FixableError
            It is not there, or the file cannot be written.
        """
        found = next((kept for kept in self._all()[0] if kept.uuid == uuid and not kept.forgotten), None)
        if found is None:
            raise FixableError(tr("That check is not kept any more."))
        self._append({**_line("forget", uuid4(), found.name, wall_s), "of": str(uuid)})

    # --- the file -----------------------------------------------------------------------------------------

    def _append(self, line: dict[str, Any]) -> None:
        path = self.path
        data = json.dumps(line, ensure_ascii=True, allow_nan=False).encode("ascii") + b"\n"
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            with path.open("a+b") as file:
                # A line that was cut short must not spoil this one.
                if file.tell():
                    file.seek(-1, os.SEEK_END)
                    data = data if file.read(1) == b"\n" else b"\n" + data
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
        except OSError as error:
            text = tr("The check was not kept in {path} ({why}): allow writing there and free some space.")
            raise FixableError(text.format(path=path, why=error.strerror or error)) from error

    def _all(self) -> tuple[list[Kept], list[str]]:
        """Every check and test in the file, the forgotten ones marked, and what is wrong with the file."""
        everything: dict[UUID, Kept] = {}
        faults: list[str] = []
        for number, data in _lines(self.path):
            try:
                _take(json.loads(data), everything)
            except (
                ValueError,
                RecursionError,
                KeyError,
                TypeError,
                AttributeError,
                CandlebenchError,
            ) as error:
                text = tr("Line {number} of {path} cannot be read and is left as it is: {why}")
                faults.append(text.format(number=number, path=self.path, why=error))
        return list(everything.values()), faults


def _take(line: Any, everything: dict[UUID, Kept]) -> None:
    """Take one line of the file into account."""
    if not isinstance(line, dict) or line.get("kind") not in _KINDS:
        raise BadDataError(tr("it is of no kind that is known."))
    name, wall_s = str(line["probe"]), float(line["kept_wall_s"])
    if line["kind"] == "forget":
        of = line.get("of")
        for uuid, kept in everything.items():
            if _key(kept.name) == _key(name) and of in (None, str(uuid)):
                everything[uuid] = replace(kept, forgotten=True)
        return
    uuid = UUID(line["uuid"])
    if line["kind"] == "plunge":
        plunge = from_row(Plunge, line.get("plunge"))
        _refuse_odd(plunge.tested_on, plunge.lag_s > 0.0)
        everything.setdefault(uuid, Kept(uuid, name, wall_s, plunge, None))
        return
    check, correction = from_row(ProbeCheck, line.get("check")), from_row(Correction, line.get("correction"))
    _refuse_odd(check.checked_on, bool(check.points) and correction.checked_on == check.checked_on)
    everything.setdefault(uuid, Kept(uuid, name, wall_s, check, correction))


def _refuse_odd(day: str, sound: bool) -> None:
    """Refuse what no version has written: a day that is none, a lag of nothing, a check without points."""
    date.fromisoformat(day)
    if not sound:
        raise BadDataError(tr("its parts do not fit together."))


def _lines(path: Path) -> Iterator[tuple[int, bytes]]:
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        return
    except OSError as error:
        text = tr("The checks in {path} cannot be read ({why}): allow reading it.")
        raise FixableError(text.format(path=path, why=error.strerror or error)) from error
    for number, line in enumerate(data.split(b"\n"), start=1):
        if line.strip():
            yield number, line


def _line(kind: str, uuid: UUID, name: str, wall_s: float) -> dict[str, Any]:
    return {"uuid": str(uuid), "probe": name, "kept_wall_s": wall_s, "kind": kind}


def _day(kept: Kept) -> str:
    assert isinstance(kept.what, ProbeCheck)
    return kept.what.checked_on


def _key(name: str) -> str:
    return " ".join(name.casefold().split())
