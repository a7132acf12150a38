"""The words of the safety label in several languages, from plain text files that a person can edit or add."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from string import Formatter
from types import MappingProxyType

from candlebench.core.errors import BadDataError
from candlebench.core.materials.figure import read_tables, required
from candlebench.resources_folder import resources_folder
from candlebench.words import tr

ENGLISH = "en"
_SUFFIX = ".toml"
# What a file says of itself rather than on a label.
_ABOUT = frozenset(["language", "checked_by"])
# Words of the regulation, which in English stand in the table of allergens.
STATEMENTS = frozenset(["signal_word", "contains", "h317", "euh208"])


@dataclass(frozen=True, slots=True)
class LabelLanguage:
    """The words of one file.

    Attributes
    ----------
    code : str
        Name of the file without its ending, 'de'.
    name : str
        What the language calls itself.
    checked_by : str
        Who has read it as a native speaker; '' when nobody has.
    texts : Mapping of str to str
        By key; what the file lacks is there in English.
    substances : Mapping of str to str
        Names of substances by their name in `compounds.toml`.
    missing : tuple of str
        Keys that are there in English only.
    """

    code: str
    name: str
    checked_by: str
    texts: Mapping[str, str]
    substances: Mapping[str, str]
    missing: tuple[str, ...]


def load_languages(*own_folders: Path) -> tuple[Mapping[str, LabelLanguage], tuple[str, ...]]:
    """Return the label languages by code, English first, and a sentence for each file that cannot be used.

    Parameters
    ----------
    own_folders : Path
        Folders of the person's own files; one of the same name goes before the program's.

    Raises
    ------
    BadDataError
        The program's own English file cannot be read.
    """
    english = _read(resources_folder() / "labels" / f"{ENGLISH}{_SUFFIX}", {})
    found, problems = {ENGLISH: english}, []
    for path in _files(resources_folder() / "labels", *own_folders):
        try:
            found[path.stem] = _read(path, english.texts)
        except BadDataError as error:
            problems.append(str(error))
    return MappingProxyType(found), tuple(problems)


def _files(*folders: Path) -> Iterable[Path]:
    for folder in folders:
        if folder.is_dir():
            yield from sorted(path for path in folder.iterdir() if path.suffix == _SUFFIX)


def _read(path: Path, english: Mapping[str, str]) -> LabelLanguage:
    table = read_tables(path)
    substances = table.pop("substances", {})
    texts = {key: required(path.name, key, table, key, str).strip() for key in table}
    named = isinstance(substances, dict) and all(isinstance(each, str) for each in substances.values())
    if not named:
        raise BadDataError(tr('{file}: write each substance as name = "text".').format(file=path.name))
    for key, text in texts.items():
        _check_braces(path.name, key, text, english.get(key))
    missing = tuple(key for key in english if not texts.get(key) and key not in _ABOUT)
    return LabelLanguage(
        code=path.stem,
        name=texts.get("language") or path.stem,
        checked_by=texts.get("checked_by", ""),
        texts=MappingProxyType({**english, **{key: text for key, text in texts.items() if text}}),
        substances=MappingProxyType(substances),
        missing=missing,
    )


def _check_braces(file: str, key: str, text: str, english: str | None) -> None:
    """A misspelt {hours} must be said here, not when the label is printed."""
    needed = _fields(english) if english is not None else {"substances"} if key in STATEMENTS else set()
    try:
        there = _fields(text)
    except ValueError:
        there = {"?"}
    if (english is not None or key in STATEMENTS) and there - needed:
        fields = ", ".join(f"{{{name}}}" for name in sorted(needed)) or "–"
        text = tr("{file}: “{key}” may hold only {fields} in braces.")
        raise BadDataError(text.format(file=file, key=key, fields=fields))


def _fields(text: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(text) if name is not None}
