"""`candlebench melts` and `candlebench ports`."""

import json
from pathlib import Path

import pytest

from candlebench.cli import run


def test_no_melts_is_an_empty_list_and_makes_no_folder(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data = tmp_path / "none yet"
    assert run(["melts", "--json", "--data", str(data)]) == 0
    assert json.loads(capsys.readouterr().out) == []
    assert not data.exists()
    assert run(["melts", "--data", str(data)]) == 0
    assert "No melt is recorded" in capsys.readouterr().out


def test_the_newest_melt_comes_first(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data = str(tmp_path / "d")
    file = tmp_path / "cup.csv"
    file.write_text("elapsed_s,temp_c\n0,80\n1,79.9\n2,79.8\n", encoding="utf-8")
    for _ in range(2):
        assert run(["watch", "--source", f"replay:{file}?speed=100", "--data", data]) == 0
    capsys.readouterr()
    assert run(["melts", "--json", "--data", data]) == 0
    melts = json.loads(capsys.readouterr().out)
    assert [list(m) for m in melts] == [["melt", "title", "began", "length_s", "events", "finished"]] * 2
    assert melts[0]["began"] >= melts[1]["began"] and melts[0]["melt"] != melts[1]["melt"]
    assert run(["melts", "--data", data]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith(melts[0]["melt"][:8]) and "not finished" in lines[0]


def test_a_damaged_file_is_exit_code_1_and_left_alone(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from candlebench.records.opening import FILE_NAME

    file = tmp_path / FILE_NAME
    file.write_bytes(b"this is no database " * 200)
    assert run(["melts", "--data", str(tmp_path)]) == 1
    assert "cannot be read" in capsys.readouterr().err
    assert file.read_bytes() == b"this is no database " * 200


def test_ports_are_a_list_of_objects(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["ports", "--all", "--json"]) == 0
    for port in json.loads(capsys.readouterr().out):
        assert list(port) == ["path", "name", "maker", "serial_number", "vid", "pid", "address"]


def test_ports_in_words_says_something_even_with_none(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["ports"]) == 0
    assert capsys.readouterr().out.strip()
