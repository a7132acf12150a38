"""What a thermometer's form is given: what is plugged in, its words, and how a port is let go."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from candlebench.core.place import Place
from candlebench.thermometers.finding import sensor_files
from candlebench.thermometers.serial_port import PortInfo, list_ports
from candlebench.thermometers.source import ThermometerSource
from candlebench.ui.thermometer_channels import by_name
from candlebench.words import tr

# Lets go of a port that is being read; what it returns takes the port again.
LetGo = Callable[[], Callable[[], None]]


@dataclass(frozen=True, slots=True)
class Plugged:
    """What is plugged in.

    Attributes
    ----------
    ports : callable
        Ports, with or without the computer's own ones.
    sensors : callable
        Thermometers of the kernel.
    """

    ports: Callable[[bool], list[PortInfo]] = list_ports
    sensors: Callable[[], list[Path]] = sensor_files


@dataclass(frozen=True, slots=True)
class FormWords:
    """What the form says of its thermometer.

    Attributes
    ----------
    channel : str
        Name of the row in which one of its probes is chosen.
    read, read_so : str
        The buttons: read from it, and read its numbers as was said.
    unread : str
        A sentence for as long as listening keeps it from being read.
    likely : callable
        Returns which of several probes is the one that is wanted, as their names say; '' when they do not.
    """

    channel: str = tr("Probe in the melt")
    read: str = tr("Read from it")
    read_so: str = tr("Read them this way")
    unread: str = tr("The melt is not read meanwhile.")
    likely: Callable[[Sequence[str]], str] = lambda channels: by_name(channels).melt


@dataclass(frozen=True, slots=True)
class SecondWish:
    """A second probe as she wants it.

    Attributes
    ----------
    place : Place
        BATH or ROOM.
    channel : str
        The one of the first thermometer's probes that it is; '' when it has a thermometer of its own.
    source : str
        The address of its own thermometer; '' when it has none.
    probe : str
        What she calls it; may be empty.
    """

    place: Place
    channel: str = ""
    source: str = ""
    probe: str = ""


@dataclass(frozen=True, slots=True)
class Second:
    """What is so of the second probe now.

    Attributes
    ----------
    wish : callable
        Returns what is in use, or None.
    says : callable
        Returns 'Bath 88.4 °C, steady', '' while nothing is heard of it.
    source : callable
        Returns the source of its own thermometer, or None.
    names : sequence of str
        Names of probes to choose from.
    let_go : callable or None
        As for the first one.
    """

    wish: Callable[[], SecondWish | None] = lambda: None
    says: Callable[[], str] = lambda: ""
    source: Callable[[], ThermometerSource | None] = lambda: None
    names: Sequence[str] = ()
    let_go: LetGo | None = None
