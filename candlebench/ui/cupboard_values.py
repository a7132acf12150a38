"""From the fields of the cupboard's form to the thing and back, and what in them does not go together."""

import math
from collections.abc import Mapping
from dataclasses import fields, replace
from datetime import date

from candlebench.core.cupboard import JarStock, LabelStock, OilBottle, Price, WaxLot, WickStock
from candlebench.core.materials.oil import described_oil
from candlebench.core.plan.request import Leftover
from candlebench.core.setup import Limits
from candlebench.core.units import Shown
from candlebench.records.cupboard_stock import Mark, Stock, Thing, amount_of
from candlebench.ui.cupboard_fields import LIMITS, Value, Values
from candlebench.words import tr


def values_of(thing: Thing, mark: Mark, shown: Shown) -> dict[str, Value]:
    """Return what stands in the fields for a thing; temperatures in the person's unit."""
    values: dict[str, Value] = {"name": thing.name, "left": round(amount_of(thing), 2)}
    values |= {"since": mark.since, "low": mark.low, "full": mark.full}
    if isinstance(thing, Leftover):
        oils = thing.oils
        values["wax"] = thing.waxes[0][0] if thing.waxes else ""
        values["oil"] = oils[0][0].name if oils else ""
        values["share"] = 100.0 * thing.oil_g / thing.mass_g if oils else None
        return values
    values["note"] = thing.note
    if thing.price is not None:
        values |= {"paid": thing.price.paid, "paid_for": thing.price.amount}
    for each in fields(thing):
        if each.name not in ("name", "price", "limits", "note", "stock_g", "stock_ml", "count"):
            values[each.name] = getattr(thing, each.name)
    for key in ("set_c", "flash_c"):
        if values.get(key) is not None:
            values[key] = round(shown.number(float(values[key])), 2)  # type: ignore[arg-type]
    if isinstance(thing, WaxLot) and thing.limits is not None:
        for limit in fields(Limits):
            values[limit.name] = round(shown.number(getattr(thing.limits, limit.name)), 2)
    return values


def problems_of(shelf: str, values: Values) -> dict[str, str]:
    """Return by field what does not fit the other fields, each as a sentence with what to do."""
    found: dict[str, str] = {}
    if (values.get("paid") is None) != (values.get("paid_for") is None):
        key = "paid" if values.get("paid") is None else "paid_for"
        found[key] = tr("Type both what was paid and for how much, or neither.")
    if values.get("paid_for") == 0.0:
        found["paid_for"] = tr("Type for how much that was paid, more than 0.")
    if shelf == "jars":
        found |= _jar_problems(values)
    if shelf == "oils" and not values.get("oil") and values.get("density_g_per_ml") is None:
        text = tr("Type the density on its data sheet, or choose the kind of oil.")
        found["density_g_per_ml"] = text
    if shelf == "leftovers":
        found |= _leftover_problems(values)
    if shelf == "waxes":
        found |= _limit_problems(values)
    return found


def thing_of(
    shelf: str, values: Values, stock: Stock, shown: Shown, before: Thing | None = None
) -> tuple[Thing, Mark]:
    """Return the thing that fields without a problem describe.

    Parameters
    ----------
    before : Thing or None
        The thing that is changed; of a leftover with several waxes or oils its contents stay.

    Raises
    ------
    FixableError
        An oil's figures are impossible.
    """
    name = str(values["name"]).strip()
    left = _float(values, "left") or 0.0
    old = stock.mark(shelf, before.name) if before is not None else Mark()
    since = values.get("since")
    day = since if isinstance(since, date) else None
    mark = replace(old, since=day, low=_float(values, "low"), full=_float(values, "full"))
    if isinstance(before, Leftover) and is_mixed(before):
        return replace(before.part(left), name=name), mark
    if shelf == "leftovers":
        return _leftover(name, left, values, stock, before), mark
    paid, paid_for = _float(values, "paid"), _float(values, "paid_for")
    price = Price(paid, paid_for) if paid is not None and paid_for is not None else None
    own = {key: values.get(key) for key in _OWN[shelf]}
    for key in ("set_c", "flash_c"):
        if own.get(key) is not None:
            own[key] = round(shown.back(float(own[key])), 2)  # type: ignore[arg-type]
    note = str(values.get("note") or "").strip()
    made: Thing
    match shelf:
        case "waxes":
            made = WaxLot(name, stock_g=left, price=price, note=note, limits=_limits(values, shown), **own)  # type: ignore[arg-type]
        case "oils":
            bottle = OilBottle(name, stock_ml=left, price=price, note=note, **own)  # type: ignore[arg-type]
            # Says what is impossible in its figures.
            bottle.essential_oil()
            made = bottle
        case "jars":
            made = JarStock(name, round(left), price=price, note=note, **own)  # type: ignore[arg-type]
        case "wicks":
            made = WickStock(name, count=round(left), price=price, note=note, **own)  # type: ignore[arg-type]
        case _:
            made = LabelStock(name, round(left), price, note)
    return made, mark


