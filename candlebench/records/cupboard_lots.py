"""What melts taught about the lots in the cupboard, a sentence a lot."""

import logging
from collections.abc import Callable

from candlebench.core.errors import CandlebenchError
from candlebench.core.learning.sentences import known_sentence
from candlebench.core.units import Shown
from candlebench.records.lesson_rows import Learned

log = logging.getLogger(__name__)


def lot_sentences(learned: Callable[[], tuple[Learned, ...]], shown: Shown) -> Callable[[str], str]:
    """Return what gives a lot's sentence by its name, '' for one that no melt taught anything about.

    Parameters
    ----------
    learned : callable
        Everything that was learned, as `Lessons` gives it; asked once. A cupboard opens without it when it
        cannot be read.
    shown : Shown
        How temperatures are written.
    """
    try:
        lots = {x.name: x for x in learned() if (x.kind, x.origin) == ("lot", "live") and x.known is not None}
    except CandlebenchError as error:
        log.warning("what was learned of the lots cannot be read: %s", error)
        lots = {}

    def sentence(name: str) -> str:
        lot = lots.get(name)
        if lot is None or lot.known is None:
            return ""
        return known_sentence(lot.known, shown, lot.said is not None)

    return sentence
