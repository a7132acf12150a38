"""Where a save dialog opens."""

from pathlib import Path

from PySide6.QtCore import QStandardPaths


def in_documents(name: str) -> str:
    """Return the path of a file of this name among her documents, at home where there is no such folder."""
    documents = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
    folder = Path(documents) if documents and Path(documents).is_dir() else Path.home()
    return str(folder / name)
