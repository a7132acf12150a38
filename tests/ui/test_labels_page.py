"""The page of the labels: what is typed is what is printed, and what cannot be printed is said."""

from pathlib import Path

import pytest
from core.plan.workbench import SCENTED, SIX, TABLES, blend, planned
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QLabel
from pytestqt.qtbot import QtBot

from candlebench.core.label_languages import load_languages
from candlebench.core.labels import Part, Shape, rectangle, round_label
from candlebench.core.plan.planning import Plan
from candlebench.ui.label_notes import net_mass_words
from candlebench.ui.label_sheet import LabelJob, write_labels
from candlebench.ui.labels_page import LabelsPage
from candlebench.ui.theme import DARK, LIGHT, Theme

LANGUAGES, _ = load_languages()


def make(
    qtbot: QtBot, plan: Plan | None, problems: tuple[str, ...] = (), folder: Path = Path("labels")
) -> tuple[LabelsPage, list[LabelJob]]:
    saved: list[LabelJob] = []
    page = LabelsPage(plan, TABLES, LANGUAGES, problems, folder, "a4", lambda: None, saved.append)
    qtbot.addWidget(page)
    page.resize(1280, 752)
    page.show()
    return page, saved


def choose(box: QComboBox, data: object) -> None:
    place = next(n for n in range(box.count()) if box.itemData(n) == data)
    box.setCurrentIndex(place)


def test_a_plan_s_labels_are_saved_as_they_are_proposed(qtbot: QtBot, tmp_path: Path) -> None:
    page, saved = make(qtbot, planned(SCENTED))
    qtbot.mouseClick(page.save, Qt.MouseButton.LeftButton)
    (job,) = saved
    assert (job.size, job.sheet, job.count) == (rectangle(70.0, 50.0), "a4", 6)
    assert job.content.name == "Lavender" and job.content.net_mass == "Net mass 296 g"
    assert [advice.topic for advice in job.content.warnings][:3] == ["attend", "fire", "children"]
    assert "May cause an allergic skin reaction." in job.content.statements[0]
    assert write_labels(str(tmp_path / "labels.pdf"), job) == 1


def test_every_text_can_be_written_anew(qtbot: QtBot) -> None:
    page, _ = make(qtbot, planned(SCENTED))
    fields = {**page.form.texts, **page.form.topics.texts, "heading": page.form.topics.heading}
    for key, field in fields.items():
        field.setText(f"own {key}")
    for check in page.form.topics.checks.values():
        check.setChecked(True)
    content = page.form.content()
    assert (content.name, content.net_mass, content.heading) == ("own name", "own net_mass", "own heading")
    assert all(advice.text == f"own {advice.topic}" for advice in content.warnings)
    assert len(content.warnings) == 13
    assert content.statements == ("own statements",)
    assert content.lines == ("own maker", "Batch own batch", "Made own date")


def test_another_language_keeps_what_she_wrote_herself(qtbot: QtBot) -> None:
    page, _ = make(qtbot, planned(SCENTED))
    page.form.topics.texts["trim"].setText("Snip it short.")
    page.form.texts["name"].setText("Summer evening")
    choose(page.form._language, "de")
    content = page.form.content()
    words = {advice.topic: advice.text for advice in content.warnings}
    assert words["trim"] == "Snip it short." and content.name == "Summer evening"
    assert words["attend"] == LANGUAGES["de"].texts["attend"]
    assert content.statements[0].startswith("Achtung: Enthält")
    choose(page.form._language, "en")
    assert page.form.topics.texts["attend"].text() == LANGUAGES["en"].texts["attend"]


def test_an_unchecked_translation_is_to_be_read_before_selling(qtbot: QtBot) -> None:
    page, _ = make(qtbot, planned(SIX))
    assert not page.form._language_note.isVisible()
    choose(page.form._language, "fr")
    assert page.form._language_note.isVisible()
    assert "native speaker" in page.form._language_note.text()


def test_a_text_too_long_is_named_and_cannot_be_saved(qtbot: QtBot) -> None:
    page, saved = make(qtbot, planned(SCENTED))
    choose(page.form.sizes, round_label(40.0))
    assert page.problem.isVisible() and "Too long for this size" in page.problem.text()
    assert not page.save.isEnabled() and page.job() is None
    choose(page.form._part, Part.NAME.value)
    assert not page.problem.isVisible() and page.save.isEnabled()
    qtbot.mouseClick(page.save, Qt.MouseButton.LeftButton)
    assert saved[0].content.warnings == ()


