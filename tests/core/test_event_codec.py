"""Events survive the way to JSON and back; anything else is refused with the place named."""

import json
import math
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from candlebench.core.correction import Correction
from candlebench.core.errors import BadDataError
from candlebench.core.event_codec import decode, encode, type_word
from candlebench.core.events import (
    Action,
    ActionKind,
    Event,
    Gap,
    KeptOut,
    MeltBegan,
    ProbeTrouble,
    Reading,
    Refused,
    SetupChanged,
)
from candlebench.core.place import Place
from candlebench.core.setup import Beside, Limits, MeltSetup, Oil

numbers = st.floats(allow_nan=False, allow_infinity=False)
# Lone surrogates too: they are what undecodable bytes from a wire turn into.
texts = st.text(st.characters(exclude_categories=()), max_size=30)
limits = st.builds(Limits, *[numbers] * 8)
oils = st.builds(Oil, texts, st.none() | numbers, st.none() | numbers, st.none() | numbers)
places = st.sampled_from(Place)
corrections = st.builds(Correction, numbers, numbers, numbers, texts)
besides = st.builds(Beside, places, texts, texts, st.none() | corrections)
setups = st.builds(
    MeltSetup,
    title=texts,
    wax=texts,
    limits=limits,
    room_c=st.none() | numbers,
    altitude_m=numbers,
    wax_g=st.none() | numbers,
    oil=st.none() | oils,
    source=texts,
    correction=st.none() | corrections,
    beside=st.none() | besides,
)
any_event = st.one_of(
    st.builds(MeltBegan, numbers, numbers, setups),
    st.builds(SetupChanged, numbers, numbers, setups),
    st.builds(Reading, numbers, numbers, numbers, st.booleans(), places),
    st.builds(Refused, numbers, numbers, texts, texts, places),
    st.builds(KeptOut, numbers, numbers, numbers, numbers, texts, places),
    st.builds(ProbeTrouble, numbers, numbers, texts, texts, places),
    st.builds(Action, numbers, numbers, st.sampled_from(ActionKind), texts),
    st.builds(Gap, numbers, numbers, numbers, texts),
)

LIMITS = Limits(66.0, 70.0, 75.0, 68.0, 71.0, 80.0, 85.0, 95.0)
SETUP = MeltSetup("shelf pair", "beeswax", LIMITS, room_c=19.5, oil=Oil("lavender", 12.5))


@given(any_event)
@settings(max_examples=300, deadline=None)
def test_any_event_comes_back_from_json_as_it_went(event: Event) -> None:
    text = json.dumps(encode(event), allow_nan=False)
    assert decode(json.loads(text)) == event


def test_every_type_of_event_has_its_own_word() -> None:
    examples = [
        MeltBegan(0.0, 1.0, SETUP),
        SetupChanged(0.0, 1.0, SETUP),
        Reading(0.0, 1.0, 70.0),
        Refused(0.0, 1.0, "??", "no number"),
        KeptOut(0.0, 1.0, 0.0, 85.0, "out of the wax"),
        ProbeTrouble(0.0, 1.0, "busy", "close it"),
        Action(0.0, 1.0, ActionKind.OIL_IN),
        Gap(0.0, 1.0, 30.0, "closed"),
    ]
    assert {type(example) for example in examples} == set(get_args(Event))
    assert len({type_word(type(example)) for example in examples}) == len(examples)


def test_the_form_on_disk_is_this_one_and_stays_so() -> None:
    assert encode(Reading(61.0, 1_790_000_000.25, 73.4)) == {
        "type": "reading",
        "elapsed_s": 61.0,
        "wall_s": 1_790_000_000.25,
        "temp_c": 73.4,
        "by_hand": False,
        "place": "melt",
    }
    assert encode(Action(5.0, 6.0, ActionKind.OFF_HEAT))["kind"] == "off the heat"
    setup = encode(MeltBegan(0.0, 1.0, SETUP))["setup"]
    assert isinstance(setup, dict)
    assert setup["limits"]["oil_low_c"] == 70.0
    assert setup["oil"] == {"name": "lavender", "mass_g": 12.5, "volume_ml": None, "scented_flash_c": None}


def test_fields_of_a_later_version_are_passed_over() -> None:
    data = encode(MeltBegan(0.0, 1.0, SETUP))
    assert isinstance(data["setup"], dict)
    data["colour"] = "natural"
    data["setup"]["stirrer"] = {"speed": 3}
    assert decode(data) == MeltBegan(0.0, 1.0, SETUP)


def test_optional_fields_of_an_earlier_version_take_their_defaults() -> None:
    data = encode(MeltBegan(0.0, 1.0, SETUP))
    assert isinstance(data["setup"], dict)
    for name in ("room_c", "altitude_m", "wax_g", "oil", "source"):
        del data["setup"][name]
    assert decode(data) == MeltBegan(0.0, 1.0, MeltSetup("shelf pair", "beeswax", LIMITS))
    assert decode({"type": "reading", "elapsed_s": 1, "wall_s": 2, "temp_c": 70}) == Reading(1.0, 2.0, 70.0)


@pytest.mark.parametrize(
    ("data", "named"),
    [
        ({"type": "sneeze", "elapsed_s": 0.0, "wall_s": 0.0}, "sneeze"),
        ({"elapsed_s": 0.0, "wall_s": 0.0}, "None"),
        ({"type": ["reading"]}, "reading"),
        ({"type": "reading", "elapsed_s": 0.0, "wall_s": 0.0}, "temp_c is missing"),
        ({"type": "reading", "elapsed_s": 0.0, "wall_s": 0.0, "temp_c": "70"}, "reading.temp_c"),
        ({"type": "reading", "elapsed_s": 0.0, "wall_s": 0.0, "temp_c": True}, "reading.temp_c"),
        ({"type": "reading", "elapsed_s": 0.0, "wall_s": 0.0, "temp_c": None}, "reading.temp_c"),
        ({"type": "reading", "elapsed_s": 0.0, "wall_s": 0.0, "temp_c": math.nan}, "reading.temp_c"),
        ({"type": "reading", "elapsed_s": 0.0, "wall_s": 0.0, "temp_c": 10**400}, "reading.temp_c"),
        ({"type": "reading", "elapsed_s": 0.0, "wall_s": 0.0, "temp_c": 1.0, "by_hand": 1}, "by_hand"),
        ({"type": "action", "elapsed_s": 0.0, "wall_s": 0.0, "kind": "whistle"}, "whistle"),
        ({"type": "action", "elapsed_s": 0.0, "wall_s": 0.0, "kind": "note", "detail": 3}, "action.detail"),
        ({"type": "melt began", "elapsed_s": 0.0, "wall_s": 0.0, "setup": 7}, "melt began.setup"),
        (
            {
                "type": "melt began",
                "elapsed_s": 0.0,
                "wall_s": 0.0,
                "setup": {"title": "", "wax": "", "limits": {}},
            },
            "melt began.setup.limits: melted_c is missing",
        ),
    ],
)
def test_what_is_no_event_is_refused_with_its_place(data: dict[str, object], named: str) -> None:
    with pytest.raises(BadDataError) as caught:
        decode(data)
    assert named in str(caught.value)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_a_number_that_is_not_finite_is_never_written(value: float) -> None:
    with pytest.raises(BadDataError, match=r"reading\.temp_c"):
        encode(Reading(0.0, 1.0, value))


def test_a_numpy_number_becomes_a_plain_one() -> None:
    numpy = pytest.importorskip("numpy")
    encoded = encode(Reading(0.0, 1.0, numpy.float64(70.25)))
    assert type(encoded["temp_c"]) is float
