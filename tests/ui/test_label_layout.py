"""Where words and pictures of a label stand."""

import math
from dataclasses import replace

import pytest
from core.plan.workbench import SCENTED, TABLES, planned
from hypothesis import given, settings
from hypothesis import strategies as st
from PySide6.QtGui import QFontMetricsF

from candlebench.core.label_languages import load_languages
from candlebench.core.labels import (
    SIZES,
    Advice,
    LabelContent,
    LabelSize,
    Part,
    Shape,
    content_of,
    rectangle,
    round_label,
)
from candlebench.ui.debrief_paper import PAPER
from candlebench.ui.label_drawing import letter_widths
from candlebench.ui.label_layout import LaidOut, lay_out
from candlebench.ui.paper_font import paper_font

LANGUAGES, _ = load_languages()
FULL = replace(
    content_of(planned(SCENTED), LANGUAGES["en"], TABLES),
    lines=("Hollow Lane Candles, 12 Hollow Lane, Millbrook", "Batch 2411-3", "Made 24 Nov 2026"),
)
WORDS = st.text("abcdefgh jkäß.é", min_size=0, max_size=60)


def boxes(laid: LaidOut) -> list[tuple[float, float, float, float]]:
    """Left, top, right, bottom of every line and picture; lines from their ascenders to their descenders."""
    widths = letter_widths()
    found = [
        (
            each.x_mm,
            each.y_mm - 0.75 * each.letter_mm,
            each.x_mm + widths.of(each.text, each.bold) * each.letter_mm,
            each.y_mm + 0.2 * each.letter_mm,
        )
        for each in laid.words
    ]
    return found + [
        (each.x_mm, each.y_mm, each.x_mm + each.side_mm, each.y_mm + each.side_mm) for each in laid.pictures
    ]


def stays_inside(laid: LaidOut, size: LabelSize) -> None:
    """At least 2 mm from the cut, for a cut is seldom true."""
    for left, top, right, bottom in boxes(laid):
        if size.shape is Shape.ROUND:
            radius = 0.5 * size.width_mm
            for x, y in ((left, top), (right, top), (left, bottom), (right, bottom)):
                assert math.hypot(x - radius, y - radius) <= radius - 2.0
        else:
            assert left >= 2.0 and right <= size.width_mm - 2.0
            assert top >= 2.0 and bottom <= size.height_mm - 2.0


def stands_apart(laid: LaidOut) -> None:
    found = boxes(laid)
    for one, (left, top, right, bottom) in enumerate(found):
        for other_left, other_top, other_right, other_bottom in found[one + 1 :]:
            wide = min(right, other_right) - max(left, other_left)
            deep = min(bottom, other_bottom) - max(top, other_top)
            assert wide <= 0.01 or deep <= 0.01


def said(laid: LaidOut) -> list[str]:
    return " ".join(each.text for each in laid.words).replace("\N{NO-BREAK SPACE}", " ").split()


@pytest.mark.parametrize("part", list(Part))
@pytest.mark.parametrize("size", [*SIZES, rectangle(105.0, 74.0), rectangle(30.0, 120.0), round_label(100.0)])
@pytest.mark.parametrize("code", ["en", "de", "fr", "es"])
def test_words_and_pictures_stay_inside_and_apart(
    qapp: object, size: LabelSize, part: Part, code: str
) -> None:
    content = replace(content_of(planned(SCENTED), LANGUAGES[code], TABLES), lines=FULL.lines).part(part)
    laid = lay_out(content, size, letter_widths())
    stays_inside(laid, size)
    stands_apart(laid)


