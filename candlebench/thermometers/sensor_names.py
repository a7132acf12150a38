"""What the thermometers that the Linux kernel shows as files are called, and which sit inside the computer.

Where the names stand: kernel documentation, hwmon sysfs interface (`name`, `temp1_label`) and w1_therm.
"""

from contextlib import suppress
from pathlib import Path

from candlebench.words import tr

_INPUT = "_input"


def sensor_name(path: Path) -> str:
    """Return a name for people: 'one-wire probe 28-0316a2794bff' or 'coretemp, Core 0'.

    Parameters
    ----------
    path : Path
        One of `finding.sensor_files()`; it is not read itself.
    """
    if path.name == "w1_slave":
        return tr("one-wire probe {number}").format(number=path.parent.name)
    input_name = path.name.removesuffix(_INPUT)
    chip = _line_of(path.parent / "name") or path.parent.name
    return f"{chip}, {_line_of(path.parent / f'{input_name}_label') or input_name}"


def sits_inside(path: Path) -> bool:
    """Whether it measures, as far as one can tell, the computer itself: most hardware monitors do."""
    return path.name != "w1_slave"


def _line_of(path: Path) -> str:
    """The text of a small file of the kernel; '' when there is none."""
    with suppress(OSError):
        return path.read_text(encoding="utf-8", errors="replace")[:80].strip()
    return ""
