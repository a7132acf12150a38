"""The oil of a plan: how much of each, where the scented melt can catch fire, what it means for the skin."""

from collections.abc import Mapping
from dataclasses import dataclass

from candlebench.core.materials.allergens import Finding, find_sensitisers, label_texts
from candlebench.core.materials.flash import FlashEstimate, OilInWax, estimate_flash, most_oil_share
from candlebench.core.materials.oil import EssentialOil
from candlebench.core.materials.wax import FLASH_MARGIN_K, Wax
from candlebench.core.plan.amounts import Amounts, OilAmount, step_digits, volume_ml
from candlebench.core.plan.naming import oil_in_sentence
from candlebench.core.plan.reasoned import Reasoned, degrees, number, with_unit
from candlebench.core.plan.request import Basis, PlanRequest
from candlebench.core.plan.tables import Tables
from candlebench.core.setup import Limits
from candlebench.core.units import Shown
from candlebench.words import tr

# A smaller share is hardly smelt: another oil is the better offer. Ours, no source.
FAINT_PCT = 0.5


@dataclass(frozen=True, slots=True)
class OilLine:
    """One oil of the blend.

    Attributes
    ----------
    oil : EssentialOil
    blend_pct : float
        Its share of the oil that is added.
    weigh_g : Reasoned
        What to weigh in, on the step of the scale; 0 for an oil that only leftovers bring.
    volume_ml : Reasoned
        The same by volume at room warmth.
    error_pct : float
        How far the step of the scale takes it from what was asked, in per cent of it.
    carried_g : float
        What leftovers bring along.
    """

    oil: EssentialOil
    blend_pct: float
    weigh_g: Reasoned
    volume_ml: Reasoned
    error_pct: float
    carried_g: float


@dataclass(frozen=True, slots=True)
class OilPart:
    """What a plan says of its oil.

    Attributes
    ----------
    lines : tuple of OilLine
    weigh_g, volume_ml : Reasoned
        All that is added.
    of_whole_pct, of_wax_pct : Reasoned
        What is in the candle, leftovers' oil with it, in both conventions.
    error_pct : float
        How far rounding takes the whole dose from what was asked.
    flash_c : Reasoned or None
        Estimated flash point of the scented melt with its band; None when an oil's own is not known.
    flash_unknown : tuple of str
        Oils without a flash point.
    most_pct : Reasoned or None
        With the window closed: the largest share of this blend, in the basis that was asked, that leaves
        one. None when it is open, or when no share leaves one.
    others : tuple of str
        With the window closed: oils of the table that leave one at this load, the highest flash first.
    findings : tuple of Finding
        Every sensitiser.
    label_texts : tuple of str
        What they lead to, for the label.
    """

    lines: tuple[OilLine, ...]
    weigh_g: Reasoned
    volume_ml: Reasoned
    of_whole_pct: Reasoned
    of_wax_pct: Reasoned
    error_pct: float
    flash_c: Reasoned | None
    flash_unknown: tuple[str, ...]
    most_pct: Reasoned | None
    others: tuple[str, ...]
    findings: tuple[Finding, ...]
    label_texts: tuple[str, ...]


def plan_oil(
    request: PlanRequest, tables: Tables, amounts: Amounts, limits: Limits, shown: Shown
) -> OilPart | None:
    """Return what the plan says of its oil; None for a plain candle. The request has no faults.

    Parameters
    ----------
    limits : Limits
        The wax's, before the oil.
    """
    if amounts.oil_g <= 0.0:
        return None
    wax = tables.waxes[request.wax]
    added_g = sum(oil.added_g for oil in amounts.oils)
    weigh_g = sum(oil.weigh_g for oil in amounts.oils)
    lines = tuple(_line(request, oil, added_g) for oil in amounts.oils)
    unknown = tuple(oil_in_sentence(oil.oil) for oil in amounts.oils if oil.oil.flash_c is None)
    flash = None if unknown else _flash_of(amounts.oils, amounts.all_wax_g, wax)
    closed = flash is not None and flash.value_c - FLASH_MARGIN_K < limits.oil_low_c
    findings = find_sensitisers(
        shares_of_candle_pct({o.oil: o.in_all_g for o in amounts.oils}, amounts.oil_g + amounts.all_wax_g),
        tables.compounds,
        tables.allergens,
    )
    return OilPart(
        lines=lines,
        weigh_g=Reasoned(
            weigh_g,
            "g",
            _dose_why(request, amounts),
            tr("row O79 or O80, plain arithmetic"),
            digits=step_digits(request.oil_step_g),
        ),
        volume_ml=Reasoned(
            sum(line.volume_ml.value for line in lines),
            "mL",
            tr("Each oil's grams by its own density at 20 °C, then added."),
            tr("row O82"),
        ),
        of_whole_pct=_share(amounts, of_wax=False),
        of_wax_pct=_share(amounts, of_wax=True),
        error_pct=100.0 * (weigh_g / added_g - 1.0) if added_g > 0.0 else 0.0,
        flash_c=None if flash is None else _spoken_flash(flash, amounts.oils, wax, shown),
        flash_unknown=unknown,
        most_pct=_most(request, amounts, wax, limits, shown) if closed else None,
        others=_others(tables, amounts, wax, limits) if closed else (),
        findings=findings,
        label_texts=label_texts(findings, tables.allergens),
    )


