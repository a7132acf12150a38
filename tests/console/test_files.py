"""`candlebench practice` and `candlebench export`: files out."""

import csv
from pathlib import Path

import pytest

from candlebench.cli import run


def test_practice_writes_readings_with_the_hidden_truth(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "melt.csv"
    assert run(["practice", "first-jug", "--csv", str(file)]) == 0
    with file.open(encoding="utf-8") as stream:
        rows = list(csv.DictReader(stream))
    assert list(rows[0])[:2] == ["elapsed_s", "temp_c"] and len(rows[0]) > 2
    assert str(len(rows)) in capsys.readouterr().out
    temps = [float(r["temp_c"]) for r in rows]
    # Common practice, no source: it is heated past 75 C and poured above 65 C.
    assert 75.0 < max(temps) < 100.0
    assert run(["forecast", str(file), "--target", "70", "--json"]) == 0
    assert len(capsys.readouterr().out.splitlines()) == len(rows), "its own file is a series it can read"


def test_the_same_seed_gives_the_same_file_and_another_another(tmp_path: Path) -> None:
    files = [tmp_path / f"{i}.csv" for i in range(3)]
    for file, seed in zip(files, ("1", "1", "2"), strict=True):
        assert run(["practice", "first-jug", "--csv", str(file), "--seed", seed]) == 0
    first, again, other = (f.read_bytes() for f in files)
    assert first == again != other


def test_an_export_has_what_was_played(tmp_path: Path) -> None:
    data, played, out = str(tmp_path / "d"), tmp_path / "cup.csv", tmp_path / "out.csv"
    played.write_text("elapsed_s,temp_c\n0,80\n1,79.9\n2,79.8\n", encoding="utf-8")
    assert run(["watch", "--source", f"replay:{played}?speed=100", "--data", data]) == 0
    assert run(["export", "latest", "--csv", str(out), "--data", data]) == 0
    with out.open(encoding="utf-8") as stream:
        rows = [r for r in csv.DictReader(stream) if r["temp_c"]]
    assert [(float(r["elapsed_s"]), float(r["temp_c"])) for r in rows] == [
        (0.0, 80.0),
        (1.0, 79.9),
        (2.0, 79.8),
    ]


@pytest.mark.parametrize("melt", ["latest", "abcd"])
def test_no_melt_to_export_is_exit_code_1_and_writes_nothing(
    melt: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out.csv"
    assert run(["export", melt, "--csv", str(out), "--data", str(tmp_path)]) == 1
    assert "No melt is recorded" in capsys.readouterr().err
    assert not out.exists()


def test_a_place_that_cannot_be_written_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["practice", "first-jug", "--csv", str(tmp_path / "nowhere" / "melt.csv")]) == 1
    said = capsys.readouterr().err
    assert "cannot be written" in said and len(said.strip().splitlines()) == 1
