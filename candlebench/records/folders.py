"""Where the data, the settings and the rescue files live.

The system's places: the XDG Base Directory Specification 0.8 (freedesktop.org) on Linux and its kin,
"Known folders" (learn.microsoft.com, FOLDERID_LocalAppData and FOLDERID_RoamingAppData) on Windows, "macOS
Library Directory Details" (developer.apple.com) on macOS.
"""

import tempfile
import zlib
from collections.abc import Mapping
from pathlib import Path

_NAME = "candlebench"


def data_folder(explicit: Path | None, environment: Mapping[str, str], platform: str, home: Path) -> Path:
    """Return the folder that holds the shop's database.

    Parameters
    ----------
    explicit : Path or None
        What `--data` named; goes before everything else.
    environment : mapping
        The process's environment: CANDLEBENCH_DATA, then the system's own names, are looked up in it.
    platform : str
        `sys.platform`.
    home : Path
        The person's home folder.

    Returns
    -------
    Path
        It need not exist yet.
    """
    if explicit is not None:
        return explicit
    if named := environment.get("CANDLEBENCH_DATA"):
        return Path(named)
    if platform == "win32":
        return _from(environment, "LOCALAPPDATA", home / "AppData" / "Local") / _NAME
    if platform == "darwin":
        return home / "Library" / "Application Support" / _NAME
    return _from(environment, "XDG_DATA_HOME", home / ".local" / "share") / _NAME


def settings_file(explicit: Path | None, environment: Mapping[str, str], platform: str, home: Path) -> Path:
    """Return the settings file.

    Parameters
    ----------
    explicit : Path or None
        A folder that goes before everything else.
    environment : mapping
        CANDLEBENCH_SETTINGS (a folder), then the system's own names, are looked up in it.
    platform, home
        As for `data_folder`.

    Returns
    -------
    Path
        `settings.toml` in that folder; neither need exist yet.
    """
    named = environment.get("CANDLEBENCH_SETTINGS")
    if explicit is not None:
        folder = explicit
    elif named:
        folder = Path(named)
    elif platform == "win32":
        folder = _from(environment, "APPDATA", home / "AppData" / "Roaming") / _NAME
    elif platform == "darwin":
        folder = home / "Library" / "Application Support" / _NAME
    else:
        folder = _from(environment, "XDG_CONFIG_HOME", home / ".config") / _NAME
    return folder / "settings.toml"


def rescue_places(environment: Mapping[str, str], home: Path) -> tuple[Path, ...]:
    """Return folders to write to when the data folder cannot be written, the best first.

    The home folder comes first because a temporary folder may be emptied at the next start of the machine;
    the last one lies in memory on most Linux systems and so has room when the disk is full.
    """
    places = [home / "candlebench-rescue", Path(tempfile.gettempdir()) / f"candlebench-rescue-{home.name}"]
    if runtime := environment.get("XDG_RUNTIME_DIR"):
        places.append(Path(runtime) / "candlebench-rescue")
    return tuple(places)


def folder_mark(folder: Path) -> str:
    """Return a short word that stands for a data folder in the names of its rescue files."""
    # Only to tell folders apart; eight hexadecimal digits are plenty for the folders of one person.
    return f"{zlib.crc32(str(folder.absolute()).encode('utf-8', 'surrogateescape')):08x}"


def _from(environment: Mapping[str, str], name: str, otherwise: Path) -> Path:
    """The folder that an environment variable names, unless it is unset, empty or relative."""
    # XDG Base Directory Specification 0.8: relative paths are invalid and must be ignored.
    value = environment.get(name, "")
    return Path(value) if Path(value).is_absolute() else otherwise
