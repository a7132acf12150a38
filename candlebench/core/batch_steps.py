"""The work of a batch as data: what to weigh, the steps in their order, what to mind, and the clean-up."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from candlebench.core.labels import TRIM_MM
from candlebench.core.materials.wax import oil_window_open, warn_after_oil_c
from candlebench.core.plan.planning import Plan
from candlebench.core.plan.reasoned import Caution, number, with_unit
from candlebench.core.state import Level
from candlebench.core.units import Shown
from candlebench.core.warm_with_oil import warm_with_oil_words
from candlebench.words import tr, tr_count


@dataclass(frozen=True, slots=True)
class BigAmount:
    """One thing to set out, to be read from across the kitchen.

    Attributes
    ----------
    name : str
        'Wax', or the oil's name.
    amount : str
        '1674 g'.
    note : str
        A second measure or remark, may be empty.
    """

    name: str
    amount: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do.

    Attributes
    ----------
    text : str
        Begins with a verb and carries its amounts.
    why : str
        What to mind at it; may be empty.
    writes_time, writes_temp : bool
        Whether the sheet leaves room to write down when, and how hot it was.
    """

    text: str
    why: str = ""
    writes_time: bool = False
    writes_temp: bool = False


def big_amounts(plan: Plan) -> tuple[BigAmount, ...]:
    """Return wax, each oil, wicks and jars."""
    count, wicks = plan.request.count, int(plan.wick.count.value)
    found = [BigAmount(plan.wax.wax.shown_name, plan.wax.weigh_g.shown, plan.request.lot)]
    found += [
        BigAmount(
            leftover.name or tr("Leftovers"), with_unit(leftover.mass_g, "g"), tr("leftovers, all of it")
        )
        for leftover in plan.request.leftovers
    ]
    for line in plan.oil.lines if plan.oil is not None else ():
        if line.weigh_g.value > 0.0:
            volume = tr("or {volume} at room warmth").format(volume=line.volume_ml.shown)
            found.append(BigAmount(line.oil.shown_name, line.weigh_g.shown, volume))
    size = f"{plan.wick.series} {plan.wick.size}".strip()
    found.append(BigAmount(tr("Wicks"), str(count * wicks), size or tr("size to be tested")))
    each = tr("{grams} each, {fill} high").format(
        grams=with_unit(plan.wax.each_g.value, "g"), fill=plan.jar.fill_mm.shown
    )
    found.append(BigAmount(tr("Jars"), str(count), each))
    return tuple(found)


def batch_steps(plan: Plan, shown: Shown) -> tuple[Step, ...]:
    """Return the steps from the scale to the finished candle, with their amounts, windows and limits."""
    return (*_make_ready(plan, shown), *_melt(plan, shown), *_scent(plan, shown), *_pour(plan, shown))


def _make_ready(plan: Plan, shown: Shown) -> Iterator[Step]:
    count, wicks = plan.request.count, int(plan.wick.count.value)
    fix = tr_count(
        "Wipe {jars} jar clean and dry; fix {wicks} in it, upright.",
        "Wipe {jars} jars clean and dry; fix {wicks} in each, upright.",
        count,
    )
    warm = ""
    if plan.jar.warm_to_c is not None:
        warm = tr("Warm to {temp} or more before the pour: a cold jar can crack.").format(
            temp=shown.temp(plan.jar.warm_to_c)
        )
    yield Step(fix.format(jars=count, wicks=tr_count("{n} wick", "{n} wicks", wicks).format(n=wicks)), warm)
    yield Step(
        tr("Weigh {wax} of wax into the jug.").format(wax=plan.wax.weigh_g.shown)
        if not plan.request.leftovers
        else tr("Weigh {wax} of wax into the jug; add the leftovers.").format(wax=plan.wax.weigh_g.shown),
        tr("Lid, fire blanket and a working thermometer within reach; children and pets out."),
    )


def _melt(plan: Plan, shown: Shown) -> Iterator[Step]:
    limits = plan.limits
    yield Step(
        tr("Melt it over water on low heat, the jug open. Never leave it alone."),
        tr(
            "Warning at {warn}, the wax darkens at {strong}, stop heating at {stop}. Top up the water."
        ).format(
            warn=shown.temp(round(_first_warning_c(plan), 1)),
            strong=shown.temp(limits.strong_c),
            stop=shown.temp(limits.stop_c),
        ),
        writes_time=True,
    )
    yield Step(
        tr("Turn the heat down once all is melted, at about {melted}.").format(
            melted=shown.temp(limits.melted_c)
        ),
        writes_time=True,
        writes_temp=True,
    )
    yield Step(tr("Take the jug off the heat and wipe it dry below."), writes_time=True, writes_temp=True)


def _first_warning_c(plan: Plan) -> float:
    """Leftovers bring their oil along from the start: then the lower warning holds from the start, too."""
    scented = any(leftover.oil_g > 0.0 for leftover in plan.request.leftovers)
    return warn_after_oil_c(plan.limits, plan.melt_oil) if scented else plan.limits.warn_c


