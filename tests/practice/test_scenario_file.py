"""Practice scenarios are read from their files; a wrong one is refused with line, key and what to write."""

from dataclasses import fields, replace
from pathlib import Path

import pytest

from candlebench.core.errors import BadDataError, FixableError
from candlebench.practice.scenario import (
    HOBS,
    Bath,
    Charge,
    Happening,
    Hob,
    Jars,
    Jug,
    OilCharge,
    ProbeKind,
    Room,
)
from candlebench.practice.scenario_file import (
    faulty_scenarios,
    list_scenarios,
    load_scenario,
    parse_scenario,
    scenario_names,
    scenarios_folder,
)
from candlebench.practice.scenario_keys import SECTIONS
from candlebench.practice.vessels import bath_of, jug_of

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
        ("mass_g = 500", "mass_g = true", "line 7: wax.mass_g is true: write a number from"),
        ("mass_g = 500", "mass_g = nan", "line 7: wax.mass_g is nan: write a number from"),
        ("mass_g = 500", "mass = 500", "line 7: wax.mass is not known; write mass_g, or one of mass_g, name"),
        ("mass_g = 500", 'name = "beeswax"', "line 6: wax lacks mass_g: write mass_g = a number from"),
        ("mass_g = 500", 'mass_g = 500\nname = "lard"', 'line 8: wax.name is lard: write one of "beeswax", '),
        ("temp_c = 19.5", "temp_c = 195", "line 4: room.temp_c is 195: write a number from -10 to 45."),
        (
            "temp_c = 19.5",
            "temp_c = 19.5\naltitude_m = 12000",
            "mine.toml, line 5: room.altitude_m is 12000: write a number from -500 to 5000.",
        ),
        ("temp_c = 19.5", "altitude_m = -900", "line 4: room.altitude_m is -900: write a number from -500"),
        ("mass_g = 32.0", "mass_g = 0", "line 11: oil.mass_g is 0: write a number from 0.1 to 4000."),
        ('name = "lavender"', "name = 7", "line 10: oil.name is 7: write words in quotes."),
        ("[oil]", "[perfume]", "line 9: perfume is not known; write one of room, wax, oil"),
        (
            "[wax]\nmass_g = 500",
            "",
            "mine.toml, line 10: wax is missing: write a line [wax] and under it mass_g",
        ),
        (
            'title = "A test"',
            "",
            'mine.toml, line 1: title is missing: write title = "..." in the first line',
        ),
        ('title = "A test"', 'title = " "', "mine.toml, line 1: title is missing: write title"),
        ('title = "A test"', "title = 3", "mine.toml, line 1: title is 3: write words in quotes."),
        ('title = "A test"', 'title = "A test"\ncable = "no"', "line 2: cable is no: write true or false."),
        (
            'title = "A test"',
            'title = "A test"\norder = 1.5',
            "line 2: order is 1.5: write a whole number from 0",
        ),
        ('title = "A test"', 'title = "A test"\nwax_g = 7', "line 2: wax_g is not known; write one of title"),
        ("[wax]\nmass_g = 500", "[wax]\nmass_g = = 500", "mine.toml, line 7: this is not written as TOML"),
        ("[wax]\nmass_g = 500", "[wax]\nmass_g = 500 g", 'Write key = number, or key = "words in quotes"'),
        ("[wax]\nmass_g = 500", "[wax\nmass_g = 500", "mine.toml, line 6: this is not written as TOML"),
        ('title = "A test"', 'title = "A test"\nwax = 700', "mine.toml, line 7: this is not written as TOML"),
        ("[wax]", '[jug]\nmaterial = "clay"\n[wax]', 'line 7: jug.material is clay: write one of "steel"'),
        ("[wax]", '[hob]\nkind = "wood"\n[wax]', 'line 7: hob.kind is wood: write one of "plate", "gas"'),
        (
            "[wax]",
            "[jars]\ncount = 2.5\n[wax]",
            "line 7: jars.count is 2.5: write a whole number from 1 to 500.",
        ),
        ("[wax]", '[wax]\nname = "soy"', "line 7: wax.name is soy: write one of"),
    ],
)
def test_a_wrong_scenario_is_refused_with_its_line_and_what_to_write(find: str, put: str, said: str) -> None:
    assert find in FINE
    assert said in refusal(FINE.replace(find, put, 1))


def test_a_section_written_as_a_number_or_in_one_line_is_named_too() -> None:
    assert "line 2: wax is a section: write [wax]" in refusal('title = "A"\nwax = 700\n')
    assert "line 2: wax.mass_g is -7" in refusal('title = "A"\nwax = { mass_g = -7 }\n')


PHONE = """
[[happening]]
at_min = 10
text = "The phone rings."
away = true

[[happening]]
when_wax_c = 70
text = "The door opens."
lasts_min = 2
air_times = 2
"""


