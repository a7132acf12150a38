"""What a batch takes out of the store cupboard, and what is left over of it."""

import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass, replace

from candlebench.core.cupboard import Cupboard, JarStock, Price, WaxLot
from candlebench.core.errors import FixableError
from candlebench.core.materials.oil import EssentialOil
from candlebench.core.plan.naming import oil_in_sentence, wax_in_sentence
from candlebench.core.plan.planning import Plan
from candlebench.core.plan.reasoned import with_unit
from candlebench.core.plan.request import Leftover, PlanRequest, Prices
from candlebench.core.plan.rows import to_row
from candlebench.words import tr, tr_count

# What rounding to a scale's step leaves: below it a lot counts as used up.
_NOTHING = 1e-6


@dataclass(frozen=True, slots=True)
class Chosen:
    """What a batch takes from, by name; '' where it is not kept in the cupboard.

    The oils and leftovers are those of the plan, by their names.
    """

    wax: str = ""
    jar: str = ""
    wick: str = ""
    label: str = ""


@dataclass(frozen=True, slots=True)
class Taken:
    """What a batch takes of one thing.

    Attributes
    ----------
    shelf : str
        'waxes', 'oils', 'jars', 'wicks', 'labels' or 'leftovers'.
    name : str
    amount, left : float
        What it takes, and what is in stock afterwards; below zero when there is not enough.
    unit : str
        'g', 'mL', or '' for pieces.
    """

    shelf: str
    name: str
    amount: float
    left: float
    unit: str

    @property
    def short(self) -> bool:
        """Whether there is not enough of it."""
        return self.left < -_NOTHING

    @property
    def text(self) -> str:
        """'Meadow 7: 1682 g, 1718 g left'."""
        if self.short:
            return tr("{name}: {amount}, {missing} too little in stock").format(
                name=self.name,
                amount=with_unit(self.amount, self.unit),
                missing=with_unit(-self.left, self.unit),
            )
        return tr("{name}: {amount}, {left} left").format(
            name=self.name,
            amount=with_unit(self.amount, self.unit),
            left=with_unit(max(0.0, self.left), self.unit),
        )


def what_it_takes(plan: Plan, cupboard: Cupboard, chosen: Chosen) -> tuple[Taken, ...]:
    """Return what a batch takes of each thing that is in the cupboard, in the order of its shelves."""
    together: dict[tuple[str, str], float] = {}
    for shelf, name, amount in _wanted(plan, chosen):
        together[shelf, name] = amount + together.get((shelf, name), 0.0)
    stock = {(shelf, name): (amount, unit) for shelf, name, amount, unit in _stock(cupboard)}
    return tuple(
        Taken(*place, amount, stock[place][0] - amount, stock[place][1])
        for place, amount in together.items()
        if place in stock
    )


def what_it_leaves_out(
    plan: Plan, cupboard: Cupboard, chosen: Chosen, elsewhere: Iterable[str] = ()
) -> tuple[str, ...]:
    """Return what the batch takes and the cupboard does not hold, as '6 wicks' or '122 mL of lavender'.

    Parameters
    ----------
    elsewhere : iterable of str
        Names of the oils that are taken from bottles of another name.
    """
    stock, others = {(shelf, name) for shelf, name, _, _ in _stock(cupboard)}, set(elsewhere)
    lines = plan.oil.lines if plan.oil is not None else ()
    oils = {line.oil.name: oil_in_sentence(line.oil) for line in lines}
    found = []
    for shelf, name, amount in _wanted(plan, chosen):
        if (shelf, name) in stock or amount <= 0.0 or (shelf == "oils" and name in others):
            continue
        pieces = int(amount)
        whole = {
            "jars": tr_count("{n} jar", "{n} jars", pieces),
            "wicks": tr_count("{n} wick", "{n} wicks", pieces),
            "labels": tr_count("{n} label", "{n} labels", pieces),
        }
        if shelf in whole:
            found.append(whole[shelf].format(n=pieces))
            continue
        words = wax_in_sentence(plan.wax.wax) if shelf == "waxes" else oils.get(name, name)
        measured = with_unit(amount, "mL" if shelf == "oils" else "g")
        found.append(tr("{amount} of {name}").format(amount=measured, name=words))
    return tuple(found)


