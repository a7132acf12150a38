"""The next step from the oil on: stirring, pouring, and letting it set."""

from candlebench.core.cues import Phase
from candlebench.core.events import ActionKind
from candlebench.core.plan.reasoned import degrees
from candlebench.core.setup import Oil
from candlebench.core.situation import STIR_S, Situation, likely, sayable_at
from candlebench.core.state import Choice, Level, NextStep
from candlebench.core.steps_off_heat import warm_again_plain
from candlebench.core.units import about, between, rounded_clock_face
from candlebench.core.warm_with_oil import warm_with_oil_to_c, warm_with_oil_words
from candlebench.words import tr


def stir(situation: Situation) -> NextStep:
    """A minute of stirring, counted down."""
    left_s = STIR_S - (situation.now_s - situation.stage_s)
    main = Choice(ActionKind.STIRRED, tr("Stirred"))
    if left_s > 0:
        accent = tr("{time} more").format(time=about(left_s))
        reason = tr("A minute of slow stirring carries the oil through the jug, without bubbles.")
    else:
        accent = ""
        reason = tr("A minute has passed: is the oil stirred in?")
    crossing = sayable_at(situation, situation.setup.limits.pour_low_c)
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


def pour(situation: Situation) -> NextStep:
    """The jars, when the pour window comes, is open, or was missed."""
    match situation.pour_phase:
        case Phase.FAR | Phase.SOON | Phase.UNSAFE:
            return _pour_to_come(situation)
        case Phase.MISSED:
            return _pour_missed(situation)
        case _:
            return _pour_now(situation)


def _main() -> Choice:
    return Choice(ActionKind.POURED, tr("Poured"))


def _pour_to_come(situation: Situation) -> NextStep:
    high_c, shown = situation.setup.limits.pour_high_c, situation.shown
    crossing = sayable_at(situation, high_c)
    if crossing is None:
        accent, reason = "", tr("The pour window opens at **{temp}**.").format(temp=shown.temp(high_c))
    else:
        accent = tr("in about {time}").format(time=about(crossing.in_s))
        reason = tr("The pour window opens at {temp}, likely between **{band}** from now.").format(
            temp=shown.temp(high_c), band=between(crossing.low_s, crossing.high_s)
        )
    more = tr("Set out the jars, warm and dry, on a level place, the wicks held upright.")
    return NextStep(
        tr("Next"), tr("Pour the jars"), accent, reason, more, _main(), False,
        crossing=crossing, crossing_word=tr("opens"),
    )  # fmt: skip


def _pour_missed(situation: Situation) -> NextStep:
    limits, shown, oil = situation.setup.limits, situation.shown, situation.setup.oil
    reason = tr("It is below **{temp}**: poured now, the tops set rough.").format(
        temp=shown.temp(limits.pour_low_c)
    )
    if oil is not None:
        return _warm_with_oil(situation, oil, reason)
    return warm_again_plain(
        situation,
        tr("Warm it again, gently, to {temp}").format(temp=shown.temp(limits.pour_high_c)),
        reason,
        _main(),
    )


def _warm_with_oil(situation: Situation, oil: Oil, reason: str) -> NextStep:
    """Hot water without the hob, or pour as it is: the rule of `core.warm_with_oil`."""
    limits, shown = situation.setup.limits, situation.shown
    top_c = warm_with_oil_to_c(limits, oil)
    main = _main()
    others: tuple[Choice, ...] = ()
    headline = tr("Pour it now, and top up the rough tops")
    if top_c is not None:
        headline = tr("Warm it in hot water, hob off, or pour now")
        if not situation.on_heat:
            main, others = Choice(ActionKind.ON_HEAT, tr("It is in hot water")), (main,)
    return NextStep(
        tr("Next"),
        headline,
        "",
        reason + " " + warm_with_oil_words(limits, oil, shown),
        _flash_words(situation, oil),
        main,
        True,
        others,
        Level.WARNING,
    )


def _flash_words(situation: Situation, oil: Oil) -> str:
    if oil.scented_flash_c is None:
        return tr("The flash point of this scented wax is not known.")
    return tr("With the oil in it is estimated to flash at {flash}, give or take {spread}.").format(
        flash=situation.shown.temp(round(oil.scented_flash_c)), spread=degrees(10.0, situation.shown)
    )


def _pour_now(situation: Situation) -> NextStep:
    limits, shown = situation.setup.limits, situation.shown
    crossing = sayable_at(situation, limits.pour_low_c)
    if crossing is None:
        reason = tr("The pour window is open: {span}.").format(
            span=shown.span(limits.pour_low_c, limits.pour_high_c)
        )
    else:
        reason = tr("The pour window closes at {temp} in about **{time}**{likely}.").format(
            temp=shown.temp(limits.pour_low_c),
            time=rounded_clock_face(crossing.in_s),
            likely=likely(crossing),
        )
    if situation.pour_phase is Phase.LAST_CALL:
        reason = tr("**Last call.** ") + reason
    return NextStep(
        tr("Next"),
        tr("Pour the jars"),
        tr("now"),
        reason,
        tr("One slow, steady stream into each jar; leave room under the rim."),
        _main(),
        True,
        crossing=crossing,
        crossing_word=tr("closes"),
    )


def poured(situation: Situation) -> NextStep:
    """Nothing more to do but wait and clean."""
    return NextStep(
        tr("Next"),
        tr("Let the jars set where they stand"),
        "",
        tr("Three to five hours until cold; do not move or chill them. Wait a day before lighting one."),
        tr("Is the hob off? Wipe the jug with paper while warm: no wax into the drain."),
        Choice(ActionKind.FINISHED, tr("Finish this melt")),
        True,
    )