@given(
    st.builds(
        LabelContent,
        WORDS,
        WORDS,
        WORDS,
        st.lists(st.builds(Advice, st.sampled_from(["fire", "trim", "pool"]), WORDS), max_size=5).map(tuple),
        st.lists(WORDS, max_size=2).map(tuple),
        st.lists(WORDS, max_size=2).map(tuple),
        st.booleans(),
    ),
    st.sampled_from([round_label, lambda side: rectangle(side, 40.0)]),
    st.floats(20.0, 120.0),
)
@settings(max_examples=60, deadline=None)
def test_whatever_is_written_is_there_or_said_to_be_too_long(qapp, content, shaped, side) -> None:  # type: ignore[no-untyped-def]
    size = shaped(side)
    laid = lay_out(content, size, letter_widths())
    stays_inside(laid, size)
    stands_apart(laid)
    texts = [content.name, content.net_mass, *content.statements, *content.lines]
    texts += [advice.text for advice in content.warnings]
    if any(advice.text.strip() for advice in content.warnings):
        texts.append(content.heading)
    there = said(laid)
    for text in texts:
        if text.strip() and text.strip() not in [each.strip() for each in laid.too_long]:
            assert all(word in there for word in text.split())


def test_letters_are_as_large_as_fits_and_never_smaller_than_can_be_read(qapp: object) -> None:
    sizes = [rectangle(70.0, 50.0), rectangle(90.0, 60.0), rectangle(140.0, 100.0)]
    letters = [lay_out(FULL, size, letter_widths()).letter_mm for size in sizes]
    assert letters == sorted(letters) and letters[0] < letters[1] < letters[2]
    # 1.2 mm from the foot to the top of an x: Reg. (EU) 1169/2011 Annex IV, from memory. Measured by Qt.
    px = QFontMetricsF(paper_font(PAPER, 1000.0)).xHeight()
    least = lay_out(FULL, round_label(40.0), letter_widths())
    assert least.too_long
    assert least.letter_mm * px / 1000.0 == pytest.approx(1.2, abs=0.01)


def test_a_text_too_long_is_named_and_those_before_it_are_not(qapp: object) -> None:
    long = LabelContent(name="Lavender", statements=(("word " * 200).strip(),))
    laid = lay_out(long, rectangle(60.0, 40.0), letter_widths())
    assert laid.too_long == long.statements
    assert lay_out(replace(long, statements=()), rectangle(60.0, 40.0), letter_widths()).too_long == ()


def test_a_word_wider_than_the_label_is_named(qapp: object) -> None:
    for size in (rectangle(40.0, 60.0), round_label(40.0)):
        laid = lay_out(LabelContent(name="Lavenderandorangeandclove" * 2), size, letter_widths())
        assert len(laid.too_long) == 1


@pytest.mark.parametrize("size", SIZES)
def test_the_three_wanted_warnings_fit_every_size_on_offer(qapp: object, size: LabelSize) -> None:
    for language in LANGUAGES.values():
        content = content_of(planned(SCENTED), language, TABLES)
        warnings = replace(content, warnings=content.warnings[:3]).part(Part.WARNINGS)
        laid = lay_out(warnings, size, letter_widths())
        assert laid.too_long == (), language.code
        assert [each.topic for each in laid.pictures if each.topic != "warning"] == [
            "attend",
            "fire",
            "children",
        ]


def test_the_triangle_stays_when_the_pictures_go(qapp: object) -> None:
    """B61: triangle and signal word stand with the text-only form as well."""
    for size in (rectangle(90.0, 60.0), round_label(60.0)):
        laid = lay_out(replace(FULL, pictures=False).part(Part.WARNINGS), size, letter_widths())
        assert [each.topic for each in laid.pictures] == ["warning"]


def test_what_stands_on_a_round_label_is_balanced(qapp: object) -> None:
    laid = lay_out(FULL, round_label(60.0), letter_widths())
    found = boxes(laid)
    above, below = min(top for _, top, _, _ in found), 60.0 - max(bottom for _, _, _, bottom in found)
    assert abs(above - below) < 3.0


def test_a_number_stays_with_its_unit(qapp: object) -> None:
    for width in range(40, 100, 3):
        laid = lay_out(FULL, rectangle(float(width), 120.0), letter_widths())
        assert not any(each.text.endswith(" 6") for each in laid.words)
