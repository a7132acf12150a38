"""Warming a melt that has its oil: one rule for the melt page, the batch sheet and the safety page.

The rule (rows F5, F6 and W1): hot water only, with the hob off and every flame out; not above the pour
window, and 10 K under the estimated flash point of the scented wax. Where that leaves nothing, or the flash
point is not known, it is not warmed: it is poured as it is, and the rough tops are topped up.
"""

from candlebench.core.materials.wax import warn_after_oil_c
from candlebench.core.setup import Limits, Oil
from candlebench.core.units import Shown
from candlebench.words import tr


def warm_with_oil_to_c(limits: Limits, oil: Oil) -> float | None:
    """Return how warm a melt with this oil may be made again; None when it is not to be warmed."""
    if oil.scented_flash_c is None:
        return None
    top_c = min(limits.pour_high_c, warn_after_oil_c(limits, oil))
    return top_c if top_c > limits.pour_low_c else None


def warm_with_oil_words(limits: Limits, oil: Oil, shown: Shown) -> str:
    """Return the rule as a sentence."""
    top_c = warm_with_oil_to_c(limits, oil)
    if top_c is None:
        return tr("Do not warm it: its flash point leaves no room. Pour it, and top up the rough tops.")
    return tr(
        "Hot water only, hob off, every flame out, not above {top}; or pour it, and top up the rough tops."
    ).format(top=shown.temp(round(top_c, 1)))
