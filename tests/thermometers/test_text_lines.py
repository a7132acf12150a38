"""How lines of text become temperatures, and what is refused with which reason."""

import pytest

from candlebench.thermometers.channel_choice import ChannelChoice
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.parsed_line import BadLine, ParsedLine, Value, Why
from candlebench.thermometers.text_framing import LONGEST_BYTES
from candlebench.thermometers.text_lines import LineParser


def parse(text: str | bytes, settings: LineSettings | None = None) -> list[ParsedLine]:
    return LineParser(settings).feed(text.encode() if isinstance(text, str) else text)


def temps(parsed: list[ParsedLine]) -> list[float]:
    return [round(one.temp_c, 6) for one in parsed if isinstance(one, Value)]


def whys(parsed: list[ParsedLine]) -> list[Why]:
    return [one.why for one in parsed if isinstance(one, BadLine)]


@pytest.mark.parametrize(
    ("line", "channels"),
    [
        ("T1:23.4;T2:61.5", ["T1", "T2"]),
        ("ox=23.75, water=61.50", ["ox", "water"]),
        ("Melt: 63.5 C, Room: 21.4 C", ["Melt", "Room"]),
        ("A=63.5C B=21.4C", ["A", "B"]),
        ("28-0316a2794aff 63.5 C", ["28-0316a2794aff"]),
        ("Device Address: 28FF641E0116031D Temp C: 63.5", ["28FF641E0116031D"]),
        ('{"sensors":[{"name":"melt","temp":63.5},{"name":"room","temp":21.0}]}', ["melt", "room"]),
        ("C = 63.5", [""]),
        ("Temperature: 63.5 deg C; Temperature: 61.5 deg C", ["1", "2"]),
    ],
)
def test_channels_keep_their_names(line: str, channels: list[str]) -> None:
    assert [one.channel for one in parse(f"{line}\n") if isinstance(one, Value)] == channels


@pytest.mark.parametrize(
    ("line", "unit", "temp_c"),
    [
        ("F = 146.3", "F", 63.5),
        ("336.65 K", "K", 63.5),
        ("63.5 ℃", "C", 63.5),
        ("63.5", "", 63.5),
        ("63,5", "", 63.5),
    ],
)
def test_a_value_says_in_which_unit_it_came(line: str, unit: str, temp_c: float) -> None:
    (value,) = parse(f"{line}\n")
    assert isinstance(value, Value)
    assert (value.unit, round(value.temp_c, 6), value.text) == (unit, temp_c, line.replace("℃", "°C"))


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("nan", Why.FAULT),
        ("T1 -OL C", Why.FAULT),
        ("----", Why.FAULT),
        ("-127.00", Why.FAULT),
        ("327.67", Why.FAULT),
        ("9.91E37", Why.IMPOSSIBLE),
        ("Temperature = -247.0", Why.IMPOSSIBLE),
        ("850.0 C", Why.IMPOSSIBLE),
        ("85.00", Why.POWER_ON),
        ("185.0 F", Why.POWER_ON),
        ("temp:235", Why.SCALE),
        ("160.2", Why.UNIT),
        ("23.50,43.00", Why.UNDECIDED),
        ("63", Why.UNDECIDED),
        ("20-25", Why.UNDECIDED),
        ("Humidity: 43.0 %", Why.NOT_THE_MELT),
        ("Cold Junction Temp: 24.13", Why.NOT_THE_MELT),
        ("MAX31865 PT100 test", Why.NO_NUMBER),
        ("73 01 4b 46 7f ff 0d 10 41 : crc=41 NO", Why.CHECKSUM),
        ('{"temp":63.5,"hum', Why.CUT),
    ],
)
def test_what_is_no_reading_says_why(line: str, why: Why) -> None:
    assert (temps(parse(f"{line}\n")), whys(parse(f"{line}\n"))) == ([], [why])


def test_85_is_believed_between_neighbours_and_not_after_a_jump() -> None:
    parser = LineParser()
    assert temps(parser.feed(b"84.94\n85.00\n85.06\n")) == [84.94, 85.0, 85.06]
    assert temps(parser.feed(b"71.00\n85.00\n85.00\n71.06\n")) == [71.0, 71.06]


def test_each_channel_has_its_own_85() -> None:
    parser = LineParser()
    parser.feed(b"T1:84.9;T2:21.0\n")
    assert temps(parser.feed(b"T1:85.0;T2:85.0\n")) == [85.0]


def test_one_faulty_probe_does_not_hide_the_other() -> None:
    parsed = parse("T1=nan T2=63.5\n")
    assert (temps(parsed), whys(parsed)) == ([63.5], [Why.FAULT])


def test_a_bare_number_hotter_than_wax_is_believed_only_where_the_melt_was_near() -> None:
    parser = LineParser()
    assert temps(parser.feed(b"112.0\n118.0\n124.0\n")) == [112.0, 118.0, 124.0]
    assert temps(LineParser().feed(b"124.0\n")) == []


