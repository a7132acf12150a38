"""A probe is checked on the console: what is printed, what is kept, and how it ends."""

import json
import math
import time
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from candlebench.cli import run
from candlebench.records.probes import FILE_NAME, Probes
from candlebench.records.set_aside import local_day

Capture = pytest.CaptureFixture[str]
KITCHEN = ["--probe", "kitchen"]
TWO_POINTS = [*KITCHEN, "--ice", "0.4", "--boiling", "99.1", "--pressure", "1013.25"]


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    return tmp_path / "shop"


def check(shop: Path, *words: str) -> int:
    return run(["check", *words, "--data", str(shop)])


def printed(capsys: Capture) -> str:
    return capsys.readouterr().out


def row(shop: Path, capsys: Capture, *words: str) -> Any:
    capsys.readouterr()
    assert check(shop, *words, "--json") == 0
    return json.loads(printed(capsys))


def refusal(shop: Path, capsys: Capture, *words: str) -> str:
    """The one sentence of a check that cannot be; nothing is printed or kept."""
    assert check(shop, *words) == 1
    said = capsys.readouterr()
    assert said.out == "" and said.err.endswith("\n") and said.err.count("\n") == 1
    assert not (shop / FILE_NAME).exists()
    return said.err.strip()


def test_two_points_are_told_in_sentences_and_kept(shop: Path, capsys: Capture) -> None:
    assert check(shop, *TWO_POINTS, "--class", "B") == 0
    out = printed(capsys)
    assert "melting ice, 0 °C: it showed 0.40 °C." in out
    assert "boiling water, 100 °C at 1013 hPa: it showed 99.10 °C." in out
    # Straight through (0.4, 0.0) and (99.1, 99.97): 70.50 and 85.69, by hand.
    assert "When it shows 70 °C it is 70.5 °C, and 85 °C is 85.7 °C, give or take 0.5 °C." in out
    assert "“Pt100, class B”" in out and "Caution: Steam burns" in out
    assert "Kept for “kitchen”" in out
    correction = Probes(lambda: shop).correction("Kitchen")
    assert correction is not None and correction.gain == pytest.approx(99.974 / 98.7, abs=2e-4)


def test_the_row_for_programs_has_the_correction_and_what_it_rests_on(shop: Path, capsys: Capture) -> None:
    found = row(shop, capsys, *TWO_POINTS, "--class", "pt100-b", "--on", "2026-05-04")
    assert found["kept"] is True and found["correction"]["checked_on"] == "2026-05-04"
    assert [at["read_c"] for at in found["true_at"]] == [70.0, 85.0]
    assert found["true_at"][1]["true_c"] == pytest.approx(85.69, abs=0.02)
    assert [point["kind"] for point in found["points"]] == ["ice", "boiling"]
    assert found["points"][1]["true_c"] == pytest.approx(99.97, abs=0.02)
    assert {each["verdict"] for each in found["verdicts"]} <= {"within", "outside", "undecided"}
    assert found["plunge"] is None


def test_show_only_keeps_nothing(shop: Path, capsys: Capture) -> None:
    assert check(shop, *TWO_POINTS, "--t90", "9", "--show-only") == 0
    assert "Nothing was kept." in printed(capsys) and not shop.exists()


def test_what_is_known_is_shown_with_its_history(shop: Path, capsys: Capture) -> None:
    old_day = (local_day(time.time()) - timedelta(days=500)).isoformat()
    check(shop, *TWO_POINTS, "--on", old_day)
    capsys.readouterr()
    assert check(shop, "--probe", "KITCHEN") == 0
    out = printed(capsys)
    assert f"“kitchen”, checked {old_day}" in out and "over a year ago" in out
    check(shop, *KITCHEN, "--ice", "0.1", "--boiling", "99.9", "--pressure", "1013.25", "--t90", "9")
    out = printed(capsys)
    assert f"Since {old_day}" in out and "s late" in out and "In a melt it is taken to be" in out
    known = row(shop, capsys, *KITCHEN)[0]
    assert [each["kind"] for each in known["history"]] == ["check", "check", "plunge"]
    assert known["correction"]["checked_on"] == local_day(time.time()).isoformat()
    assert known["plunge"]["t90_s"] == 9.0


