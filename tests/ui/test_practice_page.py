"""The practice page: choosing a melt by keyboard, its speed, and guessing first."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QBoxLayout
from pytestqt.qtbot import QtBot

from candlebench.practice.scenario import Charge, Scenario
from candlebench.ui.practice_page import PracticePage
from candlebench.ui.practice_wish import PracticeWish
from candlebench.ui.theme import LIGHT, Theme

SCENARIOS = (
    Scenario("plain", "A small jug", Charge(300.0), teaches="To wait.", brief="300 g of wax.", order=1),
    Scenario(
        "typed", "No cable", Charge(300.0), teaches="To type.", brief="A kitchen probe.", order=2, cable=False
    ),
    Scenario("pail", "A pail", Charge(5000.0), teaches="Patience.", brief="5 kg of wax.", order=3),
)
LENGTHS_S = {"plain": 2400.0, "typed": 2400.0, "pail": 4800.0}


@pytest.fixture
def page(qtbot: QtBot) -> Iterator[PracticePage]:
    made = PracticePage(
        SCENARIOS,
        PracticeWish("plain", 20, False),
        dict(LENGTHS_S),
        lambda scenario: "Last time: oil inside." if scenario.name == "pail" else "",
        None,
    )
    qtbot.addWidget(made)
    made.use(Theme(LIGHT))
    made.resize(1280, 700)
    made.show()
    made.take_focus()
    yield made
    made.watch(False)


def test_each_melt_is_listed_in_order_with_its_length(page: PracticePage) -> None:
    rows = [page.list.item(i) for i in range(page.list.count())]
    assert [row.text() for row in rows] == ["A small jug", "No cable", "A pail"]
    assert rows[2].data(Qt.ItemDataRole.UserRole) == "about 1 h 20 min"


def test_the_chosen_melt_says_what_it_is_and_what_it_teaches(page: PracticePage) -> None:
    assert (page._title.text(), page._brief.text(), page._teaches.text()) == (
        "A small jug", "300 g of wax.", "To wait.",
    )  # fmt: skip
    assert page._length.text() == "About 40 min until the jars are poured: 2:00 at 20×."
    assert page._attempts.isHidden()


def test_arrows_choose_and_enter_begins(page: PracticePage, qtbot: QtBot) -> None:
    for _ in range(2):
        qtbot.keyClick(page.list, Qt.Key.Key_Down)
    assert page._title.text() == "A pail"
    assert page._attempts.text() == "Last time: oil inside." and not page._attempts.isHidden()
    with qtbot.waitSignal(page.begun) as asked:
        qtbot.keyClick(page.list, Qt.Key.Key_Return)
    assert asked.args == [PracticeWish("pail", 20, False)]


def test_the_last_wish_is_shown_again(qtbot: QtBot) -> None:
    made = PracticePage(SCENARIOS, PracticeWish("pail", 60, True), dict(LENGTHS_S), lambda _: "", None)
    qtbot.addWidget(made)
    assert made.wish == PracticeWish("pail", 60, True)
    assert made.guess_first.isChecked() and made._speeds.checkedId() == 60
    made.watch(False)


def test_a_wish_for_a_melt_that_is_gone_falls_back_to_the_first(qtbot: QtBot) -> None:
    made = PracticePage(SCENARIOS, PracticeWish("gone", 60, True), dict(LENGTHS_S), lambda _: "", None)
    qtbot.addWidget(made)
    assert made.wish == PracticeWish("plain", 60, True)
    made.watch(False)


def test_speed_and_guess_first_are_part_of_the_wish(page: PracticePage, qtbot: QtBot) -> None:
    page._speeds.button(60).click()
    page.guess_first.click()
    assert "0:40 at 60×" in page._length.text()
    with qtbot.waitSignal(page.begun) as asked:
        page.start.click()
    assert asked.args == [PracticeWish("plain", 60, True)]


def test_a_second_probe_in_the_bath_is_wished_for_and_kept(page: PracticePage, qtbot: QtBot) -> None:
    assert not page.bath_probe.isChecked() and page.wish.bath_probe is False
    page.bath_probe.click()
    with qtbot.waitSignal(page.begun) as asked:
        page.start.click()
    assert asked.args == [PracticeWish("plain", 20, False, True)]
    made = PracticePage(
        SCENARIOS, PracticeWish("plain", bath_probe=True), dict(LENGTHS_S), lambda _: "", None
    )
    qtbot.addWidget(made)
    made.watch(False)
    assert made.bath_probe.isChecked()


def test_a_melt_without_a_cable_has_no_second_one(page: PracticePage, qtbot: QtBot) -> None:
    page.bath_probe.click()
    qtbot.keyClick(page.list, Qt.Key.Key_Down)
    assert not page.bath_probe.isVisible() and page.wish.bath_probe is False
    qtbot.keyClick(page.list, Qt.Key.Key_Down)
    assert page.bath_probe.isVisible() and page.wish.bath_probe is True


def test_a_melt_without_a_cable_runs_no_faster_than_one_can_type(page: PracticePage, qtbot: QtBot) -> None:
    qtbot.keyClick(page.list, Qt.Key.Key_Down)
    assert not page._typed.isHidden()
    assert page.wish == PracticeWish("typed", 5, False)
    assert not page._speeds.button(20).isEnabled() and page._speeds.button(1).isEnabled()
    qtbot.keyClick(page.list, Qt.Key.Key_Down)
    assert page._typed.isHidden()
    assert page.wish == PracticeWish("pail", 20, False), "the speed she chose comes back"


def test_lengths_that_are_not_known_are_worked_out_and_kept(qtbot: QtBot) -> None:
    known: dict[str, float] = {}
    made = PracticePage(SCENARIOS[:1], PracticeWish("plain"), known, lambda _: "", None)
    qtbot.addWidget(made)
    qtbot.waitUntil(lambda: "About" in made._length.text(), timeout=20_000)
    # 300 g over the usual hob: a quarter of an hour to an hour and a half.
    assert 900.0 < known["plain"] < 5400.0
    made.watch(False)


def test_leaving_the_page_stops_the_work(qtbot: QtBot) -> None:
    made = PracticePage(SCENARIOS, PracticeWish(), {}, lambda _: "", None)
    qtbot.addWidget(made)
    thread = made._lengths._thread
    assert thread is not None
    made.watch(False)
    assert not thread.is_alive()


def test_large_text_puts_the_list_above(page: PracticePage) -> None:
    assert page._box.direction() is QBoxLayout.Direction.LeftToRight
    page.use(Theme(LIGHT, 2.0))
    assert page._box.direction() is QBoxLayout.Direction.TopToBottom
    page.use(Theme(LIGHT))
    assert page._box.direction() is QBoxLayout.Direction.LeftToRight


def test_everything_has_a_name_for_the_screen_reader(page: PracticePage) -> None:
    assert page.accessibleName() and page.list.accessibleName()
    for button in page.findChildren(QAbstractButton):
        assert button.text() or button.accessibleName()


def test_lengths_come_into_the_list_together(page: PracticePage, qtbot: QtBot) -> None:
    made = PracticePage(SCENARIOS, PracticeWish("plain"), {}, lambda _: "", None)
    qtbot.addWidget(made)
    made.watch(False)
    made._lengths_s.clear()
    for name in ("plain", "typed"):
        made._lengths_s[name] = 2400.0
        made._length_found(name, 2400.0)
        assert not any(made.list.item(i).data(Qt.ItemDataRole.UserRole) for i in range(3))
    made._lengths_s["pail"] = 4800.0
    made._length_found("pail", 4800.0)
    assert all(made.list.item(i).data(Qt.ItemDataRole.UserRole) for i in range(3))
