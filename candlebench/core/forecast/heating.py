"""The bank for a body that warms: wax in a water bath, or a body without latent heat on any heat."""

from itertools import product

import numpy as np

from candlebench.core.forecast.bank import Bank, Members
from candlebench.core.forecast.bath_bank import BathBank
from candlebench.core.forecast.wax_family import WaxFamily, plain_body

# (exponent, drift of the log flow per second, bath below the boiling point in K, its spread in K). A flow
# that stays, fades over 30 or 10 min, or grows over 15 (the bath is still warming); a bath that boils, one
# that simmers. Ways and walks were tried on simulated heat-ups of seeds 2 and 7 and on the stove and heater-
# board series.
_WAYS: tuple[tuple[float, float, float, float], ...] = (
    (0.0, 0.0, 0.0, 0.01),
    (0.0, -1.0 / 1800.0, 0.0, 0.01),
    (0.0, -1.0 / 600.0, 0.0, 0.01),
    (0.0, 1.0 / 900.0, 0.0, 0.01),
    (1.0, 0.0, 1.0, 1.0),
    (1.0, 0.0, 8.0, 4.0),
)
# Growth of the spread of the log flow over five minutes.
_WALKS_PER_5MIN = (0.1, 0.4, 1.0)
# Jug and bath share the heat anew for the first minutes after a turn.
_SETTLING_SD = 0.5
_RATE_SD = 0.8


def heating_bank(family: WaxFamily | None, boiling_c: float, probe_lag_s: float = 0.0) -> Bank | BathBank:
    """Filters for a body that warms. `boiling_c` is the local boiling point of water."""
    if family is not None:
        return BathBank(family, boiling_c, probe_lag_s)
    return _plain_bank(plain_body(), boiling_c, probe_lag_s)


def _plain_bank(curves: WaxFamily, boiling_c: float, probe_lag_s: float) -> Bank:
    rows = list(product(range(len(_WAYS)), _WALKS_PER_5MIN, range(len(curves.belief))))
    way, walk, curve = (np.array(column) for column in zip(*rows, strict=True))
    ways = np.array(_WAYS)[way]
    members = Members(
        exponent=ways[:, 0],
        walk_per_s=walk.astype(float) ** 2 / 300.0,
        drift_per_s=ways[:, 1],
        settling_sd=np.full(len(rows), _SETTLING_SD),
        around_c=boiling_c - ways[:, 2],
        around_sd_k=ways[:, 3],
        curve=curve.astype(np.intp),
        belief=curves.belief[curve],
    )
    return Bank(members, curves, falling=False, rate_sd=_RATE_SD, probe_lag_s=probe_lag_s)
