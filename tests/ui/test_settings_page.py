"""Settings, changed on their page, kept over a restart."""

import tomllib

import pytest
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from candlebench.core.setup import Limits
from candlebench.ui.main_window import MainWindow
from candlebench.ui.settings_page import SettingsPage, limits_problem

from .conftest import OpenWindow


def page(window: MainWindow) -> SettingsPage:
    window.show_page("settings")
    found = window.pages.currentWidget()
    assert isinstance(found, SettingsPage)
    return found


def choose(box: object, value: str) -> None:
    box.setCurrentIndex(box.findData(value))  # type: ignore[attr-defined]


def write(field: object, text: str) -> None:
    field.setText(text)  # type: ignore[attr-defined]
    field.editingFinished.emit()  # type: ignore[attr-defined]


def test_settings_survive_a_restart_in_toml(window: MainWindow, open_window: OpenWindow) -> None:
    settings = page(window)
    choose(settings._unit, "F")
    choose(settings._theme, "dark")
    choose(settings._text, "130")
    write(settings._altitude, "1200")
    settings._sound_on.setChecked(False)
    window.close()
    kept = tomllib.loads(window.workshop._settings_file.read_text(encoding="utf-8"))
    assert "F" in str(kept) and "dark" in str(kept) and "130" in str(kept)
    second = open_window()
    now = second.workshop.settings
    assert (now.unit, now.theme, now.text_percent, now.altitude_m, now.sound) == (
        "F",
        "dark",
        130,
        1200.0,
        False,
    )
    assert second.theme.palette.name == "dark" and second.theme.scale == 1.3
    assert not second.sound.enabled


def test_fahrenheit_is_shown_and_typed_everywhere(typed_melt: MainWindow, qtbot: QtBot) -> None:
    choose(page(typed_melt)._unit, "F")
    typed_melt.show_page("melt")
    typed_melt.hob.typed("158")
    qtbot.waitUntil(
        lambda: bool(typed_melt.melt_page.state and typed_melt.melt_page.state.temp_c is not None)
    )
    state = typed_melt.melt_page.state
    # 158 F is 70 C: the fixed points 32 F and 212 F of the Fahrenheit scale give F = 1.8 C + 32.
    assert state is not None and state.temp_c == pytest.approx(70.0)
    shown = typed_melt.melt_page.now._temp.text()
    assert "158.0" in shown and "°F" in shown and "°C" not in shown
    step = state.step
    assert "°C" not in step.headline + step.accent + step.reason + step.more


def test_limits_follow_the_unit_and_back_without_drifting(window: MainWindow) -> None:
    settings = page(window)
    before = window.workshop.settings.limits
    for unit in ("F", "C", "F", "C"):
        choose(settings._unit, unit)
    assert window.workshop.settings.limits == before
    choose(settings._unit, "F")
    assert settings._fields["oil_high_c"].text() == "167", "75 C is 167 F"


def test_own_limits_are_kept_for_their_wax_and_can_be_dropped(window: MainWindow) -> None:
    settings = page(window)
    write(settings._fields["oil_high_c"], "74,5")
    assert window.workshop.settings.limits == {"beeswax": {"oil_high_c": 74.5}}
    next(b for b in settings.findChildren(QPushButton) if b.text() == "Back to the proposals").click()
    assert window.workshop.settings.limits == {}
    assert settings._fields["oil_high_c"].text() == "75"


def test_a_window_that_ends_before_it_begins_is_refused_with_a_sentence(window: MainWindow) -> None:
    settings = page(window)
    write(settings._fields["oil_high_c"], "60")
    assert settings._limit_problem.isVisible() and "oil window" in settings._limit_problem.text()
    assert window.workshop.settings.limits == {}


@pytest.mark.parametrize("wrong", ["hot", "9000", "nan"])
def test_a_room_that_cannot_be_is_refused_and_the_old_one_stays(window: MainWindow, wrong: str) -> None:
    settings = page(window)
    write(settings._room, "21,5")
    assert window.workshop.settings.room_c == 21.5
    write(settings._room, wrong)
    assert window.workshop.settings.room_c == 21.5
    assert settings._problem.isVisible() and "Room" in settings._problem.text()


def test_the_height_tells_where_water_boils(window: MainWindow) -> None:
    settings = page(window)
    write(settings._altitude, "1500")
    # ICAO standard atmosphere, 845.6 hPa at 1500 m; water boils there near 95 C (steam tables).
    words = settings._boils.text()
    boils_c = float(words.split(" boils at ")[1].split(" ")[0])
    assert boils_c == pytest.approx(95.0, abs=0.3)


def test_a_changed_limit_reaches_the_running_melt(typed_melt: MainWindow, qtbot: QtBot) -> None:
    write(page(typed_melt)._fields["warn_c"], "78")
    runner = typed_melt.workshop.runner
    assert runner is not None
    qtbot.waitUntil(lambda: runner.session.melt.setup.limits.warn_c == 78.0)


def test_without_a_player_the_sound_test_says_so_on_the_page(
    own_home: object, monkeypatch: pytest.MonkeyPatch, open_window: OpenWindow
) -> None:
    monkeypatch.setenv("PATH", "")
    settings = page(open_window())
    next(b for b in settings.findChildren(QPushButton) if b.text() == "Test the sound").click()
    assert "No sound player was found" in settings._tested.text()


LIMITS = Limits(68.0, 70.0, 75.0, 68.0, 71.0, 80.0, 85.0, 95.0)


def test_good_limits_have_no_problem() -> None:
    assert limits_problem(LIMITS) == ""


@pytest.mark.parametrize(
    ("name", "value", "word"),
    [
        ("oil_low_c", 75.0, "oil window"),
        ("pour_low_c", 71.0, "pour window"),
        ("warn_c", 86.0, "rise"),
        ("stop_c", 84.0, "rise"),
        ("oil_high_c", 86.0, "strong warning"),
    ],
)
def test_limits_that_contradict_each_other_are_named(name: str, value: float, word: str) -> None:
    from dataclasses import replace

    assert word in limits_problem(replace(LIMITS, **{name: value}))
