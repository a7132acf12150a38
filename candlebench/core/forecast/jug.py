"""How fast a jug of molten wax loses heat, before its own cooling has been seen."""

import math
from dataclasses import dataclass

from candlebench.core.known import KnownJug

# H29 to H32 of heat.md, on an insulating base: 50 K above the room a jug of 1000 g falls 0.60 to 0.85 K/min
# and one of 300 g 0.96 to 1.24, so that the loss goes with the fill to the power of -0.36. Interpolated at
# the middle of bright and painted steel, with glass between them.
LOSS_AT_1000_G_K_PER_MIN = 0.71
LOSS_BY_FILL = -0.36
# +- 30 % there; a lip, a lid, a draught or a bench changes it.
USUAL_SD_LOG = 0.35
ABOVE_ROOM_K = 50.0


@dataclass(frozen=True, slots=True)
class Loss:
    """Heat that a melt loses `ABOVE_ROOM_K` above the room.

    Attributes
    ----------
    k_per_min : float
        In kelvin of liquid wax per minute; the middle of the belief.
    sd_log : float
        Standard deviation of its natural logarithm.
    """

    k_per_min: float
    sd_log: float


def usual_loss(fill_g: float) -> Loss:
    """What a jug nobody has seen loses with `fill_g` of wax in it."""
    return Loss(LOSS_AT_1000_G_K_PER_MIN * (fill_g / 1000.0) ** LOSS_BY_FILL, USUAL_SD_LOG)


def known_loss(jug: KnownJug, fill_g: float | None) -> Loss:
    """What a known jug loses with another fill; the further from the fill it is known at, the less surely."""
    if fill_g is None:
        return Loss(jug.loss_k_per_min, jug.sd_log)
    away = math.log(fill_g / jug.fill_g)
    # A third of the usual growth with the fill is doubtful for any one jug. Estimate
    sd_log = math.hypot(jug.sd_log, LOSS_BY_FILL * away / 3.0)
    return Loss(jug.loss_k_per_min * math.exp(LOSS_BY_FILL * away), sd_log)
