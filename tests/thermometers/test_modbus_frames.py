"""Modbus without any wire: frames in, temperatures or the reason why there is none out."""

import math
import struct

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from candlebench.thermometers.answers import Answer, NoAnswer, Noted, Outcome
from candlebench.thermometers.modbus_frames import RtuQuestion, TcpQuestion, crc16
from candlebench.thermometers.modbus_point import ORDERS, ModbusPoint, temperature_of


def rtu(body: bytes) -> bytes:
    return body + crc16(body).to_bytes(2, "little")


def registers_frame(point: ModbusPoint, registers: bytes, unit: int | None = None) -> bytes:
    head = bytes([point.unit if unit is None else unit, point.function, len(registers)])
    return rtu(head + registers)


def answered(point: ModbusPoint, *pieces: bytes) -> list[Outcome]:
    question = RtuQuestion(point)
    question.ask()
    return [outcome for piece in pieces for outcome in question.feed(piece)]


def number(outcomes: list[Outcome]) -> float:
    (one,) = outcomes
    assert isinstance(one, Answer), one
    return one.temp_c


POINT = ModbusPoint(unit=17, function=4, register=8, scale=0.1)


def test_a_register_in_tenths_becomes_degrees() -> None:
    assert number(answered(POINT, registers_frame(POINT, (635).to_bytes(2, "big")))) == 63.5


def test_numbers_below_zero_are_read_as_int16_and_refused_as_uint16() -> None:
    word = (-55).to_bytes(2, "big", signed=True)
    assert number(answered(POINT, registers_frame(POINT, word))) == -5.5
    unsigned = ModbusPoint(unit=17, register=8, scale=0.1, type="uint16")
    (refused,) = answered(unsigned, registers_frame(unsigned, word))
    assert isinstance(refused, NoAnswer) and "type=int16" in refused.sentence


@pytest.mark.parametrize("order", ORDERS)
@given(temp_c=st.floats(-100, 500, width=32).filter(lambda x: x == 0 or abs(x) > 1e-3))
def test_a_float_is_read_in_each_order_of_its_bytes(order: str, temp_c: float) -> None:
    point = ModbusPoint(type="float32", order=order)
    a, b, c, d = struct.pack(">f", temp_c)
    sent = bytes({"A": a, "B": b, "C": c, "D": d}[letter] for letter in order)
    assert number(answered(point, registers_frame(point, sent))) == pytest.approx(temp_c, abs=1e-6)


@pytest.mark.parametrize("order", ["CDAB", "BADC", "DCBA"])
def test_a_melt_read_in_the_wrong_order_of_bytes_is_nearly_always_refused(order: str) -> None:
    point = ModbusPoint(type="float32", order=order)
    melts = [hundredths / 100 for hundredths in range(2000, 12000, 7)]
    outcomes = [temperature_of(struct.pack(">f", temp_c), point, "") for temp_c in melts]
    read = [one.temp_c for one in outcomes if isinstance(one, Answer)]
    # One number cannot tell more: of all the floats there are, this share lies within what a probe can read.
    assert len(read) <= 0.09 * len(melts)
    assert len([temp_c for temp_c in read if 15 <= temp_c <= 120]) <= 0.015 * len(melts)
    assert any(isinstance(one, NoAnswer) and "order of the bytes" in one.sentence for one in outcomes)


@pytest.mark.parametrize(
    ("kind", "registers"),
    [
        *(("int16", word) for word in (0x7FFF, 0x8000, 0xFFFF, 0x7FFE, 30000)),
        *(("uint16", word) for word in (0x7FFF, 0x8000, 0xFFFF, 31000)),
    ],
)
@pytest.mark.parametrize("scale", [1.0, 0.1, 0.01, 0.001])
def test_a_word_that_stands_for_a_broken_sensor_is_never_a_number(
    kind: str, registers: int, scale: float
) -> None:
    point = ModbusPoint(type=kind, scale=scale)
    (outcome,) = answered(point, registers_frame(point, registers.to_bytes(2, "big")))
    assert isinstance(outcome, NoAnswer) and outcome.code == "fault"


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 9.9e37, -9.9e37, 850.0, 1000.0, 10000.0])
def test_a_float_that_stands_for_a_broken_sensor_is_never_a_number(value: float) -> None:
    point = ModbusPoint(type="float32")
    (outcome,) = answered(point, registers_frame(point, struct.pack(">f", value)))
    assert isinstance(outcome, NoAnswer) and outcome.code == "fault"


def test_degrees_fahrenheit_are_converted_when_said() -> None:
    point = ModbusPoint(scale=0.1, degrees="F")
    outcome = temperature_of((1463).to_bytes(2, "big"), point, "")
    assert isinstance(outcome, Answer) and outcome.stated and outcome.temp_c == pytest.approx(63.5)