def batch_mark(plan: Plan) -> str:
    """Return a short text that is the same for the same batch and another for any other.

    Prices and what the settings say of the place change nothing of what a batch takes.
    """
    request = replace(plan.request, prices=Prices(), room_c=0.0, altitude_m=0.0)
    text = json.dumps(to_row(request), sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def _wanted(plan: Plan, chosen: Chosen) -> list[tuple[str, str, float]]:
    wicks = int(plan.wick.count.value) * plan.request.count
    return [
        ("waxes", chosen.wax, plan.wax.weigh_g.value),
        *(
            ("oils", line.oil.name, line.volume_ml.value)
            for line in (plan.oil.lines if plan.oil else ())
            if line.weigh_g.value > 0.0
        ),
        ("jars", chosen.jar, plan.request.count),
        ("wicks", chosen.wick, wicks),
        ("labels", chosen.label, plan.request.count),
        *(("leftovers", leftover.name, leftover.mass_g) for leftover in plan.request.leftovers),
    ]


def after_batch(cupboard: Cupboard, taken: Iterable[Taken]) -> Cupboard:
    """Return the cupboard with all of it taken out; a used-up leftover is gone, the rest stays at nothing."""
    left = {(each.shelf, each.name): max(0.0, each.left) for each in taken}

    def of(shelf: str, name: str, before: float) -> float:
        return left.get((shelf, name), before)

    return Cupboard(
        waxes=tuple(replace(w, stock_g=of("waxes", w.name, w.stock_g)) for w in cupboard.waxes),
        oils=tuple(replace(o, stock_ml=of("oils", o.name, o.stock_ml)) for o in cupboard.oils),
        jars=tuple(replace(j, count=int(of("jars", j.name, j.count))) for j in cupboard.jars),
        wicks=tuple(replace(w, count=int(of("wicks", w.name, w.count))) for w in cupboard.wicks),
        labels=tuple(replace(x, count=int(of("labels", x.name, x.count))) for x in cupboard.labels),
        leftovers=tuple(
            leftover.part(of("leftovers", leftover.name, leftover.mass_g))
            for leftover in cupboard.leftovers
            if of("leftovers", leftover.name, leftover.mass_g) > _NOTHING
        ),
    )


def leftover_of(plan: Plan, name: str, mass_g: float) -> Leftover:
    """Return what is in so many grams that stayed in the jug, wax and oil in the melt's proportion.

    Oil that went off is not taken off: the share carried on is the most there can be.

    Raises
    ------
    FixableError
        More than the whole batch, or nothing.
    """
    waxes = _waxes_of(plan)
    oils = tuple((oil.oil, oil.in_all_g) for oil in plan.amounts.oils if oil.in_all_g > 0.0)
    whole = Leftover(name, waxes, oils)
    if not 0.0 < mass_g <= whole.mass_g:
        raise FixableError(
            tr("Type how many grams were left, more than 0 and at most {most}.").format(
                most=with_unit(whole.mass_g, "g")
            )
        )
    return whole.part(mass_g)


def mixed(name: str, leftovers: Iterable[Leftover]) -> Leftover:
    """Return leftovers thrown together under one name, grams added by wax and by oil."""
    waxes: dict[str, float] = {}
    oils: dict[str, tuple[EssentialOil, float]] = {}
    for leftover in leftovers:
        for wax, grams in leftover.waxes:
            waxes[wax] = waxes.get(wax, 0.0) + grams
        for oil, grams in leftover.oils:
            oils[oil.name] = (oil, grams + oils.get(oil.name, (oil, 0.0))[1])
    return Leftover(name, tuple(waxes.items()), tuple(oils.values()))


def with_lot(request: PlanRequest, lot: WaxLot) -> PlanRequest:
    """Return the request made of one lot: its wax, its own figures and limits, its price."""
    prices = request.prices
    if lot.price is not None:
        prices = replace(prices, wax_per_kg=1000.0 * lot.price.each)
    return replace(
        request,
        wax=lot.wax,
        lot=lot.name,
        limits=lot.limits,
        oil_limit_pct=lot.oil_limit_pct,
        pellets_g_per_ml=lot.pellets_g_per_ml,
        liquid_g_per_ml=lot.liquid_g_per_ml,
        shrinkage_pct=lot.shrinkage_pct,
        prices=prices,
    )


def with_jar(request: PlanRequest, jar: JarStock) -> PlanRequest:
    """Return the request poured into one kind of jar: its sizes, its weights of water, its price."""
    return replace(
        request,
        diameter_mm=jar.diameter_mm,
        fill_mm=jar.fill_mm,
        bottom_mm=jar.bottom_mm,
        height_mm=jar.height_mm,
        water_fill_g=jar.water_fill_g,
        water_brim_g=jar.water_brim_g,
        jar_kind=jar.kind,
        prices=replace(request.prices, jar_each=jar.price.each if jar.price else request.prices.jar_each),
    )


def prices_of(cupboard: Cupboard, prices: Prices, chosen: Chosen, bottles: Iterable[str] = ()) -> Prices:
    """Return the prices with those of the chosen things put in; what has none keeps its typed price.

    Parameters
    ----------
    bottles : iterable of str
        Names of the bottles that the blend is made of.
    """
    wax = _each({lot.name: lot.price for lot in cupboard.waxes}, chosen.wax)
    jar = _each({jar.name: jar.price for jar in cupboard.jars}, chosen.jar)
    wick = _each({wick.name: wick.price for wick in cupboard.wicks}, chosen.wick)
    label = _each({label.name: label.price for label in cupboard.labels}, chosen.label)
    wanted = set(bottles)
    oils = dict(prices.oil_per_ml)
    oils.update({oil.name: oil.price.each for oil in cupboard.oils if oil.price and oil.name in wanted})
    return replace(
        prices,
        wax_per_kg=prices.wax_per_kg if wax is None else 1000.0 * wax,
        jar_each=prices.jar_each if jar is None else jar,
        wick_each=prices.wick_each if wick is None else wick,
        label_each=prices.label_each if label is None else label,
        oil_per_ml=tuple(oils.items()),
    )


def _each(prices: dict[str, Price | None], name: str) -> float | None:
    price = prices.get(name)
    return None if price is None else price.each


def _waxes_of(plan: Plan) -> tuple[tuple[str, float], ...]:
    waxes = {plan.request.wax: plan.amounts.wax_g}
    for leftover in plan.request.leftovers:
        for name, grams in leftover.waxes:
            waxes[name] = waxes.get(name, 0.0) + grams
    return tuple((name, grams) for name, grams in waxes.items() if grams > 0.0)


def _stock(cupboard: Cupboard) -> list[tuple[str, str, float, str]]:
    return [
        *(("waxes", w.name, w.stock_g, "g") for w in cupboard.waxes),
        *(("oils", o.name, o.stock_ml, "mL") for o in cupboard.oils),
        *(("jars", j.name, float(j.count), "") for j in cupboard.jars),
        *(("wicks", w.name, float(w.count), "") for w in cupboard.wicks),
        *(("labels", x.name, float(x.count), "") for x in cupboard.labels),
        *(("leftovers", x.name, x.mass_g, "g") for x in cupboard.leftovers),
    ]
