"""A thermometer that the system, or another program, shows as a file, read again and again."""

import errno
import os
import threading
from collections.abc import Iterator
from pathlib import Path

from candlebench.core.clock import Clock
from candlebench.core.errors import FixableError
from candlebench.core.events import Reading, Refused, SourceEvent
from candlebench.thermometers.address_values import (
    Query,
    every_s_in,
    refuse_unknown,
    scale_in,
    unit_in,
)
from candlebench.thermometers.answers import Answer, Judge, NoAnswer
from candlebench.thermometers.file_values import temperature_in
from candlebench.thermometers.line_listener import silent_words
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.pace import UNKNOWN_PACE_S, Pace
from candlebench.thermometers.recent_lines import RecentLine, RecentLines
from candlebench.thermometers.standing_trouble import StandingTrouble
from candlebench.words import tr

# A file of the kernel has some 80 signs; of another one no more is looked at.
_MOST_BYTES = 4096
_LONGEST_WAIT_S = 0.1
_RETRY_S = 0.8
# What is read from these is measured at that moment; any other file stands as it was left.
_MEASURED_WHEN_READ = ("/sys/", "/proc/")


def file_source(path: str, query: Query, clock: Clock) -> "FileSource":
    """Return the source for `file:PATH?every=..&unit=..&scale=..`.

    Raises
    ------
    FixableError
        No path, a key that means nothing, or a value that cannot be.
    """
    refuse_unknown(query, ("every", "unit", "scale"), "file:")
    if not path:
        raise FixableError(tr("Name the file, as in file:/sys/class/hwmon/hwmon0/temp1_input."))
    settings = LineSettings(None, unit_in(query), scale_in(query))
    return FileSource(Path(path), settings, every_s_in(query), clock)


class FileSource:
    """A `ThermometerSource` over one file. A file of another program counts when it was written anew.

    Parameters
    ----------
    path : Path
    settings : LineSettings
        Unit and scale, where the person said them.
    every_s : float
        Seconds from one look to the next.
    clock : Clock
        The melt's clock.
    """

    def __init__(self, path: Path, settings: LineSettings, every_s: float, clock: Clock) -> None:
        self.label = str(path)
        self.clock = clock
        self._path = path
        self._settings = settings
        self._every_s = every_s
        self._judge = Judge()
        self._pace = Pace()
        self._trouble = StandingTrouble(clock, tries=2)
        self._recent = RecentLines()
        self._written_ns: int | None = None

    @property
    def channels(self) -> tuple[str, ...]:
        """A file holds one temperature."""
        return ()

    def recent_lines(self) -> list[RecentLine]:
        """Return what was last read with how it was understood, the newest last."""
        return self._recent.newest_last()

    def use(self, settings: LineSettings) -> None:
        """Understand the number in another way from the next look on."""
        self._settings = settings

    def events(self, stop: threading.Event) -> Iterator[SourceEvent]:
        """Yield readings and troubles until `stop` is set."""
        self._pace.began(self.clock.elapsed_s())
        self._trouble.begin()
        while not stop.is_set():
            due_s = self.clock.elapsed_s() + self._every_s
            found = self._look()
            if isinstance(found, Answer):
                yield from self._temperature(found)
            else:
                yield from self._failure(found)
                due_s += min(0.0, _RETRY_S - self._every_s)
            while not stop.is_set() and (left_s := due_s - self.clock.elapsed_s()) > 0.0:
                stop.wait(min(left_s, _LONGEST_WAIT_S))

    def _look(self) -> Answer | NoAnswer | None:
        """Read the file. None when it stands as it was left."""
        try:
            if not self._path.is_file():
                # Opening a pipe would wait for whoever writes into it.
                raise FileNotFoundError(errno.ENOENT, self.label)
            with self._path.open("rb") as opened:
                written_ns = os.fstat(opened.fileno()).st_mtime_ns
                text = opened.read(_MOST_BYTES).decode("utf-8", "replace")
        except OSError as error:
            return self._unreadable(error)
        if not str(self._path.resolve()).startswith(_MEASURED_WHEN_READ) and self._is_old(written_ns):
            return None
        found = temperature_in(text, self._path.name, self._settings)
        return self._judge.judged(found) if isinstance(found, Answer) else found

    def _is_old(self, written_ns: int) -> bool:
        """Whether a file was read as it is before, or was left long before it was first looked at."""
        before, self._written_ns = self._written_ns, written_ns
        if before is not None:
            return written_ns == before
        wall_s = self.clock.wall_s(self.clock.elapsed_s())
        return wall_s - written_ns / 1e9 > UNKNOWN_PACE_S + self._every_s

    def _temperature(self, answer: Answer) -> list[SourceEvent]:
        now_s = self.clock.elapsed_s()
        self._recent.note(answer.text, f"{answer.temp_c:.2f} °C")
        self._pace.heard(now_s)
        return [*self._trouble.good(), Reading(now_s, self.clock.wall_s(now_s), answer.temp_c)]

    def _failure(self, no_answer: NoAnswer | None) -> list[SourceEvent]:
        now_s = self.clock.elapsed_s()
        if no_answer is None:
            if not self._pace.is_overdue(now_s):
                return []
            return [*self._trouble.failed("silent", silent_words(self._pace.silent_s(now_s)))]
        said = self._trouble.failed(no_answer.code, no_answer.sentence)
        if no_answer.code in ("missing", "permission"):
            # Nothing was read that could be kept.
            self._judge.forget()
            return [*said]
        self._recent.note(no_answer.text, no_answer.why)
        return [Refused(now_s, self.clock.wall_s(now_s), no_answer.text, no_answer.why), *said]

    def _unreadable(self, error: OSError) -> NoAnswer:
        path = self.label
        if error.errno in (errno.EACCES, errno.EPERM):
            words = tr("No permission to read {path}: make it readable, or choose another file.").format(
                path=path
            )
            return NoAnswer("", "permission", "", words)
        if error.errno in (errno.ENOENT, errno.ENOTDIR, errno.EISDIR, errno.ENODEV):
            words = tr("No thermometer at {path}: plug it in or choose another file.").format(path=path)
            return NoAnswer("", "missing", "", words)
        # The kernel answers so while a sensor does not (hwmon: ENODATA, EIO; one-wire: EIO).
        why = tr("the system cannot read the sensor: look at the probe and its plug")
        return NoAnswer("", "fault", why, tr("The thermometer sends no temperature: {why}.").format(why=why))