def _scent(plan: Plan, shown: Shown) -> Iterator[Step]:
    oil, limits = plan.oil, plan.limits
    if oil is None or oil.weigh_g.value <= 0.0:
        return
    if oil.flash_c is None or not oil_window_open(limits):
        yield Step(
            tr("Do not add the oil: there is no safe window for it. Change the plan first."),
            tr("See “Stop” above."),
        )
        return
    weigh = tr("Weigh {grams} of oil and cover it: it evaporates.")
    if len(oil.lines) > 1:
        weigh = tr("Weigh the oils, {grams} in all, into one glass and cover it: they evaporate.")
    yield Step(weigh.format(grams=oil.weigh_g.shown), tr("Gloves on, window open, every flame out."))
    yield Step(
        tr("Add the oil at {window}, off the heat.").format(
            window=shown.span(limits.oil_low_c, math.floor(limits.oil_high_c))
        ),
        _no_more_hob(plan, shown),
        writes_time=True,
        writes_temp=True,
    )
    yield Step(tr("Stir slowly for a minute, down to the bottom."), writes_temp=True)


def _no_more_hob(plan: Plan, shown: Shown) -> str:
    """What holds once the oil is in: the rule of `core.warm_with_oil`, with the flash estimate."""
    oil, limits = plan.melt_oil, plan.limits
    if oil is None or oil.scented_flash_c is None:
        return ""
    return tr("Estimated to flash at {flash}, warning at {warn}. Too cool later? {rule}").format(
        flash=shown.temp(round(oil.scented_flash_c)),
        warn=shown.temp(round(warn_after_oil_c(limits, oil))),
        rule=warm_with_oil_words(limits, oil, shown),
    )


def _pour(plan: Plan, shown: Shown) -> Iterator[Step]:
    limits = plan.limits
    yield Step(
        tr("Pour at {window}, each jar {fill} high ({grams}).").format(
            window=shown.span(limits.pour_low_c, limits.pour_high_c),
            fill=plan.jar.fill_mm.shown,
            grams=with_unit(plan.wax.each_g.value, "g"),
        ),
        tr("Pour along the wall, in one go; keep the wicks upright."),
        writes_time=True,
        writes_temp=True,
    )
    yield Step(tr("Let the jars set where they stand, apart, out of draughts."), writes_time=True)
    if plan.wax.top_up_g is not None:
        yield Step(
            tr("If the tops have sunk: top up, about {grams} in all.").format(
                grams=with_unit(plan.wax.top_up_g.value, "g")
            ),
            tr("That is extra wax with the same share of oil."),
        )
    yield Step(
        tr("Trim the wicks to {mm} mm, weigh a candle, stick on the labels.").format(mm=TRIM_MM),
        tr("Burn-test one before any leaves the house."),
    )


def sheet_cautions(plan: Plan) -> tuple[Caution, ...]:
    """Return what stands on the sheet: what stops the work and what to mind; the calm remarks stay out."""
    return tuple(caution for caution in plan.cautions if caution.level is not Level.CALM)


def standing_cautions() -> tuple[str, ...]:
    """Return what holds for every batch (rows F10, F12, F16, F18 and F21 of the safety table)."""
    return (
        tr(
            "If wax burns: heat off, lid on, never water. If it does not go out at once, leave and call the "
            "fire service."
        ),
        tr("Hot wax on skin: 20 minutes under cool running water; do not peel off what sticks."),
    )


def clean_up_steps(plan: Plan) -> tuple[Step, ...]:
    """Return how to clean up and what to keep. Common practice, no source."""
    steps = [
        Step(
            tr("Pour what is left into a lined tin or mould and let it cool; never down a drain."),
            tr("It sets in the pipe, and blocks it."),
        ),
        Step(tr("Label it: {words}, with the date.").format(words=leftover_label(plan))),
        Step(
            tr("Wipe jug, spoon and probe with paper while they are warm."),
            tr("No sink, no dishwasher. Paper with oil on it goes into a lidded metal bin."),
        ),
        Step(
            tr("Let the water bath cool, lift off any wax, then empty it."),
            tr("Keep the jug for wax: nothing is cooked in it again."),
        ),
    ]
    return tuple(steps)


def leftover_label(plan: Plan) -> str:
    """'Beeswax with 6 % Lavender': what to write on leftovers, so that the oil counts when they are used."""
    wax = plan.wax.wax.shown_name
    oil = plan.oil
    if oil is None:
        return tr("{wax}, no oil").format(wax=wax)
    whole_g = plan.amounts.oil_g + plan.amounts.all_wax_g
    parts = [
        tr("{percent} % {oil}").format(
            percent=number(round(100.0 * amount.in_all_g / whole_g, 1)), oil=amount.oil.shown_name
        )
        for amount in plan.amounts.oils
    ]
    return tr("{wax} with {oils}").format(wax=wax, oils=tr(", ").join(parts))
