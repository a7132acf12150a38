"""Practice scenarios as TOML files, and in plain words what is wrong with one."""

import re
import tomllib
from dataclasses import MISSING, Field, fields
from pathlib import Path
from typing import Any

from candlebench.core.errors import BadDataError, FixableError
from candlebench.core.materials.wax import load_waxes
from candlebench.practice.scenario import Bath, Charge, Hob, Jug, OilCharge, ProbeKind, Room, Scenario
from candlebench.resources_folder import resources_folder
from candlebench.words import tr

_SECTIONS: dict[str, type] = {
    "room": Room,
    "wax": Charge,
    "oil": OilCharge,
    "jug": Jug,
    "bath": Bath,
    "hob": Hob,
    "probe": ProbeKind,
}

# What a kitchen can hold, by key: lowest and highest. Wide on purpose: they catch wrong units and signs, and
# keep every time constant above the half second of `melt.STEP_S`.
_BOUNDS = {
    "room.temp_c": (-10.0, 45.0),
    "room.humidity": (0.0, 1.0),
    "room.altitude_m": (-500.0, 5000.0),
    "wax.mass_g": (20.0, 20000.0),
    "wax.start_c": (-10.0, 90.0),
    "wax.knee_shift_k": (-8.0, 8.0),
    "wax.latent_j_per_g": (100.0, 250.0),
    "oil.mass_g": (0.1, 4000.0),
    "oil.volume_ml": (0.1, 5000.0),
    "oil.temp_c": (-10.0, 60.0),
    "oil.scented_flash_c": (20.0, 300.0),
    "jug.metal_j_per_k": (50.0, 5000.0),
    "jug.wall_w_per_k": (0.0, 5.0),
    "jug.top_w_per_k": (0.01, 2.0),
    "jug.loss_exponent": (1.0, 2.0),
    "jug.draught": (0.0, 0.5),
    "jug.to_liquid_w_per_k": (0.5, 30.0),
    "jug.to_solid_w_per_k": (0.1, 20.0),
    "bath.water_g": (100.0, 50000.0),
    "bath.start_c": (0.0, 95.0),
    "bath.pan_j_per_k": (100.0, 10000.0),
    "bath.pan_w_per_k": (0.0, 50.0),
    "bath.open_m2": (0.0, 1.0),
    "bath.jug_m2": (0.0, 1.0),
    "bath.to_jug_w_per_k": (1.0, 60.0),
    "hob.power_w": (50.0, 5000.0),
    "hob.low_fraction": (0.0, 1.0),
    "hob.lag_s": (5.0, 600.0),
    "probe.lag_s": (0.5, 300.0),
    "probe.noise_c": (0.0, 5.0),
    "probe.resolution_c": (0.0, 5.0),
}


def scenarios_folder() -> Path:
    """Return the folder of the scenarios that come with the program."""
    return resources_folder() / "practice"


def scenario_names() -> list[str]:
    """Return the names of the scenarios that come with the program."""
    return sorted(path.stem for path in scenarios_folder().glob("*.toml"))


def load_scenario(name: str) -> Scenario:
    """Return a scenario by its name, or from a file when `name` ends in '.toml'.

    Raises
    ------
    FixableError
        There is no such scenario; the text lists those there are.
    BadDataError
        The file is not a scenario; the text names the line, the key and what to write.
    """
    path = Path(name) if name.endswith(".toml") else scenarios_folder() / f"{name}.toml"
    try:
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        raise BadDataError(tr("{file} is no text file.").format(file=path.name)) from error
    except (OSError, ValueError) as error:
        raise FixableError(
            tr("There is no practice melt called “{name}”: choose one of {names}.").format(
                name=name, names=", ".join(scenario_names())
            )
        ) from error
    return parse_scenario(text, path.stem, path.name)


def parse_scenario(text: str, name: str, file: str) -> Scenario:
    """Return the scenario written in `text`; `file` is what error messages call it.

    Raises
    ------
    BadDataError
        As `load_scenario`.
    """
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadDataError(
            tr("{file} is not written as TOML: {why}.").format(file=file, why=str(error))
        ) from error
    reader = _Reader(text, file)
    title = tables.pop("title", None)
    if not isinstance(title, str) or not title.strip():
        raise BadDataError(
            tr('{file} has no title: write title = "..." in its first line.').format(file=file)
        )
    for section in tables:
        if section not in _SECTIONS:
            reader.refuse(
                section, "", tr("is not known; write one of {names}").format(names=", ".join(_SECTIONS))
            )
    if "wax" not in tables:
        raise BadDataError(tr("{file} has no wax: write [wax] and under it mass_g = 700.").format(file=file))
    parts = {section: reader.section(section, table) for section, table in tables.items()}
    return Scenario(name=name, title=tr(title), **parts)


class _Reader:
    """Reads the sections of one file and finds the line that a complaint is about."""

    def __init__(self, text: str, file: str) -> None:
        self._lines = text.splitlines()
        self._file = file

    def section(self, section: str, table: Any) -> Any:
        kind = _SECTIONS[section]
        if not isinstance(table, dict):
            self.refuse(section, "", tr("is a section: write [{name}]").format(name=section))
        known: dict[str, Field[Any]] = {field.name: field for field in fields(kind)}
        for key in table:
            if key not in known:
                self.refuse(
                    section, key, tr("is not known; write one of {names}").format(names=", ".join(known))
                )
        for key, field in known.items():
            if field.default is MISSING and key not in table:
                low, high = _BOUNDS[f"{section}.{key}"]
                self.refuse(
                    section,
                    "",
                    tr("lacks {key}: write {key} = a number from {low} to {high}").format(
                        key=key, low=f"{low:g}", high=f"{high:g}"
                    ),
                )
        return kind(**{key: self._value(section, key, value) for key, value in table.items()})

    def _value(self, section: str, key: str, value: Any) -> Any:
        if key == "name":
            return self._name(section, value)
        low, high = _BOUNDS[f"{section}.{key}"]
        is_number = isinstance(value, int | float) and not isinstance(value, bool)
        if not is_number or not low <= value <= high:
            self.refuse(
                section,
                key,
                tr("is {value}: write a number from {low} to {high}").format(
                    value=value, low=f"{low:g}", high=f"{high:g}"
                ),
            )
        return float(value)

    def _name(self, section: str, value: Any) -> str:
        if not isinstance(value, str):
            self.refuse(section, "name", tr("is {value}: write a name in quotes").format(value=value))
        if section == "wax" and value not in load_waxes():
            names = ", ".join(load_waxes())
            self.refuse(
                section, "name", tr("is {value}: write one of {names}").format(value=value, names=names)
            )
        return str(value)

    def refuse(self, section: str, key: str, problem: str) -> None:
        """Raise the complaint with its place."""
        raise BadDataError(
            tr("{file}, line {line}: {place} {problem}.").format(
                file=self._file,
                line=self._line(section, key),
                place=f"{section}.{key}" if key else section,
                problem=problem,
            )
        )

    def _line(self, section: str, key: str) -> int:
        """Return the number of the line that holds the section, or the key within it."""
        section_line = 1
        current = ""
        for number, line in enumerate(self._lines, start=1):
            header = re.match(r"\s*\[+\s*([\w.\"'-]+)", line)
            if header:
                current = header[1].strip("\"'")
                if current == section:
                    section_line = number
            elif key and current == section and re.match(rf"\s*[\"']?{re.escape(key)}[\"']?\s*=", line):
                return number
            # A section can also be written in one line: wax = { mass_g = 700 }.
            elif not current and re.match(rf"\s*{re.escape(section)}\s*[.=]", line):
                section_line = number
        return section_line
