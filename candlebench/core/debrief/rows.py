"""The debrief in words, one row a thing: its name, how it was, and what it was judged by."""

from dataclasses import dataclass

from candlebench.core.debrief.chance import Chance
from candlebench.core.debrief.judge import Debrief
from candlebench.core.debrief.lost import lost_time
from candlebench.core.debrief.phrases import (
    NEARLY_ALL,
    how_long,
    lasted,
    off_words,
    percent,
    scent_words,
    times_words,
)
from candlebench.core.debrief.windows import OilVerdict
from candlebench.core.learning.drift import Drift
from candlebench.core.state import Level
from candlebench.core.units import Shown, clock_face, rounded_clock_face
from candlebench.words import tr, tr_count

# Shorter than this the oil is not through the jug: a minute is common practice, no source.
STIRRED_SHORT_S = 45.0
# A tenth gone of an estimate good to a factor of two is a fifth at worst. Design decision.
MUCH_GONE = 0.9
# A probe's noise or a jug put back on the heat opens a window more than once; more than two tell nothing.
MOST_SPANS = 2


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a debrief.

    Attributes
    ----------
    name : str
        'Oil in'.
    value : str
        '73.4 °C, inside'.
    why : str
        What it was judged by; may be long.
    level : Level
        CALM is as it should be.
    known : bool
        False when there is nothing to judge.
    """

    name: str
    value: str
    why: str
    level: Level = Level.CALM
    known: bool = True


def rows(debrief: Debrief, shown: Shown) -> tuple[Row, ...]:
    """Return what happened: oil, stirred wax, pour, heat, scent, and a probe that may have drifted."""
    oil = (_oil(debrief.oil, shown), _stirred(debrief, debrief.oil, shown)) if debrief.oil else ()
    return (
        *oil,
        _pour(debrief, shown),
        _highest(debrief, shown),
        _above(debrief, shown),
        _melted(debrief),
        _scent(debrief),
        *_drift(debrief.drift, shown),
    )


def _drift(drift: Drift | None, shown: Shown) -> tuple[Row, ...]:
    if drift is None:
        return ()
    value = tr("may read {by} too high") if drift.by_k > 0.0 else tr("may read {by} too low")
    by = f"{abs(shown.difference(drift.by_k)):.1f} {shown.sign}"
    melts = tr_count("{count} earlier melt", "{count} earlier melts", drift.melts).format(count=drift.melts)
    why = tr("this lot melted elsewhere in {melts}: check the probe in ice").format(melts=melts)
    return (Row(tr("Thermometer"), value.format(by=by), why, Level.WARNING),)


def caption(debrief: Debrief) -> str:
    """Return what the lines and bars of the curve mean, and by what it was judged."""
    parts = [tr("Bars: when each window was open, with the best moment; dashed and ~ where estimated.")]
    if debrief.truth is not None:
        parts.append(tr("Judged by the wax’s true temperature (thin line), which only practice knows."))
    else:
        parts.append(tr("Your suppliers’ data sheets and local rules come first."))
    return " ".join(parts)


def _was_at(temp_c: float, read_before_s: float, chilled: bool, shown: Shown) -> str:
    """'73.4 °C', or with how old the reading was: '76 °C (read 0:10 before)'."""
    temp = shown.temp(round(temp_c, 1))
    if read_before_s < 1.0:
        return temp
    text = tr("{temp} (read {age} before)")
    if chilled:
        text = tr("{temp} (read {age} before, less what cold oil takes)")
    return text.format(temp=temp, age=lasted(read_before_s))


def _oil(oil: OilVerdict, shown: Shown) -> Row:
    name, window = tr("Oil in"), _window_words(oil.chance, oil.done_s is not None, shown)
    if not oil.chance.safe:
        went = tr("not added")
        if oil.done_s is not None:
            went = tr("at {clock}").format(clock=clock_face(oil.done_s))
        if oil.temp_c is not None:
            went = _was_at(oil.temp_c, oil.read_before_s, False, shown)
        return Row(name, went, window, Level.DANGER if oil.done_s is not None else Level.CALM)
    if oil.done_s is None:
        return Row(name, tr("not added"), window, known=False)
    if oil.temp_c is None or oil.off_by_c is None:
        return Row(name, tr("at {clock}").format(clock=clock_face(oil.done_s)), window, known=False)
    if oil.on_heat:
        window = tr("It stood on the heat. {window}").format(window=window)
    value = tr("{temp}, {off}").format(
        temp=_was_at(oil.temp_c, oil.read_before_s, False, shown), off=off_words(oil.off_by_c, shown)
    )
    return Row(name, value, window, Level.WARNING if oil.off_by_c or oil.on_heat else Level.CALM)


def _stirred(debrief: Debrief, oil: OilVerdict, shown: Shown) -> Row:
    name = tr("Stirred")
    if oil.done_s is None:
        return Row(name, "–", tr("no oil went in"), known=False)
    value = "–" if oil.stirring_s is None else lasted(oil.stirring_s)
    lost = lost_time(debrief)
    short = oil.stirring_s is not None and oil.stirring_s < STIRRED_SHORT_S
    level = Level.WARNING if short or lost is not None else Level.CALM
    limits = debrief.story.setup.limits
    if oil.landed_c is None or oil.landed_off_c is None:
        return Row(name, value, tr("what it landed at was not recorded"), level, oil.stirring_s is not None)
    landed = shown.temp(round(oil.landed_c, 1))
    off = shown.drop(abs(oil.landed_off_c))
    if oil.landed_off_c == 0.0:
        text = tr("landed at {temp}, in the pour window {span}")
        span = shown.span(limits.pour_low_c, limits.pour_high_c)
        why = text.format(temp=landed, span=span)
        if lost is not None and lost.left_s is not None:
            why = tr("{why}, which closed {left} after").format(why=why, left=lasted(lost.left_s))
        return Row(name, value, why, level)
    if oil.landed_off_c > 0.0:
        text = tr("landed at {temp}, {off} above the pour window")
        return Row(name, value, text.format(temp=landed, off=off), level)
    text = tr("landed at {temp}, {off} under the pour window")
    return Row(name, value, text.format(temp=landed, off=off), Level.WARNING)


def _pour(debrief: Debrief, shown: Shown) -> Row:
    pour = debrief.pour
    name, window = tr("Poured"), _window_words(pour.chance, pour.done_s is not None, shown)
    if pour.done_s is None:
        return Row(name, tr("not poured"), window, known=False)
    if pour.temp_c is None or pour.off_by_c is None:
        return Row(name, tr("at {clock}").format(clock=clock_face(pour.done_s)), window, known=False)
    value = tr("{temp}, {off}").format(
        temp=_was_at(pour.temp_c, pour.read_before_s, pour.chilled, shown),
        off=off_words(pour.off_by_c, shown),
    )
    return Row(name, value, window, Level.WARNING if pour.off_by_c else Level.CALM)


def _window_words(chance: Chance, done: bool, shown: Shown) -> str:
    """'open 32:18 to ~36:25, best ~34:25 at 73.2 °C'."""
    window = chance.window
    if not chance.safe:
        return tr("no temperature is safe for this oil at this load")
    if chance.opened_s is None:
        text = tr("{span} was never open") if done else tr("{span} had not opened yet")
        return text.format(span=shown.span(window.low_c, window.high_c))
    opened = _spans_words(chance)
    if chance.best_s is None or chance.closed_s is None or chance.best_s <= chance.opened_s:
        return opened
    return tr("{opened}, best {best} at {temp}").format(
        opened=opened, best=_clock(chance, chance.best_s), temp=shown.temp(round(chance.best_c, 1))
    )


def _spans_words(chance: Chance) -> str:
    """'open 20:52 to 26:51', 'open 20:52 to 21:10 and from 24:00'."""
    parts = []
    for from_s, to_s in chance.spans[:MOST_SPANS]:
        last = (from_s, to_s) == chance.spans[-1]
        text = tr("from {opened}") if last and chance.closed_s is None else tr("{opened} to {closed}")
        parts.append(text.format(opened=_clock(chance, from_s), closed=_clock(chance, to_s)))
    if len(chance.spans) > MOST_SPANS:
        parts.append(tr("later"))
    return tr("open {times}").format(times=tr(" and ").join(parts))


def _clock(chance: Chance, at_s: float) -> str:
    """'36:18', or '~36:20' where it is an estimate."""
    return f"~{rounded_clock_face(at_s)}" if chance.estimated(at_s) else clock_face(at_s)


def _highest(debrief: Debrief, shown: Shown) -> Row:
    heat, limits = debrief.heat, debrief.story.setup.limits
    name = tr("Highest")
    if heat.highest_c is None or heat.highest_s is None:
        return Row(name, "–", tr("no temperature was recorded"), known=False)
    level, known = Level.CALM, not debrief.only_begun
    if heat.reached_strong:
        level = Level.DANGER if heat.reached_stop else Level.WARNING
    why = tr("at {clock}; darkens from {strong}, stop at {stop}").format(
        clock=clock_face(heat.highest_s),
        strong=shown.temp(limits.strong_c),
        stop=shown.temp(round(limits.stop_c, 1)),
    )
    return Row(name, shown.temp(round(heat.highest_c, 1)), why, level, known)


def _above(debrief: Debrief, shown: Shown) -> Row:
    heat, limits = debrief.heat, debrief.story.setup.limits
    name = tr("Too hot")
    if heat.highest_c is None:
        return Row(name, "–", tr("no temperature was recorded"), known=False)
    warn = shown.temp(limits.warn_c)
    if heat.warn_after_oil_c is not None and heat.warn_after_oil_c < limits.warn_c:
        text = tr("{warn} ({scented} with the oil in)")
        warn = text.format(warn=warn, scented=shown.temp(heat.warn_after_oil_c))
    limits_passed = (
        (heat.reached_strong, heat.strong_s, limits.strong_c),
        (heat.reached_stop, heat.stop_s, round(limits.stop_c, 1)),
    )
    parts = [tr("from {warn} on").format(warn=warn)]
    for reached, seconds, limit_c in limits_passed:
        text = tr("{time} from {limit} on") if seconds >= 0.5 else tr("just reached {limit}")
        text = text if reached else tr("never reached {limit}")
        parts.append(text.format(time=lasted(seconds), limit=shown.temp(limit_c)))
        if not reached:
            break
    why = tr("; ").join(parts)
    value = how_long(heat.warn_s)
    if heat.warn_s < 0.5 and heat.highest_c >= limits.warn_c:
        value = tr("for a moment")
    if heat.unknown_s > 0.0:
        value = tr("at least {time}").format(time=value) if heat.warn_s >= 0.5 else value
        why = tr("{why}; {time} not recorded").format(why=why, time=lasted(heat.unknown_s))
    level = Level.WARNING if heat.reached_strong or heat.after_oil_warn_s > 0.0 else Level.CALM
    level = Level.DANGER if heat.reached_stop else level
    return Row(name, value, why, level, known=not debrief.only_begun)


def _melted(debrief: Debrief) -> Row:
    seconds = debrief.heat.melted_on_heat_s
    level = Level.WARNING if seconds > 600.0 else Level.CALM
    why = tr("on the heat; a few minutes are enough")
    value = "–" if debrief.only_begun else lasted(seconds)
    return Row(tr("Kept melted"), value, why, level, known=not debrief.only_begun)


def _scent(debrief: Debrief) -> Row:
    scent = debrief.scent
    name = tr("Scent kept")
    if scent.kept is None or scent.kept_low is None or scent.kept_high is None:
        return Row(name, "–", scent.why_not, known=False)
    compound = tr("{compound} (a guess)") if scent.guessed else tr("{compound}")
    text = tr("estimate for an open jug, oil as {compound}")
    if scent.kept_low < NEARLY_ALL:
        text = tr("estimate, {low} to {high} %: open jug, oil as {compound}")
    estimate = text.format(
        low=percent(scent.kept_low),
        high=percent(scent.kept_high),
        compound=compound.format(compound=scent.taken_as.lower()),
    )
    parts = [estimate] if scent.times_right is None else [times_words(scent.times_right), estimate]
    level = Level.WARNING if scent.kept <= MUCH_GONE else Level.CALM
    return Row(name, scent_words(scent.kept, scent.kept_low), tr("; ").join(parts), level)