def test_without_a_name_all_probes_are_listed(shop: Path, capsys: Capture) -> None:
    assert check(shop) == 0 and "No probe has been checked yet" in printed(capsys)
    check(shop, *TWO_POINTS)
    check(shop, "--probe", "thin", "--ice", "0,0")
    assert [each["probe"] for each in row(shop, capsys)] == ["thin", "kitchen"]


def test_forgotten_checks_are_used_no_more_and_still_listed(shop: Path, capsys: Capture) -> None:
    check(shop, *TWO_POINTS)
    assert check(shop, *KITCHEN, "--forget") == 0
    assert "is used as it reads" in printed(capsys)
    known = row(shop, capsys, *KITCHEN)[0]
    assert known["correction"] is None and known["history"][0]["forgotten"] is True
    assert check(shop, *KITCHEN, "--forget") == 1


def test_a_weather_report_with_the_altitude_is_as_good_as_a_barometer(shop: Path, capsys: Capture) -> None:
    report = row(
        shop, capsys, *KITCHEN, "--boiling", "96", "--report", "1013.25", "--altitude", "1000", "--show-only"
    )
    # Table of heat.md: 96.65 °C at 1000 m.
    assert report["points"][0]["true_c"] == pytest.approx(96.65, abs=0.03)
    barometer = row(shop, capsys, *KITCHEN, "--boiling", "96", "--pressure", "898.8", "--show-only")
    assert barometer["points"][0]["true_c"] == pytest.approx(96.65, abs=0.03)
    height = row(shop, capsys, *KITCHEN, "--boiling", "96", "--altitude", "1000", "--show-only")
    assert height["points"][0]["true_sd_k"] > 1.8 * report["points"][0]["true_sd_k"]


def test_the_altitude_of_the_settings_counts_when_none_is_given(
    shop: Path, capsys: Capture, own_home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CANDLEBENCH_SETTINGS", str(own_home))
    (own_home / "settings.toml").write_text("altitude_m = 1500.0\n", encoding="utf-8")
    found = row(shop, capsys, *KITCHEN, "--boiling", "94.5", "--show-only")
    # Table of heat.md: 94.98 °C at 1500 m.
    assert found["points"][0]["true_c"] == pytest.approx(94.98, abs=0.03)


def test_readings_of_a_file_stand_for_a_number_once_settled(shop: Path, capsys: Capture) -> None:
    file = shop.with_name("ice.csv")
    lines = [f"{second},{0.3 + 20.0 * math.exp(-second / 6.0):.1f}" for second in range(120)]
    file.write_text("\n".join(["elapsed_s,temp_c", *lines]), encoding="utf-8")
    found = row(shop, capsys, *KITCHEN, "--ice", str(file), "--show-only")
    assert found["points"][0]["shown_c"] == pytest.approx(0.3, abs=0.02)
    file.write_text("\n".join(["elapsed_s,temp_c", *lines[:40]]), encoding="utf-8")
    assert "had not settled. Still falling" in refusal(shop, capsys, *KITCHEN, "--ice", str(file))


def test_a_plunge_is_read_from_a_file(shop: Path, capsys: Capture) -> None:
    # First order, 6 s, into water of 75 °C after 15.2 s.
    file = shop.with_name("plunge.csv")
    rows = [0.5 * number for number in range(200)]
    temps = [21.0 if t < 15.2 else 75.0 - 54.0 * math.exp(-(t - 15.2) / 6.0) for t in rows]
    file.write_text(
        "\n".join(f"{t},{temp:.1f}" for t, temp in zip(rows, temps, strict=True)), encoding="utf-8"
    )
    assert check(shop, *KITCHEN, "--plunge", str(file)) == 0
    out = printed(capsys)
    assert "It follows stirred water 6.0 s late" in out and "Caution: Hot water scalds" in out
    assert "forecasts of melts" in out
    plunge = Probes(lambda: shop).plunge("kitchen")
    assert plunge is not None and plunge.lag_s == pytest.approx(6.0, rel=0.03)
    assert row(shop, capsys, *KITCHEN, "--plunge", str(file), "--in-wax")["plunge"]["medium"] == "wax"


def test_another_thermometer_may_stand_for_the_truth(shop: Path, capsys: Capture) -> None:
    found = row(shop, capsys, *KITCHEN, "--beside", "70.4=70,0", "--trust", "0.5", "--show-only")
    assert found["correction"]["gain"] == 1.0
    assert found["correction"]["offset_c"] == pytest.approx(-0.4)
    assert found["points"][0]["true_sd_k"] == 0.25


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--ice", "32"], "°F"),
        (["--ice", "8"], "crushed ice"),
        (["--ice", "warm.csv"], "no file"),
        (["--boiling", "85"], "rolling boil"),
        (["--boiling", "99", "--pressure", "1015", "--altitude", "900"], "sea level"),
        (["--boiling", "99", "--altitude", "99000"], "altitude"),
        (["--beside", "70"], "what the probe showed, ="),
        (["--ice", "0", "--class", "gold"], "pt100-b"),
        (["--ice", "0", "--on", "May"], "is no day"),
        (["--ice", "0", "--on", "2999-01-01"], "still to come"),
        (["--t90", "0"], "stopwatch|seconds|between"),
        (["--plunge", "nowhere.csv"], "no file"),
    ],
)
def test_what_cannot_be_is_exit_code_1_and_one_sentence(
    shop: Path, capsys: Capture, words: list[str], says: str
) -> None:
    said = refusal(shop, capsys, *KITCHEN, *words)
    assert any(each in said for each in says.split("|")) and said.endswith(".")