def shares_of_candle_pct(oils_g: Mapping[EssentialOil, float], candle_g: float) -> dict[str, float | None]:
    """Return the most of each constituent there may be in a candle, in per cent by mass (row O83).

    None for one of which no share is known; a known share from one oil stands even when another oil holds an
    unknown one besides.
    """
    shares: dict[str, float | None] = {}
    for oil, mass_g in oils_g.items():
        for part in oil.constituents:
            name = part.compound.name
            # "At least 50 %" may be all of it.
            most_pct = part.high_pct if part.high_pct is not None or part.low_pct is None else 100.0
            if most_pct is None:
                shares.setdefault(name, None)
            else:
                shares[name] = (shares.get(name) or 0.0) + most_pct * mass_g / candle_g
    return shares


def _line(request: PlanRequest, amount: OilAmount, added_g: float) -> OilLine:
    density = amount.oil.density_g_per_ml()
    blend_pct = 100.0 * amount.added_g / added_g if added_g > 0.0 else 0.0
    why = tr("{percent} % of the oil, on the scale's step of {step}.").format(
        percent=number(blend_pct), step=with_unit(request.oil_step_g, "g")
    )
    if amount.carried_g > 0.0:
        why += " " + tr("Leftovers bring {carried} more.").format(carried=with_unit(amount.carried_g, "g"))
    figure = amount.oil.density_kg_per_m3
    spread = figure.low is not None and figure.high is not None
    return OilLine(
        oil=amount.oil,
        blend_pct=blend_pct,
        weigh_g=Reasoned(
            amount.weigh_g, "g", why, tr("plain arithmetic"), digits=step_digits(request.oil_step_g)
        ),
        volume_ml=Reasoned(
            volume_ml(amount.weigh_g, density),
            "mL",
            tr("{grams} at {density} g/mL, room warm.").format(
                grams=with_unit(amount.weigh_g, "g"), density=f"{density:.3f}"
            ),
            figure.spoken_source(),
            volume_ml(amount.weigh_g, figure.high / 1000.0) if spread and figure.high else None,
            volume_ml(amount.weigh_g, figure.low / 1000.0) if spread and figure.low else None,
        ),
        error_pct=100.0 * (amount.weigh_g / amount.added_g - 1.0) if amount.added_g > 0.0 else 0.0,
        carried_g=amount.carried_g,
    )


def _dose_why(request: PlanRequest, amounts: Amounts) -> str:
    text = (
        tr("{percent} % of the {mass} of wax and oil together.")
        if request.basis is Basis.WHOLE
        else tr("{percent} % of the wax, counted on the {mass} of wax and oil together.")
    ).format(percent=number(request.load_pct), mass=with_unit(amounts.batch_g, "g"))
    carried_g = sum(oil.carried_g for oil in amounts.oils)
    if carried_g > 0.0:
        text += " " + tr("{carried} of it are in the leftovers already.").format(
            carried=with_unit(carried_g, "g")
        )
    return text


