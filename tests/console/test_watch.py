"""`candlebench watch`: a live melt without a window."""

import json
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from candlebench.cli import run

KEYS = ["elapsed_s", "temp_c", "stage", "forecasts", "notices"]


@pytest.fixture
def series(tmp_path: Path) -> Path:
    """A jug that was heated and taken off: invented, only the plumbing is checked with it."""
    file = tmp_path / "jug.csv"
    temps = [min(82.0, 60.0 + 0.05 * t) if t < 600 else 82.0 - 0.01 * (t - 600) for t in range(0, 1800, 10)]
    rows = [f"{10 * i},{temp:.2f}" for i, temp in enumerate(temps)]
    file.write_text("\n".join(["elapsed_s,temp_c", *rows]) + "\n", encoding="utf-8")
    return file


def test_json_has_one_object_a_reading_with_exactly_the_agreed_keys(
    series: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    source = f"replay:{series}?speed=2000"
    assert run(["watch", "--source", source, "--target", "70", "--json", "--data", str(tmp_path / "d")]) == 0
    found = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert len(found) == 180
    for row in found:
        assert list(row) == KEYS
        assert list(row["forecasts"][0]) == ["target_c", "in_s", "low_s", "high_s"]
        for notice in row["notices"]:
            assert list(notice) == ["kind", "code", "text"]
            assert notice["kind"] in ("cue", "alarm") and notice["text"]
    codes = [n["code"] for row in found for n in row["notices"]]
    assert "too_hot" in codes, "82 C is above the first warning of 80 C"
    assert found[-1]["stage"] == "off the heat", "noticed from the curve by itself"


def test_a_watched_melt_is_recorded_like_any_other(
    series: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data, out = str(tmp_path / "d"), tmp_path / "out.csv"
    assert run(["watch", "--source", f"replay:{series}?speed=5000", "--data", data]) == 0
    capsys.readouterr()
    assert run(["melts", "--json", "--data", data]) == 0
    (melt,) = json.loads(capsys.readouterr().out)
    assert melt["length_s"] >= 1790.0 and melt["events"] >= 181
    assert run(["export", "latest", "--csv", str(out), "--data", data]) == 0
    assert out.read_text(encoding="utf-8").startswith("elapsed_s,wall_time,temp_c")


@pytest.mark.parametrize(
    ("source", "word"),
    [
        ("kettle:", "no thermometer address"),
        ("replay:nowhere.csv", "nowhere.csv"),
        ("practice:no-such-melt", "no-such-melt"),
        ("practice:first-jug?speed=0", "speed"),
        ("serial:/dev/ttyUSB0?baud=fast", "baud=9600"),
    ],
)
def test_a_source_that_cannot_be_is_exit_code_1_and_a_sentence(
    source: str, word: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["watch", "--source", source]) == 1
    said = capsys.readouterr()
    assert said.out == "" and word in said.err and len(said.err.strip().splitlines()) == 1


def test_a_second_watch_is_refused_and_ctrl_c_ends_the_first_well(tmp_path: Path) -> None:
    data = str(tmp_path / "d")
    command = [sys.executable, "-m", "candlebench", "watch", "--source", "practice:first-jug?speed=50"]
    command += ["--json", "--data", data]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as first:
        try:
            assert first.stdout is not None
            assert list(json.loads(first.stdout.readline())) == KEYS
            second = subprocess.run(command, capture_output=True, text=True, timeout=30, check=False)
            assert second.returncode == 1
            assert second.stdout == "" and "open" in second.stderr
            assert len(second.stderr.strip().splitlines()) == 1
            listing = [sys.executable, "-m", "candlebench", "melts", "--json", "--data", data]
            listed = subprocess.run(listing, capture_output=True, text=True, timeout=30, check=True)
            assert isinstance(json.loads(listed.stdout), list), "reading is allowed meanwhile"
            first.send_signal(signal.SIGINT)
            _, said = first.communicate(timeout=20)
        except BaseException:
            first.kill()
            raise
    assert first.returncode == 0 and "Traceback" not in said
    listed = subprocess.run(listing, capture_output=True, text=True, timeout=30, check=True)
    (melt,) = json.loads(listed.stdout)
    assert melt["events"] > 1 and not melt["finished"]
