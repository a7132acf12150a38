"""`candlebench plan`: what it reads, what it prints, what it refuses."""

import json
from typing import Any

import pytest

from candlebench.console.plan import plan, read_jar, read_oil
from candlebench.core.errors import FixableError


def printed(capsys: pytest.CaptureFixture[str], *oils: str, **options: Any) -> str:
    given = {"jar": "75x80", "count": 6, "wax": "beeswax", "as_json": False, **options}
    assert plan(oils=oils, **given) == 0
    said = capsys.readouterr()
    assert said.err == ""
    return said.out


def row(capsys: pytest.CaptureFixture[str], *oils: str, **options: Any) -> dict[str, Any]:
    out = printed(capsys, *oils, as_json=True, **options)
    assert len(out.splitlines()) == 1
    found: dict[str, Any] = json.loads(out)
    return found


def test_the_json_has_what_scripts_depend_on(capsys: pytest.CaptureFixture[str]) -> None:
    found = row(capsys, "lavender=6%")
    assert {"wax_g", "oil_g", "oil_ml", "pellets_ml", "wick", "cautions"} <= set(found)
    assert found["oil_g"] / (found["oil_g"] + found["wax_g"]) == pytest.approx(0.06, abs=2e-4)
    # O1: 0.883 g/mL.
    assert found["oil_ml"] == pytest.approx(found["oil_g"] / 0.883, abs=0.05)
    # E23: 353.43 mL and 296.9 g at 70 degC a jar.
    assert found["volume_ml"] == pytest.approx(353.4, abs=0.05)
    assert found["candle_g"] == pytest.approx(297.0, abs=0.5)
    assert found["wick"]["count"] == 1 and found["wick"]["positions_mm"] == [[0.0, 0.0]]
    assert {"code", "level", "text", "why"} == set(found["cautions"][0])


def test_a_plain_candle_has_no_oil(capsys: pytest.CaptureFixture[str]) -> None:
    found = row(capsys)
    assert (found["oil_g"], found["oil_ml"], found["oils"], found["flash_c"]) == (0.0, 0.0, [], None)


def test_a_closed_window_is_null_and_a_caution(capsys: pytest.CaptureFixture[str]) -> None:
    found = row(capsys, "orange=6%")
    assert found["oil_window_c"] is None and found["most_oil_pct"] == 4.5
    assert found["cautions"][0]["code"] == "no_window" and found["cautions"][0]["level"] == "danger"
    assert row(capsys, "lavender=6%")["oil_window_c"] == [70.0, 75.0]


def test_shares_of_several_oils_add_up(capsys: pytest.CaptureFixture[str]) -> None:
    found = row(capsys, "lavender=4%", "clove=1,5")
    assert found["oil_of_whole_pct"] == pytest.approx(5.5, abs=0.01)
    lavender, clove = found["oils"]
    assert lavender["g"] / clove["g"] == pytest.approx(4.0 / 1.5, rel=0.01)


def test_shares_can_be_of_the_wax(capsys: pytest.CaptureFixture[str]) -> None:
    found = row(capsys, "lavender=6%", of_wax=True)
    assert found["oil_of_wax_pct"] == pytest.approx(6.0, abs=0.01)
    assert found["oil_of_whole_pct"] == pytest.approx(5.66, abs=0.01)


def test_the_text_holds_the_amounts_with_units_and_the_reasons(capsys: pytest.CaptureFixture[str]) -> None:
    out = printed(capsys, "lavender=6%", height_mm=90.0)
    for words in ("6 jars of 297 g, Lavender", "1682 g", "107.3 g", "70–75 °C", "68–71 °C", "first guess"):
        assert words in out
    assert "Watch out  The label needs" in out and "Note       Burn-test the wick" in out
    assert max(len(line) for line in out.splitlines()) <= 100
    assert "None" not in out and "{" not in out


def test_the_text_of_a_closed_window_stops_the_reader(capsys: pytest.CaptureFixture[str]) -> None:
    out = printed(capsys, "orange=6%")
    assert "no window" in out and "Stop       No safe window: take at most 4.5 %" in out


@pytest.mark.parametrize(
    ("text", "sizes"),
    [
        ("75x80", (75.0, None, 80.0)),
        ("75×80", (75.0, None, 80.0)),
        ("75.5X80,5", (75.5, None, 80.5)),
        ("75/60x80", (75.0, 60.0, 80.0)),
        ("75", (75.0, None, None)),
    ],
)
def test_jars_are_read(text: str, sizes: tuple[float, float | None, float | None]) -> None:
    assert read_jar(text) == sizes


@pytest.mark.parametrize("text", ["", "75x", "x80", "75x80x90", "75 80", "-75x80", "75x80mm", "round"])
def test_what_is_no_jar_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(FixableError, match="75x80"):
        read_jar(text)


@pytest.mark.parametrize(
    ("text", "name", "share_pct", "density", "flash_c"),
    [
        ("lavender=6%", "lavender", 6.0, 0.883, 68.0),
        ("Tea Tree=2.5", "tea-tree", 2.5, 0.894, 56.0),
        ("tea tree=2,5%", "tea-tree", 2.5, 0.894, 56.0),
        ("lavender=6%,72C", "lavender", 6.0, 0.883, 72.0),
        ("rosewood=6%,0.87g/mL,75C", "rosewood", 6.0, 0.87, 75.0),
        ("rosewood=6%, 0,87 g/mL, 75 °C", "rosewood", 6.0, 0.87, 75.0),
        ("rosewood=6%;0.87g/ml", "rosewood", 6.0, 0.87, None),
    ],
)
def test_oils_are_read(text: str, name: str, share_pct: float, density: float, flash_c: float | None) -> None:
    oil, share = read_oil(text)
    assert (oil.name, share) == (name, share_pct)
    assert oil.density_g_per_ml() == pytest.approx(density)
    assert (None if oil.flash_c is None else oil.flash_c.value) == flash_c


@pytest.mark.parametrize(
    "text", ["lavender", "lavender=", "=6%", "lavender=six", "lavender=6%,blue", "lavender=-6%"]
)
def test_what_is_no_oil_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(FixableError, match="lavender=6%"):
        read_oil(text)


def test_an_unknown_oil_names_the_nearest() -> None:
    with pytest.raises(FixableError, match="is it lavender"):
        read_oil("lavendr=6%")


def test_impossible_input_is_refused_in_words(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(FixableError, match="hold 6 % of oil at most"):
        printed(capsys, "lavender=9%")
    with pytest.raises(FixableError, match="No wax is called"):
        printed(capsys, wax="tallow")
    assert capsys.readouterr().out == ""


def test_water_stands_in_for_the_fill_height(capsys: pytest.CaptureFixture[str]) -> None:
    assert row(capsys, jar="75", water_g=353.43)["fill_mm"] == pytest.approx(80.0, abs=0.05)
