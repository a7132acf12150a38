"""What the person chose, kept as TOML that she can also edit by hand."""

import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields, replace
from datetime import date
from pathlib import Path
from types import MappingProxyType
from typing import Any

import tomli_w

from candlebench.core.errors import BadDataError, FixableError
from candlebench.core.place import Place
from candlebench.core.setup import Beside, Limits, MeltSetup, Oil
from candlebench.records.set_aside import set_aside
from candlebench.records.whole_file import written_whole
from candlebench.words import tr

READS_BY = ("", "plugged in", "typed", "practise")
UNITS = ("C", "F")
THEMES = ("system", "light", "dark")
BESIDE_PLACES = ("", Place.BATH.value, Place.ROOM.value)

# Wide enough for any workshop and any melt; what lies outside is a slip of the finger.
ROOM_C = (-30.0, 60.0)
# From below the shore of the Dead Sea to above the highest town.
ALTITUDE_M = (-450.0, 6000.0)
LIMIT_C = (0.0, 250.0)
TEXT_PERCENT = (80, 200)
MASS_G = (0.0, 1_000_000.0)

_LIMIT_NAMES = frozenset(limit.name for limit in fields(Limits))


@dataclass(frozen=True, slots=True)
class LastMelt:
    """What the last melt was made of, offered again for the next one; None when it was not said."""

    title: str = ""
    wax_g: float | None = None
    oil_name: str = ""
    oil_g: float | None = None
    lot: str = ""
    jug: str = ""
    probe: str = ""

    @classmethod
    def of(cls, setup: MeltSetup) -> "LastMelt":
        """What there is to remember of a melt."""
        oil = setup.oil or Oil("")
        return cls(setup.title, setup.wax_g, oil.name, oil.mass_g, setup.lot, setup.jug, setup.probe)


@dataclass(frozen=True, slots=True)
class Settings:
    """What the person chose.

    Attributes
    ----------
    reads_by : str
        How she reads the temperature: 'plugged in', 'typed', 'practise'; '' when not asked yet.
    source : str
        The thermometer's address (`serial:...`), '' when none was chosen.
    unit : str
        'C' or 'F', for showing only.
    room_c : float or None
        Room temperature in °C; None when not known.
    altitude_m : float
        Height above the sea in metres.
    wax : str
        Name of the wax.
    maker : str
        Who makes the candles, as it stands on their labels: name, address, telephone.
    limits : mapping
        By the name of a wax, the limits that she changed: field name of `Limits` to °C.
    sound : bool
        Whether cues and alarms are heard.
    sound_player : str
        Program that plays sounds; '' to find one.
    theme : str
        'system', 'light' or 'dark'.
    text_percent : int
        Size of the text, 80 to 200 % of the system's.
    window : str
        Place and size of the window, base64.
    last_melt : LastMelt
        What the last melt was made of.
    beside_place, beside_source, beside_probe : str
        Where a second probe hangs ('bath', 'room', '' for none), its thermometer's address ('' when it is on
        the first one's wire) and its name.
    """

    reads_by: str = ""
    source: str = ""
    unit: str = "C"
    room_c: float | None = None
    altitude_m: float = 0.0
    wax: str = "beeswax"
    maker: str = ""
    limits: Mapping[str, Mapping[str, float]] = field(default_factory=lambda: MappingProxyType({}))
    sound: bool = True
    sound_player: str = ""
    theme: str = "system"
    text_percent: int = 100
    window: str = ""
    last_melt: LastMelt = LastMelt()
    beside_place: str = ""
    beside_source: str = ""
    beside_probe: str = ""

    @property
    def beside(self) -> Beside | None:
        """The second probe, None without one."""
        if not self.beside_place:
            return None
        return Beside(Place(self.beside_place), self.beside_source, self.beside_probe)


def limits_with(limits: Limits, changed: Mapping[str, float]) -> Limits:
    """Return the limits with those of `changed` (field name to °C) in their place."""
    return replace(limits, **changed)


def load(path: Path, today: date) -> tuple[Settings, tuple[str, ...]]:
    """Read the settings.

    Parameters
    ----------
    path : Path
        The TOML file; the defaults hold when it is not there.
    today : date
        For the name of a file that has to be set aside.

    Returns
    -------
    Settings
        With the default in place of every value that is impossible.
    tuple of str
        A sentence when something was wrong with the file; it is then renamed, and the values that are good
        are written to a new one.
    """
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return Settings(), ()
    except OSError as error:
        text = tr(
            "The settings in {path} cannot be read ({why}), so the usual ones are used: allow reading it."
        )
        return Settings(), (text.format(path=path, why=error.strerror or error),)
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, RecursionError) as error:
        return Settings(), (_put_away(path, today, {}, str(error)),)
    settings, faults = _from_toml(data)
    if not faults:
        return settings, ()
    return settings, (_put_away(path, today, _merged(data, settings), "; ".join(faults)),)


def save(path: Path, settings: Settings) -> None:
    """Write the settings; keys of the file that this version does not know stay in it.

    Raises
    ------
    FixableError
        The file cannot be written, or what is there is no settings file (it stays as it is).
    """
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        data = {}
    except (OSError, ValueError, RecursionError) as error:
        text = tr("The settings were not saved because {path} cannot be read ({why}): move that file away.")
        raise FixableError(text.format(path=path, why=error)) from error
    _write(path, _merged(data, settings))


def _write(path: Path, data: Mapping[str, object]) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with written_whole(path) as stream:
            stream.write(tomli_w.dumps(data))
    except OSError as error:
        text = tr("The settings were not saved in {path} ({why}): allow writing there and free some space.")
        raise FixableError(text.format(path=path, why=error.strerror or error)) from error


