"""The papers of `candlebench plan`."""

from pathlib import Path

import pytest
from core.plan.workbench import SCENTED, planned

from candlebench.console.papers import Papers, read_label_size, write_papers
from candlebench.core.errors import FixableError
from candlebench.core.labels import LabelSize, rectangle, round_label


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("70x50", rectangle(70.0, 50.0)),
        ("70,5X50", rectangle(70.5, 50.0)),
        ("90×60", rectangle(90.0, 60.0)),
        ("50", round_label(50.0)),
    ],
)
def test_label_sizes_are_read(text: str, size: LabelSize) -> None:
    assert read_label_size(text) == size


@pytest.mark.parametrize("text", ["", "x", "70x", "70x50x2", "wide", "5", "400x20", "nan", "inf"])
def test_what_is_no_label_size_is_refused_with_what_to_do(text: str) -> None:
    with pytest.raises(FixableError, match=r"write width x height|Choose a label from 20 to 180 mm"):
        read_label_size(text)


def test_both_papers_are_written(qapp: object, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sheet, labels = tmp_path / "sheet.pdf", tmp_path / "labels.pdf"
    write_papers(planned(SCENTED), Papers(sheet, labels, "letter", "90x60", "de", 3, tmp_path))
    assert sheet.read_bytes().startswith(b"%PDF-") and labels.read_bytes().startswith(b"%PDF-")
    said = capsys.readouterr()
    assert said.out == ""
    assert str(sheet) in said.err and str(labels) in said.err
    assert "native speaker" in said.err and "Check the rules where you sell" in said.err
    assert "official pictogram" in said.err


def test_nothing_wanted_is_nothing_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write_papers(planned(SCENTED), Papers())
    assert capsys.readouterr() == ("", "")


def test_an_unknown_language_is_said_with_those_there_are(qapp: object, tmp_path: Path) -> None:
    with pytest.raises(FixableError, match="choose from en, de"):
        write_papers(planned(SCENTED), Papers(labels=tmp_path / "x.pdf", language="xx", data=tmp_path))
    assert list(tmp_path.iterdir()) == []


def test_a_label_too_small_for_its_words_is_said(qapp: object, tmp_path: Path) -> None:
    with pytest.raises(FixableError, match="Too long for this size"):
        write_papers(planned(SCENTED), Papers(labels=tmp_path / "x.pdf", label_size="40", data=tmp_path))
    assert list(tmp_path.iterdir()) == []


def test_a_broken_language_file_is_said_and_the_others_are_used(
    qapp: object, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "labels").mkdir()
    (tmp_path / "labels" / "nl.toml").write_text("oops", encoding="utf-8")
    write_papers(planned(SCENTED), Papers(labels=tmp_path / "x.pdf", data=tmp_path))
    assert "nl.toml" in capsys.readouterr().err and (tmp_path / "x.pdf").exists()
