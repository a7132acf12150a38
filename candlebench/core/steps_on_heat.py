"""The next step while the jug stands on the heat."""

from candlebench.core.events import ActionKind
from candlebench.core.forecast.crossing import Crossing
from candlebench.core.situation import Situation, likely, perhaps_now, sayable_at, warm_enough_c
from candlebench.core.state import Choice, NextStep
from candlebench.core.units import rounded_clock_face
from candlebench.words import tr

TYPED_SOURCE = "typed:"


def warming(situation: Situation) -> NextStep:
    """Until all is melted."""
    limits, shown = situation.setup.limits, situation.shown
    main = Choice(ActionKind.MELTED, tr("All melted"))
    temp_c = situation.temp_c
    if temp_c is None:
        return _first_reading(situation, main)
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
    crossing = sayable_at(situation, limits.melted_c)
    return NextStep(
        tr("Next"),
        tr("Let it melt on low heat"),
        "",
        _melted_when(situation, crossing),
        tr("Keep water in the bath and off the wax. Never leave melting wax alone."),
        main,
        False,
        crossing=None if perhaps_now(crossing) else crossing,
        crossing_word=tr("melted"),
    )


def _first_reading(situation: Situation, main: Choice) -> NextStep:
    typed = situation.setup.source.startswith(TYPED_SOURCE)
    return NextStep(
        tr("Next"),
        tr("Type the first reading") if typed else tr("Put the probe in the wax"),
        "",
        tr("The curve begins with the first reading. Stand the jug in the water bath, on low heat."),
        tr("Never leave melting wax alone."),
        main,
        False,
    )


def _melted_when(situation: Situation, crossing: Crossing | None) -> str:
    temp = situation.shown.temp(situation.setup.limits.melted_c)
    if crossing is None:
        return tr("All is melted at about **{temp}**; it is too early to say when.").format(temp=temp)
    if perhaps_now(crossing):
        return tr("It may be **melted now**: look, and read the thermometer.")
    return tr("All is melted at about {temp}, in about **{time}**{likely}.").format(
        temp=temp, time=rounded_clock_face(crossing.in_s), likely=likely(crossing)
    )


def melted_on_heat(situation: Situation) -> NextStep:
    """All is melted and still on the heat, or it was put back on before the oil."""
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
    crossing = sayable_at(situation, enough_c)
    return NextStep(
        tr("Next"),
        tr("Warm it gently"),
        tr("to {temp}").format(temp=shown.temp(enough_c)),
        _warm_when(situation, enough_c, crossing),
        tr("More heat brings nothing: the wax darkens and the wait is longer."),
        main,
        False,
        crossing=None if perhaps_now(crossing) else crossing,
        crossing_word=shown.temp(enough_c),
    )


def _warm_when(situation: Situation, enough_c: float, crossing: Crossing | None) -> str:
    temp = situation.shown.temp(enough_c)
    if crossing is None:
        return tr("Then take it off the heat: **{temp}** is warm enough.").format(temp=temp)
    if perhaps_now(crossing):
        return tr("It may be at **{temp} now**: read the thermometer.").format(temp=temp)
    return tr("It reaches {temp} in about **{time}**{likely}. Then take it off the heat.").format(
        temp=temp, time=rounded_clock_face(crossing.in_s), likely=likely(crossing)
    )