def _put_away(path: Path, today: date, kept: Mapping[str, object], why: str) -> str:
    """Rename a file that is not right, write what is good of it anew, and say so."""
    why = " ".join(why.split())
    try:
        aside = set_aside(path, today)
        if kept:
            _write(path, kept)
    except (OSError, FixableError):
        text = tr(
            "The settings in {path} are not right ({why}); the usual ones are used instead: correct the file."
        )
        return text.format(path=path, why=why)
    text = tr(
        "The settings were not right ({why}); the usual ones are used instead, "
        "and the old file is kept as {aside}."
    )
    return text.format(why=why, aside=aside)


def _from_toml(data: Mapping[str, object]) -> tuple[Settings, list[str]]:
    """The settings in a parsed file, and what is wrong with it."""
    values: dict[str, Any] = {}
    faults: list[str] = []
    for name, check in _CHECKS.items():
        if name in data:
            try:
                values[name] = check(data[name], name)
            except BadDataError as error:
                faults.append(str(error))
    values["limits"], limit_faults = _limits(data.get("limits", {}))
    values["last_melt"], melt_faults = _last_melt(data.get("last_melt", {}))
    return Settings(**values), faults + limit_faults + melt_faults


def _limits(data: object) -> tuple[Mapping[str, Mapping[str, float]], list[str]]:
    if not isinstance(data, Mapping):
        return {}, [str(_expected("limits", tr("a table")))]
    limits: dict[str, dict[str, float]] = {}
    faults: list[str] = []
    for wax, table in data.items():
        if not isinstance(table, Mapping):
            faults.append(str(_expected(f"limits.{wax}", tr("a table"))))
            continue
        for name in table.keys() & _LIMIT_NAMES:
            try:
                value = _between(*LIMIT_C)(table[name], f"limits.{wax}.{name}")
            except BadDataError as error:
                faults.append(str(error))
            else:
                limits.setdefault(wax, {})[name] = value
    return limits, faults


def _last_melt(data: object) -> tuple[LastMelt, list[str]]:
    if not isinstance(data, Mapping):
        return LastMelt(), [str(_expected("last_melt", tr("a table")))]
    values: dict[str, Any] = {}
    faults: list[str] = []
    for name, check in _MELT_CHECKS.items():
        if name in data:
            try:
                values[name] = check(data[name], f"last_melt.{name}")
            except BadDataError as error:
                faults.append(str(error))
    return LastMelt(**values), faults


def _merged(data: Mapping[str, object], settings: Settings) -> dict[str, object]:
    """The file's tables with the settings in them; what is None has no key."""
    merged = _with_known(data, {name: getattr(settings, name) for name in _CHECKS})
    last_melt = {name: getattr(settings.last_melt, name) for name in _MELT_CHECKS}
    merged["last_melt"] = _with_known(data.get("last_melt"), last_melt)
    limits = data.get("limits")
    tables = dict(limits) if isinstance(limits, Mapping) else {}
    for wax in tables.keys() | settings.limits.keys():
        changed = settings.limits.get(wax, {})
        tables[wax] = _with_known(tables.get(wax), {name: changed.get(name) for name in _LIMIT_NAMES})
    merged["limits"] = {wax: tables[wax] for wax in sorted(tables) if tables[wax]}
    return merged


def _with_known(table: object, known: Mapping[str, object]) -> dict[str, object]:
    """A table of the file in which the known keys have these values; those with None are left out."""
    kept = (
        {name: value for name, value in table.items() if name not in known}
        if isinstance(table, Mapping)
        else {}
    )
    return {name: known[name] for name in sorted(known) if known[name] is not None} | kept


_Check = Callable[[object, str], object]


def _expected(name: str, what: str) -> BadDataError:
    return BadDataError(tr("{name} must be {what}").format(name=name, what=what))


def _text(value: object, name: str) -> str:
    if not isinstance(value, str):
        raise _expected(name, tr("a text in quotes"))
    return value


def _truth(value: object, name: str) -> bool:
    if not isinstance(value, bool):
        raise _expected(name, tr("true or false"))
    return value


def _one_of(choices: tuple[str, ...]) -> _Check:
    def check(value: object, name: str) -> str:
        if value not in choices:
            raise _expected(name, tr("one of {choices}").format(choices=", ".join(map(repr, choices))))
        return str(value)

    return check


def _between(low: float, high: float) -> Callable[[object, str], float]:
    def check(value: object, name: str) -> float:
        if isinstance(value, int | float) and not isinstance(value, bool) and low <= value <= high:
            return float(value)
        raise _expected(name, tr("a number from {low} to {high}").format(low=f"{low:g}", high=f"{high:g}"))

    return check


def _percent(value: object, name: str) -> int:
    low, high = TEXT_PERCENT
    if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
        raise _expected(name, tr("a whole number from {low} to {high}").format(low=low, high=high))
    return value


_CHECKS: dict[str, _Check] = {
    "reads_by": _one_of(READS_BY),
    "source": _text,
    "unit": _one_of(UNITS),
    "room_c": _between(*ROOM_C),
    "altitude_m": _between(*ALTITUDE_M),
    "wax": _text,
    "maker": _text,
    "sound": _truth,
    "sound_player": _text,
    "theme": _one_of(THEMES),
    "text_percent": _percent,
    "window": _text,
    "beside_place": _one_of(BESIDE_PLACES),
    "beside_source": _text,
    "beside_probe": _text,
}
_MELT_CHECKS: dict[str, _Check] = {
    "title": _text,
    "wax_g": _between(*MASS_G),
    "oil_name": _text,
    "oil_g": _between(*MASS_G),
    "lot": _text,
    "jug": _text,
    "probe": _text,
}