def test_an_own_size_is_written_in_millimetres(qtbot: QtBot) -> None:
    page, _ = make(qtbot, planned(SCENTED))
    assert not page.form.width_mm.isVisible()
    choose(page.form.sizes, Shape.RECTANGLE)
    page.form.width_mm.setText("82,5")
    page.form.height_mm.setText("61")
    job = page.job()
    assert job is not None and job.size == rectangle(82.5, 61.0)
    choose(page.form.sizes, Shape.ROUND)
    assert page.form.width_mm.isVisible() and not page.form.height_mm.isVisible()
    job = page.job()
    assert job is not None and job.size == round_label(82.5)


@pytest.mark.parametrize("text", ["", "abc", "5", "181", "-3"])
def test_an_impossible_size_is_said_and_nothing_is_saved(qtbot: QtBot, text: str) -> None:
    page, _ = make(qtbot, planned(SCENTED))
    choose(page.form.sizes, Shape.ROUND)
    page.form.width_mm.setText(text)
    assert page.problem.isVisible() and page.problem.text().startswith("Width")
    assert not page.save.isEnabled() and page.job() is None


@pytest.mark.parametrize("text", ["", "0", "501", "2.5", "six"])
def test_an_impossible_count_is_said(qtbot: QtBot, text: str) -> None:
    page, _ = make(qtbot, planned(SCENTED))
    page.form._count.setText(text)
    assert page.problem.isVisible() and page.problem.text().startswith("How many")
    assert page.job() is None


def test_the_page_says_how_many_sheets_it_takes(qtbot: QtBot) -> None:
    page, _ = make(qtbot, planned(SCENTED))
    page.form._count.setText("21")
    assert page.caption.text() == "10 on a sheet; 21 labels on 3 sheets."


def test_a_wanted_warning_taken_off_is_said_but_hers_to_decide(qtbot: QtBot) -> None:
    page, _ = make(qtbot, planned(SCENTED))
    assert not page.mind.isVisible()
    page.form.topics.checks["fire"].setChecked(False)
    assert page.mind.isVisible() and "EN 15494" in page.mind.text() and page.save.isEnabled()
    choose(page.form._part, Part.NAME.value)
    assert not page.mind.isVisible()


def test_a_hazard_statement_needs_more_than_words(qtbot: QtBot) -> None:
    page, _ = make(qtbot, planned(SCENTED))
    assert page.form._skin_note.isVisibleTo(page) and "pictogram" in page.form._skin_note.text()
    # EUH208 needs none (O59, O60).
    for mild in (planned(SIX), planned(SIX, oils=blend("lavender"), load_pct=1.0)):
        page, _ = make(qtbot, mild)
        assert not page.form._skin_note.isVisibleTo(page)


def test_the_page_defers_to_the_standards_and_to_local_rules(qtbot: QtBot) -> None:
    page, _ = make(qtbot, planned(SIX), folder=Path("somewhere/labels"))
    said = " ".join(label.text() for label in page.findChildren(QLabel))
    assert "take them from the standard itself" in said
    assert "check those of every place where you sell" in said
    assert "somewhere/labels" in said


def test_a_language_file_that_cannot_be_used_is_said(qtbot: QtBot) -> None:
    page, _ = make(qtbot, planned(SIX), problems=("nl.toml cannot be read: broken",))
    assert page.form._language_problem.isVisible() and "nl.toml" in page.form._language_problem.text()


def test_without_a_plan_it_begins_empty(qtbot: QtBot) -> None:
    page, _ = make(qtbot, None)
    content = page.form.content()
    assert (content.name, content.net_mass, content.statements) == ("", "", ())
    assert len(content.warnings) == 6
    for check in page.form.topics.checks.values():
        check.setChecked(False)
    assert "Nothing stands on the label" in page.problem.text() and page.job() is None


def test_all_of_it_can_be_reached_with_the_keyboard_in_order(qtbot: QtBot) -> None:
    page, _ = make(qtbot, planned(SCENTED))
    page.take_focus()
    wanted = [page.form.sizes, page.form._part, page.form._sheet, page.form._count, page.form._language]
    wanted += [page.form.texts[key] for key in ("name", "net_mass", "statements", "maker", "batch", "date")]
    wanted += [page.form.topics.heading, page.form.topics.pictures]
    for widget in wanted:
        assert page.focusWidget() is widget
        qtbot.keyClick(page.focusWidget(), Qt.Key.Key_Tab)


