"""The debrief as a PDF."""

import re
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path
from uuid import UUID

import numpy as np
import pytest
from core.debrief.recording import SETUP, melt

from candlebench.core.debrief.attempt import attempt_of
from candlebench.core.debrief.curve import Curve
from candlebench.core.debrief.judge import debrief_of
from candlebench.core.errors import FixableError
from candlebench.core.place import Place
from candlebench.core.units import Shown
from candlebench.ui.debrief_paper import suggested_name, usual_paper, write_debrief_pdf

TITLE = replace(SETUP, title="Świeca żółta — ρυθμός: six/eight jars")
WRONG = debrief_of(melt(off_c=92.0, oil_c=84.0, pour_c=74.0, setup=TITLE).events)
EARLIER = tuple(attempt_of(UUID(int=n), WRONG) for n in range(1, 6))
# ISO 216 A4 is 210 x 297 mm, ANSI/ASME Y14.1 Letter 8.5 x 11 in; in points of 1/72 in.
PAPERS_PT = {"a4": (595, 842), "letter": (612, 792)}


def write(tmp_path: Path, paper: str) -> Path:
    file = tmp_path / f"{paper}.pdf"
    write_debrief_pdf(str(file), WRONG, EARLIER, Shown(), paper)
    return file


def tool(name: str) -> str:
    found = shutil.which(name)
    if found is None:
        pytest.skip(f"{name} (poppler-utils) is not installed")
    return found


def text_of(file: Path) -> str:
    command = [tool("pdftotext"), "-layout", str(file), "-"]
    return subprocess.run(command, capture_output=True, text=True, check=True, timeout=30).stdout


@pytest.mark.parametrize("paper", PAPERS_PT)
def test_the_sheet_has_the_size_of_its_paper(qapp: object, tmp_path: Path, paper: str) -> None:
    found = re.search(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", write(tmp_path, paper).read_bytes())
    assert found is not None
    assert tuple(round(float(side)) for side in found.groups()) == PAPERS_PT[paper]


@pytest.mark.parametrize("paper", PAPERS_PT)
def test_fonts_are_embedded_with_their_letters(qapp: object, tmp_path: Path, paper: str) -> None:
    data = write(tmp_path, paper).read_bytes()
    assert b"/FontFile2" in data or b"/FontFile3" in data
    assert b"/ToUnicode" in data


@pytest.mark.parametrize("paper", PAPERS_PT)
def test_all_words_are_there_to_be_searched(qapp: object, tmp_path: Path, paper: str) -> None:
    said = text_of(write(tmp_path, paper))
    for words in ("Świeca żółta — ρυθμός", "84 °C, 9.0 °C too hot", "What happened", "Stirred", "estimate"):
        assert words in said
    assert "Never leave melting wax alone" in said and "Local rules" in said
    assert said.count("9.0 too hot") == 6, "this attempt and five earlier ones"


@pytest.mark.parametrize("paper", PAPERS_PT)
def test_nothing_runs_over_the_edge(qapp: object, tmp_path: Path, paper: str) -> None:
    """Every word's box from poppler lies inside the margins of 15 mm, and no two lines of words overlap."""
    file = write(tmp_path, paper)
    command = [tool("pdftotext"), "-bbox", str(file), "-"]
    boxes = subprocess.run(command, capture_output=True, text=True, check=True, timeout=30).stdout
    width, height = PAPERS_PT[paper]
    margin = 15.0 / 25.4 * 72.0
    words = re.findall(r'xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)"', boxes)
    assert len(words) > 150
    for left, top, right, bottom in (tuple(map(float, each)) for each in words):
        assert left >= margin - 1.0 and right <= width - margin + 1.0
        assert top >= margin - 6.0 and bottom <= height - margin + 6.0


def test_a_folder_that_is_not_there_is_said_and_nothing_is_left(qapp: object, tmp_path: Path) -> None:
    with pytest.raises(FixableError, match="choose another place"):
        write_debrief_pdf(str(tmp_path / "nowhere" / "x.pdf"), WRONG, (), Shown())
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_is_there_is_replaced_whole(qapp: object, tmp_path: Path) -> None:
    file = tmp_path / "a4.pdf"
    file.write_bytes(b"old" * 100_000)
    assert write(tmp_path, "a4").read_bytes().startswith(b"%PDF-")
    assert [each.name for each in tmp_path.iterdir()] == ["a4.pdf"]


def test_a_file_name_is_made_of_what_file_systems_take(qapp: object) -> None:
    name = suggested_name(WRONG)
    assert name.endswith(".pdf") and "/" not in name and ":" not in name and name.startswith("Świeca żółta")


def test_the_usual_paper_is_one_that_can_be_printed() -> None:
    assert usual_paper() in PAPERS_PT


def test_a_second_probe_is_on_the_paper(qapp: object, tmp_path: Path) -> None:
    times_s = WRONG.story.curve.times_s
    beside = (Place.BATH, Curve(times_s, np.full(len(times_s), 96.0)))
    debrief = replace(WRONG, story=replace(WRONG.story, beside=beside))
    file = tmp_path / "bath.pdf"
    write_debrief_pdf(str(file), debrief, EARLIER, Shown(), "a4")
    assert "bath" in text_of(file).split() and "bath" not in text_of(write(tmp_path, "a4")).split()
