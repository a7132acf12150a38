"""The wick of a plan: a first guess to be burn-tested."""

from dataclasses import dataclass
from math import sqrt

from candlebench.core.materials.wick import WickSeries, WickTable, wick_count, wick_positions_mm
from candlebench.core.plan.jar_part import JarPart
from candlebench.core.plan.naming import wax_in_sentence
from candlebench.core.plan.reasoned import Reasoned, number
from candlebench.core.plan.request import OwnBurn, PlanRequest, Verdict
from candlebench.core.plan.tables import Tables
from candlebench.words import tr, tr_count

# An own burn test speaks for jars of this much more or less width: ours, no source.
_SAME_WIDTH_MM = 3.0


@dataclass(frozen=True, slots=True)
class WickPart:
    """What a plan says of its wick.

    Attributes
    ----------
    count : Reasoned
        Wicks in a jar.
    series, size : str
        Shown name of the series and the size; size '' when no table has a start for this wax.
    thinner, thicker : str
        The sizes to test beside it, '' where there are none.
    text : str
        '1 wick, Square braid 1/0: a first guess, burn-test it'.
    why, source : str
    own : bool
        It comes from an own burn test, or was typed.
    pool_mm : Reasoned
        Width of the pool that each wick is to melt.
    positions_mm : tuple of (x, y)
        From the jar's middle, x to the right, y up, for the drawing from above.
    burn_g_per_h, flame_mm : Reasoned or None
        What the pool law says; None outside the chart it was fitted on.
    first_burn_h : Reasoned
        How long the first burn is to last.
    """

    count: Reasoned
    series: str
    size: str
    thinner: str
    thicker: str
    text: str
    why: str
    source: str
    own: bool
    pool_mm: Reasoned
    positions_mm: tuple[tuple[float, float], ...]
    burn_g_per_h: Reasoned | None
    flame_mm: Reasoned | None
    first_burn_h: Reasoned


@dataclass(frozen=True, slots=True)
class _Choice:
    series: str
    size: str
    thinner: str
    thicker: str
    why: str
    source: str
    own: bool


def plan_wick(request: PlanRequest, tables: Tables, jar: JarPart) -> WickPart:
    """Return the first guess. The request has no faults."""
    wicks = tables.wicks
    width_mm = jar.width_mm.value
    burn = _own_burn(request, width_mm)
    aim_mm = width_mm if request.pool_mm is None else request.pool_mm
    count = _count(request, wicks, aim_mm, burn)
    each_mm = aim_mm / sqrt(count.value)
    choice = _choice(request, tables, each_mm, burn)
    floor_mm = min(width_mm, jar.shape.bottom_mm)
    wanted = tr_count("{n} wick", "{n} wicks", int(count.value)).format(n=int(count.value))
    if choice.size:
        named = f"{wanted}, {f'{choice.series} {choice.size}'.strip()}"
        text = (
            tr("{wick}: your own choice, keep burn-testing it")
            if choice.own
            else tr("{wick}: a first guess, burn-test it")
        ).format(wick=named)
    else:
        text = tr("{wicks}; no start size is known for this wax: burn-test what its supplier names").format(
            wicks=wanted
        )
    rate, flame = _laws(wicks, each_mm)
    return WickPart(
        count=count,
        series=choice.series,
        size=choice.size,
        thinner=choice.thinner,
        thicker=choice.thicker,
        text=text,
        why=choice.why,
        source=choice.source,
        own=choice.own,
        pool_mm=Reasoned(
            each_mm,
            "mm",
            tr("The pool is to reach the wall; several wicks share the surface evenly.")
            if request.pool_mm is None
            else tr("As typed; several wicks share the surface evenly."),
            tr("aim: full width (row B26, common practice, no source); even shares: computed, a proposal"),
        ),
        positions_mm=wick_positions_mm(int(count.value), floor_mm),
        burn_g_per_h=rate,
        flame_mm=flame,
        first_burn_h=_first_burn(wicks, width_mm),
    )


def _own_burn(request: PlanRequest, width_mm: float) -> OwnBurn | None:
    """The latest own burn test with this wax in a jar of this width; a good one before the others."""
    near = [
        burn
        for burn in request.own_burns
        if burn.wax == request.wax and abs(burn.width_mm - width_mm) <= _SAME_WIDTH_MM
    ]
    good = [burn for burn in near if burn.verdict is Verdict.GOOD]
    found = good or near
    return found[-1] if found else None


