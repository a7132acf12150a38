"""The one next thing to do, as a sentence that begins with a verb, and why."""

import math
from collections.abc import Callable
from dataclasses import dataclass

from candlebench.core.cues import Phase, Window
from candlebench.core.events import ActionKind, Stage
from candlebench.core.forecast.crossing import Crossing
from candlebench.core.setup import MeltSetup
from candlebench.core.state import Alarm, Choice, Level, NextStep
from candlebench.core.units import Shown, about, between, rounded_clock_face
from candlebench.words import tr

# One minute of stirring carries the oil through the jug. Common practice, no source.
STIR_S = 60.0
# A band whose ends are further apart than this is no help at the hob; short ones always are. Design decision.
VAGUE_TIMES = 5.0
VAGUE_S = 300.0


@dataclass(frozen=True, slots=True)
class Situation:
    """What the next step is made from."""

    setup: MeltSetup
    shown: Shown
    stage: Stage
    stage_s: float
    now_s: float
    on_heat: bool
    temp_c: float | None
    rate_c_per_min: float | None
    oil_phase: Phase
    pour_phase: Phase
    oil: Window
    pour: Window
    chill_c: float
    alarm: Alarm | None
    foreseen: Callable[[float], Crossing | None]
    lasts: Callable[[float, float], Crossing | None]


def next_step(situation: Situation) -> NextStep:
    """Return the step; an alarm that nobody has seen takes its place."""
    calm = _BY_STAGE[situation.stage](situation)
    alarm = situation.alarm
    if alarm is None or alarm.acknowledged:
        return calm
    return _alarm_step(situation, alarm, calm)


def oil_words(setup: MeltSetup) -> str:
    """'43 g lavender oil (49 mL)', as far as it was said."""
    oil = setup.oil
    if oil is None:
        return tr("the oil")
    name = tr("{name} oil").format(name=oil.name) if oil.name else tr("oil")
    if oil.mass_g is None:
        return tr("the {oil}").format(oil=name)
    if oil.volume_ml is None:
        return tr("{grams:.0f} g {oil}").format(grams=oil.mass_g, oil=name)
    return tr("{grams:.0f} g {oil} ({ml:.0f} mL)").format(grams=oil.mass_g, oil=name, ml=oil.volume_ml)


def warm_enough_c(setup: MeltSetup) -> float:
    """Where more heat brings nothing: the top of the first window that the melt will fall into."""
    return setup.limits.oil_high_c if setup.oil is not None else setup.limits.pour_high_c


def _alarm_step(situation: Situation, alarm: Alarm, calm: NextStep) -> NextStep:
    off = Choice(ActionKind.OFF_HEAT, tr("Off the heat"))
    down = Choice(ActionKind.HEAT_DOWN, tr("Heat is down"))
    seen = Choice(ActionKind.ACKNOWLEDGE, tr("I have seen it"))
    on_heat = situation.on_heat
    others: tuple[Choice, ...]
    if alarm.code in ("too_hot_soon", "too_hot") and on_heat and alarm.level is Level.WARNING:
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


def _sayable(crossing: Crossing | None) -> Crossing | None:
    """A forecast worth saying; one whose late end is many times its early one says nothing yet."""
    if crossing is None or crossing.high_s > max(VAGUE_TIMES * crossing.low_s, VAGUE_S):
        return None
    return crossing


def _sayable_at(situation: Situation, target_c: float) -> Crossing | None:
    return _sayable(situation.foreseen(target_c))


def _likely(crossing: Crossing | None) -> str:
    """', likely between 2:35 and 4:05 from now' or nothing."""
    if crossing is None:
        return ""
    return tr(", likely between {band} from now").format(band=between(crossing.low_s, crossing.high_s))


