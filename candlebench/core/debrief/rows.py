"""The debrief in words, one row a thing: its name, how it was, and what it was judged by."""

from dataclasses import dataclass

from candlebench.core.debrief.judge import Debrief
from candlebench.core.debrief.phrases import lasted, minutes, off_words, percents
from candlebench.core.debrief.windows import Chance, OilVerdict
from candlebench.core.guesses import Outcome
from candlebench.core.state import Level
from candlebench.core.track_record import KeptForecast
from candlebench.core.track_record import Outcome as Fate
from candlebench.core.units import Shown, about, band, clock_face, rounded_clock_face
from candlebench.words import tr

# Shorter than this the oil is not through the jug: a minute is common practice, no source.
STIRRED_SHORT_S = 45.0
# Less than this beside a melt done right is within what the estimate can tell apart.
MUCH_MORE = 1.3
# A tenth gone of an estimate good to a factor of two is a fifth at worst. Design decision.
MUCH_GONE = 0.9


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
    """Return what happened: oil, stirred wax, pour, heat, scent."""
    oil = (_oil(debrief.oil, shown), _stirred(debrief, debrief.oil, shown)) if debrief.oil else ()
    return (
        *oil,
        _pour(debrief, shown),
        _highest(debrief, shown),
        _above(debrief, shown),
        _melted(debrief),
        _scent(debrief),
    )


def caption(debrief: Debrief) -> str:
    """Return what the lines and bars of the curve mean, and by what it was judged."""
    parts = [tr("Bars: when each window was open, with the best moment; dashed and ~ where estimated.")]
    if debrief.truth is not None:
        parts.append(tr("Judged by the wax’s true temperature (thin line), which only practice knows."))
    else:
        parts.append(tr("Your suppliers’ data sheets and local rules come first."))
    return " ".join(parts)


def foretold_rows(foretold: tuple[KeptForecast, ...]) -> tuple[Row, ...]:
    """Return how the forecasts fared, one row for each thing that was foretold."""
    found = []
    for what in dict.fromkeys(kept.what for kept in foretold):
        of_this = sorted((kept for kept in foretold if kept.what == what), key=lambda kept: -kept.lead_s)
        held = sum(kept.outcome is Fate.INSIDE for kept in of_this)
        first, *rest = (_off_at(kept) for kept in of_this)
        value = tr(", ").join(
            [tr("{lead} ahead {off}").format(lead=first[0], off=first[1])]
            + [tr("{lead} {off}").format(lead=lead, off=off) for lead, off in rest]
        )
        why = tr("{held} of {all} inside the band").format(held=held, all=len(of_this))
        level = Level.CALM if held == len(of_this) else Level.WARNING
        found.append(Row(_foretold_names().get(what, what), value, why, level))
    return tuple(found)


def _off_at(kept: KeptForecast) -> tuple[str, str]:
    """'5 min', '0:10 early'."""
    return about(kept.lead_s), _late_or_early(kept.in_s - (kept.took_s or 0.0))


def _foretold_names() -> dict[str, str]:
    """Words for what `Melt` has forecasts kept of."""
    return {
        "melted": tr("All melted"),
        "warm enough": tr("Warm enough"),
        "strong limit": tr("Strong limit"),
        "oil window opens": tr("Oil window opens"),
        "oil window ends": tr("Oil window ends"),
        "pour window opens": tr("Pour window opens"),
        "pour window ends": tr("Pour window ends"),
    }


def guess_row(outcome: Outcome, shown: Shown) -> Row:
    """Return how one guess fared, and the forecast of the same moment."""
    temp = shown.temp(outcome.guess.target_c)
    name = tr("Your guess for {temp}").format(temp=temp)
    forecast = outcome.forecast
    parts = [tr("you said {guess}").format(guess=clock_face(outcome.guess.in_s))]
    if forecast is not None:
        text = tr("the forecast {forecast} ({band})")
        said = rounded_clock_face(forecast.in_s)
        parts.append(text.format(forecast=said, band=band(forecast.low_s, forecast.high_s)))
    if outcome.took_s is None or outcome.guess_off_s is None:
        parts.append(tr("it did not come to that undisturbed"))
        return Row(name, "–", tr(", ").join(parts), known=False)
    parts.append(tr("it took {took}").format(took=clock_face(outcome.took_s)))
    value = _late_or_early(outcome.guess_off_s)
    if outcome.forecast_off_s is not None:
        text = tr("{guess}, the forecast {forecast}")
        value = text.format(guess=value, forecast=_late_or_early(outcome.forecast_off_s))
    return Row(name, value, tr(", ").join(parts))


