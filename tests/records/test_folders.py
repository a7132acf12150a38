"""Where things are kept, on each system."""

from pathlib import Path

import pytest

from candlebench.records.folders import data_folder, folder_mark, rescue_places, settings_file

HOME = Path("/home/someone")


@pytest.mark.parametrize(
    ("platform", "environment", "data", "settings"),
    [
        # XDG Base Directory Specification 0.8: defaults, and relative paths are ignored.
        ("linux", {}, ".local/share/candlebench", ".config/candlebench"),
        (
            "linux",
            {"XDG_DATA_HOME": "x", "XDG_CONFIG_HOME": ""},
            ".local/share/candlebench",
            ".config/candlebench",
        ),
        (
            "linux",
            {"XDG_DATA_HOME": "/home/someone/d", "XDG_CONFIG_HOME": "/home/someone/c"},
            "d/candlebench",
            "c/candlebench",
        ),
        # Windows, Known folders: local data for what is large, roaming data for settings.
        ("win32", {}, "AppData/Local/candlebench", "AppData/Roaming/candlebench"),
        # macOS Library Directory Details: Application Support.
        (
            "darwin",
            {},
            "Library/Application Support/candlebench",
            "Library/Application Support/candlebench",
        ),
    ],
)
def test_the_systems_own_places_are_used(
    platform: str, environment: dict[str, str], data: str, settings: str
) -> None:
    assert data_folder(None, environment, platform, HOME) == HOME / data
    assert settings_file(None, environment, platform, HOME) == HOME / settings / "settings.toml"


def test_what_is_asked_for_goes_before_the_environment_and_that_before_the_system() -> None:
    environment = {"CANDLEBENCH_DATA": "bench", "CANDLEBENCH_SETTINGS": "choices", "XDG_DATA_HOME": "/d"}
    asked = Path("asked")
    assert data_folder(asked, environment, "linux", HOME) == asked
    assert data_folder(None, environment, "linux", HOME) == Path("bench")
    assert settings_file(asked, environment, "linux", HOME) == asked / "settings.toml"
    assert settings_file(None, environment, "linux", HOME) == Path("choices/settings.toml")


def test_rescue_places_are_several_and_the_home_folder_comes_first() -> None:
    places = rescue_places({"XDG_RUNTIME_DIR": "/run/user/1"}, HOME)
    assert places[0].parent == HOME
    assert places[-1] == Path("/run/user/1/candlebench-rescue")
    assert len(set(places)) == 3


def test_each_data_folder_has_a_mark_of_its_own() -> None:
    assert folder_mark(Path("/a")) == folder_mark(Path("/a"))
    assert folder_mark(Path("/a")) != folder_mark(Path("/b"))
