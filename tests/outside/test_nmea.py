"""NMEA 0183 sentences made and parsed by pynmea2, the library for them on PyPI, against our own parser."""

from decimal import Decimal

import pynmea2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from candlebench.thermometers.text_lines import LineParser, Value, Why

NAMES = st.text("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_", min_size=1, max_size=10)
TEMPERATURES = st.decimals(-40, 180, places=1, allow_nan=False, allow_infinity=False)


def values(sentence: str) -> list[tuple[str, float]]:
    parsed = LineParser().feed(f"{sentence}\r\n".encode())
    return [(one.channel, one.temp_c) for one in parsed if isinstance(one, Value)]


@settings(max_examples=200, deadline=None)
@given(rows=st.lists(st.tuples(TEMPERATURES, NAMES), min_size=1, max_size=4, unique_by=lambda row: row[1]))
def test_transducers_come_out_as_pynmea2_put_them_in(rows: list[tuple[Decimal, str]]) -> None:
    rows = [row for row in rows if row[0] != 85 and row[0] != -127]
    fields = [field for temp_c, name in rows for field in ("C", str(temp_c), "C", name)]
    if not fields:
        return
    sentence = str(pynmea2.XDR("YX", "XDR", tuple(fields)))
    peer = pynmea2.parse(sentence, check=True)
    theirs = [(peer.get_transducer(i).id, float(peer.get_transducer(i).value)) for i in range(len(rows))]
    assert values(sentence) == theirs == [(name, float(temp_c)) for temp_c, name in rows]


@settings(max_examples=100, deadline=None)
@given(temp_c=TEMPERATURES.filter(lambda temp_c: temp_c != 85))
def test_water_temperature_comes_out_as_pynmea2_put_it_in(temp_c: Decimal) -> None:
    sentence = str(pynmea2.MTW("II", "MTW", (str(temp_c), "C")))
    peer = pynmea2.parse(sentence, check=True)
    assert values(sentence) == [("", float(peer.temperature))]


def test_other_transducers_of_the_sentence_are_left_out() -> None:
    sentence = str(
        pynmea2.XDR(
            "WI", "XDR", ("P", "1.01", "B", "BARO", "C", "63.5", "C", "MELT", "H", "43.0", "P", "DAMP")
        )
    )
    assert values(sentence) == [("MELT", 63.5)]


@pytest.mark.parametrize("kind", [pynmea2.GGA, pynmea2.DPT, pynmea2.MWV])
def test_sentences_of_other_instruments_are_no_temperatures(kind: type[pynmea2.TalkerSentence]) -> None:
    assert values(str(kind("II", kind.__name__, ("12.5", "63.5", "C")))) == []


def test_a_lost_digit_shows_in_the_check_sum() -> None:
    sentence = str(pynmea2.XDR("YX", "XDR", ("C", "163.5", "C", "MELT")))
    damaged = sentence.replace("163.5", "63.5")
    with pytest.raises(pynmea2.ChecksumError):
        pynmea2.parse(damaged, check=True)
    (bad,) = LineParser().feed(f"{damaged}\r\n".encode())
    assert not isinstance(bad, Value) and bad.why is Why.CHECKSUM


def test_a_sentence_without_its_check_sum_is_refused() -> None:
    assert values("$YXXDR,C,63.5,C,MELT") == []


def test_a_transducer_without_a_value_is_refused_and_the_other_one_read() -> None:
    assert values(str(pynmea2.XDR("YX", "XDR", ("C", "", "C", "MELT", "C", "21.4", "C", "ROOM")))) == [
        ("ROOM", 21.4)
    ]
