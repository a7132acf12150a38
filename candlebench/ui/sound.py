"""Sounds through whatever player the system has, found at start. Honest when there is none."""

import math
import shutil
import struct
import tempfile
import wave
from pathlib import Path

from PySide6.QtCore import QObject, QProcess, Signal

from candlebench.core.state import Level
from candlebench.words import tr

# Players of plain WAV files and their arguments, the best first.
PLAYERS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("pw-play", ()),
    ("paplay", ()),
    ("aplay", ("-q",)),
    ("afplay", ()),
    ("play", ("-q",)),
    ("ffplay", ("-nodisp", "-autoexit", "-loglevel", "error")),
)
RATE_HZ = 22050
# Two friendly notes for a cue, three urgent ones for an alarm (Hz, seconds). Our own.
NOTES: dict[Level, tuple[tuple[float, float], ...]] = {
    Level.CALM: ((659.3, 0.16), (880.0, 0.28)),
    Level.WARNING: ((880.0, 0.18), (0.0, 0.06), (880.0, 0.18), (0.0, 0.06), (659.3, 0.30)),
    Level.DANGER: ((987.8, 0.14), (0.0, 0.05)) * 5,
}


def find_player(wanted: str = "") -> tuple[str, tuple[str, ...]] | None:
    """Return the path and the arguments of a player on this machine, or None."""
    for name, arguments in PLAYERS:
        path = shutil.which(name)
        if path and wanted in ("", name):
            return path, arguments
    return None


def write_tone(path: Path, notes: tuple[tuple[float, float], ...]) -> None:
    """Write notes (Hz, seconds; 0 Hz is silence) as a WAV file, each with a soft beginning and end."""
    frames = bytearray()
    for frequency_hz, length_s in notes:
        count = int(length_s * RATE_HZ)
        for i in range(count):
            soft = min(1.0, i / 200.0, (count - i) / 900.0)
            value = (
                0.55 * soft * math.sin(2.0 * math.pi * frequency_hz * i / RATE_HZ) if frequency_hz else 0.0
            )
            frames += struct.pack("<h", int(value * 32767))
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE_HZ)
        file.writeframes(bytes(frames))


class Sound(QObject):
    """Plays the sound of a level. `tested` says in a sentence how a test went."""

    tested = Signal(str)

    def __init__(self, wanted_player: str = "", parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.enabled = True
        self.player = find_player(wanted_player)
        self._folder: tempfile.TemporaryDirectory[str] | None = None
        self._process: QProcess | None = None
        self._testing = False

    def play(self, level: Level) -> None:
        """Play the sound of a level, unless sound is off, or a sound is still playing."""
        if self.enabled and self.player is not None:
            self._start(level)

    def test(self) -> None:
        """Play the cue's sound, also while sound is off, and say what happened."""
        if self.player is None:
            names = ", ".join(name for name, _ in PLAYERS)
            self.tested.emit(
                tr(
                    "No sound player was found on this computer, so cues are silent: install one of {names}."
                ).format(names=names)
            )
            return
        self._testing = True
        self._start(Level.CALM)

    def close(self) -> None:
        """Stop a sound that is playing and remove the tones."""
        if self._process is not None:
            self._process.blockSignals(True)
            self._process.kill()
            self._process.waitForFinished(1000)
            self._process = None
        if self._folder is not None:
            self._folder.cleanup()
            self._folder = None

    def _start(self, level: Level) -> None:
        if self._process is not None or self.player is None:
            return
        if self._folder is None:
            self._folder = tempfile.TemporaryDirectory(prefix="candlebench-sound-")
        path = Path(self._folder.name) / f"{level.value}.wav"
        if not path.exists():
            write_tone(path, NOTES[level])
        program, arguments = self.player
        self._process = QProcess(self)
        self._process.finished.connect(self._finished)
        self._process.errorOccurred.connect(lambda _error: self._finished(-1))
        self._process.start(program, [*arguments, str(path)])

    def _finished(self, code: int, _status: object = None) -> None:
        process, self._process = self._process, None
        if process is None:
            return
        said = bytes(process.readAllStandardError().data()).decode(errors="replace").strip().splitlines()
        process.deleteLater()
        if not self._testing:
            return
        self._testing = False
        name = Path(self.player[0]).name if self.player else ""
        if code == 0:
            self.tested.emit(tr("Played by {player}. Nothing heard? Turn the volume up.").format(player=name))
        else:
            why = said[-1] if said else tr("it gave no reason")
            self.tested.emit(
                tr(
                    "{player} could not play it ({why}): check that a loudspeaker is connected and chosen."
                ).format(player=name, why=why)
            )
