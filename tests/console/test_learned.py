"""What was learned, on the console."""

import json
from pathlib import Path
from uuid import UUID

import pytest

from candlebench.console.learned import forget_learned, say_learned, show_learned
from candlebench.core.errors import FixableError
from candlebench.core.learning.lesson import Lesson, WaxLesson
from candlebench.core.setup import Limits, MeltSetup
from candlebench.core.track_record import KeptForecast, Outcome
from candlebench.records.database import Database
from candlebench.records.lessons import Lessons
from candlebench.records.lock import DataLock
from candlebench.records.rows import MeltSummary

LIMITS = Limits(68.0, 70.0, 75.0, 68.0, 71.0, 80.0, 85.0, 95.0)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A data folder in which one melt taught where its lot sets."""
    path = tmp_path / "candlebench.db"
    Database(path).close()
    setup = MeltSetup("six jars", "beeswax", LIMITS, lot="hive 3")
    lesson = Lesson(WaxLesson(62.5, 0.3, 2.0, 0.3, "cooling"), "", None, "", None, "")
    kept = KeptForecast("melted", 68.0, 300.0, 0.0, 250.0, 300.0, float("inf"), 1.0, Outcome.INSIDE, 310.0)
    summary = MeltSummary(UUID(int=7), "", 1_795_600_000.0, 3600.0, 100, True)
    Lessons(lambda: path).keep(summary, "live", setup, lesson, (kept,))
    return tmp_path


def rows(folder: Path, capsys: pytest.CaptureFixture[str]) -> dict[str, object]:
    capsys.readouterr()
    assert show_learned(folder, as_json=True) == 0
    found: dict[str, object] = json.loads(capsys.readouterr().out)
    return found


def test_it_is_told_in_sentences(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert show_learned(shop, as_json=False) == 0
    out = capsys.readouterr().out
    assert "Your last forecast was inside the band, 10 s off." in out
    assert "lot hive 3: This lot sets at 62." in out and "(one melt)" in out
    assert "62.5 °C, give or take 0.3, seen while it set" in out


def test_a_lot_whose_last_melt_lay_off_says_so_until_that_melt_is_left_out(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lessons = Lessons(lambda: shop / "candlebench.db")
    setup = MeltSetup("six jars", "beeswax", LIMITS, lot="hive 3")
    for number, knee_c in ((8, 62.6), (9, 60.3)):
        lesson = Lesson(WaxLesson(knee_c, 0.3, 2.0, 0.3, "cooling"), "", None, "", None, "")
        summary = MeltSummary(UUID(int=number), "", 1_795_600_000.0 + number, 3600.0, 100, True)
        lessons.keep(summary, "live", setup, lesson, ())
    assert show_learned(shop, as_json=False) == 0
    out = capsys.readouterr().out
    assert "lower than in 2 earlier melts" in out and "in ice" in out
    (lot,) = rows(shop, capsys)["learned"]  # type: ignore[misc]
    assert lot["drift"]["by_k"] == pytest.approx(60.3 - 62.55, abs=0.2) and lot["drift"]["melts"] == 2
    lessons.forget_melt("lot", "hive 3", UUID(int=9))
    (lot,) = rows(shop, capsys)["learned"]  # type: ignore[misc]
    assert lot["drift"] is None


def test_it_is_told_as_json_with_finite_numbers(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = rows(shop, capsys)
    (lot,) = found["learned"]  # type: ignore[misc]
    assert lot["name"] == "hive 3" and lot["known"]["melts"] == 1
    assert lot["melts"][0]["lesson"]["knee_c"] == 62.5
    live = found["forecasts"]["live"]  # type: ignore[index]
    assert (live["compared"], live["inside"], live["widen"]) == (1, 1, 1.0)
    assert live["last"][0]["high_s"] is None


def test_a_folder_without_records_has_learned_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert show_learned(tmp_path / "new", as_json=False) == 0
    assert "Nothing has been learned yet" in capsys.readouterr().out
    assert not (tmp_path / "new").exists()


def test_a_lot_is_forgotten_and_given_by_hand(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    forget_learned(shop, "lot", "hive 3", practice=False)
    (lot,) = rows(shop, capsys)["learned"]  # type: ignore[misc]
    assert lot["known"] is None and lot["melts"][0]["left_out"] is True
    say_learned(shop, "lot", "hive 3", "63,0", practice=False)
    (lot,) = rows(shop, capsys)["learned"]  # type: ignore[misc]
    assert lot["said"] == 63.0 and "as you said" in lot["sentence"]


def test_what_cannot_be_done_is_said(shop: Path) -> None:
    with pytest.raises(FixableError, match="lot, jug, probe"):
        forget_learned(shop, "wick", "x", practice=False)
    with pytest.raises(FixableError, match="no number"):
        say_learned(shop, "lot", "x", "hot", practice=False)
    with pytest.raises(FixableError, match="“hive 9”"):
        forget_learned(shop, "lot", "hive 9", practice=False)
    with DataLock(shop), pytest.raises(FixableError, match="already open"):
        forget_learned(shop, "lot", "hive 3", practice=False)