def _share(amounts: Amounts, *, of_wax: bool) -> Reasoned:
    if of_wax:
        return Reasoned(
            100.0 * amounts.oil_g / amounts.all_wax_g,
            "%",
            tr("{oil} of oil to {wax} of wax.").format(
                oil=with_unit(amounts.oil_g, "g"), wax=with_unit(amounts.all_wax_g, "g")
            ),
            tr("row O80"),
        )
    return Reasoned(
        100.0 * amounts.oil_share,
        "%",
        tr("{oil} of oil in {whole} of wax and oil.").format(
            oil=with_unit(amounts.oil_g, "g"), whole=with_unit(amounts.oil_g + amounts.all_wax_g, "g")
        ),
        tr("row O79"),
    )


def _flash_of(oils: tuple[OilAmount, ...], wax_g: float, wax: Wax) -> FlashEstimate:
    return estimate_flash(
        [
            OilInWax(oil.in_all_g, oil.oil.evaporates_like, oil.oil.flash_c.value)
            for oil in oils
            if oil.oil.flash_c is not None
        ],
        [
            oil.oil.flash_c.high if oil.oil.flash_c.high is not None else oil.oil.flash_c.value
            for oil in oils
            if oil.oil.flash_c is not None
        ],
        wax_g,
        wax.molar_g_per_mol,
        wax.flash_c,
    )


def _spoken_flash(flash: FlashEstimate, oils: tuple[OilAmount, ...], wax: Wax, shown: Shown) -> Reasoned:
    plain = (
        tr("{wax} alone: {temp}.").format(wax=wax.shown_name, temp=shown.temp(wax.flash_c))
        if wax.flash_c is not None
        else tr("No figure for the plain wax is at hand.")
    )
    return Reasoned(
        flash.value_c,
        "°C",
        tr("Estimated, ± {margin}: the oil's vapour lowers it. {plain}").format(
            margin=degrees(FLASH_MARGIN_K, shown), plain=plain
        ),
        tr(
            "mixture rule after Vidal et al. 2006 (rows O50 to O57), with the lowest flash point quoted for "
            "each oil; no measured one is known"
        )
        + "".join(
            tr("; {oil} is taken to evaporate like {compound}").format(
                oil=oil_in_sentence(each.oil), compound=each.oil.evaporates_like.shown_name
            )
            for each in oils
            if each.oil.like_guessed
        ),
        flash.low_c,
        flash.high_c,
        # An estimate within ten degrees has no tenths.
        digits=0,
    )


def _most(request: PlanRequest, amounts: Amounts, wax: Wax, limits: Limits, shown: Shown) -> Reasoned | None:
    """The largest share of this blend that leaves a window, rounded down to a tenth of a per cent."""
    everything_g = amounts.oil_g + amounts.all_wax_g
    in_blend = {oil: oil.in_all_g / amounts.oil_g for oil in amounts.oils}

    def flash_at(share: float) -> float:
        oils = tuple(
            OilAmount(oil.oil, 0.0, part * share * everything_g, 0.0) for oil, part in in_blend.items()
        )
        return _flash_of(oils, (1.0 - share) * everything_g, wax).value_c

    share = most_oil_share(flash_at, limits.oil_low_c + FLASH_MARGIN_K, amounts.oil_share)
    if share is None:
        return None
    percent = 100.0 * (share if request.basis is Basis.WHOLE else share / (1.0 - share))
    tenth = int(percent * 10.0) / 10.0
    if tenth < FAINT_PCT:
        return None
    return Reasoned(
        tenth,
        "%",
        tr("With so much of it the melt flashes {margin} above {low}, where the oil can go in.").format(
            margin=degrees(FLASH_MARGIN_K, shown), low=shown.temp(limits.oil_low_c)
        ),
        tr("rows F6 and O50 to O57, computed"),
    )


def _others(tables: Tables, amounts: Amounts, wax: Wax, limits: Limits) -> tuple[str, ...]:
    """Oils that, alone and at the same share, leave a window."""
    found = []
    for oil in tables.oils.values():
        if oil.flash_c is not None:
            alone = (OilAmount(oil, 0.0, amounts.oil_g, 0.0),)
            flash_c = _flash_of(alone, amounts.all_wax_g, wax).value_c
            if flash_c - FLASH_MARGIN_K >= limits.oil_low_c:
                found.append((-flash_c, oil_in_sentence(oil)))
    return tuple(name for _, name in sorted(found))
