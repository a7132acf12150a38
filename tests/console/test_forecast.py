"""`candlebench forecast`: its JSON is a contract."""

import json
import math
from pathlib import Path

import pytest

from candlebench.cli import run

ROOM_C, RATE_PER_S = 20.0, 1.0 / 900.0


def cooling(elapsed_s: float) -> float:
    """Newton's law of cooling from 90 C towards the room."""
    return ROOM_C + 70.0 * math.exp(-RATE_PER_S * elapsed_s)


@pytest.fixture
def series(tmp_path: Path) -> Path:
    file = tmp_path / "cup.csv"
    rows = [f"{t},{cooling(t):.3f}" for t in range(0, 600, 10)]
    file.write_text("\n".join(["elapsed_s,temp_c", *rows]) + "\n", encoding="utf-8")
    return file


def rows(capsys: pytest.CaptureFixture[str], *arguments: str) -> list[dict[str, object]]:
    assert run(["forecast", *arguments]) == 0
    return [json.loads(line) for line in capsys.readouterr().out.splitlines()]


def forecast_of(row: dict[str, object], place: int = 0) -> dict[str, float | None]:
    found = row["forecasts"]
    assert isinstance(found, list)
    return dict(found[place])


def test_one_object_a_reading_with_exactly_the_agreed_keys(
    series: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    found = rows(
        capsys, str(series), "--wax", "none", "--room", "20", "--target", "70", "--target", "60", "--json"
    )
    assert len(found) == 60
    for row in found:
        assert list(row) == ["elapsed_s", "temp_c", "stage", "forecasts"]
        for place, target_c in enumerate((70.0, 60.0)):
            forecast = forecast_of(row, place)
            assert list(forecast) == ["target_c", "in_s", "low_s", "high_s"]
            assert forecast["target_c"] == target_c
    assert found[6]["elapsed_s"] == 60.0 and found[6]["temp_c"] == pytest.approx(cooling(60.0), abs=0.001)


def test_a_target_that_is_past_is_null_and_one_ahead_lies_in_its_band(
    series: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    found = rows(capsys, str(series), "--wax", "none", "--room", "20", "--target", "70", "--json")
    # Newton's law solved for the time: 50 = 70 exp(-t / 900).
    truth_s = 900.0 * math.log(70.0 / 50.0)
    for row in found:
        at_s, forecast = float(str(row["elapsed_s"])), forecast_of(row)
        times = (forecast["low_s"], forecast["in_s"], forecast["high_s"])
        if at_s > truth_s:
            assert times == (None, None, None)
        elif at_s >= 120.0:
            low_s, in_s, high_s = times
            assert low_s is not None and in_s is not None and high_s is not None
            assert low_s <= in_s <= high_s
            assert low_s - 1.0 <= truth_s - at_s <= high_s + 1.0
    at_two_minutes = forecast_of(found[12])["in_s"]
    assert at_two_minutes == pytest.approx(truth_s - 120.0, rel=0.08)


def test_below_the_room_nothing_is_foreseen(series: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = rows(capsys, str(series), "--wax", "none", "--room", "20", "--target", "10", "--json")
    assert forecast_of(found[-1])["in_s"] is None


def test_plain_lines_have_units(series: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["forecast", str(series), "--wax", "none", "--room", "20", "--target", "70"]) == 0
    line = capsys.readouterr().out.splitlines()[20]
    assert "°C" in line and "70 °C in " in line


@pytest.mark.parametrize(
    ("content", "word"), [("", "empty"), ("elapsed_s,temp_c\n", ""), ("hello\nworld\n", "")], ids=str
)
def test_a_file_that_is_no_series_is_one_sentence_and_exit_code_1(
    content: str, word: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "bad.csv"
    file.write_text(content, encoding="utf-8")
    assert run(["forecast", str(file), "--target", "70", "--json"]) == 1
    said = capsys.readouterr()
    assert said.out == "" and said.err.strip() and len(said.err.strip().splitlines()) == 1
    assert word in said.err and "Traceback" not in said.err


def test_an_unknown_wax_is_answered_with_the_names(series: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["forecast", str(series), "--wax", "cheese", "--target", "70"]) == 1
    said = capsys.readouterr().err
    assert "cheese" in said and "beeswax" in said and "none" in said
