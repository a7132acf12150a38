"""Tolerance classes: how far a probe of a kind may be off, and whether this one keeps to it."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from candlebench.core.errors import BadDataError, FixableError
from candlebench.core.materials.figure import data_file, is_number, read_tables, required
from candlebench.core.trust.figures import FILE_NAME
from candlebench.words import tr

# What a probe may be off that nobody gave a class: T8 of thermometry.md, the wider of the two.
UNNAMED_CLASS = "kitchen-cheap"


@dataclass(frozen=True, slots=True)
class ProbeClass:
    """One tolerance class.

    Attributes
    ----------
    name : str
        Its name in files and on the command line, 'pt100-b'.
    shown_name : str
        Its name for people, already translated.
    aliases : tuple of str
        Other names that it goes by, 'B'.
    base_k, slope, least_k : float
        A probe may be off by `base_k + slope * |temperature in C|` kelvin, and by `least_k` in any case.
    row, sure, source : str
        Where the numbers come from, as of a `Figure`.
    """

    name: str
    shown_name: str
    aliases: tuple[str, ...]
    base_k: float
    slope: float
    least_k: float
    row: str
    sure: str
    source: str

    def tolerance_k(self, temp_c: float) -> float:
        """How far a probe of this class may be off at a temperature, in kelvin."""
        return max(self.least_k, self.base_k + self.slope * abs(temp_c))


class Verdict(Enum):
    """Whether a probe keeps to its class at one point."""

    WITHIN = "within"
    OUTSIDE = "outside"
    UNDECIDED = "undecided"


def judged(error_k: float, uncertainty_k: float, tolerance_k: float) -> Verdict:
    """Say whether an error lies within a tolerance, as far as the check can tell.

    Parameters
    ----------
    error_k : float
        What the probe showed minus what was true.
    uncertainty_k : float
        Half-width of the 95 % interval of that error.
    tolerance_k : float
        What its class allows.

    Notes
    -----
    Guarded on both sides by the uncertainty, as in ISO 14253-1 (from memory): in between nothing is said.
    """
    if abs(error_k) + uncertainty_k <= tolerance_k:
        return Verdict.WITHIN
    return Verdict.OUTSIDE if abs(error_k) - uncertainty_k > tolerance_k else Verdict.UNDECIDED


def tolerance_k(class_name: str, temp_c: float) -> float:
    """How far a probe of a class may be off at a temperature, in kelvin.

    Raises
    ------
    FixableError
        No such class.
    """
    return find_class(class_name).tolerance_k(temp_c)


def find_class(text: str, classes: Mapping[str, ProbeClass] | None = None) -> ProbeClass:
    """Return the class that is called so; capitals do not matter: 'pt100-b', 'B'.

    Raises
    ------
    FixableError
        No such class; the text names those there are.
    """
    classes = load_classes() if classes is None else classes
    wanted = text.strip().casefold()
    for each in classes.values():
        if wanted in (each.name.casefold(), *(alias.casefold() for alias in each.aliases)):
            return each
    names = tr("No class of probes is called “{text}”: write one of {names}.")
    raise FixableError(names.format(text=text, names=", ".join(classes)))


@cache
def load_classes(path: Path | None = None) -> Mapping[str, ProbeClass]:
    """Return the classes of `resources/data/thermometers.toml`, or of another such file, by name.

    Raises
    ------
    BadDataError
        A class is not understood; the text names it.
    """
    path = path or data_file(FILE_NAME)
    table = required(path.name, path.stem, read_tables(path), "class", dict)
    return MappingProxyType({name: _class(path.name, name, row) for name, row in table.items()})


def _class(file: str, name: str, row: Any) -> ProbeClass:
    place = f"class.{name}"
    words = [required(file, place, row, key, str) for key in ("shown_name", "row", "sure", "source")]
    numbers = [row.get("base_k"), row.get("slope"), row.get("least_k", 0.0)]
    if not all(is_number(number) and number >= 0.0 for number in numbers):
        text = tr("{file}: {place} needs base_k, slope and least_k as numbers, none below zero.")
        raise BadDataError(text.format(file=file, place=place))
    aliases = row.get("aliases", [])
    if not isinstance(aliases, list) or not all(isinstance(alias, str) for alias in aliases):
        text = tr("{file}: {place} needs a list of names as its aliases.")
        raise BadDataError(text.format(file=file, place=place))
    shown_name, source_row, sure, source = words
    base_k, slope, least_k = (float(number) for number in numbers)
    return ProbeClass(name, tr(shown_name), tuple(aliases), base_k, slope, least_k, source_row, sure, source)
