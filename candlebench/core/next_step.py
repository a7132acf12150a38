"""The one next thing to do, as a sentence that begins with a verb, and why."""

from collections.abc import Callable

from candlebench.core.events import ActionKind, Stage
from candlebench.core.read_again import with_age
from candlebench.core.situation import STIR_S, Situation, oil_words, warm_enough_c
from candlebench.core.state import Alarm, Choice, Level, NextStep
from candlebench.core.steps_off_heat import add_oil
from candlebench.core.steps_on_heat import melted_on_heat, warming
from candlebench.core.steps_to_pour import pour, poured, stir
from candlebench.words import tr

__all__ = ["STIR_S", "Situation", "next_step", "oil_words", "plain_step", "warm_enough_c"]


def next_step(situation: Situation) -> NextStep:
    """Return the step; an alarm that nobody has seen takes its place."""
    calm = with_age(situation, plain_step(situation))
    alarm = situation.alarm
    if alarm is None or alarm.acknowledged:
        return calm
    return _alarm_step(situation, alarm, calm)


def plain_step(situation: Situation) -> NextStep:
    """Return the step as it would be on a reading that is true now, whatever alarm stands."""
    return _BY_STAGE[situation.stage](situation)


def _alarm_step(situation: Situation, alarm: Alarm, calm: NextStep) -> NextStep:
    off = Choice(ActionKind.OFF_HEAT, tr("Off the heat"))
    down = Choice(ActionKind.HEAT_DOWN, tr("Heat is down"))
    seen = Choice(ActionKind.ACKNOWLEDGE, tr("I have seen it"))
    on_heat = situation.on_heat
    too_hot = alarm.code in ("too_hot_soon", "too_hot", "may_be_too_hot")
    others: tuple[Choice, ...]
    if too_hot and on_heat and alarm.level is Level.WARNING:
        main, others = down, (off, seen)
    elif alarm.code in ("too_hot", "heat_on_long") and on_heat:
        main, others = off, (seen,)
    else:
        main, others = seen, ((off,) if on_heat and alarm.code == "above_boiling" else ())
    return NextStep(
        alarm.heading,
        alarm.headline,
        "",
        alarm.reason,
        alarm.more,
        main,
        True,
        others,
        alarm.level,
        alarm.code,
        alarm.crossing or calm.crossing,
        situation.shown.temp(alarm.crossing.target_c) if alarm.crossing else calm.crossing_word,
    )


def _melted(situation: Situation) -> NextStep:
    return melted_on_heat(situation) if situation.on_heat else _off_heat(situation)


def _off_heat(situation: Situation) -> NextStep:
    return add_oil(situation) if situation.setup.oil is not None else pour(situation)


_BY_STAGE: dict[Stage, Callable[[Situation], NextStep]] = {
    Stage.WARMING: warming,
    Stage.MELTED: _melted,
    Stage.OFF_HEAT: _off_heat,
    Stage.OIL_IN: stir,
    Stage.STIRRED: pour,
    Stage.POURED: poured,
}
