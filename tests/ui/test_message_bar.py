"""The sentences under the bar."""

import pytest
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from candlebench.ui.message_bar import MOST, MessageBar


@pytest.fixture
def bar(qtbot: QtBot) -> MessageBar:
    bar = MessageBar()
    qtbot.addWidget(bar)
    return bar


def test_it_hides_with_nothing_to_say(bar: MessageBar) -> None:
    assert bar.isHidden() and bar.text == ""


def test_the_newest_sentence_comes_first_and_none_comes_twice(bar: MessageBar) -> None:
    for sentence in ("one", "two", "one"):
        bar.say(sentence)
    assert bar.text.splitlines() == ["two", "one"]
    bar.clear()


def test_only_a_few_stand_at_once(bar: MessageBar) -> None:
    for i in range(MOST + 3):
        bar.say(f"sentence {i}")
    assert len(bar.text.splitlines()) == MOST
    assert bar.text.startswith(f"sentence {MOST + 2}")
    bar.clear()


def test_a_trouble_stands_until_it_is_over(bar: MessageBar) -> None:
    bar.stand("the disk is full")
    bar.say("saved")
    bar.clear()
    assert bar.text == "the disk is full"
    bar.stand("")
    assert bar.text == "" and bar.isHidden()


def test_sentences_go_by_themselves(bar: MessageBar, qtbot: QtBot) -> None:
    bar._timer.setInterval(10)
    bar.say("saved")
    assert bar.text == "saved"
    qtbot.waitUntil(lambda: bar.text == "")


def test_its_button_says_what_it_does(bar: MessageBar) -> None:
    bar.say("saved")
    button = bar.findChild(QPushButton)
    assert button is not None and button.text() == "Close"
    button.click()
    assert bar.text == ""


def test_the_screen_reader_gets_the_words_and_no_markup_is_read(bar: MessageBar) -> None:
    bar.say("port <b>busy</b>")
    assert bar.accessibleName() == "port <b>busy</b>" == bar.text
    bar.clear()
