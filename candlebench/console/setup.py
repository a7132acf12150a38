"""Melt setups and JSON rows shared by the commands."""

import math
from typing import Any

from candlebench.core.errors import FixableError
from candlebench.core.forecast.crossing import Crossing
from candlebench.core.materials.wax import limits_for, load_waxes
from candlebench.core.setup import MeltSetup
from candlebench.words import tr

NO_WAX = "none"


def console_setup(title: str, wax: str, room_c: float | None, source: str) -> MeltSetup:
    """A melt of which only the wax and the room were said.

    `wax` 'none' is a body without latent heat, such as water; the windows shown for it are beeswax's.

    Raises
    ------
    FixableError
        No such wax.
    """
    waxes = load_waxes()
    if wax != NO_WAX and wax not in waxes:
        raise FixableError(
            tr("No wax is called “{wax}”: write one of {names}.").format(
                wax=wax, names=", ".join([*waxes, NO_WAX])
            )
        )
    limits = limits_for(waxes["beeswax" if wax == NO_WAX else wax])
    return MeltSetup(title=title, wax=wax, limits=limits, room_c=room_c, source=source)


def forecast_rows(
    targets_c: tuple[float, ...], crossings: tuple[Crossing | None, ...]
) -> list[dict[str, Any]]:
    """The `forecasts` of one JSON row: seconds from the reading, null where nothing is foreseen."""
    return [
        {
            "target_c": target_c,
            "in_s": _seconds(crossing.in_s if crossing else None),
            "low_s": _seconds(crossing.low_s if crossing else None),
            "high_s": _seconds(crossing.high_s if crossing else None),
        }
        for target_c, crossing in zip(targets_c, crossings, strict=True)
    ]


def _seconds(value: float | None) -> float | None:
    return None if value is None or not math.isfinite(value) else round(value, 1)
