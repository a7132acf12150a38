"""What every test gets: a home of its own, no screen, and a check that it leaves nothing running."""

import gc
import os
import shutil
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import hypothesis
import pytest

# The same examples in every run, so that a failure is about the change at hand; HYPOTHESIS_PROFILE=wild looks
# for others.
hypothesis.settings.register_profile("steady", derandomize=True)
hypothesis.settings.register_profile("wild", derandomize=False)
hypothesis.settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))

# Before anything imports Qt: a test never opens a window on the person's own screen.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

ROOT = Path(__file__).resolve().parents[1]
QT_FIXTURES = {"qapp", "qtbot", "qtmodeltester"}


@pytest.fixture(scope="session")
def shared() -> Path:
    """The folder of measured series and other open data beside the checkout; skips where there is none."""
    folder = ROOT.parent / "shared" / "data"
    if not folder.is_dir():
        pytest.skip(f"the measured data that lies beside the checkout ({folder}) is not here")
    return folder


@pytest.fixture(scope="session")
def _font_cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("cache")


@pytest.fixture(autouse=True)
def own_home(
    tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch, _font_cache: Path
) -> Path:
    """A home folder for this one test and the processes it starts, so that nobody's own melts are touched."""
    home = tmp_path_factory.mktemp("home")
    monkeypatch.setenv("HOME", str(home))
    monkeypatch.setenv("XDG_DATA_HOME", str(home / "data"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(home / "config"))
    monkeypatch.setenv("XDG_STATE_HOME", str(home / "state"))
    # One for all tests: fontconfig would otherwise read every font again in each process.
    monkeypatch.setenv("XDG_CACHE_HOME", str(_font_cache))
    monkeypatch.setenv("CANDLEBENCH_DATA", str(home / "candlebench"))
    return home


@pytest.fixture(autouse=True)
def _leaves_no_thread() -> Iterator[None]:
    before = set(threading.enumerate())
    yield
    left = [thread for thread in threading.enumerate() if thread not in before and _is_ours(thread)]
    deadline = time.monotonic() + 2.0
    for thread in left:
        thread.join(max(0.0, deadline - time.monotonic()))
    names = [thread.name for thread in left if thread.is_alive()]
    assert not names, f"the test left threads running: {names}"


def _is_ours(thread: threading.Thread) -> bool:
    # A dummy stands for a thread that something other than Python began, such as Qt's; it is never joined.
    return not isinstance(thread, threading._DummyThread) and not thread.name.startswith("pytest")


@pytest.fixture(autouse=True)
def _leaves_no_qt(request: pytest.FixtureRequest) -> Iterator[None]:
    if not QT_FIXTURES & set(request.fixturenames):
        yield
        return
    windows_before, timers_before = _windows(), _running_timers()
    yield
    _delete_what_waits_for_it()
    if _windows().keys() - windows_before.keys() or _running_timers().keys() - timers_before.keys():
        # Widgets in a reference cycle go with the next collection: that is no leak.
        gc.collect()
        _delete_what_waits_for_it()
    windows = [window for key, window in _windows().items() if key not in windows_before]
    timers = [timer for key, timer in _running_timers().items() if key not in timers_before]
    said = [f"{type(window).__name__} '{window.windowTitle()}'" for window in windows]
    said += [f"a timer of {timer.interval()} ms under {timer.parent()!r}" for timer in timers]
    # The next test must not suffer for this one.
    for timer in timers:
        timer.stop()
    for window in windows:
        window.close()
        window.deleteLater()
    _delete_what_waits_for_it()
    assert not said, f"the test left in Qt: {said}"


def _delete_what_waits_for_it() -> None:
    from PySide6.QtCore import QCoreApplication, QEvent

    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


def _windows() -> dict[int, Any]:
    from PySide6.QtWidgets import QApplication

    # Qt keeps the last tooltip's own little window for the next one.
    found = [window for window in QApplication.topLevelWidgets() if type(window).__name__ != "QTipLabel"]
    return {id(window): window for window in found}


def _running_timers() -> dict[int, Any]:
    from PySide6.QtCore import QTimer
    from shiboken6 import isValid

    timers = [thing for thing in gc.get_objects() if isinstance(thing, QTimer)]
    return {id(timer): timer for timer in timers if isValid(timer) and timer.isActive()}


@pytest.fixture(scope="session")
def xvfb() -> Iterator[str]:
    """The DISPLAY of a real X server that nobody sees, 1280 x 800, for processes a test starts."""
    server = shutil.which("Xvfb")
    if server is None:
        pytest.skip("Xvfb is not installed (scripts/test installs it)")
    # The server picks a free number and writes it, with a line end, when it is ready.
    command = [server, "-displayfd", "1", "-screen", "0", "1280x800x24", "-nolisten", "tcp"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True) as process:
        assert process.stdout is not None
        number = process.stdout.readline().strip()
        if not number:
            pytest.fail(f"Xvfb did not start (exit code {process.wait()})")
        yield f":{number}"
        process.terminate()


def pytest_report_header() -> str:
    return f"candlebench tests on Python {sys.version.split()[0]}, {os.environ['QT_QPA_PLATFORM']}"
