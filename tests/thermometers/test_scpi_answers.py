"""Answers of SCPI instruments: one number is read, everything else is refused with a reason."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from candlebench.thermometers.answers import Answer, NoAnswer, Noted
from candlebench.thermometers.scpi_answers import ScpiQuestion, number_in


@pytest.mark.parametrize(
    ("text", "temp_c"),
    [
        ("+6.35000000E+01", 63.5),
        ("63.5", 63.5),
        ("+63", 63.0),
        (".5E2", 50.0),
        ("-4.25E-1", -0.425),
        ("6.35E+01 C", 63.5),
        ("146.3 F", 63.5),
        ("146.3,F", 63.5),
        ('63.5,"C"', 63.5),
        ("63.5CEL", 63.5),
        ("336.65 K", 63.5),
        ("63.5 °C", 63.5),
    ],
)
def test_one_number_is_read_in_every_form_that_ieee_488_2_allows(text: str, temp_c: float) -> None:
    answer = number_in(text, None, None)
    assert isinstance(answer, Answer) and answer.temp_c == pytest.approx(temp_c)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        *((text, "fault") for text in ("9.9E37", "+9.90000000E+37", "-9.9E37", "9.91E37", "9.9E+37 C")),
        *((text, "fault") for text in ("0.0,OL", "OL", "-OL", "OVLD", "nan", "----", "63.5,", "ERR")),
        ('-113,"Undefined header"', "refused"),
        ("63.5,21.4", "undecided"),
        ("63.5 OHM", "undecided"),
        ("MAKER,MODEL 3,0,1.0", "undecided"),
        ("63.5.2", "undecided"),
        ("63,5", "undecided"),
        ("0x3F", "undecided"),
    ],
)
def test_what_is_not_one_temperature_is_refused(text: str, code: str) -> None:
    refused = number_in(text, None, None)
    assert isinstance(refused, NoAnswer) and refused.code == code
    assert refused.sentence.endswith(".")


def test_a_unit_and_a_scale_that_the_person_said_count_for_bare_numbers() -> None:
    fahrenheit = number_in("146.3", "F", None)
    assert isinstance(fahrenheit, Answer) and fahrenheit.temp_c == pytest.approx(63.5) and fahrenheit.stated
    tenths = number_in("635", None, 0.1)
    assert isinstance(tenths, Answer) and tenths.temp_c == 63.5 and not tenths.stated
    own = number_in("63.5 C", "F", None)
    assert isinstance(own, Answer) and own.temp_c == 63.5


@given(st.text(st.characters(codec="ascii"), max_size=40))
def test_no_text_makes_it_fail(text: str) -> None:
    outcome = number_in(text, None, None)
    assert isinstance(outcome, NoAnswer) or abs(outcome.temp_c) < 9.9e37


def question_after_its_name() -> ScpiQuestion:
    question = ScpiQuestion("READ?", None, None)
    question.begin()
    assert question.ask() == b"*IDN?\n"
    (name,) = question.feed(b"MAKER,MODEL 3,0,1.0\r\n")
    assert isinstance(name, Noted) and name.done and name.text == "MAKER,MODEL 3,0,1.0"
    assert question.ask() == b"READ?\n"
    return question


def test_it_asks_for_the_name_once_and_then_for_the_number() -> None:
    question = question_after_its_name()
    outcomes = [outcome for byte in b"READ?\r\n+6.35E+01\r\n" for outcome in question.feed(bytes([byte]))]
    echo, answer = outcomes
    assert isinstance(echo, Noted) and not echo.done
    assert isinstance(answer, Answer) and answer.temp_c == 63.5
    assert question.ask() == b"READ?\n"


def test_an_instrument_without_a_name_is_asked_for_the_number_all_the_same() -> None:
    question = ScpiQuestion("MEAS?", None, None)
    question.begin()
    question.ask()
    nameless = question.cut()
    assert isinstance(nameless, Noted) and nameless.done
    assert question.ask() == b"MEAS?\n"


def test_silence_is_told_apart_from_a_question_that_is_not_understood() -> None:
    assert "READ?" in question_after_its_name().silent_words()
    assert "cable" in ScpiQuestion("READ?", None, None).silent_words()


def test_an_answer_without_an_end_is_not_read_and_does_not_fill_the_memory() -> None:
    question = question_after_its_name()
    assert question.feed(b"+6.35") == []
    part = question.cut()
    assert isinstance(part, NoAnswer) and part.text == "+6.35"
    question.ask()
    outcomes = [outcome for _ in range(1000) for outcome in question.feed(b"6" * 100)]
    assert outcomes and all(isinstance(outcome, NoAnswer) for outcome in outcomes)
    assert len(question._waiting) <= 1024


def test_the_rest_of_a_late_answer_is_not_taken_for_a_whole_one() -> None:
    question = question_after_its_name()
    question.feed(b"+6")
    question.cut()
    question.ask()
    (part,) = question.feed(b"3.5\r\n")
    assert isinstance(part, NoAnswer) and part.code == "garbled"
    (answer,) = question.feed(b"63.5\r\n")
    assert isinstance(answer, Answer) and answer.temp_c == 63.5


def test_the_rest_of_what_followed_a_refused_answer_is_not_taken_for_a_whole_one() -> None:
    question = question_after_its_name()
    (refused,) = question.feed(b"ERR\r\n+6")
    assert isinstance(refused, NoAnswer)
    question.ask()
    (part,) = question.feed(b"3.5\r\n")
    assert isinstance(part, NoAnswer) and part.code == "garbled"


def test_garbled_signs_are_no_number() -> None:
    (garbled,) = question_after_its_name().feed(b"\xe2\x9a\x80\x80\xff6\n")
    assert isinstance(garbled, NoAnswer) and garbled.code == "garbled" and "baud" in garbled.sentence