def _warming(situation: Situation) -> NextStep:
    limits, shown = situation.setup.limits, situation.shown
    main = Choice(ActionKind.MELTED, tr("All melted"))
    temp_c = situation.temp_c
    if temp_c is None:
        return NextStep(
            tr("Next"),
            tr("Put the probe in the wax"),
            "",
            tr("The curve begins with the first reading. Stand the jug in the water bath, on low heat."),
            tr("Never leave melting wax alone."),
            main,
            False,
        )
    if temp_c >= limits.melted_c:
        return NextStep(
            tr("Next"),
            tr("Look whether all is melted, and stir"),
            "",
            tr("At **{temp}** the last lumps go. Then take it off the heat.").format(
                temp=shown.temp(limits.melted_c)
            ),
            tr("Lumps that melt later cool the jug and spoil the timing."),
            main,
            True,
        )
    crossing = _sayable_at(situation, limits.melted_c)
    if crossing is None:
        reason = tr("All is melted at about **{temp}**; it is too early to say when.").format(
            temp=shown.temp(limits.melted_c)
        )
    else:
        reason = tr("All is melted at about {temp}, in about **{time}**{likely}.").format(
            temp=shown.temp(limits.melted_c), time=rounded_clock_face(crossing.in_s), likely=_likely(crossing)
        )
    return NextStep(
        tr("Next"),
        tr("Let it melt on low heat"),
        "",
        reason,
        tr("Keep water in the bath and off the wax. Never leave melting wax alone."),
        main,
        False,
        crossing=crossing,
        crossing_word=tr("melted"),
    )


def _melted(situation: Situation) -> NextStep:
    if not situation.on_heat:
        return _off_heat(situation)
    limits, shown = situation.setup.limits, situation.shown
    enough_c = warm_enough_c(situation.setup)
    temp_c = situation.temp_c if situation.temp_c is not None else limits.melted_c
    main = Choice(ActionKind.OFF_HEAT, tr("It is off the heat"))
    if temp_c >= enough_c:
        return NextStep(
            tr("Next"),
            tr("Take it off the heat"),
            tr("now"),
            tr("**{temp}** is warm enough; it goes on rising for a little.").format(
                temp=shown.temp(enough_c)
            ),
            tr("Stand the jug on wood or a folded cloth and wipe the water off its outside."),
            main,
            True,
        )
    crossing = _sayable_at(situation, enough_c)
    reason = tr("Warm it to about **{temp}**, then take it off.").format(temp=shown.temp(enough_c))
    if crossing is not None:
        reason = tr("It reaches {temp} in about **{time}**{likely}.").format(
            temp=shown.temp(enough_c), time=rounded_clock_face(crossing.in_s), likely=_likely(crossing)
        )
    return NextStep(
        tr("Next"),
        tr("Take it off the heat"),
        tr("at {temp}").format(temp=shown.temp(enough_c)),
        reason,
        tr("More heat brings nothing: the wax darkens and the wait is longer."),
        main,
        False,
        crossing=crossing,
        crossing_word=shown.temp(enough_c),
    )


def _off_heat(situation: Situation) -> NextStep:
    return _oil(situation) if situation.setup.oil is not None else _pour(situation)


