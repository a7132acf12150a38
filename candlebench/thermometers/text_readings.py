"""The rule by which numbers with their labels become temperatures, or are refused."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from candlebench.thermometers.label_words import Kind, Label, channel_key, understand
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.parsed_line import Why
from candlebench.thermometers.text_tokens import Group, Number, Taken
from candlebench.thermometers.text_units import to_celsius

# Hotter than this without a unit, a number is Fahrenheit, kelvin or a weight more often than wax.
HOTTEST_BARE_C = 120.0
COLDEST_BARE_C = -40.0
# A number labelled K alone: colder is a constant of a program rather than a temperature.
COLDEST_BARE_K = 233.0
# Boards round and cut off their printed numbers, and some take 0 C as 273 K.
_SAME_READING_C = {"C": 0.05, "F": 0.05, "K": 0.2}


@dataclass(frozen=True, slots=True)
class Found:
    """A number that is a temperature by its words; whether it can be true is judged afterwards.

    Attributes
    ----------
    temp_c : float
    channel : str
    unit : str
        As stated in the line or set by the person, else ''.
    raw : str
        The number as sent.
    step_c : float
        Worth of its last digit.
    comma : bool
        A bare number whose comma could also part two numbers.
    """

    temp_c: float
    channel: str
    unit: str
    raw: str
    step_c: float
    comma: bool = False


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a group gave no temperature, and the channels that the person could choose."""

    why: Why
    channels: tuple[str, ...] = ()


Outcome = list[Found] | Refusal


def read_groups(taken: Taken, settings: LineSettings) -> tuple[list[Found], list[Refusal]]:
    """Return the temperatures of a line and the reasons for what is none."""
    if taken.broken:
        return [], [Refusal(Why.UNDECIDED)]
    labels = [_label_of(group) for group in taken.groups]
    labels = _with_siblings(taken.groups, _without_letters(taken.groups, labels))
    found: list[Found] = []
    refused: list[Refusal] = []
    for group, label in zip(taken.groups, labels, strict=True):
        if taken.address:
            kind = Kind.TEMPERATURE if label.kind in (Kind.NONE, Kind.UNIT) else label.kind
            label = Label(kind, f"{taken.address} {label.channel}".strip(), label.unit)
        outcome = read_one(label, group.numbers, settings)
        if isinstance(outcome, Refusal):
            refused.append(outcome)
        else:
            found += outcome
    merged = merge_units(found)
    if isinstance(merged, Refusal):
        return [], [merged]
    return merged, refused


def read_one(label: Label, numbers: Sequence[Number], settings: LineSettings) -> Outcome:
    """Return the temperatures of one label's numbers, usually one."""
    numbers = [one for one in numbers if one.unit != "other"]
    if not numbers:
        return Refusal(Why.NOT_THE_MELT)
    chosen = bool(label.channel) and channel_key(label.channel) in settings.chosen
    kind = Kind.TEMPERATURE if chosen else label.kind
    if kind is Kind.OTHER:
        return Refusal(Why.NOT_THE_MELT)
    if any(one.number is None for one in numbers):
        return Refusal(Why.FAULT)
    with_unit = [one for one in numbers if one.unit]
    if with_unit:
        if kind not in (Kind.TEMPERATURE, Kind.UNIT) and all(_is_kilo(one) for one in with_unit):
            return Refusal(Why.NOT_THE_MELT)
        return _stated(label, with_unit, settings, kind)
    match kind:
        case Kind.UNKNOWN:
            if any(not one.whole for one in numbers) and label.channel:
                return Refusal(Why.UNDECIDED, (label.channel,))
            return Refusal(Why.NOT_THE_MELT)
        case Kind.NONE:
            return _bare_row(numbers, settings)
        case _:
            return _labelled(label, numbers, settings, kind)


def _label_of(group: Group) -> Label:
    has_unit = any(one.unit in ("C", "F", "K") for one in group.numbers)
    label = understand(group.label, loose=not group.tied and not has_unit)
    if label.kind is Kind.UNIT and not group.tied:
        return Label(Kind.UNKNOWN, group.label, "")
    return label


def _without_letters(groups: Sequence[Group], labels: list[Label]) -> list[Label]:
    """Where channels are called A, B, C, the C is no unit."""
    letters = {group.label.strip(" :=\"'") for group in groups}
    if not letters & {"A", "B", "D", "E", "G", "L", "R"}:
        return labels
    return [Label(Kind.UNKNOWN, "C", "") if label.kind is Kind.UNIT else label for label in labels]


def _with_siblings(groups: Sequence[Group], labels: list[Label]) -> list[Label]:
    """In `ox=23.75, water=61.50` the unknown name is a place too, as its sibling is one."""
    places = [group for group, label in zip(groups, labels, strict=True) if label.kind is Kind.PLACE]
    if not any(_one_decimal(group) for group in places):
        return labels
    return [
        Label(Kind.PLACE, label.channel, "")
        if label.kind is Kind.UNKNOWN and group.tied and _one_decimal(group) and label.channel
        else label
        for group, label in zip(groups, labels, strict=True)
    ]


def _one_decimal(group: Group) -> bool:
    return len(group.numbers) == 1 and not group.numbers[0].whole and group.numbers[0].unit == ""


