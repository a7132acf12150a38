"""One running program a data folder, however the last one ended."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from candlebench.core.errors import FixableError
from candlebench.records.lock import DataLock

HOLDER = """
import sys
from pathlib import Path
from candlebench.records.lock import DataLock
with DataLock(Path(sys.argv[1])):
    print("held", flush=True)
    sys.stdin.read()
"""


def test_a_second_program_is_refused_kindly_until_the_first_is_killed(tmp_path: Path) -> None:
    command = [sys.executable, "-c", HOLDER, str(tmp_path)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as first:
        assert first.stdout is not None
        assert first.stdout.readline() == "held\n"
        with pytest.raises(FixableError) as caught:
            DataLock(tmp_path)
        said = str(caught.value)
        assert f"process {first.pid}" in said and str(tmp_path) in said and "--data" in said
        first.send_signal(signal.SIGKILL)
        first.wait()
    with DataLock(tmp_path) as lock:
        assert lock.held
        assert (tmp_path / "candlebench.lock").read_text() == f"{os.getpid()}\n"


def test_a_released_folder_can_be_held_again(tmp_path: Path) -> None:
    first = DataLock(tmp_path)
    with pytest.raises(FixableError):
        DataLock(tmp_path)
    first.release()
    first.release()
    DataLock(tmp_path).release()


def test_two_folders_are_held_apart(tmp_path: Path) -> None:
    with DataLock(tmp_path / "one"), DataLock(tmp_path / "two"):
        pass


def test_a_folder_that_cannot_be_written_is_held_from_another_place(tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("")
    places = (tmp_path / "rescue",)
    with DataLock(blocked, places), pytest.raises(FixableError):
        DataLock(blocked, places)


def test_without_any_place_for_a_lock_the_melt_goes_on(tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("")
    with DataLock(blocked) as lock:
        assert not lock.held