def _oil(situation: Situation) -> NextStep:
    limits, shown, phase = situation.setup.limits, situation.shown, situation.oil_phase
    main = Choice(ActionKind.OIL_IN, tr("Oil is in"))
    add = tr("Add {oil}").format(oil=oil_words(situation.setup))
    if phase is Phase.UNSAFE:
        flash_c = situation.setup.oil.scented_flash_c if situation.setup.oil else None
        about_flash = tr(" (about {temp})").format(temp=shown.temp(round(flash_c))) if flash_c else ""
        return NextStep(
            tr("Next"),
            tr("Do not add this much of this oil"),
            "",
            tr("The scented wax's estimated flash point{flash} leaves no safe window.").format(
                flash=about_flash
            ),
            tr("Take less oil, or one with a higher flash point; pour plain, or see the safety page."),
            Choice(ActionKind.POURED, tr("Poured plain")),
            False,
        )
    if phase in (Phase.FAR, Phase.SOON):
        crossing = _sayable_at(situation, limits.oil_high_c)
        if crossing is None:
            accent, reason = (
                "",
                tr("The oil window opens at **{temp}**.").format(temp=shown.temp(limits.oil_high_c)),
            )
        else:
            accent = tr("in about {time}").format(time=about(crossing.in_s))
            reason = tr("The oil window opens at {temp}, likely between **{band}** from now.").format(
                temp=shown.temp(limits.oil_high_c), band=between(crossing.low_s, crossing.high_s)
            )
        return NextStep(
            tr("Next"),
            add,
            accent,
            reason,
            tr("Weigh the oil now, and cover it: it has to be ready before the window opens."),
            main,
            False,
            crossing=crossing,
            crossing_word=tr("opens"),
        )
    if phase is Phase.MISSED:
        return _warm_again(
            situation,
            tr("Warm it again, gently, to {temp}").format(temp=shown.temp(limits.oil_high_c - 1.0)),
            tr("It is below **{temp}**: the oil would thicken the wax before it is stirred in.").format(
                temp=shown.temp(limits.oil_low_c)
            ),
            main,
        )
    chill = _after_oil(situation)
    crossing = _sayable_at(situation, situation.oil.end_c)
    if crossing is None:
        reason = tr("The oil window is open: {span}.").format(
            span=shown.span(limits.oil_low_c, limits.oil_high_c)
        )
        if situation.temp_c is not None and situation.temp_c <= situation.oil.end_c:
            reason = tr("**Last call**: pour soon after, there is no time to spare.")
    else:
        reason = tr("Best before {temp}, in about **{time}**{likely}.").format(
            temp=shown.temp(round(situation.oil.end_c, 1)),
            time=rounded_clock_face(crossing.in_s),
            likely=_likely(crossing),
        )
        if phase is Phase.LAST_CALL:
            reason = tr("**Last call.** ") + reason
    flash_c = situation.setup.oil.scented_flash_c if situation.setup.oil else None
    flames = tr(" No flame near the jug.") if flash_c is not None else ""
    return NextStep(
        tr("Next"),
        add,
        tr("now"),
        reason,
        chill + flames,
        main,
        True,
        crossing=crossing,
        crossing_word=tr("best before"),
    )


def _after_oil(situation: Situation) -> str:
    """Where the melt will be once the oil is stirred in, and how long it can then be poured."""
    limits, shown = situation.setup.limits, situation.shown
    now_c = situation.temp_c if situation.temp_c is not None else limits.oil_low_c
    stirring = situation.lasts(limits.pour_high_c, limits.pour_low_c)
    per_s = (limits.pour_high_c - limits.pour_low_c) / stirring.in_s if stirring is not None else 0.0
    after_c = now_c - situation.chill_c - per_s * STIR_S
    text = tr("The cold oil takes off about {drop}: about {temp} after stirring.").format(
        drop=shown.drop(situation.chill_c), temp=shown.temp(round(after_c))
    )
    left = situation.lasts(min(after_c, limits.pour_high_c), limits.pour_low_c)
    if left is None or not math.isfinite(left.in_s) or left.in_s < STIR_S / 2:
        return text
    waiting = situation.lasts(after_c, limits.pour_high_c) if after_c > limits.pour_high_c else None
    if waiting is not None and waiting.in_s >= STIR_S:
        return text + tr(" Then it can be poured after about {wait}, for about {time}.").format(
            wait=about(waiting.in_s), time=about(left.in_s)
        )
    return text + tr(" Then you have about {time} to pour.").format(time=about(left.in_s))


def _warm_again(situation: Situation, headline: str, reason: str, main: Choice) -> NextStep:
    others: tuple[Choice, ...] = ()
    if situation.on_heat:
        again = main
    else:
        again = Choice(ActionKind.ON_HEAT, tr("It is on the heat"))
        others = (main,)
    return NextStep(
        tr("Next"),
        headline,
        "",
        reason,
        tr("Stand the jug back in the warm bath on the lowest heat and stir; the forecast starts afresh."),
        again,
        True,
        others,
        Level.WARNING,
    )


