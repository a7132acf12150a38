"""The curve: which part is shown, and that it is drawn as it was measured."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter
from pytestqt.qtbot import QtBot

from candlebench.console.setup import console_setup
from candlebench.core.events import Action, ActionKind, Gap, MeltBegan, Reading, Stage
from candlebench.core.melt import Melt
from candlebench.core.place import Place
from candlebench.core.state import BesideState, MeltState, ProbeStatus
from candlebench.core.units import Shown
from candlebench.ui.curve_axes import TempAxis, TimeAxis
from candlebench.ui.curve_beside import DRAWN, beside_words, dashed, paint_beside_end
from candlebench.ui.curve_room import free_place
from candlebench.ui.curve_scene import CurveScene, Frame, visible_range
from candlebench.ui.curve_view import CurveView
from candlebench.ui.theme import DARK, LIGHT, Palette, Theme


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


# --- a second probe ---------------------------------------------------------------------------------------


def with_beside(
    state: MeltState,
    temps_c: list[float],
    place: Place = Place.BATH,
    on_heat: bool = True,
    silent_s: float = 0.0,
) -> MeltState:
    """The same melt with a second probe read at the same moments, up to `silent_s` before now."""
    times_s = state.times_s[state.times_s <= state.now_s - silent_s]
    beside = BesideState(
        place=place,
        temp_c=temps_c[len(times_s) - 1],
        reading_s=float(times_s[-1]),
        fresh=not silent_s,
        rate_c_per_min=0.0,
        probe=ProbeStatus(not silent_s, ""),
        times_s=times_s,
        temps_c=np.array(temps_c[: len(times_s)]),
        track_version=0,
    )
    return replace(state, beside=beside, on_heat=on_heat)


WARM = [60.0 + 0.1 * i for i in range(40)]


@pytest.mark.parametrize("bath_c", [70.0, 88.0, 95.0, 100.0, 103.0])
def test_a_bath_is_in_sight_while_it_heats(bath_c: float) -> None:
    _, _, low_c, high_c = visible_range(with_beside(melt_state(WARM), [bath_c] * 40), False)
    assert low_c < bath_c < high_c


def test_a_bath_that_rises_moves_the_range_in_steps() -> None:
    state = melt_state(WARM)
    highs = {visible_range(with_beside(state, [b] * 40), False)[3] for b in np.arange(60.0, 101.0, 0.5)}
    assert len(highs) <= 3


def test_neither_a_room_nor_a_bath_that_heats_no_more_flattens_the_melt() -> None:
    state = melt_state(WARM)
    alone = visible_range(replace(state, on_heat=False), False)
    assert visible_range(with_beside(state, [20.0] * 40, Place.ROOM, on_heat=False), False) == alone
    assert visible_range(with_beside(state, [97.0] * 40, on_heat=False), False) == alone
    assert visible_range(with_beside(state, [20.0] * 40, Place.ROOM), False) == visible_range(state, False)


def test_a_hot_bath_does_not_bring_the_limits_of_a_hot_melt() -> None:
    state = with_beside(melt_state(WARM), [97.0] * 40)
    assert state.on_heat and not scene_of(state).hot
    assert scene_of(melt_state([66.2 + 0.25 * i for i in range(41)])).hot


def test_dashes_lie_on_the_measured_line_and_leave_a_third_open() -> None:
    times_s = np.array([3.0, 10.0, 11.0, 25.0, 100.0])
    temps_c = np.array([20.0, 22.0, 21.0, 30.0, 30.0])
    t, c = dashed(times_s, temps_c, 10.0)
    drawn = np.isfinite(c)
    assert np.all(np.diff(t) >= 0.0)
    assert np.allclose(c[drawn], np.interp(t[drawn], times_s, temps_c))
    length_s = sum(b - a for a, b, x, y in zip(t, t[1:], drawn, drawn[1:], strict=False) if x and y)
    assert length_s / (times_s[-1] - times_s[0]) == pytest.approx(DRAWN, abs=0.05)
    inside = (t[drawn] / 10.0) % 1.0
    assert np.all((inside <= DRAWN + 1e-6) | (inside > 1.0 - 1e-6))


@given(st.lists(st.floats(0.0, 500.0), min_size=2, max_size=40, unique=True), st.floats(1.0, 60.0))
def test_a_dashed_line_says_nothing_that_was_not_measured(seconds: list[float], every_s: float) -> None:
    times_s = np.array(sorted(seconds))
    temps_c = 60.0 + 10.0 * np.sin(times_s / 50.0)
    t, c = dashed(times_s, temps_c, every_s)
    drawn = np.isfinite(c)
    assert np.allclose(c[drawn], np.interp(t[drawn], times_s, temps_c))
    assert t.min() >= times_s[0] and t.max() <= times_s[-1]


def test_dashes_stay_where_they_are_when_a_reading_comes() -> None:
    times_s = np.arange(0.0, 300.0)
    before, after = (dashed(times_s[:n], 60.0 + 0.01 * times_s[:n], 15.0) for n in (280, 290))
    same = after[0] <= before[0][-2]
    assert np.array_equal(after[0][same], before[0][before[0] <= before[0][-2]])


@pytest.mark.parametrize("scale", [1.0, 2.0])
@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=lambda p: p.name)
def test_both_curves_are_drawn_each_in_its_own_way(qtbot: QtBot, palette: Palette, scale: float) -> None:
    state = with_beside(melt_state(WARM), [90.0] * 40)
    view = shown_view(qtbot, state, Theme(palette, scale))
    pens = [curve.opts["pen"] for curve in (view._curve, view._beside_curve)]
    assert pens[1].widthF() < pens[0].widthF() and pens[0].color() != pens[1].color()
    temps = view._beside_curve.getData()[1]
    assert np.isnan(temps).any() and np.nanmax(temps) == 90.0
    assert not np.isnan(view._curve.getData()[1]).any(), "the melt's own is unbroken"
    view.grab()
    with_it = view.grab().toImage()
    view.show_state(replace(state, beside=None))
    assert view._beside_curve.getData()[0] is None or not len(view._beside_curve.getData()[0])
    assert view.grab().toImage() != with_it


def test_a_temperature_of_some_time_ago_is_not_written_at_the_end_of_the_line() -> None:
    state = melt_state(WARM)
    fresh, stale = (with_beside(state, [90.0] * 40, silent_s=s).beside for s in (0.0, 60.0))
    assert fresh is not None and stale is not None
    assert beside_words(fresh, Shown("F"), False) == "bath 194.0 °F"
    assert beside_words(stale, Shown(), False) == "bath: no answer"
    room = replace(fresh, place=Place.ROOM, temp_c=21.0)
    assert beside_words(room, Shown(), False) == "room 21.0 °C"


@pytest.mark.parametrize("bath_c", [20.0, 60.5, 63.5, 75.0, 87.9, 97.0])
@pytest.mark.parametrize("on_heat", [True, False])
def test_its_name_stands_inside_the_plot_and_clear_of_other_words(
    qtbot: QtBot, bath_c: float, on_heat: bool
) -> None:
    scene = scene_of(with_beside(melt_state(WARM), [bath_c] * 40, on_heat=on_heat))
    now = QRectF(scene.frame.x(scene.state.now_s) - 90.0, scene.frame.rect.bottom() - 24.0, 80.0, 17.0)
    taken = [now]
    image = QImage(900, 400, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    paint_beside_end(painter, scene, taken)
    painter.end()
    name = taken[-1]
    assert len(taken) > 1 and scene.frame.rect.contains(name)
    assert not name.intersects(now)