def test_a_board_that_sends_tenths_stays_refused_when_its_numbers_get_small() -> None:
    assert temps(parse("temp:235\ntemp:98\n")) == []


@pytest.mark.parametrize(
    ("settings", "line", "expected"),
    [
        (LineSettings(scale=0.1), "temp:635    hum:43", [63.5]),
        (LineSettings(unit="F"), "146.3", [63.5]),
        (LineSettings(unit="F"), "C = 63.5", [63.5]),
        (LineSettings(unit="C"), "63", [63.0]),
        (LineSettings(channel="column 2"), "43.0,63.5", [63.5]),
        (LineSettings(channel="FOO"), "foo=63.5 bar=12.5", [63.5]),
        (LineSettings(channel="T1 melt"), "t1_melt: 63.5", [63.5]),
        (LineSettings(unit="F", scale=0.1), "temp: 1463", [63.5]),
    ],
)
def test_what_cannot_be_told_is_read_as_the_person_said(
    settings: LineSettings, line: str, expected: list[float]
) -> None:
    assert temps(parse(f"{line}\n")) != expected or settings.unit == "F"
    assert temps(parse(f"{line}\n", settings)) == expected


def test_a_refused_line_names_what_can_be_chosen() -> None:
    assert [one.channels for one in parse("43.0,63.5\nfoo=63.5\n") if isinstance(one, BadLine)] == [
        ("column 1", "column 2"),
        ("foo",),
    ]


def test_a_heading_tells_the_columns_below_it() -> None:
    table = "Time (s), Temperature (F), Humidity\n12.5, 146.3, 43.0\n13.5, 147.2, 43.0\n"
    assert temps(parse(table)) == [63.5, 64.0]
    assert temps(parse("12.5, 146.3, 43.0\n")) == []


def test_a_sentence_with_a_comma_is_no_heading() -> None:
    assert temps(parse("Temperature sensor, ready\n17,23.75\n")) == [23.75]


def test_a_counter_before_whole_degrees_is_not_taken_for_a_decimal_comma_for_long() -> None:
    assert temps(parse("17,23\n18,23\n19,23\n20,24\n")) == [17.23]
    assert temps(parse("63,94\n64,06\n64,12\n")) == [63.94, 64.06, 64.12]


def test_the_two_lines_of_a_one_wire_sensor_belong_together() -> None:
    first = "73 01 4b 46 7f ff 0d 10 41 : crc=41 YES\n"
    second = "73 01 4b 46 7f ff 0d 10 41 t=23187\n"
    assert temps(parse(first + second)) == [23.187]
    assert temps(parse(second)) == []
    assert temps(parse(first.replace("YES", "NO") + second)) == []


@pytest.mark.parametrize("end", [b"\r\n", b"\n", b"\r", b"\x03", b"\r\n\r\n", b"\n\x00"])
def test_any_line_end_ends_a_line(end: bytes) -> None:
    assert temps(LineParser().feed(end.join([b"63.5", b"63.6", b""]))) == [63.5, 63.6]


@pytest.mark.parametrize(
    "line",
    [b"\x00\x0063.5", b"\x1b[32m63.5\x1b[0m", b"\x02 63.5", b"63.5 \xb0C", b"63.5 \xf8C", b"63.5 \xc2\xbaC"],
)
def test_dressing_around_a_number_is_dropped(line: bytes) -> None:
    assert temps(LineParser().feed(line + b"\n")) == [63.5]


@pytest.mark.parametrize(
    "line", [b"6\x003.5", b"6\x013.5", b"\xe0\x80\xf8x\x98\xfe\xe6", b"T1: 6\xff\xfe3.5"]
)
def test_damage_within_a_line_makes_it_garbled(line: bytes) -> None:
    assert whys(LineParser().feed(line + b"\n")) == [Why.GARBLED]


def test_a_line_that_never_ends_is_dropped_and_the_next_one_read() -> None:
    parser = LineParser()
    parsed = [one for _ in range(200) for one in parser.feed(b"word " * 400)]
    assert whys(parsed) == [Why.TOO_LONG]
    assert temps(parser.feed(b" 12.5\n63.5\n")) == [63.5]
    waiting = parser._framer._waiting
    assert len(waiting) <= 2 * LONGEST_BYTES


def test_the_first_line_after_opening_is_only_a_part() -> None:
    parser = LineParser()
    parser.expect_part()
    parsed = parser.feed(b"3.5\n63.5\n")
    assert (temps(parsed), whys(parsed)) == ([63.5], [Why.CUT])


def test_a_pause_within_a_line_changes_nothing_where_lines_end() -> None:
    parser = LineParser()
    assert temps(parser.feed(b"63.5\n6") + parser.flush() + parser.feed(b"3.6\n")) == [63.5, 63.6]


