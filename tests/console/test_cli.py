"""The commands' common ground: help, wrong usage, exit codes."""

import pytest

from candlebench import __version__
from candlebench.cli import run


@pytest.mark.parametrize(
    "arguments",
    [
        ["watch"],
        ["forecast"],
        ["forecast", "a.csv", "--target", "hot"],
        ["forecast", "a.csv", "--target", "nan"],
        ["forecast", "a.csv", "--room", "inf"],
        ["practice", "first-jug"],
        ["export", "latest"],
        ["candles"],
        ["melts", "--loud"],
    ],
    ids=" ".join,
)
def test_wrong_usage_is_exit_code_2_with_a_hint(
    arguments: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        run(arguments)
    assert ended.value.code == 2
    said = capsys.readouterr()
    assert said.out == "" and "usage: candlebench" in said.err


def test_help_names_every_command(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        run(["--help"])
    assert ended.value.code == 0
    said = capsys.readouterr().out
    for command in ("watch", "forecast", "practice", "ports", "melts", "export", "--demo", "--data"):
        assert command in said


def test_the_version_is_the_packages(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        run(["--version"])
    assert ended.value.code == 0
    assert capsys.readouterr().out.strip() == f"candlebench {__version__}"


def test_a_missing_file_is_exit_code_1_and_one_sentence(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["forecast", "nowhere.csv", "--target", "70"]) == 1
    said = capsys.readouterr().err
    assert "nowhere.csv" in said and len(said.strip().splitlines()) == 1


def test_a_comma_is_a_decimal_sign_too(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["forecast", "nowhere.csv", "--target", "70,5", "--room", "21,5"]) == 1
    assert "nowhere.csv" in capsys.readouterr().err
