"""Lines as real boards and meters send them, and thousands of variants whose value is known.

The collected lines lie beside the checkout (`serial_lines.jsonl`: bytes, what they mean, where the form comes
from). Where that folder is missing, the variants below still run: their forms are built here.
"""

import json
import math
import random
from collections import Counter
from itertools import pairwise
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from candlebench.thermometers.text_lines import BadLine, LineParser, Value

# What an honest parser must do with each of the collected forms: all of them, none wrong.
FORMS = 48


def readings(data: bytes) -> list[tuple[str, float]]:
    """First value of each channel, as the collection counts them."""
    parser = LineParser()
    values = [one for one in [*parser.feed(data), *parser.flush()] if isinstance(one, Value)]
    return list({one.channel: (one.channel, one.temp_c) for one in reversed(values)}.values())[::-1]


def test_every_collected_line_is_read_right_or_refused(shared: Path) -> None:
    rows = [
        json.loads(line) for line in (shared / "serial_lines.jsonl").read_text(encoding="utf-8").splitlines()
    ]
    assert len(rows) >= FORMS
    outcome: Counter[str] = Counter()
    not_right = []
    for row in rows:
        got = [temp_c for _, temp_c in readings(bytes.fromhex(row["hex"]))]
        expected = row["reading_C"] or []
        right = len(got) == len(expected) and all(
            math.isclose(a, b, abs_tol=0.006) for a, b in zip(got, expected, strict=True)
        )
        kind = "right" if right else "refused" if not got else "wrong"
        outcome[kind] += 1
        if kind != "right":
            not_right.append((row["n"], row["shown"], got, expected))
    print(dict(outcome))
    assert not_right == []


UNITS = st.sampled_from(["C", "F", "K"])


def number_in(unit: str, temp_c: float, decimals: int) -> tuple[str, float]:
    """A temperature as written in a unit, and the Celsius that the written digits mean."""
    number = {"C": temp_c, "F": temp_c * 9 / 5 + 32, "K": temp_c + 273.15}[unit]
    text = f"{number:.{decimals}f}"
    back = {"C": float(text), "F": (float(text) - 32) * 5 / 9, "K": float(text) - 273.15}[unit]
    return text, back


# Each writes one known temperature, {n} in unit {u}; {h} and {c} are other numbers.
STATED = (
    "{n} {u}", "{n}°{u}", "{n} *{u}", "{n} deg {u}", "{n}º{u}", "Temperature: {n} {u}", "temp={n}{u}",
    "T1: {n} °{u}", "{u} = {n}", "° {u} = {n}", "Temp {u}: {n}", "temp_{u}={n}", "Temperature ({u}): {n}",
    "T(°{u})={n}", "Humidity: {h} %  Temperature: {n} {u}", "{c}, {n} {u}", "Time: {h} Temp: {n} {u}",
    "Pot: {c} | Temp: {n} °{u}", "Cold Junction Temp: {h} {u}; Thermocouple Temp: {n} {u}",
    "Temp: {n} {u} Setpoint: {h} {u}", "Device Address: 28FF641E0116031D Temp {u}: {n}",
    "\x1b[0;36m[12:34:56][D][sensor:099]: state {n} °{u}\x1b[0m",
    '{{"temperature": {{"value": {n}, "unit": "{u}"}}, "humidity": {h}}}', '{{"temp_{u}":{n},"count":{c}}}',
    "2024-05-06 12:34:56; Temperatur: {n} °{u}", "Температура: {n} °{u}", "température : {n} °{u}",
    "Max temp: {h} {u}, Temp: {n} {u}",
)  # fmt: skip
UNSTATED = (
    "{n}", "  {n}", "{c},{n}", "{c};{n}", "{c}\t{n}", "12:34:56 {n}", "2024-05-06T12:34:56Z,{n}",
    "Temperature: {n}", "temp={n};hum={h}", "T={n} H={h}", "ok T:{n} /{h} @{c} B:{h} /0.0 @0",
    "Average analog reading {h}, Temperature {n}", "melt: {n}", "Current_temp: {n}",
    "ADC: {c} Volts: {h} T: {n}", '{{"temp":{n},"hum":{h},"millis":{c}}}', '{{"t":{n},"h":{h}}}',
    '{{"temp_set":{h},"temp":"{n}"}}', "Probe 1: {n}", "RTD value: {c} Resistance = {h} Temperature = {n}",
    "Temperature for the device 1 (index 0) is: {n}", "{n}  ",
)  # fmt: skip
# Numbers that are no temperature of anything in a pot, whatever they are.
NOTHING = (
    "{c}", "Humidity: {h}", "Humidity: {h} %", "{h} %", "hum={h}", "millis: {c}", "{c} ms", "Time: {h}",
    "2024-05-06", "12:34:56", "12:34", "1:{c}:34", "ADC: {c}", "raw={h}", "Resistance = {h}", "{h} kOhm",
    "{h} V", "vcc: {h}", "Setpoint: {h}", "Target temp: {h} C", "duty {h}", "@{c}", "Max temp: {h} C",
    "{h} C/min", "Temperature offset: {h}", "Cold Junction Temp: {h}", "Dew point: {h} C", "0x{c}",
    "MAX{c} test", "Address: 28{c}", "v{h}", "Version {h}", "x={h}, y={h}", "{h},{h}", "{h} {h}",
    "{h};{h};{h}", "flow={h}", "pH: {h}", "lat: {h}, lon: {h}", '{{"humidity":{h},"millis":{c}}}',
    '{{"data":[{h},{h}]}}', "Temperature logger {h}", "#{c}", "Error: {h}", "Temp: {h} FAULT", "{h},OL",
    "{h},nan", "Pressure: {h} hPa", "heater: {h}", "Free memory {c}", "1,0{c}.25",
)  # fmt: skip


