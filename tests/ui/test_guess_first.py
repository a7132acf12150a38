"""Guess first: the page hides the forecast, asks, keeps the guess, and says how both did."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from candlebench.core.events import Action, ActionKind, MeltBegan, Reading
from candlebench.core.melt import Melt
from candlebench.core.setup import Limits, MeltSetup, Oil
from candlebench.ui.main_window import MainWindow

# The windows of beeswax in resources/data/waxes.toml.
LIMITS = Limits(68.0, 70.0, 75.0, 68.0, 71.0, 80.0, 85.0, 95.0)
SETUP = MeltSetup(
    "six jars", "beeswax", LIMITS, 21.0, 0.0, 677.0, Oil("lavender", 43.0, 49.0, 104.0), "typed:"
)


class Jug:
    """A melt that is fed by hand and shown in the window, instead of the one on the hob."""

    def __init__(self, window: MainWindow) -> None:
        self.window, self.now_s = window, 0.0
        self.melt = Melt()
        self.melt.apply(MeltBegan(0.0, 0.0, SETUP))
        self.ramp(70.0, 84.0, 4.0)
        self.do(ActionKind.OFF_HEAT)

    def ramp(self, from_c: float, to_c: float, c_per_min: float) -> None:
        seconds = round(abs(to_c - from_c) / c_per_min * 60.0)
        for second in range(1, seconds + 1):
            self.now_s += 1.0
            temp_c = from_c + (to_c - from_c) * second / seconds
            self.melt.apply(Reading(self.now_s, self.now_s, temp_c))
        self.show()

    def do(self, kind: ActionKind) -> None:
        self.melt.apply(Action(self.now_s, self.now_s, kind))
        self.show()

    def show(self) -> None:
        self.window.hob.show_state(self.melt.state)


@pytest.fixture
def jug(typed_melt: MainWindow) -> Iterator[Jug]:
    # The window's own melt of typed numbers keeps what is recorded; its pictures stay away.
    typed_melt.bridge.state_changed.disconnect(typed_melt.hob.show_state)
    typed_melt.guessing.begin(True)
    made = Jug(typed_melt)
    made.ramp(84.0, 81.0, 1.0)
    yield made


def recorded_guesses(window: MainWindow) -> list[str]:
    runner = window.workshop.runner
    assert runner is not None
    events = [r.event for r in window.workshop.journal.events(runner.session.melt_id)]
    return [e.detail for e in events if isinstance(e, Action) and e.kind is ActionKind.GUESS]


def answer(window: MainWindow, qtbot: QtBot, text: str) -> None:
    field = window.melt_page.guess._field
    for sign in text:
        qtbot.keyClick(field, sign)
    qtbot.keyClick(field, Qt.Key.Key_Return)


def test_the_forecast_is_hidden_while_the_question_is_open(jug: Jug) -> None:
    page = jug.window.melt_page
    assert page.guess.asking and "oil window" in page.guess.text
    state = page.state
    assert state is not None and state.fan is None and state.step.crossing is None
    assert jug.melt.state.fan is not None and jug.melt.state.step.crossing is not None
    assert "in about" not in page.next._headline.text()


def test_the_field_has_the_focus_so_that_digits_are_the_guess(jug: Jug, qtbot: QtBot) -> None:
    window = jug.window
    window.activateWindow()
    qtbot.waitUntil(lambda: QApplication.focusWidget() is window.melt_page.guess._field)


def test_a_guess_is_recorded_and_stands_beside_the_forecast(jug: Jug, qtbot: QtBot) -> None:
    window = jug.window
    answer(window, qtbot, "7:30")
    qtbot.waitUntil(lambda: recorded_guesses(window) == ["75.0 450"])
    page = window.melt_page
    assert not page.guess.asking
    assert "You said 7:30, the forecast said" in page.guess.text
    assert page.curve._guess is not None and page.curve._guess.in_s == 450.0
    state = page.state
    assert state is not None and state.fan is not None and state.step.crossing is not None


def test_when_the_window_opens_it_is_said_how_both_did(jug: Jug, qtbot: QtBot) -> None:
    answer(jug.window, qtbot, "7:30")
    jug.ramp(81.0, 74.8, 1.0)
    # 6 °C at 1 °C a minute.
    assert "The oil window opened after 6:00. You said 7:30, the forecast said" in jug.window.messages.text
    assert jug.window.melt_page.curve._guess is None and jug.window.melt_page.guess.text == ""


def test_oil_before_the_window_ends_the_guess(jug: Jug, qtbot: QtBot) -> None:
    answer(jug.window, qtbot, "7")
    jug.ramp(81.0, 77.0, 1.0)
    jug.do(ActionKind.OIL_IN)
    jug.ramp(77.0, 74.0, 2.0)
    assert "not judged" in jug.window.messages.text
    assert "opened after" not in jug.window.messages.text


def test_escape_skips_the_guess_and_shows_the_forecast(jug: Jug, qtbot: QtBot) -> None:
    window = jug.window
    qtbot.keyClick(window.melt_page.guess._field, Qt.Key.Key_Escape)
    assert not window.melt_page.guess.asking and window.present_page == "melt"
    state = window.melt_page.state
    assert state is not None and state.fan is not None
    jug.ramp(81.0, 80.0, 1.0)
    assert not window.melt_page.guess.asking, "it is asked once"
    assert recorded_guesses(window) == []


def test_escape_skips_from_the_buttons_too(jug: Jug, qtbot: QtBot) -> None:
    jug.window.melt_page.guess._take.setFocus()
    qtbot.keyClick(jug.window, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: not jug.window.melt_page.guess.asking)


def test_back_from_another_page_digits_are_still_the_guess(jug: Jug, qtbot: QtBot) -> None:
    window = jug.window
    window.activateWindow()
    window.show_page("safety")
    window.go_back()
    assert window.melt_page.guess.asking
    qtbot.waitUntil(lambda: QApplication.focusWidget() is window.melt_page.guess._field)


def test_what_is_no_number_is_said_and_asked_again(jug: Jug, qtbot: QtBot) -> None:
    answer(jug.window, qtbot, "soon")
    assert jug.window.melt_page.guess.asking
    assert "8 or 7:30" in jug.window.melt_page.guess.text
    answer(jug.window, qtbot, "6")
    qtbot.waitUntil(lambda: recorded_guesses(jug.window) == ["75.0 360"])


def test_back_on_the_heat_the_question_goes_and_a_new_cooling_asks_anew(jug: Jug, qtbot: QtBot) -> None:
    answer(jug.window, qtbot, "7")
    jug.do(ActionKind.ON_HEAT)
    jug.ramp(81.0, 84.0, 3.0)
    assert "not judged" in jug.window.messages.text
    jug.do(ActionKind.OFF_HEAT)
    jug.ramp(84.0, 81.0, 1.0)
    assert jug.window.melt_page.guess.asking


def test_without_the_switch_nothing_is_hidden_or_asked(typed_melt: MainWindow) -> None:
    typed_melt.bridge.state_changed.disconnect(typed_melt.hob.show_state)
    jug = Jug(typed_melt)
    jug.ramp(84.0, 81.0, 1.0)
    assert not typed_melt.melt_page.guess.asking
    state = typed_melt.melt_page.state
    assert state is not None and state.fan is not None


def test_at_large_text_the_guess_is_said_in_a_message(jug: Jug, qtbot: QtBot) -> None:
    from dataclasses import replace

    window = jug.window
    window.change_settings(replace(window.workshop.settings, text_percent=200), to_melt=False)
    answer(window, qtbot, "7")
    assert "You said 7:00" in window.messages.text
    assert window.melt_page.guess.isHidden()


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (900, 620)])
@pytest.mark.parametrize("percent", [100, 200])
def test_the_question_fits(jug: Jug, qtbot: QtBot, width: int, height: int, percent: int) -> None:
    from dataclasses import replace

    window = jug.window
    window.resize(width, height)
    window.change_settings(replace(window.workshop.settings, text_percent=percent), to_melt=False)
    page = window.melt_page

    def fits() -> None:
        assert (window.width(), window.height()) == (width, height)
        boxes = [part.geometry() for part in (page.now, page.next, page.guess) if part.isVisible()]
        boxes += [page._plot_card.geometry()] if page._plot_card.isVisible() else []
        boxes += [page.steps.geometry()] if page.steps.isVisible() else []
        assert page.guess.isVisible()
        for i, box in enumerate(boxes):
            assert page.rect().contains(box), (i, box)
            assert not any(box.intersects(other) for other in boxes[i + 1 :]), (i, box)

    qtbot.waitUntil(fits)


def test_escape_from_elsewhere_leads_to_the_question_instead_of_skipping_it(jug: Jug, qtbot: QtBot) -> None:
    window = jug.window
    window.melt_page.setFocus()
    qtbot.keyClick(window, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: window.focusWidget() is window.melt_page.guess._field)
    assert window.melt_page.guess.asking


def test_a_question_does_not_take_a_reading_that_is_being_typed(typed_melt: MainWindow, qtbot: QtBot) -> None:
    window = typed_melt
    window.bridge.state_changed.disconnect(window.hob.show_state)
    window.guessing.begin(True)
    jug = Jug(window)
    window.melt_page.now.start_typing("7")
    jug.ramp(84.0, 81.0, 1.0)
    assert window.melt_page.guess.asking
    assert window.focusWidget() is window.melt_page.now._entry
    qtbot.keyClick(window.melt_page.now._entry, Qt.Key.Key_Escape)
    assert window.melt_page.guess.asking, "that Escape was for the reading"


def test_before_the_question_the_card_says_that_it_comes(typed_melt: MainWindow) -> None:
    window = typed_melt
    window.bridge.state_changed.disconnect(window.hob.show_state)
    window.guessing.begin(True)
    jug = Jug(window)
    jug.ramp(84.0, 83.0, 1.0)
    assert not window.melt_page.guess.asking
    assert "In about a minute you are asked when" in window.melt_page.next._reason.text()


def test_the_buttons_say_their_keys(jug: Jug) -> None:
    assert jug.window.melt_page.guess._take.text().endswith("Enter")
    assert jug.window.melt_page.guess._skip.text().endswith("Esc")
