"""`candlebench watch`: a live melt without a window, kept in the records like any other."""

import json
import os
import sys
import threading
from dataclasses import replace
from pathlib import Path
from typing import Any

from candlebench.addresses import beside_of, open_source
from candlebench.console.setup import console_setup, forecast_rows
from candlebench.core.errors import FixableError
from candlebench.core.events import ProbeTrouble, Reading, Refused
from candlebench.core.melt import Melt
from candlebench.core.place import Place
from candlebench.core.setup import Beside, MeltSetup
from candlebench.core.state import BesideState, MeltState, Notice
from candlebench.core.units import Shown, clock_face
from candlebench.records.folders import data_folder, rescue_places
from candlebench.records.journal import open_journal
from candlebench.records.lock import DataLock
from candlebench.runner import Moment, Runner, Session
from candlebench.second_probe import secondary_of
from candlebench.thermometers.place_words import place_words
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
    beside: str = "",
) -> int:
    """Run a melt until its source ends or Ctrl-C.

    `beside` names a second thermometer, 'bath=ADDRESS' or 'room=ADDRESS'.

    Raises
    ------
    FixableError
        The source cannot be used, or the data folder is open in another candlebench.
    """
    source = open_source(address, typed_lines=sys.stdin, by_itself=True)
    setup = replace(
        _setup(source, address, wax, room_c), beside=_beside(beside) if beside else beside_of(address)
    )
    secondary = secondary_of(setup, source.clock)
    folder = data_folder(data, os.environ, sys.platform, Path.home())
    places = rescue_places(os.environ, Path.home())
    with DataLock(folder, places):
        journal = open_journal(folder, places, _say, _say)
        try:
            wall_s = source.clock.wall_s(source.clock.elapsed_s())
            session = Session.begin(journal, setup, wall_s, Shown())
            printer = JsonLines(targets_c) if as_json else PlainLines()
            runner = Runner(session, source, printer.take, secondary)
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


def _beside(text: str) -> Beside:
    word, _, address = text.partition("=")
    places = {place.value: place for place in (Place.BATH, Place.ROOM)}
    if word not in places or not address:
        raise FixableError(
            tr("“{text}” names no second probe: write one like bath=serial:/dev/ttyUSB1.").format(text=text)
        )
    return Beside(places[word], address)


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
        if isinstance(event, Reading) and event.place is Place.MELT:
            targets_c = self._targets_c or _usual_targets(moment.melt)
            row: dict[str, Any] = {
                "elapsed_s": round(event.elapsed_s, 3),
                "temp_c": event.temp_c,
                "stage": moment.melt.stage.value,
                "forecasts": forecast_rows(targets_c, moment.melt.foreseen(targets_c)),
                "notices": [{"kind": n.kind, "code": n.code, "text": n.text} for n in self._waiting],
            }
            row |= _beside_row(moment.melt)
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
        is_melts = isinstance(moment.event, Reading) and moment.event.place is Place.MELT
        if is_melts and melt.now_s - self._printed_s >= LINE_EVERY_S:
            self._printed_s = melt.now_s
            _print(_line(melt.picture(with_fan=False)), self.broken)


def _line(state: MeltState) -> str:
    rate = ""
    if state.rate_c_per_min is not None:
        rate = tr("{rate:+.1f} °C/min").format(rate=state.rate_c_per_min)
    temp = f"{state.temp_c:.1f} °C" if state.temp_c is not None else "–"
    step = f"{state.step.headline} {state.step.accent}".strip()
    beside = f"  {_beside_words(state.beside):<14}" if state.beside is not None else ""
    return f"{clock_face(state.now_s):>8}  {temp:>8}  {rate:>12}{beside}  {state.stage.value:<12}  {step}"


def _beside_row(melt: Melt) -> dict[str, float | None]:
    """The current number of a second probe, by where it hangs; null when it is not current."""
    state = melt.beside
    if state is None:
        return {}
    return {f"{state.place.value}_c": state.temp_c if state.fresh else None}


def _beside_words(state: BesideState) -> str:
    """Such as 'bath 88.4 °C'; a dash when its last number is not current."""
    temp = f"{state.temp_c:.1f} °C" if state.temp_c is not None and state.fresh else "–"
    return f"{place_words(state.place)} {temp}"


def _usual_targets(melt: Melt) -> tuple[float, ...]:
    limits = melt.setup.limits
    return (limits.oil_high_c, limits.pour_high_c, limits.pour_low_c)


def _print(line: str, broken: threading.Event) -> None:
    try:
        print(line, flush=True)
    except (BrokenPipeError, ValueError):
        broken.set()