def _count(request: PlanRequest, wicks: WickTable, aim_mm: float, burn: OwnBurn | None) -> Reasoned:
    if request.wick_count is not None:
        return Reasoned(request.wick_count, "", tr("As typed."), tr("typed"))
    if burn is not None:
        return Reasoned(burn.count, "", tr("As in your own burn test."), tr("your own burn test"))
    limit = wicks.several_over_mm
    count = wick_count(aim_mm, limit.value)
    why = (
        tr("The pool is to be {width} mm wide; one wick melts {limit} mm at most.")
        if count == 1
        else tr("The pool is to be {width} mm wide; one wick melts only {limit} mm.")
    )
    return Reasoned(
        count, "", why.format(width=number(aim_mm), limit=number(limit.value)), limit.spoken_source()
    )


def _choice(request: PlanRequest, tables: Tables, each_mm: float, burn: OwnBurn | None) -> _Choice:
    wicks = tables.wicks
    if request.wick_size:
        series = _series_with(wicks, request.wick_size)
        return _from_series(wicks, series, request.wick_size, tr("As typed."), tr("typed"), own=True)
    if burn is not None:
        return _from_own_burn(wicks, burn)
    start = wicks.start(request.wax, each_mm)
    if start is None:
        why = tr("The wick table has no row for {wax} and a pool of {pool} mm.").format(
            wax=wax_in_sentence(tables.waxes[request.wax]), pool=number(each_mm)
        )
        return _Choice("", "", "", "", why, tr("no figure is at hand"), own=False)
    why = tr("A pool of {pool} mm in {wax}: begin here, and test a thinner and a thicker one beside it.")
    return _from_series(
        wicks,
        start.series,
        start.size,
        why.format(pool=number(each_mm), wax=wax_in_sentence(tables.waxes[request.wax])),
        tr("{source} (row {row})").format(source=start.source, row=start.row),
        own=False,
    )


def _from_own_burn(wicks: WickTable, burn: OwnBurn) -> _Choice:
    source = tr("your own burn test")
    why = {
        Verdict.GOOD: tr("It burned well in a jar {width} mm wide."),
        Verdict.TOO_SMALL: tr("{size} was too small in a jar {width} mm wide: one size thicker."),
        Verdict.TOO_BIG: tr("{size} was too big in a jar {width} mm wide: one size thinner."),
    }[burn.verdict].format(size=burn.size, width=number(burn.width_mm))
    size: str | None = burn.size
    steps = {Verdict.GOOD: 0, Verdict.TOO_SMALL: 1, Verdict.TOO_BIG: -1}[burn.verdict]
    if steps:
        series = wicks.series.get(burn.series)
        size = series.beside(burn.size, steps) if series else None
        if size is None:
            return _Choice(burn.series, "", "", "", why, source, own=True)
    return _from_series(wicks, burn.series, size or "", why, source, own=True)


def _from_series(wicks: WickTable, name: str, size: str, why: str, source: str, *, own: bool) -> _Choice:
    series: WickSeries | None = wicks.series.get(name)
    if series is None:
        return _Choice(name, size, "", "", why, source, own)
    return _Choice(
        series.shown_name, size, series.beside(size, -1) or "", series.beside(size, 1) or "", why, source, own
    )


def _series_with(wicks: WickTable, size: str) -> str:
    return next((name for name, series in wicks.series.items() if size in series.sizes), "")


def _laws(wicks: WickTable, each_mm: float) -> tuple[Reasoned | None, Reasoned | None]:
    law, flame = wicks.pool_law, wicks.flame_law
    if law.low is None or law.high is None or not law.low <= each_mm <= law.high:
        return None, None
    rate = law.g_per_h(each_mm)
    return (
        Reasoned(
            rate,
            "g/h",
            tr("What a wick burns that melts a pool of {pool} mm.").format(pool=number(each_mm)),
            tr("{source} (row {row})").format(source=law.source, row=law.row),
        ),
        Reasoned(
            flame.at(rate),
            "mm",
            tr("Flame of a wick that burns {rate} g an hour.").format(rate=number(rate)),
            tr("{source} (row {row})").format(source=flame.source, row=flame.row),
        ),
    )


def _first_burn(wicks: WickTable, width_mm: float) -> Reasoned:
    hours = min(width_mm / wicks.first_burn_mm_per_h.value, wicks.longest_burn_h.value)
    return Reasoned(
        hours,
        "h",
        tr("Until the pool reaches the wall: about an hour for each {mm} mm, {most} h at most.").format(
            mm=number(wicks.first_burn_mm_per_h.value), most=number(wicks.longest_burn_h.value)
        ),
        wicks.first_burn_mm_per_h.spoken_source(),
    )