@settings(max_examples=800, deadline=None)
@given(
    template=st.sampled_from(STATED),
    unit=UNITS,
    temp_c=st.floats(-30, 150),
    decimals=st.integers(1, 4),
    other=st.floats(0, 99).map(lambda x: f"{x:.2f}"),
    count=st.integers(0, 99999),
    end=st.sampled_from(["\r\n", "\n", "\r"]),
    comma=st.booleans(),
)
def test_a_stated_unit_is_read_right_or_the_line_is_refused(
    template: str, unit: str, temp_c: float, decimals: int, other: str, count: int, end: str, comma: bool
) -> None:
    written, expected_c = number_in(unit, temp_c, decimals)
    if comma and not template.startswith("{{") and "{c}, " not in template:
        written = written.replace(".", ",")
    line = template.format(n=written, u=unit, h=other, c=count) + end
    got = readings(line.encode())
    assert [round(value, 6) for _, value in got] in ([], [round(expected_c, 6)]), line


@settings(max_examples=800, deadline=None)
@given(
    template=st.sampled_from(UNSTATED),
    temp_c=st.floats(-30, 115),
    decimals=st.integers(1, 4),
    other=st.floats(0, 99).map(lambda x: f"{x:.2f}"),
    count=st.integers(0, 99999),
)
def test_a_bare_number_is_read_as_celsius_or_the_line_is_refused(
    template: str, temp_c: float, decimals: int, other: str, count: int
) -> None:
    written = f"{temp_c:.{decimals}f}"
    line = template.format(n=written, h=other, c=count) + "\r\n"
    got = readings(line.encode())
    assert [value for _, value in got] in ([], [float(written)]), line


@settings(max_examples=800, deadline=None)
@given(
    template=st.sampled_from(NOTHING),
    other=st.floats(0, 99).map(lambda x: f"{x:.2f}"),
    count=st.integers(0, 99999),
)
def test_what_is_no_temperature_is_never_read_as_one(template: str, other: str, count: int) -> None:
    line = template.format(h=other, c=count) + "\r\n"
    assert readings(line.encode()) == [], line


@settings(max_examples=500, deadline=None)
@given(data=st.binary(max_size=300))
def test_no_bytes_at_all_make_the_parser_fail(data: bytes) -> None:
    parser = LineParser()
    parsed = parser.feed(data) + parser.feed(b"\r\n") + parser.flush()
    assert all(isinstance(one, BadLine) or -200 <= one.temp_c <= 600 for one in parsed)


@settings(max_examples=300, deadline=None)
@given(cuts=st.lists(st.integers(0, 110), max_size=12))
def test_how_the_bytes_are_cut_into_chunks_does_not_matter(cuts: list[int]) -> None:
    lines = 'C = 63.5\r\nF = 146.3\n{"temp":63.5}\rT1:63.4;T2:61.5\r\nМелт\r\n63.56 °C\r\n85.00\r\n$X\r\n'
    data = lines.encode()
    whole = LineParser().feed(data)
    parser = LineParser()
    edges = [0, *sorted(min(cut, len(data)) for cut in cuts), len(data)]
    pieces = [one for a, b in pairwise(edges) for one in parser.feed(data[a:b])]
    assert pieces == whole


def test_nearly_all_variants_are_read_and_none_wrong() -> None:
    chance = random.Random(1)
    outcome: Counter[str] = Counter()
    for _ in range(3000):
        stated = chance.random() < 0.5
        unit = chance.choice("CFK") if stated else "C"
        written, expected_c = number_in(unit, chance.uniform(15, 115), chance.randint(1, 3))
        other = f"{chance.uniform(0, 99):.2f}"
        form = chance.choice(STATED if stated else UNSTATED)
        line = form.format(n=written, u=unit, h=other, c=chance.randint(0, 99999))
        got = [round(temp_c, 6) for _, temp_c in readings(f"{line}\r\n".encode())]
        outcome["right" if got == [round(expected_c, 6)] else "wrong" if got else "refused"] += 1
    print(dict(outcome))
    assert outcome["wrong"] == 0
    assert outcome["right"] >= 0.95 * 3000
