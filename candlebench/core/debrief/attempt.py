"""One attempt beside earlier ones at the same melt: a few figures, and what got better."""

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from candlebench.core.debrief.judge import Debrief
from candlebench.core.debrief.phrases import lasted, off_words
from candlebench.core.units import Shown
from candlebench.words import tr

# Smaller changes than these are luck: the resolution of a kitchen probe, half a minute.
SAME_K = 0.3
SAME_S = 30.0


@dataclass(frozen=True, slots=True)
class Attempt:
    """The figures of one melt that are compared.

    Attributes
    ----------
    melt : UUID
    began_wall_s : float
    oil_off_c, pour_off_c : float or None
        Kelvins above (+) or below (-) the window; None when it was not done or not read.
    highest_c : float or None
    too_hot_s : float
        Seconds above the first warning.
    scent_kept, times_right : float or None
        Estimates, as in `Scent`.
    """

    melt: UUID
    began_wall_s: float
    oil_off_c: float | None
    pour_off_c: float | None
    highest_c: float | None
    too_hot_s: float
    scent_kept: float | None
    times_right: float | None


def attempt_of(melt: UUID, debrief: Debrief) -> Attempt:
    """Return the figures of a debriefed melt."""
    return Attempt(
        melt=melt,
        began_wall_s=debrief.story.began_wall_s,
        oil_off_c=debrief.oil.off_by_c if debrief.oil is not None else None,
        pour_off_c=debrief.pour.off_by_c,
        highest_c=debrief.heat.highest_c,
        too_hot_s=debrief.heat.warn_s,
        scent_kept=debrief.scent.kept,
        times_right=debrief.scent.times_right,
    )


def scenario_of(source: str) -> str:
    """Return the name of the practice scenario behind a source address; '' for a real melt."""
    kind, _, rest = source.partition(":")
    return rest.partition("?")[0] if kind == "practice" else ""


def compared(now: Attempt, before: Attempt, shown: Shown) -> str:
    """Say in one sentence what got better than last time, and what did not."""
    better: list[str] = []
    worse: list[str] = []
    for change, phrase in _changes(now, before, shown):
        if change < 0.0:
            better.append(phrase)
        elif change > 0.0:
            worse.append(phrase)
    comma = tr(", ")
    if better and worse:
        text = tr("Better than last time: {better}; not so good: {worse}.")
        return text.format(better=comma.join(better), worse=comma.join(worse))
    if better:
        return tr("Better than last time: {better}.").format(better=comma.join(better))
    if worse:
        return tr("Last time was better: {worse}.").format(worse=comma.join(worse))
    return tr("Much the same as last time.")


def _changes(now: Attempt, before: Attempt, shown: Shown) -> list[tuple[float, str]]:
    """What changed, as (more than nothing is worse, phrase)."""
    found: list[tuple[float, str]] = []
    pairs: Sequence[tuple[float | None, float | None, str]] = (
        (now.oil_off_c, before.oil_off_c, tr("oil {now}")),
        (now.pour_off_c, before.pour_off_c, tr("pour {now}")),
    )
    for is_c, was_c, text in pairs:
        if is_c is None or was_c is None or abs(abs(is_c) - abs(was_c)) < SAME_K:
            continue
        found.append((abs(is_c) - abs(was_c), text.format(now=off_words(is_c, shown))))
    if abs(now.too_hot_s - before.too_hot_s) >= SAME_S:
        text = tr("too hot for {now}") if now.too_hot_s > 0.0 else tr("never too hot")
        found.append((now.too_hot_s - before.too_hot_s, text.format(now=lasted(now.too_hot_s))))
    return found
