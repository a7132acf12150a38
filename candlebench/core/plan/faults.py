"""Which input is impossible, field by field, so that a page can mark all of it at once."""

import math
from collections.abc import Iterator

from candlebench.core.materials.jar import JarShape
from candlebench.core.materials.water import HIGHEST_M, LOWEST_M
from candlebench.core.materials.wax import Wax
from candlebench.core.plan.reasoned import Fault, number
from candlebench.core.plan.request import Basis, PlanRequest, Prices
from candlebench.core.plan.tables import Tables
from candlebench.core.units import Shown
from candlebench.words import tr

# In which the bounds of temperatures stand here; she is told them in her own degrees.
_CELSIUS = "°C"

# Bounds of what is typed: wide enough for every jar on a kitchen table, narrow enough to catch centimetres,
# inches and litres. Ours, no source.
_BOUNDS: dict[str, tuple[float, float, str]] = {
    "diameter_mm": (10.0, 300.0, "mm"),
    "bottom_mm": (10.0, 300.0, "mm"),
    "fill_mm": (5.0, 500.0, "mm"),
    "height_mm": (5.0, 600.0, "mm"),
    "water_fill_g": (1.0, 20000.0, "g"),
    "water_brim_g": (1.0, 20000.0, "g"),
    "count": (1.0, 1000.0, ""),
    "jar_c": (-10.0, 120.0, _CELSIUS),
    "pour_c": (30.0, 120.0, _CELSIUS),
    "liquid_g_per_ml": (0.6, 1.2, "g/mL"),
    "shrinkage_pct": (0.0, 30.0, "%"),
    "pellets_g_per_ml": (0.2, 1.0, "g/mL"),
    "oil_limit_pct": (0.0, 30.0, "%"),
    "load_pct": (0.0, 30.0, "%"),
    "pool_mm": (5.0, 300.0, "mm"),
    "wick_count": (1.0, 20.0, ""),
    "wick_mm": (0.5, 15.0, "mm"),
    "jug_left_g": (0.0, 500.0, "g"),
    "spoon_left_g": (0.0, 100.0, "g"),
    "wax_step_g": (0.001, 50.0, "g"),
    "oil_step_g": (0.001, 10.0, "g"),
    "room_c": (-10.0, 50.0, _CELSIUS),
    "altitude_m": (LOWEST_M, HIGHEST_M, "m"),
}


def find_faults(request: PlanRequest, tables: Tables, shown: Shown | None = None) -> tuple[Fault, ...]:
    """Return everything that keeps a plan from being made; empty when one can be made.

    Parameters
    ----------
    request : PlanRequest
    tables : Tables
    shown : Shown, optional
        The degrees in which the bounds are named; °C when not given.
    """
    found = list(_out_of_bounds(request, shown or Shown()))
    bad = {fault.field for fault in found}
    found += [fault for fault in _jar_faults(request, tables) if fault.field not in bad]
    found += [fault for fault in _wax_faults(request, tables) if fault.field not in bad]
    found += _price_faults(request.prices, tables)
    return tuple(found)


def _out_of_bounds(request: PlanRequest, shown: Shown) -> Iterator[Fault]:
    for name, (low, high, unit) in _BOUNDS.items():
        value = getattr(request, name)
        if value is not None and not (math.isfinite(value) and low <= value <= high):
            if unit == _CELSIUS:
                low, high, unit = shown.number(low), shown.number(high), shown.sign
            text = tr("{label}: type {unit} from {low} to {high}.")
            if not unit:
                text = tr("{label}: type a number from {low} to {high}.")
            yield Fault(name, text.format(label=label(name), unit=unit, low=number(low), high=number(high)))
    if request.count != int(request.count):
        yield Fault("count", tr("Candles: type a whole number."))


def _jar_faults(request: PlanRequest, tables: Tables) -> Iterator[Fault]:
    if request.fill_mm is None and request.water_fill_g is None:
        yield Fault("fill_mm", tr("Type how high the jar is poured, or how much water fills it so far."))
    if request.water_brim_g is not None and request.height_mm is None:
        yield Fault("height_mm", tr("Type the jar's inside height: the water was weighed up to the rim."))
    if request.fill_mm is not None and request.height_mm is not None and request.fill_mm > request.height_mm:
        yield Fault(
            "fill_mm",
            tr("The jar is {height} mm high inside: pour to less than that.").format(
                height=number(request.height_mm)
            ),
        )
    both = request.water_fill_g is not None and request.water_brim_g is not None
    if both and request.water_fill_g > request.water_brim_g:  # type: ignore[operator]
        yield Fault(
            "water_fill_g", tr("The fill line cannot hold more water than the whole jar: weigh again.")
        )
    if _overflows(request):
        yield Fault(
            "water_fill_g",
            tr("So much water does not go into a jar of these sizes: measure and weigh again."),
        )
    if request.jar_kind not in tables.jars.kinds:
        yield Fault(
            "jar_kind",
            tr("No jar is made of “{kind}” here: choose one of {names}.").format(
                kind=request.jar_kind, names=", ".join(tables.jars.kinds)
            ),
        )


