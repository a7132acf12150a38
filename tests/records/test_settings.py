"""What the person chose comes back, and a file that is not right is kept and said."""

import tomllib
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from candlebench.core.errors import FixableError
from candlebench.records.settings import LastMelt, Settings, limits_with, load, save

from .shop import LIMITS

TODAY = date(2026, 11, 25)
texts = st.text(st.characters(exclude_categories=("Cs",)), max_size=20)
masses = st.none() | st.floats(0.0, 1e6)
limit_c = st.floats(0.0, 250.0)
choices = st.builds(
    Settings,
    reads_by=st.sampled_from(["", "plugged in", "typed", "practise"]),
    source=texts,
    unit=st.sampled_from(["C", "F"]),
    room_c=st.none() | st.floats(-30.0, 60.0),
    altitude_m=st.floats(-450.0, 6000.0),
    wax=texts,
    limits=st.dictionaries(
        texts, st.dictionaries(st.sampled_from(["oil_low_c", "stop_c"]), limit_c, min_size=1), max_size=3
    ),
    sound=st.booleans(),
    sound_player=texts,
    theme=st.sampled_from(["system", "light", "dark"]),
    text_percent=st.integers(80, 200),
    window=texts,
    last_melt=st.builds(LastMelt, texts, masses, texts, masses),
)


@given(choices)
@settings(deadline=None, max_examples=60)
def test_settings_come_back_as_they_were_saved(
    tmp_path_factory: pytest.TempPathFactory, chosen: Settings
) -> None:
    path = tmp_path_factory.mktemp("settings") / "deep" / "settings.toml"
    save(path, chosen)
    assert load(path, TODAY) == (chosen, ())


def test_without_a_file_the_defaults_hold_and_nothing_is_written(tmp_path: Path) -> None:
    assert load(tmp_path / "settings.toml", TODAY) == (Settings(), ())
    assert list(tmp_path.iterdir()) == []


def test_keys_of_another_version_stay_in_the_file(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_text(
        'unit = "F"\nbench = "left"\n[limits.soy]\nwarn_c = 75.5\nsmoke_c = 1.0\n'
        "[last_melt]\nmould = 7\n[printer]\nname = 'x'\n"
    )
    chosen, notices = load(path, TODAY)
    assert notices == ()
    assert (chosen.unit, chosen.limits) == ("F", {"soy": {"warn_c": 75.5}})
    save(path, chosen)
    data = tomllib.loads(path.read_text())
    assert data["bench"] == "left" and data["printer"] == {"name": "x"}
    assert data["limits"]["soy"] == {"warn_c": 75.5, "smoke_c": 1.0}
    assert data["last_melt"]["mould"] == 7


def test_what_is_not_known_any_more_leaves_the_file(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    save(path, Settings(room_c=19.5, limits={"soy": {"warn_c": 75.5}}, last_melt=LastMelt(wax_g=300.0)))
    save(path, Settings())
    assert load(path, TODAY) == (Settings(), ())


@pytest.mark.parametrize(
    "text", [b"unit = 'C", b"\xff\xfe", b"a = 1\na = 2\n", b"<html>", b"x=" + b"[" * 5000], ids=range(5)
)
def test_a_file_that_is_no_toml_is_set_aside_whole(tmp_path: Path, text: bytes) -> None:
    path = tmp_path / "settings.toml"
    path.write_bytes(text)
    chosen, (sentence,) = load(path, TODAY)
    aside = tmp_path / "settings-damaged-2026-11-25-1.toml"
    assert chosen == Settings()
    assert str(aside) in sentence and "\n" not in sentence
    assert aside.read_bytes() == text
    assert not path.exists()


@pytest.mark.parametrize(
    ("line", "named"),
    [
        ("unit = 'K'", "unit must be"),
        ("unit = 1", "unit must be"),
        ("unit = ['C']", "unit must be"),
        ("text_percent = 5000", "text_percent must be a whole number from 80 to 200"),
        ("text_percent = true", "text_percent"),
        ("text_percent = 100.5", "text_percent"),
        ("room_c = nan", "room_c must be a number from -30 to 60"),
        ("room_c = 1979-05-27", "room_c"),
        ("altitude_m = 20000", "altitude_m"),
        ("sound = 'yes'", "sound must be true or false"),
        ("reads_by = 'guessing'", "reads_by"),
        ("theme = 'sepia'", "theme"),
        ("wax = 3", "wax must be a text"),
        ("limits = 3", "limits must be a table"),
        ("limits.soy = 3", "limits.soy must be a table"),
        ("limits.soy.stop_c = 900", "limits.soy.stop_c"),
        ("last_melt = 3", "last_melt must be a table"),
        ("last_melt.wax_g = -1", "last_melt.wax_g"),
    ],
)
def test_an_impossible_value_is_named_and_the_good_ones_are_kept(
    tmp_path: Path, line: str, named: str
) -> None:
    path = tmp_path / "settings.toml"
    text = f'source = "typed:"\nmine = "kept"\n{line}\n'
    path.write_text(text)
    chosen, (sentence,) = load(path, TODAY)
    assert named in sentence
    assert chosen == Settings(source="typed:")
    assert (tmp_path / "settings-damaged-2026-11-25-1.toml").read_text() == text
    assert load(path, TODAY) == (Settings(source="typed:"), ())
    assert tomllib.loads(path.read_text())["mine"] == "kept"


def test_a_file_that_is_no_toml_is_never_overwritten_by_saving(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_text("unit = ")
    with pytest.raises(FixableError, match="move that file away"):
        save(path, Settings())
    assert path.read_text() == "unit = "


def test_a_place_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(FixableError, match="not saved"):
        save(tmp_path / "file" / "settings.toml", Settings())


def test_a_folder_in_the_place_of_the_file_gives_the_defaults_and_a_sentence(tmp_path: Path) -> None:
    (tmp_path / "settings.toml").mkdir()
    chosen, (sentence,) = load(tmp_path / "settings.toml", TODAY)
    assert chosen == Settings()
    assert "cannot be read" in sentence


def test_changed_limits_take_the_place_of_the_usual_ones() -> None:
    changed = limits_with(LIMITS, {"oil_low_c": 69.0})
    assert changed.oil_low_c == 69.0
    assert changed.stop_c == LIMITS.stop_c


def test_who_makes_the_candles_comes_back(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    save(path, Settings(maker="Hive & Wick, Müller Lane 3"))
    assert load(path, TODAY) == (Settings(maker="Hive & Wick, Müller Lane 3"), ())
