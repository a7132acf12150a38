"""The wheel works by itself: built, installed in a fresh venv, run from a folder that is not the checkout."""

import json
import math
import os
import subprocess
import sys
import sysconfig
from collections.abc import Sequence
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]


def run(command: Sequence[str | Path], folder: Path, **environment: str) -> subprocess.CompletedProcess[str]:
    done = subprocess.run(
        command, cwd=folder, env={**os.environ, **environment}, capture_output=True, text=True, timeout=120
    )
    assert done.returncode == 0, f"{command}\n{done.stdout}\n{done.stderr}"
    return done


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of commands of a fresh venv that holds the wheel and nothing else of this project.

    What the program needs is taken from the venv of the tests, by a path file, so that nothing is fetched.
    """
    folder = tmp_path_factory.mktemp("wheel")
    run([sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", folder, ROOT], folder)
    (wheel,) = folder.glob("candlebench-*.whl")
    run([sys.executable, "-m", "venv", "--without-pip", folder / "venv"], folder)
    python = folder / "venv" / "bin" / "python"
    pip = [sys.executable, "-m", "pip", "--python", python, "--disable-pip-version-check"]
    run([*pip, "install", "--no-deps", "--no-index", wheel], folder)
    where = run(
        [python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"], folder
    ).stdout.strip()
    # Path files of a folder named in a path file are not read, so the checkout itself does not come along.
    (Path(where.strip()) / "borrowed.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    return python.parent


def test_the_wheel_brings_its_own_code_and_every_resource(installed: Path, tmp_path: Path) -> None:
    question = """
import candlebench
from candlebench.resources_folder import resources_folder
print(candlebench.__file__)
print(resources_folder())
"""
    code, resources = run([installed / "python", "-c", question], tmp_path).stdout.splitlines()
    venv = installed.parent
    assert Path(code).is_relative_to(venv) and Path(resources).is_relative_to(venv)

    def files(folder: Path) -> set[str]:
        return {str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file()}

    assert files(Path(resources)) == files(ROOT / "resources")
    assert {"data", "practice"} <= {path.name for path in Path(resources).iterdir()}


def test_the_installed_command_forecasts_a_cooling_jug_of_water(installed: Path, tmp_path: Path) -> None:
    # Newton's law of cooling, from 85 C in a room of 20 C with a time constant of 50 min: the crossing of
    # 70 C is known in closed form, tau ln((85 - 20) / (70 - 20)) = 787 s.
    tau_s, room_c, start_c, target_c = 3000.0, 20.0, 85.0, 70.0
    series = tmp_path / "series.csv"
    times_s = range(0, 601, 5)
    rows = [f"{t},{room_c + (start_c - room_c) * math.exp(-t / tau_s):.2f}" for t in times_s]
    series.write_text("\n".join(["elapsed_s,temp_c", *rows]) + "\n", encoding="utf-8")
    command = [installed / "candlebench", "forecast", series, "--room", "20", "--wax", "none"]
    done = run([*command, "--target", str(target_c), "--json"], tmp_path)
    answers = [json.loads(line) for line in done.stdout.splitlines()]
    assert [answer["elapsed_s"] for answer in answers] == [float(t) for t in times_s]
    last = answers[-1]["forecasts"][0]
    true_s = tau_s * math.log((start_c - room_c) / (target_c - room_c)) - times_s[-1]
    assert last["target_c"] == target_c
    assert last["low_s"] <= true_s <= last["high_s"]
    assert last["in_s"] == pytest.approx(true_s, rel=0.10)


def test_a_window_of_the_installed_program_opens_and_closes(installed: Path, tmp_path: Path) -> None:
    data = tmp_path / "shop"
    command = [installed / "python", "-m", "candlebench", "--demo", "--data", data]
    run(command, tmp_path, QT_QPA_PLATFORM="offscreen", CANDLEBENCH_CLOSE_AFTER_S="2")
    assert any(data.rglob("*")), "the practice melt was not recorded in the folder that --data names"