def _oil_in(situation: Situation) -> NextStep:
    left_s = STIR_S - (situation.now_s - situation.stage_s)
    main = Choice(ActionKind.STIRRED, tr("Stirred"))
    if left_s > 0:
        accent = tr("{time} more").format(time=about(left_s))
        reason = tr("A minute of slow stirring carries the oil through the jug, without bubbles.")
    else:
        accent = ""
        reason = tr("A minute has passed: is the oil stirred in?")
    crossing = _sayable_at(situation, situation.setup.limits.pour_low_c)
    more = ""
    if crossing is not None:
        more = tr("The pour window closes at {temp} in about {time}.").format(
            temp=situation.shown.temp(situation.setup.limits.pour_low_c),
            time=rounded_clock_face(crossing.in_s),
        )
    return NextStep(
        tr("Next"),
        tr("Stir slowly"),
        accent,
        reason,
        more,
        main,
        left_s <= 0,
        crossing=crossing,
        crossing_word=tr("closes"),
    )


def _pour(situation: Situation) -> NextStep:
    limits, shown, phase = situation.setup.limits, situation.shown, situation.pour_phase
    main = Choice(ActionKind.POURED, tr("Poured"))
    if phase in (Phase.FAR, Phase.SOON, Phase.UNSAFE):
        crossing = _sayable_at(situation, limits.pour_high_c)
        if crossing is None:
            accent, reason = (
                "",
                tr("The pour window opens at **{temp}**.").format(temp=shown.temp(limits.pour_high_c)),
            )
        else:
            accent = tr("in about {time}").format(time=about(crossing.in_s))
            reason = tr("The pour window opens at {temp}, likely between **{band}** from now.").format(
                temp=shown.temp(limits.pour_high_c), band=between(crossing.low_s, crossing.high_s)
            )
        more = tr("Set out the jars, warm and dry, on a level place, the wicks held upright.")
        return NextStep(
            tr("Next"), tr("Pour the jars"), accent, reason, more, main, False,
            crossing=crossing, crossing_word=tr("opens"),
        )  # fmt: skip
    if phase is Phase.MISSED:
        return _warm_again(
            situation,
            tr("Warm it again, gently, to {temp}").format(temp=shown.temp(limits.pour_high_c)),
            tr("It is below **{temp}**: poured now, the tops set rough.").format(
                temp=shown.temp(limits.pour_low_c)
            ),
            main,
        )
    crossing = _sayable_at(situation, limits.pour_low_c)
    if crossing is None:
        reason = tr("The pour window is open: {span}.").format(
            span=shown.span(limits.pour_low_c, limits.pour_high_c)
        )
    else:
        reason = tr("The pour window closes at {temp} in about **{time}**{likely}.").format(
            temp=shown.temp(limits.pour_low_c),
            time=rounded_clock_face(crossing.in_s),
            likely=_likely(crossing),
        )
    if phase is Phase.LAST_CALL:
        reason = tr("**Last call.** ") + reason
    return NextStep(
        tr("Next"),
        tr("Pour the jars"),
        tr("now"),
        reason,
        tr("One slow, steady stream into each jar; leave room under the rim."),
        main,
        True,
        crossing=crossing,
        crossing_word=tr("closes"),
    )


def _poured(situation: Situation) -> NextStep:
    return NextStep(
        tr("Next"),
        tr("Let the jars set where they stand"),
        "",
        tr("Three to five hours until cold; do not move or chill them. Wait a day before lighting one."),
        tr("Is the hob off? Wipe the jug with paper while warm: no wax into the drain."),
        Choice(ActionKind.FINISHED, tr("Finish this melt")),
        True,
    )


_BY_STAGE: dict[Stage, Callable[[Situation], NextStep]] = {
    Stage.WARMING: _warming,
    Stage.MELTED: _melted,
    Stage.OFF_HEAT: _off_heat,
    Stage.OIL_IN: _oil_in,
    Stage.STIRRED: _pour,
    Stage.POURED: _poured,
}