def _is_kilo(one: Number) -> bool:
    """Whether the K after a whole number may be thousands, as in a 10K resistor."""
    return one.unit == "K" and one.whole


def _found(one: Number, channel: str, unit: str, settings: LineSettings) -> Found:
    assert one.number is not None
    scale = 1.0 if settings.scale is None else settings.scale
    used = unit or settings.unit or ""
    degree_c = 5.0 / 9.0 if used == "F" else 1.0
    return Found(
        to_celsius(one.number * scale, used), channel, used, one.raw, one.step * abs(scale) * degree_c, False
    )


def _stated(label: Label, numbers: Sequence[Number], settings: LineSettings, kind: Kind) -> Outcome:
    found = [_found(one, label.channel, one.unit, settings) for one in numbers]
    merged = merge_units(found)
    if isinstance(merged, Refusal) or len(merged) == 1 or kind is Kind.NONE:
        return merged
    # Two readings after one label: which is the labelled one?
    return Refusal(Why.UNDECIDED, tuple(one.channel for one in merged))


def _labelled(label: Label, numbers: Sequence[Number], settings: LineSettings, kind: Kind) -> Outcome:
    one = _value_after_counter(numbers)
    if one is None:
        return Refusal(Why.UNDECIDED, (label.channel,) if label.channel else ())
    assert one.number is not None
    found = _found(one, label.channel, label.unit, settings)
    said = bool(settings.unit or settings.scale)
    if one.whole and settings.scale is None:
        if kind in (Kind.PLACE, Kind.NUMBER) and not said:
            return Refusal(Why.NOT_THE_MELT)
        if not label.unit and abs(found.temp_c) > HOTTEST_BARE_C:
            return Refusal(Why.SCALE, (label.channel,) if label.channel else ())
    if kind is Kind.PLACE and not found.unit and not COLDEST_BARE_C <= found.temp_c <= HOTTEST_BARE_C:
        return Refusal(Why.UNIT, (label.channel,))
    if kind is Kind.UNIT and label.unit == "K" and one.number < COLDEST_BARE_K:
        return Refusal(Why.NOT_THE_MELT)
    return [found]


def _value_after_counter(numbers: Sequence[Number]) -> Number | None:
    """The value where it is alone or follows one whole number that counts lines or seconds."""
    if len(numbers) == 1:
        return numbers[0]
    if len(numbers) == 2 and numbers[0].whole and not numbers[1].whole:
        return numbers[1]
    return None


def _bare_row(numbers: Sequence[Number], settings: LineSettings) -> Outcome:
    """Numbers without any words."""
    columns = tuple(f"column {i + 1}" for i in range(len(numbers)))
    named = [
        _found(one, column, "", settings)
        for column, one in zip(columns, numbers, strict=True)
        if column in settings.chosen
    ]
    if named and settings.channel is None and len(numbers) == 2 and not any(one.whole for one in numbers):
        # Of two, one is said to be the second probe: the other one is the melt's.
        return [_found(one, column, "", settings) for column, one in zip(columns, numbers, strict=True)]
    if named:
        return named
    value = _value_after_counter(numbers) or _value_with_its_error(numbers)
    if value is None or (value.whole and not (settings.unit or settings.scale)):
        return Refusal(Why.UNDECIDED, columns)
    if value.comma and len(value.raw.partition(",")[2]) > 2:
        return Refusal(Why.UNDECIDED, columns)
    found = _found(value, "", "", settings)
    return [Found(found.temp_c, "", found.unit, value.raw, found.step_c, value.comma)]


def _value_with_its_error(numbers: Sequence[Number]) -> Number | None:
    """The middle one of "milliseconds, value, its error", printed far finer than a thermometer measures."""
    if len(numbers) != 3 or not numbers[0].whole or len(numbers[0].raw) < 4:
        return None
    _, value, error = numbers
    assert value.number is not None and error.number is not None
    too_fine = value.step == error.step and value.step < 1e-4
    return value if too_fine and 0.0 <= error.number < 1.0 and value.number > 5.0 else None


def merge_units(found: Iterable[Found]) -> Outcome:
    """One reading in several units becomes one; several of one unit and name are numbered.

    Refused where units differ and do not agree.
    """
    by_channel: dict[str, list[Found]] = {}
    for one in found:
        by_channel.setdefault(channel_key(one.channel), []).append(one)
    merged: list[Found] = []
    for same in by_channel.values():
        units = {one.unit for one in same}
        main = "C" if "C" in units else same[0].unit
        kept = [one for one in same if one.unit == main]
        others = [one for one in same if one.unit != main]
        if not all(any(_agree(one, other) for one in kept) for other in others):
            return Refusal(Why.UNDECIDED)
        if len(kept) > 1:
            kept = [
                Found(one.temp_c, f"{one.channel} {i + 1}".strip(), one.unit, one.raw, one.step_c)
                for i, one in enumerate(kept)
            ]
        merged += kept
    return merged


def _agree(one: Found, other: Found) -> bool:
    """Whether two numbers can be one reading in two units, both rounded or cut off."""
    slack_c = max(_SAME_READING_C.get(one.unit, 0.05), _SAME_READING_C.get(other.unit, 0.05))
    return abs(one.temp_c - other.temp_c) <= one.step_c + other.step_c + slack_c