def _overflows(request: PlanRequest) -> bool:
    """Whether the water of which only the weight is known would stand above the rim."""
    if request.fill_mm is not None or request.water_fill_g is None or request.height_mm is None:
        return False
    if request.water_brim_g is not None or request.height_mm <= 0.0:
        return False
    bottom_mm = request.diameter_mm if request.bottom_mm is None else request.bottom_mm
    shape = JarShape(request.diameter_mm, bottom_mm, request.height_mm)
    return request.water_fill_g > shape.volume_ml(request.height_mm)


def _wax_faults(request: PlanRequest, tables: Tables) -> Iterator[Fault]:
    wax = tables.waxes.get(request.wax)
    if wax is None:
        yield Fault(
            "wax",
            tr("No wax is called “{wax}”: write one of {names}.").format(
                wax=request.wax, names=", ".join(tables.waxes)
            ),
        )
        return
    if request.load_pct > 0.0 and not request.oils:
        yield Fault("oils", tr("Choose an oil, or set its share to 0 %."))
    for index, part in enumerate(request.oils):
        if not (math.isfinite(part.parts) and part.parts > 0.0):
            text = tr("{oil}: type its part of the blend, more than 0.").format(oil=part.oil.shown_name)
            yield Fault(f"oils[{index}]", text)
    yield from _over_the_limit(request, wax)
    for leftover in request.leftovers:
        if not leftover.mass_g > 0.0:
            yield Fault(
                "leftovers",
                tr("{name}: type how many grams of it are used.").format(name=leftover.name),
            )


def _over_the_limit(request: PlanRequest, wax: Wax) -> Iterator[Fault]:
    limit_pct = wax.oil_limit_pct if request.oil_limit_pct is None else request.oil_limit_pct
    share_pct = share_of_whole(request.load_pct, request.basis) * 100.0
    if share_pct > limit_pct * (1.0 + 1e-9):
        text = tr(
            "{wax} is to hold {limit} % of oil at most: take less, or raise the lot's own limit after its "
            "data sheet and a test."
        )
        yield Fault("load_pct", text.format(wax=wax.shown_name, limit=number(limit_pct)))


def _price_faults(prices: Prices, tables: Tables) -> list[Fault]:
    amounts: list[tuple[str, str, float | None]] = [
        ("wax_per_kg", tr("Wax"), prices.wax_per_kg),
        ("wick_each", tr("Wick"), prices.wick_each),
        ("jar_each", tr("Jar"), prices.jar_each),
        ("label_each", tr("Label"), prices.label_each),
        ("energy_per_kwh", tr("Energy"), prices.energy_per_kwh),
        ("work_per_h", tr("Work"), prices.work_per_h),
        ("work_min", tr("Time"), prices.work_min),
        *(("oil_per_ml", name, price) for name, price in prices.oil_per_ml),
    ]
    found = [
        Fault(f"prices.{key}", tr("{name}: type a number of 0 or more.").format(name=name))
        for key, name, amount in amounts
        if amount is not None and not (math.isfinite(amount) and amount >= 0.0)
    ]
    if not 0.0 <= prices.margin_pct < 100.0:
        text = tr("Margin: type % of the selling price, from 0 to under 100.")
        found.append(Fault("prices.margin_pct", text))
    if prices.hob not in tables.handling.hobs:
        names = ", ".join(tables.handling.hobs)
        found.append(Fault("prices.hob", tr("Hob: choose one of {names}.").format(names=names)))
    return found


def share_of_whole(load_pct: float, basis: Basis) -> float:
    """Return the oil's share of wax and oil together, 0 to 1 (row O81)."""
    share = load_pct / 100.0
    return share if basis is Basis.WHOLE else share / (1.0 + share)


def label(name: str) -> str:
    """Return a field's name for people."""
    return {
        "diameter_mm": tr("Inside diameter"),
        "bottom_mm": tr("Diameter at the bottom"),
        "fill_mm": tr("Pour to"),
        "height_mm": tr("Inside height"),
        "water_fill_g": tr("Water up to the fill line"),
        "water_brim_g": tr("Water up to the rim"),
        "count": tr("Candles"),
        "jar_c": tr("The jar's temperature"),
        "pour_c": tr("Pour at"),
        "liquid_g_per_ml": tr("Density of the melted wax"),
        "shrinkage_pct": tr("Shrinkage"),
        "pellets_g_per_ml": tr("Pellets, loosely filled"),
        "oil_limit_pct": tr("The lot's limit for oil"),
        "load_pct": tr("Oil in all"),
        "pool_mm": tr("Melt pool"),
        "wick_count": tr("Wicks"),
        "wick_mm": tr("Diameter of the wick"),
        "jug_left_g": tr("Left in the jug"),
        "spoon_left_g": tr("Left on the spoon"),
        "wax_step_g": tr("Step of the scale for wax"),
        "oil_step_g": tr("Step of the scale for oil"),
        "room_c": tr("Room"),
        "altitude_m": tr("Altitude"),
    }[name]
