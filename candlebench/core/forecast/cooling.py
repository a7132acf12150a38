"""The bank for a melt that cools: law of cooling, steadiness and wax curve are what its members differ in."""

import math
from itertools import product

import numpy as np

from candlebench.core.forecast.bank import Bank, Members
from candlebench.core.forecast.jug import ABOVE_ROOM_K, Loss
from candlebench.core.forecast.room import Room
from candlebench.core.forecast.wax_family import WaxFamily, plain_body

# The law of cooling. A draught makes the film independent of the difference (1.0), radiation near 50 K
# over the room is about 1.1, free convection alone 1.25. Open hot water also evaporates: by H19 of heat.md
# the heat so lost grows with a power of 2.7 of the difference, which mixes to about 2. Wax gives off none.
_WATER_EXPONENTS = (1.1, 1.3, 1.6, 2.0)
_WAX_EXPONENTS = (1.0, 1.15, 1.35)
# Growth of the spread of the log rate: over five minutes; and in all while the vessel takes up heat, from one
# that came out of the bath with the melt to a cold mug. Of ten sets between 0.01 and 0.15, 0.05 and 0.6 the
# one with the narrowest band that holds 85 to 95 % on water_vessel1, water_vessel3 and water80ml_fan of the
# open series and on simulated melts of seed 1; the other half of the open series agrees.
_WALK_AND_SETTLING = ((0.06, 0.1), (0.06, 0.3))
# The first guess of the rate comes from a few readings. Not sensitive between 0.4 and 1.
_RATE_SD = 0.6


def cooling_bank(
    family: WaxFamily | None, room: Room, probe_lag_s: float = 0.0, loss: Loss | None = None
) -> Bank:
    """Filters for a body warmer than the room. `family` None is a body without latent heat."""
    curves = plain_body() if family is None else family
    exponents = _WATER_EXPONENTS if family is None else _WAX_EXPONENTS
    rows = list(product(exponents, range(len(_WALK_AND_SETTLING)), range(len(curves.belief))))
    exponent, pair, curve = (np.array(column) for column in zip(*rows, strict=True))
    walk, settling = np.array(_WALK_AND_SETTLING)[pair].T
    count = len(rows)
    members = Members(
        exponent=exponent.astype(float),
        walk_per_s=walk**2 / 300.0,
        drift_per_s=np.zeros(count),
        settling_sd=settling,
        around_c=np.full(count, room.temp_c),
        around_sd_k=np.full(count, room.sd_c),
        curve=curve.astype(np.intp),
        belief=curves.belief[curve],
    )
    if loss is None:
        return Bank(members, curves, falling=True, rate_sd=_RATE_SD, probe_lag_s=probe_lag_s)
    first_log_rate = math.log(loss.k_per_min / 60.0) - members.exponent * math.log(ABOVE_ROOM_K)
    return Bank(members, curves, True, loss.sd_log, probe_lag_s, first_log_rate)
