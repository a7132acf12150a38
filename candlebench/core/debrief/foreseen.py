"""How forecasts and guesses fared, in words: one row for each thing that was foretold or guessed."""

from candlebench.core.debrief.judge import Debrief
from candlebench.core.debrief.phrases import late_or_early
from candlebench.core.debrief.rows import Row
from candlebench.core.guesses import Outcome
from candlebench.core.state import Level
from candlebench.core.track_record import KeptForecast
from candlebench.core.track_record import Outcome as Fate
from candlebench.core.units import Shown, about, band, clock_face, rounded_clock_face
from candlebench.words import tr


def foreseen_rows(debrief: Debrief, shown: Shown) -> tuple[Row, ...]:
    """Return what was foretold, then what the person guessed."""
    return (
        *foretold_rows(debrief.foretold),
        *(guess_row(outcome, shown) for outcome in debrief.guesses),
    )


def foretold_rows(foretold: tuple[KeptForecast, ...]) -> tuple[Row, ...]:
    """Return how the forecasts fared, one row for each thing that was foretold."""
    found = []
    for what in dict.fromkeys(kept.what for kept in foretold):
        of_this = sorted((kept for kept in foretold if kept.what == what), key=lambda kept: -kept.lead_s)
        held = sum(kept.outcome is Fate.INSIDE for kept in of_this)
        alike = len(of_this) > 1 and held in (0, len(of_this))
        first, *rest = (_said_at(kept, with_band=not alike) for kept in of_this)
        together = tr("both inside their bands") if held else tr("both outside their bands")
        value = tr("; ").join([tr("Said {first}").format(first=first), *rest, *([together] if alike else [])])
        why = tr("{held} of {all} came inside the band").format(held=held, all=len(of_this))
        level = Level.CALM if held == len(of_this) else Level.WARNING
        found.append(Row(_foretold_names().get(what, what), value, why, level))
    return tuple(found)


def _said_at(kept: KeptForecast, with_band: bool) -> str:
    """'5 min before: 0:48 too early', and where it is wanted ', outside its band'."""
    off = late_or_early(kept.in_s - (kept.took_s or 0.0))
    said = tr("{lead} before: {off}").format(lead=about(kept.lead_s), off=off)
    if not with_band:
        return said
    held = kept.outcome is Fate.INSIDE
    return (tr("{said}, inside its band") if held else tr("{said}, outside its band")).format(said=said)


def _foretold_names() -> dict[str, str]:
    """Words for what `Melt` has forecasts kept of."""
    return {
        "melted": tr("All melted"),
        "warm enough": tr("Warm enough"),
        "strong limit": tr("Wax darkens"),
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
        text = {
            None: tr("the forecast {forecast} ({band})"),
            True: tr("the forecast {forecast} ({band}, it held)"),
            False: tr("the forecast {forecast} ({band}, it did not hold)"),
        }[outcome.band_held]
        said = rounded_clock_face(forecast.in_s)
        parts.append(text.format(forecast=said, band=band(forecast.low_s, forecast.high_s)))
    if outcome.took_s is None or outcome.guess_off_s is None:
        parts.append(tr("it did not come to that undisturbed"))
        return Row(name, "–", tr(", ").join(parts), known=False)
    parts.append(tr("it took {took}").format(took=clock_face(outcome.took_s)))
    value = late_or_early(outcome.guess_off_s)
    if outcome.forecast_off_s is not None:
        text = tr("{guess}, the forecast {forecast}")
        value = text.format(guess=value, forecast=late_or_early(outcome.forecast_off_s))
    return Row(name, value, tr(", ").join(parts))
