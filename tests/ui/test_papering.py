"""From a plan to its files."""

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from core.plan.workbench import SCENTED, planned
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from candlebench.core.units import Shown
from candlebench.records.settings import Settings
from candlebench.ui.papering import file_name, labels_page, want_paper


class Said(list[str]):
    """The window's message bar as far as it is asked."""

    def say(self, sentence: str) -> None:
        self.append(sentence)


def bench(tmp_path: Path) -> Any:
    pages: list[str] = []
    return SimpleNamespace(
        workshop=SimpleNamespace(folder=tmp_path, shown=Shown("F"), settings=Settings()),
        messages=Said(),
        planned=None,
        pages=pages,
        show_page=pages.append,
        go_back=lambda: None,
    )


@pytest.fixture
def answer(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What the file dialog answers; asked for nothing, it is closed."""
    answers: list[str] = []

    def ask(_window: object, _title: str, name: str, _kinds: str) -> tuple[str, str]:
        answers.append(name)
        return answers[0], ""

    monkeypatch.setattr(QFileDialog, "getSaveFileName", ask)
    return answers


def test_a_batch_sheet_is_written_where_she_says(qtbot: QtBot, tmp_path: Path, answer: list[str]) -> None:
    window, file = bench(tmp_path), tmp_path / "x.pdf"
    answer.append(str(file))
    want_paper(window, planned(SCENTED), "For the fair", "batch")
    assert file.read_bytes().startswith(b"%PDF-") and str(file) in window.messages[0]
    assert Path(answer[1]).name == "For the fair.pdf"


def test_a_closed_dialog_writes_nothing(qtbot: QtBot, tmp_path: Path, answer: list[str]) -> None:
    window = bench(tmp_path)
    answer.append("")
    want_paper(window, planned(SCENTED), "", "batch")
    assert list(tmp_path.iterdir()) == [] and window.messages == []


def test_a_place_that_cannot_be_written_is_said(qtbot: QtBot, tmp_path: Path, answer: list[str]) -> None:
    window = bench(tmp_path)
    answer.append(str(tmp_path / "nowhere" / "x.pdf"))
    want_paper(window, planned(SCENTED), "", "batch")
    assert "choose another place" in window.messages[0]


def test_labels_are_edited_on_their_page_before_they_are_saved(
    qtbot: QtBot, tmp_path: Path, answer: list[str]
) -> None:
    window, file, plan = bench(tmp_path), tmp_path / "labels.pdf", planned(SCENTED)
    answer.append(str(file))
    want_paper(window, plan, "", "labels")
    assert window.planned is plan and window.pages == ["labels"] and not file.exists()
    page = labels_page(window, window.planned)
    qtbot.addWidget(page)
    page.save.click()
    assert file.read_bytes().startswith(b"%PDF-") and "Print them at 100 %" in window.messages[0]
    assert Path(answer[1]).name == "Labels Lavender.pdf"


def test_without_a_plan_there_is_no_paper(qtbot: QtBot, tmp_path: Path) -> None:
    window = bench(tmp_path)
    want_paper(window, None, "", "batch")
    want_paper(window, None, "", "labels")
    assert window.pages == [] and list(tmp_path.iterdir()) == []


def test_her_own_languages_lie_in_the_data_folder(qtbot: QtBot, tmp_path: Path) -> None:
    (tmp_path / "labels").mkdir()
    (tmp_path / "labels" / "nl.toml").write_text('language = "Nederlands"', encoding="utf-8")
    page = labels_page(bench(tmp_path), None)
    qtbot.addWidget(page)
    box = page.form._language
    assert [box.itemText(n) for n in range(box.count())] == [
        "English",
        "Deutsch",
        "Español",
        "Français",
        "Nederlands",
    ]


@pytest.mark.parametrize(
    ("title", "name"),
    [("6 jars: a/b", "6 jars a b.pdf"), ("Świeca — ρ", "Świeca ρ.pdf"), ("x" * 400, "x" * 120 + ".pdf")],
)
def test_a_file_name_is_made_of_what_file_systems_take(title: str, name: str) -> None:
    assert file_name(title) == name