def test_things_that_happen_are_read_in_their_order() -> None:
    phone, door = parse_scenario(FINE + PHONE, "mine", "mine.toml").happenings
    assert (phone.at_min, phone.when_wax_c, phone.away, phone.text) == (10.0, None, True, "The phone rings.")
    assert (door.at_min, door.when_wax_c, door.lasts_min, door.air_times) == (None, 70.0, 2.0, 2.0)


@pytest.mark.parametrize(
    ("find", "put", "said"),
    [
        ("at_min = 10", "at_minute = 10", "line 14: happening.at_minute is not known; write at_min"),
        ("at_min = 10\n", "", "line 13: happening needs one of at_min and when_wax_c"),
        ("when_wax_c = 70", "when_wax_c = 70\nat_min = 3", "line 18: happening needs one of at_min"),
        (
            "air_times = 2",
            "air_times = 20",
            "line 22: happening.air_times is 20: write a number from 0.2 to 4.",
        ),
        ("lasts_min = 2", "lasts_min = -2", "line 21: happening.lasts_min is -2: write a number from 0.1"),
        ('text = "The door opens."\n', "", "line 18: happening lacks text: write text = words in quotes."),
        ('text = "The door opens."', "text = 7", "line 20: happening.text is 7: write words in quotes."),
        ("away = true", 'probe = "gone"', 'line 16: happening.probe is gone: write one of "lifted out"'),
        ("[[happening]]\nat_min = 10", "[happening]\nat_min = 10", "is not written as TOML"),
    ],
)
def test_a_wrong_happening_is_refused_with_its_own_line(find: str, put: str, said: str) -> None:
    assert find in PHONE
    assert said in refusal(FINE + PHONE.replace(find, put, 1))


def test_one_happening_written_as_a_plain_section_is_told_to_double_its_brackets() -> None:
    one = '[happening]\nat_min = 1\ntext = "x"\n'
    assert "line 12: happening may be written many times: write [[happening]]" in refusal(FINE + one)


def test_measures_of_jug_and_pan_become_what_they_do_to_heat() -> None:
    text = FINE + '[jug]\nmaterial = "glass"\nweight_g = 800\n[bath]\npan_diameter_mm = 240\n'
    scenario = parse_scenario(text, "mine", "mine.toml")
    assert scenario.jug == jug_of("glass", 800.0, 130.0, 500.0)
    assert scenario.bath == bath_of("steel", 700.0, 240.0, scenario.jug)
    single = parse_scenario(
        text.replace("weight_g = 800", "weight_g = 800\ntop_w_per_k = 0.5"), "m", "m.toml"
    )
    assert single.jug == replace(scenario.jug, top_w_per_k=0.5)


def test_a_kind_of_hob_brings_its_own_figures_and_single_ones_come_first() -> None:
    scenario = parse_scenario(FINE + '[hob]\nkind = "gas"\npower_w = 1800\n', "mine", "mine.toml")
    assert scenario.hob == replace(HOBS["gas"], power_w=1800.0)


def test_every_key_of_a_file_is_a_field_and_every_field_a_key() -> None:
    kinds = {
        "room": Room,
        "wax": Charge,
        "oil": OilCharge,
        "jug": Jug,
        "bath": Bath,
        "hob": Hob,
        "probe": ProbeKind,
        "jars": Jars,
        "happening": Happening,
    }
    measures = {"weight_g", "pan_material", "pan_weight_g", "pan_diameter_mm"}
    assert SECTIONS.keys() == kinds.keys()
    for section, keys in SECTIONS.items():
        assert keys.keys() - measures == {field.name for field in fields(kinds[section])}, section


def test_scenarios_come_in_their_order_and_ones_own_among_them(tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_text("order = 3\n" + FINE.replace("A test", "Aaa"), encoding="utf-8")
    (tmp_path / "wrong.toml").write_text("title = ", encoding="utf-8")
    found = list_scenarios(tmp_path)
    assert [one.order for one in found] == sorted(one.order for one in found)
    assert found[0].name == "first-jug"
    mine = next(one for one in found if one.name == "mine")
    assert mine.file == str(tmp_path / "mine.toml") and load_scenario(mine.file) == mine
    assert len(found) == len(scenario_names()) + 1
    (fault,) = faulty_scenarios(tmp_path)
    assert "wrong.toml, line 1" in fault


def test_a_name_is_looked_for_among_ones_own_after_those_of_the_program(tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_text(FINE, encoding="utf-8")
    (tmp_path / "first-jug.toml").write_text(FINE, encoding="utf-8")
    assert load_scenario("mine", tmp_path).file == str(tmp_path / "mine.toml")
    assert load_scenario("first-jug", tmp_path) == load_scenario("first-jug")
    with pytest.raises(FixableError, match=r"choose one of .*first-jug.*, mine"):
        load_scenario("yours", tmp_path)


def test_without_a_folder_of_ones_own_those_of_the_program_come(tmp_path: Path) -> None:
    assert {one.name for one in list_scenarios()} == set(scenario_names())
    assert list_scenarios(tmp_path / "not there") == list_scenarios()


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
