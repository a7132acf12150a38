"""The wax of a plan: how much to weigh, pellets by volume, what sets lower, what stays behind."""

from dataclasses import dataclass

from candlebench.core.materials.wax import Wax
from candlebench.core.plan.amounts import Amounts, on_step, step_digits
from candlebench.core.plan.jar_part import JarPart
from candlebench.core.plan.reasoned import Reasoned, number, with_unit
from candlebench.core.plan.request import PlanRequest
from candlebench.core.plan.tables import Tables
from candlebench.core.units import Shown
from candlebench.words import tr

# "Fill the jar twice with pellets": the rule of the trade. Common practice, no source.
DOUBLING = 2.0


@dataclass(frozen=True, slots=True)
class WaxPart:
    """What a plan says of its wax.

    Attributes
    ----------
    wax : Wax
    weigh_g : Reasoned
        Fresh wax to weigh in, on the step of the scale.
    each_g : Reasoned
        Wax and oil in one jar.
    batch_g : Reasoned
        Wax and oil in all, with what stays behind.
    left_g : Reasoned
        What stays in jug and on spoon.
    density_g_per_ml : Reasoned
        Of the hot mixture.
    pellets_ml : Reasoned or None
        Volume of the fresh wax as pellets; None without a figure of its solid density or its own packing.
    pellet_fills : Reasoned or None
        How many times each jar is filled with pellets for that.
    doubled_g : Reasoned or None
        What filling each jar twice would bring, beside `weigh_g`.
    set_level_mm : Reasoned or None
        Where the wax stands when it is cold; None when its shrinkage is not known.
    top_up_g : Reasoned or None
        Wax to keep for filling all jars up again once; not in `weigh_g`.
    """

    wax: Wax
    weigh_g: Reasoned
    each_g: Reasoned
    batch_g: Reasoned
    left_g: Reasoned
    density_g_per_ml: Reasoned
    pellets_ml: Reasoned | None
    pellet_fills: Reasoned | None
    doubled_g: Reasoned | None
    set_level_mm: Reasoned | None
    top_up_g: Reasoned | None


def left_behind_g(request: PlanRequest, tables: Tables) -> Reasoned:
    """Return what stays in jug and on spoon, typed or from the table."""
    jug, spoon = tables.handling.jug_left_g, tables.handling.spoon_left_g
    jug_g = jug.value if request.jug_left_g is None else request.jug_left_g
    spoon_g = spoon.value if request.spoon_left_g is None else request.spoon_left_g
    typed = request.jug_left_g is not None and request.spoon_left_g is not None
    return Reasoned(
        jug_g + spoon_g,
        "g",
        tr("{jug} g stay in the jug and {spoon} g on the spoon.").format(
            jug=number(jug_g), spoon=number(spoon_g)
        ),
        tr("typed") if typed else jug.spoken_source(),
    )


def plan_wax(
    request: PlanRequest,
    tables: Tables,
    jar: JarPart,
    amounts: Amounts,
    pour_c: float,
    shown: Shown,
) -> WaxPart:
    """Return what the plan says of its wax. The request has no faults."""
    wax = tables.waxes[request.wax]
    weigh_g = _weigh(request, amounts, shown.temp(pour_c))
    pellets, fills, doubled = _pellets(request, tables, wax, jar, weigh_g.value)
    level, top_up = _shrinkage(request, wax, jar, amounts, pour_c, shown)
    return WaxPart(
        wax=wax,
        weigh_g=weigh_g,
        each_g=Reasoned(
            amounts.each_g,
            "g",
            tr("{volume} of wax and oil at {density} g/mL; the wicks take {wicks}.").format(
                volume=with_unit(amounts.each_ml, "mL"),
                density=number(amounts.g_per_ml),
                wicks=with_unit(jar.volume_ml.value - amounts.each_ml, "mL"),
            ),
            tr("mass = volume × density (row B7); wick: {source}").format(
                source=tables.handling.wick_mm.spoken_source()
            ),
        ),
        batch_g=Reasoned(
            amounts.batch_g,
            "g",
            tr("{count} × {each}, and {left} that stay behind.").format(
                count=request.count,
                each=with_unit(amounts.each_g, "g"),
                left=with_unit(amounts.left_g, "g"),
            ),
            tr("plain arithmetic"),
        ),
        left_g=left_behind_g(request, tables),
        density_g_per_ml=_density(request, wax, amounts, shown.temp(pour_c)),
        pellets_ml=pellets,
        pellet_fills=fills,
        doubled_g=doubled,
        set_level_mm=level,
        top_up_g=top_up,
    )


def _weigh(request: PlanRequest, amounts: Amounts, pour: str) -> Reasoned:
    parts = [
        tr("{count} × {volume} at {density} g/mL ({pour}), and {left} that stay behind").format(
            count=request.count,
            volume=with_unit(amounts.each_ml, "mL"),
            density=number(amounts.g_per_ml),
            pour=pour,
            left=with_unit(amounts.left_g, "g"),
        )
    ]
    if amounts.oil_g > 0.0:
        parts.append(tr("less the oil"))
    if request.leftovers:
        parts.append(tr("less {wax} in leftovers").format(wax=with_unit(amounts.carried_wax_g, "g")))
    return Reasoned(
        max(0.0, on_step(amounts.wax_g, request.wax_step_g)),
        "g",
        ", ".join(parts) + ".",
        tr("mass = volume × density of the melted wax (rows B7, W15)"),
        digits=step_digits(request.wax_step_g),
    )


