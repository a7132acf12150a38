"""How much scent one melt has kept, as an estimate beside a melt that is done right."""

from dataclasses import dataclass

import numpy as np

from candlebench.core.amounts import amounts_of
from candlebench.core.debrief.curve import Curve, cooled
from candlebench.core.debrief.jug import chill_c, cooling_of
from candlebench.core.debrief.moment import moment
from candlebench.core.debrief.story import Story
from candlebench.core.debrief.windows import OilVerdict
from candlebench.core.errors import FixableError
from candlebench.core.materials.oil import EssentialOil, find_oil
from candlebench.core.materials.scent import Scented, band, share_lost
from candlebench.core.next_step import STIR_S
from candlebench.words import tr

# Longer than any jug takes from the oil to the pour.
_LONGEST_S = 3600.0


@dataclass(frozen=True, slots=True)
class Scent:
    """An estimate of the scent kept; every figure is None where `why_not` says why there is none.

    Attributes
    ----------
    kept, kept_low, kept_high : float or None
        Share of the scent left at the pour, and the band of an estimate good to a factor of two.
    times_right : float or None
        How many times as much went off as in a melt that is done right; better known than the shares.
    exposed_s : float or None
        How long the oil was in the hot jug.
    taken_as : str
        What the oil was taken as, for people.
    guessed : bool
        No row of the tables pairs the oil with that compound.
    why_not : str
        One sentence; '' when there is an estimate.
    """

    kept: float | None
    kept_low: float | None
    kept_high: float | None
    times_right: float | None
    exposed_s: float | None
    taken_as: str
    guessed: bool
    why_not: str


def scent_of(story: Story, curve: Curve, oil: OilVerdict | None) -> Scent:
    """Estimate the scent kept from the moment the oil went in until the jug was emptied."""
    if oil is None:
        return _none(tr("A plain candle: there is no scent to keep."))
    if oil.done_s is None:
        return _none(tr("The oil did not go in."))
    kind = _kind(story)
    if kind is None:
        return _none(tr("This oil is not in the tables: its vapour pressure is not known."))
    exposed = _exposed(curve, oil.done_s, story.in_jug_until_s)
    if len(exposed) < 2:
        return _none(tr("No temperatures were recorded while the oil was in."))
    wax_g, oil_g, _ = amounts_of(story.setup)
    scented = Scented(kind.evaporates_like, oil_g, wax_g)
    lost = share_lost(scented, exposed.times_s, exposed.temps_c)
    least, most = band(lost)
    return Scent(
        kept=1.0 - lost,
        kept_low=1.0 - most,
        kept_high=1.0 - least,
        times_right=_times_right(story, curve, oil, scented, lost),
        exposed_s=float(exposed.times_s[-1] - exposed.times_s[0]),
        taken_as=kind.evaporates_like.shown_name,
        guessed=kind.like_guessed,
        why_not="",
    )


def _exposed(curve: Curve, oil_s: float, until_s: float) -> Curve:
    """The curve while the oil was in; its ends by the last reading where they are not read."""
    begin, end = moment(curve, oil_s), moment(curve, until_s)
    if begin is None or end is None or until_s <= oil_s:
        return curve.between(oil_s, until_s)
    inside = (curve.times_s > oil_s) & (curve.times_s < until_s)
    times_s = np.concatenate([[oil_s], curve.times_s[inside], [until_s]])
    return Curve(times_s, np.concatenate([[begin.temp_c], curve.temps_c[inside], [end.temp_c]]))


def _times_right(story: Story, curve: Curve, oil: OilVerdict, scented: Scented, lost: float) -> float | None:
    """The loss beside that of the same jug with the oil in at the best moment, poured in mid-window.

    The oil's chill comes in while it is stirred, as it does in what was recorded.
    A melt that is not poured is compared by what went off so far all the same.
    """
    if not oil.chance.safe:
        return None
    limits = story.setup.limits
    room_c, rate_per_s = cooling_of(story, curve)
    begin_c = oil.chance.best_c - chill_c(story)
    mixed = cooled(0.0, begin_c, room_c, rate_per_s, _LONGEST_S)
    unmixed_c = np.maximum(0.0, 1.0 - mixed.times_s / STIR_S) * chill_c(story)
    right = Curve(mixed.times_s, mixed.temps_c + unmixed_c)
    middle_c = 0.5 * (limits.pour_low_c + limits.pour_high_c)
    poured_s = max(STIR_S, float(np.interp(-middle_c, -right.temps_c, right.times_s)))
    right = right.between(0.0, poured_s)
    lost_right = share_lost(scented, right.times_s, right.temps_c)
    return lost / lost_right if lost_right > 0.0 else None


def _kind(story: Story) -> EssentialOil | None:
    """The oil of the tables that this melt's oil is; None when it is not known."""
    oil = story.setup.oil
    if oil is None or not oil.name:
        return None
    try:
        return find_oil(oil.name)
    except FixableError:
        return None


def _none(why_not: str) -> Scent:
    return Scent(None, None, None, None, None, "", False, why_not)
