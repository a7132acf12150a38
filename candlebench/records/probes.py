"""The checks and plunge tests of each probe: a file of lines beside the database, only ever added to.

What the lines are stands in `probe_book`, how they get to the disk in `probe_lines`.
"""

import json
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

from candlebench.core.correction import Correction
from candlebench.core.errors import FixableError
from candlebench.core.plan.rows import to_row
from candlebench.core.trust.check import ProbeCheck
from candlebench.core.trust.line import correction_of
from candlebench.core.trust.plunge import Plunge
from candlebench.records.probe_book import Book, Kept
from candlebench.records.probe_lines import (
    FILE_NAME,
    add_elsewhere,
    add_line,
    lines_in,
    rescued,
    take_in_checks,
)
from candlebench.words import tr

__all__ = ["FILE_NAME", "Kept", "Probes"]


class Probes:
    """What is known of each probe. The file is read anew for each question; `book` answers several at once.

    Parameters
    ----------
    folder_of : callable
        The data folder, which need not exist yet.
    places : tuple of Path
        Folders for a rescue file, the best first.
    on_notice : callable
        Called with a sentence when something had to be kept in one of them.
    """

    def __init__(
        self,
        folder_of: Callable[[], Path],
        places: tuple[Path, ...] = (),
        on_notice: Callable[[str], None] = lambda sentence: None,
    ) -> None:
        self._folder_of, self._places, self._on_notice = folder_of, places, on_notice

    @property
    def path(self) -> Path:
        """The file."""
        return self._folder_of() / FILE_NAME

    # --- reading ------------------------------------------------------------------------------------------

    def book(self) -> Book:
        """Everything that is kept, also what waits in a rescue file to be taken in.

        Raises
        ------
        FixableError
            As all questions here: a file may not be read.
        """
        book = Book()
        for path in (self.path, *rescued(self._folder_of(), self._places)):
            book.take_all(lines_in(path), path)
        return book

    def names(self) -> tuple[str, ...]:
        """See `Book.names`."""
        return self.book().names()

    def history(self, name: str) -> tuple[Kept, ...]:
        """See `Book.history`."""
        return self.book().history(name)

    def check(self, name: str) -> ProbeCheck | None:
        """See `Book.check`."""
        return self.book().check(name)

    def correction(self, name: str) -> Correction | None:
        """See `Book.correction`."""
        return self.book().correction(name)

    def plunge(self, name: str) -> Plunge | None:
        """See `Book.plunge`."""
        return self.book().plunge(name)

    def faults(self) -> tuple[str, ...]:
        """What could not be read, a sentence each; the lines stay in the file as they are."""
        return tuple(self.book().faults)

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
            The probe has no name, or the file cannot be written, nor one elsewhere.
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
            Nothing is used of such a probe, or it cannot be written.
        """
        if all(kept.forgotten for kept in self.history(name)):
            raise FixableError(tr("No check of a probe called “{name}” is kept.").format(name=name))
        self._append(_line("forget", uuid4(), " ".join(name.split()), wall_s))

    def forget_one(self, uuid: UUID, wall_s: float) -> None:
        """Use one check or plunge test no more.

        Raises
        ------
        FixableError
            It is not there or not used, or it cannot be written.
        """
        found = self.book().find(uuid)
        if found is None or found.forgotten:
            raise FixableError(tr("That check is not kept any more."))
        self._append({**_line("forget", uuid4(), found.name, wall_s), "of": str(uuid)})

    def use_again(self, name: str, wall_s: float) -> None:
        """Undo the last forgetting of a probe.

        Raises
        ------
        FixableError
            Nothing of such a probe is forgotten, or it cannot be written.
        """
        forgetting = self.book().last_forgetting(name)
        if forgetting is None:
            raise FixableError(tr("No check of a probe called “{name}” was left out.").format(name=name))
        line = _line("again", uuid4(), " ".join(name.split()), wall_s)
        self._append({**line, "of": str(forgetting)})

    def use_one_again(self, uuid: UUID, wall_s: float) -> None:
        """Use one check or plunge test that was forgotten.

        Raises
        ------
        FixableError
            It is not there or used already, or it cannot be written.
        """
        found = self.book().find(uuid)
        if found is None or not found.forgotten:
            raise FixableError(tr("That check is not left out any more."))
        self._append({**_line("again", uuid4(), found.name, wall_s), "of": str(uuid)})

    def _append(self, line: dict[str, Any]) -> None:
        folder, path, wall_s = self._folder_of(), self.path, float(line["kept_wall_s"])
        data = json.dumps(line, ensure_ascii=True, allow_nan=False).encode("ascii")
        if rescued(folder, self._places):
            # What waits elsewhere comes before it: a line may be about an earlier one.
            take_in_checks(folder, self._places, time.time)
        try:
            add_line(path, data)
        except OSError as error:
            elsewhere = add_elsewhere(folder, self._places, data, wall_s)
            if elsewhere is None:
                text = tr(
                    "The check was not kept in {path} ({why}): allow writing there and free some space."
                )
                raise FixableError(text.format(path=path, why=error.strerror or error)) from error
            text = tr(
                "{path} cannot be written ({why}): allow writing there and free some space; until then "
                "checks of probes are kept in {elsewhere} and are taken in at a later start."
            )
            self._on_notice(text.format(path=path, why=error.strerror or error, elsewhere=elsewhere))


def _line(kind: str, uuid: UUID, name: str, wall_s: float) -> dict[str, Any]:
    return {"uuid": str(uuid), "probe": name, "kept_wall_s": wall_s, "kind": kind}
