"""What is believed of a lot, a jug and a probe before any melt with it."""

import math
from dataclasses import dataclass

from candlebench.core.forecast.jug import usual_loss
from candlebench.core.forecast.wax_family import family_for


@dataclass(frozen=True, slots=True)
class Belief:
    """A number with its standard deviation."""

    mean: float
    sd: float


# Lots of beeswax, W6 to W11 of waxes.md: 61 to 66 C, most at 62 to 64; knee and width as `liquid_share` means
# them. The spreads are proposals.
BEESWAX_KNEE = Belief(63.0, 1.1)
FAMILY_WIDTH = Belief(2.0, 0.7)

# When she does not weigh, the jug is filled as usual each time.
USUAL_FILL_G = 1000.0

# Kitchen probes in wax: 4 to 30 s (T24 of thermometry.md, from memory), as 5 and 95 % points.
PROBE_LAG_S = 11.0
PROBE_SD_LOG = 0.61


def knee_of_family(wax: str) -> Belief | None:
    """Where a wax of this name sets, as far as known before any melt; None for a body without latent heat."""
    if wax.strip().lower() == "beeswax":
        return BEESWAX_KNEE
    family = family_for(wax)
    if family is None:
        return None
    mean = float(family.belief @ family.knee_c)
    return Belief(mean, math.sqrt(float(family.belief @ (family.knee_c - mean) ** 2)))


def log_loss_of_family(fill_g: float) -> Belief:
    """Logarithm of a jug's loss in K/min, 50 K above the room, with so much wax in it."""
    loss = usual_loss(fill_g)
    return Belief(math.log(loss.k_per_min), loss.sd_log)
