"""What is in the cupboard as lines to be read: how much is left, what it cost, what is known of it."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date

from candlebench.core.cupboard import JarStock, LabelStock, OilBottle, Price, WaxLot, WickStock
from candlebench.core.plan.reasoned import number, with_unit
from candlebench.core.plan.request import Leftover
from candlebench.core.plan.tables import Tables
from candlebench.core.setup import Limits
from candlebench.core.units import Shown
from candlebench.records.cupboard_stock import (
    KINDS,
    UNITS,
    Mark,
    Stock,
    Thing,
    amount_of,
    runs_low,
)
from candlebench.words import tr


@dataclass(frozen=True, slots=True)
class Line:
    """One thing in the cupboard.

    Attributes
    ----------
    shelf, name : str
    kind : str
        'Beeswax, own, yellow': what it is.
    left : float
        What is left, in `unit`.
    unit : str
        'g', 'mL', '' for pieces.
    full : float or None
        The most that there was.
    state : str
        'used up', 'running low' or ''.
    price : str
        '22.00 a kg'; '' when it was not said.
    learned : str
        What melts taught about a lot, one sentence; '' for nothing.
    figures : tuple of str
        What is known of it, each a short phrase.
    warning : str
        What to mind; '' for nothing.
    since : date or None
    note : str
    """

    shelf: str
    name: str
    kind: str
    left: float
    unit: str
    full: float | None
    state: str
    price: str
    learned: str
    figures: tuple[str, ...]
    warning: str
    since: date | None
    note: str

    @property
    def left_words(self) -> str:
        """'1718 g of 3400 g', '8 of 24'."""
        left = with_unit(self.left, self.unit)
        if self.full is None or self.full <= self.left:
            return left
        return tr("{left} of {full}").format(left=left, full=with_unit(self.full, self.unit))

    @property
    def share(self) -> float:
        """What is left of the most that there was, 0 to 1."""
        return min(1.0, self.left / self.full) if self.full else 0.0

    def has(self, search: str) -> bool:
        """Whether every word that is searched for begins a word of the line."""
        words = (
            self.name,
            self.kind,
            self.state,
            self.learned,
            *self.figures,
            self.warning,
            self.note,
            self.price,
        )
        text = " ".join((*words, shelf_words(self.shelf))).casefold()
        # From the beginning of a word: 'own' is not to find what is known.
        return all(re.search(rf"(?<!\w){re.escape(word)}", text) for word in search.casefold().split())


def shelf_words(shelf: str) -> str:
    """Return the heading of a shelf."""
    return {
        "waxes": tr("Wax lots"),
        "oils": tr("Oils"),
        "jars": tr("Jars"),
        "wicks": tr("Wicks"),
        "labels": tr("Labels"),
        "leftovers": tr("Leftovers"),
    }[shelf]


def lines_of(
    stock: Stock,
    tables: Tables,
    shown: Shown,
    lot_sentence: Callable[[str], str] | None = None,
    currency: str = "",
) -> tuple[Line, ...]:
    """Return a line for each thing, shelf by shelf.

    Parameters
    ----------
    stock : Stock
    tables : Tables
        For the names of waxes, oils, jars and wicks.
    shown : Shown
        How temperatures are written.
    lot_sentence : callable, optional
        By a lot's name, what melts taught about it; '' when nothing is known.
    currency : str
        Behind a price.
    """
    return tuple(
        _line(shelf, thing, stock.mark(shelf, thing.name), tables, shown, lot_sentence, currency)
        for shelf in KINDS
        for thing in stock.shelf(shelf)
    )


def price_words(price: Price | None, unit: str, currency: str = "") -> str:
    """'22.00 EUR a kg', '0.35 a mL', '0.125 each'; '' without a price."""
    if price is None:
        return ""
    each = price.each * (1000.0 if unit == "g" else 1.0)
    # Wicks and labels cost hundredths, of which a third digit still counts.
    paid = f"{each:.2f}" if each >= 1.0 else f"{each:.3f}".removesuffix("0")
    paid = f"{paid} {currency}".rstrip()
    texts = {"g": tr("{paid} a kg"), "mL": tr("{paid} a mL"), "": tr("{paid} each")}
    return texts[unit].format(paid=paid)


def mixed_warning(leftover: Leftover) -> str:
    """Return what to mind of a leftover in which several waxes or oils are mixed; '' for one of each."""
    if len(leftover.waxes) > 1:
        return tr("Mixed waxes: their windows are not known. Melt it slowly and test one candle first.")
    if len(leftover.oils) > 1:
        return tr("Mixed oils: all of them go on the label.")
    return ""


def contents_words(leftover: Leftover, tables: Tables) -> tuple[str, ...]:
    """'95 % Beeswax', '5 % lavender, spring (12 g)': what is in a leftover, the most first."""
    parts = [
        *((grams, _wax_words(name, tables)) for name, grams in leftover.waxes),
        *((grams, oil.shown_name) for oil, grams in leftover.oils),
    ]
    whole = leftover.mass_g
    text = tr("{share} % {name} ({grams})")
    return tuple(
        text.format(share=number(round(100.0 * grams / whole, 1)), name=name, grams=with_unit(grams, "g"))
        for grams, name in sorted(parts, key=lambda part: -part[0])
    )


def _line(
    shelf: str,
    thing: Thing,
    mark: Mark,
    tables: Tables,
    shown: Shown,
    lot_sentence: Callable[[str], str] | None,
    currency: str,
) -> Line:
    unit = UNITS[shelf]
    left = amount_of(thing)
    learned = ""
    state = tr("running low") if runs_low(thing, mark) else ""
    match thing:
        case WaxLot():
            learned = lot_sentence(thing.name) if lot_sentence else ""
            kind, figures = _wax_kind(thing, tables), _wax_figures(thing, shown, learned)
        case OilBottle():
            kind, figures = _oil_kind(thing, tables), _oil_figures(thing, shown)
        case JarStock():
            kind, figures = _jar_kind(thing, tables), _jar_figures(thing)
        case WickStock():
            series = tables.wicks.series.get(thing.series)
            kind, figures = f"{series.shown_name if series else thing.series} {thing.size}".strip(), ()
        case LabelStock():
            kind, figures = "", ()
        case Leftover():
            kind, figures = "", contents_words(thing, tables)
    return Line(
        shelf=shelf,
        name=thing.name,
        kind=kind,
        left=left,
        unit=unit,
        full=mark.full,
        state=state if left > 0.0 else tr("used up"),
        price="" if isinstance(thing, Leftover) else price_words(thing.price, unit, currency),
        learned=learned,
        figures=figures,
        warning=mixed_warning(thing) if isinstance(thing, Leftover) else "",
        since=mark.since,
        note=getattr(thing, "note", ""),
    )


def _wax_words(name: str, tables: Tables) -> str:
    wax = tables.waxes.get(name)
    return wax.shown_name if wax else name


def _wax_kind(lot: WaxLot, tables: Tables) -> str:
    parts = (_wax_words(lot.wax, tables), tr("own") if lot.own else "", lot.colour)
    return ", ".join(part for part in parts if part)


def _wax_figures(lot: WaxLot, shown: Shown, learned: str) -> tuple[str, ...]:
    figures = []
    # What many melts taught goes before what was typed once.
    if lot.set_c is not None and not learned:
        figures.append(tr("seen to set at {temp}").format(temp=shown.temp(lot.set_c)))
    if lot.oil_limit_pct is not None:
        figures.append(tr("oil at most {percent} %").format(percent=number(lot.oil_limit_pct)))
    if lot.limits is not None:
        figures.append(limits_words(lot.limits, shown))
    rest: Mapping[str, float | None] = {
        tr("pellets {value} g/mL"): lot.pellets_g_per_ml,
        tr("melted {value} g/mL"): lot.liquid_g_per_ml,
        tr("shrinks {value} %"): lot.shrinkage_pct,
    }
    figures += [text.format(value=f"{value:g}") for text, value in rest.items() if value is not None]
    return tuple(figures)


def limits_words(limits: Limits, shown: Shown) -> str:
    """'oil in at 66–72 °C, pour at 64–66 °C, warn at 78 °C'."""
    text = tr("oil in at {oil}, pour at {pour}, warn at {warn}")
    return text.format(
        oil=shown.span(limits.oil_low_c, limits.oil_high_c),
        pour=shown.span(limits.pour_low_c, limits.pour_high_c),
        warn=shown.temp(limits.warn_c),
    )


def _oil_kind(bottle: OilBottle, tables: Tables) -> str:
    if not bottle.oil:
        return tr("after its own data sheet")
    oil = tables.oils.get(bottle.oil)
    return oil.shown_name if oil else bottle.oil


def _oil_figures(bottle: OilBottle, shown: Shown) -> tuple[str, ...]:
    figures = []
    if bottle.flash_c is not None:
        figures.append(tr("flashes at {temp}").format(temp=shown.temp(bottle.flash_c)))
    elif not bottle.oil:
        figures.append(tr("flash point not known"))
    if bottle.density_g_per_ml is not None:
        figures.append(f"{bottle.density_g_per_ml:g} g/mL")
    return tuple(figures)


def _jar_kind(jar: JarStock, tables: Tables) -> str:
    kind = tables.jars.kinds.get(jar.kind)
    return kind.shown_name if kind else jar.kind


def _jar_figures(jar: JarStock) -> tuple[str, ...]:
    width = tr("{mm} mm wide").format(mm=number(jar.diameter_mm))
    if jar.bottom_mm is not None and jar.bottom_mm != jar.diameter_mm:
        width = tr("{top} mm wide, {bottom} at the bottom").format(
            top=number(jar.diameter_mm), bottom=number(jar.bottom_mm)
        )
    figures = [width]
    sizes: Mapping[str, float | None] = {
        tr("pour to {value} mm"): jar.fill_mm,
        tr("{value} mm high"): jar.height_mm,
        tr("{value} g of water to the fill line"): jar.water_fill_g,
        tr("{value} g of water to the rim"): jar.water_brim_g,
    }
    figures += [text.format(value=number(size)) for text, size in sizes.items() if size is not None]
    return tuple(figures)