def test_the_echo_of_the_request_and_noise_before_the_answer_are_skipped() -> None:
    question = RtuQuestion(POINT)
    echo = question.ask()
    frame = registers_frame(POINT, (635).to_bytes(2, "big"))
    outcomes = [
        outcome for byte in b"\0" + echo + b"\xff" + frame for outcome in question.feed(bytes([byte]))
    ]
    assert number(outcomes) == 63.5


def test_an_echo_alone_is_silence_and_a_damaged_answer_is_not() -> None:
    question = RtuQuestion(POINT)
    question.feed(question.ask())
    assert question.cut() is None
    question.ask()
    frame = bytearray(registers_frame(POINT, (635).to_bytes(2, "big")))
    frame[4] ^= 0x10
    assert question.feed(bytes(frame)) == []
    damaged = question.cut()
    assert isinstance(damaged, NoAnswer) and damaged.code == "garbled"


@settings(max_examples=300)
@given(
    raw=st.integers(-500, 5000),
    flips=st.lists(st.tuples(st.integers(0, 6), st.integers(0, 7)), min_size=1, max_size=2, unique=True),
)
def test_one_or_two_bits_wrong_never_make_a_temperature(raw: int, flips: list[tuple[int, int]]) -> None:
    frame = bytearray(registers_frame(POINT, raw.to_bytes(2, "big", signed=True)))
    for byte, bit in flips:
        frame[byte] ^= 1 << bit
    assert not any(isinstance(outcome, Answer) for outcome in answered(POINT, bytes(frame)))


def test_the_answer_of_another_device_is_noted_and_waited_past() -> None:
    other = registers_frame(POINT, (999).to_bytes(2, "big"), unit=18)
    own = registers_frame(POINT, (635).to_bytes(2, "big"))
    noted, answer = answered(POINT, other + own)
    assert isinstance(noted, Noted) and "unit 18" in noted.read_as and not noted.done
    assert isinstance(answer, Answer) and answer.temp_c == 63.5


def test_an_answer_with_another_count_of_registers_is_not_ours() -> None:
    (noted,) = answered(POINT, registers_frame(POINT, b"\x02\x7b\x02\x7b"))
    assert isinstance(noted, Noted)


@pytest.mark.parametrize(
    ("code", "words"),
    [
        (1, "function=3"),
        (2, "register 8"),
        (3, "register 8"),
        (4, "fault 4"),
        (6, "every=5"),
        (11, "unit 17"),
    ],
)
def test_an_exception_says_what_to_do(code: int, words: str) -> None:
    (refused,) = answered(POINT, rtu(bytes([17, 0x84, code])))
    assert isinstance(refused, NoAnswer) and refused.code == "refused" and words in refused.sentence


def test_what_came_before_the_question_is_forgotten() -> None:
    question = RtuQuestion(POINT)
    question.ask()
    frame = registers_frame(POINT, (635).to_bytes(2, "big"))
    question.feed(frame[:4])
    question.ask()
    assert question.feed(frame[4:]) == []


@settings(max_examples=300)
@given(data=st.lists(st.binary(max_size=300), max_size=6))
def test_no_bytes_make_either_kind_fail_or_keep_more_than_a_frame(data: list[bytes]) -> None:
    for question in (RtuQuestion(POINT), TcpQuestion(POINT)):
        question.ask()
        for piece in data:
            question.feed(piece)
            assert len(question._waiting) <= 600
        question.cut()


def test_over_tcp_each_answer_belongs_to_its_question() -> None:
    question = TcpQuestion(POINT)
    first, second = question.ask(), question.ask()
    late = first[:2] + b"\0\0\0\x05\x11\x04\x02\x02\x7b"
    own = second[:2] + b"\0\0\0\x05\x11\x04\x02\x02\x7c"
    stranger = second[:2] + b"\0\0\0\x05\x12\x04\x02\x02\x7d"
    noted, other, answer = question.feed(late + stranger + own)
    assert isinstance(noted, Noted) and isinstance(other, Noted) and "unit 18" in other.read_as
    assert isinstance(answer, Answer) and answer.temp_c == 63.6


def test_over_tcp_a_stream_out_of_step_is_dropped_and_begun_anew() -> None:
    question = TcpQuestion(POINT)
    question.ask()
    (damaged,) = question.feed(b"HTTP/1.1 400 Bad Request\r\n")
    assert isinstance(damaged, NoAnswer) and damaged.code == "garbled"
    request = question.ask()
    assert number(question.feed(request[:2] + b"\0\0\0\x05\x11\x04\x02\x02\x7b")) == 63.5
