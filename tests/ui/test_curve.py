"""The curve: which part is shown, and that it is drawn as it was measured."""

from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage
from pytestqt.qtbot import QtBot

from candlebench.console.setup import console_setup
from candlebench.core.events import Action, ActionKind, Gap, MeltBegan, Reading, Stage
from candlebench.core.melt import Melt
from candlebench.core.state import MeltState
from candlebench.core.units import Shown
from candlebench.ui.curve_axes import TempAxis, TimeAxis
from candlebench.ui.curve_marks import free_place
from candlebench.ui.curve_scene import CurveScene, Frame, visible_range
from candlebench.ui.curve_view import CurveView
from candlebench.ui.theme import DARK, LIGHT, Theme


def melt_state(temps_c: list[float], every_s: float = 10.0, gap_s: float = 0.0) -> MeltState:
    melt = Melt()
    melt.apply(MeltBegan(0.0, 0.0, console_setup("A jug", "beeswax", 21.0, "typed:")))
    for i, temp_c in enumerate(temps_c):
        if gap_s and i == len(temps_c) // 2:
            melt.apply(Gap(i * every_s + gap_s, 0.0, gap_s, "closed"))
        after_s = gap_s if i >= len(temps_c) // 2 else 0.0
        melt.apply(Reading(i * every_s + after_s, 0.0, temp_c))
    return melt.state


def shown_view(qtbot: QtBot, state: MeltState, theme: Theme) -> CurveView:
    view = CurveView()
    qtbot.addWidget(view)
    view.resize(900, 400)
    view.use(theme, Shown())
    view.show()
    view.show_state(state)
    return view


def test_now_and_both_windows_are_always_in_sight() -> None:
    state = melt_state([78.0, 77.5, 77.0])
    low_s, high_s, low_c, high_c = visible_range(state, False)
    limits = state.setup.limits
    assert low_s <= state.now_s < high_s
    assert low_c < limits.pour_low_c and limits.oil_high_c < high_c


@pytest.mark.parametrize("temp_c", [20.0, 55.0, 72.0, 90.0, 110.0])
def test_the_reading_is_in_sight_wherever_it_is(temp_c: float) -> None:
    _, _, low_c, high_c = visible_range(melt_state([temp_c, temp_c, temp_c]), False)
    assert low_c <= temp_c <= high_c


def test_a_long_melt_shows_its_last_part_and_whole_on_wish() -> None:
    state = melt_state(list(np.linspace(20.0, 70.0, 500)), every_s=30.0)
    assert visible_range(state, False)[0] > 0.0
    assert visible_range(state, True)[0] == 0.0


def test_pixels_and_degrees_agree() -> None:
    frame = Frame(QRectF(50.0, 10.0, 800.0, 300.0), 0.0, 1600.0, 50.0, 90.0)
    assert frame.x(0.0) == 50.0 and frame.x(1600.0) == 850.0 and frame.x(800.0) == 450.0
    assert frame.y(50.0) == 310.0 and frame.y(90.0) == 10.0


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=lambda p: p.name)
def test_it_is_drawn_as_measured_in_its_colours(qtbot: QtBot, palette: object) -> None:
    state = melt_state([78.0, 77.0, 76.0, 75.0])
    view = shown_view(qtbot, state, Theme(palette))  # type: ignore[arg-type]
    times, temps = view._curve.getData()
    assert list(times) == list(state.times_s) and list(temps) == list(state.temps_c)
    picture = view.grab().toImage()
    assert picture.pixelColor(3, picture.height() - 3).name().upper() == palette.surface  # type: ignore[attr-defined]
    colors = {picture.pixelColor(x, y).name().upper() for x in range(0, 900, 3) for y in range(0, 400, 3)}
    assert len(colors) > 10, "windows, grid and words are there"


def test_the_line_breaks_where_nothing_was_recorded(qtbot: QtBot) -> None:
    view = shown_view(qtbot, melt_state([78.0, 77.0, 76.0, 75.0], gap_s=600.0), Theme(LIGHT))
    _, temps = view._curve.getData()
    assert np.isnan(temps).sum() == 1