def _late_or_early(off_by_s: float) -> str:
    if abs(off_by_s) < 5.0:
        return tr("right")
    text = tr("{time} late") if off_by_s > 0.0 else tr("{time} early")
    return text.format(time=clock_face(round(abs(off_by_s))))


def _oil(oil: OilVerdict, shown: Shown) -> Row:
    name, window = tr("Oil in"), _window_words(oil.chance, shown)
    if not oil.chance.safe:
        went = tr("not added") if oil.temp_c is None else shown.temp(round(oil.temp_c, 1))
        return Row(name, went, window, Level.DANGER if oil.done_s is not None else Level.CALM)
    if oil.done_s is None:
        return Row(name, tr("not added"), window, known=False)
    if oil.temp_c is None or oil.off_by_c is None:
        return Row(name, tr("at {clock}").format(clock=clock_face(oil.done_s)), window, known=False)
    if oil.on_heat:
        window = tr("It stood on the heat. {window}").format(window=window)
    value = tr("{temp}, {off}").format(
        temp=shown.temp(round(oil.temp_c, 1)), off=off_words(oil.off_by_c, shown)
    )
    return Row(name, value, window, Level.WARNING if oil.off_by_c or oil.on_heat else Level.CALM)


def _stirred(debrief: Debrief, oil: OilVerdict, shown: Shown) -> Row:
    name = tr("Stirred")
    if oil.done_s is None:
        return Row(name, "–", tr("no oil went in"), known=False)
    value = "–" if oil.stirring_s is None else lasted(oil.stirring_s)
    level = Level.WARNING if oil.stirring_s is not None and oil.stirring_s < STIRRED_SHORT_S else Level.CALM
    limits = debrief.story.setup.limits
    if oil.landed_c is None or oil.landed_off_c is None:
        return Row(name, value, tr("what it landed at was not recorded"), level, oil.stirring_s is not None)
    landed = shown.temp(round(oil.landed_c, 1))
    off = shown.drop(abs(oil.landed_off_c))
    if oil.landed_off_c == 0.0:
        text = tr("landed at {temp}, in the pour window {span}")
        span = shown.span(limits.pour_low_c, limits.pour_high_c)
        return Row(name, value, text.format(temp=landed, span=span), level)
    if oil.landed_off_c > 0.0:
        text = tr("landed at {temp}, {off} above the pour window")
        return Row(name, value, text.format(temp=landed, off=off), level)
    text = tr("landed at {temp}, {off} under the pour window")
    return Row(name, value, text.format(temp=landed, off=off), Level.WARNING)


def _pour(debrief: Debrief, shown: Shown) -> Row:
    pour = debrief.pour
    name, window = tr("Poured"), _window_words(pour.chance, shown)
    if pour.done_s is None:
        return Row(name, tr("not poured"), window, known=False)
    if pour.temp_c is None or pour.off_by_c is None:
        return Row(name, tr("at {clock}").format(clock=clock_face(pour.done_s)), window, known=False)
    value = tr("{temp}, {off}").format(
        temp=shown.temp(round(pour.temp_c, 1)), off=off_words(pour.off_by_c, shown)
    )
    return Row(name, value, window, Level.WARNING if pour.off_by_c else Level.CALM)


def _window_words(chance: Chance, shown: Shown) -> str:
    """'open 32:18 to ~36:25, best ~34:25 at 73.2 °C'."""
    window = chance.window
    if not chance.safe:
        return tr("no temperature is safe for this oil at this load")
    if chance.opened_s is None:
        return tr("{span} was never open").format(span=shown.span(window.low_c, window.high_c))
    opened = _clock(chance, chance.opened_s)
    if chance.closed_s is None:
        return tr("open from {opened}").format(opened=opened)
    closed = _clock(chance, chance.closed_s)
    if chance.best_s is None or chance.best_s <= chance.opened_s:
        return tr("open {opened} to {closed}").format(opened=opened, closed=closed)
    return tr("open {opened} to {closed}, best {best} at {temp}").format(
        opened=opened,
        closed=closed,
        best=_clock(chance, chance.best_s),
        temp=shown.temp(round(chance.best_c, 1)),
    )


