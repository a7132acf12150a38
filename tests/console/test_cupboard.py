"""`candlebench cupboard`: what is in it, as words and as JSON."""

import json
from datetime import UTC, datetime
from pathlib import Path

import pytest
from full_cupboard import STOCK

from candlebench.console.cupboard import show_cupboard
from candlebench.core.errors import BadDataError
from candlebench.records.cupboard import FILE_NAME, CupboardStore
from candlebench.records.cupboard_stock import KINDS


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    CupboardStore(tmp_path, lambda: datetime(2026, 11, 25, tzinfo=UTC)).change(STOCK, "x")
    return tmp_path


def test_an_empty_cupboard_says_where_it_looked_and_makes_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data = tmp_path / "none yet"
    assert show_cupboard(data, as_json=False) == 0
    assert str(data) in capsys.readouterr().out
    assert show_cupboard(data, as_json=True) == 0
    assert json.loads(capsys.readouterr().out) == {shelf: [] for shelf in KINDS}
    assert not data.exists()


def test_the_json_has_every_thing_with_what_is_left(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert show_cupboard(folder, as_json=True) == 0
    out = capsys.readouterr().out
    assert len(out.splitlines()) == 1
    found = json.loads(out)
    assert list(found) == list(KINDS)
    assert sum(len(things) for things in found.values()) == 20
    assert found["waxes"][1] == {
        "name": "Pale blocks",
        "wax": "beeswax",
        "stock_g": 900.0,
        "own": False,
        "colour": "pale",
        "price": {"paid": 24.0, "amount": 1000.0},
        "note": "",
        "left": 900.0,
        "low": True,
        "since": "2026-09-02",
    }
    assert found["leftovers"][0]["left"] == 240.0


def test_the_words_fit_the_screen_and_say_what_runs_low(
    folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "88")
    assert show_cupboard(folder, as_json=False) == 0
    out = capsys.readouterr().out
    assert max(map(len, out.splitlines())) <= 88
    assert [line for line in out.splitlines() if line and not line.startswith(" ")] == [
        "Wax lots",
        "Oils",
        "Jars",
        "Wicks",
        "Labels",
        "Leftovers",
    ]
    (low,) = [line for line in out.splitlines() if "Pale blocks" in line]
    assert "900 g of 5000 g" in low and "RUNNING LOW" in low and "24.00 a kg" in low


def test_a_file_that_is_not_right_is_refused_and_left_alone(tmp_path: Path) -> None:
    file = tmp_path / FILE_NAME
    file.write_text('[[labels]]\nname = "a"\ncount = "some"\n', encoding="utf-8")
    with pytest.raises(BadDataError, match=r"line 3, a: labels\.count"):
        show_cupboard(tmp_path, as_json=True)
    assert [file.name for file in tmp_path.iterdir()] == [FILE_NAME]
