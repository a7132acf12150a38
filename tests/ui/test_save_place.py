"""Where save dialogs open."""

from pathlib import Path

from PySide6.QtCore import QStandardPaths

from candlebench.ui.save_place import in_documents


def test_a_file_goes_among_the_documents_or_home_without_them(own_home: Path) -> None:
    documents = Path(QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation))
    assert own_home in documents.parents
    assert Path(in_documents("melt.csv")) == own_home / "melt.csv"
    documents.mkdir(parents=True)
    assert Path(in_documents("melt.csv")) == documents / "melt.csv"
