"""The next step once the jug is off the heat and before the oil is in."""

import math

from candlebench.core.cues import Phase
from candlebench.core.events import ActionKind
from candlebench.core.situation import STIR_S, Situation, likely, oil_words, sayable_at
from candlebench.core.state import Choice, Level, NextStep
from candlebench.core.units import about, between, rounded_clock_face
from candlebench.words import tr


def add_oil(situation: Situation) -> NextStep:
    """The oil, when its window comes, is open, or was missed."""
    match situation.oil_phase:
        case Phase.UNSAFE:
            return _no_safe_window(situation)
        case Phase.FAR | Phase.SOON:
            return _oil_to_come(situation)
        case Phase.MISSED:
            return _oil_missed(situation)
        case _:
            return _oil_now(situation)


def _main() -> Choice:
    return Choice(ActionKind.OIL_IN, tr("Oil is in"))


def _add(situation: Situation) -> str:
    return tr("Add {oil}").format(oil=oil_words(situation.setup))


def _no_safe_window(situation: Situation) -> NextStep:
    flash_c = situation.setup.oil.scented_flash_c if situation.setup.oil else None
    about_flash = tr(" (about {temp})").format(temp=situation.shown.temp(round(flash_c))) if flash_c else ""
    return NextStep(
        tr("Next"),
        tr("Do not add this much of this oil"),
        "",
        tr("The scented wax's estimated flash point{flash} leaves no safe window.").format(flash=about_flash),
        tr("Take less oil, or one with a higher flash point; pour plain, or see the safety page."),
        Choice(ActionKind.POURED, tr("Poured plain")),
        False,
    )


def _oil_to_come(situation: Situation) -> NextStep:
    high_c, shown = situation.setup.limits.oil_high_c, situation.shown
    crossing = sayable_at(situation, high_c)
    if crossing is None:
        accent, reason = "", tr("The oil window opens at **{temp}**.").format(temp=shown.temp(high_c))
    else:
        accent = tr("in about {time}").format(time=about(crossing.in_s))
        reason = tr("The oil window opens at {temp}, likely between **{band}** from now.").format(
            temp=shown.temp(high_c), band=between(crossing.low_s, crossing.high_s)
        )
    return NextStep(
        tr("Next"),
        _add(situation),
        accent,
        reason,
        tr("Weigh the oil now, and cover it: it has to be ready before the window opens."),
        _main(),
        False,
        crossing=crossing,
        crossing_word=tr("opens"),
    )


def _oil_missed(situation: Situation) -> NextStep:
    limits, shown = situation.setup.limits, situation.shown
    return warm_again_plain(
        situation,
        tr("Warm it again, gently, to {temp}").format(temp=shown.temp(limits.oil_high_c - 1.0)),
        tr("It is below **{temp}**: the oil would thicken the wax before it is stirred in.").format(
            temp=shown.temp(limits.oil_low_c)
        ),
        _main(),
    )


def _oil_now(situation: Situation) -> NextStep:
    limits, shown = situation.setup.limits, situation.shown
    end_c = situation.oil.end_c
    crossing = sayable_at(situation, end_c)
    if crossing is None:
        reason = tr("The oil window is open: {span}.").format(
            span=shown.span(limits.oil_low_c, limits.oil_high_c)
        )
        if situation.temp_c is not None and situation.temp_c <= end_c:
            reason = tr("**Last call**: pour soon after, there is no time to spare.")
    else:
        reason = tr(
            "Add it above {temp}, within about **{time}**{likely}: cooler, no time is left to pour."
        ).format(
            temp=shown.temp(round(end_c, 1)), time=rounded_clock_face(crossing.in_s), likely=likely(crossing)
        )
        if situation.oil_phase is Phase.LAST_CALL:
            reason = tr("**Last call.** ") + reason
    flash_c = situation.setup.oil.scented_flash_c if situation.setup.oil else None
    flames = tr(" No flame near the jug.") if flash_c is not None else ""
    return NextStep(
        tr("Next"),
        _add(situation),
        tr("now"),
        reason,
        _after_oil(situation) + flames,
        _main(),
        True,
        crossing=crossing,
        crossing_word=tr("oil at the latest"),
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


def warm_again_plain(situation: Situation, headline: str, reason: str, main: Choice) -> NextStep:
    """Back into the bath, for a melt without oil."""
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
