"""`candlebench practice --list` and the knob on the command line."""

import csv
import json
from pathlib import Path

import pytest

from candlebench.console.files import write_practice
from candlebench.console.scenarios import own_scenarios_folder, parse_turns, show_scenarios
from candlebench.core.errors import FixableError
from candlebench.practice.scenario_file import load_scenario
from candlebench.practice.whole_melt import Turn


def test_the_list_says_name_title_and_what_each_teaches(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert show_scenarios(tmp_path, as_json=False) == 0
    said = capsys.readouterr().out
    first = load_scenario("first-jug")
    assert said.startswith(f"first-jug  {first.title}\n    {first.teaches[:40]}")
    assert str(tmp_path / "practice") in said
    assert max(len(line) for line in said.splitlines()[:-1]) <= 110


def test_ones_own_files_are_listed_and_a_wrong_one_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = own_scenarios_folder(tmp_path)
    folder.mkdir()
    (folder / "mine.toml").write_text('title = "Mine"\n[wax]\nmass_g = 300\n', encoding="utf-8")
    (folder / "bad.toml").write_text('title = "Bad"\n[wax]\nmass_g = -300\n', encoding="utf-8")
    assert show_scenarios(tmp_path, as_json=True) == 0
    out, err = capsys.readouterr()
    rows = {row["title"]: row for row in json.loads(out)}
    assert rows["Mine"]["scenario"] == str(folder / "mine.toml") and "Bad" not in rows
    assert load_scenario(rows["Mine"]["scenario"]).title == "Mine"
    assert "bad.toml, line 3: wax.mass_g is -300: write a number from 20 to 20000." in err


@pytest.mark.parametrize(
    ("text", "turn"),
    [
        ("12=0.3", Turn(720.0, 0.3)),
        (" 12,5 = 30 % ", Turn(750.0, 0.3)),
        ("0=0", Turn(0.0, 0.0)),
        ("1=1", Turn(60.0, 1.0)),
    ],
)
def test_a_turn_of_the_knob_is_minutes_and_a_share(text: str, turn: Turn) -> None:
    assert parse_turns([text]) == (turn,)


@pytest.mark.parametrize(
    "text", ["", "12", "12=", "=0.3", "12=high", "12=30", "12=130%", "-1=0.3", "12=0.3=2"]
)
def test_what_does_not_turn_the_knob_is_answered_with_how_to_write_it(text: str) -> None:
    with pytest.raises(FixableError, match=r"write minutes=share of full power, like 12=0\.3"):
        parse_turns([text])


def test_a_melt_with_the_knob_turned_is_written_to_its_file(tmp_path: Path) -> None:
    file = tmp_path / "melt.csv"
    assert write_practice("first-jug", file, seed=1, knob=["10=20%"]) == 0
    with file.open(encoding="utf-8") as stream:
        rows = list(csv.DictReader(stream))
    assert float(rows[599]["heat_fraction"]) == 1.0 and float(rows[601]["heat_fraction"]) == 0.2
    assert rows[0]["jar_c"] == ""
