"""What became of the melts that were begun from a plan, a sentence each."""

from collections.abc import Callable
from datetime import datetime
from uuid import UUID

from candlebench.core.debrief.story import Story, story_of
from candlebench.core.events import MeltBegan, Stage
from candlebench.core.setup import MeltSetup
from candlebench.core.units import Shown
from candlebench.records.attempts import RecordedMelts
from candlebench.words import tr

# How far back they are looked for: the first event of each is read.
LOOKED_AT = 60


def melts_from(
    records: RecordedMelts, plan: UUID, plan_of: Callable[[MeltSetup], str], shown: Shown
) -> tuple[str, ...]:
    """Return a sentence for each melt begun from a plan, the latest first.

    Parameters
    ----------
    records : RecordedMelts
        Only read.
    plan : UUID
        The plan's id, as in `KeptPlan`.
    plan_of : callable
        Gives the id of the plan that a melt was begun from, as text; '' for none.
    shown : Shown
        How temperatures are written.
    """
    summaries = sorted(records.melts(), key=lambda each: -each.began_wall_s)
    found = []
    for summary in summaries[:LOOKED_AT]:
        events = (recorded.event for recorded in records.events(summary.uuid))
        first = next(events, None)
        if isinstance(first, MeltBegan) and plan_of(first.setup) == str(plan):
            found.append(melt_words(story_of([first, *events]), shown))
    return tuple(found)


def melt_words(story: Story, shown: Shown) -> str:
    """'2026-11-25: oil in at 73.1 °C, poured at 69.4 °C, 82.3 °C at most.'"""
    day = datetime.fromtimestamp(story.began_wall_s).astimezone().strftime("%Y-%m-%d")
    parts = []
    for stage, text, untold in (
        (Stage.OIL_IN, tr("oil in at {temp}"), tr("oil in")),
        (Stage.POURED, tr("poured at {temp}"), tr("poured")),
    ):
        mark = story.mark(stage)
        if mark is not None:
            parts.append(untold if mark.temp_c is None else text.format(temp=shown.temp(mark.temp_c)))
    if story.mark(Stage.POURED) is None:
        parts.append(tr("not poured"))
    if len(story.curve):
        highest_c = float(story.curve.temps_c.max())
        parts.append(tr("{temp} at most").format(temp=shown.temp(highest_c)))
    return tr("{day}: {what}.").format(day=day, what=tr(", ").join(parts))
