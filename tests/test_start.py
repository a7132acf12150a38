"""The command `scripts/start`, once the checkout is set up: quick, and of use without a screen too."""

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
START = ROOT / "scripts" / "start"
DISPLAY_CHECK = ROOT / "scripts" / "_display.py"
NO_SUCH_SCREEN = ":987"


def without_screen(**more: str) -> dict[str, str]:
    screens = {"DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"}
    kept = {name: value for name, value in os.environ.items() if name not in screens}
    return {**kept, "PYTHONUNBUFFERED": "1", **more}


@pytest.fixture(scope="module", autouse=True)
def _set_up() -> None:
    # A checkout that is not set up would be set up by the first call, which is no matter for a test.
    question = f'source "{ROOT}/scripts/_setup.sh" && cd "$root" && is_ready start'
    if subprocess.run(["bash", "-c", question], timeout=60).returncode != 0:
        pytest.skip("this checkout was not set up by scripts/start or scripts/test")


def test_nothing_is_done_again_on_a_checkout_that_is_ready() -> None:
    began_s = time.perf_counter()
    direct = subprocess.run(
        [ROOT / ".venv" / "bin" / "python", "-m", "candlebench", "--version"], capture_output=True, timeout=60
    )
    between_s = time.perf_counter()
    started = subprocess.run([START, "--version"], capture_output=True, timeout=60)
    overhead_s = (time.perf_counter() - between_s) - (between_s - began_s)
    assert (started.returncode, started.stdout, started.stderr) == (0, direct.stdout, b"")
    assert overhead_s < 1.0


def test_file_names_are_those_of_the_folder_it_is_called_from(tmp_path: Path) -> None:
    (tmp_path / "candlebench.py").write_text("raise SystemExit('the wrong candlebench')\n", encoding="utf-8")
    rows = "".join(f"{10 * n},{80 - n / 10}\n" for n in range(5))
    (tmp_path / "melt.csv").write_text(f"elapsed_s,temp_c\n{rows}", encoding="utf-8")
    command = [START, "forecast", "melt.csv", "--wax", "none", "--target", "70", "--json"]
    done = subprocess.run(
        command, cwd=tmp_path, env=without_screen(), capture_output=True, text=True, timeout=60
    )
    assert done.returncode == 0, done.stderr
    assert len(done.stdout.splitlines()) == 5


@pytest.mark.parametrize(
    ("screen", "reason"),
    [({}, "no screen here"), ({"DISPLAY": NO_SUCH_SCREEN}, f"'{NO_SUCH_SCREEN}' cannot be reached")],
)
def test_without_a_screen_it_says_so_and_shows_the_practice_melt(
    screen: dict[str, str], reason: str, own_home: Path
) -> None:
    data = own_home / "bench"
    with subprocess.Popen(
        [START, "--demo", "--data", data],
        env=without_screen(**screen),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    ) as process:
        assert process.stdout is not None
        lines = []
        for line in process.stdout:
            lines.append(line)
            if "°C" in line:
                break
        process.terminate()
    said = "".join(lines)
    assert reason in lines[0]
    assert "practice melt in the console" in lines[0]
    assert "°C" in lines[-1], said
    assert list(data.iterdir()), "the practice melt was not kept in the folder that --data names"


def test_a_screen_is_told_from_one_that_is_not_there(xvfb: str) -> None:
    def answer(**screen: str) -> int:
        command = [sys.executable, "-IS", DISPLAY_CHECK]
        return subprocess.run(command, env=without_screen(**screen), timeout=30).returncode

    assert answer(DISPLAY=xvfb) == 0
    assert answer(DISPLAY=NO_SUCH_SCREEN) == 1
    assert answer(WAYLAND_DISPLAY="no-such-socket", XDG_RUNTIME_DIR="/") == 1
    assert answer(WAYLAND_DISPLAY="no-such-socket", DISPLAY=xvfb) == 0