@pytest.mark.parametrize(
    "words",
    [
        ["--ice", "0.4"],
        ["--forget"],
        ["--use-again"],
        [*KITCHEN, "--use-again", "--forget"],
        [*TWO_POINTS, "--use-again"],
        [*TWO_POINTS, "--report", "1013"],
        [*TWO_POINTS, "--forget"],
        [*KITCHEN, "--t90", "soon"],
        [*KITCHEN, "--plunge", "a.csv", "--t90", "9"],
    ],
    ids=" ".join,
)
def test_wrong_usage_is_exit_code_2(shop: Path, capsys: Capture, words: list[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        check(shop, *words)
    assert ended.value.code == 2
    said = capsys.readouterr()
    assert said.out == "" and "usage: candlebench check" in said.err
    assert not shop.exists()


def test_a_line_that_cannot_be_read_is_said_and_the_rest_shown(shop: Path, capsys: Capture) -> None:
    check(shop, *TWO_POINTS)
    with (shop / FILE_NAME).open("a", encoding="utf-8") as file:
        file.write("spoilt\n")
    capsys.readouterr()
    assert check(shop, *KITCHEN) == 0
    said = capsys.readouterr()
    assert "Line 2 of" in said.err and "checked" in said.out


def test_what_was_forgotten_is_used_again(shop: Path, capsys: Capture) -> None:
    check(shop, *TWO_POINTS)
    before = Probes(lambda: shop).correction("kitchen")
    assert check(shop, *KITCHEN, "--forget") == 0
    assert Probes(lambda: shop).correction("kitchen") is None
    assert check(shop, *KITCHEN, "--use-again") == 0
    assert Probes(lambda: shop).correction("kitchen") == before is not None
    capsys.readouterr()
    assert check(shop, *KITCHEN, "--use-again") == 1
    assert "was left out" in capsys.readouterr().err


def test_a_check_is_kept_elsewhere_when_its_folder_cannot_be_written(
    shop: Path, capsys: Capture, own_home: Path
) -> None:
    shop.write_text("a file in the place of the folder", encoding="utf-8")
    assert check(shop, *TWO_POINTS) == 0
    assert f"kept in {own_home / 'candlebench-rescue'}" in capsys.readouterr().err
    assert check(shop) == 0
    assert "kitchen" in printed(capsys)
    shop.unlink()
    assert check(shop, *KITCHEN, "--t90", "9") == 0
    assert len((shop / FILE_NAME).read_bytes().splitlines()) == 2


def test_it_runs_while_a_window_has_the_records_open(shop: Path, capsys: Capture) -> None:
    from candlebench.records.lock import DataLock

    shop.mkdir()
    with DataLock(shop):
        assert check(shop, *TWO_POINTS) == 0
    assert Probes(lambda: shop).names() == ("kitchen",)
