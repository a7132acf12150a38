"""What to mind about the oil: the window, fire, skin, the scale, and what goes off."""

import math
from collections.abc import Iterator

from candlebench.core.materials.allergens import H317
from candlebench.core.materials.wax import FLASH_MARGIN_K, Wax, oil_window_open
from candlebench.core.plan.naming import at_beginning, oil_in_sentence, wax_in_sentence
from candlebench.core.plan.oil_part import OilPart
from candlebench.core.plan.reasoned import Caution, Reasoned, degrees, number
from candlebench.core.plan.request import Basis, PlanRequest
from candlebench.core.setup import Limits
from candlebench.core.state import Level
from candlebench.core.units import Shown
from candlebench.words import tr

# F8, O25: below this a neat oil is a flammable liquid, category 3 (CLP). M
FLAMMABLE_BELOW_C = 60.0
# A window narrower than the probe's tolerance above and below (W1's 2 K) is hard to hit. A proposal, C.
NARROW_K = 4.0
# Beyond this the step of the scale spoils the dose: ours, no source.
COARSE_PCT = 5.0


def oil_cautions(
    request: PlanRequest, wax: Wax, oil: OilPart, limits: Limits, shown: Shown
) -> Iterator[Caution]:
    """Yield the cautions of the oil. `limits` are those with the oil in."""
    yield from _window(request, wax, oil, limits, shown)
    yield from _flammable(oil, shown)
    yield from _skin(oil)
    yield from _rounding(request, oil)
    yield _loss()
    limit = wax.figures["oil_limit_pct"]
    if limit.to_test and request.oil_limit_pct is None:
        text = tr("Read on your lot's data sheet how much oil it holds: no figure for {wax} is at hand.")
        why = tr("{limit} % is taken until then.").format(limit=number(limit.value))
        yield Caution(
            "oil_limit", Level.CALM, text.format(wax=wax_in_sentence(wax)), why, limit.spoken_source()
        )


def _window(request: PlanRequest, wax: Wax, oil: OilPart, limits: Limits, shown: Shown) -> Iterator[Caution]:
    if oil.flash_c is None:
        yield Caution(
            "flash_unknown",
            Level.DANGER,
            tr("Type the flash point on the data sheet of {oils}: without it no window is known.").format(
                oils=", ".join(oil.flash_unknown)
            ),
            tr("Without it the melt's limit with the oil cannot be estimated; the plain wax's is too high."),
            tr("rows F6 and F28"),
        )
        return
    flash = shown.temp(round(oil.flash_c.value))
    rule = tr("rows W1, F5 and F6: the oil goes in {margin} under the estimated flash point").format(
        margin=degrees(FLASH_MARGIN_K, shown)
    )
    if not oil_window_open(limits):
        why = _closed(limits, flash, shown)
        if oil.others:
            why += " " + tr("Oils that leave a window at this share: {oils}.").format(
                oils=", ".join(oil.others)
            )
        yield Caution("no_window", Level.DANGER, _less(request, oil.most_pct), why, rule)
        return
    width_k = limits.oil_high_c - limits.oil_low_c
    if width_k < min(NARROW_K, wax.limits.oil_high_c - wax.limits.oil_low_c):
        text = tr("The window for the oil is narrow, {window}: watch it closely, or take less oil.")
        yield Caution(
            "narrow_window",
            Level.WARNING,
            text.format(window=shown.span(limits.oil_low_c, math.floor(limits.oil_high_c))),
            tr("The scented melt is estimated to flash at {flash}.").format(flash=flash),
            rule,
        )
    warn_c = oil.flash_c.value - FLASH_MARGIN_K
    if warn_c < limits.warn_c:
        yield Caution(
            "warn_lower",
            Level.WARNING,
            tr("With the oil in, do not heat again: the warning comes at {warn} instead of {plain}.").format(
                warn=shown.temp(round(warn_c)), plain=shown.temp(limits.warn_c)
            ),
            tr("The scented melt is estimated to flash at {flash}.").format(flash=flash),
            rule,
        )