def _density(request: PlanRequest, wax: Wax, amounts: Amounts, pour: str) -> Reasoned:
    figure = wax.figures["liquid_kg_per_m3_at_70c"]
    typed = request.liquid_g_per_ml is not None
    return Reasoned(
        amounts.g_per_ml,
        "g/mL",
        tr("Melted wax and oil at {pour}, volumes added.").format(pour=pour),
        tr("the lot's own figure") if typed else figure.spoken_source(),
    )


def _pellets(
    request: PlanRequest, tables: Tables, wax: Wax, jar: JarPart, wax_g: float
) -> tuple[Reasoned | None, Reasoned | None, Reasoned | None]:
    bulk = _bulk(request, tables, wax)
    if bulk is None:
        return None, None, None
    pellets_ml = wax_g / bulk.value
    low_ml = None if bulk.high is None else wax_g / bulk.high
    high_ml = None if bulk.low is None else wax_g / bulk.low
    jars_ml = request.count * jar.volume_ml.value
    pellets = Reasoned(pellets_ml, "mL", bulk.why, bulk.source, low_ml, high_ml)
    fills = Reasoned(
        pellets_ml / jars_ml,
        "",
        tr("So many times each jar is filled with pellets up to its fill line."),
        bulk.source,
        None if low_ml is None else low_ml / jars_ml,
        None if high_ml is None else high_ml / jars_ml,
    )
    doubled_g = DOUBLING * jars_ml * bulk.value
    more_pct = 100.0 * (doubled_g / wax_g - 1.0) if wax_g > 0.0 else 0.0
    # Within a twentieth the rule of thumb is as good as the packing is known.
    if more_pct > 5.0:
        why = tr(
            "The old habit of filling each jar twice with pellets brings about {percent} % too much: "
            "weigh instead."
        )
    elif more_pct < -5.0:
        why = tr(
            "The old habit of filling each jar twice with pellets brings about {percent} % too little: "
            "weigh instead."
        )
    else:
        why = tr(
            "The old habit of filling each jar twice with pellets is about right here; weighing is surer."
        )
    doubled = Reasoned(
        doubled_g,
        "g",
        why.format(percent=number(abs(round(more_pct)))),
        tr("the doubling rule is common practice, no source; {packing}").format(packing=bulk.source),
    )
    return pellets, fills, doubled


def _bulk(request: PlanRequest, tables: Tables, wax: Wax) -> Reasoned | None:
    """Grams of pellets in a millilitre."""
    if request.pellets_g_per_ml is not None:
        why = tr("This lot's pellets, loosely filled, weigh {bulk} g/mL.")
        return Reasoned(
            request.pellets_g_per_ml,
            "g/mL",
            why.format(bulk=number(request.pellets_g_per_ml)),
            tr("the lot's own figure"),
        )
    solid = wax.solid_g_per_ml()
    if solid is None:
        return None
    loose, tapped = tables.handling.packing_loose, tables.handling.packing_tapped
    low, high = loose.value * solid, tapped.value * solid
    why = tr("Pellets fill {loose} to {tapped} % of their space: {low} to {high} g/mL, loose to tapped.")
    return Reasoned(
        0.5 * (low + high),
        "g/mL",
        why.format(
            loose=number(100.0 * loose.value),
            tapped=number(100.0 * tapped.value),
            low=number(low),
            high=number(high),
        ),
        tr("rows B1, B2 and B5: spheres, computed; measure your own pellets"),
        low,
        high,
    )


def _shrinkage(
    request: PlanRequest, wax: Wax, jar: JarPart, amounts: Amounts, pour_c: float, shown: Shown
) -> tuple[Reasoned | None, Reasoned | None]:
    typed = request.shrinkage_pct is not None
    share = request.shrinkage_pct / 100.0 if request.shrinkage_pct is not None else wax.shrinkage(pour_c)
    if share is None:
        return None, None
    source = (
        tr("the lot's own figure")
        if typed
        else tr("density of the melted against the set wax (rows W15, W17 to W20), computed")
    )
    sunk_ml = share * amounts.each_ml
    level = Reasoned(
        jar.shape.level_mm(jar.volume_ml.value - sunk_ml),
        "mm",
        tr(
            "It loses {percent} % of its volume from {pour} to cold; the middle sinks more than the wall."
        ).format(percent=number(100.0 * share), pour=shown.temp(pour_c)),
        source,
    )
    top_up = Reasoned(
        request.count * sunk_ml * amounts.g_per_ml,
        "g",
        tr("Keep it warm to fill {count} × {volume} up again once; it is not in the wax above.").format(
            count=request.count, volume=with_unit(sunk_ml, "mL")
        ),
        tr("row B8; {source}").format(source=source),
    )
    return level, top_up
