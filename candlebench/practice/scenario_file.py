"""Where practice scenarios lie, and how one is put together from its file."""

import re
import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

from candlebench.core.errors import BadDataError, CandlebenchError, FixableError
from candlebench.practice.scenario import HOBS, Bath, Charge, Happening, Jug, OilCharge, Scenario
from candlebench.practice.scenario_keys import SECTIONS
from candlebench.practice.scenario_reader import Reader
from candlebench.practice.vessels import bath_of, jug_of
from candlebench.resources_folder import resources_folder
from candlebench.words import tr

# What a jug and a pan are when a file says only some of it; as the defaults of `scenario.Jug` and `Bath`.
_JUG_MEASURES: dict[str, Any] = {"material": "steel", "weight_g": 350.0, "diameter_mm": 130.0}
_PAN_MEASURES: dict[str, Any] = {"pan_material": "steel", "pan_weight_g": 700.0, "pan_diameter_mm": 200.0}


def scenarios_folder() -> Path:
    """Return the folder of the scenarios that come with the program."""
    return resources_folder() / "practice"


def scenario_names() -> list[str]:
    """Return the names of the scenarios that come with the program."""
    return sorted(path.stem for path in scenarios_folder().glob("*.toml"))


def list_scenarios(own_folder: Path | None = None) -> tuple[Scenario, ...]:
    """Return the scenarios that come with the program and those of a folder of one's own, in their order.

    A file of one's own that is wrong is left out; `faulty_scenarios` says what is wrong with it.
    """
    found = [load_scenario(name) for name in scenario_names()]
    for path in _own_files(own_folder):
        try:
            found.append(load_scenario(str(path)))
        except CandlebenchError:
            continue
    return tuple(sorted(found, key=lambda scenario: (scenario.order, scenario.title)))


def faulty_scenarios(own_folder: Path) -> tuple[str, ...]:
    """Return what is wrong with the files of a folder of one's own, one sentence a file."""
    faults = []
    for path in _own_files(own_folder):
        try:
            load_scenario(str(path))
        except CandlebenchError as error:
            faults.append(str(error))
    return tuple(faults)


def load_scenario(name: str, own_folder: Path | None = None) -> Scenario:
    """Return a scenario by its name, or from a file when `name` ends in '.toml'.

    A name that does not come with the program is looked for in a folder of one's own, when there is one.

    Raises
    ------
    FixableError
        There is no such scenario; the text lists those there are.
    BadDataError
        The file is not a scenario; the text names the line, the key and what to write.
    """
    path = Path(name) if name.endswith(".toml") else scenarios_folder() / f"{name}.toml"
    own = next((one for one in _own_files(own_folder) if one.stem == name), None)
    if own is not None and name not in scenario_names():
        path, name = own, str(own)
    try:
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        raise BadDataError(tr("{file} is no text file.").format(file=path.name)) from error
    except (OSError, ValueError) as error:
        raise FixableError(
            tr("There is no practice melt called “{name}”: choose one of {names}.").format(
                name=name,
                names=", ".join([*scenario_names(), *(one.stem for one in _own_files(own_folder))]),
            )
        ) from error
    return replace(
        parse_scenario(text, path.stem, path.name), file=str(path) if name.endswith(".toml") else ""
    )


def parse_scenario(text: str, name: str, file: str) -> Scenario:
    """Return the scenario written in `text`; `file` is what error messages call it.

    Raises
    ------
    BadDataError
        As `load_scenario`.
    """
    reader = Reader(text, file)
    tables = _toml(text, file)
    head = {key: value for key, value in tables.items() if key not in SECTIONS and not _is_section(value)}
    said = reader.values("", "", head)
    title = str(said.pop("title", "")).strip()
    if not title:
        reader.refuse("", "title", tr('is missing: write title = "..." in the first line'))
    for section in tables:
        if section not in SECTIONS and section not in head:
            reader.refuse(
                section, "", tr("is not known; write one of {names}").format(names=", ".join(SECTIONS))
            )
    if "wax" not in tables:
        reader.refuse("wax", "", tr("is missing: write a line [wax] and under it mass_g = 700"))
    parts = {
        section: reader.section(section, tables[section]) if section in tables else {} for section in SECTIONS
    }
    happenings = parts.pop("happening")
    head_said: dict[str, Any] = {k: tr(v) if isinstance(v, str) else v for k, v in said.items()}
    return replace(
        _put_together(parts, "oil" in tables),
        name=name,
        title=tr(title),
        happenings=tuple(_happening(reader, place, one) for place, one in enumerate(happenings or [])),
        **head_said,
    )


def _put_together(parts: dict[str, dict[str, Any]], has_oil: bool) -> Scenario:
    plain = Scenario(name="", title="", wax=Charge(**parts["wax"]))
    jug, bath = _vessels(parts["jug"], parts["bath"], plain.wax.mass_g)
    hob = dict(parts["hob"])
    return replace(
        plain,
        room=replace(plain.room, **parts["room"]),
        oil=OilCharge(**parts["oil"]) if has_oil else None,
        jug=jug,
        bath=bath,
        hob=replace(HOBS[hob.pop("kind", "plate")], **hob),
        probe=replace(plain.probe, **parts["probe"]),
        jars=replace(plain.jars, **parts["jars"]),
    )


def _vessels(jug_said: dict[str, Any], bath_said: dict[str, Any], wax_g: float) -> tuple[Jug, Bath]:
    """Jug and bath worked out from their measures, where any are said; single figures then come first."""
    jug, bath = Jug(), Bath()
    if _JUG_MEASURES.keys() & jug_said.keys():
        measures = {key: jug_said.get(key, usual) for key, usual in _JUG_MEASURES.items()}
        jug = jug_of(**measures, wax_g=wax_g)
    jug = replace(jug, **{key: value for key, value in jug_said.items() if key not in _JUG_MEASURES})
    if _PAN_MEASURES.keys() & bath_said.keys() or _JUG_MEASURES.keys() & jug_said.keys():
        measures = {
            key.removeprefix("pan_"): bath_said.get(key, usual) for key, usual in _PAN_MEASURES.items()
        }
        bath = bath_of(**measures, jug=jug)
    return jug, replace(bath, **{key: value for key, value in bath_said.items() if key not in _PAN_MEASURES})


def _happening(reader: Reader, place: int, said: dict[str, Any]) -> Happening:
    when = [key for key in ("at_min", "when_wax_c") if key in said]
    if len(when) != 1:
        reader.refuse(
            "happening", "", tr("needs one of at_min and when_wax_c, to say when it happens"), place
        )
    return Happening(**said)


def _toml(text: str, file: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        why = str(error)
        place = re.search(r"line (\d+)", why)
        line = int(place[1]) if place else max(1, text.count("\n"))
        raise BadDataError(
            tr(
                "{file}, line {line}: this is not written as TOML ({why}). "
                'Write key = number, or key = "words in quotes", under a line like [wax].'
            ).format(file=file, line=line, why=re.sub(r"\s*\(at .*\)$", "", why).lower())
        ) from error


def _is_section(value: Any) -> bool:
    return isinstance(value, dict) or (isinstance(value, list) and any(isinstance(v, dict) for v in value))


def _own_files(folder: Path | None) -> list[Path]:
    return sorted(folder.glob("*.toml")) if folder is not None and folder.is_dir() else []
