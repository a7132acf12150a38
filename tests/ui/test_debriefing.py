"""What the debrief of a practice melt leads on to."""

from PySide6.QtWidgets import QPushButton

from candlebench.ui.main_window import MainWindow
from candlebench.ui.practice_wish import PracticeWish


def buttons(window: MainWindow) -> dict[str, QPushButton]:
    page = window.pages.currentWidget()
    return {button.text(): button for button in page.findChildren(QPushButton)}


def test_the_same_melt_can_be_practised_again(window: MainWindow) -> None:
    window.doorway.practise_as(PracticeWish("first-jug", 60))
    before = window.workshop.runner
    window.show_page("debrief")
    buttons(window)["Practise again"].click()
    source = window.practice.source
    assert window.present_page == "melt" and window.workshop.runner is not before
    assert source is not None and source.scenario.name == "first-jug"


def test_the_next_melt_is_chosen_and_waits_for_her(window: MainWindow) -> None:
    names = [scenario.name for scenario in window.practice.scenarios()]
    window.doorway.practise_as(PracticeWish(names[0]))
    running = window.workshop.runner
    window.show_page("debrief")
    buttons(window)["Next scenario"].click()
    assert window.present_page == "practice" and window.workshop.runner is running
    assert window.pages.currentWidget().wish.scenario == names[1]  # type: ignore[attr-defined]
    focused = window.focusWidget()
    assert isinstance(focused, QPushButton) and focused.text().startswith("Begin")


def test_after_the_last_melt_there_is_no_next_one(window: MainWindow) -> None:
    last = window.practice.scenarios()[-1].name
    window.doorway.practise_as(PracticeWish(last))
    window.show_page("debrief")
    assert "Practise again" in buttons(window) and "Next scenario" not in buttons(window)


def test_a_real_melt_offers_no_practice(typed_melt: MainWindow) -> None:
    typed_melt.show_page("debrief")
    assert not {"Practise again", "Next scenario"} & set(buttons(typed_melt))
