"""The collected lines of boards and meters, and variants of each: read right, wrong, or refused."""

import json
import math
import random
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from _figure_line import Figure
from test_serial_lines import STATED, UNSTATED, number_in, readings

# The collection rounds to two decimals, Fahrenheit and kelvin to one or two.
NEAR_C, NEAR_F = 0.006, 0.06
RIGHT_SHARE = 0.95
_NUMBER = re.compile(rb"(?<![\w.])-?\d+(?:\.\d+|,\d+(?![\d.]))?(?![\d.])")


def line_figures(collection: Path, variants: int) -> list[Figure]:
    """The collection as it is, varied, and the forms that the tests build."""
    figures = []
    if collection.is_file():
        rows = [json.loads(line) for line in collection.read_text(encoding="utf-8").splitlines()]
        plain = [(bytes.fromhex(row["hex"]), row["reading_C"] or []) for row in rows]
        chance = random.Random(7)
        varied = [varied_line(data, temps, chance) for data, temps in plain for _ in range(variants)]
        figures += [_figure("collected lines", plain, 1.0), _figure("their variants", varied, RIGHT_SHARE)]
    else:
        print(f"{collection} is not here: only the forms built by the tests are counted")
    figures.append(_figure("forms built by the tests", list(_built(5000)), RIGHT_SHARE))
    return figures


def varied_line(data: bytes, temps: list[float], chance: random.Random) -> tuple[bytes, list[float]]:
    """Another temperature wherever the line shows one of its own, in any unit; perhaps another line end."""
    expected = list(temps)
    if len(temps) == 1:
        # Written numbers keep their decimals, so the value is one that all of them can show.
        shown_whole = any(n.isdigit() and int(n) == temps[0] for n in _NUMBER.findall(data))
        new_c = float(chance.randrange(20, 110)) if shown_whole else chance.randrange(80, 440) / 4.0
        new_c = new_c if new_c != 85.0 else 85.25
        moved = _NUMBER.sub(lambda found: _moved(found[0], temps[0], new_c), data)
        if moved != data:
            data, expected = moved, [new_c]
    end = chance.choice([b"\r\n", b"\n", b"\r"])
    return data.replace(b"\r\n", end), expected


def _moved(written: bytes, old_c: float, new_c: float) -> bytes:
    decimals = len(re.split(rb"[.,]", written + b".")[1])
    if not decimals and float(written) != old_c:
        return written
    number = float(written.replace(b",", b"."))
    for is_unit, new in (
        (abs(number - old_c) <= NEAR_C, new_c),
        (abs(number - (old_c * 1.8 + 32)) <= NEAR_F, new_c * 1.8 + 32),
        (abs(number - (old_c + 273.15)) <= NEAR_C, new_c + 273.15),
    ):
        if is_unit:
            text = f"{new:.{decimals}f}".encode()
            return text.replace(b".", b",") if b"," in written else text
    return written


def _built(count: int) -> Iterator[tuple[bytes, list[float]]]:
    chance = random.Random(1)
    for _ in range(count):
        stated = chance.random() < 0.5
        unit = chance.choice("CFK") if stated else "C"
        written, temp_c = number_in(unit, chance.uniform(15, 115), chance.randint(1, 3))
        other = f"{chance.uniform(0, 99):.2f}"
        form = chance.choice(STATED if stated else UNSTATED)
        yield f"{form.format(n=written, u=unit, h=other, c=chance.randint(0, 99999))}\r\n".encode(), [temp_c]


def _figure(name: str, lines: list[tuple[bytes, list[float]]], right_share: float) -> Figure:
    outcome: Counter[str] = Counter()
    for data, expected in lines:
        got = [temp_c for _, temp_c in readings(data)]
        right = len(got) == len(expected) and all(
            # A line whose number has one decimal shows its temperature to half of that.
            math.isclose(a, b, abs_tol=0.051)
            for a, b in zip(got, expected, strict=True)
        )
        kind = "right" if right else "refused" if not got else "wrong"
        if kind == "wrong":
            print("wrong:", data, got, expected)
        outcome[kind] += 1
    total = sum(outcome.values())
    return Figure(
        f"{name} ({total})",
        f"{100 * outcome['right'] / total:.1f} % right, "
        f"{outcome['refused']} refused, {outcome['wrong']} wrong",
        f">= {100 * right_share:g} % right, none wrong",
        outcome["wrong"] == 0 and outcome["right"] >= right_share * total,
        "a line without a temperature is right when nothing is read",
    )
