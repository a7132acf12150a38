"""`candlebench debrief`: a recorded melt in words, as JSON, as a PDF."""

import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from uuid import uuid4

import pytest
from core.debrief.recording import SETUP, Recording, melt

from candlebench.console.debrief import debrief_melt
from candlebench.core.errors import FixableError
from candlebench.core.events import Recorded
from candlebench.records.journal import open_journal


def record(folder: Path, *recordings: Recording) -> None:
    """Write melts as the program does, a day apart."""
    journal = open_journal(folder, (folder / "rescue",), print, print)
    for day, recording in enumerate(recordings):
        name = uuid4()
        for number, event in enumerate(recording.events):
            journal.append(Recorded(name, number, replace(event, wall_s=event.wall_s + 86_400.0 * day)))
    journal.close()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    record(tmp_path, melt(off_c=84.0, oil_c=81.0, pour_c=73.0), melt())
    return tmp_path


def test_the_latest_melt_is_told_in_words(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert debrief_melt("latest", folder, False, None, "a4") == 0
    said = capsys.readouterr().out
    assert "six jars" in said and "73 °C, inside" in said
    assert "Better than last time" in said
    assert "estimate" in said and "local rules come first" in said


def test_as_json_it_is_one_object_with_plain_values(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert debrief_melt("latest", folder, True, None, "a4") == 0
    (line,) = capsys.readouterr().out.splitlines()
    found = json.loads(line)
    assert found["oil"]["temp_c"] == 73.0 and found["oil"]["off_by_c"] == 0.0
    assert found["pour"]["window"]["low_c"] == 68.0
    assert len(found["advice"]) == 2 and len(found["earlier_attempts"]) == 1
    assert found["earlier_attempts"][0]["oil_off_c"] == pytest.approx(6.0)
    assert 0.99 < found["scent_estimate"]["kept_low"] < found["scent_estimate"]["kept"] < 1.0


def test_a_melt_of_one_event_is_told_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    record(tmp_path, Recording(replace(SETUP, title="begun")))
    assert debrief_melt("latest", tmp_path, True, None, "a4") == 0
    assert json.loads(capsys.readouterr().out)["heat"]["highest_c"] is None


def test_no_melt_says_what_to_do(tmp_path: Path) -> None:
    with pytest.raises(FixableError, match="No melt is recorded"):
        debrief_melt("latest", tmp_path, False, None, "a4")


def test_a_pdf_is_written_by_a_process_without_a_screen(folder: Path) -> None:
    file = folder / "out.pdf"
    program = (
        "import sys; from pathlib import Path; from candlebench.console.debrief import debrief_melt; "
        "sys.exit(debrief_melt('latest', Path(sys.argv[1]), True, Path(sys.argv[2]), 'letter'))"
    )
    command = [sys.executable, "-c", program, str(folder), str(file)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 0, done.stderr
    assert file.read_bytes().startswith(b"%PDF-") and json.loads(done.stdout)
