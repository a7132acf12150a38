"""`candlebench watch`: a live melt without a window, kept in the records like any other."""

import json
import os
import sys
import threading
from dataclasses import replace
from pathlib import Path

from candlebench.addresses import open_source
from candlebench.console.setup import console_setup, forecast_rows
from candlebench.core.events import ProbeTrouble, Reading, Refused
from candlebench.core.melt import Melt
from candlebench.core.setup import MeltSetup
from candlebench.core.state import MeltState, Notice
from candlebench.core.units import Shown, clock_face
from candlebench.records.folders import data_folder, rescue_places
from candlebench.records.journal import open_journal
from candlebench.records.lock import DataLock
from candlebench.runner import Moment, Runner, Session
from candlebench.thermometers.source import ThermometerSource
from candlebench.words import tr

# People read a line every so often; a machine gets every reading.
LINE_EVERY_S = 30.0


def watch(
    address: str,
    data: Path | None,
    room_c: float | None,
    wax: str,
    targets_c: tuple[float, ...],
    as_json: bool,
) -> int:
    """Run a melt until its source ends or Ctrl-C.

    Raises
    ------
    FixableError
        The source cannot be used, or the data folder is open in another candlebench.
    """
    source = open_source(address, typed_lines=sys.stdin, by_itself=True)
    setup = _setup(source, address, wax, room_c)
    folder = data_folder(data, os.environ, sys.platform, Path.home())
    places = rescue_places(os.environ, Path.home())
    with DataLock(folder, places):
        journal = open_journal(folder, places, _say, _say)
        try:
            wall_s = source.clock.wall_s(source.clock.elapsed_s())
            session = Session.begin(journal, setup, wall_s, Shown())
            printer = JsonLines(targets_c) if as_json else PlainLines()
            runner = Runner(session, source, printer.take)
            runner.start()
            try:
                _wait(runner.source_ended, printer.broken)
            except KeyboardInterrupt:
                pass
            finally:
                runner.stop()
        finally:
            for sentence in journal.close():
                _say(sentence)
    if printer.broken.is_set():
        raise BrokenPipeError
    return 0


def _setup(source: ThermometerSource, address: str, wax: str, room_c: float | None) -> MeltSetup:
    given = getattr(source, "setup", None)
    if isinstance(given, MeltSetup):
        room_c = given.room_c if room_c is None else room_c
        return replace(given, source=address, room_c=room_c)
    return console_setup(tr("Watched on the console"), wax, room_c, address)


def _wait(ended: threading.Event, broken: threading.Event) -> None:
    """Wait in short turns, so that Ctrl-C is heard on every system."""
    while not ended.wait(0.2) and not broken.is_set():
        pass


def _say(sentence: str) -> None:
    if sentence:
        print(sentence, file=sys.stderr, flush=True)


class JsonLines:
    """Prints one JSON object a reading; notices that came with no reading go with the next one."""

    def __init__(self, targets_c: tuple[float, ...]) -> None:
        self.broken = threading.Event()
        self._targets_c = targets_c
        self._waiting: list[Notice] = []

    def take(self, moment: Moment) -> None:
        """Called in the runner's thread."""
        self._waiting += moment.notices
        event = moment.event
        if isinstance(event, Reading):
            targets_c = self._targets_c or _usual_targets(moment.melt)
            row = {
                "elapsed_s": round(event.elapsed_s, 3),
                "temp_c": event.temp_c,
                "stage": moment.melt.stage.value,
                "forecasts": forecast_rows(targets_c, moment.melt.foreseen(targets_c)),
                "notices": [{"kind": n.kind, "code": n.code, "text": n.text} for n in self._waiting],
            }
            self._waiting = []
            _print(json.dumps(row), self.broken)
        elif isinstance(event, ProbeTrouble | Refused):
            _say(event.text if isinstance(event, ProbeTrouble) else f"{event.text!r}: {event.why}")


class PlainLines:
    """Prints what is to be said at once, and a line on the melt now and then."""

    def __init__(self) -> None:
        self.broken = threading.Event()
        self._printed_s = -LINE_EVERY_S

    def take(self, moment: Moment) -> None:
        """Called in the runner's thread."""
        melt = moment.melt
        if isinstance(moment.event, ProbeTrouble):
            _print(f"{clock_face(melt.now_s):>8}  {moment.event.text}", self.broken)
        for notice in moment.notices:
            mark = "!!" if notice.kind == "alarm" else "**"
            _print(f"{clock_face(melt.now_s):>8}  {mark} {notice.text}", self.broken)
        if isinstance(moment.event, Reading) and melt.now_s - self._printed_s >= LINE_EVERY_S:
            self._printed_s = melt.now_s
            _print(_line(melt.picture(with_fan=False)), self.broken)


def _line(state: MeltState) -> str:
    rate = ""
    if state.rate_c_per_min is not None:
        rate = tr("{rate:+.1f} °C/min").format(rate=state.rate_c_per_min)
    temp = f"{state.temp_c:.1f} °C" if state.temp_c is not None else "–"
    step = f"{state.step.headline} {state.step.accent}".strip()
    return f"{clock_face(state.now_s):>8}  {temp:>8}  {rate:>12}  {state.stage.value:<12}  {step}"


def _usual_targets(melt: Melt) -> tuple[float, ...]:
    limits = melt.setup.limits
    return (limits.oil_high_c, limits.pour_high_c, limits.pour_low_c)


def _print(line: str, broken: threading.Event) -> None:
    try:
        print(line, flush=True)
    except (BrokenPipeError, ValueError):
        broken.set()
