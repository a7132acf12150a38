"""At most two sentences of advice: what weighed most, first what went wrong, then what went well.

The weights are a proposal: what can hurt someone, then what spoils wax and scent, then what costs time.
Common practice, no source.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from candlebench.core.debrief.curve import falls_to
from candlebench.core.debrief.judge import Debrief
from candlebench.core.debrief.lost import STIRRED_LONG_S, lost_time
from candlebench.core.debrief.phrases import lasted
from candlebench.core.debrief.rows import STIRRED_SHORT_S
from candlebench.core.debrief.windows import OilVerdict
from candlebench.core.events import Stage
from candlebench.core.learning.drift import drift_sentence
from candlebench.core.next_step import warm_enough_c
from candlebench.core.units import Shown, clock_face, rounded_clock_face
from candlebench.words import tr

MOST = 2
# A minute or two over the first warning, on the way through, is no fault.
WARN_COUNTS_S = 120.0
# Melted wax may stand on the heat this long (alarms.MELTED_LONG_S says so aloud).
MELTED_LONG_S = 600.0
# Less than this is not worth a word.
SAVES_S = 120.0
SAVES_FROM_K = 1.5


@dataclass(frozen=True, slots=True)
class Remark:
    """One sentence and how much it matters; what went well weighs less than nothing wrong does."""

    weight: float
    text: str


def advice(debrief: Debrief, shown: Shown) -> tuple[str, ...]:
    """Return the two most useful things to know for the next melt, the most important first."""
    remarks = [remark for find in _FINDERS for remark in find(debrief, shown)]
    remarks.sort(key=lambda remark: -remark.weight)
    return tuple(remark.text for remark in remarks[:MOST])


def _dangers(debrief: Debrief, shown: Shown) -> Iterator[Remark]:
    heat, limits = debrief.heat, debrief.story.setup.limits
    if heat.highest_c is not None and heat.reached_stop:
        text = tr(
            "It reached {highest}; at {stop} heating must stop: take it off the heat at {enough}, "
            "and never leave it alone."
        )
        yield Remark(
            100.0,
            text.format(
                highest=shown.temp(heat.highest_c),
                stop=shown.temp(round(limits.stop_c, 1)),
                enough=_enough(debrief, shown),
            ),
        )
    flash_near = heat.warn_after_oil_c is not None and heat.warn_after_oil_c < limits.warn_c
    if flash_near and heat.after_oil_warn_s > 0.0 and heat.after_oil_highest_c is not None:
        text = tr(
            "With the oil in it reached {highest}, too near to where its vapour can catch fire: with this "
            "oil stay under {warn}, and keep flames away."
        )
        yield Remark(
            95.0,
            text.format(
                highest=shown.temp(round(heat.after_oil_highest_c, 1)),
                warn=shown.temp(heat.warn_after_oil_c or limits.warn_c),
            ),
        )
    oil = debrief.oil
    if oil is not None and oil.on_heat:
        yield Remark(
            90.0,
            tr(
                "The oil went in on the heat: take the jug off first, its vapour can catch fire on a hot hob."
            ),
        )
    if oil is not None and not oil.chance.safe:
        yield Remark(
            85.0,
            tr(
                "No temperature is safe for this oil at this load: use less of it, or one that flashes later."
            ),
        )


def _thermometer(debrief: Debrief, shown: Shown) -> Iterator[Remark]:
    if debrief.drift is not None:
        # With a probe that is wrong, no other figure here is right either.
        yield Remark(80.0, drift_sentence(debrief.drift, shown))


def _heat(debrief: Debrief, shown: Shown) -> Iterator[Remark]:
    heat, limits = debrief.heat, debrief.story.setup.limits
    if heat.highest_c is None or heat.reached_stop:
        return
    enough = _enough(debrief, shown)
    if heat.reached_strong:
        text = tr("It reached {highest}; from {strong} on the wax darkens: take it off the heat at {enough}.")
        if heat.strong_s >= 0.5:
            text = tr(
                "It was at {strong} or above, where the wax darkens, for {time}, up to {highest}: take it "
                "off the heat at {enough}."
            )
        yield Remark(
            50.0 + min(30.0, heat.strong_s / 20.0),
            text.format(
                strong=shown.temp(limits.strong_c),
                time=lasted(heat.strong_s),
                highest=shown.temp(round(heat.highest_c, 1)),
                enough=enough,
            ),
        )
    elif heat.melted_on_heat_s > MELTED_LONG_S:
        text = tr("It stood melted on the heat for {time}: once all is melted, take it off at {enough}.")
        yield Remark(30.0, text.format(time=lasted(heat.melted_on_heat_s), enough=enough))
    elif (saved_s := _saved_s(debrief)) > SAVES_S and heat.off_heat_c is not None:
        text = tr("You took it off at {off}: {enough} is hot enough and saves {time} of waiting.")
        yield Remark(
            15.0,
            text.format(
                off=shown.temp(round(heat.off_heat_c, 1)), time=rounded_clock_face(saved_s), enough=enough
            ),
        )
    elif heat.warn_s > WARN_COUNTS_S:
        text = tr("It was above {warn} for {time}: {enough} is hot enough.")
        yield Remark(
            12.0, text.format(warn=shown.temp(limits.warn_c), time=lasted(heat.warn_s), enough=enough)
        )


def _oil(debrief: Debrief, shown: Shown) -> Iterator[Remark]:
    oil = debrief.oil
    if oil is None or not oil.chance.safe:
        return
    best = shown.temp(round(oil.chance.best_c, 1))
    if oil.done_s is None:
        if debrief.story.at(Stage.POURED) is not None:
            yield Remark(45.0, tr("The oil was left out: add it at {best}.").format(best=best))
        return
    if oil.temp_c is None or oil.off_by_c is None:
        return
    went_in = shown.temp(round(oil.temp_c, 1))
    off = shown.drop(abs(oil.off_by_c))
    if oil.off_by_c > 0.0:
        text = tr("The oil went in at {temp}, {off} too hot: wait for {best}{when}.")
        yield Remark(
            40.0 + 4.0 * min(oil.off_by_c, 10.0),
            text.format(temp=went_in, off=off, best=best, when=_when(oil, later=True)),
        )
    elif oil.off_by_c < 0.0 and oil.temp_c >= oil.chance.window.low_c:
        text = tr("The oil went in at {temp}, too late to leave time for the pour: add it at {best}{when}.")
        if oil.landed_c is not None and (oil.landed_off_c or 0.0) < 0.0:
            text = tr(
                "The oil went in at {temp}, too late to leave time for the pour (stirred, the wax was only "
                "{landed}): add it at {best}{when}."
            )
        yield Remark(
            35.0 + 8.0 * min(max(-oil.off_by_c, -(oil.landed_off_c or 0.0)), 5.0),
            text.format(
                temp=went_in,
                landed=shown.temp(round(oil.landed_c or 0.0, 1)),
                best=best,
                when=_when(oil, later=False),
            ),
        )
    elif oil.off_by_c < 0.0:
        text = tr("The oil went in at {temp}, {off} too cool: add it at {best}{when}.")
        yield Remark(
            40.0 + 8.0 * min(-oil.off_by_c, 5.0),
            text.format(temp=went_in, off=off, best=best, when=_when(oil, later=False)),
        )
    elif (lost := lost_time(debrief)) is not None and not lost.by_stirring:
        text = tr("The oil went in at {temp} and this jug cooled fast: add it sooner, near {high}.")
        high = shown.temp(round(oil.chance.window.high_c, 1))
        yield Remark(35.0, text.format(temp=went_in, high=high))
    else:
        text = tr("The oil went in at {temp}, inside its window: do that again.")
        yield Remark(5.0, text.format(temp=went_in))


def _stirring(debrief: Debrief, shown: Shown) -> Iterator[Remark]:
    oil = debrief.oil
    if oil is None or oil.stirring_s is None:
        return
    if oil.stirring_s < STIRRED_SHORT_S:
        text = tr("You stirred for {time}: a minute carries the oil through the whole jug.")
        yield Remark(25.0, text.format(time=lasted(oil.stirring_s)))
    elif (lost := lost_time(debrief)) is not None and oil.stirring_s > STIRRED_LONG_S:
        text = tr("You stirred for {time}; a minute is enough. The pour window had closed by then.")
        if lost.left_s is not None:
            text = tr("You stirred for {time}; a minute is enough. The pour window closed {left} after it.")
        # The cause is said before what came of it: a pour that is too cool weighs at most 68.
        yield Remark(
            70.0 if lost.by_stirring else 33.0,
            text.format(time=lasted(oil.stirring_s), left=lasted(lost.left_s or 0.0)),
        )


def _pour(debrief: Debrief, shown: Shown) -> Iterator[Remark]:
    pour, limits = debrief.pour, debrief.story.setup.limits
    if pour.done_s is None or pour.temp_c is None or pour.off_by_c is None:
        return
    temp, off = shown.temp(round(pour.temp_c, 1)), shown.drop(abs(pour.off_by_c))
    if pour.off_by_c > 0.0:
        opened_s = pour.chance.opened_s
        wait = ""
        if opened_s is not None and opened_s > pour.done_s:
            wait = tr(", about {time} more").format(time=rounded_clock_face(opened_s - pour.done_s))
        text = tr("You poured at {temp}, {off} too hot: wait until {high}{wait}.")
        yield Remark(
            38.0 + 3.0 * min(pour.off_by_c, 10.0),
            text.format(temp=temp, off=off, high=shown.temp(limits.pour_high_c), wait=wait),
        )
    elif pour.off_by_c < 0.0:
        text = tr("You poured at {temp}, {off} too cool, where tops set rough: pour at {span}.")
        # Stirred wax that was too cool already is the fault of oil or stirring, which is said by itself.
        oil = debrief.oil
        late = oil is not None and (oil.off_by_c or 0.0) < 0.0
        cool_already = late or lost_time(debrief) is not None
        yield Remark(
            30.0 if cool_already else 38.0 + 6.0 * min(-pour.off_by_c, 5.0),
            text.format(temp=temp, off=off, span=shown.span(limits.pour_low_c, limits.pour_high_c)),
        )
    else:
        text = tr("You poured at {temp}, inside the window: do that again.")
        yield Remark(4.0, text.format(temp=temp))


def _record(debrief: Debrief, shown: Shown) -> Iterator[Remark]:
    heat, story = debrief.heat, debrief.story
    if debrief.only_begun and heat.highest_c is not None:
        yield Remark(60.0, tr("This melt has only begun: look here again when you have poured."))
        return
    if heat.highest_c is None:
        yield Remark(60.0, tr("No temperature was recorded: read the thermometer, or type what it shows."))
        return
    if heat.unknown_s >= 300.0:
        text = tr("Nothing was recorded for {time}: the figures above limits are the least it can have been.")
        yield Remark(20.0, text.format(time=lasted(heat.unknown_s)))
    if story.at(Stage.POURED) is None:
        yield Remark(
            8.0, tr("The record ends before the pour: press “Poured” when you pour, to judge it too.")
        )
    limits = story.setup.limits
    if not heat.reached_strong and heat.warn_s <= WARN_COUNTS_S:
        text = tr("The wax never reached {strong} ({highest} at most): the heat was right.")
        yield Remark(
            3.0,
            text.format(strong=shown.temp(limits.strong_c), highest=shown.temp(round(heat.highest_c, 1))),
        )


_FINDERS: tuple[Callable[[Debrief, Shown], Iterator[Remark]], ...] = (
    _dangers,
    _thermometer,
    _heat,
    _oil,
    _stirring,
    _pour,
    _record,
)


def _enough_c(debrief: Debrief) -> float:
    """Where to take it off the heat: half way from the first window to the first warning."""
    setup = debrief.story.setup
    return 0.5 * (warm_enough_c(setup) + setup.limits.warn_c)


def _enough(debrief: Debrief, shown: Shown) -> str:
    """`_enough_c` as a round number of the shown unit."""
    return shown.temp(shown.back(float(round(shown.number(_enough_c(debrief))))))


def _saved_s(debrief: Debrief) -> float:
    """How much sooner it would have cooled to its window, taken off at `_enough_c`; 0 when not known."""
    off_s, off_c = debrief.story.at(Stage.OFF_HEAT), debrief.heat.off_heat_c
    chance = debrief.oil.chance if debrief.oil is not None else debrief.pour.chance
    if off_s is None or off_c is None or chance.opened_s is None:
        return 0.0
    if off_c < _enough_c(debrief) + SAVES_FROM_K:
        # What it rose after it was lifted came out of the jug's wall.
        return 0.0
    enough_s = falls_to(debrief.judged.between(off_s, chance.opened_s), _enough_c(debrief))
    return 0.0 if enough_s is None else enough_s - off_s


def _when(oil: OilVerdict, later: bool) -> str:
    """', here 8 min later, at about 39:30' or nothing."""
    best_s, done_s = oil.chance.best_s, oil.done_s
    if best_s is None or done_s is None or (best_s > done_s) is not later:
        return ""
    text = tr(", here about {time} later, at {clock}") if later else tr(", here {time} earlier, at {clock}")
    clock = rounded_clock_face(best_s) if oil.chance.estimated(best_s) else clock_face(best_s)
    return text.format(time=rounded_clock_face(abs(best_s - done_s)), clock=clock)
