"""The strip over a practice melt: what it shows, what it asks for, and that it fits."""

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QPushButton, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from candlebench.core.units import Shown
from candlebench.ui.practice_strip import SPEEDS, PracticeStrip
from candlebench.ui.theme import LIGHT, Theme, style_sheet

MakeStrip = Callable[..., PracticeStrip]


@pytest.fixture
def strip(qtbot: QtBot) -> Iterator[MakeStrip]:
    """Makes strips that are children of something wide, as in the window, where a strip may be folded."""
    holders = []

    def made(width: int = 1280, scale: float = 1.0, cable: bool = True) -> PracticeStrip:
        holder = QWidget()
        qtbot.addWidget(holder)
        holders.append(holder)
        box = QVBoxLayout(holder)
        box.setContentsMargins(0, 0, 0, 0)
        new = PracticeStrip()
        box.addWidget(new)
        holder.setFixedWidth(width)
        holder.setStyleSheet(style_sheet(Theme(LIGHT, scale)))
        new.use(Theme(LIGHT, scale), Shown())
        new.begin(20.0, cable)
        new.show_melt(0.6, 20.0, False, 73.44)
        holder.show()
        qtbot.waitExposed(holder)
        return new

    yield made


def test_it_says_that_nothing_is_on_the_hob(strip: MakeStrip, qtbot: QtBot) -> None:
    assert "simulated" in strip()._words.text()


def test_the_speed_that_runs_is_marked_and_another_is_asked_for(strip: MakeStrip, qtbot: QtBot) -> None:
    made = strip()
    assert made._group.checkedId() == 20
    with qtbot.waitSignal(made.speed_wanted) as asked:
        made._group.button(120).click()
    assert asked.args == [120.0]


@pytest.mark.parametrize(("key", "speed"), [(Qt.Key.Key_Right, 60.0), (Qt.Key.Key_Left, 5.0)])
def test_left_and_right_change_the_speed(strip: MakeStrip, qtbot: QtBot, key: Qt.Key, speed: float) -> None:
    made = strip()
    with qtbot.waitSignal(made.speed_wanted) as asked:
        assert made.press(key, "")
    assert asked.args == [speed]


def test_up_and_down_turn_the_knob_within_its_ends(strip: MakeStrip, qtbot: QtBot) -> None:
    made = strip()
    asked: list[float] = []
    made.heat_wanted.connect(asked.append)
    for _ in range(6):
        made.press(Qt.Key.Key_Up, "")
    assert asked == [0.7, 0.8, 0.9, 1.0]
    made.press(Qt.Key.Key_Down, "")
    assert asked[-1] == 0.9
    assert made.knob.value() == 90 and "90 %" in made._heat.text()


def test_a_dragged_knob_turns_the_hob_once_when_it_is_let_go(strip: MakeStrip, qtbot: QtBot) -> None:
    made = strip()
    asked: list[float] = []
    made.heat_wanted.connect(asked.append)
    made.knob.setSliderDown(True)
    made.knob.setValue(45)
    made.knob.setValue(30)
    assert asked == [] and "30 %" in made._heat.text()
    made.show_melt(0.6, 20.0, False, 70.0)
    assert made.knob.value() == 30, "the melt does not pull the knob out of her hand"
    made.knob.setSliderDown(False)
    made.knob.sliderReleased.emit()
    assert asked == [0.3]


def test_the_knob_follows_what_the_melt_does(strip: MakeStrip, qtbot: QtBot) -> None:
    made = strip()
    asked: list[float] = []
    made.heat_wanted.connect(asked.append)
    made.show_melt(0.15, 20.0, False, 70.0)
    assert made.knob.value() == 15 and "15 %" in made._heat.text()
    assert asked == [], "showing is not turning"


def test_the_marked_speed_follows_the_melt(strip: MakeStrip) -> None:
    made = strip()
    made.show_melt(0.6, 5.0, False, 70.0)
    assert made._group.checkedId() == 5


def test_r_pauses_and_goes_on_and_j_skips(strip: MakeStrip, qtbot: QtBot) -> None:
    made = strip()
    with qtbot.waitSignal(made.pause_wanted) as asked:
        assert made.press(Qt.Key.Key_R, "r")
    assert asked.args == [True]
    made.show_melt(0.6, 20.0, True, 70.0)
    assert made.pause.text() == "Go on"
    with qtbot.waitSignal(made.pause_wanted) as asked:
        made.press(Qt.Key.Key_R, "R")
    assert asked.args == [False]
    with qtbot.waitSignal(made.skip_wanted) as asked:
        made.press(Qt.Key.Key_J, "j")
    assert asked.args == [300.0]


def test_keys_mean_nothing_while_no_practice_melt_runs(strip: MakeStrip, qtbot: QtBot) -> None:
    made = strip()
    made.end()
    assert not made.press(Qt.Key.Key_J, "j")
    assert not strip().press(Qt.Key.Key_X, "x")


