"""The batch sheet as a PDF, read back with poppler."""

from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest
from core.plan.workbench import SCENTED, SIX, TABLES, blend, planned

from candlebench.core.batch_steps import (
    batch_steps,
    big_amounts,
    clean_up_steps,
    sheet_cautions,
    standing_cautions,
)
from candlebench.core.errors import FixableError
from candlebench.core.materials.oil import find_oil
from candlebench.core.plan.planning import Plan, make_plan
from candlebench.core.plan.request import Leftover, PlanRequest
from candlebench.core.units import Shown
from candlebench.ui.batch_sheet import write_batch_sheet

from .pdf_reading import PAPERS_MM, fonts_are_embedded, media_boxes_mm, pages_of, text_of, words_of

TIN = Leftover("Orange and clove of last spring, tin 3", (("beeswax", 200.0), ("soy-container", 50.0)), ())
PLANS: dict[str, PlanRequest] = {
    "plain": replace(SIX, count=1),
    "lavender": SCENTED,
    "no window": replace(SIX, oils=blend("orange"), load_pct=6.0, bottom_mm=60.0),
    "every oil": replace(
        SIX, count=24, oils=blend(*(name for name in TABLES.oils if name != "palmarosa")), load_pct=5.0
    ),
    "leftovers": replace(SCENTED, lot="Meadow 7", leftovers=(TIN,), altitude_m=2200.0, jar_c=5.0),
}


def write(tmp_path: Path, request: PlanRequest, paper: str = "a4", shown: Shown | None = None) -> Path:
    shown = shown or Shown()
    file = tmp_path / "sheet.pdf"
    write_batch_sheet(str(file), make_plan(request, TABLES, shown), shown, paper)
    return file


def said_on(plan: Plan, shown: Shown) -> list[str]:
    """Every text of the sheet that must not be cut."""
    steps = [*batch_steps(plan, shown), *clean_up_steps(plan)]
    cautions = sheet_cautions(plan)
    return [
        *(part for each in big_amounts(plan) for part in (each.name, each.amount, each.note)),
        *(part for step in steps for part in (step.text, step.why)),
        *(part for caution in cautions for part in (caution.text, caution.why)),
        *standing_cautions(),
    ]


@pytest.mark.parametrize("paper", PAPERS_MM)
def test_each_page_has_the_size_of_its_paper(qapp: object, tmp_path: Path, paper: str) -> None:
    boxes = media_boxes_mm(write(tmp_path, PLANS["every oil"], paper))
    assert len(boxes) == 2
    for box in boxes:
        # Whole points.
        assert box == pytest.approx(PAPERS_MM[paper], abs=0.2)


@pytest.mark.parametrize("paper", PAPERS_MM)
@pytest.mark.parametrize("name", PLANS)
def test_nothing_is_cut_and_it_is_one_page_or_two(
    qapp: object, tmp_path: Path, name: str, paper: str
) -> None:
    """Every word of every step, caution and amount is there as often as it is said, inside the margins."""
    shown = Shown("F" if paper == "letter" else "C")
    file = write(tmp_path, PLANS[name], paper, shown)
    assert pages_of(file) <= 2
    words = words_of(file)
    texts = said_on(make_plan(PLANS[name], TABLES, shown), shown)
    said = Counter(word for text in texts for word in text.split())
    assert said - Counter(word.text for word in words) == Counter()
    wide, high = PAPERS_MM[paper]
    for word in words:
        assert word.left >= 14.5 and word.right <= wide - 14.5, word
        assert word.top >= 13.0 and word.bottom <= high - 13.0, word


@pytest.mark.parametrize("name", ["plain", "lavender", "no window"])
@pytest.mark.parametrize("paper", PAPERS_MM)
def test_a_usual_batch_is_one_page(qapp: object, tmp_path: Path, name: str, paper: str) -> None:
    assert pages_of(write(tmp_path, PLANS[name], paper)) == 1


@pytest.mark.parametrize("name", PLANS)
def test_no_two_lines_of_words_overlap(qapp: object, tmp_path: Path, name: str) -> None:
    words = words_of(write(tmp_path, PLANS[name]))
    for one, word in enumerate(words):
        for other in words[one + 1 :]:
            if other.page == word.page:
                # Boxes hold ascent and descent, which Lato's lines share by a little.
                deep = min(word.bottom, other.bottom) - max(word.top, other.top)
                wide = min(word.right, other.right) - max(word.left, other.left)
                assert deep < 1.0 or wide < 0.3, (word, other)


def test_fonts_are_embedded_with_their_letters(qapp: object, tmp_path: Path) -> None:
    assert fonts_are_embedded(write(tmp_path, SCENTED))


def test_the_windows_stand_on_the_scale_and_in_the_steps(qapp: object, tmp_path: Path) -> None:
    said = text_of(write(tmp_path, SCENTED))
    assert said.count("70–75 °C") == 2 and said.count("68–71 °C") == 2
    assert "stop heating" in said and "95 °C" in said


def test_no_degrees_celsius_are_left_in_fahrenheit(qapp: object, tmp_path: Path) -> None:
    said = text_of(write(tmp_path, PLANS["leftovers"], shown=Shown("F")))
    assert "°C" not in said and "158–167 °F" in said


def test_oil_in_every_leftover_is_counted_on_paper(qapp: object, tmp_path: Path) -> None:
    tin = replace(TIN, oils=((find_oil("clove"), 10.0),))
    said = text_of(write(tmp_path, replace(SCENTED, leftovers=(tin,))))
    assert "The leftovers smell of clove bud" in said and "Clove bud, with the date" in said


def test_her_own_title_stands_on_top(qapp: object, tmp_path: Path) -> None:
    file = tmp_path / "sheet.pdf"
    write_batch_sheet(str(file), planned(SCENTED), Shown(), title="Świeca for the fair")
    assert text_of(file).lstrip().startswith("Świeca for the fair")


def test_a_folder_that_is_not_there_is_said(qapp: object, tmp_path: Path) -> None:
    with pytest.raises(FixableError, match="choose another place"):
        write_batch_sheet(str(tmp_path / "nowhere" / "x.pdf"), planned(SIX), Shown())
    assert list(tmp_path.iterdir()) == []


def test_the_wax_for_topping_up_is_among_the_amounts_to_set_out(qapp: object, tmp_path: Path) -> None:
    plan = make_plan(PLANS["lavender"], TABLES)
    assert plan.wax.top_up_g is not None
    said = text_of(write(tmp_path, PLANS["lavender"]))
    head = said[: said.index("Steps")]
    assert "Top-up" in head and plan.wax.top_up_g.shown in head
