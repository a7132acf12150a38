"""What became of the melts that were begun from a plan, a sentence each."""

from collections.abc import Callable
from datetime import datetime
from uuid import UUID

from candlebench.core.debrief.story import Story, story_of
from candlebench.core.events import MeltBegan, Stage
from candlebench.core.setup import MeltSetup
from candlebench.core.units import Shown
from candlebench.records.attempts import RecordedMelts
from candlebench.records.rows import MeltSummary
from candlebench.words import tr

# How far back they are looked for: the first event of each is read.
LOOKED_AT = 60


class PlanMelts:
    """Tells of the melts begun from plans; what was read of a melt once is not read again.

    Parameters
    ----------
    records : RecordedMelts
        Only read.
    plan_of : callable
        Gives the id of the plan that a melt was begun from, as text; '' for none.
    shown : Shown
        How temperatures are written.
    """

    def __init__(self, records: RecordedMelts, plan_of: Callable[[MeltSetup], str], shown: Shown) -> None:
        self._records, self._plan_of, self._shown = records, plan_of, shown
        # A melt's first event never changes; a sentence holds as long as no event is added.
        self._plans: dict[UUID, str] = {}
        self._told: dict[tuple[UUID, int], str] = {}

    def of(self, plan: UUID) -> tuple[str, ...]:
        """Return a sentence for each melt begun from a plan (its `KeptPlan.uuid`), the latest first."""
        summaries = sorted(self._records.melts(), key=lambda each: -each.began_wall_s)
        return tuple(
            self._sentence(summary)
            for summary in summaries[:LOOKED_AT]
            if self._plan_of_melt(summary.uuid) == str(plan)
        )

    def _plan_of_melt(self, melt: UUID) -> str:
        if melt not in self._plans:
            recorded = next(self._records.events(melt), None)
            if recorded is None or not isinstance(recorded.event, MeltBegan):
                # It may still be written.
                return ""
            self._plans[melt] = self._plan_of(recorded.event.setup)
        return self._plans[melt]

    def _sentence(self, summary: MeltSummary) -> str:
        key = summary.uuid, summary.event_count
        if key not in self._told:
            events = [recorded.event for recorded in self._records.events(summary.uuid)]
            self._told[key] = melt_words(story_of(events), self._shown)
        return self._told[key]


def melts_from(
    records: RecordedMelts, plan: UUID, plan_of: Callable[[MeltSetup], str], shown: Shown
) -> tuple[str, ...]:
    """Return a sentence for each melt begun from a plan, read once; the parameters as in `PlanMelts`."""
    return PlanMelts(records, plan_of, shown).of(plan)


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
