"""Finding out how an unknown thermometer speaks: listening at the usual speeds until its lines make sense.

`hear_speeds` listens at one speed after another; what it yields holds the raw lines and how each was read,
for the person to look at. `sensor_files` lists what the Linux kernel itself measures.
"""

import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from candlebench.core.clock import Clock
from candlebench.core.events import ProbeTrouble, Reading
from candlebench.thermometers.line_listener import LineListener
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.recent_lines import RecentLine
from candlebench.thermometers.wire import Wire, WireLostError

# Usual speeds of boards and meters, the commonest first (common practice, no source).
COMMON_BAUDS = (9600, 115200, 19200, 38400, 57600, 4800, 2400, 1200)
# Opening resets many boards; they start for a second or two and then speak about once a second.
EACH_S = 5.0
_ENOUGH_READINGS = 3
_ENOUGH_LINES = 6
# Where the kernel shows thermometers: one-wire sensors, hardware monitors (kernel documentation, w1_therm and
# hwmon sysfs interface).
_SENSOR_FILES = ("bus/w1/devices/28-*/w1_slave", "class/hwmon/hwmon*/temp*_input")


@dataclass(frozen=True, slots=True)
class Heard:
    """What came at one speed.

    Attributes
    ----------
    baud : int
    temp_c : float or None
        The last temperature understood.
    readings : int
        How many were.
    trouble : str
        Code of what is wrong: 'garbled', 'undecided', 'silent', 'fault', 'unplugged'; empty when nothing is.
    advice : str
        The sentence that goes with it.
    lines : tuple of RecentLine
        Raw lines with how each was read, the newest last.
    channels : tuple of str
        Names of the probes seen.
    """

    baud: int
    temp_c: float | None
    readings: int
    trouble: str
    advice: str
    lines: tuple[RecentLine, ...]
    channels: tuple[str, ...]

    @property
    def is_understood(self) -> bool:
        """Whether temperatures come at this speed."""
        return self.readings >= _ENOUGH_READINGS and self.trouble != "garbled"

    @property
    def is_legible(self) -> bool:
        """Whether this is the right speed, though the person may have to say which number is the melt."""
        return self.is_understood or self.trouble == "undecided"

    def query(self) -> dict[str, str]:
        """What belongs behind the `?` of the address."""
        return {"baud": str(self.baud)}


def hear_speeds(
    open_at: Callable[[int], Wire],
    clock: Clock,
    stop: threading.Event,
    bauds: tuple[int, ...] = COMMON_BAUDS,
    each_s: float = EACH_S,
) -> Iterator[Heard]:
    """Listen at one speed after another, and stop after the first at which the lines can be read.

    Parameters
    ----------
    open_at : callable
        Opens the port at a speed, as `SerialPlug(path, baud).connect(stop)` does; it may raise
        `NotConnectedError`, which says what to do.
    clock : Clock
        What the listening is timed with.
    stop : threading.Event
        Looked at ten times a second.
    bauds : tuple of int
        The speeds, in the order in which they are tried.
    each_s : float
        Longest time for one speed.
    """
    for baud in bauds:
        heard = _hear(open_at(baud), baud, clock, stop, each_s)
        yield heard
        if heard.is_legible or stop.is_set():
            return


def best(heard: list[Heard]) -> Heard | None:
    """Return the speed to propose; None when nothing could be read at any."""
    legible = [one for one in heard if one.is_legible]
    return max(legible, key=lambda one: one.readings, default=None)


def sensor_files(root: Path = Path("/sys")) -> list[Path]:
    """Return the files in which the kernel shows thermometers, one-wire sensors first."""
    return [path for pattern in _SENSOR_FILES for path in sorted(root.glob(pattern))]


def _hear(wire: Wire, baud: int, clock: Clock, stop: threading.Event, each_s: float) -> Heard:
    listener = LineListener(LineSettings(), clock)
    listener.reopened()
    until_s = clock.elapsed_s() + each_s
    readings: list[Reading] = []
    last = ("", "")
    try:
        while clock.elapsed_s() < until_s and not stop.is_set() and len(readings) < _ENOUGH_READINGS:
            for event in listener.hear(wire.read()):
                if isinstance(event, Reading):
                    readings.append(event)
                elif isinstance(event, ProbeTrouble):
                    last = ("", "") if event.code == "back" else (event.code, event.text)
            if last[0] in ("garbled", "undecided") and len(listener.recent_lines()) >= _ENOUGH_LINES:
                break
    except WireLostError:
        last = ("unplugged", "")
    finally:
        wire.close()
    temp_c = readings[-1].temp_c if readings else None
    return Heard(baud, temp_c, len(readings), *last, tuple(listener.recent_lines()), listener.channels)
