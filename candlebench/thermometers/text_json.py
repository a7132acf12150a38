"""Lines that are JSON, with keys of any naming and depth."""

import json
import math
from collections.abc import Iterator

from candlebench.thermometers.label_words import Kind, Label, understand
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.parsed_line import Why
from candlebench.thermometers.text_readings import Found, Refusal, merge_units, read_one
from candlebench.thermometers.text_tokens import Number, take_apart

_NAME_KEYS = ("name", "label", "channel", "probe", "sensor", "id", "address")
_UNIT_KEYS = ("unit", "units", "uom")
_FAULT_KEYS = {"error", "err", "fault", "alarm_fault"}
_GENERIC_KEYS = {"value", "val", "reading", "v", "state", "data", "actual", "current"}
_HUMIDITY_KEYS = {"h", "hum", "humidity", "rh"}
_DEEPEST = 8


def is_json(text: str) -> bool:
    """Whether a line begins and ends like an object or a list."""
    return (text[:1], text[-1:]) in (("{", "}"), ("[", "]"))


def read_json(text: str, settings: LineSettings) -> tuple[list[Found], list[Refusal]] | None:
    """Return the temperatures of one JSON line and why others are none; None when it is no JSON."""
    try:
        # Numbers stay as written, so that their digits tell how fine they are.
        tree = json.loads(text, parse_float=_Written, parse_int=_Written, parse_constant=lambda _: None)
    except (ValueError, RecursionError):
        return None
    if _tells_of_a_fault(tree):
        return [], [Refusal(Why.FAULT)]
    found: list[Found] = []
    refused: list[Refusal] = []
    for label, number in _leaves(tree, "", "", "", 0):
        outcome = read_one(label, [number], settings)
        if isinstance(outcome, Refusal):
            refused.append(outcome)
        else:
            found += outcome
    merged = merge_units(found)
    if isinstance(merged, Refusal):
        return [], [merged]
    return merged, refused


class _Written(str):
    """A number as it was written."""


def _tells_of_a_fault(tree: object) -> bool:
    if not isinstance(tree, dict):
        return False
    for key, value in tree.items():
        if key.lower() in _FAULT_KEYS and value not in (None, False, "", "0", "none", "ok"):
            return True
    return False


def _leaves(tree: object, path: str, unit: str, name: str, depth: int) -> Iterator[tuple[Label, Number]]:
    """Every number with the words that lead to it."""
    if depth > _DEEPEST:
        return
    if isinstance(tree, dict):
        unit = next((str(tree[key])[-1:].upper() for key in _UNIT_KEYS if _is_unit(tree.get(key))), unit)
        has_foreign_unit = any(key in tree and not _is_unit(tree[key]) for key in _UNIT_KEYS)
        own_name = next((str(tree[key]) for key in _NAME_KEYS if isinstance(tree.get(key), str)), "")
        has_humidity = any(key.lower() in _HUMIDITY_KEYS for key in tree)
        for key, value in tree.items():
            if key.lower() in (*_NAME_KEYS, *_UNIT_KEYS) and not isinstance(value, dict | list):
                continue
            word = "temp" if key == "t" and has_humidity else key
            below = "" if has_foreign_unit and key.lower() in _GENERIC_KEYS else unit
            prefix = "raw" if has_foreign_unit and key.lower() in _GENERIC_KEYS else path
            yield from _leaves(value, f"{prefix}_{word}".strip("_"), below, own_name or name, depth + 1)
    elif isinstance(tree, list):
        for i, value in enumerate(tree):
            is_number = not isinstance(value, dict | list)
            yield from _leaves(value, f"{path}_{i + 1}" if is_number else path, unit, name, depth + 1)
    else:
        number = _as_number(tree, unit)
        if number is not None and path:
            label = understand(path, as_name=True)
            if label.kind is Kind.NUMBER:
                # A bare place in a list is no channel that anybody named.
                label = Label(Kind.UNKNOWN, label.channel, "")
            yield _named(label, name), number


def _is_unit(value: object) -> bool:
    if not isinstance(value, str):
        return False
    return value.lower().lstrip("°").removeprefix("deg") in ("c", "f", "k", "celsius", "fahrenheit", "kelvin")


def _named(label: Label, name: str) -> Label:
    """The label with the name that stands beside the number, as in {"name": "melt", "temp": 63.5}."""
    if not name:
        return label
    own = understand(name, as_name=True)
    if own.kind is Kind.OTHER:
        return Label(Kind.OTHER, "", "")
    return Label(label.kind, f"{name} {label.channel}".strip(), label.unit)


def _as_number(leaf: object, unit: str) -> Number | None:
    if leaf is None:
        return Number("null", None, 1.0, False, unit)
    if isinstance(leaf, bool) or not isinstance(leaf, str):
        return None
    taken = take_apart(str(leaf))
    if taken.broken or len(taken.groups) != 1 or len(taken.groups[0].numbers) != 1 or taken.groups[0].label:
        return None
    one = taken.groups[0].numbers[0]
    if one.number is not None and not math.isfinite(one.number):
        return None
    return Number(one.raw, one.number, one.step, one.whole, one.unit or unit, one.comma)
