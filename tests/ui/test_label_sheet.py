"""Labels on sheets as a PDF, read back with poppler."""

from dataclasses import replace
from pathlib import Path

import pytest
from core.plan.workbench import SCENTED, TABLES, planned

from candlebench.core.errors import FixableError
from candlebench.core.label_languages import load_languages
from candlebench.core.labels import (
    LabelContent,
    LabelSize,
    Part,
    content_of,
    places_mm,
    rectangle,
    round_label,
)
from candlebench.ui.label_sheet import LabelJob, write_labels

from .pdf_reading import PAPERS_MM, fonts_are_embedded, media_boxes_mm, pages_of, text_of, words_of

LANGUAGES, _ = load_languages()
FULL = content_of(planned(SCENTED), LANGUAGES["en"], TABLES)
WARNINGS = FULL.part(Part.WARNINGS)
SIZE = rectangle(70.0, 50.0)


@pytest.mark.parametrize("sheet", PAPERS_MM)
def test_labels_run_on_over_sheets_of_the_right_size(qapp: object, tmp_path: Path, sheet: str) -> None:
    file = tmp_path / "labels.pdf"
    # 10 on an A4, 8 on a Letter (see test_labels).
    assert write_labels(str(file), LabelJob(FULL, SIZE, sheet, 12)) == 2 == pages_of(file)
    for box in media_boxes_mm(file):
        assert box == pytest.approx(PAPERS_MM[sheet], abs=0.2)
    words = words_of(file)
    assert sum(word.text == "Lavender" for word in words) == 12
    first = sum(word.text == "Lavender" and word.page == 1 for word in words)
    assert first == len(places_mm(SIZE, sheet))


@pytest.mark.parametrize("sheet", PAPERS_MM)
@pytest.mark.parametrize(
    ("content", "size"),
    [
        (FULL, SIZE),
        (FULL, round_label(60.0)),
        (WARNINGS, round_label(50.0)),
        (WARNINGS, rectangle(180.0, 30.0)),
    ],
)
def test_every_word_lies_inside_its_label(
    qapp: object, tmp_path: Path, content: LabelContent, size: LabelSize, sheet: str
) -> None:
    file = tmp_path / "labels.pdf"
    places = places_mm(size, sheet)
    write_labels(str(file), LabelJob(content, size, sheet, len(places)))
    foot = PAPERS_MM[sheet][1] - 14.0
    words = [word for word in words_of(file) if word.bottom < foot]
    assert len(words) % len(places) == 0 and len(words) > 10
    for word in words:
        assert any(
            x <= word.left
            and word.right <= x + size.width_mm
            and y <= word.top
            and word.bottom <= y + size.height_mm
            for x, y in places
        ), word


def test_all_that_a_label_must_say_can_be_read_in_the_file(qapp: object, tmp_path: Path) -> None:
    for code, language in LANGUAGES.items():
        content = content_of(planned(SCENTED), language, TABLES)
        file = tmp_path / f"{code}.pdf"
        write_labels(str(file), LabelJob(content, rectangle(90.0, 60.0), "a4", 1))
        there = [word.text for word in words_of(file)]
        texts = [content.name, content.net_mass, content.heading, *content.statements]
        for text in [*texts, *(advice.text for advice in content.warnings)]:
            assert all(word in there for word in text.split()), text


def test_fonts_are_embedded_and_the_foot_tells_the_scale(qapp: object, tmp_path: Path) -> None:
    file = tmp_path / "labels.pdf"
    write_labels(str(file), LabelJob(FULL, SIZE, "a4", 1))
    assert fonts_are_embedded(file)
    assert "50 mm" in text_of(file) and "Print at 100 %" in text_of(file)


def test_labels_are_printed_in_their_true_size(qapp: object, tmp_path: Path) -> None:
    """The names of two labels side by side are 70 + 4 mm apart, measured by poppler."""
    file = tmp_path / "labels.pdf"
    write_labels(str(file), LabelJob(FULL, SIZE, "a4", 4))
    names = [word for word in words_of(file) if word.text == "Lavender"]
    assert names[1].left - names[0].left == pytest.approx(74.0, abs=0.05)
    assert names[2].top - names[0].top == pytest.approx(54.0, abs=0.05)


@pytest.mark.parametrize(
    ("job", "said"),
    [
        (LabelJob(FULL, round_label(40.0), "a4", 1), "Too long for this size: “"),
        (LabelJob(FULL, round_label(10.0), "a4", 1), "20 to 180 mm"),
        (LabelJob(FULL, SIZE, "a4", 0), "from 1 to 500"),
        (LabelJob(replace(FULL, name="word " * 300), SIZE, "a4", 1), "Shorten"),
    ],
)
def test_a_label_that_would_lack_something_is_not_written(
    qapp: object, tmp_path: Path, job: LabelJob, said: str
) -> None:
    with pytest.raises(FixableError, match=said):
        write_labels(str(tmp_path / "labels.pdf"), job)
    assert list(tmp_path.iterdir()) == []