def test_axes_count_in_round_degrees_of_the_shown_unit_and_whole_minutes() -> None:
    temp, time = TempAxis(), TimeAxis()
    temp.shown = Shown("F")
    ((_, ticks),) = temp.tickValues(50.0, 90.0, 400.0)
    assert temp.tickStrings(ticks, 1.0, 1.0) == ["140", "160", "180"]
    ((step, minutes),) = time.tickValues(0.0, 1800.0, 800.0)
    assert step % 60 == 0 and "5:00" in time.tickStrings(minutes, 1.0, step)


def scene_of(state: MeltState) -> CurveScene:
    frame = Frame(QRectF(50.0, 10.0, 800.0, 300.0), *visible_range(state, False))
    return CurveScene(state, frame, Theme(LIGHT), Shown(), 900.0)


def test_words_beside_a_mark_stand_clear_of_the_curve_and_of_each_other() -> None:
    state = melt_state([84.0 - 0.05 * i for i in range(200)])
    scene, taken = scene_of(state), []
    for second in (600.0, 660.0, 720.0):
        at = scene.frame.point(second, float(np.interp(second, state.times_s, state.temps_c)))
        box = free_place(scene, at, 90.0, 16.0, taken)
        assert scene.frame.rect.contains(box)
        assert not any(box.intersects(other) for other in taken)
        xs = [scene.frame.x(t) for t in state.times_s]
        ys = [scene.frame.y(c) for c in state.temps_c]
        assert not any(box.contains(x, y) for x, y in zip(xs, ys, strict=True)), "off the curve"
        taken.append(box)


@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_stirred_has_a_mark_of_its_own(qtbot: QtBot, scale: float) -> None:
    melt = Melt()
    melt.apply(MeltBegan(0.0, 0.0, console_setup("A jug", "beeswax", 21.0, "typed:")))
    kinds = {20: ActionKind.OFF_HEAT, 30: ActionKind.OIL_IN, 40: ActionKind.STIRRED}
    for i in range(60):
        melt.apply(Reading(i * 10.0, 0.0, 80.0 - 0.1 * i))
        if i in kinds:
            melt.apply(Action(i * 10.0 + 1.0, 0.0, kinds[i]))
    state = melt.state
    view = shown_view(qtbot, state, Theme(LIGHT, scale))
    qtbot.waitExposed(view)

    def picture(shown: MeltState) -> QImage:
        view.show_state(shown)
        view.grab()
        return view.grab().toImage()

    without = replace(state, marks=tuple(m for m in state.marks if m.stage is not Stage.STIRRED))
    picture(state)
    assert picture(state) != picture(without)
    assert picture(state) == picture(state)


def test_it_stays_in_sight_that_it_was_off_the_heat_before(qtbot: QtBot) -> None:
    melt = Melt()
    melt.apply(MeltBegan(0.0, 0.0, console_setup("A jug", "beeswax", 21.0, "typed:")))
    for i in range(40):
        melt.apply(Reading(i * 10.0, 0.0, 78.0 - 0.1 * i if i <= 20 else 76.0 + 0.2 * (i - 20)))
        if i in (10, 20):
            kind = ActionKind.OFF_HEAT if i == 10 else ActionKind.ON_HEAT
            melt.apply(Action(i * 10.0 + 1.0, 0.0, kind))
    state = melt.state
    assert state.on_heat and len(state.lifts) == 1
    view = shown_view(qtbot, state, Theme(LIGHT))
    view.grab()
    with_mark = view.grab().toImage()
    view.show_state(replace(state, lifts=()))
    assert view.grab().toImage() != with_mark


def test_a_pause_is_said_beside_now(qtbot: QtBot) -> None:
    view = shown_view(qtbot, melt_state([78.0, 77.0, 76.0]), Theme(LIGHT))
    qtbot.waitExposed(view)

    def picture(paused: bool) -> QImage:
        view.show_paused(paused)
        view.grab()
        return view.grab().toImage()

    picture(False)
    assert picture(True) != picture(False)
    assert picture(True) == picture(True)
