"""Where a thermometer may be: a port, a sensor of the computer, the network."""

from pathlib import Path

from candlebench.addresses import Address
from candlebench.thermometers.sensor_names import sensor_name
from candlebench.thermometers.serial_port import PortInfo, lasting_path, same_path
from candlebench.words import tr

# Values of the choice: a port by its lasting path, FILE and a path, NETWORK, or NOWHERE.
FILE = "file:"
NETWORK = "network"
NOWHERE = ""
_TCP = "tcp:"


def port_words(port: PortInfo) -> str:
    """'/dev/ttyUSB0, USB serial, Maker, number 1234'."""
    parts = [port.path, port.name, port.maker]
    if port.serial_number:
        parts.append(tr("number {number}").format(number=port.serial_number))
    return ", ".join(p for p in parts if p)


def place_of(address: Address) -> str:
    """The value of the choice that an address stands for."""
    if address.scheme == "file":
        return FILE + address.rest if address.rest else NOWHERE
    if address.scheme == "tcp" or address.rest.startswith(_TCP):
        return NETWORK
    return address.rest


def host_of(address: Address) -> str:
    """'192.168.1.20:502' of an address in the network; '' of any other."""
    return address.rest.removeprefix(_TCP) if place_of(address) == NETWORK else ""


def scheme_and_rest(kind: str, place: str, host: str) -> tuple[str, str]:
    """Scheme and rest of the address of a device that speaks `kind` and is at `place`."""
    if place.startswith(FILE):
        return "file", place.removeprefix(FILE)
    if place == NETWORK:
        return ("tcp", host) if kind == "serial" else (kind, _TCP + host)
    return kind, place


def offered(ports: list[PortInfo], sensors: list[Path], present: str) -> tuple[list[tuple[str, str]], str]:
    """Return the choices (value, words) and which of them is the present one.

    Parameters
    ----------
    ports : list of PortInfo
        What is plugged in.
    sensors : list of Path
        Files of the kernel.
    present : str
        What is chosen; a port that is not plugged in stays among the choices.
    """
    choices = [(lasting_path(port), port_words(port)) for port in ports]
    choices += [
        (FILE + str(path), tr("{name} (this computer's)").format(name=sensor_name(path))) for path in sensors
    ]
    known = next((value for value, _ in choices if _is_same(value, present)), None)
    if known is None and present not in (NOWHERE, NETWORK):
        words = tr("{path} (not plugged in)").format(path=present.removeprefix(FILE))
        choices.append((present, words))
        known = present
    if not choices:
        choices.append((NOWHERE, tr("nothing is plugged in")))
    choices.append((NETWORK, tr("in the network…")))
    return choices, NETWORK if present == NETWORK else known or choices[0][0]


def _is_same(value: str, present: str) -> bool:
    if FILE in (value[: len(FILE)], present[: len(FILE)]) or present in (NOWHERE, NETWORK):
        return value == present
    return same_path(value, present)
