"""What is really so in a practice melt, which no thermometer shows."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Truth:
    """One moment of a practice melt.

    Attributes
    ----------
    elapsed_s : float
        Seconds since the melt began.
    wax_c, jug_c, bath_c : float
        True temperatures of the wax, the jug's wall and the bath.
    liquid_share : float
        Share of the wax that is melted, 0 to 1.
    hob_w : float
        Heat into the pan, in watts.
    heat_fraction : float
        How far the knob is turned, 0 to 1.
    water_g : float
        Water left in the bath; a few grams cling to a dry one.
    bath_dry : bool
        Whether the pan stands dry on the heat.
    jar_c, jar_set_share : float or None
        Temperature of a poured jar's wax if it were mixed, and the share of it that has set; None before.
    """

    elapsed_s: float
    wax_c: float
    jug_c: float
    bath_c: float
    liquid_share: float
    hob_w: float
    heat_fraction: float
    water_g: float
    bath_dry: bool
    jar_c: float | None = None
    jar_set_share: float | None = None
