"""Keeps the machine from falling asleep during a melt, where the system allows it, or says that it cannot."""

import ctypes
import os
import shutil
import sys

from PySide6.QtCore import QObject, QProcess, QTimer, Signal

from candlebench.words import tr

# SetThreadExecutionState flags, learn.microsoft.com: ES_CONTINUOUS, ES_SYSTEM_REQUIRED.
_ES_CONTINUOUS, _ES_SYSTEM_REQUIRED = 0x80000000, 0x00000001
# A helper that is still there after this long has been granted its wish.
_GRANTED_MS = 1500


class KeepAwake(QObject):
    """`failed` says in a sentence that the machine may fall asleep. The hold ends with the process."""

    failed = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._process: QProcess | None = None
        self.granted = False
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_GRANTED_MS)
        self._timer.timeout.connect(self._still_there)

    def hold(self) -> None:
        """Ask the system to stay awake."""
        if self._process is not None or self.granted:
            return
        if sys.platform == "win32":
            kernel = ctypes.windll.kernel32
            self.granted = bool(kernel.SetThreadExecutionState(_ES_CONTINUOUS | _ES_SYSTEM_REQUIRED))
            if not self.granted:
                self._say()
            return
        command = _command()
        if command is None:
            self._say()
            return
        self._process = QProcess(self)
        self._process.finished.connect(lambda *_: self._gone())
        self._process.errorOccurred.connect(lambda *_: self._gone())
        self._process.start(command[0], command[1:])
        self._timer.start()

    def release(self) -> None:
        """Let the machine sleep again."""
        self._timer.stop()
        if sys.platform == "win32" and self.granted:
            ctypes.windll.kernel32.SetThreadExecutionState(_ES_CONTINUOUS)
        self.granted = False
        if self._process is not None:
            process, self._process = self._process, None
            process.blockSignals(True)
            process.closeWriteChannel()
            if not process.waitForFinished(500):
                process.kill()
                process.waitForFinished(500)
            process.deleteLater()

    def _still_there(self) -> None:
        self.granted = self._process is not None

    def _gone(self) -> None:
        if self._process is None:
            return
        self._timer.stop()
        process, self._process = self._process, None
        process.deleteLater()
        self.granted = False
        self._say()

    def _say(self) -> None:
        self.failed.emit(
            tr("This computer may fall asleep during the melt: switch that off in its power settings.")
        )


def _command() -> list[str] | None:
    """A helper that holds the machine awake as long as our end of its pipe is open."""
    if sys.platform == "darwin" and (path := shutil.which("caffeinate")):
        return [path, "-i", "-w", str(os.getpid())]
    path, cat = shutil.which("systemd-inhibit"), shutil.which("cat")
    if path and cat:
        return [path, "--what=idle:sleep", "--who=candlebench", "--why=" + tr("a melt is on the hob"), cat]
    return None
