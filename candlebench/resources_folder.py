"""Where the data files, icons and scenarios are: inside an installed package, or beside it in a checkout."""

from pathlib import Path


def resources_folder() -> Path:
    """Return the folder that holds `data`, `icons` and `practice`."""
    package = Path(__file__).resolve().parent
    installed = package / "resources"
    return installed if installed.is_dir() else package.parent / "resources"