def test_without_a_cable_the_thermometer_is_drawn(strip: MakeStrip, qtbot: QtBot) -> None:
    assert strip().display.isHidden()
    made = strip(cable=False)
    assert not made.display.isHidden()
    assert made.display.text == "73.4 °C" and "73.4 °C" in made.display.accessibleDescription()
    made.use(Theme(LIGHT), Shown("F"))
    made.show_melt(0.6, 20.0, False, 73.44)
    assert made.display.text == "164.2 °F"


@pytest.mark.parametrize("width", [900, 1280])
@pytest.mark.parametrize("scale", [1.0, 1.5, 2.0])
@pytest.mark.parametrize("cable", [True, False])
def test_it_fits_and_everything_can_still_be_reached(
    strip: MakeStrip, qtbot: QtBot, width: int, scale: float, cable: bool
) -> None:
    made = strip(width, scale, cable)
    parts = (made._words, made.display, made.knob, made.knob_menu, made.speed_menu, made.pause, made.skip)

    def all_fit() -> None:
        for part in parts:
            if not part.isHidden():
                assert part.geometry().right() <= width, part
                assert part.width() >= part.sizeHint().width() or part is made.knob, part

    qtbot.waitUntil(all_fit)
    assert made._words.text().startswith("Practice")
    assert made.knob.isHidden() != made.knob_menu.isHidden()
    shown = [made._group.button(speed).isHidden() for speed in SPEEDS]
    assert all(shown) or not any(shown)
    assert shown[0] != made.speed_menu.isHidden()


def test_the_menus_do_what_the_buttons_do(strip: MakeStrip, qtbot: QtBot) -> None:
    made = strip(900, 2.0, cable=False)
    assert not made.knob_menu.isHidden() and not made.speed_menu.isHidden()
    with qtbot.waitSignal(made.heat_wanted) as asked:
        made.knob_menu.menu().actions()[-1].trigger()
    assert asked.args == [0.0]
    with qtbot.waitSignal(made.speed_wanted) as asked:
        made.speed_menu.menu().actions()[0].trigger()
    assert asked.args == [1.0]


def test_every_button_has_a_name_and_says_its_key(strip: MakeStrip, qtbot: QtBot) -> None:
    made = strip()
    for button in made.findChildren(QPushButton):
        assert button.text() or button.accessibleName()
    assert "Key R" in made.pause.toolTip() and "Key J" in made.skip.toolTip()


def test_a_pause_has_its_own_sign_and_moves_nothing(strip: MakeStrip, qtbot: QtBot) -> None:
    made = strip()
    qtbot.waitUntil(lambda: made.skip.x() > 1000 and made.knob.x() > 0)
    before = [part.geometry() for part in (made.knob, made.jug, made.skip)]
    assert made._stands.isHidden()
    made.show_melt(0.6, 20.0, True, 70.0)
    assert made._stands.isVisible() and made._stands.text() == "Paused"
    QApplication.processEvents()
    assert [part.geometry() for part in (made.knob, made.jug, made.skip)] == before
    made.show_melt(0.6, 20.0, False, 70.0)
    assert made._stands.isHidden()


def test_where_the_sign_has_no_room_the_button_carries_it(strip: MakeStrip) -> None:
    made = strip(900, 2.0, cable=False)
    made.show_melt(0.6, 5.0, True, 70.0)
    assert made._stands.isHidden() and made.pause.objectName() == "paused"
    made.show_melt(0.6, 5.0, False, 70.0)
    assert made.pause.objectName() == ""


def test_without_a_cable_only_speeds_one_can_type_at_are_offered(strip: MakeStrip, qtbot: QtBot) -> None:
    made = strip(cable=False)
    made.show_melt(0.6, 5.0, False, 70.0)
    assert [speed for speed in SPEEDS if made._group.button(speed).isEnabled()] == [1, 5]
    assert [a.data() for a in made.speed_menu.menu().actions() if a.isEnabled()] == [1, 5]
    asked: list[float] = []
    made.speed_wanted.connect(asked.append)
    made.press(Qt.Key.Key_Right, "")
    assert asked == [5.0]
    made.begin(20.0, True)
    assert made._group.button(120).isEnabled()


def test_space_belongs_to_the_next_step_from_every_part(strip: MakeStrip, qtbot: QtBot) -> None:
    made = strip()
    paused: list[bool] = []
    made.pause_wanted.connect(paused.append)
    for part in (made.pause, made.knob):
        with qtbot.waitSignal(made.step_wanted):
            qtbot.keyClick(part, Qt.Key.Key_Space)
    assert paused == []
    qtbot.keyClick(made.pause, Qt.Key.Key_Return)
    assert paused == [True]


@pytest.mark.parametrize("percent", [80, 90, 100, 115, 130, 150, 175, 200])
def test_the_knobs_handle_is_round_at_every_text_size(strip: MakeStrip, percent: int) -> None:
    import re

    sheet = strip(scale=percent / 100.0).styleSheet()
    handle = sheet[sheet.index("handle:horizontal {") :]
    height, radius = (int(re.search(rf"{name}: (\d+)px", handle)[1]) for name in ("height", "border-radius"))  # type: ignore[index]
    # Height and width are without the two edges of 2 px; Qt drops a radius above the half of them all.
    assert 0 < radius <= (height + 4) // 2 - 1
