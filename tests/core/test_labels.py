"""What goes on a label, in which languages, and how many find room on a sheet."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from plan.workbench import SCENTED, SIX, TABLES, blend, planned

from candlebench.core.errors import FixableError
from candlebench.core.label_languages import STATEMENTS, load_languages
from candlebench.core.labels import (
    SHEETS_MM,
    TOPICS,
    USUAL,
    WANTED,
    Advice,
    LabelSize,
    Part,
    content_of,
    missing_topics,
    places_mm,
    rectangle,
    round_label,
    statements,
    warning_texts,
)

LANGUAGES, PROBLEMS = load_languages()
SIDES = st.floats(20.0, 180.0)


def test_the_topics_are_those_the_standards_are_quoted_with() -> None:
    """B58 (SGS SafeGuards 170/19 on EN 15494:2019) and B62 (trade press on ASTM F2058) agree."""
    assert WANTED == ("attend", "fire", "children")
    words = warning_texts(LANGUAGES["en"], TABLES)
    for topic, word in zip(WANTED, ("alone", "fire", "children and pets"), strict=True):
        assert word in words[topic]


def test_numbers_come_with_their_source() -> None:
    words = warning_texts(LANGUAGES["en"], TABLES)
    # B25, B40: burns of 4 h; B29: 6 mm is in use; B27: 10 mm left.
    assert "4 hours" in words["burn_time"] and "6 mm" in words["trim"] and "10 mm" in words["stop"]


@pytest.mark.parametrize("code", ["en", "de", "fr", "es"])
def test_every_language_has_every_sentence_and_no_brace_is_left(code: str) -> None:
    language = LANGUAGES[code]
    assert language.missing == ()
    words = warning_texts(language, TABLES)
    assert set(words) == set(TOPICS) and len(set(words.values())) == len(TOPICS)
    content = content_of(planned(SCENTED), language, TABLES)
    said = [content.name, content.net_mass, content.heading, *content.statements, *words.values()]
    assert all(text and "{" not in text for text in said)


@pytest.mark.parametrize("code", ["de", "fr", "es"])
def test_translations_are_marked_to_be_checked_and_name_every_sensitiser(code: str) -> None:
    language = LANGUAGES[code]
    assert language.checked_by == ""
    assert set(language.texts) >= STATEMENTS
    sensitisers = {name for name, each in TABLES.compounds.items() if each.sensitiser is not None}
    assert set(language.substances) == sensitisers
    file = Path(__file__).resolve().parents[2] / "resources" / "labels" / f"{code}.toml"
    assert "NATIVE SPEAKER BEFORE SELLING" in file.read_text(encoding="utf-8")


def test_english_statements_are_the_plan_s_own() -> None:
    plan = planned(SCENTED)
    assert plan.oil is not None and plan.oil.label_texts
    assert statements(plan, LANGUAGES["en"], TABLES) == plan.oil.label_texts
    assert statements(planned(SIX), LANGUAGES["en"], TABLES) == ()


def test_german_statements_name_the_same_substances() -> None:
    # O76: 6 % of lavender with 35 % of linalool leads to H317.
    assert statements(planned(SCENTED), LANGUAGES["de"], TABLES) == (
        "Achtung",
        "Enthält Linalylacetat, Linalool.",
        "Kann allergische Hautreaktionen verursachen.",
    )


def test_a_small_share_leads_to_the_lesser_statement_in_every_language() -> None:
    plan = planned(SIX, oils=blend("lavender"), load_pct=1.0)
    assert plan.oil is not None and len(plan.oil.label_texts) == 1
    for code in ("de", "fr", "es"):
        (text,) = statements(plan, LANGUAGES[code], TABLES)
        assert text == LANGUAGES[code].texts["euh208"].format(
            substances=", ".join(
                LANGUAGES[code].substances[finding.compound.name]
                for finding in plan.oil.findings
                if finding.statement
            )
        )


def test_the_net_mass_is_never_more_than_is_in_the_jar() -> None:
    plan = planned(SIX)
    grams = int(content_of(plan, LANGUAGES["en"], TABLES).net_mass.split()[2])
    assert plan.wax.each_g.value - 1.0 < grams <= plan.wax.each_g.value


def test_a_plan_proposes_the_wanted_topics_and_says_what_is_taken_off() -> None:
    content = content_of(planned(SCENTED), LANGUAGES["en"], TABLES)
    assert [advice.topic for advice in content.warnings] == list(USUAL)
    assert missing_topics(content) == ()
    fewer = replace(content, warnings=(*content.warnings[1:], Advice("attend", "  ")))
    assert missing_topics(fewer) == ("attend",)


def test_a_part_of_a_label_leaves_the_rest_out() -> None:
    content = content_of(planned(SCENTED), LANGUAGES["en"], TABLES)
    name, warnings = content.part(Part.NAME), content.part(Part.WARNINGS)
    assert name.statements and name.net_mass and not name.warnings and not name.heading
    assert warnings.warnings and warnings.heading and not warnings.name and not warnings.statements
    assert content.part(Part.ALL) == content


# --- languages of one's own --------------------------------------------------------------------------------


def test_a_file_of_one_s_own_is_another_language(tmp_path: Path) -> None:
    (tmp_path / "nl.toml").write_text('language = "Nederlands"\ntrim = "Knip tot {trim_mm} mm."', "utf-8")
    languages, problems = load_languages(tmp_path)
    assert problems == ()
    words = warning_texts(languages["nl"], TABLES)
    assert languages["nl"].name == "Nederlands" and words["trim"] == "Knip tot 6 mm."
    assert words["fire"] == warning_texts(LANGUAGES["en"], TABLES)["fire"]
    assert "fire" in languages["nl"].missing and "trim" not in languages["nl"].missing


def test_a_file_of_one_s_own_goes_before_the_program_s(tmp_path: Path) -> None:
    (tmp_path / "de.toml").write_text('language = "Deutsch"\nheading = "Vorsicht"', encoding="utf-8")
    assert load_languages(tmp_path)[0]["de"].texts["heading"] == "Vorsicht"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('trim = "Knip tot {mm} mm."', "{trim_mm}"),
        ('trim = "Knip tot {trim_mm mm."', "{trim_mm}"),
        ('fire = "Weg van {vuur}"', "only"),
        ('h317 = "{name}"', "{substances}"),
        ("trim = 6", "trim"),
        ("not toml", "cannot be read"),
        ("[substances]\nlimonene = 5", "substance"),
        ('substances = "limonene"', "substance"),
    ],
)
def test_a_file_that_cannot_be_used_is_said_and_the_others_stay(tmp_path: Path, text: str, said: str) -> None:
    (tmp_path / "nl.toml").write_text(text, encoding="utf-8")
    languages, problems = load_languages(tmp_path)
    assert set(languages) == {"en", "de", "fr", "es"}
    assert len(problems) == 1 and problems[0].startswith("nl.toml") and said in problems[0]


def test_a_folder_that_is_not_there_is_no_problem(tmp_path: Path) -> None:
    assert load_languages(tmp_path / "none")[1] == () == PROBLEMS


# --- room on a sheet ---------------------------------------------------------------------------------------


@given(SIDES, SIDES, st.sampled_from(["a4", "letter"]))
def test_labels_on_a_sheet_stay_apart_and_off_its_edges(width: float, height: float, sheet: str) -> None:
    places = places_mm(rectangle(width, height), sheet)
    wide, high = SHEETS_MM[sheet]
    for x, y in places:
        assert x >= 10.0 - 1e-6 and x + width <= wide - 10.0 + 1e-6
        assert y >= 10.0 - 1e-6 and y + height <= high - 14.0 + 1e-6
    for one, (x, y) in enumerate(places):
        for other_x, other_y in places[one + 1 :]:
            # Room for cut marks of 1.7 mm on either side.
            assert abs(x - other_x) >= width + 3.9 or abs(y - other_y) >= height + 3.9


@pytest.mark.parametrize(
    ("size", "sheet", "count"),
    [
        # By hand: 190 x 273 mm of an A4 (ISO 216: 210 x 297), 195.9 x 255.4 of a Letter (8.5 x 11 in),
        # 4 mm apart.
        (round_label(40.0), "a4", 4 * 6),
        (round_label(60.0), "a4", 3 * 4),
        (rectangle(70.0, 50.0), "a4", 2 * 5),
        (rectangle(70.0, 50.0), "letter", 2 * 4),
        (rectangle(180.0, 180.0), "a4", 1),
    ],
)
def test_as_many_labels_as_a_sheet_has_room_for(size: LabelSize, sheet: str, count: int) -> None:
    assert len(places_mm(size, sheet)) == count


@pytest.mark.parametrize("size", [round_label(19.0), rectangle(181.0, 50.0), rectangle(50.0, float("nan"))])
def test_a_label_that_cannot_be_made_is_refused(size: LabelSize) -> None:
    with pytest.raises(FixableError, match="20 to 180 mm"):
        places_mm(size, "a4")
