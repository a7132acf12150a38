"""What to mind before a batch is begun, the gravest first."""

from collections.abc import Iterator

from candlebench.core.plan.jar_part import JarPart
from candlebench.core.plan.naming import oil_in_sentence, wax_in_sentence
from candlebench.core.plan.oil_cautions import oil_cautions
from candlebench.core.plan.oil_part import OilPart
from candlebench.core.plan.reasoned import Caution, number
from candlebench.core.plan.request import PlanRequest
from candlebench.core.plan.tables import Tables
from candlebench.core.plan.wax_part import WaxPart
from candlebench.core.plan.wick_part import WickPart
from candlebench.core.setup import Limits
from candlebench.core.state import Level
from candlebench.core.units import Shown
from candlebench.words import tr

_GRAVE = {Level.DANGER: 0, Level.WARNING: 1, Level.CALM: 2}


def cautions_of(
    request: PlanRequest,
    tables: Tables,
    jar: JarPart,
    wax: WaxPart,
    oil: OilPart | None,
    wick: WickPart,
    limits: Limits,
    shown: Shown,
) -> tuple[Caution, ...]:
    """Return all cautions of a plan. `limits` are those with the oil."""
    found = [*_jar(jar), *_leftovers(request, tables, oil), *_wick(wick)]
    if oil is not None:
        found += oil_cautions(request, wax.wax, oil, limits, shown)
    density = wax.wax.figures["liquid_kg_per_m3_at_70c"]
    if density.to_test and request.liquid_g_per_ml is None:
        found.append(_guessed_density(wax, density.spoken_source()))
    return tuple(sorted(found, key=lambda caution: _GRAVE[caution.level]))


def _jar(jar: JarPart) -> Iterator[Caution]:
    levels = {"heat_proof": Level.DANGER, "step": Level.WARNING}
    for check in jar.checks:
        if check.good is not True and (check.good is False or check.code in levels):
            level = levels.get(check.code, Level.WARNING) if check.good is False else Level.WARNING
            yield Caution(f"jar_{check.code}", level, check.text, check.why, check.source)


def _leftovers(request: PlanRequest, tables: Tables, oil: OilPart | None) -> Iterator[Caution]:
    waxes = {name for leftover in request.leftovers for name, grams in leftover.waxes if grams > 0.0}
    if waxes - {request.wax}:
        names = [
            wax_in_sentence(tables.waxes[name]) if name in tables.waxes else name for name in sorted(waxes)
        ]
        yield Caution(
            "mixed_wax",
            Level.WARNING,
            tr("Waxes are mixed ({names}): test a small jar first.").format(names=", ".join(names)),
            tr("Windows, density, wick and limit for oil are those of the fresh wax; a mixture has its own."),
            tr("common practice, no source"),
        )
    carried_g = sum(leftover.oil_g for leftover in request.leftovers)
    if oil is not None and carried_g > 0.0:
        if oil.weigh_g.value == 0.0:
            yield Caution(
                "leftover_oil",
                Level.WARNING,
                tr("Add no oil: the leftovers bring {percent} % of wax and oil together already.").format(
                    percent=number(oil.of_whole_pct.value)
                ),
                tr("{grams} g of oil are in the leftovers.").format(grams=number(carried_g)),
                tr("plain arithmetic"),
            )
        planned = {part.oil.name for part in request.oils}
        other = {
            oil_in_sentence(o) for each in request.leftovers for o, _ in each.oils if o.name not in planned
        }
        if other:
            yield Caution(
                "mixed_scent",
                Level.WARNING,
                tr("The leftovers smell of {oils}: the blend will too.").format(
                    oils=", ".join(sorted(other))
                ),
                tr("What they carry counts in the dose, the flash point and the label."),
                tr("plain arithmetic"),
            )


def _wick(wick: WickPart) -> Iterator[Caution]:
    yield Caution(
        "burn_test",
        Level.CALM,
        tr("Burn-test the wick in this jar before a candle leaves the house."),
        tr("Wax, oil, colour and jar all change the flame; the guess knows only wax and width."),
        tr("rows B21 to B28, common practice, no source"),
    )
    if wick.count.value > 4.0:
        yield Caution(
            "many_wicks",
            Level.WARNING,
            tr("So wide a jar takes more wicks than the tables know about: test with great care."),
            tr("Several flames heat each other and the container."),
            tr("common practice, no source"),
        )


def _guessed_density(wax: WaxPart, source: str) -> Caution:
    return Caution(
        "guessed_density",
        Level.WARNING,
        tr("Weigh one filled jar of {wax} first and type its density.").format(wax=wax_in_sentence(wax.wax)),
        tr("No density of the melted wax is at hand: {density} g/mL is taken.").format(
            density=number(wax.density_g_per_ml.value)
        ),
        source,
    )
