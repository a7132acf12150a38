"""What was learned, in words."""

from candlebench.core.known import KnownJug, KnownProbe, KnownWax
from candlebench.core.learning.lesson import JugLesson, ProbeLesson, WaxLesson
from candlebench.core.learning.sentences import known_sentence, lesson_words
from candlebench.core.units import Shown

WAX = KnownWax(62.8, 0.31, 2.0, 0.3, 2)


def test_a_lot_is_told_in_a_makers_words() -> None:
    assert known_sentence(WAX, Shown()) == "This lot sets at 62.8 °C, give or take 0.3 (two melts)."
    assert known_sentence(WAX, Shown("F")) == "This lot sets at 145.0 °F, give or take 0.6 (two melts)."


def test_her_own_word_is_named_as_hers() -> None:
    said = KnownWax(63.0, 0.3, 2.0, 0.7, 0)
    assert known_sentence(said, Shown(), True).endswith("(as you said).")
    assert known_sentence(WAX, Shown(), True).endswith("(as you said, and two melts since).")


def test_a_jug_and_a_probe_are_told_with_their_units() -> None:
    jug = known_sentence(KnownJug(0.84, 700.0, 0.1, 1), Shown())
    assert "700 g" in jug and "0.84 °C a minute" in jug and "50 °C warmer" in jug and "(one melt)" in jug
    jug_f = known_sentence(KnownJug(0.5, 700.0, 0.1, 9), Shown("F"))
    assert "0.90 °F a minute" in jug_f and "90 °F warmer" in jug_f and "(9 melts)" in jug_f
    assert known_sentence(KnownProbe(8.2, 0.3, 1), Shown()).startswith("This probe follows 8 s behind")


def test_each_melts_own_value_has_its_words() -> None:
    assert lesson_words(WaxLesson(62.6, 0.42, 2.0, 0.3, "cooling"), Shown()) == (
        "62.6 °C, give or take 0.4, seen while it set"
    )
    assert "while it melted" in lesson_words(WaxLesson(62.6, 0.42, 2.0, 0.3, "melting"), Shown())
    assert "0.84 °C a minute with 700 g" in lesson_words(JugLesson(0.84, 0.1, 700.0), Shown())
    assert lesson_words(ProbeLesson(8.0, 0.25), Shown()) == "8 s, give or take 2"
