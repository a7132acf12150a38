"""What a batch costs, and what a candle must sell for."""

from dataclasses import dataclass

from candlebench.core.materials.enthalpy_curve import EnthalpyCurve
from candlebench.core.materials.wax import SMALL_JUG_J_PER_K
from candlebench.core.plan.oil_part import OilPart
from candlebench.core.plan.reasoned import Reasoned, number, with_unit
from candlebench.core.plan.request import PlanRequest
from candlebench.core.plan.tables import Tables
from candlebench.core.plan.wax_part import WaxPart
from candlebench.core.plan.wick_part import WickPart
from candlebench.words import tr

# E22: 313.5 kJ heat 998 g of water by 75 K (CoolProp 8.0.0). C
WATER_J_PER_G_K = 313.5e3 / (998.0 * 75.0)
_J_PER_KWH = 3.6e6


@dataclass(frozen=True, slots=True)
class CostLine:
    """One thing that costs: `code` is 'wax', 'oil', 'wick', 'jar', 'label', 'energy' or 'work'."""

    code: str
    name: str
    batch: Reasoned


@dataclass(frozen=True, slots=True)
class CostPart:
    """What a plan says of its cost.

    Attributes
    ----------
    currency : str
        As typed, may be empty; goes behind every sum.
    lines : tuple of CostLine
        Only what has a price.
    missing : tuple of str
        Names of what has none and is not counted.
    batch, each : Reasoned or None
        None when nothing has a price.
    price_each : Reasoned or None
        Selling price of one candle with the margin.
    energy_kwh : Reasoned
        What the hob takes.
    """

    currency: str
    lines: tuple[CostLine, ...]
    missing: tuple[str, ...]
    batch: Reasoned | None
    each: Reasoned | None
    price_each: Reasoned | None
    energy_kwh: Reasoned


def plan_cost(
    request: PlanRequest, tables: Tables, wax: WaxPart, oil: OilPart | None, wick: WickPart, top_c: float
) -> CostPart:
    """Return the cost of the batch. The request has no faults.

    Parameters
    ----------
    top_c : float
        How hot the wax gets.
    """
    energy = energy_kwh(request, tables, wax.weigh_g.value, top_c)
    currency = request.prices.currency
    priced = _lines(request, wax, oil, wick, energy)
    lines = tuple(line for _, line in priced if line is not None)
    missing = tuple(name for name, line in priced if line is None)
    if not lines:
        return CostPart(currency, (), missing, None, None, None, energy)
    total = sum(line.batch.value for line in lines)
    counted = ", ".join(f"{line.name} {_sum(line.batch.value)}" for line in lines)
    each = total / request.count
    margin = request.prices.margin_pct
    arithmetic = tr("plain arithmetic")
    return CostPart(
        currency=currency,
        lines=lines,
        missing=missing,
        batch=Reasoned(total, currency, counted, arithmetic, digits=2),
        each=Reasoned(
            each,
            currency,
            tr("{total} for {count} candles.").format(total=_sum(total), count=request.count),
            arithmetic,
            digits=2,
        ),
        price_each=Reasoned(
            each / (1.0 - margin / 100.0),
            currency,
            tr("{cost} are {rest} % of it; {margin} % are left over.").format(
                cost=_sum(each), rest=number(100.0 - margin), margin=number(margin)
            ),
            arithmetic,
            digits=2,
        ),
        energy_kwh=energy,
    )


def energy_kwh(request: PlanRequest, tables: Tables, wax_g: float, top_c: float) -> Reasoned:
    """Return what the hob takes for one melt over a water bath; good to a factor of two.

    Heat of the wax on the proposed curve of beeswax (row E21), jug (H29), bath water (E22) and what the bath
    loses (H20), over the efficiency of the hob (H5, H6).
    """
    handling = tables.handling
    hob = handling.hobs[request.prices.hob]
    curve = EnthalpyCurve()
    wax_j = wax_g * float(curve.heat_j_per_g(top_c) - curve.heat_j_per_g(request.room_c))
    jug_j = SMALL_JUG_J_PER_K * (top_c - request.room_c)
    water_j = handling.bath_water_g.value * WATER_J_PER_G_K * (handling.bath_c.value - request.room_c)
    lost_j = handling.bath_loss_w.value * handling.melt_min.value * 60.0
    kwh = (wax_j + jug_j + water_j + lost_j) / hob.efficiency.value / _J_PER_KWH
    return Reasoned(
        kwh,
        "kWh",
        tr("Wax, jug and {water} of water heated, {minutes} min on a hob that passes {percent} % on.").format(
            water=with_unit(handling.bath_water_g.value, "g"),
            minutes=number(handling.melt_min.value),
            percent=number(100.0 * hob.efficiency.value),
        ),
        tr("rows E21, E22, H20, H29; hob: {hob}").format(hob=hob.efficiency.spoken_source()),
        0.5 * kwh,
        2.0 * kwh,
    )


def _lines(
    request: PlanRequest, wax: WaxPart, oil: OilPart | None, wick: WickPart, energy: Reasoned
) -> list[tuple[str, CostLine | None]]:
    prices, currency = request.prices, request.prices.currency
    wicks = int(wick.count.value) * request.count
    found = [
        _priced("wax", tr("Wax"), wax.weigh_g.value / 1000.0, "kg", prices.wax_per_kg, currency),
        *_oil_lines(request, oil),
        _priced("wick", tr("Wick"), wicks, "", prices.wick_each, currency),
        _priced("jar", tr("Jar"), request.count, "", prices.jar_each, currency),
        _priced("label", tr("Label"), request.count, "", prices.label_each, currency),
        _priced("energy", tr("Energy"), energy.value, "kWh", prices.energy_per_kwh, currency),
    ]
    if prices.work_min is not None:
        found.append(_priced("work", tr("Work"), prices.work_min / 60.0, "h", prices.work_per_h, currency))
    return found


def _oil_lines(request: PlanRequest, oil: OilPart | None) -> list[tuple[str, CostLine | None]]:
    if oil is None:
        return []
    per_ml, currency = dict(request.prices.oil_per_ml), request.prices.currency
    return [
        _priced("oil", line.oil.shown_name, line.volume_ml.value, "mL", per_ml.get(line.oil.name), currency)
        for line in oil.lines
        if line.weigh_g.value > 0.0
    ]


def _priced(
    code: str, name: str, amount: float, unit: str, price: float | None, currency: str
) -> tuple[str, CostLine | None]:
    if price is None:
        return name, None
    why = tr("{amount} at {price} each.").format(amount=with_unit(amount, unit), price=_price(price))
    if unit:
        why = tr("{amount} at {price} for each {unit}.").format(
            amount=with_unit(amount, unit), price=_price(price), unit=unit
        )
    return name, CostLine(code, name, Reasoned(amount * price, currency, why, tr("your prices"), digits=2))


def _sum(amount: float) -> str:
    return f"{amount:.2f}"


def _price(amount: float) -> str:
    """Prices of a millilitre may have more than two digits behind the point."""
    return f"{amount:.4f}".rstrip("0").rstrip(".") if amount and abs(amount) < 1.0 else f"{amount:.2f}"