def _less(request: PlanRequest, most: Reasoned | None) -> str:
    if most is None:
        return tr("No safe window for this oil in this wax: take another oil.")
    text = (
        tr("No safe window: take at most {most} % of this oil (of wax and oil together), or another oil.")
        if request.basis is Basis.WHOLE
        else tr("No safe window: take at most {most} % of this oil (of the wax), or another oil.")
    )
    return text.format(most=number(most.value))


def _closed(limits: Limits, flash: str, shown: Shown) -> str:
    return tr(
        "The melt is estimated to flash at {flash}; {margin} below that, the wax is not yet ready for the "
        "oil ({low})."
    ).format(flash=flash, margin=degrees(FLASH_MARGIN_K, shown), low=shown.temp(limits.oil_low_c))


def _flammable(oil: OilPart, shown: Shown) -> Iterator[Caution]:
    low = [
        line.oil
        for line in oil.lines
        if line.oil.flash_c is not None and line.oil.flash_c.value < FLAMMABLE_BELOW_C
    ]
    if low:
        yield Caution(
            "open_flame",
            Level.WARNING,
            tr("Put out every flame, the gas hob too, before the bottle is opened."),
            tr("{oils} can catch fire below {limit}.").format(
                oils=at_beginning(", ".join(map(oil_in_sentence, low))), limit=shown.temp(FLAMMABLE_BELOW_C)
            ),
            tr("rows F8 and O25: flammable liquid, Reg. (EC) 1272/2008; from memory, check it"),
        )


def _skin(oil: OilPart) -> Iterator[Caution]:
    check = tr("Check your supplier's safety data sheet and your local rules.")
    source = tr("rows O58 to O63; classes of the substances partly from memory")
    if oil.label_texts:
        classified = any(finding.statement == H317 for finding in oil.findings)
        why = " ".join(finding.why for finding in oil.findings if finding.statement)
        if classified:
            why += " " + tr("It may also need a UFI and a notice to the poison centre.")
        text = tr("The label needs: “{texts}” {check}")
        text = text.format(texts=" · ".join(oil.label_texts), check=check)
        yield Caution("skin", Level.WARNING, text, why, source)
    else:
        yield Caution("skin", Level.CALM, check, tr("No sensitiser of the tables reaches its limit."), source)
    unknown = [finding.compound.shown_name for finding in oil.findings if finding.pct is None]
    strange = [oil_in_sentence(line.oil) for line in oil.lines if not line.oil.constituents]
    if unknown:
        yield Caution(
            "skin_unknown",
            Level.CALM,
            tr("Look up in section 3 of the data sheet how much there is of {names}.").format(
                names=", ".join(unknown)
            ),
            tr("The tables know that the oil holds them, not how much."),
            source,
        )
    if strange:
        yield Caution(
            "skin_untold",
            Level.WARNING,
            tr("Read sections 2 and 3 of the data sheet of {names}: what is in it is not known here.").format(
                names=", ".join(strange)
            ),
            tr("Only its density and flash point were typed."),
            source,
        )


def _rounding(request: PlanRequest, oil: OilPart) -> Iterator[Caution]:
    coarse = [line for line in oil.lines if abs(line.error_pct) > COARSE_PCT]
    if coarse:
        yield Caution(
            "coarse_scale",
            Level.WARNING,
            tr("Weigh {oils} on a finer scale, or mix a bigger batch of the blend.").format(
                oils=", ".join(oil_in_sentence(line.oil) for line in coarse)
            ),
            tr("A step of {step} g is up to {percent} % off here.").format(
                step=number(request.oil_step_g),
                percent=number(max(abs(line.error_pct) for line in coarse)),
            ),
            tr("plain arithmetic"),
        )


def _loss() -> Caution:
    return Caution(
        "cover_oil",
        Level.CALM,
        tr("Weigh the oil just before it goes in, and keep it covered until then."),
        tr("It evaporates: citrus and eucalyptus four to six times as fast as lavender."),
        tr("rows O44 to O49, computed, good to a factor of 2"),
    )
