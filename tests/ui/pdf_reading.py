"""PDFs read back with poppler's tools; a test is skipped where they are not installed."""

import re
import shutil
import subprocess
from dataclasses import dataclass
from html import unescape
from pathlib import Path

import pytest

POINTS_PER_MM = 72.0 / 25.4
# ISO 216 A4 is 210 x 297 mm, ANSI/ASME Y14.1 Letter 8.5 x 11 in.
PAPERS_MM = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}


@dataclass(frozen=True, slots=True)
class Word:
    """A word and its box in mm from the page's upper left corner."""

    page: int
    text: str
    left: float
    top: float
    right: float
    bottom: float


def text_of(file: Path) -> str:
    """All words, in the order of the page, white space as it comes."""
    return _run("pdftotext", "-layout", str(file), "-")


def pages_of(file: Path) -> int:
    found = re.search(r"^Pages:\s+(\d+)$", _run("pdfinfo", str(file)), re.MULTILINE)
    assert found is not None
    return int(found[1])


def media_boxes_mm(file: Path) -> list[tuple[float, float]]:
    """Width and height of each page, from the file itself."""
    boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", file.read_bytes())
    return [(float(wide) / POINTS_PER_MM, float(high) / POINTS_PER_MM) for wide, high in boxes]


def words_of(file: Path) -> list[Word]:
    """Every word with its box."""
    lines = _run("pdftotext", "-bbox", str(file), "-").splitlines()
    words, page = [], 0
    pattern = re.compile(
        r'<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*)</word>'
    )
    for line in lines:
        page += "<page " in line
        if found := pattern.search(line):
            left, top, right, bottom = (float(each) / POINTS_PER_MM for each in found.groups()[:4])
            words.append(Word(page, unescape(found[5]), left, top, right, bottom))
    return words


def fonts_are_embedded(file: Path) -> bool:
    """Whether every font is in the file, with a way back to letters (`pdffonts`: emb and uni)."""
    rows = _run("pdffonts", str(file)).splitlines()[2:]
    return bool(rows) and all(re.search(r"\s+yes\s+(yes|no)\s+yes\s+\d+\s+\d+$", row) for row in rows)


def _run(name: str, *arguments: str) -> str:
    found = shutil.which(name)
    if found is None:
        pytest.skip(f"{name} (poppler-utils) is not installed")
    return subprocess.run([found, *arguments], capture_output=True, text=True, check=True, timeout=30).stdout
