"""Sound through what the system has, and honest words when it has nothing. Players here are real programs."""

import os
import wave
from pathlib import Path

import pytest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from candlebench.core.state import Level
from candlebench.ui.sound import NOTES, PLAYERS, RATE_HZ, Sound, write_tone


@pytest.fixture
def programs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The only folder on PATH, empty at first."""
    folder = tmp_path / "programs"
    folder.mkdir()
    monkeypatch.setenv("PATH", str(folder))
    return folder


@pytest.fixture
def owner(qtbot: QtBot) -> QWidget:
    """The window that a sound belongs to, and that outlives it."""
    owner = QWidget()
    qtbot.addWidget(owner)
    return owner


def player(folder: Path, body: str, name: str = "aplay") -> None:
    file = folder / name
    file.write_text(f"#!/bin/sh\n{body}\n", encoding="utf-8")
    file.chmod(0o755)


def test_without_a_player_the_test_says_so_and_what_to_install(
    programs: Path, owner: QWidget, qtbot: QtBot
) -> None:
    sound = Sound("", owner)
    with qtbot.waitSignal(sound.tested) as tested:
        sound.test()
    (said,) = tested.args
    assert "No sound player was found" in said
    assert all(name in said for name, _ in PLAYERS)
    sound.play(Level.DANGER)
    sound.close()


def test_a_player_that_works_gets_a_real_tone_and_is_named(
    programs: Path, owner: QWidget, qtbot: QtBot, tmp_path: Path
) -> None:
    kept = tmp_path / "kept.wav"
    player(
        programs, f'while [ "$2" ]; do shift; done; while read -r _; do :; done < "$1"; echo "$1" > {kept}'
    )
    sound = Sound("", owner)
    with qtbot.waitSignal(sound.tested, timeout=5000) as tested:
        sound.test()
    assert "Played by aplay" in tested.args[0]
    played = Path(kept.read_text(encoding="utf-8").strip())
    assert played.name == "calm.wav" and played.exists()
    sound.close()
    assert not played.exists(), "the tones are removed"


def test_a_player_that_fails_is_quoted(programs: Path, owner: QWidget, qtbot: QtBot) -> None:
    player(programs, "echo 'no loudspeaker here' >&2; exit 1")
    sound = Sound("", owner)
    with qtbot.waitSignal(sound.tested, timeout=5000) as tested:
        sound.test()
    assert "aplay could not play it (no loudspeaker here)" in tested.args[0]
    sound.close()


def test_a_wanted_player_is_taken_before_a_better_one(programs: Path, owner: QWidget) -> None:
    player(programs, "exit 0", "aplay")
    player(programs, "exit 0", "play")
    assert Path(Sound("", owner).player[0]).name == "aplay"  # type: ignore[index]
    assert Path(Sound("play", owner).player[0]).name == "play"  # type: ignore[index]


def test_sound_that_is_off_starts_nothing(programs: Path, owner: QWidget, tmp_path: Path) -> None:
    player(programs, f"echo played > {tmp_path / 'played'}")
    sound = Sound("", owner)
    sound.enabled = False
    sound.play(Level.CALM)
    assert sound._process is None
    sound.close()
    assert not (tmp_path / "played").exists()


@pytest.mark.parametrize("level", list(Level))
def test_every_level_has_a_tone_that_is_a_wav_file(level: Level, tmp_path: Path) -> None:
    file = tmp_path / "tone.wav"
    write_tone(file, NOTES[level])
    with wave.open(os.fspath(file)) as tone:
        assert (tone.getnchannels(), tone.getsampwidth(), tone.getframerate()) == (1, 2, RATE_HZ)
        length_s = tone.getnframes() / RATE_HZ
        assert length_s == pytest.approx(sum(s for _, s in NOTES[level]), abs=0.01)
        assert any(tone.readframes(tone.getnframes())), "it is not silence"
