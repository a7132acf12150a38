"""What melts taught about a lot stands beside it in the cupboard."""

from uuid import uuid4

from candlebench.core.errors import FixableError
from candlebench.core.learning.lesson import WaxLesson
from candlebench.core.learning.pooling import known_wax
from candlebench.core.units import Shown
from candlebench.records.cupboard_lots import lot_sentences
from candlebench.records.lesson_rows import KeptLesson, Learned


def lot(name: str, knee_c: float, origin: str = "live") -> Learned:
    lesson = WaxLesson(knee_c, 0.3, 2.0, 0.3, "cooling")
    kept = (KeptLesson(uuid4(), 1.8e9, "beeswax", lesson, "", False),)
    return Learned("lot", name, origin, kept, None, known_wax("beeswax", [lesson]))


def test_a_lot_has_the_sentence_of_its_own_melts_in_her_unit() -> None:
    learned = (lot("Meadow 7", 62.6), lot("Pale", 64.0, "practice"))
    sentence = lot_sentences(lambda: learned, Shown())
    assert sentence("Meadow 7").startswith("This lot sets at 62.") and "(one melt)" in sentence("Meadow 7")
    assert " °F, give or take" in lot_sentences(lambda: learned, Shown("F"))("Meadow 7")
    assert sentence("Pale") == "" and sentence("unheard of") == ""


def test_a_lot_of_which_all_was_forgotten_says_nothing() -> None:
    forgotten = Learned("lot", "Meadow 7", "live", (), None, None)
    assert lot_sentences(lambda: (forgotten,), Shown())("Meadow 7") == ""


def test_the_cupboard_opens_without_what_cannot_be_read() -> None:
    def learned() -> tuple[Learned, ...]:
        raise FixableError("The disk is gone.")

    assert lot_sentences(learned, Shown())("Meadow 7") == ""