def _clock(chance: Chance, at_s: float) -> str:
    """'36:18', or '~36:20' where it is an estimate."""
    return f"~{rounded_clock_face(at_s)}" if chance.estimated(at_s) else clock_face(at_s)


def _highest(debrief: Debrief, shown: Shown) -> Row:
    heat, limits = debrief.heat, debrief.story.setup.limits
    name = tr("Highest")
    if heat.highest_c is None or heat.highest_s is None:
        return Row(name, "–", tr("no temperature was recorded"), known=False)
    level = Level.CALM
    if heat.strong_s > 0.0:
        level = Level.DANGER if heat.stop_s > 0.0 else Level.WARNING
    why = tr("at {clock}; darkens above {strong}, stop at {stop}").format(
        clock=clock_face(heat.highest_s),
        strong=shown.temp(limits.strong_c),
        stop=shown.temp(round(limits.stop_c, 1)),
    )
    return Row(name, shown.temp(round(heat.highest_c, 1)), why, level)


def _above(debrief: Debrief, shown: Shown) -> Row:
    heat, limits = debrief.heat, debrief.story.setup.limits
    name = tr("Too hot for")
    warn = shown.temp(limits.warn_c)
    if heat.warn_after_oil_c is not None and heat.warn_after_oil_c < limits.warn_c:
        text = tr("{warn} ({scented} with the oil in)")
        warn = text.format(warn=warn, scented=shown.temp(heat.warn_after_oil_c))
    limits_passed = ((heat.strong_s, limits.strong_c), (heat.stop_s, round(limits.stop_c, 1)))
    parts = [tr("above {warn}").format(warn=warn)]
    for seconds, limit_c in limits_passed:
        text = tr("{time} above {limit}") if seconds > 0.0 else tr("never above {limit}")
        parts.append(text.format(time=minutes(seconds), limit=shown.temp(limit_c)))
        if seconds == 0.0:
            break
    why = tr("; ").join(parts)
    value = minutes(heat.warn_s)
    if heat.unknown_s > 0.0:
        value = tr("at least {time}").format(time=value)
        why = tr("{why}; {time} not recorded").format(why=why, time=minutes(heat.unknown_s))
    level = Level.WARNING if heat.strong_s > 0.0 or heat.after_oil_warn_s > 0.0 else Level.CALM
    return Row(name, value, why, Level.DANGER if heat.stop_s > 0.0 else level)


def _melted(debrief: Debrief) -> Row:
    seconds = debrief.heat.melted_on_heat_s
    level = Level.WARNING if seconds > 600.0 else Level.CALM
    return Row(tr("Kept melted"), minutes(seconds), tr("on the heat; a few minutes are enough"), level)


def _scent(debrief: Debrief) -> Row:
    scent = debrief.scent
    name = tr("Scent kept")
    if scent.kept is None or scent.kept_low is None or scent.kept_high is None:
        return Row(name, "–", scent.why_not, known=False)
    low, kept, high = percents(scent.kept_low, scent.kept, scent.kept_high)
    compound = tr("{compound} (a guess)") if scent.guessed else tr("{compound}")
    parts = [
        tr("estimate, {low} to {high} %: open jug, oil as {compound}").format(
            low=low, high=high, compound=compound.format(compound=scent.taken_as.lower())
        )
    ]
    if scent.times_right is not None:
        parts.append(_times_words(scent.times_right))
    level = Level.WARNING if scent.kept <= MUCH_GONE else Level.CALM
    return Row(name, tr("about {kept} %").format(kept=kept), tr("; ").join(parts), level)


def _times_words(times_right: float) -> str:
    if times_right < MUCH_MORE:
        return tr("no more than when done right")
    text = tr("{times} times the loss when done right")
    return text.format(times=f"{times_right:.0f}" if times_right >= 9.5 else f"{times_right:.1f}")
