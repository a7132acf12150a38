"""Practice scenarios are read from their files; a wrong one is refused with line, key and what to write."""

from pathlib import Path

import pytest

from candlebench.core.errors import BadDataError, FixableError
from candlebench.practice.scenario import Bath, Hob, Jug
from candlebench.practice.scenario_file import load_scenario, parse_scenario, scenario_names, scenarios_folder

FINE = """title = "A test"

[room]
temp_c = 19.5

[wax]
mass_g = 500

[oil]
name = "lavender"
mass_g = 32.0
"""


def refusal(text: str) -> str:
    with pytest.raises(BadDataError) as caught:
        parse_scenario(text, "mine", "mine.toml")
    return str(caught.value)


def test_the_first_jug_is_six_jars_of_candle_at_six_percent_of_the_total() -> None:
    scenario = load_scenario("first-jug")
    assert scenario.oil is not None and scenario.oil.volume_ml is not None
    total_g = scenario.wax.mass_g + scenario.oil.mass_g
    assert total_g == 6 * 120.0
    assert scenario.oil.mass_g / total_g == pytest.approx(0.06, abs=0.0005)
    # O1, O82: lavender 883 kg/m3.
    assert scenario.oil.volume_ml == pytest.approx(scenario.oil.mass_g / 0.883, abs=0.5)


def test_every_scenario_that_comes_along_can_be_read() -> None:
    assert "first-jug" in scenario_names()
    for name in scenario_names():
        assert load_scenario(name).name == name


def test_what_a_file_does_not_say_keeps_its_default() -> None:
    scenario = parse_scenario(FINE, "mine", "mine.toml")
    assert (scenario.name, scenario.title) == ("mine", "A test")
    assert (scenario.room.temp_c, scenario.wax.mass_g, scenario.wax.name) == (19.5, 500.0, "beeswax")
    assert scenario.oil is not None and scenario.oil.mass_g == 32.0
    assert (scenario.jug, scenario.bath, scenario.hob) == (Jug(), Bath(), Hob())


def test_a_melt_without_oil_is_a_scenario_too() -> None:
    assert parse_scenario('title = "Plain"\n[wax]\nmass_g = 500\n', "plain", "plain.toml").oil is None


def test_a_file_of_ones_own_is_read_by_its_path(tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_text(FINE, encoding="utf-8")
    assert load_scenario(str(tmp_path / "mine.toml")).name == "mine"


@pytest.mark.parametrize(
    ("find", "put", "said"),
    [
        (
            "mass_g = 500",
            "mass_g = -500",
            "mine.toml, line 7: wax.mass_g is -500: write a number from 20 to 20000.",
        ),
        ("mass_g = 500", 'mass_g = "500"', "line 7: wax.mass_g is 500: write a number from"),
        ("mass_g = 500", "mass_g = true", "line 7: wax.mass_g is True: write a number from"),
        ("mass_g = 500", "mass_g = nan", "line 7: wax.mass_g is nan: write a number from"),
        ("mass_g = 500", "mass = 500", "line 7: wax.mass is not known; write one of mass_g, name"),
        ("mass_g = 500", 'name = "beeswax"', "line 6: wax lacks mass_g: write mass_g = a number from"),
        ("mass_g = 500", 'mass_g = 500\nname = "lard"', "line 8: wax.name is lard: write one of beeswax"),
        ("temp_c = 19.5", "temp_c = 195", "line 4: room.temp_c is 195: write a number from -10 to 45."),
        ("mass_g = 32.0", "mass_g = 0", "line 11: oil.mass_g is 0: write a number from 0.1 to 4000."),
        ('name = "lavender"', "name = 7", "line 10: oil.name is 7: write a name in quotes."),
        ("[oil]", "[perfume]", "line 9: perfume is not known; write one of room, wax, oil"),
        ("[wax]\nmass_g = 500", "", "mine.toml has no wax: write [wax]"),
        ('title = "A test"', "", "mine.toml has no title: write title"),
        ('title = "A test"', "title = 3", "mine.toml has no title: write title"),
        ("[wax]\nmass_g = 500", "[wax]\nmass_g = = 500", "is not written as TOML"),
        ('title = "A test"', 'title = "A test"\nwax = 700', "is not written as TOML"),
    ],
)
def test_a_wrong_scenario_is_refused_with_its_line_and_what_to_write(find: str, put: str, said: str) -> None:
    assert find in FINE
    assert said in refusal(FINE.replace(find, put, 1))


def test_a_section_written_as_a_number_or_in_one_line_is_named_too() -> None:
    assert "line 2: wax is a section: write [wax]" in refusal('title = "A"\nwax = 700\n')
    assert "line 2: wax.mass_g is -7" in refusal('title = "A"\nwax = { mass_g = -7 }\n')


def test_a_scenario_that_is_not_there_is_answered_with_those_that_are() -> None:
    with pytest.raises(FixableError, match=r"choose one of .*first-jug"):
        load_scenario("second-jug")
    with pytest.raises(FixableError, match="no practice melt"):
        load_scenario("../../etc/passwd")
    with pytest.raises(FixableError, match="no practice melt"):
        load_scenario("with\0zero")


def test_a_file_that_is_no_text_is_refused(tmp_path: Path) -> None:
    (tmp_path / "odd.toml").write_bytes(b"\xff\xfe\x00\x81")
    with pytest.raises(BadDataError, match=r"odd\.toml is no text file"):
        load_scenario(str(tmp_path / "odd.toml"))


def test_the_scenarios_lie_in_the_resources() -> None:
    assert (scenarios_folder() / "first-jug.toml").is_file()
