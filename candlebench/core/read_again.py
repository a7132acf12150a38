"""Typed readings grow old: the step then asks for a new one, and says before when that will be."""

from dataclasses import replace

from candlebench.core.cues import Phase
from candlebench.core.events import Stage
from candlebench.core.reading_age import old_words
from candlebench.core.situation import Situation
from candlebench.core.state import NextStep
from candlebench.core.units import about
from candlebench.words import tr


def waits_for_reading(situation: Situation) -> bool:
    """Whether what is to be done next hangs on a reading at all."""
    if situation.temp_c is None or situation.stage in (Stage.OIL_IN, Stage.POURED):
        return False
    if situation.on_heat:
        return True
    before_oil = situation.setup.oil is not None and situation.stage in (Stage.MELTED, Stage.OFF_HEAT)
    phase = situation.oil_phase if before_oil else situation.pour_phase
    # Off the heat what is too cool only gets cooler, and no reading makes a safe window.
    return phase is not Phase.MISSED and not (before_oil and phase is Phase.UNSAFE)


def with_age(situation: Situation, calm: NextStep) -> NextStep:
    """Return the calm step as it stands with a reading of this age."""
    age = situation.age
    if not age.typed or not waits_for_reading(situation):
        return calm
    heated = situation.on_heat and situation.stage in (Stage.WARMING, Stage.MELTED)
    if heated and calm.now:
        # On the heat it is only hotter by now: what is due stays due.
        return calm if age.fresh else replace(calm, reason=f"{calm.reason} {old_words(age, situation.shown)}")
    if not age.fresh and (calm.now or age.due):
        return read_step(situation, calm)
    if calm.now or age.due:
        return calm
    again = tr("Read it again in about **{time}**.").format(time=about(age.again_in_s))
    return replace(calm, reason=f"{calm.reason} {again}")


def read_step(situation: Situation, calm: NextStep) -> NextStep:
    """Return the step that asks for a reading in place of another; its buttons stay, as allowed."""
    return replace(
        calm,
        headline=tr("Read the thermometer"),
        accent=tr("now"),
        reason=old_words(situation.age, situation.shown),
        more=tr("Type the number, then Enter. Next: {step}.").format(step=calm.headline),
        now=False,
    )