def is_mixed(leftover: Leftover) -> bool:
    """Whether there is more in it than one wax and one oil, which the fields cannot say."""
    return len(leftover.waxes) > 1 or len(leftover.oils) > 1


_OWN: Mapping[str, tuple[str, ...]] = {
    "waxes": (
        "wax",
        "own",
        "colour",
        "set_c",
        "oil_limit_pct",
        "pellets_g_per_ml",
        "liquid_g_per_ml",
        "shrinkage_pct",
    ),
    "oils": ("oil", "density_g_per_ml", "flash_c"),
    "jars": ("kind", "diameter_mm", "bottom_mm", "fill_mm", "height_mm", "water_fill_g", "water_brim_g"),
    "wicks": ("series", "size"),
    "labels": (),
}


def _jar_problems(values: Values) -> dict[str, str]:
    found = {}
    fill, height = _float(values, "fill_mm"), _float(values, "height_mm")
    to_line, to_rim = _float(values, "water_fill_g"), _float(values, "water_brim_g")
    if fill is None and to_line is None:
        found["fill_mm"] = tr(
            "Type how high the jar is poured, or under More how much water fills it so far."
        )
    if fill is not None and height is not None and fill > height:
        found["fill_mm"] = tr("The jar is {mm:g} mm high inside: pour to less than that.").format(mm=height)
    if to_rim is not None and height is None:
        found["height_mm"] = tr("Type the jar's inside height: the water was weighed up to the rim.")
    if to_rim is not None and to_line is not None and to_line > to_rim:
        text = tr("The fill line cannot hold more water than the whole jar: weigh again.")
        found["water_fill_g"] = text
    return found


def _leftover_problems(values: Values) -> dict[str, str]:
    share = _float(values, "share")
    if values.get("oil") and not share:
        return {"share": tr("Type the oil's share, or choose that there is no oil in it.")}
    if share and not values.get("oil"):
        return {"oil": tr("Choose which oil is in it, or leave its share empty.")}
    return {}


def _limit_problems(values: Values) -> dict[str, str]:
    typed = [key for key in LIMITS if values.get(key) is not None]
    if not typed:
        return {}
    empty = [key for key in LIMITS if values.get(key) is None]
    if empty:
        return {empty[0]: tr("Type all eight temperatures of this lot, or none of them.")}
    number = {key: _float(values, key) or 0.0 for key in LIMITS}
    for lower, upper, text in (
        ("oil_low_c", "oil_high_c", tr("The oil window must end above where it begins.")),
        ("pour_low_c", "pour_high_c", tr("The pour window must end above where it begins.")),
        ("warn_c", "strong_c", tr("The strong warning must come above the first one.")),
        ("strong_c", "stop_c", tr("Stop heating must come above the strong warning.")),
    ):
        if not number[lower] < number[upper]:
            return {upper: text}
    return {}


def _limits(values: Values, shown: Shown) -> Limits | None:
    if values.get(LIMITS[0]) is None:
        return None
    return Limits(**{key: round(shown.back(_float(values, key) or 0.0), 2) for key in LIMITS})


def _leftover(name: str, left_g: float, values: Values, stock: Stock, before: Thing | None) -> Leftover:
    share = (_float(values, "share") or 0.0) / 100.0
    waxes = ((str(values["wax"]), left_g * (1.0 - share)),)
    chosen = str(values.get("oil") or "")
    if not chosen or share <= 0.0:
        return Leftover(name, waxes)
    carried = before.oils if isinstance(before, Leftover) else ()
    others = tuple(pair for each in stock.cupboard.leftovers for pair in each.oils)
    bottle = next((each for each in stock.cupboard.oils if each.name == chosen), None)
    known = {oil.name: oil for oil, _ in (*others, *carried)}
    if bottle is not None and chosen not in {oil.name for oil, _ in carried}:
        oil = bottle.essential_oil()
    else:
        oil = known[chosen] if chosen in known else described_oil(chosen, chosen)
    return Leftover(name, waxes, ((oil, left_g * share),))


def _float(values: Values, key: str) -> float | None:
    value = values.get(key)
    return float(value) if isinstance(value, int | float) and math.isfinite(value) else None
