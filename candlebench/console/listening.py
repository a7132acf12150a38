"""`candlebench ports --listen`: how an unknown thermometer is to be read."""

import json
import sys
import threading

from candlebench.addresses import write_address
from candlebench.core.clock import LiveClock
from candlebench.core.errors import FixableError
from candlebench.thermometers.finding import Heard, best, hear_speeds
from candlebench.thermometers.serial_port import SerialPlug
from candlebench.thermometers.wire import NotConnectedError
from candlebench.words import tr

SHOWN_LINES = 6


def listen_to(path: str, as_json: bool) -> int:
    """Listen to a port at one usual speed after another, and print what came and the address to use.

    Returns
    -------
    int
        0 when its speed was found, 1 when nothing could be read at any.

    Raises
    ------
    FixableError
        The port cannot be opened; the text says what to do.
    """
    path = path.removeprefix("serial:").partition("?")[0]
    stop = threading.Event()
    heard: list[Heard] = []
    try:
        for one in hear_speeds(lambda baud: SerialPlug(path, baud).connect(stop), LiveClock(), stop):
            heard.append(one)
            _show(one, path, as_json)
    except NotConnectedError as error:
        raise FixableError(error.text) from error
    found = best(heard)
    if found is None:
        print(tr("Nothing could be read at any usual speed: is it switched on?"), file=sys.stderr)
        return 1
    if not as_json:
        print(tr("Read it with {address}").format(address=_address(path, found)))
    return 0


def _show(one: Heard, path: str, as_json: bool) -> None:
    if as_json:
        row = {
            "baud": one.baud,
            "temp_c": one.temp_c,
            "readings": one.readings,
            "trouble": one.trouble,
            "advice": one.advice,
            "channels": list(one.channels),
            "lines": [[line.text, line.read_as] for line in one.lines],
            "address": _address(path, one) if one.is_legible else None,
        }
        print(json.dumps(row), flush=True)
        return
    print(tr("{baud} baud: {what}").format(baud=one.baud, what=_words(one)), flush=True)
    for line in one.lines[-SHOWN_LINES:]:
        print(f"    {line.text}  →  {line.read_as}", flush=True)


def _words(one: Heard) -> str:
    if one.is_understood and one.temp_c is not None:
        return f"{one.temp_c:.2f} °C"
    return one.advice or (tr("nothing came") if not one.lines else tr("no temperature"))


def _address(path: str, one: Heard) -> str:
    return write_address("serial", path, one.query())
