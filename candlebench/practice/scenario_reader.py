"""Checks what a scenario file says, and in plain words what is wrong with it: line, key and what to write."""

import difflib
import re
from typing import Any, NoReturn

from candlebench.core.errors import BadDataError
from candlebench.core.materials.wax import load_waxes
from candlebench.practice.scenario_keys import HEAD, SECTIONS, Kind, Numbers, Words, YesNo
from candlebench.words import tr


class Reader:
    """Reads the sections of one file and finds the line that a complaint is about.

    Parameters
    ----------
    text : str
        The whole file.
    file : str
        What to call it.
    """

    def __init__(self, text: str, file: str) -> None:
        self._lines = text.splitlines()
        self._file = file

    def section(self, section: str, table: Any) -> Any:
        """Return what a section says; a list of such for one that may be written many times."""
        if section != "happening":
            if not isinstance(table, dict):
                self.refuse(section, "", tr("is a section: write [{name}]").format(name=section))
            return self.values(section, section, table)
        if not isinstance(table, list) or not all(isinstance(one, dict) for one in table):
            self.refuse(section, "", tr("may be written many times: write [[{name}]]").format(name=section))
        return [self.values(section, section, one, place) for place, one in enumerate(table)]

    def values(self, section: str, known_as: str, table: dict[str, Any], place: int = 0) -> dict[str, Any]:
        """Return the checked values of one section; `known_as` '' is the head of the file."""
        known = SECTIONS[known_as] if known_as else HEAD
        for key in table:
            if key not in known:
                self.refuse(section, key, _unknown(key, known), place)
        for key, kind in known.items():
            if kind.needed and key not in table:
                self.refuse(
                    section,
                    "",
                    tr("lacks {key}: write {key} = {example}").format(key=key, example=_wanted(kind)),
                    place,
                )
        return {key: self._value(section, key, known[key], value, place) for key, value in table.items()}

    def _value(self, section: str, key: str, kind: Kind, value: Any, place: int) -> Any:
        match kind:
            case Numbers():
                return self._number(section, key, kind, value, place)
            case YesNo():
                fine = isinstance(value, bool)
            case Words():
                fine = isinstance(value, str) and (not kind.choices or value in kind.choices)
                if fine and (section, key) == ("wax", "name"):
                    fine, kind = value in load_waxes(), Words(tuple(load_waxes()))
        if not fine:
            self._refuse_value(section, key, kind, value, place)
        return value

    def _number(self, section: str, key: str, kind: Numbers, value: Any, place: int) -> float:
        is_number = isinstance(value, int | float) and not isinstance(value, bool)
        if not is_number or not kind.low <= value <= kind.high or (kind.whole and value != int(value)):
            self._refuse_value(section, key, kind, value, place)
        return int(value) if kind.whole else float(value)

    def _refuse_value(self, section: str, key: str, kind: Kind, value: Any, place: int) -> NoReturn:
        said = str(value).lower() if isinstance(value, bool) else value
        self.refuse(
            section, key, tr("is {value}: write {wanted}").format(value=said, wanted=_wanted(kind)), place
        )

    def refuse(self, section: str, key: str, problem: str, place: int = 0) -> NoReturn:
        """Raise the complaint with its place; `place` counts sections of the same name."""
        raise BadDataError(
            tr("{file}, line {line}: {place} {problem}.").format(
                file=self._file,
                line=self._line(section, key, place),
                place=".".join(part for part in (section, key) if part),
                problem=problem,
            )
        )

    def _line(self, section: str, key: str, place: int) -> int:
        """Return the number of the line that holds the section, or the key within it.

        The last line for a section that is missing: there it can be written.
        """
        section_line = max(1, len(self._lines)) if section else 1
        current, seen = "", -1
        for number, line in enumerate(self._lines, start=1):
            header = re.match(r"\s*\[+\s*([\w.\"'-]+)", line)
            if header:
                current = header[1].strip("\"'")
                seen += current == section
                if current == section and seen == place:
                    section_line = number
            elif key and current == section and (seen == place or not section) and _holds(key, line):
                return number
            # A section can also be written in one line: wax = { mass_g = 700 }.
            elif section and not current and re.match(rf"\s*{re.escape(section)}\s*[.=]", line):
                section_line = number
        return section_line


def _holds(key: str, line: str) -> bool:
    return re.match(rf"\s*[\"']?{re.escape(key)}[\"']?\s*=", line) is not None


def _unknown(key: str, known: dict[str, Kind]) -> str:
    near = difflib.get_close_matches(key, known, n=1)
    names = ", ".join(known)
    if near:
        return tr("is not known; write {near}, or one of {names}").format(near=near[0], names=names)
    return tr("is not known; write one of {names}").format(names=names)


def _wanted(kind: Kind) -> str:
    match kind:
        case Numbers() if kind.whole:
            return tr("a whole number from {low} to {high}").format(
                low=f"{kind.low:g}", high=f"{kind.high:g}"
            )
        case Numbers():
            return tr("a number from {low} to {high}").format(low=f"{kind.low:g}", high=f"{kind.high:g}")
        case YesNo():
            return tr("true or false")
        case _:
            return (
                tr("one of {names}").format(names=", ".join(f'"{choice}"' for choice in kind.choices))
                if kind.choices
                else tr("words in quotes")
            )