def test_a_pause_within_the_very_first_number_gives_no_false_one() -> None:
    parser = LineParser()
    assert temps(parser.feed(b"6") + parser.flush() + parser.feed(b"3.6\n63.7\n")) == [63.7]


def test_a_label_waits_for_the_number_that_is_still_being_measured() -> None:
    parser = LineParser()
    assert temps(parser.feed(b"Temperature: ") + parser.flush() + parser.feed(b"63.5\n")) == [63.5]


def test_numbers_parted_by_nothing_but_pauses_are_read_once_their_shape_is_sure() -> None:
    parser = LineParser()
    found = [
        temps(parser.feed(data) + parser.flush()) for data in (b"63.50", b"63.56", b"63.62", b"63.", b"63.75")
    ]
    assert found == [[], [], [63.62], [], []]


def test_an_endless_stream_without_pauses_is_cut_by_its_own_structure() -> None:
    parser = LineParser()
    parser.expect_part()
    stream = b"16.00 " + b"".join(b"0: %d 63.%02d " % (n, n % 80 + 10) for n in range(500))
    found = [one for n in range(0, len(stream), 7) for one in parser.feed(stream[n : n + 7])]
    assert whys(found) == []
    assert temps(found)[:3] == [63.1, 63.11, 63.12]
    assert len(temps(found)) >= 490


def test_an_endless_stream_of_columns_is_cut_before_each_counter() -> None:
    parser = LineParser()
    stream = b"".join(b"%d\t63.%02d00000000\t0.2500000000\t" % (123456 + n, n % 90 + 10) for n in range(100))
    found = [one for n in range(0, len(stream), 11) for one in parser.feed(stream[n : n + 11])]
    assert temps(found)[:2] == [63.1, 63.11]
    assert len(temps(found)) >= 95


def test_json_objects_back_to_back_are_read_as_each_one_closes() -> None:
    parser = LineParser()
    assert temps(parser.feed(b'{"temp":63.5}{"temp":63.6}{"te')) == [63.5, 63.6]
    parser = LineParser()
    parser.expect_part()
    assert temps(parser.feed(b'mp":99.5}{"temp":63.6}')) == [63.6]


def values(text: str) -> list[Value]:
    return [one for one in parse(text) if isinstance(one, Value)]


def passed(choice: ChannelChoice, text: str) -> list[float]:
    picked = [choice.pick(value) for value in values(text)]
    return [round(value.temp_c, 6) for value in picked if value is not None]


def test_one_channel_is_the_melt() -> None:
    assert passed(ChannelChoice(), "63.5\n63.6\n") == [63.5, 63.6]
    # A name has to come twice: its neighbour may be on the next line.
    assert passed(ChannelChoice(), "T1: 63.5\nT1: 63.6\nT1: 63.7\n") == [63.6, 63.7]


def test_several_channels_pass_nothing_until_one_is_chosen() -> None:
    choice = ChannelChoice()
    assert passed(choice, "T1:63.5;T2:61.5\n" * 3) == []
    assert choice.undecided and choice.channels == ("T1", "T2")
    assert passed(ChannelChoice("t2"), "T1:63.5;T2:61.5\n" * 3) == [61.5] * 3


def test_a_channel_on_the_next_line_counts_too() -> None:
    choice = ChannelChoice()
    assert passed(choice, "T1: 63.5\nT2: 61.5\nT1: 63.5\nT2: 61.5\n" * 2) == []
    assert choice.undecided


@pytest.mark.parametrize("other", ["Ambient", "Room", "Board"])
def test_a_room_or_a_board_never_wins(other: str) -> None:
    text = f"{other}: 21.5 C, Melt: 63.5 C\n" * 3
    assert set(passed(ChannelChoice(), text)) == {63.5}
    alone = ChannelChoice()
    assert passed(alone, f"{other}: 21.5 C\n" * 5) == []
    assert alone.undecided


def test_a_name_damaged_once_does_not_stop_the_readings() -> None:
    assert passed(ChannelChoice(), "T1: 63.5\nT1: 63.6\nT7: 63.6\nT1: 63.7\n") == [63.6, 63.7]


def test_the_same_reading_in_another_unit_on_the_next_line_is_no_reading_of_its_own() -> None:
    assert passed(ChannelChoice(), "C = 63.50\nF = 146.30\nC = 64.00\nF = 147.00\n") == [63.5, 64.0]


def test_a_meter_switched_to_fahrenheit_is_followed_after_three_lines() -> None:
    text = "T1 63.5 C\n" * 3 + "T1 150.0 F\n" * 4
    assert passed(ChannelChoice(), text) == [63.5, 63.5, pytest.approx(65.555556), pytest.approx(65.555556)]


def test_a_chosen_channel_that_does_not_come_is_said() -> None:
    choice = ChannelChoice("T9")
    assert passed(choice, "T1: 63.5\n" * 3) == []
    assert choice.undecided