@pytest.mark.parametrize("size", [(1280, 752), (900, 572)])
@pytest.mark.parametrize("scale", [0.8, 1.0, 2.0])
def test_nothing_of_the_preview_is_cut(qtbot: QtBot, size: tuple[int, int], scale: float) -> None:
    page, _ = make(qtbot, planned(SCENTED))
    page.use(Theme(DARK if scale > 1 else LIGHT, scale))
    page.resize(*size)
    qtbot.wait(10)
    for part in (page.preview, page.save, page.caption):
        corner = part.mapTo(page, part.rect().bottomRight())
        assert page.rect().contains(corner)
        assert part.height() >= part.minimumSizeHint().height()
    scaled = page.preview.px_per_mm()
    assert scaled * 70.0 <= page.preview.width() and scaled * 50.0 <= page.preview.height() and scaled > 1.0


def test_who_makes_them_is_offered_again_and_kept_once_when_it_is_changed(qtbot: QtBot) -> None:
    kept: list[str] = []
    page = LabelsPage(
        planned(SCENTED),
        TABLES,
        LANGUAGES,
        (),
        Path("labels"),
        "a4",
        lambda: None,
        lambda job: None,
        "Hive Lane 3",
        kept.append,
    )
    qtbot.addWidget(page)
    page.show()
    maker = page.form.texts["maker"]
    assert maker.text() == "Hive Lane 3" and page.form.content().lines == ("Hive Lane 3",)
    qtbot.mouseClick(page.save, Qt.MouseButton.LeftButton)
    assert kept == []
    maker.setFocus()
    maker.setText("Hive Lane 4 ")
    qtbot.keyClick(maker, Qt.Key.Key_Return)
    qtbot.mouseClick(page.save, Qt.MouseButton.LeftButton)
    assert kept == ["Hive Lane 4"]


def test_what_the_law_wants_besides_stands_beside_the_button_that_saves(qtbot: QtBot) -> None:
    page, _ = make(qtbot, planned(SCENTED))
    assert page.hazard.isVisible() and "1272/2008" in page.hazard.text()
    below = page.hazard.mapTo(page, page.hazard.rect().bottomLeft()).y()
    button = page.save.mapTo(page, page.save.rect().topLeft())
    assert below <= button.y() and page.hazard.mapTo(page, page.hazard.rect().topLeft()).x() == button.x()
    page.form.texts["statements"].clear()
    assert not page.hazard.isVisible()
    plain, _ = make(qtbot, planned(SIX))
    assert not plain.hazard.isVisible()


def test_a_gram_less_on_the_label_than_in_the_plan_is_explained(qtbot: QtBot) -> None:
    plan = planned(SCENTED)
    each_g = plan.wax.each_g.value
    assert round(each_g) == int(each_g) + 1, "the scenario rounds up"
    page, _ = make(qtbot, plan)
    said = " ".join(label.text() for label in page.form.findChildren(QLabel) if label.isVisible())
    assert f"{each_g:.1f} g and shows {each_g:.0f} g; the label says {int(each_g)} g" in said
    down = planned(SCENTED, fill_mm=next(mm / 2 for mm in range(160, 200) if rounds_down(mm / 2)))
    assert net_mass_words(down) == "" and net_mass_words(None) == ""


def rounds_down(fill_mm: float) -> bool:
    each_g = planned(SCENTED, fill_mm=fill_mm).wax.each_g.value
    return round(each_g) == int(each_g)


@pytest.mark.parametrize(("size", "whole"), [((1280, 752), True), ((900, 572), False)])
def test_large_letters_leave_room_for_the_fields_below_the_label(
    qtbot: QtBot, size: tuple[int, int], whole: bool
) -> None:
    page, _ = make(qtbot, planned(SCENTED))
    page.use(Theme(LIGHT, 2.0))
    page.resize(*size)
    qtbot.wait(1)
    assert ("1272/2008" in page.hazard.text()) is whole
    # What is cut short is told in full where the pointer rests, and to a screen reader.
    assert "1272/2008" in page.hazard.toolTip() and "1272/2008" in page.hazard.accessibleName()
