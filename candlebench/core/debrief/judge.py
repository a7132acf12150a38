"""The whole debrief of one melt, from its events."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from candlebench.core.debrief.curve import Curve
from candlebench.core.debrief.heat import Heat, heat_of
from candlebench.core.debrief.scent import Scent, scent_of
from candlebench.core.debrief.story import Story, story_of
from candlebench.core.debrief.windows import OilVerdict, PourVerdict, oil_verdict, pour_verdict
from candlebench.core.events import Event, Stage
from candlebench.core.guesses import Outcome, outcome, outcomes
from candlebench.core.learning.drift import Drift, drift_of_melt
from candlebench.core.melt import Melt
from candlebench.core.track_record import KeptForecast

# She gets ready at five minutes and stands by at two (track_record.LEADS_S has ten as well).
LEADS_S = (300.0, 120.0)
# T24: a probe in still wax lags 30 s or more.
LATEST_PROBE_S = 60.0


@dataclass(frozen=True, slots=True)
class Debrief:
    """What happened in one melt and how well it went.

    Attributes
    ----------
    story : Story
    truth : Curve or None
        The wax's true temperature, known of practice melts only; what is judged is judged by it.
    heat : Heat
    oil : OilVerdict or None
        None for a plain candle.
    pour : PourVerdict
    scent : Scent
    foretold : tuple of KeptForecast
        Made five and two minutes before, and settled by what came before the jug was emptied.
    guesses : tuple of Outcome
    drift : Drift or None
        The lot seemed to melt elsewhere than before: the probe may have drifted.
    """

    story: Story
    truth: Curve | None
    heat: Heat
    oil: OilVerdict | None
    pour: PourVerdict
    scent: Scent
    foretold: tuple[KeptForecast, ...]
    guesses: tuple[Outcome, ...]
    drift: Drift | None = None

    @property
    def judged(self) -> Curve:
        """The curve that everything was judged by."""
        return self.story.curve if self.truth is None else self.truth

    @property
    def only_begun(self) -> bool:
        """Whether nothing was done to it yet and the wax is not melted, so that there is nothing to judge."""
        done = any(mark.stage is not Stage.WARMING for mark in self.story.marks)
        return not done and (self.heat.highest_c or 0.0) < self.story.setup.limits.melted_c


def debrief_of(
    events: Iterable[Event],
    truth: Curve | None = None,
    foretold: tuple[KeptForecast, ...] = (),
    guesses: tuple[Outcome, ...] | None = None,
    drift: Drift | None = None,
) -> Debrief:
    """Judge a recorded melt.

    Parameters
    ----------
    events : iterable of Event
        In their order; the first is MeltBegan.
    truth : Curve or None
        The true temperature of the wax of a practice melt; without it, the believed readings are judged.
    foretold : tuple of KeptForecast
        How the forecasts fared (`Melt.kept_forecasts`).
    guesses : tuple of Outcome or None
        How the guesses fared beside the forecasts (`guesses.outcomes`, which folds the whole melt); None
        judges them here at once, without the forecasts, which a page can be told later.
    drift : Drift or None
        Whether the probe may have drifted (`drift_of_melt`).

    Raises
    ------
    ValueError
        The events do not begin with MeltBegan.
    """
    story = story_of(events)
    if truth is not None and not len(truth):
        truth = None
    curve = story.curve if truth is None else truth
    oil = oil_verdict(story, curve)
    return Debrief(
        story=story,
        truth=truth,
        heat=heat_of(story, curve),
        oil=oil,
        pour=pour_verdict(story, curve),
        scent=scent_of(story, curve, oil),
        foretold=tuple(kept for kept in foretold if _counts(kept, story)),
        guesses=_guesses(story) if guesses is None else guesses,
        drift=drift,
    )


def full_debrief(events: Iterable[Event], truth: Curve | None = None) -> Debrief:
    """Judge a recorded melt and the forecasts in it, which folds it once more for each guess.

    Parameters and errors as for `debrief_of`. Takes about a second for a melt of an hour read every second.
    """
    past = list(events)
    foretold = Melt.replayed(past).kept_forecasts
    return debrief_of(past, truth, foretold, outcomes(past), drift_of_melt(past))


def _counts(kept: KeptForecast, story: Story) -> bool:
    """Whether it was settled by what came; what the probe shows once the jug is empty settles nothing."""
    came_s = kept.made_s + (kept.took_s or 0.0)
    if not kept.settled or kept.lead_s not in LEADS_S or came_s > story.in_jug_until_s:
        return False
    # A probe shows it a little later than the wax.
    until_s = min(came_s + LATEST_PROBE_S, story.in_jug_until_s)
    until = story.curve.between(kept.made_s, until_s)
    return len(until) > 0 and float(until.temps_c.min()) <= kept.target_c <= float(until.temps_c.max())


def _guesses(story: Story) -> tuple[Outcome, ...]:
    changes_s = [turn.at_s for turn in story.turns if turn.on_heat]
    oil_s = story.at(Stage.OIL_IN)
    changes_s += [] if oil_s is None else [oil_s]
    return tuple(
        outcome(
            guess,
            None,
            story.curve.times_s,
            story.curve.temps_c,
            min((at_s for at_s in changes_s if at_s >= guess.at_s), default=math.inf),
        )
        for guess in story.guesses
    )
