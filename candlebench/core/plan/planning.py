"""From what is asked to what it takes."""

import math
from dataclasses import dataclass, replace

from candlebench.core.materials.wax import Wax, limits_for
from candlebench.core.plan.amounts import Amounts, reckon
from candlebench.core.plan.cautions import cautions_of
from candlebench.core.plan.cost_part import CostPart, plan_cost
from candlebench.core.plan.faults import find_faults, label
from candlebench.core.plan.jar_part import JarPart, plan_jar
from candlebench.core.plan.naming import oil_in_sentence
from candlebench.core.plan.oil_part import OilPart, plan_oil
from candlebench.core.plan.reasoned import Caution, Fault, ImpossiblePlan, number
from candlebench.core.plan.request import PlanRequest
from candlebench.core.plan.tables import Tables
from candlebench.core.plan.wax_part import WaxPart, left_behind_g, plan_wax
from candlebench.core.plan.wick_part import WickPart, plan_wick
from candlebench.core.setup import Limits, Oil
from candlebench.core.state import Level
from candlebench.core.units import Shown
from candlebench.words import tr


@dataclass(frozen=True, slots=True)
class Plan:
    """All a batch takes.

    Attributes
    ----------
    request : PlanRequest
    pour_c : float
    jar : JarPart
    wax : WaxPart
    oil : OilPart or None
        None for a plain candle.
    wick : WickPart
    cost : CostPart
    amounts : Amounts
        The bare masses.
    limits : Limits
        Windows and limits of the melt, with altitude and oil; see `wax.oil_window_open`.
    melt_oil : Oil or None
        The oil as a melt wants it.
    cautions : tuple of Caution
        The gravest first.
    """

    request: PlanRequest
    pour_c: float
    jar: JarPart
    wax: WaxPart
    oil: OilPart | None
    wick: WickPart
    cost: CostPart
    amounts: Amounts
    limits: Limits
    melt_oil: Oil | None
    cautions: tuple[Caution, ...]

    @property
    def scent(self) -> str:
        """'Lavender + Sweet orange': what the candle smells of, as a heading; '' for a plain one."""
        lines = self.oil.lines if self.oil is not None else ()
        return " + ".join(line.oil.shown_name for line in lines)

    @property
    def stops(self) -> tuple[Caution, ...]:
        """The cautions with which a melt is not to be begun; empty when nothing stands against it."""
        return tuple(caution for caution in self.cautions if caution.level is Level.DANGER)


def make_plan(request: PlanRequest, tables: Tables, shown: Shown | None = None) -> Plan:
    """Return what a batch takes, every result with its reason.

    Parameters
    ----------
    request : PlanRequest
    tables : Tables
        From `load_tables`.
    shown : Shown, optional
        How temperatures are written in the reasons; °C when not given.

    Raises
    ------
    ImpossiblePlan
        Something that was typed cannot be; `faults` names every field.
    """
    shown = shown or Shown()
    faults = find_faults(request, tables, shown)
    if faults:
        raise ImpossiblePlan(faults)
    wax = tables.waxes[request.wax]
    if request.limits is not None:
        wax = replace(wax, limits=request.limits)
        tables = replace(tables, waxes={**tables.waxes, wax.name: wax})
    plain = limits_for(wax, request.altitude_m)
    pour_c = request.pour_c
    if pour_c is None:
        pour_c = 0.5 * (plain.pour_low_c + plain.pour_high_c)
    jar = plan_jar(request, tables, pour_c, shown)
    wick = plan_wick(request, tables, jar)
    left = left_behind_g(request, tables)
    wick_ml = _wick_ml(request, tables, jar, wick)
    amounts = reckon(request, wax, jar.volume_ml.value, wick_ml, pour_c, left.value)
    faults = (
        _no_room(request, amounts)
        or _too_much_left_over(request, amounts)
        or _too_much_oil(request, wax, amounts)
    )
    if faults:
        raise ImpossiblePlan(faults)
    wax_part = plan_wax(request, tables, jar, amounts, pour_c, shown)
    oil_part = plan_oil(request, tables, amounts, plain, shown)
    melt_oil = _melt_oil(oil_part)
    limits = limits_for(wax, request.altitude_m, melt_oil)
    return Plan(
        request=request,
        pour_c=pour_c,
        jar=jar,
        wax=wax_part,
        oil=oil_part,
        wick=wick,
        cost=plan_cost(request, tables, wax_part, oil_part, wick, plain.warn_c),
        amounts=amounts,
        limits=limits,
        melt_oil=melt_oil,
        cautions=cautions_of(request, tables, jar, wax_part, oil_part, wick, limits, shown),
    )


def _wick_ml(request: PlanRequest, tables: Tables, jar: JarPart, wick: WickPart) -> float:
    wick_mm = tables.handling.wick_mm.value if request.wick_mm is None else request.wick_mm
    return wick.count.value * math.pi / 4.0 * wick_mm * wick_mm * jar.fill_mm.value / 1000.0


def _too_much_left_over(request: PlanRequest, amounts: Amounts) -> tuple[Fault, ...]:
    if amounts.wax_g >= 0.0:
        return ()
    text = tr("The leftovers are more than the batch takes: use {grams:.0f} g less of them.")
    return (Fault("leftovers", text.format(grams=math.ceil(-amounts.wax_g))),) if request.leftovers else ()


def _too_much_oil(request: PlanRequest, wax: Wax, amounts: Amounts) -> tuple[Fault, ...]:
    """What leftovers carry can pass the limit that the asked share keeps."""
    limit_pct = wax.oil_limit_pct if request.oil_limit_pct is None else request.oil_limit_pct
    # The scale's step may take the share over by a hair (`amounts` rounds down only where it can).
    if not request.leftovers or 100.0 * amounts.oil_share <= limit_pct + 0.01:
        return ()
    text = tr("The leftovers bring the oil to {percent} %, {wax} is to hold {limit} %: use less of them.")
    return (
        Fault(
            "leftovers",
            text.format(
                percent=number(100.0 * amounts.oil_share), wax=wax.shown_name, limit=number(limit_pct)
            ),
        ),
    )


def _no_room(request: PlanRequest, amounts: Amounts) -> tuple[Fault, ...]:
    if amounts.each_ml > 0.0:
        return ()
    name = "wick_mm" if request.wick_mm is not None else "diameter_mm"
    text = tr("{label}: the wicks leave no room for wax in this jar.")
    return (Fault(name, text.format(label=label(name))),)


def _melt_oil(oil: OilPart | None) -> Oil | None:
    if oil is None:
        return None
    return Oil(
        name=" + ".join(oil_in_sentence(line.oil) for line in oil.lines),
        mass_g=oil.weigh_g.value,
        volume_ml=oil.volume_ml.value,
        scented_flash_c=None if oil.flash_c is None else oil.flash_c.value,
    )
